// SPDX-License-Identifier: Apache-2.0
#include "server/connection.h"

#include <arpa/inet.h>
#include <fcntl.h>
#include <netinet/in.h>
#include <openssl/err.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>

namespace ribwright::server {
namespace {

// The connection's socket never blocks: all waiting is done in Wait().
void MakeNonBlocking(int socket) {
  ::fcntl(socket, F_SETFL, ::fcntl(socket, F_GETFL) | O_NONBLOCK);
  ::fcntl(socket, F_SETFD, FD_CLOEXEC);
}

void AddressText(const sockaddr_storage& address, std::string& ip, int& port) {
  char text[INET6_ADDRSTRLEN] = {};
  if (address.ss_family == AF_INET) {
    const auto& v4 = reinterpret_cast<const sockaddr_in&>(address);
    ::inet_ntop(AF_INET, &v4.sin_addr, text, sizeof(text));
    port = ntohs(v4.sin_port);
  } else if (address.ss_family == AF_INET6) {
    const auto& v6 = reinterpret_cast<const sockaddr_in6&>(address);
    ::inet_ntop(AF_INET6, &v6.sin6_addr, text, sizeof(text));
    port = ntohs(v6.sin6_port);
  }
  ip = text;
}

}  // namespace

Connection::Connection(int socket, SSL_CTX* tls, std::chrono::milliseconds idle)
    : socket_(socket), idle_(idle), deadline_(Clock::now() + idle) {
  MakeNonBlocking(socket);
  if (tls != nullptr) {
    ssl_.reset(SSL_new(tls));
    if (ssl_) SSL_set_fd(ssl_.get(), socket);
    tls_broken_ = !ssl_;
  }
}

Connection::~Connection() {
  if (ssl_ && !tls_broken_) SSL_shutdown(ssl_.get());
  ssl_.reset();
  ::shutdown(socket_, SHUT_RDWR);
  ::close(socket_);
}

bool Connection::Wait(short events, Clock::time_point until) const {
  for (;;) {
    const auto left = std::chrono::duration_cast<std::chrono::milliseconds>(until - Clock::now());
    pollfd wait{socket_, events, 0};
    const int ready = ::poll(&wait, 1, static_cast<int>(std::max<long>(0, left.count())));
    if (ready > 0) return true;
    if (ready == 0 || errno != EINTR) return false;
  }
}

Connection::Clock::time_point Connection::IdleUntil() const {
  return std::min(deadline_, Clock::now() + idle_);
}

Connection::Clock::time_point Connection::ReadUntil() const {
  return pace_bytes_ < least_bytes_ ? std::min(IdleUntil(), pace_end_) : IdleUntil();
}

bool Connection::Handshake(Clock::time_point deadline) {
  deadline_ = deadline;
  if (!ssl_) return !tls_broken_;
  for (;;) {
    ERR_clear_error();
    const int done = SSL_accept(ssl_.get());
    if (done == 1) return true;
    const int why = SSL_get_error(ssl_.get(), done);
    const short events = why == SSL_ERROR_WANT_READ    ? POLLIN
                         : why == SSL_ERROR_WANT_WRITE ? POLLOUT
                                                       : 0;
    if (events == 0 || !Wait(events, IdleUntil())) {
      tls_broken_ = true;
      return false;
    }
  }
}

void Connection::BeginRequest(Clock::time_point deadline) {
  deadline_ = deadline;
  head_open_ = true;
  head_bytes_ = 0;
  pace_end_ = Clock::time_point::max();
}

void Connection::EndHead() {
  head_open_ = false;
  pace_end_ = Clock::now() + pace_time_;
  pace_bytes_ = to_ - from_;
}

void Connection::SetPace(std::size_t least, std::chrono::milliseconds time) {
  least_bytes_ = least;
  pace_time_ = time;
}

void Connection::Drain(std::chrono::milliseconds most, std::size_t most_bytes) {
  if (ssl_ && !tls_broken_) SSL_shutdown(ssl_.get());
  tls_broken_ = true;  // said already
  ::shutdown(socket_, SHUT_WR);
  const auto until = Clock::now() + most;
  std::size_t taken = 0;
  while (taken < most_bytes && Wait(POLLIN, until)) {
    const ssize_t got = ::recv(socket_, buffer_.data(), buffer_.size(), 0);
    if (got == 0 || (got < 0 && errno != EAGAIN && errno != EINTR)) return;
    if (got > 0) taken += static_cast<std::size_t>(got);
  }
}

bool Connection::WaitForRequest(std::chrono::milliseconds wait) const {
  if (from_ < to_) return true;
  if (ssl_ && SSL_pending(ssl_.get()) > 0) return true;
  return Wait(POLLIN, Clock::now() + wait);
}

bool Connection::is_readable() const {
  if (from_ < to_) return true;
  if (ssl_ && SSL_pending(ssl_.get()) > 0) return true;
  return Wait(POLLIN, IdleUntil());
}

bool Connection::is_writable() const {
  // A peer that has gone is not writable, though its socket would take bytes for a while.
  char byte;
  const ssize_t got = ::recv(socket_, &byte, 1, MSG_PEEK | MSG_DONTWAIT);
  if (got == 0 || (got < 0 && errno != EAGAIN && errno != EINTR)) return false;
  return Wait(POLLOUT, IdleUntil());
}

ssize_t Connection::ReadSome(char* to, size_t size) {
  for (;;) {
    if (ssl_) {
      ERR_clear_error();
      std::size_t got = 0;
      const int done = SSL_read_ex(ssl_.get(), to, size, &got);
      if (done == 1) return static_cast<ssize_t>(got);
      const int why = SSL_get_error(ssl_.get(), done);
      if (why == SSL_ERROR_ZERO_RETURN) return 0;
      const bool waits = why == SSL_ERROR_WANT_READ || why == SSL_ERROR_WANT_WRITE;
      tls_broken_ = tls_broken_ || !waits;
      if (!waits || !Wait(why == SSL_ERROR_WANT_READ ? POLLIN : POLLOUT, ReadUntil())) {
        return -1;
      }
      continue;
    }
    const ssize_t got = ::recv(socket_, to, size, 0);
    if (got >= 0) return got;
    if (errno == EINTR) continue;
    if (errno != EAGAIN || !Wait(POLLIN, ReadUntil())) return -1;
  }
}

ssize_t Connection::ReadPaced(char* to, size_t size) {
  const ssize_t got = ReadSome(to, size);
  if (got <= 0) return got;
  pace_bytes_ += static_cast<std::size_t>(got);
  if (Clock::now() >= pace_end_) {
    if (pace_bytes_ < least_bytes_) return -1;
    pace_end_ = Clock::now() + pace_time_;
    pace_bytes_ = 0;
  }
  return got;
}

ssize_t Connection::WriteSome(const char* from, size_t size) {
  for (;;) {
    if (ssl_) {
      ERR_clear_error();
      std::size_t sent = 0;
      const int done = SSL_write_ex(ssl_.get(), from, size, &sent);
      if (done == 1) return static_cast<ssize_t>(sent);
      const int why = SSL_get_error(ssl_.get(), done);
      const bool waits = why == SSL_ERROR_WANT_READ || why == SSL_ERROR_WANT_WRITE;
      tls_broken_ = tls_broken_ || !waits;
      if (!waits || !Wait(why == SSL_ERROR_WANT_READ ? POLLIN : POLLOUT, Clock::now() + idle_)) {
        return -1;
      }
      continue;
    }
    const ssize_t sent = ::send(socket_, from, size, MSG_NOSIGNAL);
    if (sent >= 0) return sent;
    if (errno == EINTR) continue;
    if (errno != EAGAIN || !Wait(POLLOUT, Clock::now() + idle_)) return -1;
  }
}

ssize_t Connection::read(char* to, size_t size) {
  if (head_open_ && head_bytes_ >= kMostHeadBytes) return -1;
  if (from_ == to_) {
    // Large reads go past the buffer.
    if (size >= buffer_.size()) return ReadPaced(to, size);
    const ssize_t got = ReadPaced(buffer_.data(), buffer_.size());
    if (got <= 0) return got;
    from_ = 0;
    to_ = static_cast<std::size_t>(got);
  }
  const std::size_t taken = std::min(size, to_ - from_);
  std::copy_n(buffer_.data() + from_, taken, to);
  from_ += taken;
  if (head_open_) head_bytes_ += taken;
  return static_cast<ssize_t>(taken);
}

ssize_t Connection::write(const char* from, size_t size) { return WriteSome(from, size); }

void Connection::get_remote_ip_and_port(std::string& ip, int& port) const {
  sockaddr_storage address{};
  socklen_t size = sizeof(address);
  if (::getpeername(socket_, reinterpret_cast<sockaddr*>(&address), &size) == 0) {
    AddressText(address, ip, port);
  }
}

void Connection::get_local_ip_and_port(std::string& ip, int& port) const {
  sockaddr_storage address{};
  socklen_t size = sizeof(address);
  if (::getsockname(socket_, reinterpret_cast<sockaddr*>(&address), &size) == 0) {
    AddressText(address, ip, port);
  }
}

}  // namespace ribwright::server
