// SPDX-License-Identifier: Apache-2.0
// Cut and trimmed: masses close, money is shared, outputs know where they came from.
#include <fmt/format.h>

#include <algorithm>

#include "ledger/apply_parts.h"
#include "ledger/mass_balance.h"

namespace ribwright::ledger {
namespace {

using units::Mass;
using units::Money;

// Cost of all inputs together; none where one has none.
Result<std::optional<Money>> CostOf(const std::vector<Piece>& inputs) {
  std::optional<Money> sum;
  for (const Piece& piece : inputs) {
    if (!piece.cost) return std::optional<Money>();
    if (sum && !(sum->currency == piece.cost->currency)) {
      return Fail(Code::kCurrencyMixed,
                  fmt::format("{} and {} cannot be added.", units::MoneyText(*sum),
                              units::MoneyText(*piece.cost)),
                  fmt::format("piece {}", piece.code),
                  "Correct the cost of one to the house's currency.");
    }
    sum = sum ? *sum + *piece.cost : *piece.cost;
  }
  return sum;
}

// What several inputs agree on stays; what they differ in is said to be several.
std::string Common(const std::vector<Piece>& inputs, std::string Piece::*field) {
  const std::string& first = inputs.front().*field;
  const bool same = std::all_of(inputs.begin(), inputs.end(),
                                [&](const Piece& piece) { return piece.*field == first; });
  return same ? first : "several";
}

Piece Made(const NewPiece& output, const std::vector<Piece>& inputs, const Working& work) {
  const units::UtcTime when = work.event().draft.happened;
  Piece piece;
  piece.id = output.id;
  piece.code = output.code;
  piece.cut = output.cut;
  SetMass(piece, output.mass, MassBasis::kDivided, when);
  piece.location = output.location.empty() ? inputs.front().location : output.location;
  piece.moved_at = when;
  piece.supplier = Common(inputs, &Piece::supplier);
  piece.lot = Common(inputs, &Piece::lot);
  piece.received = inputs.front().received;
  piece.slaughtered = inputs.front().slaughtered;
  piece.aged = inputs.front().aged;
  for (const Piece& input : inputs) {
    piece.received = std::min(piece.received, input.received);
    piece.aged = std::min(piece.aged, input.aged);
    if (input.slaughtered != piece.slaughtered) piece.slaughtered.reset();
  }
  piece.made = when;
  piece.changed = when;
  piece.made_by = work.event().number;
  piece.note = work.event().draft.note;
  return piece;
}

std::vector<Mass> MassesOf(const std::vector<NewPiece>& outputs) {
  std::vector<Mass> masses;
  for (const NewPiece& output : outputs) masses.push_back(output.mass);
  return masses;
}

std::string Where(const std::vector<Piece>& inputs) {
  std::string codes;
  for (const Piece& piece : inputs) codes += (codes.empty() ? "piece " : ", ") + piece.code;
  return codes;
}

// Outputs take their cost, in order, from `shares` (empty: unknown).
void KeepOutputs(const std::vector<NewPiece>& outputs, const std::vector<Piece>& inputs,
                 const std::vector<Money>& shares, Working& work) {
  for (std::size_t i = 0; i < outputs.size(); ++i) {
    Piece piece = Made(outputs[i], inputs, work);
    if (!shares.empty()) piece.cost = shares[i];
    for (const Piece& input : inputs) work.Link(input.id, piece.id);
    work.Keep(std::move(piece));
  }
}

std::vector<Money> Shares(const std::optional<Money>& cost, const std::vector<Mass>& masses) {
  if (!cost || masses.empty()) return {};
  std::vector<std::int64_t> weights;
  for (const Mass mass : masses) weights.push_back(mass.milligrams());
  return units::SplitMoney(*cost, weights);
}

}  // namespace

Status ApplyCut(const Cut& cut, Working& work) {
  const units::UtcTime when = work.event().draft.happened;
  std::vector<Piece> inputs;
  std::vector<Mass> in;
  for (const PieceId id : cut.pieces) {
    auto piece = work.There(id);
    if (!piece) return Fail(piece.error());
    EndAgeing(*piece, when);
    in.push_back(piece->mass);
    inputs.push_back(std::move(*piece));
  }
  const std::vector<Mass> out = MassesOf(cut.outputs);
  const auto balance = BalanceOf(in, out, cut.losses, cut.scale);
  if (!balance) return Fail(balance.error());
  if (const Status closed = RequireClosed(*balance, Where(inputs)); !closed) {
    return Fail(closed.error());
  }
  const auto cost = CostOf(inputs);
  if (!cost) return Fail(cost.error());
  KeepOutputs(cut.outputs, inputs, Shares(*cost, out), work);
  for (Piece& piece : inputs) {
    piece.state = PieceState::kCutUp;
    work.Keep(std::move(piece));
  }
  return {};
}

Status ApplyTrimmed(const Trimmed& trimmed, Working& work) {
  const units::UtcTime when = work.event().draft.happened;
  auto piece = work.There(trimmed.piece);
  if (!piece) return Fail(piece.error());
  TurnUp(*piece);
  std::vector<Mass> out = MassesOf(trimmed.outputs);
  out.push_back(trimmed.mass);
  const auto balance = BalanceOf({&piece->mass, 1}, out, trimmed.losses, trimmed.scale);
  if (!balance) return Fail(balance.error());
  std::vector<Piece> inputs = {*piece};
  if (const Status closed = RequireClosed(*balance, Where(inputs)); !closed) {
    return Fail(closed.error());
  }
  // Trim comes off the piece as it is aged so far, and does not age on.
  EndAgeing(inputs.front(), when);
  const std::vector<Money> shares = Shares(piece->cost, out);
  KeepOutputs(trimmed.outputs, inputs, shares, work);
  if (!shares.empty()) piece->cost = shares.back();
  SetMass(*piece, trimmed.mass, MassBasis::kWeighed, when);
  work.Keep(std::move(*piece));
  return {};
}

}  // namespace ribwright::ledger
