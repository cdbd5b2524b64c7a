// SPDX-License-Identifier: Apache-2.0
// Does a judged face meet what the supplier claims, and how has the supplier done over time?
//
// A claim is about a scale ("us" grade at least choice; marbling degree at least modest) or a
// measured number (marbling at least 6 %). From odds over a scale: the sum of the odds at and above
// the claimed step. From a measured number: the normal law of each side of its interval (low and
// high are its 5 % and 95 % points). These are odds from a photo, never a grade and never proof.
// A claim that the photo says nothing about is "not known", with the reason.
//
// Supplier record: one number a delivery (share of pieces that met the claim, purge, short weight),
// as an individuals chart: centre = mean, limits = centre +- 2.66 x mean moving range (2.66 = 3 /
// d2, d2 = 1.128 for pairs; memory). At least 8 deliveries (`assumed`); a delivery outside its
// limits, or the last of 8 in a row on one side of the centre, is marked. Errors: kDataUnusable.
// Thread-safe.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "base/result.h"
#include "report/photo_report.h"

namespace ribwright::costing {

struct Claim {
  std::string of;        // "us", "marbling_degree", "marbling_pct", "imf_pct"
  std::string at_least;  // a step of the scale, or empty
  double number = 0.0;   // for measured numbers
};

// "us>=choice", "marbling_degree>=modest", "marbling_pct>=6".
Result<Claim> ClaimFromText(std::string_view text);

struct ClaimOdds {
  std::optional<double> met;
  std::string because;  // basis, or why it is not known
};
Result<ClaimOdds> OddsOfClaim(const report::Face& face, const Claim& claim);

struct RecordPoint {
  std::string name;  // "delivery of 2026-03-01"
  double value = 0.0;
  bool outside = false;
  bool run = false;
};
struct SupplierRecord {
  double centre = 0.0;
  double lower = 0.0;
  double upper = 0.0;
  std::vector<RecordPoint> points;
};
Result<SupplierRecord> ControlChart(std::vector<RecordPoint> points);

}  // namespace ribwright::costing
