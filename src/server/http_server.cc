// SPDX-License-Identifier: Apache-2.0
#include "server/http_server.h"

#include <sys/socket.h>

#include "server/answer.h"
#include "server/problem.h"

namespace ribwright::server {
namespace {

struct Serving {
  Connection* connection = nullptr;
  bool close = false;
};
thread_local Serving serving;

constexpr const char* kAnyPath = R"([\s\S]*)";

}  // namespace

HttpServer::HttpServer(SSL_CTX* tls, Handle handle) : tls_(tls), handle_(std::move(handle)) {
  new_task_queue = [] { return new httplib::ThreadPool(kThreads); };
  set_tcp_nodelay(true);
  set_payload_max_length(std::size_t{1} << 40);  // handlers bound what they read
  const auto bare = [this](const httplib::Request& request, httplib::Response& response) {
    if (serving.connection != nullptr) serving.connection->EndHead();
    handle_(request, response, nullptr);
  };
  const auto with_body = [this](const httplib::Request& request, httplib::Response& response,
                                const Reader& reader) {
    if (serving.connection != nullptr) serving.connection->EndHead();
    handle_(request, response, &reader);
  };
  Get(kAnyPath, bare);
  Options(kAnyPath, bare);
  Post(kAnyPath, with_body);
  Put(kAnyPath, with_body);
  Patch(kAnyPath, with_body);
  Delete(kAnyPath, with_body);
  // What the library refuses by itself (a head it cannot read) carries no body of ours.
  set_error_handler([](const httplib::Request& request, httplib::Response& response) {
    if (!response.body.empty() || !response.get_header_value("Content-Type").empty()) return;
    CloseAfterAnswer();
    const bool large = response.status == 413 || response.status == 414 || response.status == 431;
    Json problem = ProblemOf(
        {large ? Code::kRequestTooLarge : Code::kRequestInvalid,
         large ? "The request's address or head is too long." : "The request cannot be read.", "",
         "Send what the API describes (/api/v1/openapi.json)."},
        request.path);
    problem["status"] = response.status;
    for (const auto& [name, value] : SecurityHeaders()) response.set_header(name, value);
    response.set_content(JsonText(problem), "application/problem+json");
  });
  set_exception_handler(
      [](const httplib::Request&, httplib::Response& response, std::exception_ptr) {
        response.status = 500;  // its text stays inside
      });
}

int HttpServer::Bind(const std::string& address, int port) {
  if (port == 0) {
    const int bound = bind_to_any_port(address);
    return bound > 0 ? bound : 0;
  }
  return bind_to_port(address, port) ? port : 0;
}

void HttpServer::Run() { listen_after_bind(); }

void HttpServer::Stop() {
  if (stopping_.exchange(true)) return;
  // The library's own stop() is lost where Run() has not got to its loop yet.
  const int listening = svr_sock_;
  if (listening >= 0) ::shutdown(listening, SHUT_RDWR);
}

void HttpServer::CloseAfterAnswer() { serving.close = true; }
bool HttpServer::ClosesAfterAnswer() { return serving.close; }

void HttpServer::AllowUntil(Connection::Clock::time_point deadline) {
  if (serving.connection != nullptr) serving.connection->ExtendTo(deadline);
}

bool HttpServer::process_and_close_socket(int socket) {
  Connection connection(socket, tls_, kIdle);
  if (!connection.Handshake(Connection::Clock::now() + kHeadTime)) return false;
  for (int count = 1; count <= kRequestsAConnection && !stopping_; ++count) {
    // Short waits, so that a stop is seen between two requests.
    const auto until = Connection::Clock::now() + kKeepAlive;
    bool there = false;
    while (!there && !stopping_ && Connection::Clock::now() < until) {
      there = connection.WaitForRequest(std::chrono::milliseconds(100));
    }
    if (!there) break;
    serving = {&connection, false};
    connection.BeginRequest(Connection::Clock::now() + kHeadTime);
    bool closed = false;
    const bool served = process_request(connection, count == kRequestsAConnection, closed, nullptr);
    const bool close = serving.close;
    serving = {};
    // The answer to a request that was not read to its end would be lost with the connection.
    if (close && !stopping_) connection.Drain(kDrainTime, kMostDrained);
    if (!served || closed || close) break;
  }
  return true;
}

}  // namespace ribwright::server
