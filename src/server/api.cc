// SPDX-License-Identifier: Apache-2.0
#include "server/api.h"

#include <algorithm>
#include <charconv>

#include "base/check.h"
#include "server/http_server.h"
#include "server/problem.h"

namespace ribwright::server {
namespace {

// "name", "name:port", "[v6]", "[v6]:port" to the name alone.
std::string HostOf(const std::string& text) {
  if (text.starts_with('[')) return text.substr(1, text.find(']') - 1);
  return text.substr(0, text.find(':'));
}

std::string Lower(std::string text) {
  std::transform(text.begin(), text.end(), text.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  return text;
}

std::vector<std::string> SplitPath(const std::string& path) {
  std::vector<std::string> parts;
  std::size_t from = path.starts_with('/') ? 1 : 0;
  while (from <= path.size()) {
    const std::size_t slash = std::min(path.find('/', from), path.size());
    parts.push_back(path.substr(from, slash - from));
    from = slash + 1;
  }
  return parts;
}

bool Fits(const Api::Operation& operation, const std::vector<std::string>& parts) {
  if (operation.path.size() != parts.size()) return false;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    const bool free = operation.path[i].starts_with('{') && !parts[i].empty();
    if (!free && operation.path[i] != parts[i]) return false;
  }
  return true;
}

// A parameter's text as the JSON that its schema asks for.
Json ValueOf(const std::string& text, const Json& schema) {
  const auto type = schema.find("type");
  if (type != schema.end() && (*type == "integer" || *type == "number")) {
    std::int64_t whole = 0;
    const auto [end, bad] = std::from_chars(text.data(), text.data() + text.size(), whole);
    if (bad == std::errc() && end == text.data() + text.size()) return whole;
  }
  return text;
}

Error Invalid(const SchemaCheck::Fault& fault) {
  return {Code::kRequestInvalid, "The request's " + fault.where + " " + fault.what + ".",
          fault.where, "Send what the API describes (/api/v1/openapi.json)."};
}

std::size_t MostBytes(const std::string& operation) {
  return operation == "postEdits" ? kMostEdits : kMostJson;
}

bool HasBody(const httplib::Request& request) {
  if (request.has_header("Transfer-Encoding")) return true;
  const std::string length = request.get_header_value("Content-Length");
  return !length.empty() && length != "0";
}

// Where a body ends must be said once and plainly, or what follows it could be taken for another
// request (RFC 9112, 6.3).
Status CheckFraming(const httplib::Request& request) {
  const auto refuse = [](const char* what, const char* where) {
    return Fail(Code::kRequestInvalid, what, where, "Send the request with one length.");
  };
  const std::size_t count = request.get_header_value_count("Content-Length");
  const std::string first = request.get_header_value("Content-Length");
  for (std::size_t i = 0; i < count; ++i) {
    const std::string length = request.get_header_value("Content-Length", i);
    if (length.empty() || length.size() > 18 ||
        length.find_first_not_of("0123456789") != std::string::npos) {
      return refuse("The request's length is no number of bytes.", "Content-Length");
    }
    if (length != first) return refuse("The request has two lengths.", "Content-Length");
  }
  if (count > 0 && request.has_header("Transfer-Encoding")) {
    return refuse("The request has both a length and a transfer encoding.", "Transfer-Encoding");
  }
  return {};
}

// An unread body would be taken for the next request: a small one is read, for the connection's
// sake; the rest of a large one is cut off.
void PassOver(const httplib::Request& request, const httplib::ContentReader& reader) {
  const std::string length = request.get_header_value("Content-Length");
  const bool small = !length.empty() && length.size() <= 6;
  const bool passed = small && reader([](const char*, std::size_t) { return true; });
  if (!passed) HttpServer::CloseAfterAnswer();
}

}  // namespace

std::string CookieOf(const httplib::Request& request, std::string_view name) {
  const std::string cookies = request.get_header_value("Cookie");
  std::size_t from = 0;
  while (from < cookies.size()) {
    const std::size_t end = std::min(cookies.find(';', from), cookies.size());
    std::size_t begin = from;
    while (begin < end && cookies[begin] == ' ') ++begin;
    const std::string_view pair = std::string_view(cookies).substr(begin, end - begin);
    const std::size_t equals = pair.find('=');
    if (equals != std::string_view::npos && pair.substr(0, equals) == name) {
      return std::string(pair.substr(equals + 1));
    }
    from = end + 1;
  }
  return {};
}

std::string Call::Query(std::string_view name) const {
  const auto found = query.find(name);
  return found == query.end() ? std::string() : found->second;
}

int Call::Limit() const {
  const std::string text = Query("limit");
  return text.empty() ? 50 : std::stoi(text);
}

std::string Api::SessionCookie(const std::string& token, std::chrono::seconds lasts) const {
  std::string cookie = std::string(kSessionCookie) + "=" + token + "; Path=/; HttpOnly; ";
  cookie += "SameSite=Strict; Max-Age=" + std::to_string(lasts.count());
  if (options_.secure) cookie += "; Secure";
  return cookie;
}

// Names under which other sites' pages could reach this server are refused (rebinding of names),
// and so are requests that a browser says another site's page has sent.
Status Api::CheckSource(const httplib::Request& request) const {
  const std::string host = Lower(request.get_header_value("Host"));
  if (request.get_header_value_count("Host") != 1 || !options_.hosts.contains(HostOf(host))) {
    return Fail(Code::kForeignHost, "The server does not go by this name.", "Host",
                "Use an address that the terminal printed, or start with --name.");
  }
  if (request.method == "GET" || request.method == "HEAD") return {};
  const std::string origin = Lower(request.get_header_value("Origin"));
  const std::string own = (options_.secure ? "https://" : "http://") + host;
  const std::string site = request.get_header_value("Sec-Fetch-Site");
  if ((!origin.empty() && origin != own) ||
      (!site.empty() && site != "same-origin" && site != "none")) {
    return Fail(Code::kForeignOrigin, "The request comes from a page of another site.", "Origin",
                "Use the program's own page.");
  }
  return {};
}

Status Api::CheckWho(const Operation& operation, const httplib::Request& request,
                     Call& call) const {
  const std::string token = CookieOf(request, kSessionCookie);
  if (!token.empty()) {
    auto found = accounts_->Find(token);
    if (!found) return Fail(found.error());
    call.session = std::move(*found);
  }
  if (operation.open) return {};
  if (!call.session) {
    return Fail(Code::kNotSignedIn, "Nobody is signed in, or the session has ended.", "",
                "Sign in.");
  }
  if (operation.csrf &&
      !SameText(request.get_header_value("X-CSRF-Token"), call.session->csrf_token)) {
    return Fail(Code::kCsrfMissing, "The session's token is missing or wrong.", "X-CSRF-Token",
                "Load the page anew.");
  }
  if (operation.permission && !May(call.user().role, *operation.permission)) {
    return Fail(Code::kNotAllowed,
                std::string("A ").append(RoleText(call.user().role)) + " may not do this.",
                std::string(PermissionText(*operation.permission)),
                "Ask the owner, or sign in as somebody who may.");
  }
  return {};
}

Status Api::CheckParameters(const Operation& operation, Call& call) const {
  std::set<std::string, std::less<>> known;
  for (const Json* parameter : operation.parameters) {
    const auto& name = parameter->at("name").get_ref<const std::string&>();
    const auto& in = parameter->at("in").get_ref<const std::string&>();
    const auto required = parameter->find("required");
    const Json& schema = parameter->at("schema");
    std::optional<std::string> given;
    if (in == "path") {
      given = call.path.find(name)->second;
    } else if (in == "query") {
      known.insert(name);
      const auto it = call.query.find(name);
      if (it != call.query.end()) given = it->second;
    } else if (call.http->has_header(name)) {
      given = call.http->get_header_value(name);
    }
    if (!given) {
      if (required == parameter->end() || !required->get<bool>()) continue;
      if (name == "If-Match") {
        return Fail(Code::kPreconditionMissing, "The change does not say what it was based on.",
                    name, "Send the ETag of what was read.");
      }
      return Fail(Invalid({name, "is missing"}));
    }
    if (const auto fault = schema_->Check(ValueOf(*given, schema), schema, name)) {
      // An id that cannot be one names nothing.
      if (in == "path") {
        return Fail(Code::kNotFound, "There is no such " + name + ".", name,
                    "Go back to the list.");
      }
      return Fail(Invalid(*fault));
    }
    if (name == "Idempotency-Key") call.once = *given;
  }
  for (const auto& [name, value] : call.query) {
    if (!known.contains(name)) return Fail(Invalid({name, "is not asked for"}));
  }
  return {};
}

Status Api::ReadBody(const Operation& operation, Call& call) const {
  if (operation.body_types.empty()) return {};
  std::string type = Lower(call.http->get_header_value("Content-Type"));
  type = type.substr(0, type.find_first_of("; "));
  if (!operation.body_types.contains(type)) {
    std::string allowed;
    for (const std::string& one : operation.body_types) {
      allowed += (allowed.empty() ? "" : ", ") + one;
    }
    return Fail(Code::kTypeUnsupported, "Content of this type is not taken here.", "Content-Type",
                "Send one of: " + allowed + ".");
  }
  if (operation.body == nullptr) return {};  // the handler reads it
  const std::size_t most = MostBytes(operation.id);
  bool too_large = false;
  const bool read = HasBody(*call.http) && (*call.reader)([&](const char* data, std::size_t size) {
                      too_large = too_large || call.body_text.size() + size > most;
                      if (!too_large) call.body_text.append(data, size);
                      return !too_large;
                    });
  if (too_large || (!read && HasBody(*call.http))) HttpServer::CloseAfterAnswer();
  if (too_large) {
    return Fail(Code::kRequestTooLarge,
                "The request is larger than " + std::to_string(most >> 20) + " MiB.", "body",
                "Send less at a time.");
  }
  if (!read && HasBody(*call.http)) {
    return Fail(Code::kUploadBroken, "The request broke off before its end.", "body", "Try again.");
  }
  std::optional<Json> json = ParseJson(call.body_text);
  if (!json) return Fail(Invalid({"body", "must be JSON"}));
  call.body = std::move(*json);
  if (const auto fault = schema_->Check(call.body, *operation.body, "body")) {
    return Fail(Invalid(*fault));
  }
  return {};
}

Result<Answer> Api::Serve(const httplib::Request& request, const httplib::ContentReader* reader,
                          const Handler& other) const {
  if (const Status source = CheckSource(request); !source) return Fail(source.error());
  Call call;
  call.http = &request;
  call.reader = reader;
  const std::vector<std::string> parts = SplitPath(request.path);
  const std::string method = request.method == "HEAD" ? "GET" : request.method;
  const Operation* operation = nullptr;
  std::string allowed;
  for (const Operation& candidate : operations_) {
    if (!Fits(candidate, parts)) continue;
    if (candidate.method == method) operation = &candidate;
    allowed += (allowed.empty() ? "" : ", ") + candidate.method;
  }
  if (operation == nullptr && !allowed.empty()) {
    auto refused = Answer::Of(
        ProblemOf({Code::kMethodNotAllowed, "This address cannot be used with " + method + ".",
                   request.method, "Use " + allowed + "."},
                  request.path),
        StatusOf(Code::kMethodNotAllowed));
    refused.type = "application/problem+json";
    refused.headers.emplace_back("Allow", allowed);
    return refused;
  }
  if (operation == nullptr) {
    const bool api = !parts.empty() && parts[0] == "api";
    if (method == "GET" && !api) return other(call);
    return Fail(Code::kNotFound, "There is nothing at this address.", request.path,
                "Go back to the start.");
  }
  call.operation = operation->id;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    const std::string& name = operation->path[i];
    if (name.starts_with('{')) call.path[name.substr(1, name.size() - 2)] = parts[i];
  }
  for (const auto& [name, value] : request.params) {
    if (!call.query.emplace(name, value).second) return Fail(Invalid({name, "is given twice"}));
  }
  if (const Status who = CheckWho(*operation, request, call); !who) return Fail(who.error());
  if (const Status fit = CheckParameters(*operation, call); !fit) return Fail(fit.error());
  if (const Status body = ReadBody(*operation, call); !body) return Fail(body.error());
  return operation->handler(call);
}

