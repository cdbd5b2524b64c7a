// SPDX-License-Identifier: Apache-2.0
#include "costing/yield_card.h"

#include <fmt/format.h>

#include <cmath>

#include "costing/amount.h"

namespace ribwright::costing {
namespace {

using units::Mass;

double Kg(Mass mass) { return mass.grams() / 1000.0; }

Mass ToleranceOf(const YieldCard& card) {
  if (card.tolerance) return *card.tolerance;
  return card.purchased > Mass::FromGrams(1500.0) ? Mass::FromGrams(5.0) : Mass::FromGrams(1.0);
}

tl::unexpected<Error> Unusable(std::string message, std::string where, std::string mend) {
  return Fail(Code::kDataUnusable, std::move(message), std::move(where), std::move(mend));
}

PartCost CostOver(double value, Mass mass, double price_per_kg) {
  const double per_kg = value / Kg(mass);
  return {per_kg, per_kg / price_per_kg};
}

Status CheckNumbers(const YieldCard& card) {
  const Mass none;
  if (card.purchased <= none) {
    return Unusable("The piece weighs nothing.", card.name, "Enter its mass as purchased.");
  }
  if (!std::isfinite(card.price_per_kg) || card.price_per_kg <= 0.0 || card.price_per_kg >= 1e6) {
    return Unusable("The purchase price is not above zero.", card.name, "Enter it per kg or lb.");
  }
  if (card.tolerance && (*card.tolerance < none || *card.tolerance > card.purchased)) {
    return Unusable("The tolerance is not between 0 and the piece's mass.", card.name,
                    "Enter what the scale may be off by.");
  }
  int mains = 0;
  for (const YieldPart& part : card.parts) {
    const std::string where = card.name + ": " + part.name;
    if (part.mass < none) return Unusable("A mass is below zero.", where, "Weigh it again.");
    if (!std::isfinite(part.value_per_kg) || part.value_per_kg < 0.0 || part.value_per_kg >= 1e6) {
      return Unusable("A value is below zero or not finite.", where, "Enter it per kg or lb.");
    }
    if (part.role != PartRole::kByProduct && part.value_per_kg != 0.0) {
      return Unusable("Only by-products carry a value.", where,
                      "Make it a by-product, or take the value away.");
    }
    if (part.role != PartRole::kMain) continue;
    ++mains;
    if (part.mass == none) return Unusable("The main part weighs nothing.", where, "Weigh it.");
  }
  if (mains == 1) return {};
  return Unusable(fmt::format("There are {} main parts.", mains), card.name,
                  "Name one part as the main part; share cost over several as joint products.");
}

}  // namespace

Result<YieldResult> EvaluateYield(const YieldCard& card) {
  if (const Status fine = CheckNumbers(card); !fine) return Fail(fine.error());
  YieldResult r;
  Mass sum;
  for (const YieldPart& part : card.parts) {
    sum += part.mass;
    if (part.role == PartRole::kMain) r.main = part.mass;
    if (part.role == PartRole::kByProduct) r.by_products += part.mass;
    if (part.role == PartRole::kLoss) r.losses += part.mass;
    r.credit += Kg(part.mass) * part.value_per_kg;
  }
  r.difference = sum - card.purchased;
  const Mass tolerance = ToleranceOf(card);
  if (r.difference > tolerance || -r.difference > tolerance) {
    const bool missing = r.difference < Mass();
    return Fail(Code::kMassNotConserved,
                fmt::format("The parts weigh {}, the piece weighed {}: {} {}.",
                            units::GramsText(sum), units::GramsText(card.purchased),
                            units::GramsText(missing ? -r.difference : r.difference),
                            missing ? "are missing" : "are too many"),
                card.name,
                "Weigh again, or enter what was lost; the test counts once its weights add up.");
  }
  r.purchase_cost = Kg(card.purchased) * card.price_per_kg;
  r.main_value = r.purchase_cost - r.credit;
  if (r.main_value < 0.0) {
    return Unusable("The by-products are worth more than the whole piece.", card.name,
                    "Check their values and their units.");
  }
  r.yield = Kg(r.main) / Kg(card.purchased);
  r.with_credit = CostOver(r.main_value, r.main, card.price_per_kg);
  r.without_credit = CostOver(r.purchase_cost, r.main, card.price_per_kg);
  return r;
}

Result<CookingResult> EvaluateCooking(const YieldCard& card, const CookingCard& cooking) {
  const auto raw = EvaluateYield(card);
  if (!raw) return Fail(raw.error());
  const Mass tolerance = ToleranceOf(card);
  const Mass apart = cooking.raw - raw->main;
  if (apart > tolerance || -apart > tolerance) {
    return Fail(Code::kMassNotConserved,
                fmt::format("{} went into the oven, the main part weighed {}.",
                            units::GramsText(cooking.raw), units::GramsText(raw->main)),
                card.name, "Cook the whole main part, or make a card for what was cooked.");
  }
  CookingResult r;
  r.loss = cooking.raw - cooking.cooked;
  r.saleable = cooking.cooked - cooking.trimmed_after;
  if (r.loss < -tolerance || cooking.trimmed_after < Mass() || r.saleable <= Mass()) {
    return Fail(Code::kMassNotConserved,
                fmt::format("Of {} raw, {} cooked and {} trimmed after, {} would be saleable.",
                            units::GramsText(cooking.raw), units::GramsText(cooking.cooked),
                            units::GramsText(cooking.trimmed_after), units::GramsText(r.saleable)),
                card.name, "Weigh again: cooked meat weighs less than raw and more than its trim.");
  }
  r.loss_of_raw = Kg(r.loss) / Kg(cooking.raw);
  r.yield = Kg(r.saleable) / Kg(card.purchased);
  r.with_credit = CostOver(raw->main_value, r.saleable, card.price_per_kg);
  r.without_credit = CostOver(raw->purchase_cost, r.saleable, card.price_per_kg);
  return r;
}

PortionAtNewPrice PortionCostAt(const YieldCard& card, const YieldResult& result, Mass portion,
                                double new_price_per_kg) {
  const double cost = Kg(card.purchased) * new_price_per_kg - result.credit;
  return {result.with_credit.factor * Kg(portion) * new_price_per_kg,
          cost / Kg(result.main) * Kg(portion)};
}

Result<ToBuy> QuantityToBuy(std::int64_t covers, Mass portion, double yield, Mass piece) {
  if (covers < 0 || covers > 1'000'000 || portion <= Mass() || piece <= Mass() ||
      !(yield > 0.0 && yield <= 1.0)) {
    return Unusable("Covers, portion, yield or piece cannot be used.", "quantity to buy",
                    "Give covers from 0, a portion and a piece above 0 g, a yield of 0 to 100 %.");
  }
  const double kg = static_cast<double>(covers) * Kg(portion) / yield;
  // A hair's breadth of rounding must not buy a whole piece more.
  return ToBuy{kg, static_cast<std::int64_t>(std::ceil(kg / Kg(piece) - 1e-9))};
}

}  // namespace ribwright::costing
