// SPDX-License-Identifier: Apache-2.0
// Result<T>: a value, or an Error a person can act on. The only file that names tl::expected, so
// that std::expected can take its place one day.
//
//   Result<Photo> Decode(Bytes bytes);
//   auto photo = Decode(bytes);
//   if (!photo) return Fail(photo.error());
#pragma once

#include <string>
#include <tl/expected.hpp>
#include <utility>

#include "base/codes.h"

namespace ribwright {

// What is wrong (message), where (file, row, option), and how to mend it. Sentences end in a full
// stop.
struct Error {
  Code code = Code::kInternal;
  std::string message;
  std::string where;
  std::string mend;
};

template <typename T>
using Result = tl::expected<T, Error>;
using Status = Result<void>;

inline tl::unexpected<Error> Fail(Error error) { return tl::unexpected<Error>(std::move(error)); }
inline tl::unexpected<Error> Fail(Code code, std::string message, std::string where,
                                  std::string mend) {
  return tl::unexpected<Error>(Error{code, std::move(message), std::move(where), std::move(mend)});
}

}  // namespace ribwright
