// SPDX-License-Identifier: Apache-2.0
#include "costing/claims.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "base/csv.h"

namespace ribwright::costing {
namespace {

constexpr double kZ90 = 1.6448536269514722;

// From the lowest up, as the judge names them.
constexpr std::array<std::string_view, 8> kUsGrades = {
    "canner", "cutter", "utility", "commercial", "standard", "select", "choice", "prime"};
constexpr std::array<std::string_view, 9> kDegrees = {
    "practically_devoid",  "traces",  "slight", "small", "modest", "moderate", "slightly_abundant",
    "moderately_abundant", "abundant"};

std::span<const std::string_view> ScaleOf(std::string_view of) {
  if (of == "us") return kUsGrades;
  if (of == "marbling_degree") return kDegrees;
  return {};
}

std::optional<std::size_t> RankOf(std::span<const std::string_view> scale, std::string_view step) {
  const auto it = std::find(scale.begin(), scale.end(), step);
  if (it == scale.end()) return std::nullopt;
  return static_cast<std::size_t>(it - scale.begin());
}

double OddsAtLeast(const Measured& m, double number) {
  if (m.low == m.high) return *m.value >= number ? 1.0 : 0.0;
  const double apart = number - *m.value;
  const double width = (apart < 0.0 ? *m.value - m.low : m.high - *m.value) / kZ90;
  if (width <= 0.0) return apart <= 0.0 ? 1.0 : 0.0;
  return 0.5 * std::erfc(apart / width / std::sqrt(2.0));
}

}  // namespace

Result<Claim> ClaimFromText(std::string_view text) {
  const auto refuse = [&] {
    return Fail(Code::kBadOption, "The claim cannot be read.", std::string(text),
                "Write us>=choice, marbling_degree>=modest, marbling_pct>=6 or imf_pct>=5.");
  };
  const std::size_t at = text.find(">=");
  if (at == std::string_view::npos) return refuse();
  Claim claim;
  claim.of = std::string(text.substr(0, at));
  const std::string_view wanted = text.substr(at + 2);
  if (const auto scale = ScaleOf(claim.of); !scale.empty()) {
    if (!RankOf(scale, wanted)) return refuse();
    claim.at_least = std::string(wanted);
    return claim;
  }
  const auto number = NumberFromText(wanted);
  if ((claim.of != "marbling_pct" && claim.of != "imf_pct") || !number || *number < 0.0 ||
      *number > 100.0) {
    return refuse();
  }
  claim.number = *number;
  return claim;
}

Result<ClaimOdds> OddsOfClaim(const report::Face& face, const Claim& claim) {
  const auto scale = ScaleOf(claim.of);
  if (!scale.empty()) {
    const auto floor = RankOf(scale, claim.at_least);
    if (!floor) {
      return Fail(Code::kDataUnusable, "The claimed step is not on the scale.", claim.at_least,
                  "Name a step of the scale.");
    }
    const auto it = face.grade_odds.find(claim.of);
    const report::Odds* odds = claim.of == "marbling_degree" ? &face.marbling_degree
                               : it != face.grade_odds.end() ? &it->second
                                                             : nullptr;
    if (odds == nullptr || !odds->Known()) {
      return ClaimOdds{std::nullopt, odds == nullptr || odds->basis.empty()
                                         ? "the face carries no odds on this scale"
                                         : odds->basis};
    }
    double met = 0.0;
    for (const auto& [step, p] : odds->odds) {
      const auto rank = RankOf(scale, step);
      if (!rank) return ClaimOdds{std::nullopt, "the odds name a step that is not on the scale"};
      if (*rank >= *floor) met += p;
    }
    return ClaimOdds{std::clamp(met, 0.0, 1.0), odds->basis};
  }
  const Measured* m = claim.of == "marbling_pct"              ? &face.marbling_pct
                      : claim.of == "imf_pct" && face.imf_pct ? &*face.imf_pct
                                                              : nullptr;
  if (m == nullptr) return ClaimOdds{std::nullopt, "the face carries no such number"};
  if (!m->Known()) return ClaimOdds{std::nullopt, m->reason};
  return ClaimOdds{OddsAtLeast(*m, claim.number), m->basis};
}

Result<SupplierRecord> ControlChart(std::vector<RecordPoint> points) {
  if (points.size() < 8) {
    return Fail(Code::kDataUnusable, "There are fewer than eight deliveries.", "supplier record",
                "Book more deliveries: limits from fewer mean nothing.");
  }
  SupplierRecord record;
  double ranges = 0.0;
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (!std::isfinite(points[i].value)) {
      return Fail(Code::kDataUnusable, "A value is no number.", points[i].name, "Mend it.");
    }
    record.centre += points[i].value;
    if (i > 0) ranges += std::fabs(points[i].value - points[i - 1].value);
  }
  const auto n = static_cast<double>(points.size());
  record.centre /= n;
  const double reach = 2.66 * ranges / (n - 1.0);
  record.lower = record.centre - reach;
  record.upper = record.centre + reach;
  int above = 0;
  int below = 0;
  for (RecordPoint& point : points) {
    point.outside = point.value < record.lower || point.value > record.upper;
    above = point.value > record.centre ? above + 1 : 0;
    below = point.value < record.centre ? below + 1 : 0;
    point.run = above >= 8 || below >= 8;
  }
  record.points = std::move(points);
  return record;
}

}  // namespace ribwright::costing
