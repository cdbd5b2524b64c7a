// SPDX-License-Identifier: Apache-2.0
// Two judged faces side by side: differences with their doubt, and in words what drives them.
//
// Difference d = second - first. The two faces are taken as independent, so that variances add,
// side by side:
//   low  = d - sqrt((v2 - low2)^2 + (high1 - v1)^2),   high = d + sqrt((high2 - v2)^2 + (v1 -
//   low1)^2),
// with every half width first brought from its own level to 90 % as for a normal distribution.
// Errors that both share (one camera, one method) would cancel; the interval is on the safe side of
// them. Odds that the second is greater: the difference as two half normals joined at d, each with
// the spread of its side. Both rules are approximations; a test holds them to sampling. "Told
// apart" means: the interval of the difference does not hold 0, that is odds of 95 to 5 or better.
//
// What drives a difference in marbling over all muscles (share m_i, part a_i of the muscles' area):
//   m2 - m1 = sum of mean(a_i) (m2_i - m1_i)  +  sum of mean(m_i) (a2_i - a1_i),
// the first sum by muscle, the second together as "sizes of the muscles" (Kitagawa 1955; memory). A
// muscle that only one face has counts in the second sum. Pure functions, thread-safe.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "report/photo_report.h"
#include "units/format.h"

namespace ribwright::programme {

struct Difference {
  std::string key;    // "eye_marbling_pct"
  std::string words;  // "marbling of the eye"
  Measured first;
  Measured second;
  Measured difference;                        // second - first
  std::optional<double> odds_second_greater;  // none where either is not known
  bool told_apart = false;
};

struct Driver {
  std::string words;  // "the eye's marbling", "the sizes of the muscles"
  double points = 0.0;
};

struct Comparison {
  std::vector<Difference> differences;
  std::vector<Driver> drivers;  // of marbling over all muscles, largest first; empty when not known
  std::vector<std::string> words;  // sentences, the weightiest first
};

Measured DifferenceOf(const Measured& first, const Measured& second);
double OddsGreaterThanZero(const Measured& difference);

Comparison CompareFaces(const report::Face& first, const report::Face& second,
                        units::System units = units::System::kMetric);

// Which face is meant: the photo's name and the face's number, from 1, the largest, to `faces`.
struct CompareSide {
  std::string photo;
  std::size_t face = 1;
  std::size_t faces = 1;
};

// {"schema":"ribwright.compare/1", ...}, docs/format/compare_json.md.
std::string CompareJson(const Comparison& comparison, const CompareSide& first,
                        const CompareSide& second, bool pretty);
// For a terminal of 80 columns.
std::string CompareTable(const Comparison& comparison, const CompareSide& first,
                         const CompareSide& second, units::System units);

}  // namespace ribwright::programme
