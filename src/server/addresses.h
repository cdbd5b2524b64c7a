// SPDX-License-Identifier: Apache-2.0
// Under which names and addresses this machine can be called.
#pragma once

#include <string>
#include <vector>

namespace ribwright::server {

bool IsLoopback(const std::string& address);    // 127.x, ::1, localhost
bool IsAnyAddress(const std::string& address);  // 0.0.0.0, ::
// Of the interfaces that are up, loopback left out, IPv4 first; link-local IPv6 left out, since
// nobody can type it.
std::vector<std::string> OwnAddresses();
// Lower case; empty where it cannot be found.
std::string HostName();
// "[::1]" for an IPv6 address, else as it is.
std::string InUrl(const std::string& host);

// The code that leads a phone's camera to `text`, for a terminal of light letters on dark ground:
// two modules a character. Empty where it cannot be made.
std::string TerminalCode(const std::string& text);

}  // namespace ribwright::server
