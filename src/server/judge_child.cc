// SPDX-License-Identifier: Apache-2.0
#include "server/judge_child.h"

#include <algorithm>
#include <array>
#include <optional>

#include "photo/child_process.h"
#include "report/json.h"

namespace ribwright::server {
namespace {

using photo::ChildProcess;

constexpr std::array<std::string_view, 3> kStages = {"reading", "measuring", "drawing"};

tl::unexpected<Error> Crashed(const std::string& name) {
  return Fail(Code::kJudgeCrashed, "The process that judges photos died while at this one.", name,
              "Try again; if it happens again, take the photo anew or save it as JPEG.");
}

tl::unexpected<Error> Unread(ChildProcess::Outcome outcome, const std::string& name) {
  if (outcome != ChildProcess::Outcome::kTimedOut) return Crashed(name);
  return Fail(Code::kJudgeTimedOut, "Judging this photo took too long and was stopped.", name,
              "Send it smaller; 12 million pixels are plenty.");
}

std::uint64_t MostBytes(FrameKind kind) {
  switch (kind) {
    case FrameKind::kStage:
    case FrameKind::kEnd:
      return 64;
    case FrameKind::kProblem:
      return 64 << 10;
    case FrameKind::kReport:
      return kMostReportBytes;
    case FrameKind::kRequest:
    case FrameKind::kPhoto:
      return 0;
    default:
      return kMostPictureBytes;
  }
}

bool BeginsAsPicture(FrameKind kind, const std::vector<std::uint8_t>& bytes) {
  static constexpr std::array<std::uint8_t, 8> kPng = {0x89, 'P', 'N', 'G', '\r', '\n', 0x1A, '\n'};
  static constexpr std::array<std::uint8_t, 3> kJpeg = {0xFF, 0xD8, 0xFF};
  const auto begins = [&](std::span<const std::uint8_t> start) {
    return bytes.size() > start.size() && std::equal(start.begin(), start.end(), bytes.begin());
  };
  return kind == FrameKind::kPicture ? begins(kJpeg) : begins(kPng);
}

std::optional<Error> ErrorFrom(const std::string& text) {
  const auto json = ParseJson(text);
  if (!json || !json->is_object()) return std::nullopt;
  const auto get = [&](const char* key) -> std::string {
    const auto it = json->find(key);
    return it != json->end() && it->is_string() ? it->get<std::string>() : std::string();
  };
  const auto code = CodeFromText(get("code"));
  if (!code) return std::nullopt;
  return Error{*code, get("message"), get("where"), get("mend")};
}

}  // namespace

Result<JudgeAnswer> JudgeInChild(const JudgeChildOptions& options, const JudgeTask& task,
                                 std::span<const std::uint8_t> photo,
                                 const std::function<void(const std::string& stage)>& stage) {
  const std::string& name = task.photo_name;
  std::vector<std::uint8_t> input;
  input.reserve(photo.size() + 4096);
  AppendFrame(FrameKind::kRequest, JsonText(TaskToJson(task)), input);
  AppendFrame(FrameKind::kPhoto, {reinterpret_cast<const char*>(photo.data()), photo.size()},
              input);
  const auto child = ChildProcess::Start(options.program, options.arguments, input,
                                         ChildProcess::Clock::now() + options.time);
  if (!child) return Crashed(name);
  JudgeAnswer answer;
  for (;;) {
    FrameHead head;
    auto* raw = reinterpret_cast<std::uint8_t*>(&head);
    const auto head_read = child->Read({raw, sizeof(head)});
    if (head_read != ChildProcess::Outcome::kFull) return Unread(head_read, name);
    const auto kind = static_cast<FrameKind>(head.kind);
    if (head.magic != kFrameMagic || head.kind == 0 ||
        head.kind > static_cast<std::uint32_t>(FrameKind::kEnd) || head.size > MostBytes(kind)) {
      return Crashed(name);
    }
    std::vector<std::uint8_t> bytes(head.size);
    const auto body_read = child->Read(bytes);
    if (body_read != ChildProcess::Outcome::kFull) return Unread(body_read, name);
    if (kind == FrameKind::kEnd) break;
    if (kind == FrameKind::kStage || kind == FrameKind::kProblem || kind == FrameKind::kReport) {
      std::string text(bytes.begin(), bytes.end());
      if (kind == FrameKind::kStage) {
        if (std::find(kStages.begin(), kStages.end(), text) == kStages.end()) return Crashed(name);
        stage(text);
      } else if (kind == FrameKind::kProblem) {
        const auto error = ErrorFrom(text);
        return error ? Fail(*error) : Crashed(name);
      } else {
        auto report = report::FromJson(text);
        if (!report) return Crashed(name);
        if (report->error) return Fail(*report->error);
        answer.report = std::move(*report);
        answer.report_json = std::move(text);
      }
      continue;
    }
    if (!BeginsAsPicture(kind, bytes)) return Crashed(name);
    answer.pictures[kind] = std::move(bytes);
  }
  const bool whole = task.only_picture ? answer.pictures.contains(FrameKind::kPicture)
                                       : !answer.report_json.empty();
  if (!whole) return Crashed(name);
  return answer;
}

}  // namespace ribwright::server
