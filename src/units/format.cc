// SPDX-License-Identifier: Apache-2.0
#include "units/format.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>

namespace ribwright::units {
namespace {

struct Conversion {
  std::string_view from;
  std::string_view to;
  double factor;
};
constexpr std::string_view kThousandthsIn2 = "in2/1000";  // flecks: an in2 holds over 600 mm2
constexpr std::array kToUs = {
    Conversion{"mm", "in", 1.0 / kMmPerInch},
    Conversion{"cm2", "in2", 100.0 / (kMmPerInch * kMmPerInch)},
    Conversion{"1/cm2", "1/in2", kMmPerInch* kMmPerInch / 100.0},
    Conversion{"mm2", kThousandthsIn2, 1000.0 / (kMmPerInch * kMmPerInch)},
    Conversion{"px/mm", "px/in", kMmPerInch},
};

int DecadeOf(double x) { return static_cast<int>(std::floor(std::log10(x))); }

}  // namespace

Measured InSystem(const Measured& m, System system) {
  Measured out = m;
  if (system == System::kMetric) return out;
  for (const Conversion& c : kToUs) {
    if (m.unit != c.from) continue;
    out.unit = c.to;
    out.low *= c.factor;
    out.high *= c.factor;
    if (out.value) *out.value *= c.factor;
  }
  return out;
}

int DecimalsFor(double value, double low, double high) {
  const double half = (high - low) / 2.0;
  int decimals = 0;
  if (half > 0.0) {
    const int decade = DecadeOf(half);
    const bool begins_low = half < 3.0 * std::pow(10.0, decade);
    decimals = -decade + (begins_low ? 1 : 0);
  } else if (value != 0.0) {
    decimals = 3 - DecadeOf(std::abs(value));
  }
  return std::clamp(decimals, 0, 4);
}

std::string Fixed(double x, int decimals) {
  char text[400];  // the longest double in %f has 309 digits before the point
  std::snprintf(text, sizeof text, "%.*f", decimals, x);
  std::string out = text;
  const bool zero = out.find_first_of("123456789") == std::string::npos;
  if (out.front() == '-') out = zero ? out.substr(1) : "\u2212" + out.substr(1);
  return out;
}

std::string UnitText(std::string_view unit) {
  if (unit == "1") return "";
  if (unit == kThousandthsIn2) return "1/1000 in\u00b2";
  std::string out;
  if (unit.starts_with("1/")) {
    out = "per ";
    unit.remove_prefix(2);
  }
  for (const char c : unit) {
    if (c == '2') {
      out += "\u00b2";
    } else {
      out += c;
    }
  }
  return out;
}

Shown Show(const Measured& m, System system) {
  if (!m.Known()) return {"not known", "", "", ""};
  const Measured s = InSystem(m, system);
  int decimals = DecimalsFor(*s.value, s.low, s.high);
  if (s.unit == "in") decimals = std::min(decimals, kInchDecimals);
  return {Fixed(*s.value, decimals), Fixed(s.low, decimals), Fixed(s.high, decimals),
          UnitText(s.unit)};
}

std::string Sentence(const Measured& m, System system) {
  if (!m.Known()) return "not known: " + m.reason;
  const Shown s = Show(m, system);
  std::string out = s.value;
  if (!s.unit.empty()) out += " " + s.unit;
  if (m.low < m.high) out += " (" + s.low + " to " + s.high + ")";
  return out;
}

}  // namespace ribwright::units
