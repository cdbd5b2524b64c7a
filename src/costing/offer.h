// SPDX-License-Identifier: Apache-2.0
// Offer: a supplier's priced line. Prices are kept as quoted (amount, per kg or lb) and compared
// per kg; 1 lb = 453.59237 g exactly. What the line does not say stays empty: it is not guessed.
#pragma once

#include <optional>
#include <string>

#include "units/mass.h"
#include "units/money.h"
#include "units/utc_time.h"

namespace ribwright::costing {

enum class Per { kKg, kLb };

struct Offer {
  std::string supplier;
  std::string item;  // a public number (IMPS, UNECE) or the supplier's own
  std::string name;
  double amount = 0.0;  // currency units per `per`
  Per per = Per::kKg;
  units::Currency currency = *units::Currency::FromText("EUR");
  std::string bone;   // "in", "out" or empty
  std::string grade;  // claims, as the supplier writes them
  std::string breed;
  std::string feed;
  std::optional<int> aged_days;
  std::optional<double> fat_limit_mm;
  std::optional<double> piece_low_kg;
  std::optional<double> piece_high_kg;
  double freight_per_kg = 0.0;  // currency units
  std::optional<double> minimum_kg;
  std::optional<units::Day> valid_from;
  std::optional<units::Day> valid_to;

  double PricePerKg() const {
    return per == Per::kKg ? amount : amount * 1000.0 / units::kGramsPerPound;
  }
  double LandedPerKg() const { return PricePerKg() + freight_per_kg; }
  bool ValidOn(units::Day day) const {
    return (!valid_from || *valid_from <= day) && (!valid_to || day <= *valid_to);
  }
};

}  // namespace ribwright::costing
