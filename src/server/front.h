// SPDX-License-Identifier: Apache-2.0
// The built front out of the program's own memory.
//
// "/" is /index.html. Files under /assets/ carry their hash in the name and may be kept for good;
// all others must be asked for anew (ETag). A program that was built without the front says so on
// "/". Unknown paths: kNotFound. Thread-safe.
#pragma once

#include <map>
#include <string>

#include "base/result.h"
#include "server/api.h"
#include "server/embedded.h"

namespace ribwright::server {

class Front {
 public:
  Front();
  bool built() const { return !files_.empty(); }
  Result<Answer> Get(const Call& call) const;

 private:
  std::map<std::string, EmbeddedFile, std::less<>> files_;
};

}  // namespace ribwright::server
