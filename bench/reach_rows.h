// SPDX-License-Identifier: Apache-2.0
// The lines of `bench/reach`: name | measured | limit | ok, short or skipped, then a note where
// there is one.
#pragma once

#include <span>
#include <string>
#include <vector>

namespace ribwright::bench {

enum class Verdict { kOk, kShort, kSkipped };

struct Row {
  std::string name;
  std::string measured;
  std::string limit;
  Verdict verdict = Verdict::kSkipped;
  std::string note;
};

Row AtMost(std::string name, double measured, double limit, const std::string& unit, int digits,
           std::string note = {});
Row AtLeast(std::string name, double measured, double limit, const std::string& unit, int digits,
            std::string note = {});
Row Between(std::string name, double measured, double low, double high, const std::string& unit,
            int digits, std::string note = {});
Row Skipped(std::string name, std::string limit, std::string why);

std::string Line(const Row& row);
// 0 when all are ok, 1 when any is short, 4 when none is short but some were skipped.
int ExitCode(std::span<const Row> rows);

// Of a copy of values; values must not be empty. Quantile: linear between order statistics.
double Mean(std::span<const double> values);
double Quantile(std::vector<double> values, double q);

}  // namespace ribwright::bench
