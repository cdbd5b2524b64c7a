// SPDX-License-Identifier: Apache-2.0
#include "server/house_lock.h"

#include <fcntl.h>
#include <sys/file.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <string>
#include <utility>

namespace ribwright::server {
namespace {

// The number in the file, as text; empty: none.
std::string HolderOf(int fd) {
  std::array<char, 24> text{};
  const ssize_t got = ::pread(fd, text.data(), text.size(), 0);
  std::string digits;
  for (ssize_t i = 0; i < got; ++i) {
    const char c = text[static_cast<std::size_t>(i)];
    if (c < '0' || c > '9') break;
    digits += c;
  }
  return digits;
}

}  // namespace

Result<HouseLock> HouseLock::Take(const std::filesystem::path& folder) {
  const std::filesystem::path file = folder / "serve.lock";
  HouseLock lock(::open(file.c_str(), O_RDWR | O_CREAT | O_CLOEXEC | O_NOFOLLOW, 0600));
  if (lock.fd_ < 0) {
    return Fail(Code::kStoreUnusable, "The data folder cannot be written.", "data folder",
                "Give this user the right to write there, or another folder with --data.");
  }
  if (::flock(lock.fd_, LOCK_EX | LOCK_NB) != 0) {
    const std::string holder = HolderOf(lock.fd_);
    return Fail(Code::kStoreBusy,
                "Another ribwright serve runs on this data folder" +
                    (holder.empty() ? std::string() : " (process " + holder + ")") + ".",
                "data folder", "Use that one, or stop it first; or give another folder.");
  }
  const std::string text = std::to_string(::getpid()) + "\n";
  if (::ftruncate(lock.fd_, 0) != 0 ||
      ::pwrite(lock.fd_, text.data(), text.size(), 0) != static_cast<ssize_t>(text.size())) {
    return Fail(errno == ENOSPC ? Code::kStoreFull : Code::kStoreUnusable,
                "The lock of the data folder cannot be written.", "data folder",
                "Make room on the disk, and check that the folder can be written.");
  }
  return lock;
}

HouseLock::HouseLock(HouseLock&& other) noexcept : fd_(std::exchange(other.fd_, -1)) {}

HouseLock& HouseLock::operator=(HouseLock&& other) noexcept {
  std::swap(fd_, other.fd_);
  return *this;
}

HouseLock::~HouseLock() {
  if (fd_ >= 0) ::close(fd_);
}

}  // namespace ribwright::server
