// SPDX-License-Identifier: Apache-2.0
// Where the store tells what is not for its callers: the statement, the file, the system's words.
// An Error of the store says "data folder"; paths and statements go here. By default nowhere.
// Thread-safe.
#pragma once

#include <functional>
#include <string>

namespace ribwright::store {

// For the whole program; an empty function: nowhere.
void LogTroubleTo(std::function<void(const std::string&)> log);
void LogTrouble(const std::string& text);

}  // namespace ribwright::store
