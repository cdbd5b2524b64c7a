// SPDX-License-Identifier: Apache-2.0
// Errors as problem objects (RFC 9457) and the one table from codes to HTTP status.
//
// A code without a row of its own: 422 for what a photo or file can cause, 500 for our own faults.
// `happened` is set where the answer to "why not" is an event that came first.
#pragma once

#include <string>

#include "base/result.h"
#include "server/json.h"

namespace ribwright::server {

int StatusOf(Code code);
// Without paths of this machine and statements of the database: "data folder".
std::string OutwardWhere(const Error& error);
Json ProblemOf(const Error& error, const std::string& path);

}  // namespace ribwright::server
