// SPDX-License-Identifier: Apache-2.0
#include "ledger/apply.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/check.h"
#include "ledger/apply_parts.h"
#include "ledger/mass_balance.h"

namespace ribwright::ledger {

using units::GramsText;
using units::Mass;

Result<Piece> Working::Known(PieceId id) const {
  const Piece* piece = before_(id);
  if (piece == nullptr) {
    return Fail(Code::kPieceUnknown, fmt::format("There is no piece number {}.", id.value),
                fmt::format("piece {}", id.value), "Look the piece up by its code.");
  }
  if (piece->state == PieceState::kVoided) {
    return Fail(Code::kPieceGone, "The event that made this piece was voided.",
                fmt::format("piece {}, event {}", piece->code, piece->made_by),
                "Use another piece, or void the voiding.");
  }
  if (event_.draft.happened < piece->made - kClockTolerance) {
    return Fail(Code::kClockSkew,
                fmt::format("This would have happened at {}, before the piece was made at {}.",
                            units::TimeText(event_.draft.happened), units::TimeText(piece->made)),
                fmt::format("piece {}", piece->code),
                "Set the clock of the device, or give the right time.");
  }
  return *piece;
}

Result<Piece> Working::There(PieceId id) const {
  auto piece = Known(id);
  if (!piece || IsThere(piece->state)) return piece;
  return Fail(Code::kPieceGone,
              fmt::format("This piece was {} at {}.",
                          piece->state == PieceState::kCutUp ? "cut up" : StateText(piece->state),
                          units::TimeText(piece->changed)),
              fmt::format("piece {}, last event {}", piece->code, piece->version),
              "Look at the piece's history; if that event is wrong, void it first.");
}

void Working::Keep(Piece piece) {
  piece.changed = std::max(piece.changed, event_.draft.happened);
  piece.version = event_.number;
  change_.pieces.push_back(std::move(piece));
}

void MoveTo(Piece& piece, const std::string& location, units::UtcTime when) {
  if (location.empty() || when < piece.moved_at) return;
  piece.location = location;
  piece.moved_at = when;
}

void TurnUp(Piece& piece) {
  if (piece.state != PieceState::kMissing) return;
  piece.state = piece.ageing_since ? PieceState::kAgeing : PieceState::kInStock;
}

void EndAgeing(Piece& piece, units::UtcTime when) {
  if (!piece.ageing_since) return;
  piece.aged += std::max(std::chrono::milliseconds(0), when - *piece.ageing_since);
  piece.ageing_since.reset();
}

void SetMass(Piece& piece, Mass mass, MassBasis basis, units::UtcTime when) {
  piece.mass = mass;
  piece.basis = basis;
  piece.mass_at = when;
}

namespace {

struct Applying {
  Working& work;

  units::UtcTime When() const { return work.event().draft.happened; }

  Status operator()(const Received& p) const {
    Piece piece;
    piece.id = p.piece.id;
    piece.code = p.piece.code;
    piece.cut = p.piece.cut;
    SetMass(piece, p.piece.mass, p.basis, When());
    piece.location = p.piece.location;
    piece.moved_at = When();
    piece.cost = p.cost;
    piece.supplier = p.supplier;
    piece.lot = p.lot;
    piece.slaughtered = p.slaughtered;
    if (p.slaughtered && units::UtcTime{p.slaughtered->time_since_epoch().count() * 86'400'000} >
                             When() + std::chrono::hours(24)) {
      return Fail(Code::kClockSkew, "The slaughter day lies after the day of receiving.",
                  "slaughtered", "Give the day printed on the label.");
    }
    piece.received = When();
    piece.made = When();
    piece.changed = When();
    piece.made_by = work.event().number;
    piece.note = work.event().draft.note;
    work.Keep(std::move(piece));
    return {};
  }

  Status operator()(const Weighed& p) const {
    auto piece = work.There(p.piece);
    if (!piece) return Fail(piece.error());
    TurnUp(*piece);
    if (When() < piece->mass_at) {
      work.Keep(std::move(*piece));
      return {};
    }
    if (piece->basis != MassBasis::kStated && p.mass > piece->mass) {
      const Mass both[] = {piece->mass, p.mass};
      const auto balance = BalanceOf({both, 1}, {both + 1, 1}, {}, p.scale);
      if (!balance) return Fail(balance.error());
      if (!balance->Closes()) {
        return Fail(
            Code::kMassGrew,
            fmt::format("{} now, {} at {}: {} more, beyond the scales' tolerance of {}.",
                        GramsText(p.mass), GramsText(piece->mass), units::TimeText(piece->mass_at),
                        GramsText(p.mass - piece->mass), GramsText(balance->tolerance)),
            fmt::format("piece {}", piece->code),
            "Check piece, tare and hook; if the earlier weight was wrong, correct that.");
      }
    }
    SetMass(*piece, p.mass, MassBasis::kWeighed, When());
    work.Keep(std::move(*piece));
    return {};
  }

