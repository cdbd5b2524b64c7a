// SPDX-License-Identifier: Apache-2.0
// Mass balance of a cut: what comes out and what is lost weigh what went in, within what the scale
// may be wrong by.
//
// Tolerance of one weighing of mass m on a scale of division d, from the published class III table
// in use (NIST Handbook 44, scales code, table 6, maintenance): 1 d up to 500 d, 2 d up to 2000 d,
// 3 d up to 4000 d, 5 d above. Tolerance of a balance: root of the sum of squares over all masses
// weighed (inputs, outputs and losses that are not zero; errors of single weighings are taken as
// independent, `assumed`), never less than one division. Without a stated division, 5 g is taken
// for balances of over 1500 g and 1 g otherwise (`assumed`: usual counter and bench scales). A
// tolerance that is stated replaces all this; one wider than a tenth of the input is refused
// (`assumed`), so that no balance closes by decree.
#pragma once

#include <span>
#include <string>

#include "base/result.h"
#include "ledger/event.h"
#include "units/mass.h"

namespace ribwright::ledger {

// mass >= 0, division > 0, else LogicError.
units::Mass WeighingTolerance(units::Mass mass, units::Mass division);

struct Balance {
  units::Mass in;
  units::Mass out;   // outputs
  units::Mass lost;  // losses
  units::Mass tolerance;
  units::Mass Difference() const { return out + lost - in; }  // above zero: more came out
  bool Closes() const { return Difference() <= tolerance && -Difference() <= tolerance; }
};

// Masses as given; they must not be negative. Error: kEntryUnusable where the note's division or
// tolerance cannot be used.
Result<Balance> BalanceOf(std::span<const units::Mass> inputs, std::span<const units::Mass> outputs,
                          std::span<const Loss> losses, const ScaleNote& scale);

// kMassNotConserved, with the difference in grams, or nothing.
Status RequireClosed(const Balance& balance, const std::string& where);

}  // namespace ribwright::ledger
