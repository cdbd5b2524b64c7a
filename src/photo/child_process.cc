// SPDX-License-Identifier: Apache-2.0
#include "photo/child_process.h"

#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <spawn.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cerrno>
#include <utility>

extern char** environ;

namespace ribwright::photo {
namespace {

void CloseIfOpen(int& fd) {
  if (fd >= 0) ::close(std::exchange(fd, -1));
}

}  // namespace

std::unique_ptr<ChildProcess> ChildProcess::Start(const std::filesystem::path& program,
                                                  const std::vector<std::string>& arguments,
                                                  std::span<const std::uint8_t> input,
                                                  Clock::time_point deadline) {
  std::unique_ptr<ChildProcess> child(new ChildProcess);
  child->input_ = input;
  child->deadline_ = deadline;
  // A socket as the child's input: send() can then be told not to raise SIGPIPE when the child has
  // died.
  int in[2];
  int out[2];
  if (::socketpair(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0, in) != 0) return nullptr;
  child->to_child_ = in[0];
  if (::pipe2(out, O_CLOEXEC) != 0) {
    ::close(in[1]);
    return nullptr;
  }
  child->from_child_ = out[0];
  ::fcntl(in[0], F_SETFL, O_NONBLOCK);
  ::fcntl(out[0], F_SETFL, O_NONBLOCK);

  posix_spawn_file_actions_t actions;
  ::posix_spawn_file_actions_init(&actions);
  ::posix_spawn_file_actions_adddup2(&actions, in[1], STDIN_FILENO);
  ::posix_spawn_file_actions_adddup2(&actions, out[1], STDOUT_FILENO);
  ::posix_spawn_file_actions_addopen(&actions, STDERR_FILENO, "/dev/null", O_WRONLY, 0);
  // Sockets of a server, files of other threads: none of them is the child's business.
  ::posix_spawn_file_actions_addclosefrom_np(&actions, STDERR_FILENO + 1);
  std::vector<std::string> words = {program.string()};
  words.insert(words.end(), arguments.begin(), arguments.end());
  std::vector<char*> argv;
  for (std::string& word : words) argv.push_back(word.data());
  argv.push_back(nullptr);
  const int failed =
      ::posix_spawn(&child->pid_, program.c_str(), &actions, nullptr, argv.data(), environ);
  ::posix_spawn_file_actions_destroy(&actions);
  ::close(in[1]);
  ::close(out[1]);
  if (failed != 0) {
    child->pid_ = -1;
    return nullptr;
  }
  return child;
}

ChildProcess::~ChildProcess() {
  CloseIfOpen(to_child_);
  CloseIfOpen(from_child_);
  if (pid_ < 0) return;
  // What was needed has been read; a child that lingers is of no more use.
  ::kill(pid_, SIGKILL);
  while (::waitpid(pid_, nullptr, 0) < 0 && errno == EINTR) {
  }
}

void ChildProcess::FeedSome() {
  const ssize_t sent = ::send(to_child_, input_.data(), input_.size(), MSG_NOSIGNAL);
  if (sent < 0) {
    if (errno == EAGAIN || errno == EINTR) return;
    // The child has stopped listening: its answer, if any, says why.
    input_ = {};
  } else {
    input_ = input_.subspan(static_cast<std::size_t>(sent));
  }
  if (input_.empty()) CloseIfOpen(to_child_);
}

ChildProcess::Outcome ChildProcess::Read(std::span<std::uint8_t> out) {
  while (!out.empty()) {
    const auto left =
        std::chrono::duration_cast<std::chrono::milliseconds>(deadline_ - Clock::now());
    if (left.count() <= 0) return Outcome::kTimedOut;
    pollfd waits[2] = {{from_child_, POLLIN, 0}, {to_child_, POLLOUT, 0}};  // -1 is passed over
    const int ready = ::poll(waits, 2, static_cast<int>(left.count()));
    if (ready < 0 && errno != EINTR) return Outcome::kFailed;
    if (ready <= 0) continue;
    if (waits[1].revents != 0) FeedSome();
    if (waits[0].revents == 0) continue;
    const ssize_t got = ::read(from_child_, out.data(), out.size());
    if (got == 0) return Outcome::kEnded;
    if (got > 0) {
      out = out.subspan(static_cast<std::size_t>(got));
    } else if (errno != EAGAIN && errno != EINTR) {
      return Outcome::kFailed;
    }
  }
  return Outcome::kFull;
}

}  // namespace ribwright::photo
