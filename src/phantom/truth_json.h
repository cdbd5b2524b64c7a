// SPDX-License-Identifier: Apache-2.0
// truth.json: the judge's keys with exact values (report/json.h), and under "phantom" what somebody
// with ruler and colour meter would have found on the board, so that it can be entered:
//   {"seed", "cut", "thickness_mm", "card_ruler_mm", "card_values":[{"patch","L","a","b"}]}
// card_ruler_mm and card_values only where a card was laid; values as photo/card_values.h reads
// them. Read back by report::FromJson, which passes over the further key.
#pragma once

#include <string>

#include "phantom/render.h"

namespace ribwright::phantom {

std::string TruthJson(const Phantom& phantom);

}  // namespace ribwright::phantom