  Status operator()(const Moved& p) const {
    auto piece = work.There(p.piece);
    if (!piece) return Fail(piece.error());
    TurnUp(*piece);
    MoveTo(*piece, p.location, When());
    work.Keep(std::move(*piece));
    return {};
  }

  Status operator()(const Aged& p) const {
    auto piece = work.There(p.piece);
    if (!piece) return Fail(piece.error());
    TurnUp(*piece);
    if (p.started == (piece->state == PieceState::kAgeing) || !IsStock(piece->state)) {
      return Fail(Code::kEntryUnusable,
                  p.started ? "This piece is not raw stock outside the ageing room."
                            : "This piece is not in the ageing room.",
                  fmt::format("piece {}", piece->code), "Look at the piece's history.");
    }
    if (p.started) {
      piece->ageing_since = When();
      piece->state = PieceState::kAgeing;
    } else {
      EndAgeing(*piece, When());
      piece->state = PieceState::kInStock;
    }
    MoveTo(*piece, p.location, When());
    work.Keep(std::move(*piece));
    return {};
  }

  Status operator()(const Cooked& p) const {
    auto piece = work.There(p.piece);
    if (!piece) return Fail(piece.error());
    EndAgeing(*piece, When());
    piece->state = PieceState::kCooked;
    if (p.mass) SetMass(*piece, *p.mass, MassBasis::kWeighed, When());
    work.Keep(std::move(*piece));
    return {};
  }

  Status operator()(const Served& p) const { return Leave(p.piece, p.part, PieceState::kServed); }
  Status operator()(const Sold& p) const { return Leave(p.piece, p.part, PieceState::kSold); }
  Status operator()(const Discarded& p) const {
    return Leave(p.piece, p.part, PieceState::kDiscarded);
  }

  Status Leave(PieceId id, const std::optional<Mass>& part, PieceState state) const {
    auto piece = work.There(id);
    if (!piece) return Fail(piece.error());
    TurnUp(*piece);
    Mass tolerance;
    if (part) {
      const auto balance = BalanceOf({&piece->mass, 1}, {}, {}, {});
      if (!balance) return Fail(balance.error());
      tolerance = balance->tolerance;
      if (*part > piece->mass + tolerance) {
        return Fail(Code::kMassNotConserved,
                    fmt::format("A part of {} is {} more than the piece's {}.", GramsText(*part),
                                GramsText(*part - piece->mass), GramsText(piece->mass)),
                    fmt::format("piece {}", piece->code),
                    "Weigh again; if the piece's last weight was wrong, correct that first.");
      }
    }
    if (part && *part + tolerance < piece->mass) {
      if (piece->cost) {
        const std::int64_t whole = piece->mass.milligrams();
        piece->cost = *piece->cost - units::ShareOf(*piece->cost, part->milligrams(), whole);
      }
      piece->mass -= *part;
    } else {
      EndAgeing(*piece, When());
      piece->state = state;
    }
    work.Keep(std::move(*piece));
    return {};
  }

  Status operator()(const Cut& p) const { return ApplyCut(p, work); }
  Status operator()(const Trimmed& p) const { return ApplyTrimmed(p, work); }
  Status operator()(const Counted& p) const { return ApplyCounted(p, work); }
  Status operator()(const Corrected&) const { return {}; }
  Status operator()(const Voided&) const { return {}; }
  // photographed, judged, tasted: told of any piece that ever was
  template <typename P>
  Status operator()(const P& p) const {
    auto piece = work.Known(p.piece);
    if (!piece) return Fail(piece.error());
    work.Keep(std::move(*piece));
    return {};
  }
};

}  // namespace

Result<Change> Apply(const Event& event, const PieceLookup& before) {
  Working work(event, before);
  const Status done = std::visit(Applying{work}, event.draft.payload);
  if (!done) return Fail(done.error());
  return work.Done();
}

}  // namespace ribwright::ledger
