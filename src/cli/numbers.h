// SPDX-License-Identifier: Apache-2.0
// Checks of numbers on the command line, before the option library reads them: it would take 0x10
// for 16, "nan" for a number within any range and a too long one for the largest there is. A number
// here is decimal, with a point, finite, and within its range (ends included). Used with
// `option->check(...)`; refusals end the program with kExitUsage, like all wrong usage.
#pragma once

#include <cstdint>
#include <string>

#include "base/result.h"

namespace CLI {
class Validator;
}

namespace ribwright::cli {

// kBadOption.
Result<double> NumberFrom(const std::string& text);
Result<std::int64_t> WholeNumberFrom(const std::string& text);

CLI::Validator PlainNumber();  // its range is checked elsewhere
CLI::Validator NumberIn(double least, double most);
CLI::Validator WholeNumberIn(std::int64_t least, std::int64_t most);

}  // namespace ribwright::cli
