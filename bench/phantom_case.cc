// SPDX-License-Identifier: Apache-2.0
#include "phantom_case.h"

#include <fmt/format.h>

#include <chrono>
#include <cmath>

#include "base/files.h"
#include "math/rng.h"
#include "overlap.h"
#include "phantom/render.h"
#include "phantom/threshold_baseline.h"
#include "photo/child_process.h"
#include "quantities.h"
#include "report/json.h"

namespace ribwright::bench {
namespace {

using Clock = std::chrono::steady_clock;

constexpr double kThicknessDoubtMm = 1.0;
constexpr std::uint64_t kThicknessTag = 0x7468;  // of the seeded stream for the entered thickness
constexpr std::size_t kMostJsonBytes = 64'000'000;
constexpr auto kLongest = std::chrono::seconds(120);

double SecondsSince(Clock::time_point from) {
  return std::chrono::duration<double>(Clock::now() - from).count();
}

std::string PatchValues(const phantom::Phantom& drawn) {
  std::string csv = "patch,L,a,b\n";
  for (const auto& patch : drawn.card_patches) {
    csv +=
        fmt::format("{},{:.2f},{:.2f},{:.2f}\n", patch.id, patch.lab.L, patch.lab.a, patch.lab.b);
  }
  return csv;
}

// Runs the program to its end; what it prints is dropped.
Status RunProgram(const std::filesystem::path& binary, const std::vector<std::string>& arguments) {
  const auto child = photo::ChildProcess::Start(binary, arguments, {}, Clock::now() + kLongest);
  if (!child) {
    return Fail(Code::kInternal, "The program cannot be run.", binary.string(), "Run ./run first.");
  }
  using Outcome = photo::ChildProcess::Outcome;
  std::vector<std::uint8_t> block(1 << 12);
  Outcome outcome = Outcome::kFull;
  while (outcome == Outcome::kFull) outcome = child->Read(block);
  if (outcome != Outcome::kEnded) {
    return Fail(Code::kInternal, "The program hung.", binary.string(),
                "Run it by hand on a photo that --keep left.");
  }
  return {};
}

struct Judged {
  report::PhotoReport report;
  const report::Face* face = nullptr;  // that overlaps the true one most, by half at least
  double face_iou = 0.0;
  double seconds = 0.0;
};

Result<Judged> JudgePhoto(const CaseOptions& options, const std::string& photo,
                          const std::vector<std::string>& entered, const report::Face& truth) {
  Judged judged;
  const std::string json = photo + ".json";
  std::vector<std::string> arguments = {"judge", photo, "--json", json};
  arguments.insert(arguments.end(), entered.begin(), entered.end());
  const auto from = Clock::now();
  const auto ran = RunProgram(options.binary, arguments);
  judged.seconds = SecondsSince(from);
  if (!ran) return Fail(ran.error());
  const auto text = ReadFileLimited(json, kMostJsonBytes);
  if (!text) return Fail(text.error());
  auto report = report::FromJson({reinterpret_cast<const char*>(text->data()), text->size()});
  if (!options.keep) std::filesystem::remove(json);
  if (!report) return Fail(report.error());
  judged.report = std::move(*report);
  for (const report::Face& face : judged.report.faces) {
    const double iou = Iou(face.outline_px, truth.outline_px);
    if (iou > judged.face_iou) {
      judged.face_iou = iou;
      judged.face = iou >= 0.5 ? &face : nullptr;
    }
  }
  return judged;
}

std::vector<Reading> Read(const phantom::Phantom& drawn, report::MuscleName eye,
                          const Judged& judged) {
  std::vector<Reading> readings;
  const FaceOf truth{&drawn.truth, &drawn.truth.faces.front(), eye};
  const FaceOf found{&judged.report, judged.face, eye};
  for (const Quantity& quantity : Quantities()) {
    Reading& reading = readings.emplace_back();
    const auto value = quantity.read(truth);
    if (value && value->Known()) reading.truth = *value->value;
    if (judged.face) reading.judged = quantity.read(found);
  }
  return readings;
}

double MuscleIou(const report::Face& truth, const Judged& judged, report::MuscleName name) {
  const report::Muscle* drawn = FindMuscle(truth, name);
  const report::Muscle* found = judged.face ? FindMuscle(*judged.face, name) : nullptr;
  return drawn && found ? Iou(drawn->outline_px, found->outline_px) : 0.0;
}

report::MuscleName EyeOf(const phantom::Phantom& drawn) {
  return drawn.recipe.cut == phantom::Cut::kSirloin ? report::MuscleName::kGluteusMedius
                                                    : report::MuscleName::kLongissimus;
}

void Compare(const phantom::Phantom& drawn, const Judged& judged, CaseResult& result) {
  const report::Face& truth = drawn.truth.faces.front();
  const report::MuscleName eye = EyeOf(drawn);
  if (judged.report.error) {
    result.refusal = CodeText(judged.report.error->code);
  } else if (!judged.face) {
    result.refusal = "no_overlap";
  }
  result.judge_s = judged.seconds;
  result.face_iou = judged.face_iou;
  result.readings = Read(drawn, eye, judged);
  result.eye_iou = MuscleIou(truth, judged, eye);
  result.cap_iou = MuscleIou(truth, judged, report::MuscleName::kSpinalis);
  result.cap_called =
      judged.face && FindMuscle(*judged.face, report::MuscleName::kSpinalis) != nullptr;
  if (const auto* cap = FindMuscle(truth, report::MuscleName::kSpinalis)) {
    result.cap_thickest_mm = ThickestMm(cap->outline_px, drawn.faces.front().px_from_mm);
  }
}

// Of plain thresholds that are told the true eye, against its true marbling.
void AddBaselines(const phantom::Phantom& drawn, CaseResult& result) {
  const auto& truth = result.readings[QuantityIndex("eye marbling")].truth;
  const auto& scale = drawn.truth.scale.px_per_mm.value;
  if (!truth || !scale) return;
  const report::MuscleName name = EyeOf(drawn);
  const report::Muscle* muscle = FindMuscle(drawn.truth.faces.front(), name);
  if (!muscle) return;
  const cv::Mat eye =
      MaskOf(muscle->outline_px, drawn.rgb.size()) & (drawn.muscle == 1 + static_cast<int>(name));
  result.global_error = phantom::GlobalThresholdMarbling(drawn.rgb, eye) - *truth;
  result.local_error = phantom::LocalThresholdMarbling(drawn.rgb, eye, *scale) - *truth;
}

}  // namespace

Result<CaseResult> RunCase(std::uint64_t seed, phantom::Difficulty difficulty,
                           const CaseOptions& options) {
  CaseResult result;
  result.seed = seed;
  result.difficulty = difficulty;
  const phantom::Recipe recipe =
      phantom::DrawRecipe(seed, {.cut = {}, .difficulty = difficulty, .card = true, .wide = false});
  result.cut = recipe.cut;
  const auto from = Clock::now();
  const auto drawn = phantom::Render(recipe);
  result.render_s = SecondsSince(from);
  if (!drawn) return Fail(drawn.error());

  const auto stem = options.work / fmt::format("{}_{}", seed, static_cast<int>(difficulty));
  const std::string photo = stem.string() + ".jpg";
  const std::string values = stem.string() + ".patches.csv";
  if (auto s = WriteFileAtomically(photo, drawn->jpeg); !s) return Fail(s.error());
  if (auto s = WriteFileAtomically(values, PatchValues(*drawn)); !s) return Fail(s.error());

  math::Rng rng = math::Rng(seed).Fork(kThicknessTag);
  const double thickness = drawn->thickness_mm + rng.Uniform(-kThicknessDoubtMm, kThicknessDoubtMm);
  std::vector<std::string> entered = {"--thickness-mm", fmt::format("{:.2f}", thickness),
                                      "--bloom-min", "30"};
  if (options.enter_values) entered.insert(entered.end(), {"--card-values", values});
  if (options.enter_ruler) {
    const double ruler = std::round(drawn->card_ruler_mm * 2.0) / 2.0;
    entered.insert(entered.end(), {"--card-ruler-mm", fmt::format("{:.1f}", ruler)});
  }
  const report::Face& truth = drawn->truth.faces.front();
  const auto judged = JudgePhoto(options, photo, entered, truth);
  if (!judged) return Fail(judged.error());
  Compare(*drawn, *judged, result);

  if (options.also_bare) {
    const auto bare = JudgePhoto(options, photo, {}, truth);
    if (!bare) return Fail(bare.error());
    CaseResult other = result;
    Compare(*drawn, *bare, other);
    result.bare = std::move(other.readings);
  }
  if (options.baselines) AddBaselines(*drawn, result);
  if (!options.keep) {
    std::filesystem::remove(photo);
    std::filesystem::remove(values);
  }
  return result;
}

}  // namespace ribwright::bench
