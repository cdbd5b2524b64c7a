// SPDX-License-Identifier: Apache-2.0
#include "server/judge_task.h"

#include "programme/edits_file.h"

namespace ribwright::server {
namespace {

template <typename T>
std::optional<T> Given(const Json& json, const char* key) {
  const auto found = json.find(key);
  if (found == json.end() || found->is_null()) return std::nullopt;
  if constexpr (std::is_same_v<T, std::string>) {
    return found->is_string() ? std::optional<T>(found->get<std::string>()) : std::nullopt;
  } else {
    return found->is_number() ? std::optional<T>(found->get<T>()) : std::nullopt;
  }
}

Status ReadGrade(const JudgeTask& task, grade::GradeRequest& request) {
  if (const auto text = Given<std::string>(task.options, "maturity")) {
    const auto maturity = grade::MaturityFromText(*text);
    if (!maturity) return Fail(maturity.error());
    request.maturity = *maturity;
  }
  if (const auto text = Given<std::string>(task.options, "dark_cutting")) {
    const auto part = grade::DarkCuttingFromText(*text);
    if (!part) return Fail(part.error());
    request.dark_cutting = *part;
  }
  if (const auto text = Given<std::string>(task.options, "rib_numbering")) {
    const auto numbering = grade::RibNumberingFromText(*text);
    if (!numbering) return Fail(numbering.error());
    request.rib_numbering = *numbering;
  }
  if (!task.house_spec.empty()) {
    auto spec = grade::ParseHouseSpec(task.house_spec, "settings");
    if (!spec) return Fail(spec.error());
    request.house_spec = std::move(*spec);
  }
  return {};
}

}  // namespace

Json TaskToJson(const JudgeTask& task) {
  Json json;
  json["photo_name"] = task.photo_name;
  json["options"] = task.options;
  json["house_spec"] = task.house_spec;
  json["card_ruler_mm"] = task.card_ruler_mm ? Json(*task.card_ruler_mm) : Json();
  json["edits"] = task.edits;
  json["only_picture"] = task.only_picture;
  json["quick"] = task.quick;
  json["threads"] = task.threads;
  return json;
}

Result<JudgeTask> TaskFromJson(const Json& json) {
  JudgeTask task;
  const auto options = json.find("options");
  const auto threads = Given<int>(json, "threads");
  const auto only = json.find("only_picture");
  const auto quick = json.find("quick");
  if (options == json.end() || !options->is_object() || !threads || only == json.end() ||
      !only->is_boolean() || quick == json.end() || !quick->is_boolean()) {
    return Fail(Code::kInternal, "The judge was asked in a way it does not know.", "", "");
  }
  task.options = *options;
  task.photo_name = Given<std::string>(json, "photo_name").value_or("");
  task.house_spec = Given<std::string>(json, "house_spec").value_or("");
  task.card_ruler_mm = Given<double>(json, "card_ruler_mm");
  task.edits = Given<std::string>(json, "edits").value_or("");
  task.only_picture = only->get<bool>();
  task.quick = quick->get<bool>();
  task.threads = *threads;
  return task;
}

Result<programme::JudgeOptions> OptionsOf(const JudgeTask& task) {
  programme::JudgeOptions options;
  if (Given<std::string>(task.options, "framing") == "crop") {
    options.framing = face::Framing::kCrop;
  }
  if (Given<std::string>(task.options, "method") == "learned") {
    options.method = face::MethodName::kLearned;
  }
  options.use_card = Given<std::string>(task.options, "card") != "none";
  options.thickness_mm = Given<double>(task.options, "thickness_mm");
  options.px_per_mm = Given<double>(task.options, "px_per_mm");
  options.bloom_min = Given<double>(task.options, "bloom_min");
  // The house's card means nothing where this photo's card is not looked for.
  if (options.use_card) options.card_ruler_mm = task.card_ruler_mm;
  options.threads = task.threads;
  if (const Status grade = ReadGrade(task, options.grade); !grade) return Fail(grade.error());
  if (!task.edits.empty()) {
    auto edits = programme::ParseEdits(task.edits);
    if (!edits) return Fail(edits.error());
    options.edits = std::move(*edits);
  }
  if (const Status range = CheckJudgeOptions(options); !range) return Fail(range.error());
  return options;
}

}  // namespace ribwright::server
