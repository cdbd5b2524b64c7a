// SPDX-License-Identifier: Apache-2.0
#include "ledger/piece.h"

#include <array>

#include "base/check.h"

namespace ribwright::ledger {
namespace {

constexpr std::array<std::string_view, 9> kStates = {
    "in_stock", "ageing", "cut_up", "cooked", "served", "sold", "discarded", "missing", "voided"};
constexpr std::array<std::string_view, 3> kBases = {"stated", "weighed", "divided"};

}  // namespace

std::string_view StateText(PieceState state) { return kStates.at(static_cast<std::size_t>(state)); }

std::optional<PieceState> StateFromText(std::string_view text) {
  for (std::size_t i = 0; i < kStates.size(); ++i) {
    if (kStates[i] == text) return static_cast<PieceState>(i);
  }
  return std::nullopt;
}

bool IsStock(PieceState state) {
  return state == PieceState::kInStock || state == PieceState::kAgeing;
}

bool IsThere(PieceState state) {
  return IsStock(state) || state == PieceState::kCooked || state == PieceState::kMissing;
}

std::string_view BasisText(MassBasis basis) { return kBases.at(static_cast<std::size_t>(basis)); }

std::optional<MassBasis> BasisFromText(std::string_view text) {
  for (std::size_t i = 0; i < kBases.size(); ++i) {
    if (kBases[i] == text) return static_cast<MassBasis>(i);
  }
  return std::nullopt;
}

}  // namespace ribwright::ledger
