// SPDX-License-Identifier: Apache-2.0
// Api: from a request to the handler that schema/openapi.json names, and back.
//
// The schema inside the program is the table of routes: method, path, parameters, body, who may
// (x-permission), whether a CSRF token or an idempotency key is wanted. A handler is bound to an
// operationId; Make() fails where an operation has no handler or a handler no operation, so code
// and schema cannot part. In order, before a handler runs: Host and Origin, route, method, session,
// CSRF, permission, idempotency key, parameters, body; each refusal is a problem object. Bodies of
// JSON are read up to kMostJson (edits: kMostEdits); other bodies are the handler's to read, and
// where it did not, the connection is closed after the answer. Thread-safe once made.
#pragma once

#include <httplib.h>

#include <functional>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "base/result.h"
#include "server/accounts.h"
#include "server/answer.h"
#include "server/json.h"
#include "server/schema_check.h"

namespace ribwright::server {

inline constexpr std::size_t kMostJson = std::size_t{2} << 20;
inline constexpr std::size_t kMostEdits = std::size_t{8} << 20;
inline constexpr const char* kSessionCookie = "ribwright_session";

struct Call {
  const httplib::Request* http = nullptr;
  const httplib::ContentReader* reader = nullptr;  // of a body that is not JSON
  std::string operation;
  std::map<std::string, std::string, std::less<>> path;  // {face} and the like
  std::map<std::string, std::string, std::less<>> query;
  Json body;
  std::string body_text;  // as it came
  std::optional<Session> session;
  std::string once;  // the idempotency key; empty: the operation wants none

  const User& user() const { return session->user; }
  std::string Query(std::string_view name) const;  // empty: not given
  int Limit() const;                               // `limit`, or its default of 50
};

using Handler = std::function<Result<Answer>(const Call&)>;
using Handlers = std::map<std::string, Handler, std::less<>>;

struct ApiOptions {
  std::set<std::string, std::less<>> hosts;     // names and addresses the server goes by, no port
  bool secure = false;                          // served over TLS
  std::function<void(const std::string&)> log;  // faults of our own; may be empty
};

class Api {
 public:
  // `accounts` must outlive it.
  static Result<Api> Make(const SchemaCheck& schema, Handlers handlers, Accounts& accounts,
                          ApiOptions options);

  // Paths that no operation names go to `other` (the front), with GET and HEAD only.
  void Handle(const httplib::Request& request, httplib::Response& response,
              const httplib::ContentReader* reader, const Handler& other) const;

  std::string SessionCookie(const std::string& token, std::chrono::seconds lasts) const;

  struct Operation {
    std::string id;
    std::string method;
    std::vector<std::string> path;  // "{face}": anything
    const Json* node = nullptr;
    std::optional<Permission> permission;
    bool open = false;  // nobody needs to be signed in
    bool csrf = false;
    bool once = false;
    const Json* body = nullptr;        // schema of a JSON body
    std::set<std::string> body_types;  // of any body
    std::vector<const Json*> parameters;
    Handler handler;
  };
  const std::vector<Operation>& operations() const { return operations_; }

 private:
  Api(const SchemaCheck& schema, Accounts& accounts, ApiOptions options)
      : schema_(&schema), accounts_(&accounts), options_(std::move(options)) {}
  Result<Answer> Serve(const httplib::Request& request, const httplib::ContentReader* reader,
                       const Handler& other) const;
  Status CheckSource(const httplib::Request& request) const;
  Status CheckWho(const Operation& operation, const httplib::Request& request, Call& call) const;
  Status CheckParameters(const Operation& operation, Call& call) const;
  Status ReadBody(const Operation& operation, Call& call) const;

  const SchemaCheck* schema_;
  Accounts* accounts_;
  ApiOptions options_;
  std::vector<Operation> operations_;
};

// The value of a cookie; empty: none.
std::string CookieOf(const httplib::Request& request, std::string_view name);

}  // namespace ribwright::server
