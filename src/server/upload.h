// SPDX-License-Identifier: Apache-2.0
// Receiving a photo: bytes go to a file in the data folder's `incoming` as they arrive, never
// whole into memory, and are hashed on the way.
//
// The announced and the real size are bounded by kMostPhotoBytes, and an upload has kUploadTime in
// all, at connection.h's least pace. The file is flushed to the disk before it is handed on; an
// upload that is refused or breaks off leaves nothing. Errors: kFileTooLarge, kFileEmpty,
// kNotAPhoto and kPhotoUnsupported (by the first bytes), kPhotoTruncated and kPhotoCmyk
// (photo_shape.h; what a picture really holds is found by the judge's process), kUploadBroken,
// kStoreFull, kOutputUnwritable. Thread-safe; SweepIncoming at the start, before any upload.
#pragma once

#include <chrono>
#include <filesystem>
#include <string>

#include "base/result.h"
#include "ledger/hash.h"
#include "server/api.h"

namespace ribwright::server {

inline constexpr std::size_t kMostPhotoBytes = 64'000'000;
inline constexpr std::chrono::minutes kUploadTime{10};

// A received file; removed with the object unless it was adopted (moved away) before.
class Upload {
 public:
  Upload() = default;
  Upload(Upload&& other) noexcept;
  Upload& operator=(Upload&& other) noexcept;
  ~Upload();

  std::filesystem::path file;
  ledger::Hash hash;
  std::int64_t bytes = 0;
  std::string media;  // "image/jpeg", …
};

Result<Upload> Receive(const Call& call, const std::filesystem::path& incoming);

// Makes the folder, removes what an earlier run left in it.
Status SweepIncoming(const std::filesystem::path& incoming);

}  // namespace ribwright::server
