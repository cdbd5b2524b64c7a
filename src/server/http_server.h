// SPDX-License-Identifier: Apache-2.0
// The HTTP server: sockets, threads and keep-alive, without any route.
//
// The library parses requests and writes answers; connections, waiting and TLS are ours
// (server/connection.h), since a refused upload must close its connection and a stop must not wait
// for idle clients. Every request goes to one handler, which reads the body by itself.
// One thread a live connection, kThreads in all; further clients wait for one. Stop() lets the
// requests that run finish, ends streams (Stopping() turns true) and returns from Run(). Stop() may
// be called from any thread, not from a signal handler.
#pragma once

#include <httplib.h>
#include <openssl/ssl.h>

#include <atomic>
#include <chrono>
#include <functional>
#include <string>

#include "server/connection.h"

namespace ribwright::server {

inline constexpr std::size_t kThreads = 64;
inline constexpr std::chrono::milliseconds kIdle{10'000};      // within a request
inline constexpr std::chrono::milliseconds kKeepAlive{2'000};  // between requests
inline constexpr std::chrono::seconds kHeadTime{20};           // for a request's head
inline constexpr int kRequestsAConnection = 10'000;
// What is still taken of a refused upload, so that its sender gets to read why (our own limits).
inline constexpr std::chrono::milliseconds kDrainTime{2'000};
inline constexpr std::size_t kMostDrained = 8'000'000;

class HttpServer : private httplib::Server {
 public:
  using Reader = httplib::ContentReader;
  // The reader is null for methods that carry no body.
  using Handle =
      std::function<void(const httplib::Request&, httplib::Response&, const Reader* reader)>;

  // `tls` may be null: plain HTTP. It must outlive the server.
  HttpServer(SSL_CTX* tls, Handle handle);

  // 0: any free port. The port, or 0 when it cannot be bound.
  int Bind(const std::string& address, int port);
  void Run();
  void Stop();
  bool Stopping() const { return stopping_; }
  bool Running() const { return is_running(); }

  // For the handler, about the connection it serves: close it after the answer, since its body was
  // not read; give a long upload more time.
  static void CloseAfterAnswer();
  static bool ClosesAfterAnswer();
  static void AllowUntil(Connection::Clock::time_point deadline);

 private:
  bool process_and_close_socket(int socket) override;

  SSL_CTX* tls_;
  Handle handle_;
  std::atomic<bool> stopping_ = false;
};

}  // namespace ribwright::server
