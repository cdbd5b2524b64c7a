// SPDX-License-Identifier: Apache-2.0
// The parts of which our JSON is written: numbers with few digits, measured numbers with their
// checks, and text with one line for each measured number and outline. For this layer and for the
// use cases' own JSON.
#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "units/measured.h"

namespace ribwright::report {

using Json = nlohmann::ordered_json;

// The double nearest to six significant digits of x, which prints as those; -0 becomes 0.
double SixDigits(double x);
// Rounded to 1/scale; -0 becomes 0.
double Decimals(double x, double scale);
// LogicError naming `path` when x is not finite.
double FiniteAt(double x, const std::string& path);
// {"value","low","high","level","unit","basis"} or {"value":null,"unit","reason"}. LogicError
// naming `path` when m is not Valid().
Json MeasuredJson(const Measured& m, const std::string& path);

std::string JsonText(const Json& j, bool pretty);

}  // namespace ribwright::report
