// SPDX-License-Identifier: Apache-2.0
#include "ledger/event.h"

#include <algorithm>
#include <array>

#include "base/check.h"

namespace ribwright::ledger {
namespace {

constexpr std::array<std::string_view, 16> kKinds = {
    "received", "weighed",   "photographed", "judged", "moved", "cut",
    "trimmed",  "aged",      "cooked",       "served", "sold",  "discarded",
    "tasted",   "corrected", "voided",       "counted"};
constexpr std::array<std::string_view, 6> kLosses = {"kerf",  "trim",   "bone",
                                                     "purge", "drying", "unsaid"};

template <typename Enum, std::size_t kCount>
std::optional<Enum> Find(const std::array<std::string_view, kCount>& names, std::string_view text) {
  const auto found = std::find(names.begin(), names.end(), text);
  if (found == names.end()) return std::nullopt;
  return static_cast<Enum>(found - names.begin());
}

struct Pieces {
  std::vector<PieceId> operator()(const Received& p) const { return {p.piece.id}; }
  std::vector<PieceId> operator()(const Cut& p) const { return With(p.pieces, p.outputs); }
  std::vector<PieceId> operator()(const Trimmed& p) const { return With({p.piece}, p.outputs); }
  std::vector<PieceId> operator()(const Corrected&) const { return {}; }
  std::vector<PieceId> operator()(const Voided&) const { return {}; }
  std::vector<PieceId> operator()(const Counted& p) const {
    std::vector<PieceId> ids;
    for (const CountLine& line : p.lines) ids.push_back(line.piece);
    return ids;
  }
  template <typename P>
  std::vector<PieceId> operator()(const P& p) const {
    return {p.piece};
  }
  static std::vector<PieceId> With(std::vector<PieceId> ids, const std::vector<NewPiece>& made) {
    for (const NewPiece& piece : made) ids.push_back(piece.id);
    return ids;
  }
};

}  // namespace

std::string_view KindText(EventKind kind) { return kKinds.at(static_cast<std::size_t>(kind)); }

std::optional<EventKind> KindFromText(std::string_view text) {
  return Find<EventKind>(kKinds, text);
}

std::string_view LossText(LossKind kind) { return kLosses.at(static_cast<std::size_t>(kind)); }

std::optional<LossKind> LossFromText(std::string_view text) {
  return Find<LossKind>(kLosses, text);
}

// Payload's alternatives stand in the order of EventKind.
EventKind KindOf(const Payload& payload) { return static_cast<EventKind>(payload.index()); }

std::vector<PieceId> PiecesOf(const Payload& payload) { return std::visit(Pieces{}, payload); }

}  // namespace ribwright::ledger
