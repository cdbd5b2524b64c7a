// SPDX-License-Identifier: Apache-2.0
#include "base/files.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <atomic>
#include <cerrno>
#include <cstring>
#include <system_error>
#include <utility>

namespace ribwright {
namespace {

namespace fs = std::filesystem;

std::string ErrnoText(int number) { return std::generic_category().message(number); }

class Descriptor {
 public:
  explicit Descriptor(int fd) : fd_(fd) {}
  Descriptor(const Descriptor&) = delete;
  Descriptor& operator=(const Descriptor&) = delete;
  ~Descriptor() {
    if (fd_ >= 0) ::close(fd_);
  }
  int get() const { return fd_; }
  int Close() { return ::close(std::exchange(fd_, -1)); }

 private:
  int fd_;
};

tl::unexpected<Error> TooLarge(const fs::path& path, std::size_t limit) {
  return Fail(Code::kFileTooLarge,
              fmt::format("The file is larger than {:.0f} MB.", static_cast<double>(limit) / 1e6),
              path.string(), "Give a smaller file.");
}

tl::unexpected<Error> Unwritable(const fs::path& path, int number) {
  return Fail(Code::kOutputUnwritable, fmt::format("Writing failed: {}.", ErrnoText(number)),
              path.string(), "Check that the folder exists, can be written and has space.");
}

// 0, or the errno of the write that failed.
int WriteAll(int fd, std::span<const std::uint8_t> bytes) {
  while (!bytes.empty()) {
    const ssize_t done = ::write(fd, bytes.data(), bytes.size());
    if (done < 0) {
      if (errno == EINTR) continue;
      return errno;
    }
    bytes = bytes.subspan(static_cast<std::size_t>(done));
  }
  return 0;
}

// /dev/stdin, /dev/fd/3 and the like: what whoever started this program handed over.
bool IsHandedOver(const fs::path& path) {
  const std::string text = path.lexically_normal().string();
  return text == "/dev/stdin" || text.starts_with("/dev/fd/") || text.starts_with("/proc/self/fd/");
}

// A name no other writer of this or another process uses; O_EXCL guards against leftovers.
fs::path TemporaryBeside(const fs::path& target) {
  static std::atomic<unsigned> counter{0};
  return target.parent_path() / fmt::format(".{}.{}.{}.part", target.filename().string(),
                                            ::getpid(), counter.fetch_add(1));
}

}  // namespace

Result<std::vector<std::uint8_t>> ReadFileLimited(const fs::path& path, std::size_t limit) {
  const auto unreadable = [&](const std::string& why) {
    return Fail(Code::kFileUnreadable, fmt::format("The file cannot be read: {}.", why),
                path.string(), "Check the name and that you may read it.");
  };
  // Without waiting, since a pipe that nobody writes to would never open.
  Descriptor file(::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK | O_NOCTTY));
  if (file.get() < 0) return unreadable(ErrnoText(errno));
  struct stat info {};
  if (::fstat(file.get(), &info) != 0) return unreadable(ErrnoText(errno));
  if (S_ISDIR(info.st_mode)) return unreadable("it is a folder");
  if (!S_ISREG(info.st_mode)) {
    if (!IsHandedOver(path)) return unreadable("it is a pipe, a device or a socket");
    const int flags = ::fcntl(file.get(), F_GETFL);
    if (flags < 0 || ::fcntl(file.get(), F_SETFL, flags & ~O_NONBLOCK) != 0) {
      return unreadable(ErrnoText(errno));
    }
  }
  const bool sized = S_ISREG(info.st_mode) && info.st_size > 0;
  if (sized && static_cast<std::uintmax_t>(info.st_size) > limit) return TooLarge(path, limit);

  constexpr std::size_t kStep = std::size_t{1} << 20;
  std::vector<std::uint8_t> bytes;
  std::size_t used = 0;
  for (;;) {
    // One spare byte tells a file that ends here from one that has grown.
    const std::size_t want =
        used == 0 && sized ? static_cast<std::size_t>(info.st_size) + 1 : kStep;
    if (bytes.size() < used + want) bytes.resize(used + want);
    const ssize_t got = ::read(file.get(), bytes.data() + used, bytes.size() - used);
    if (got < 0) {
      if (errno == EINTR) continue;
      return unreadable(ErrnoText(errno));
    }
    if (got == 0) break;
    used += static_cast<std::size_t>(got);
    if (used > limit) return TooLarge(path, limit);
  }
  bytes.resize(used);
  if (bytes.empty()) {
    return Fail(Code::kFileEmpty, "The file holds no bytes.", path.string(),
                "Copy the file again from where it came.");
  }
  return bytes;
}

Status WriteFileAtomically(const fs::path& path, std::span<const std::uint8_t> bytes) {
  std::error_code ignored;
  fs::path target = path;
  if (fs::is_symlink(path, ignored)) {
    const fs::path resolved = fs::weakly_canonical(path, ignored);
    if (!resolved.empty()) target = resolved;
  }
  const fs::file_status status = fs::status(target, ignored);
  if (fs::is_directory(status)) return Unwritable(path, EISDIR);
  if (fs::exists(status) && !fs::is_regular_file(status)) {
    Descriptor device(::open(target.c_str(), O_WRONLY | O_CLOEXEC));
    if (device.get() < 0) return Unwritable(path, errno);
    const int failed = WriteAll(device.get(), bytes);
    if (failed != 0) return Unwritable(path, failed);
    return {};
  }
  const fs::path temporary = TemporaryBeside(target);
  Descriptor file(::open(temporary.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666));
  if (file.get() < 0) return Unwritable(path, errno);
  int failed = WriteAll(file.get(), bytes);
  if (file.Close() != 0 && failed == 0) failed = errno;
  if (failed == 0 && ::rename(temporary.c_str(), target.c_str()) != 0) failed = errno;
  if (failed != 0) {
    ::unlink(temporary.c_str());
    return Unwritable(path, failed);
  }
  return {};
}

Status WriteFileAtomically(const fs::path& path, std::string_view text) {
  return WriteFileAtomically(
      path, std::span(reinterpret_cast<const std::uint8_t*>(text.data()), text.size()));
}

}  // namespace ribwright
