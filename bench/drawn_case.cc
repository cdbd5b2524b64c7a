// SPDX-License-Identifier: Apache-2.0
#include "drawn_case.h"

#include <fmt/format.h>

#include <chrono>
#include <nlohmann/json.hpp>

#include "base/files.h"
#include "overlap.h"
#include "phantom/render.h"
#include "phantom/threshold_baseline.h"
#include "phantom_fingerprint.h"
#include "quantities.h"
#include "report/json.h"

namespace ribwright::bench {
namespace {

constexpr std::size_t kMostJsonBytes = 64'000'000;

std::string PatchValues(const phantom::Phantom& drawn) {
  std::string csv = "patch,L,a,b\n";
  for (const auto& patch : drawn.card_patches) {
    csv +=
        fmt::format("{},{:.2f},{:.2f},{:.2f}\n", patch.id, patch.lab.L, patch.lab.a, patch.lab.b);
  }
  return csv;
}

// Plain thresholds that are told the true eye, against its true marbling.
void AddBaselines(const phantom::Phantom& drawn, nlohmann::json& facts) {
  const report::MuscleName name = EyeOf(drawn.recipe.cut);
  const report::Muscle* muscle = FindMuscle(drawn.truth.faces.front(), name);
  const auto& scale = drawn.truth.scale.px_per_mm.value;
  if (muscle == nullptr || !scale || !muscle->marbling_pct.Known()) return;
  const double truth = *muscle->marbling_pct.value;
  const cv::Mat eye =
      MaskOf(muscle->outline_px, drawn.rgb.size()) & (drawn.muscle == 1 + static_cast<int>(name));
  facts["global_error"] = phantom::GlobalThresholdMarbling(drawn.rgb, eye) - truth;
  facts["local_error"] = phantom::LocalThresholdMarbling(drawn.rgb, eye, *scale) - truth;
}

Status Draw(const DrawnCase& wanted, const std::filesystem::path& json) {
  const phantom::Recipe recipe = phantom::DrawRecipe(
      wanted.seed, {.cut = {}, .difficulty = wanted.difficulty, .card = true, .wide = false});
  const auto from = std::chrono::steady_clock::now();
  auto drawn = phantom::Render(recipe);
  const std::chrono::duration<double> took = std::chrono::steady_clock::now() - from;
  if (!drawn) return Fail(drawn.error());
  if (auto s = WriteFileAtomically(wanted.photo, drawn->jpeg); !s) return s;
  if (auto s = WriteFileAtomically(wanted.patches, PatchValues(*drawn)); !s) return s;
  drawn->truth.photo = wanted.photo.filename().string();
  nlohmann::json facts;
  facts["cut"] = phantom::CutText(recipe.cut);
  facts["thickness_mm"] = drawn->thickness_mm;
  facts["ruler_mm"] = drawn->card_ruler_mm;
  facts["render_s"] = took.count();
  const cv::Matx33d& h = drawn->faces.front().px_from_mm;
  facts["px_from_mm"] = std::vector<double>(h.val, h.val + 9);
  AddBaselines(*drawn, facts);
  // Last, since its presence says that all is there.
  return WriteFileAtomically(
      json, fmt::format("{}\n{}\n", facts.dump(), report::ToJson(drawn->truth, false)));
}

// The first line is the facts, the second the truth.
bool Read(const std::filesystem::path& json, DrawnCase& drawn) {
  const auto bytes = ReadFileLimited(json, kMostJsonBytes);
  if (!bytes || !std::filesystem::exists(drawn.photo) || !std::filesystem::exists(drawn.patches)) {
    return false;
  }
  const std::string_view text(reinterpret_cast<const char*>(bytes->data()), bytes->size());
  const std::size_t end = text.find('\n');
  if (end == std::string_view::npos) return false;
  const auto facts = nlohmann::json::parse(text.substr(0, end), nullptr, false);
  auto truth = report::FromJson(text.substr(end + 1));
  if (facts.is_discarded() || !truth || truth->faces.empty()) return false;
  try {
    const auto cut = phantom::CutFromText(facts.at("cut").get<std::string>());
    const auto h = facts.at("px_from_mm").get<std::vector<double>>();
    if (!cut || h.size() != 9) return false;
    drawn.cut = *cut;
    drawn.px_from_mm = cv::Matx33d(h.data());
    drawn.thickness_mm = facts.at("thickness_mm").get<double>();
    drawn.ruler_mm = facts.at("ruler_mm").get<double>();
    drawn.render_s = facts.at("render_s").get<double>();
    if (facts.contains("global_error")) drawn.global_error = facts["global_error"].get<double>();
    if (facts.contains("local_error")) drawn.local_error = facts["local_error"].get<double>();
  } catch (const nlohmann::json::exception&) {
    return false;
  }
  drawn.truth = std::move(*truth);
  return true;
}

}  // namespace

report::MuscleName EyeOf(phantom::Cut cut) {
  return cut == phantom::Cut::kSirloin ? report::MuscleName::kGluteusMedius
                                       : report::MuscleName::kLongissimus;
}

std::filesystem::path StoreFor(const std::filesystem::path& store) {
  std::error_code ignored;
  if (std::filesystem::is_directory(store, ignored)) {
    for (const auto& entry : std::filesystem::directory_iterator(store, ignored)) {
      if (entry.path().filename() != kPhantomFingerprint) {
        std::filesystem::remove_all(entry.path(), ignored);
      }
    }
  }
  const std::filesystem::path folder = store / kPhantomFingerprint;
  std::filesystem::create_directories(folder, ignored);
  return folder;
}

Result<DrawnCase> EnsureDrawn(std::uint64_t seed, phantom::Difficulty difficulty,
                              const std::filesystem::path& folder) {
  DrawnCase drawn;
  drawn.seed = seed;
  drawn.difficulty = difficulty;
  const std::string stem = fmt::format("{}_{}", seed, phantom::DifficultyText(difficulty));
  drawn.photo = folder / (stem + ".jpg");
  drawn.patches = folder / (stem + ".patches.csv");
  const std::filesystem::path json = folder / (stem + ".json");
  if (Read(json, drawn)) return drawn;
  if (auto s = Draw(drawn, json); !s) return Fail(s.error());
  if (!Read(json, drawn)) {
    return Fail(Code::kInternal, "A phantom's truth cannot be read back.", json.string(),
                "Is the disk full?");
  }
  return drawn;
}

}  // namespace ribwright::bench
