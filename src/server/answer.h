// SPDX-License-Identifier: Apache-2.0
// What a handler answers, and how it goes out: JSON or bytes, with ETag and gzip.
//
// Send() sets status, headers and body. With `etag` set, a request whose If-None-Match names it
// gets 304 without body. Text of kLeastToPack bytes and more goes out in gzip where the client
// takes it (the library's own compression is left aside: it would take Brotli's slowest setting).
// Every answer carries the security headers of SecurityHeaders().
#pragma once

#include <httplib.h>

#include <functional>
#include <string>
#include <utility>
#include <vector>

#include "server/json.h"

namespace ribwright::server {

inline constexpr std::size_t kLeastToPack = 1024;

struct Answer {
  int status = 200;
  std::string body;
  std::string type = "application/json";
  std::string etag;  // without quotes; empty: none
  std::string cache = "no-store";
  bool packed = false;  // the body is gzip already
  std::vector<std::pair<std::string, std::string>> headers;
  // A stream in place of a body: called until it returns false or says done.
  std::function<bool(httplib::DataSink&)> stream;

  static Answer Of(const Json& json, int status = 200);
  static Answer Bytes(std::string bytes, std::string type, std::string etag);
  static Answer Empty() { return {204, "", "", "", "no-store", false, {}, {}}; }
  // With an ETag made of the body: may be kept, must be asked for anew each time.
  Answer&& Tagged() &&;
};

const std::vector<std::pair<std::string, std::string>>& SecurityHeaders();

bool TakesGzip(const httplib::Request& request);

// Empty: no memory.
std::string Gzip(std::string_view bytes, int level = 6);
std::string Gunzip(std::string_view bytes, std::size_t size);

void Send(const httplib::Request& request, Answer answer, httplib::Response& response);

}  // namespace ribwright::server
