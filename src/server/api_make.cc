// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <utility>

#include "server/api.h"

namespace ribwright::server {
namespace {

std::vector<std::string> Split(const std::string& path) {
  std::vector<std::string> parts;
  std::size_t from = 1;
  while (from <= path.size()) {
    const std::size_t slash = std::min(path.find('/', from), path.size());
    parts.push_back(path.substr(from, slash - from));
    from = slash + 1;
  }
  return parts;
}

tl::unexpected<Error> Bad(const std::string& what, const std::string& where) {
  return Fail(Code::kDataUnusable, what, "openapi.json: " + where, "");
}

Status ReadAccess(const Json& node, Api::Operation& operation) {
  const auto security = node.find("security");
  operation.open = security != node.end() && security->empty();
  const auto permission = node.find("x-permission");
  if (permission == node.end()) return Bad("x-permission is missing.", operation.id);
  const auto text = permission->get<std::string>();
  if (text == "none" || text == "signed_in") {
    if ((text == "none") != operation.open) {
      return Bad("security and x-permission differ.", operation.id);
    }
    return {};
  }
  operation.permission = PermissionFromText(text);
  if (!operation.permission || operation.open) {
    return Bad("x-permission is not known.", operation.id);
  }
  return {};
}

void ReadParameters(const Json& node, const SchemaCheck& schema, Api::Operation& operation) {
  const auto parameters = node.find("parameters");
  if (parameters == node.end()) return;
  for (const Json& given : *parameters) {
    const auto ref = given.find("$ref");
    const Json& parameter = ref == given.end() ? given : schema.Resolve(ref->get<std::string>());
    const auto name = parameter.at("name").get<std::string>();
    if (name == "X-CSRF-Token") {
      operation.csrf = true;
    } else if (name == "Idempotency-Key") {
      operation.once = true;
    }
    operation.parameters.push_back(&parameter);
  }
}

void ReadBodyTypes(const Json& node, Api::Operation& operation) {
  const auto body = node.find("requestBody");
  if (body == node.end()) return;
  for (const auto& [type, content] : body->at("content").items()) {
    operation.body_types.insert(type);
    if (type == "application/json") operation.body = &content.at("schema");
  }
}

}  // namespace

Result<Api> Api::Make(const SchemaCheck& schema, Handlers handlers, Accounts& accounts,
                      ApiOptions options) {
  Api api(schema, accounts, std::move(options));
  for (const auto& [path, methods] : schema.main().at("paths").items()) {
    for (const auto& [method, node] : methods.items()) {
      Operation operation;
      operation.id = node.at("operationId").get<std::string>();
      operation.method = method;
      std::transform(method.begin(), method.end(), operation.method.begin(),
                     [](unsigned char c) { return static_cast<char>(std::toupper(c)); });
      operation.path = Split(path);
      operation.node = &node;
      if (const Status access = ReadAccess(node, operation); !access) return Fail(access.error());
      ReadParameters(node, schema, operation);
      ReadBodyTypes(node, operation);
      // What changes something in somebody's name shows that it was meant.
      if (operation.method != "GET" && operation.csrf == operation.open) {
        return Bad("It must ask for a CSRF token.", operation.id);
      }
      const auto handler = handlers.find(operation.id);
      if (handler == handlers.end()) return Bad("The operation has no handler.", operation.id);
      operation.handler = std::move(handler->second);
      handlers.erase(handler);
      api.operations_.push_back(std::move(operation));
    }
  }
  if (!handlers.empty()) {
    return Bad("The handler has no operation.", handlers.begin()->first);
  }
  return api;
}

}  // namespace ribwright::server
