// SPDX-License-Identifier: Apache-2.0
#include "server/judge_worker.h"

#include <signal.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <opencv2/core/utility.hpp>
#include <string>

#include "face/measure.h"
#include "photo/decode.h"
#include "photo/encode.h"
#include "programme/layers.h"
#include "programme/overlay.h"
#include "report/json.h"
#include "server/judge_frames.h"
#include "server/judge_task.h"
#include "server/problem.h"
#include "server/sandbox.h"

namespace ribwright::server {
namespace {

constexpr std::uint64_t kMostPhotoBytes = 64'000'000;
constexpr std::uint64_t kMostTaskBytes = 8u << 20;

#if defined(__SANITIZE_ADDRESS__)
constexpr std::size_t kAddressSpace = 0;
#else
// A photo of 100 million pixels takes some 4 GB (40 bytes a pixel); threads and libraries reserve
// more than they use.
constexpr std::size_t kAddressSpace = std::size_t{12} << 30;
#endif

bool ReadAll(void* to, std::size_t size) {
  auto* at = static_cast<char*>(to);
  while (size > 0) {
    const ssize_t got = ::read(STDIN_FILENO, at, size);
    if (got < 0 && errno == EINTR) continue;
    if (got <= 0) return false;
    at += got;
    size -= static_cast<std::size_t>(got);
  }
  return true;
}

bool ReadFrame(FrameKind kind, std::uint64_t most, std::vector<std::uint8_t>& bytes) {
  FrameHead head;
  if (!ReadAll(&head, sizeof(head)) || head.magic != kFrameMagic ||
      head.kind != static_cast<std::uint32_t>(kind) || head.size > most) {
    return false;
  }
  bytes.resize(head.size);
  return ReadAll(bytes.data(), bytes.size());
}

void WriteAll(const void* from, std::size_t size) {
  const auto* at = static_cast<const char*>(from);
  while (size > 0) {
    const ssize_t sent = ::write(STDOUT_FILENO, at, size);
    if (sent < 0 && errno == EINTR) continue;
    if (sent <= 0) std::_Exit(4);  // nobody listens any more
    at += sent;
    size -= static_cast<std::size_t>(sent);
  }
}

void Send(FrameKind kind, const void* bytes, std::size_t size) {
  const FrameHead head{kFrameMagic, static_cast<std::uint32_t>(kind), size};
  WriteAll(&head, sizeof(head));
  WriteAll(bytes, size);
}
void Send(FrameKind kind, std::string_view text) { Send(kind, text.data(), text.size()); }

int SendProblem(const Error& error) {
  Json json;
  json["code"] = std::string(CodeText(error.code));
  json["message"] = error.message;
  json["where"] = error.where;
  json["mend"] = error.mend;
  Send(FrameKind::kProblem, JsonText(json));
  Send(FrameKind::kEnd, "");
  return 0;
}

Status SendPicture(const cv::Mat& rgb) {
  auto jpeg =
      photo::EncodeJpeg(programme::LayerPicture(rgb), {82, photo::ChromaGrid::kHalf, {}, {}});
  if (!jpeg) return Fail(jpeg.error());
  Send(FrameKind::kPicture, jpeg->data(), jpeg->size());
  return {};
}

Status SendPng(FrameKind kind, const Result<std::vector<std::uint8_t>>& png) {
  if (!png) return Fail(png.error());
  Send(kind, png->data(), png->size());
  return {};
}

// The report has gone out before: a person who waits for numbers does not wait for pictures.
Status SendPictures(const programme::Judged& judged, bool quick) {
  if (!quick) {
    if (const Status sent = SendPicture(judged.rgb); !sent) return sent;
  }
  if (judged.tissue.empty()) return {};
  const auto layers = programme::DrawLayers(judged.tissue, judged.report);
  if (!layers) return Fail(layers.error());
  Send(FrameKind::kFat, layers->fat.data(), layers->fat.size());
  Send(FrameKind::kMuscles, layers->muscles.data(), layers->muscles.size());
  Send(FrameKind::kCover, layers->cover.data(), layers->cover.size());
  Send(FrameKind::kGlare, layers->glare.data(), layers->glare.size());
  if (const Status sent = SendPng(FrameKind::kTissue, photo::EncodePng(judged.tissue)); !sent) {
    return sent;
  }
  if (quick) return {};
  programme::OverlayOptions options;
  options.max_pixels = 4e6;  // for a screen; the full one comes from `ribwright judge`
  return SendPng(FrameKind::kOverlay, photo::EncodePng(programme::DrawOverlay(
                                          judged.rgb, judged.tissue, judged.report, options)));
}

int OnlyPicture(const std::vector<std::uint8_t>& bytes, const JudgeTask& task) {
  const auto photo = photo::DecodePhoto(bytes, task.photo_name);
  if (!photo) return SendProblem(photo.error());
  if (const Status sent = SendPicture(photo->rgb); !sent) return SendProblem(sent.error());
  Send(FrameKind::kEnd, "");
  return 0;
}

int Judge(const std::vector<std::uint8_t>& bytes, const JudgeTask& task) {
  const auto options = OptionsOf(task);
  if (!options) return SendProblem(options.error());
  cv::setNumThreads(task.threads);
  Send(FrameKind::kStage, "reading");
  const auto measure = [](const face::Request& request) {
    Send(FrameKind::kStage, "measuring");
    return face::Measure(request);
  };
  const programme::Judged judged = programme::JudgePhoto(bytes, task.photo_name, *options, measure);
  Send(FrameKind::kReport, report::ToJson(judged.report, false));
  if (!judged.report.error) {
    Send(FrameKind::kStage, "drawing");
    if (const Status sent = SendPictures(judged, task.quick); !sent)
      return SendProblem(sent.error());
  }
  Send(FrameKind::kEnd, "");
  return 0;
}

}  // namespace

int RunJudgeWorker() {
  ::signal(SIGPIPE, SIG_IGN);
  ConfineOptions confine;
  std::error_code failed;
  confine.program_folder = std::filesystem::read_symlink("/proc/self/exe", failed).parent_path();
  confine.address_space_bytes = kAddressSpace;
  const auto confined = Confine(confine);
  if (!confined) return SendProblem(confined.error());
  std::vector<std::uint8_t> request;
  std::vector<std::uint8_t> bytes;
  if (!ReadFrame(FrameKind::kRequest, kMostTaskBytes, request) ||
      !ReadFrame(FrameKind::kPhoto, kMostPhotoBytes, bytes)) {
    return 4;
  }
  const auto json = ParseJson({reinterpret_cast<const char*>(request.data()), request.size()});
  const auto task = json ? TaskFromJson(*json) : Result<JudgeTask>(Fail(Error{}));
  if (!task) return SendProblem(task.error());
  return task->only_picture ? OnlyPicture(bytes, *task) : Judge(bytes, *task);
}

}  // namespace ribwright::server
