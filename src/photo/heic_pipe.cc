// SPDX-License-Identifier: Apache-2.0
#include "photo/heic_pipe.h"

#include <fmt/format.h>
#include <unistd.h>

#include <cstdlib>
#include <string>
#include <system_error>

#include "photo/child_process.h"
#include "photo/heic_protocol.h"

namespace ribwright::photo {
namespace {

namespace fs = std::filesystem;
using heic::HelperStatus;

tl::unexpected<Error> HelperFailed(const ReadContext& context, std::string_view why) {
  return Fail(Code::kHeicHelperFailed, fmt::format("The helper program for HEIC {}.", why),
              std::string(context.name), "Save the photo as JPEG and try again.");
}

tl::unexpected<Error> Explain(HelperStatus status, const ReadContext& context) {
  switch (status) {
    case HelperStatus::kTruncated:
      return Truncated(context);
    case HelperStatus::kCorrupt:
      return Corrupt(context, "its HEIC container or pictures break their own rules");
    case HelperStatus::kTooLarge:
      return Fail(Code::kPhotoTooLarge,
                  fmt::format("The photo has more than {:.0f} million pixels.",
                              static_cast<double>(context.options.max_pixels) / 1e6),
                  std::string(context.name), "Save it smaller, 12 million pixels are plenty.");
    case HelperStatus::kAnimated:
      return Animated(context);
    case HelperStatus::kUnsupported:
      return Unsupported(context, "a HEIC feature its codec lacks");
    case HelperStatus::kDone:
      break;
  }
  return HelperFailed(context, "gave an answer that makes no sense");
}

tl::unexpected<Error> Explain(ChildProcess::Outcome outcome, const ReadContext& context) {
  return HelperFailed(context, outcome == ChildProcess::Outcome::kTimedOut
                                   ? "took too long and was stopped"
                                   : "stopped before it was done");
}

}  // namespace

fs::path FindHeicHelper(const DecodeOptions& options) {
  const auto runnable = [](const fs::path& path) { return ::access(path.c_str(), X_OK) == 0; };
  if (!options.heic_helper.empty()) {
    return runnable(options.heic_helper) ? options.heic_helper : fs::path();
  }
  if (const char* named = std::getenv("RIBWRIGHT_HEIC_HELPER"); named != nullptr) {
    return runnable(named) ? fs::path(named) : fs::path();
  }
  std::error_code failed;
  const fs::path folder = fs::read_symlink("/proc/self/exe", failed).parent_path();
  if (failed) return {};
  for (const fs::path& path :
       {folder / "ribwright-heic", folder / "helpers" / "heic" / "ribwright-heic"}) {
    if (runnable(path)) return path;
  }
  return {};
}

Result<RawPicture> ReadHeic(std::span<const std::uint8_t> bytes, const ReadContext& context) {
  using Outcome = ChildProcess::Outcome;
  const DecodeOptions& options = context.options;
  const fs::path helper = FindHeicHelper(options);
  if (helper.empty()) {
    return Fail(Code::kHeicHelperMissing,
                "HEIC needs the helper program ribwright-heic, which is not installed.",
                std::string(context.name),
                "Build with libheif present, or save the photo as JPEG.");
  }
  const auto child = ChildProcess::Start(
      helper, {std::to_string(options.max_pixels), std::to_string(options.max_bytes)}, bytes,
      ChildProcess::Clock::now() + options.heic_timeout);
  if (!child) return HelperFailed(context, "could not be started");
  heic::Header header;
  auto* header_bytes = reinterpret_cast<std::uint8_t*>(&header);
  Outcome outcome = child->Read({header_bytes, sizeof(header)});
  if (outcome != Outcome::kFull) return Explain(outcome, context);
  if (header.magic != heic::kMagic) return HelperFailed(context, "does not speak our protocol");
  if (header.status != HelperStatus::kDone) return Explain(header.status, context);
  if (const Status size = CheckPixels(header.width, header.height, context); !size) {
    return Fail(size.error());
  }
  if (header.exif_bytes > heic::kMostMetadata || header.icc_bytes > heic::kMostMetadata) {
    return HelperFailed(context, "gave an answer that makes no sense");
  }
  RawPicture raw;
  raw.upright = true;
  raw.exif.resize(header.exif_bytes);
  raw.icc.resize(header.icc_bytes);
  raw.pixels.create(static_cast<int>(header.height), static_cast<int>(header.width), CV_8UC3);
  const std::span pixels(raw.pixels.data, raw.pixels.total() * raw.pixels.elemSize());
  for (const std::span<std::uint8_t> part : {std::span(raw.exif), std::span(raw.icc), pixels}) {
    outcome = child->Read(part);
    if (outcome != Outcome::kFull) return Explain(outcome, context);
  }
  return raw;
}

}  // namespace ribwright::photo
