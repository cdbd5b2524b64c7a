// SPDX-License-Identifier: Apache-2.0
#include "store/durable_files.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <atomic>
#include <cerrno>
#include <system_error>
#include <utility>

#include "base/files.h"
#include "store/trouble_log.h"

namespace ribwright::store {
namespace {

namespace fs = std::filesystem;

tl::unexpected<Error> Trouble(const fs::path& path, int number) {
  const bool full = number == ENOSPC || number == EDQUOT;
  LogTrouble(fmt::format("{}: {}", path.string(), std::generic_category().message(number)));
  return Fail(
      full ? Code::kStoreFull : Code::kStoreUnusable,
      fmt::format("A file could not be written: {}.", std::generic_category().message(number)),
      "data folder",
      full ? "Free some space on the disk and send it again."
           : "Check that the data folder can be written.");
}

class File {
 public:
  explicit File(int fd) : fd_(fd) {}
  File(const File&) = delete;
  File& operator=(const File&) = delete;
  ~File() {
    if (fd_ >= 0) ::close(fd_);
  }
  int get() const { return fd_; }
  int Close() { return ::close(std::exchange(fd_, -1)); }

 private:
  int fd_;
};

Status Flush(const fs::path& path, int flags) {
  File file(::open(path.c_str(), flags | O_CLOEXEC));
  if (file.get() < 0 || ::fsync(file.get()) != 0) return Trouble(path, errno);
  return {};
}

Status RenameDurably(const fs::path& from, const fs::path& target) {
  if (::rename(from.c_str(), target.c_str()) != 0) return Trouble(target, errno);
  return Flush(target.parent_path(), O_RDONLY | O_DIRECTORY);
}

}  // namespace

Status FlushFile(const fs::path& file) { return Flush(file, O_RDONLY); }

Status MakeFolders(const fs::path& folder) {
  std::error_code failed;
  fs::create_directories(folder, failed);
  if (failed) return Trouble(folder, failed.value());
  return {};
}

Status WriteDurably(const fs::path& target, std::span<const std::uint8_t> bytes) {
  if (const Status made = MakeFolders(target.parent_path()); !made) return made;
  static std::atomic<unsigned> counter{0};
  const fs::path part =
      target.parent_path() / fmt::format(".{}.{}.part", ::getpid(), counter.fetch_add(1));
  File file(::open(part.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0600));
  if (file.get() < 0) return Trouble(target, errno);
  int failed = 0;
  while (!bytes.empty() && failed == 0) {
    const ssize_t done = ::write(file.get(), bytes.data(), bytes.size());
    if (done >= 0) {
      bytes = bytes.subspan(static_cast<std::size_t>(done));
    } else if (errno != EINTR) {
      failed = errno;
    }
  }
  if (failed == 0 && ::fsync(file.get()) != 0) failed = errno;
  if (file.Close() != 0 && failed == 0) failed = errno;
  Status done;
  if (failed != 0) {
    done = Trouble(target, failed);
  } else {
    done = RenameDurably(part, target);
  }
  if (!done) ::unlink(part.c_str());
  return done;
}

Status CopyDurably(const fs::path& from, const fs::path& target) {
  constexpr std::size_t kMost = std::size_t{4} << 30U;
  const auto bytes = ReadFileLimited(from, kMost);
  if (!bytes) return Fail(bytes.error());
  return WriteDurably(target, *bytes);
}

Status MoveDurably(const fs::path& from, const fs::path& target) {
  if (const Status made = MakeFolders(target.parent_path()); !made) return made;
  if (const Status flushed = FlushFile(from); !flushed) return flushed;
  if (::rename(from.c_str(), target.c_str()) == 0) {
    return Flush(target.parent_path(), O_RDONLY | O_DIRECTORY);
  }
  if (errno != EXDEV) return Trouble(target, errno);
  const Status copied = CopyDurably(from, target);
  if (copied) ::unlink(from.c_str());
  return copied;
}

}  // namespace ribwright::store
