// SPDX-License-Identifier: Apache-2.0
#include "server/upload.h"

#include <fcntl.h>
#include <sodium.h>
#include <sys/mman.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <utility>
#include <vector>

#include "photo/sniff.h"
#include "server/http_server.h"
#include "server/photo_shape.h"
#include "server/secrets.h"

namespace ribwright::server {
namespace {

constexpr std::size_t kSniffBytes = 64;

std::string MediaOf(photo::PhotoFormat format) {
  switch (format) {
    case photo::PhotoFormat::kJpeg:
      return "image/jpeg";
    case photo::PhotoFormat::kPng:
      return "image/png";
    case photo::PhotoFormat::kWebp:
      return "image/webp";
    case photo::PhotoFormat::kHeic:
      return "image/heic";
  }
  return "application/octet-stream";
}

Error DiskError(int number, const std::string& doing) {
  if (number == ENOSPC || number == EDQUOT) {
    return {Code::kStoreFull, "The disk is full; the photo was not kept.", "data folder",
            "Make room, then send the photo again."};
  }
  return {Code::kOutputUnwritable,
          "The photo could not be " + doing + ": " + std::strerror(number) + ".", "data folder",
          "Look at the data folder's permissions."};
}

Error TooLarge() {
  return {Code::kFileTooLarge, "The photo is larger than 64 MB.", "body",
          "Save it smaller; 12 million pixels are plenty."};
}

// Takes the bytes; remembers the first thing that goes wrong.
class Sink {
 public:
  explicit Sink(std::filesystem::path file) : file_(std::move(file)) {
    fd_ = ::open(file_.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0600);
    if (fd_ < 0) error_ = DiskError(errno, "kept");
    crypto_hash_sha256_init(&hash_);
  }
  Sink(const Sink&) = delete;
  Sink& operator=(const Sink&) = delete;
  ~Sink() {
    if (fd_ >= 0) ::close(fd_);
  }

  bool Take(const char* data, std::size_t size) {
    if (error_) return false;
    if (bytes_ + size > kMostPhotoBytes) {
      error_ = TooLarge();
      return false;
    }
    const auto* raw = reinterpret_cast<const std::uint8_t*>(data);
    if (start_.size() < kSniffBytes) {
      start_.insert(start_.end(), raw, raw + std::min(size, kSniffBytes - start_.size()));
      if (start_.size() >= kSniffBytes && !KnownFormat()) return false;
    }
    crypto_hash_sha256_update(&hash_, raw, size);
    bytes_ += size;
    while (size > 0) {
      const ssize_t written = ::write(fd_, data, size);
      if (written < 0 && errno == EINTR) continue;
      if (written < 0) {
        error_ = DiskError(errno, "kept");
        return false;
      }
      data += written;
      size -= static_cast<std::size_t>(written);
    }
    return true;
  }

  bool KnownFormat() {
    const photo::Sniffed sniffed = photo::Sniff(start_);
    format_ = sniffed.format;
    if (format_) return true;
    error_ = Error{Code::kNotAPhoto,
                   sniffed.seems.empty() ? "The file is not a picture that can be read."
                                         : "The file is " + std::string(sniffed.seems) + ".",
                   "body", "Send a JPEG, PNG, WebP or HEIC photo."};
    return false;
  }

  Status Close() {
    if (::fsync(fd_) != 0) return Fail(DiskError(errno, "kept"));
    if (::close(std::exchange(fd_, -1)) != 0) return Fail(DiskError(errno, "kept"));
    return {};
  }

  const std::optional<Error>& error() const { return error_; }
  std::size_t bytes() const { return bytes_; }
  photo::PhotoFormat format() const { return *format_; }
  std::string media() const { return MediaOf(*format_); }
  ledger::Hash Hash() {
    ledger::Hash hash;
    crypto_hash_sha256_final(&hash_, hash.bytes.data());
    return hash;
  }

 private:
  std::filesystem::path file_;
  int fd_ = -1;
  crypto_hash_sha256_state hash_;
  std::size_t bytes_ = 0;
  std::vector<std::uint8_t> start_;
  std::optional<photo::PhotoFormat> format_;
  std::optional<Error> error_;
};

// Mapped, not read: many large photos may come at once.
Status CheckShapeOf(const std::filesystem::path& file, std::size_t bytes,
                    photo::PhotoFormat format) {
  const int fd = ::open(file.c_str(), O_RDONLY | O_CLOEXEC);
  if (fd < 0) return Fail(DiskError(errno, "read"));
  void* const mapped = ::mmap(nullptr, bytes, PROT_READ, MAP_PRIVATE, fd, 0);
  const int number = errno;
  ::close(fd);
  if (mapped == MAP_FAILED) return Fail(DiskError(number, "read"));
  Status shape = CheckPhotoShape({static_cast<const std::uint8_t*>(mapped), bytes}, format);
  ::munmap(mapped, bytes);
  return shape;
}

}  // namespace

Upload::Upload(Upload&& other) noexcept
    : file(std::exchange(other.file, {})),
      hash(other.hash),
      bytes(other.bytes),
      media(std::move(other.media)) {}

Upload& Upload::operator=(Upload&& other) noexcept {
  std::swap(file, other.file);
  hash = other.hash;
  bytes = other.bytes;
  media = std::move(other.media);
  return *this;
}

Upload::~Upload() {
  if (!file.empty()) ::unlink(file.c_str());
}

Result<Upload> Receive(const Call& call, const std::filesystem::path& incoming) {
  const std::string announced = call.http->get_header_value("Content-Length");
  if (announced.size() > 12 ||
      (!announced.empty() && std::strtoull(announced.c_str(), nullptr, 10) > kMostPhotoBytes)) {
    HttpServer::CloseAfterAnswer();
    return Fail(TooLarge());
  }
  if (announced == "0" || (announced.empty() && !call.http->has_header("Transfer-Encoding"))) {
    return Fail(Code::kFileEmpty, "The photo holds no bytes.", "body", "Send the photo again.");
  }
  HttpServer::AllowUntil(Connection::Clock::now() + kUploadTime);
  Upload upload;
  upload.file = incoming / NewToken();
  Sink sink(upload.file);
  const bool whole =
      (*call.reader)([&](const char* data, std::size_t size) { return sink.Take(data, size); });
  if (sink.error()) {
    HttpServer::CloseAfterAnswer();
    return Fail(*sink.error());
  }
  if (!whole) {
    HttpServer::CloseAfterAnswer();
    return Fail(Code::kUploadBroken, "The upload broke off before its end.", "body",
                "Send the photo again.");
  }
  if (sink.bytes() == 0) {
    return Fail(Code::kFileEmpty, "The photo holds no bytes.", "body", "Send the photo again.");
  }
  if (!sink.KnownFormat()) return Fail(*sink.error());
  if (const Status closed = sink.Close(); !closed) return Fail(closed.error());
  if (const Status shape = CheckShapeOf(upload.file, sink.bytes(), sink.format()); !shape) {
    return Fail(shape.error());
  }
  upload.hash = sink.Hash();
  upload.bytes = static_cast<std::int64_t>(sink.bytes());
  upload.media = sink.media();
  return upload;
}

Status SweepIncoming(const std::filesystem::path& incoming) {
  std::error_code failed;
  std::filesystem::remove_all(incoming, failed);
  std::filesystem::create_directories(incoming, failed);
  if (failed) {
    return Fail(Code::kOutputUnwritable, "The folder cannot be made: " + failed.message() + ".",
                "data folder", "Give a data folder that you may write to.");
  }
  return {};
}

}  // namespace ribwright::server
