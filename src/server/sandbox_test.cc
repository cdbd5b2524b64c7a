// SPDX-License-Identifier: Apache-2.0
// What a confined process can and cannot do, tried by a process that confines itself.
#include "server/sandbox.h"

#include <arpa/inet.h>
#include <fcntl.h>
#include <gtest/gtest.h>
#include <netinet/in.h>
#include <signal.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <filesystem>
#include <functional>
#include <thread>

namespace ribwright::server {
namespace {

namespace fs = std::filesystem;

// Runs `attempt` in a child; true where the child says it succeeded.
bool Succeeds(bool confined, const std::function<bool()>& attempt) {
  const pid_t child = ::fork();
  if (child == 0) {
    if (confined) {
      const auto done = Confine({"/usr", 60, 0});
      if (!done || !done->seccomp) ::_exit(3);
    }
    ::_exit(attempt() ? 0 : 1);
  }
  int status = 0;
  ::waitpid(child, &status, 0);
  EXPECT_TRUE(WIFEXITED(status)) << "the attempt ended by signal " << WTERMSIG(status);
  EXPECT_NE(WEXITSTATUS(status), 3) << "could not be confined";
  return WIFEXITED(status) && WEXITSTATUS(status) == 0;
}

class Sandbox : public ::testing::Test {
 protected:
  void SetUp() override {
    const auto* info = ::testing::UnitTest::GetInstance()->current_test_info();
    folder_ = fs::path(RIBWRIGHT_BINARY_DIR) / "test_files" / (std::string("box_") + info->name());
    fs::remove_all(folder_);
    fs::create_directories(folder_);
    file_ = (folder_ / "there").string();
    std::FILE* out = std::fopen(file_.c_str(), "w");
    std::fputs("text", out);
    std::fclose(out);
  }
  void TearDown() override { fs::remove_all(folder_); }

  // Without confinement it works, so that a refusal is the confinement's doing.
  void ExpectOnlyFreely(const std::function<bool()>& attempt) {
    EXPECT_FALSE(Succeeds(true, attempt));
    EXPECT_TRUE(Succeeds(false, attempt));
  }

  fs::path folder_;
  std::string file_;
};

bool Open(const std::string& path, int flags) {
  const int fd = ::open(path.c_str(), flags, 0600);
  if (fd >= 0) ::close(fd);
  return fd >= 0;
}

TEST_F(Sandbox, NoFileIsMadeOpenedForWritingRenamedOrRemoved) {
  const std::string fresh = (folder_ / "fresh").string();
  const std::string moved = (folder_ / "moved").string();
  const std::string made = (folder_ / "made").string();
  ExpectOnlyFreely([&] { return Open(fresh, O_WRONLY | O_CREAT); });
  ExpectOnlyFreely([&] { return Open(file_, O_RDWR); });
  ExpectOnlyFreely([&] { return Open(file_, O_RDONLY | O_TRUNC); });
  ExpectOnlyFreely([&] { return Open(folder_.string(), O_TMPFILE | O_WRONLY); });
  ExpectOnlyFreely([&] { return ::truncate(file_.c_str(), 1) == 0; });
  ExpectOnlyFreely([&] { return ::mkdir(made.c_str(), 0700) == 0; });
  ExpectOnlyFreely([&] { return ::rename(file_.c_str(), moved.c_str()) == 0; });
  ExpectOnlyFreely([&] { return ::unlink(moved.c_str()) == 0 || ::unlink(file_.c_str()) == 0; });
}

// A file that was open before cannot grow either.
TEST_F(Sandbox, AnInheritedFileCannotGrow) {
  const int fd = ::open(file_.c_str(), O_WRONLY | O_APPEND);
  ASSERT_GE(fd, 0);
  ExpectOnlyFreely([&] {
    ::signal(SIGXFSZ, SIG_IGN);
    return ::write(fd, "more", 4) == 4;
  });
  ::close(fd);
}

TEST_F(Sandbox, TheNetworkIsOutOfReach) {
  for (const int family : {AF_INET, AF_INET6, AF_UNIX}) {
    EXPECT_FALSE(Succeeds(true, [&] { return ::socket(family, SOCK_STREAM, 0) >= 0; }));
  }
  // Nor through a socket that was there before.
  const int listening = ::socket(AF_INET, SOCK_STREAM, 0);
  sockaddr_in address{};
  address.sin_family = AF_INET;
  address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
  ASSERT_EQ(::bind(listening, reinterpret_cast<sockaddr*>(&address), sizeof(address)), 0);
  ASSERT_EQ(::listen(listening, 4), 0);
  socklen_t size = sizeof(address);
  ASSERT_EQ(::getsockname(listening, reinterpret_cast<sockaddr*>(&address), &size), 0);
  const int old = ::socket(AF_INET, SOCK_STREAM, 0);
  ExpectOnlyFreely(
      [&] { return ::connect(old, reinterpret_cast<sockaddr*>(&address), sizeof(address)) == 0; });
  ::close(old);
  ::close(listening);
}

// What is started from inside is confined as well.
TEST_F(Sandbox, AProgramStartedFromInsideCannotWriteEither) {
  const std::string script = "echo x > '" + (folder_ / "by_child").string() + "'";
  ExpectOnlyFreely([&] { return std::system(script.c_str()) == 0; });
}

TEST_F(Sandbox, ReadingThreadsAndPipesStillWork) {
  EXPECT_TRUE(Succeeds(true, [] { return Open("/usr", O_RDONLY | O_DIRECTORY); }));
  EXPECT_TRUE(Succeeds(true, [] {
    bool ran = false;
    std::thread([&] { ran = true; }).join();
    return ran;
  }));
  EXPECT_TRUE(Succeeds(true, [] {
    int ends[2];
    char byte = 0;
    return ::pipe(ends) == 0 && ::write(ends[1], "x", 1) == 1 && ::read(ends[0], &byte, 1) == 1;
  }));
}

// Where the kernel has landlock, files of the house are out of sight too.
TEST_F(Sandbox, FilesOutsideTheSystemsFoldersCannotBeRead) {
  bool landlock = false;
  {
    int ends[2];
    ASSERT_EQ(::pipe(ends), 0);
    Succeeds(false, [&] {
      const auto done = Confine({"/usr", 60, 0});
      const char word = done && done->landlock ? 'y' : 'n';
      return ::write(ends[1], &word, 1) == 1;
    });
    char word = 'n';
    ASSERT_EQ(::read(ends[0], &word, 1), 1);
    landlock = word == 'y';
    ::close(ends[0]);
    ::close(ends[1]);
  }
  if (!landlock) GTEST_SKIP() << "this kernel has no landlock";
  ExpectOnlyFreely([&] { return Open(file_, O_RDONLY); });
}

}  // namespace
}  // namespace ribwright::server
