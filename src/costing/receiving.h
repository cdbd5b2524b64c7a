// SPDX-License-Identifier: Apache-2.0
// A delivery held against its order: accept, accept with a claim, or refuse.
//
// For each box: weight on the house's scale against the invoice, within the scale's tolerance
// (given by the caller: it follows from the scale's class); core temperature against the local
// limit that the house entered; leaking bags; purge; dates. What is found:
//   core above the limit, or the use-by day passed -> refuse the box
//   short by more than the tolerance               -> claim, credit = (invoice - weighed) x price
//   purge above what the house allows              -> claim, credit = the purge above it x price
//   leaking bag, missing lot, establishment or date -> claim without a sum
// Credits are rounded once a box, half away from zero. A limit that the house did not enter is not
// checked and is said so. Nothing here says that meat is safe. Errors: kDataUnusable. Thread-safe.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/result.h"
#include "units/mass.h"
#include "units/money.h"
#include "units/utc_time.h"

namespace ribwright::costing {

struct ReceivedBox {
  std::string name;
  units::Mass invoiced;
  units::Mass weighed;
  units::Mass tolerance;  // of the weighing
  double price_per_kg = 0.0;
  std::optional<double> core_c;
  bool bag_leaks = false;
  std::optional<units::Mass> purge;
  std::string lot;
  std::string establishment;
  std::optional<units::Day> slaughtered;
  std::optional<units::Day> packed;
  std::optional<units::Day> use_by;
};

struct ReceivingRules {
  units::Currency currency = *units::Currency::FromText("EUR");
  units::Day today{};
  std::optional<double> core_limit_c;  // local law, entered by the house
  std::string limit_source;            // where that limit stands
  double purge_allowed = 0.02;         // of the invoiced mass (assumed)
};

enum class Verdict { kAccept, kAcceptWithClaim, kRefuse };
std::string_view VerdictText(Verdict verdict);

struct BoxFinding {
  std::string name;
  Verdict verdict = Verdict::kAccept;
  units::Money credit{0, *units::Currency::FromText("EUR")};
  std::vector<std::string> reasons;  // sentences
  std::vector<std::string> not_checked;
};

struct DeliveryFinding {
  Verdict verdict = Verdict::kAccept;  // the worst of the boxes
  units::Money credit{0, *units::Currency::FromText("EUR")};
  std::vector<BoxFinding> boxes;
};

// A refused box is credited whole: invoiced mass x price.
Result<DeliveryFinding> JudgeDelivery(const std::vector<ReceivedBox>& boxes,
                                      const ReceivingRules& rules);

}  // namespace ribwright::costing
