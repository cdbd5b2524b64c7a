// SPDX-License-Identifier: Apache-2.0
#include "server/answer.h"

#include <zlib.h>

#include <algorithm>
#include <memory>

#include "ledger/hash.h"

namespace ribwright::server {
namespace {

bool IsText(const std::string& type) {
  return type.starts_with("application/json") || type.starts_with("application/problem+json") ||
         (type.starts_with("text/") && !type.starts_with("text/event-stream"));
}

bool Names(const std::string& list, const std::string& etag) {
  return list == "*" || list.find(std::string("\"").append(etag).append("\"")) != std::string::npos;
}

void SetBody(Answer answer, httplib::Response& response) {
  if (answer.stream) {
    auto stream = std::make_shared<decltype(answer.stream)>(std::move(answer.stream));
    response.set_chunked_content_provider(
        answer.type, [stream](std::size_t, httplib::DataSink& sink) { return (*stream)(sink); });
    return;
  }
  if (answer.body.empty()) {
    response.set_header("Content-Length", "0");
    return;
  }
  const auto body = std::make_shared<const std::string>(std::move(answer.body));
  // As a provider, since the library would compress a plain body by its own rules.
  response.set_content_provider(
      body->size(), answer.type,
      [body](std::size_t offset, std::size_t length, httplib::DataSink& sink) {
        return sink.write(body->data() + offset, std::min(length, body->size() - offset));
      });
}

}  // namespace

// "gzip", "*", with or without a weight; a weight of 0 refuses.
bool TakesGzip(const httplib::Request& request) {
  const std::string accepts = request.get_header_value("Accept-Encoding");
  std::size_t from = 0;
  while (from < accepts.size()) {
    const std::size_t comma = std::min(accepts.find(',', from), accepts.size());
    std::string part;
    for (std::size_t i = from; i < comma; ++i) {
      if (accepts[i] != ' ') part += accepts[i];
    }
    from = comma + 1;
    const std::size_t semicolon = part.find(';');
    const std::string name = part.substr(0, semicolon);
    const std::string weight = semicolon == std::string::npos ? "" : part.substr(semicolon + 1);
    const bool refused =
        weight.starts_with("q=0") && weight.find_first_of("123456789") == std::string::npos;
    if ((name == "gzip" || name == "*") && !refused) return true;
  }
  return false;
}

Answer Answer::Of(const Json& json, int status) {
  Answer answer;
  answer.status = status;
  answer.body = JsonText(json);
  return answer;
}

Answer Answer::Bytes(std::string bytes, std::string type, std::string etag) {
  Answer answer;
  answer.body = std::move(bytes);
  answer.type = std::move(type);
  answer.etag = std::move(etag);
  answer.cache = "private, max-age=31536000, immutable";
  return answer;
}

Answer&& Answer::Tagged() && {
  etag = ledger::HashText(ledger::HashOf(body)).substr(0, 32);
  cache = "private, no-cache";
  return std::move(*this);
}

const std::vector<std::pair<std::string, std::string>>& SecurityHeaders() {
  static const std::vector<std::pair<std::string, std::string>> headers = {
      {"Content-Security-Policy",
       "default-src 'self'; img-src 'self' blob: data:; media-src 'self' blob:; "
       "style-src 'self'; script-src 'self'; connect-src 'self'; worker-src 'self'; "
       "object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"},
      {"X-Content-Type-Options", "nosniff"},
      {"X-Frame-Options", "DENY"},
      {"Referrer-Policy", "no-referrer"},
      {"Cross-Origin-Opener-Policy", "same-origin"},
      {"Cross-Origin-Resource-Policy", "same-origin"},
      {"Permissions-Policy", "camera=(self), microphone=(), geolocation=()"},
  };
  return headers;
}

std::string Gzip(std::string_view bytes, int level) {
  z_stream zip{};
  if (deflateInit2(&zip, level, Z_DEFLATED, 15 + 16, 8, Z_DEFAULT_STRATEGY) != Z_OK) return {};
  std::string out(deflateBound(&zip, bytes.size()), '\0');
  zip.next_in = reinterpret_cast<Bytef*>(const_cast<char*>(bytes.data()));
  zip.avail_in = static_cast<uInt>(bytes.size());
  zip.next_out = reinterpret_cast<Bytef*>(out.data());
  zip.avail_out = static_cast<uInt>(out.size());
  const int done = deflate(&zip, Z_FINISH);
  out.resize(done == Z_STREAM_END ? zip.total_out : 0);
  deflateEnd(&zip);
  return out;
}

std::string Gunzip(std::string_view bytes, std::size_t size) {
  z_stream zip{};
  if (inflateInit2(&zip, 15 + 16) != Z_OK) return {};
  std::string out(size, '\0');
  zip.next_in = reinterpret_cast<Bytef*>(const_cast<char*>(bytes.data()));
  zip.avail_in = static_cast<uInt>(bytes.size());
  zip.next_out = reinterpret_cast<Bytef*>(out.data());
  zip.avail_out = static_cast<uInt>(out.size());
  const int done = inflate(&zip, Z_FINISH);
  out.resize(done == Z_STREAM_END ? zip.total_out : 0);
  inflateEnd(&zip);
  return out;
}

void Send(const httplib::Request& request, Answer answer, httplib::Response& response) {
  response.status = answer.status;
  for (const auto& [name, value] : SecurityHeaders()) response.set_header(name, value);
  for (const auto& [name, value] : answer.headers) response.set_header(name, value);
  response.set_header("Cache-Control", answer.cache);
  if (!answer.etag.empty()) {
    response.set_header("ETag", std::string("\"").append(answer.etag).append("\""));
    if (answer.status == 200 && Names(request.get_header_value("If-None-Match"), answer.etag)) {
      response.status = 304;
      return;
    }
  }
  if (IsText(answer.type) || answer.packed) {
    response.set_header("Vary", "Accept-Encoding");
    if (answer.packed) {
      response.set_header("Content-Encoding", "gzip");
    } else if (answer.body.size() >= kLeastToPack && TakesGzip(request)) {
      std::string packed = Gzip(answer.body);
      if (!packed.empty() && packed.size() < answer.body.size()) {
        answer.body = std::move(packed);
        response.set_header("Content-Encoding", "gzip");
      }
    }
  }
  SetBody(std::move(answer), response);
}

}  // namespace ribwright::server
