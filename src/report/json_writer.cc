// SPDX-License-Identifier: Apache-2.0
#include "report/json_writer.h"

#include <cmath>
#include <cstdio>
#include <cstdlib>

#include "base/check.h"

namespace ribwright::report {
namespace {

[[noreturn]] void Refuse(const std::string& path, const char* what) {
  throw LogicError("report cannot be written: " + path + " " + what);
}

std::string Compact(const Json& j) {
  return j.dump(-1, ' ', false, Json::error_handler_t::replace);
}

bool OnOneLine(const Json& j) {
  if (!j.is_structured() || j.empty()) return true;
  for (const Json& child : j) {
    if (j.is_object() ? child.is_structured() : child.is_object() || child.is_string())
      return false;
  }
  return true;
}

void Pretty(const Json& j, std::size_t indent, std::string& out) {
  if (OnOneLine(j)) {
    out += Compact(j);
    return;
  }
  const std::string pad(indent + 2, ' ');
  out += j.is_object() ? "{\n" : "[\n";
  bool first = true;
  for (const auto& item : j.items()) {
    if (!first) out += ",\n";
    first = false;
    out += pad;
    if (j.is_object()) out += Compact(Json(item.key())) + ": ";
    Pretty(item.value(), indent + 2, out);
  }
  out += '\n';
  out.append(indent, ' ');
  out += j.is_object() ? '}' : ']';
}

}  // namespace

// Through text, so that the double is the one nearest to the short decimal and prints as such.
double SixDigits(double x) {
  char text[32];
  std::snprintf(text, sizeof text, "%.6g", x);
  const double rounded = std::strtod(text, nullptr);
  return rounded == 0.0 ? 0.0 : rounded;
}

double Decimals(double x, double scale) {
  const double rounded = std::round(x * scale) / scale;
  return rounded == 0.0 ? 0.0 : rounded;
}

double FiniteAt(double x, const std::string& path) {
  if (!std::isfinite(x)) Refuse(path, "is not finite");
  return x;
}

Json MeasuredJson(const Measured& m, const std::string& path) {
  if (!m.Valid()) Refuse(path, "is not a valid measured number");
  Json q;
  if (!m.Known()) {
    q["value"] = nullptr;
    q["unit"] = m.unit;
    q["reason"] = m.reason;
    return q;
  }
  q["value"] = SixDigits(*m.value);
  q["low"] = SixDigits(m.low);
  q["high"] = SixDigits(m.high);
  q["level"] = m.level;
  q["unit"] = m.unit;
  q["basis"] = m.basis;
  return q;
}

std::string JsonText(const Json& j, bool pretty) {
  if (!pretty) return Compact(j);
  std::string out;
  Pretty(j, 0, out);
  return out;
}

}  // namespace ribwright::report
