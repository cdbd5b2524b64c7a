// SPDX-License-Identifier: Apache-2.0
#include "phantom_case.h"

#include <fmt/format.h>

#include <chrono>
#include <cmath>

#include "drawn_case.h"
#include "math/rng.h"
#include "overlap.h"
#include "quantities.h"
#include "run_judge.h"

namespace ribwright::bench {
namespace {

using Clock = std::chrono::steady_clock;

constexpr double kThicknessDoubtMm = 1.0;
constexpr std::uint64_t kThicknessTag = 0x7468;  // of the seeded stream for the entered thickness

double SecondsSince(Clock::time_point from) {
  return std::chrono::duration<double>(Clock::now() - from).count();
}

struct Judged {
  report::PhotoReport report;
  const report::Face* face = nullptr;  // that overlaps the true one most, by half at least
  double face_iou = 0.0;
  double seconds = 0.0;
};

Result<Judged> JudgePhoto(const CaseOptions& options, const DrawnCase& drawn,
                          const std::vector<std::string>& entered, const char* variant) {
  Judged judged;
  const report::Face& truth = drawn.truth.faces.front();
  const auto json = options.work / fmt::format("{}.{}.json", drawn.photo.stem().string(), variant);
  const auto from = Clock::now();
  auto report = RunJudge(options.binary, drawn.photo, entered, json, options.keep);
  judged.seconds = SecondsSince(from);
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

// The judge's eye of the cut: by its name, or the other eye muscle where only that was called. A
// strip may show both, so a name that is there goes before.
report::MuscleName JudgedEye(const Judged& judged, report::MuscleName wanted) {
  using report::MuscleName;
  if (!judged.face || FindMuscle(*judged.face, wanted)) return wanted;
  const MuscleName other =
      wanted == MuscleName::kLongissimus ? MuscleName::kGluteusMedius : MuscleName::kLongissimus;
  return FindMuscle(*judged.face, other) ? other : wanted;
}

std::vector<Reading> Read(const DrawnCase& drawn, const Judged& judged) {
  std::vector<Reading> readings;
  const report::MuscleName eye = EyeOf(drawn.cut);
  const FaceOf truth{&drawn.truth, &drawn.truth.faces.front(), eye};
  const FaceOf found{&judged.report, judged.face, JudgedEye(judged, eye)};
  for (const Quantity& quantity : Quantities()) {
    Reading& reading = readings.emplace_back();
    const auto value = quantity.read(truth);
    if (value && value->Known()) reading.truth = *value->value;
    if (judged.face) reading.judged = quantity.read(found);
  }
  return readings;
}

double MuscleIou(const report::Face& truth, const Judged& judged, report::MuscleName name,
                 report::MuscleName called) {
  const report::Muscle* drawn = FindMuscle(truth, name);
  const report::Muscle* found = judged.face ? FindMuscle(*judged.face, called) : nullptr;
  return drawn && found ? Iou(drawn->outline_px, found->outline_px) : 0.0;
}

void Compare(const DrawnCase& drawn, const Judged& judged, CaseResult& result) {
  const report::Face& truth = drawn.truth.faces.front();
  if (judged.report.error) {
    result.refusal = CodeText(judged.report.error->code);
  } else if (!judged.face) {
    result.refusal = "no_overlap";
  }
  result.judge_s = judged.seconds;
  result.face_iou = judged.face_iou;
  result.readings = Read(drawn, judged);
  const report::MuscleName eye = EyeOf(drawn.cut);
  const report::MuscleName cap = report::MuscleName::kSpinalis;
  result.eye_iou = MuscleIou(truth, judged, eye, JudgedEye(judged, eye));
  result.cap_iou = MuscleIou(truth, judged, cap, cap);
  result.cap_called = judged.face && FindMuscle(*judged.face, cap) != nullptr;
  if (const auto* true_cap = FindMuscle(truth, cap)) {
    result.cap_thickest_mm = ThickestMm(true_cap->outline_px, drawn.px_from_mm);
  }
  result.causes = {};
  result.causes.px_per_mm = judged.report.scale.px_per_mm;
  if (judged.face) {
    result.causes.unreadable_pct = judged.face->unreadable_pct;
    result.causes.sharpness = judged.face->sharpness;
    if (judged.face->colour_rule_marbling_pct && judged.face->marbling_pct.Known()) {
      result.causes.disagreement =
          std::abs(*judged.face->colour_rule_marbling_pct - *judged.face->marbling_pct.value);
    }
  }
  for (const report::Caution& caution : judged.report.warnings) {
    result.causes.warnings.emplace_back(CodeText(caution.code));
  }
}

std::vector<std::string> WhatACarefulUserEnters(const DrawnCase& drawn,
                                                const CaseOptions& options) {
  math::Rng rng = math::Rng(drawn.seed).Fork(kThicknessTag);
  const double thickness = drawn.thickness_mm + rng.Uniform(-kThicknessDoubtMm, kThicknessDoubtMm);
  std::vector<std::string> entered = {"--thickness-mm", fmt::format("{:.2f}", thickness),
                                      "--bloom-min", "30"};
  if (options.enter_values) {
    entered.insert(entered.end(), {"--card-values", drawn.patches.string()});
  }
  if (options.enter_ruler) {
    const double ruler = std::round(drawn.ruler_mm * 2.0) / 2.0;
    entered.insert(entered.end(), {"--card-ruler-mm", fmt::format("{:.1f}", ruler)});
  }
  return entered;
}

}  // namespace

Result<CaseResult> RunCase(std::uint64_t seed, phantom::Difficulty difficulty,
                           const CaseOptions& options) {
  const auto drawn = EnsureDrawn(seed, difficulty, options.store);
  if (!drawn) return Fail(drawn.error());
  CaseResult result;
  result.seed = seed;
  result.difficulty = difficulty;
  result.cut = drawn->cut;
  result.render_s = drawn->render_s;
  result.global_error = drawn->global_error;
  result.local_error = drawn->local_error;
  const auto judged =
      JudgePhoto(options, *drawn, WhatACarefulUserEnters(*drawn, options), "entered");
  if (!judged) return Fail(judged.error());
  Compare(*drawn, *judged, result);
  if (options.also_bare) {
    const auto bare = JudgePhoto(options, *drawn, {}, "bare");
    if (!bare) return Fail(bare.error());
    CaseResult other = result;
    Compare(*drawn, *bare, other);
    result.bare = std::move(other.readings);
    result.bare_causes = std::move(other.causes);
  }
  return result;
}

}  // namespace ribwright::bench
