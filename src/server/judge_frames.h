// SPDX-License-Identifier: Apache-2.0
// What the server and the judge's child process say to each other over two pipes.
//
// Both ways: frames of a head (magic, kind, size, all little-endian as the machine has it: both
// ends are one program on one machine) and `size` bytes. To the child: one kRequest (JSON,
// JudgeTask) and one kPhoto (the file's bytes). From the child: any number of kStage, then either
// kProblem (JSON of an Error) or kReport (JSON, schema ribwright.face/1; a photo that cannot be
// judged is a report with its error) and one frame for each picture made, and kEnd. Everything that
// comes from the child counts as hostile: sizes are bounded before memory is taken, JSON is parsed
// strictly, and pictures must begin as PNG or JPEG do.
#pragma once

#include <array>
#include <cstdint>
#include <cstring>
#include <string>
#include <string_view>
#include <vector>

namespace ribwright::server {

enum class FrameKind : std::uint32_t {
  kRequest = 1,
  kPhoto = 2,
  kStage = 3,
  kProblem = 4,
  kReport = 5,
  kPicture = 6,  // JPEG, the upright photo scaled down
  kTissue = 7,   // PNG from here on
  kOverlay = 8,
  kFat = 9,
  kMuscles = 10,
  kCover = 11,
  kGlare = 12,
  kEnd = 13,
};

inline constexpr std::uint32_t kFrameMagic = 0x52574A31;
inline constexpr std::uint64_t kMostReportBytes = 64u << 20;
inline constexpr std::uint64_t kMostPictureBytes = 400u << 20;

struct FrameHead {
  std::uint32_t magic = kFrameMagic;
  std::uint32_t kind = 0;
  std::uint64_t size = 0;
};

inline void AppendFrame(FrameKind kind, std::string_view bytes, std::vector<std::uint8_t>& out) {
  const FrameHead head{kFrameMagic, static_cast<std::uint32_t>(kind), bytes.size()};
  const auto* raw = reinterpret_cast<const std::uint8_t*>(&head);
  out.insert(out.end(), raw, raw + sizeof(head));
  out.insert(out.end(), bytes.begin(), bytes.end());
}

}  // namespace ribwright::server
