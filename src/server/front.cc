// SPDX-License-Identifier: Apache-2.0
#include "server/front.h"

namespace ribwright::server {
namespace {

constexpr std::string_view kNotBuilt = R"(<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title>Ribwright</title>
<meta name="viewport" content="width=device-width"></head>
<body><h1>Ribwright</h1>
<p>This program was built without its web front. Everything else works: see
<a href="/api/v1/openapi.json">the API</a>. To have the front, run <code>./run</code> in the source
folder, which builds it first.</p></body></html>
)";

}  // namespace

Front::Front() {
  for (const EmbeddedFile& file : EmbeddedFront()) files_[std::string(file.name)] = file;
}

Result<Answer> Front::Get(const Call& call) const {
  const std::string path = call.http->path == "/" ? "/index.html" : call.http->path;
  Answer answer;
  if (files_.empty() && path == "/index.html") {
    answer.body = kNotBuilt;
    answer.type = "text/html; charset=utf-8";
    return std::move(answer).Tagged();
  }
  const auto found = files_.find(path);
  if (found == files_.end()) {
    return Fail(Code::kNotFound, "There is nothing at this address.", call.http->path,
                "Go back to the start.");
  }
  const EmbeddedFile& file = found->second;
  answer.type = std::string(file.type);
  if (file.type.starts_with("text/")) answer.type += "; charset=utf-8";
  answer.etag = std::string(file.sha256.substr(0, 32));
  answer.cache = path.starts_with("/assets/") ? "public, max-age=31536000, immutable" : "no-cache";
  const std::string_view packed(reinterpret_cast<const char*>(file.bytes.data()),
                                file.bytes.size());
  answer.packed = TakesGzip(*call.http);
  answer.body = answer.packed ? std::string(packed) : Gunzip(packed, file.plain_size);
  return answer;
}

}  // namespace ribwright::server
