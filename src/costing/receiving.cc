// SPDX-License-Identifier: Apache-2.0
#include "costing/receiving.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/check.h"
#include "costing/amount.h"
#include "units/format.h"

namespace ribwright::costing {
namespace {

using units::Mass;

double Kg(Mass mass) { return mass.grams() / 1000.0; }

void Raise(BoxFinding& box, Verdict verdict, std::string reason) {
  box.verdict = std::max(box.verdict, verdict);
  box.reasons.push_back(std::move(reason));
}

void CheckDays(const ReceivedBox& in, const ReceivingRules& rules, BoxFinding& box) {
  const auto late = [&](const std::optional<units::Day>& day) { return day && *day > rules.today; };
  if (late(in.slaughtered) || late(in.packed)) {
    Raise(box, Verdict::kAcceptWithClaim, "A date on the label lies in the future.");
  }
  if (in.slaughtered && in.packed && *in.packed < *in.slaughtered) {
    Raise(box, Verdict::kAcceptWithClaim, "It is labelled as packed before it was slaughtered.");
  }
  if (in.use_by && *in.use_by < rules.today) {
    Raise(box, Verdict::kRefuse,
          fmt::format("The use-by day {} has passed.", units::DayText(*in.use_by)));
  }
  if (!in.use_by) box.not_checked.push_back("use-by day");
}

double CheckMasses(const ReceivedBox& in, const ReceivingRules& rules, BoxFinding& box) {
  double credit = 0.0;
  const Mass missing = in.invoiced - in.weighed;
  if (missing > in.tolerance) {
    credit += Kg(missing) * in.price_per_kg;
    Raise(box, Verdict::kAcceptWithClaim,
          fmt::format("It weighs {} less than invoiced; the scale may be off by {}.",
                      units::GramsText(missing), units::GramsText(in.tolerance)));
  }
  if (-missing > in.tolerance) {
    box.reasons.push_back(
        fmt::format("It weighs {} more than invoiced.", units::GramsText(-missing)));
  }
  if (!in.purge) {
    box.not_checked.push_back("purge");
    return credit;
  }
  const Mass allowed = Mass::FromGrams(in.invoiced.grams() * rules.purge_allowed);
  if (*in.purge > allowed) {
    credit += Kg(*in.purge - allowed) * in.price_per_kg;
    Raise(box, Verdict::kAcceptWithClaim,
          fmt::format("The bag holds {} of purge; {} would be usual.", units::GramsText(*in.purge),
                      units::GramsText(allowed)));
  }
  return credit;
}

Status CheckBox(const ReceivedBox& in) {
  const auto mass = [](Mass m) { return m >= Mass() && m <= Mass::FromKilograms(1e5); };
  const bool price =
      std::isfinite(in.price_per_kg) && in.price_per_kg >= 0.0 && in.price_per_kg < 1e6;
  const bool core = !in.core_c || (*in.core_c > -60.0 && *in.core_c < 60.0);
  if (mass(in.invoiced) && mass(in.weighed) && mass(in.tolerance) && price && core &&
      in.invoiced > Mass() && (!in.purge || mass(*in.purge))) {
    return {};
  }
  return Fail(Code::kDataUnusable, "A number of the box cannot be used.", in.name,
              "Give masses of 0 or more, an invoice above 0, a price, a core temperature in C.");
}

}  // namespace

std::string_view VerdictText(Verdict verdict) {
  switch (verdict) {
    case Verdict::kAccept:
      return "accept";
    case Verdict::kAcceptWithClaim:
      return "accept with a claim";
    case Verdict::kRefuse:
      return "refuse";
  }
  RIBWRIGHT_CHECK(false);
  return {};
}

Result<DeliveryFinding> JudgeDelivery(const std::vector<ReceivedBox>& boxes,
                                      const ReceivingRules& rules) {
  if (!(rules.purge_allowed >= 0.0 && rules.purge_allowed < 1.0)) {
    return Fail(Code::kDataUnusable, "The purge allowed is no share.", "rules", "Give 0 to 1.");
  }
  DeliveryFinding delivery;
  delivery.credit = {0, rules.currency};
  for (const ReceivedBox& in : boxes) {
    if (const Status fine = CheckBox(in); !fine) return Fail(fine.error());
    BoxFinding box;
    box.name = in.name;
    double credit = CheckMasses(in, rules, box);
    CheckDays(in, rules, box);
    if (in.bag_leaks) Raise(box, Verdict::kAcceptWithClaim, "The bag leaks.");
    if (in.lot.empty()) Raise(box, Verdict::kAcceptWithClaim, "There is no lot on the label.");
    if (in.establishment.empty()) {
      Raise(box, Verdict::kAcceptWithClaim, "There is no establishment number.");
    }
    if (!rules.core_limit_c) {
      box.not_checked.push_back("core temperature: the house entered no limit");
    } else if (!in.core_c) {
      box.not_checked.push_back("core temperature: not measured");
    } else if (*in.core_c > *rules.core_limit_c) {
      Raise(box, Verdict::kRefuse,
            fmt::format("Its core has {} C; the limit is {} C ({}).", units::Fixed(*in.core_c, 1),
                        units::Fixed(*rules.core_limit_c, 1),
                        rules.limit_source.empty() ? "as entered" : rules.limit_source));
    }
    if (box.verdict == Verdict::kRefuse) credit = Kg(in.invoiced) * in.price_per_kg;
    box.credit = RoundToMoney(credit, rules.currency);
    delivery.credit = delivery.credit + box.credit;
    delivery.verdict = std::max(delivery.verdict, box.verdict);
    delivery.boxes.push_back(std::move(box));
  }
  return delivery;
}

}  // namespace ribwright::costing