void Api::Handle(const httplib::Request& request, httplib::Response& response,
                 const httplib::ContentReader* reader, const Handler& other) const {
  bool read = false;
  std::optional<httplib::ContentReader> watched;
  if (reader != nullptr) {
    watched.emplace(
        [&read, reader](httplib::ContentReceiver receiver) {
          read = true;
          return (*reader)(std::move(receiver));
        },
        nullptr);
  }
  Result<Answer> answer = Fail(Error{});
  const Status framed = CheckFraming(request);
  if (!framed || (reader == nullptr && HasBody(request))) HttpServer::CloseAfterAnswer();
  // The one catch of a request: our own faults become a 500 without their text.
  try {
    answer = framed ? Serve(request, watched ? &*watched : nullptr, other) : Fail(framed.error());
  } catch (const std::exception& fault) {
    if (options_.log) options_.log(request.method + " " + request.path + ": " + fault.what());
    answer = Fail(Code::kInternal, "A fault in the program; please report it.", "", "Try again.");
  }
  if (framed && reader != nullptr && !read && HasBody(request)) PassOver(request, *reader);
  if (!answer) {
    const Error& error = answer.error();
    Answer problem = Answer::Of(ProblemOf(error, request.path), StatusOf(error.code));
    problem.type = "application/problem+json";
    if (error.code == Code::kTooManyTries) {
      std::string seconds;
      for (const char c : error.mend) {
        if (c >= '0' && c <= '9') seconds += c;
      }
      problem.headers.emplace_back("Retry-After", seconds.empty() ? "10" : seconds);
    }
    if (problem.status == 503) problem.headers.emplace_back("Retry-After", "5");
    if (problem.status == 500 && options_.log) {
      options_.log(request.method + " " + request.path + ": " + error.message + " [" + error.where +
                   "]");
    }
    answer = std::move(problem);
  }
  // Said too, so that the client does not send its next request there.
  if (HttpServer::ClosesAfterAnswer()) answer->headers.emplace_back("Connection", "close");
  Send(request, std::move(*answer), response);
}

}  // namespace ribwright::server
