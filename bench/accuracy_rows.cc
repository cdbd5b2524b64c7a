// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "case_table.h"
#include "photo/delta_e.h"
#include "quantities.h"

namespace ribwright::bench {
namespace {

using phantom::Cut;

constexpr const char* kColourRow = "lean colour with entered patch values: mean CIEDE2000";
constexpr const char* kColourLimit = "<= 2.50";
constexpr double kRichTruth = 10.0;  // % marbling where the limit turns from points to a share

std::string Count(std::size_t n) { return fmt::format("n {}", n); }

template <typename Make>
void Add(std::vector<Row>& rows, std::string name, const std::vector<double>& values,
         const std::string& limit, const Make& make) {
  if (values.empty()) {
    rows.push_back(Skipped(std::move(name), limit, "no such case among these seeds"));
  } else {
    rows.push_back(make(std::move(name), Count(values.size())));
  }
}

// value - truth of every case where both are known.
struct Pairs {
  std::vector<double> error;
  std::vector<double> truth;
  int with_truth = 0;
  int missed = 0;
};
Pairs PairsOf(std::span<const CaseResult> cases, std::string_view name) {
  Pairs pairs;
  const std::size_t at = QuantityIndex(name);
  for (const CaseResult& c : cases) {
    const Reading& reading = c.readings[at];
    if (!reading.truth) continue;
    ++pairs.with_truth;
    if (!reading.judged || !reading.judged->Known()) {
      ++pairs.missed;
      continue;
    }
    pairs.error.push_back(*reading.judged->value - *reading.truth);
    pairs.truth.push_back(*reading.truth);
  }
  return pairs;
}

void AddMarbling(std::vector<Row>& rows, std::span<const CaseResult> cases) {
  const Pairs pairs = PairsOf(cases, "eye marbling");
  std::vector<double> points, shares, scaled;
  for (std::size_t i = 0; i < pairs.error.size(); ++i) {
    const double error = std::abs(pairs.error[i]);
    const double truth = pairs.truth[i];
    if (truth < kRichTruth) {
      points.push_back(error);
    } else {
      shares.push_back(100.0 * error / truth);
    }
    scaled.push_back(error / std::max(2.0, 0.15 * truth));
  }
  Add(rows, "eye marbling, truth under 10 %: mean error", points, "<= 0.60 points",
      [&](std::string name, std::string n) {
        return AtMost(std::move(name), Mean(points), 0.6, "points", 2, std::move(n));
      });
  Add(rows, "eye marbling, truth 10 % and over: mean error of truth", shares, "<= 6.0 %",
      [&](std::string name, std::string n) {
        return AtMost(std::move(name), Mean(shares), 6.0, "%", 1, std::move(n));
      });
  Add(rows, "eye marbling: 95th percentile of error over its limit", scaled, "<= 1.00",
      [&](std::string name, std::string n) {
        return AtMost(std::move(name), Quantile(scaled, 0.95), 1.0, "", 2,
                      n + ", limit 2 points or 15 % of truth, the larger");
      });
}

void AddSizes(std::vector<Row>& rows, std::span<const CaseResult> cases) {
  const Pairs area = PairsOf(cases, "eye area");
  std::vector<double> shares;
  for (std::size_t i = 0; i < area.error.size(); ++i) {
    shares.push_back(100.0 * std::abs(area.error[i]) / area.truth[i]);
  }
  Add(rows, "eye area: mean error of truth", shares, "<= 2.0 %",
      [&](std::string name, std::string n) {
        return AtMost(std::move(name), Mean(shares), 2.0, "%", 1, std::move(n));
      });
  std::vector<double> cover;
  for (const double error : PairsOf(cases, "cover mean").error) cover.push_back(std::abs(error));
  Add(rows, "cover, mean thickness: mean error", cover, "<= 0.80 mm",
      [&](std::string name, std::string n) {
        return AtMost(std::move(name), Mean(cover), 0.8, "mm", 2, std::move(n));
      });
}

void AddColour(std::vector<Row>& rows, std::span<const CaseResult> cases) {
  const std::size_t first = QuantityIndex("lean L");
  std::vector<double> differences;
  for (const CaseResult& c : cases) {
    const auto known = [&](std::size_t i) {
      const Reading& r = c.readings[first + i];
      return r.truth && r.judged && r.judged->Known();
    };
    if (!known(0) || !known(1) || !known(2)) continue;
    const auto truth = [&](std::size_t i) { return *c.readings[first + i].truth; };
    const auto judged = [&](std::size_t i) { return *c.readings[first + i].judged->value; };
    differences.push_back(
        photo::DeltaE2000({judged(0), judged(1), judged(2)}, {truth(0), truth(1), truth(2)}));
  }
  Add(rows, kColourRow, differences, kColourLimit, [&](std::string name, std::string n) {
    return AtMost(std::move(name), Mean(differences), 2.5, "", 2, std::move(n));
  });
}

template <typename Wanted, typename Holds>
void AddShare(std::vector<Row>& rows, std::span<const CaseResult> cases, std::string name,
              double limit_pct, const Wanted& wanted, const Holds& holds) {
  std::vector<double> held;
  for (const CaseResult& c : cases) {
    if (wanted(c)) held.push_back(holds(c) ? 100.0 : 0.0);
  }
  Add(rows, std::move(name), held, fmt::format(">= {:.1f} %", limit_pct),
      [&](std::string row, std::string n) {
        return AtLeast(std::move(row), Mean(held), limit_pct, "%", 1, std::move(n));
      });
}

void AddMuscles(std::vector<Row>& rows, std::span<const CaseResult> cases) {
  const auto eye_ok = [](const CaseResult& c) { return c.eye_iou >= 0.92; };
  AddShare(
      rows, cases, "eye of rib and strip: overlap >= 0.92 on", 95.0,
      [](const CaseResult& c) { return c.cut != Cut::kSirloin; }, eye_ok);
  AddShare(
      rows, cases, "gluteus medius of sirloin: overlap >= 0.92 on", 95.0,
      [](const CaseResult& c) { return c.cut == Cut::kSirloin; }, eye_ok);
  AddShare(
      rows, cases, "cap of rib, 8 mm and thicker: overlap >= 0.80 on", 90.0,
      [](const CaseResult& c) { return c.cut == Cut::kRib && c.cap_thickest_mm >= 8.0; },
      [](const CaseResult& c) { return c.cap_iou >= 0.80; });
  AddShare(
      rows, cases, "cap that is absent: called absent on", 95.0,
      [](const CaseResult& c) { return c.cap_thickest_mm <= 0.0; },
      [](const CaseResult& c) { return c.refusal.empty() && !c.cap_called; });
}

void AddMisses(std::vector<Row>& rows, std::span<const CaseResult> cases) {
  for (const Quantity& quantity : Quantities()) {
    const Pairs pairs = PairsOf(cases, quantity.name);
    if (pairs.with_truth == 0) continue;
    rows.push_back(AtMost(fmt::format("missed (null or refused): {}", quantity.name),
                          100.0 * pairs.missed / pairs.with_truth, 3.0, "%", 1,
                          Count(static_cast<std::size_t>(pairs.with_truth))));
  }
}

void AddBaselines(std::vector<Row>& rows, std::span<const CaseResult> cases) {
  std::vector<double> global, local;
  for (const CaseResult& c : cases) {
    if (c.global_error) global.push_back(std::abs(*c.global_error));
    if (c.local_error) local.push_back(std::abs(*c.local_error));
  }
  Add(rows, "set not too easy: global threshold in the true eye errs by", global, ">= 1.5 points",
      [&](std::string name, std::string n) {
        return AtLeast(std::move(name), Mean(global), 1.5, "points", 1, std::move(n));
      });
  Add(rows, "set not too easy: local threshold in the true eye errs by", local, ">= 1.5 points",
      [&](std::string name, std::string n) {
        return AtLeast(std::move(name), Mean(local), 1.5, "points", 1, std::move(n));
      });
}

}  // namespace

std::vector<Row> AccuracyRows(std::span<const CaseResult> mixed, bool values_entered) {
  std::vector<Row> rows;
  AddMarbling(rows, mixed);
  AddSizes(rows, mixed);
  if (values_entered) {
    AddColour(rows, mixed);
  } else {
    rows.push_back(Skipped(kColourRow, kColourLimit, "no patch values were entered"));
  }
  AddMuscles(rows, mixed);
  AddMisses(rows, mixed);
  AddBaselines(rows, mixed);
  return rows;
}

}  // namespace ribwright::bench
