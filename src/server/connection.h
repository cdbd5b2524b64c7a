// SPDX-License-Identifier: Apache-2.0
// One client's connection as the HTTP library's byte stream, plain or over TLS.
//
// Reads and writes wait at most for the idle time given, and a request must have arrived whole by
// the deadline set at its start, so that a client that sends a byte now and then holds no thread
// for long; a body must come at kLeastBytes a kPaceTime (assumed: a tenth of a poor mobile line),
// in place of the deadline where an upload was given more time. Before the request's handler begins
// no more than kMostHeadBytes are taken (the HTTP library bounds a line, not the head). Both
// limits: our own. Not thread-safe; one thread a connection.
#pragma once

#include <httplib.h>
#include <openssl/ssl.h>

#include <array>
#include <chrono>
#include <memory>

namespace ribwright::server {

inline constexpr std::size_t kMostHeadBytes = 64 * 1024;
inline constexpr std::chrono::milliseconds kPaceTime{15'000};
inline constexpr std::size_t kLeastBytes = 150'000;

class Connection : public httplib::Stream {
 public:
  using Clock = std::chrono::steady_clock;

  // Takes over `socket`; with `tls` a handshake must follow.
  Connection(int socket, SSL_CTX* tls, std::chrono::milliseconds idle);
  ~Connection() override;
  Connection(const Connection&) = delete;
  Connection& operator=(const Connection&) = delete;

  bool Handshake(Clock::time_point deadline);
  void BeginRequest(Clock::time_point deadline);
  void EndHead();
  void ExtendTo(Clock::time_point deadline) { deadline_ = deadline; }
  // No more is sent; what still comes is read and thrown away, until the peer closes.
  void Drain(std::chrono::milliseconds most, std::size_t most_bytes);
  void SetPace(std::size_t least, std::chrono::milliseconds time);
  // Bytes of a request are there, or the peer has closed, within `wait`.
  bool WaitForRequest(std::chrono::milliseconds wait) const;

  bool is_readable() const override;
  bool is_writable() const override;
  ssize_t read(char* to, size_t size) override;
  ssize_t write(const char* from, size_t size) override;
  void get_remote_ip_and_port(std::string& ip, int& port) const override;
  void get_local_ip_and_port(std::string& ip, int& port) const override;
  int socket() const override { return socket_; }

 private:
  struct FreeSsl {
    void operator()(SSL* ssl) const { SSL_free(ssl); }
  };
  bool Wait(short events, Clock::time_point until) const;
  Clock::time_point IdleUntil() const;
  Clock::time_point ReadUntil() const;
  ssize_t ReadSome(char* to, size_t size);
  ssize_t ReadPaced(char* to, size_t size);
  ssize_t WriteSome(const char* from, size_t size);

  int socket_;
  std::unique_ptr<SSL, FreeSsl> ssl_;
  bool tls_broken_ = false;
  std::chrono::milliseconds idle_;
  Clock::time_point deadline_;
  bool head_open_ = false;
  std::size_t head_bytes_ = 0;
  // The window in which the body's pace is looked at; until its end, too few bytes are waited for.
  std::size_t least_bytes_ = kLeastBytes;
  std::chrono::milliseconds pace_time_ = kPaceTime;
  Clock::time_point pace_end_ = Clock::time_point::max();
  std::size_t pace_bytes_ = 0;
  // The library reads heads byte by byte.
  std::array<char, 16384> buffer_;
  std::size_t from_ = 0;
  std::size_t to_ = 0;
};

}  // namespace ribwright::server
