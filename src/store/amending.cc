// SPDX-License-Identifier: Apache-2.0
#include "store/amending.h"

#include <fmt/format.h>

#include <algorithm>
#include <memory>

#include "ledger/draft_check.h"
#include "ledger/event_json.h"
#include "ledger/replay.h"
#include "store/event_rows.h"

namespace ribwright::store {
namespace {

using ledger::Corrected;
using ledger::Event;
using ledger::Payload;
using ledger::Voided;

tl::unexpected<Error> NotAmendable(std::int64_t number, const std::string& why, const char* mend) {
  return Fail(Code::kEntryNotAmendable, why, fmt::format("event {}", number), mend);
}

std::int64_t TargetOf(const Payload& payload) {
  if (const auto* corrected = std::get_if<Corrected>(&payload)) return corrected->target;
  if (const auto* voided = std::get_if<Voided>(&payload)) return voided->target;
  return 0;
}

std::vector<std::string> CodesOf(const Payload& payload) {
  std::vector<std::string> codes;
  const auto add = [&](const std::vector<ledger::NewPiece>& made) {
    for (const ledger::NewPiece& piece : made) codes.push_back(piece.code);
  };
  if (const auto* received = std::get_if<ledger::Received>(&payload)) add({received->piece});
  if (const auto* cut = std::get_if<ledger::Cut>(&payload)) add(cut->outputs);
  if (const auto* trimmed = std::get_if<ledger::Trimmed>(&payload)) add(trimmed->outputs);
  return codes;
}

// What the target says as things stand, before this amendment.
Result<ledger::Standing> StandingNow(const std::vector<Event>& amendments, std::int64_t target) {
  std::vector<const Event*> pointers;
  for (const Event& event : amendments) pointers.push_back(&event);
  return ledger::StandingOf(pointers)[target];
}

Status CheckCorrection(Corrected& corrected, const Payload& original,
                       const ledger::Standing& standing) {
  if (!corrected.instead) {
    const Payload& now = standing.says_now != nullptr ? *standing.says_now : original;
    auto instead = ledger::WithChanges(now, corrected.changes);
    if (!instead) return Fail(instead.error());
    corrected.instead = std::make_shared<const Payload>(std::move(*instead));
  }
  corrected.changes.clear();
  const Payload& instead = *corrected.instead;
  if (ledger::KindOf(instead) != ledger::KindOf(original) ||
      ledger::PiecesOf(instead) != ledger::PiecesOf(original) ||
      CodesOf(instead) != CodesOf(original)) {
    return NotAmendable(corrected.target,
                        "A correction keeps the event's kind, its pieces and their codes.",
                        "Void the event and write the right one.");
  }
  return {};
}

}  // namespace

Result<std::optional<Amendment>> PrepareAmendment(Connection& connection, Event& event) {
  Amendment amendment;
  amendment.target = TargetOf(event.draft.payload);
  if (amendment.target == 0) return std::optional<Amendment>();
  const auto target = GetEvent(connection, amendment.target);
  if (!target) return Fail(target.error());
  const auto amendments = AmendmentsOf(connection, amendment.target);
  if (!amendments) return Fail(amendments.error());
  const auto standing = StandingNow(*amendments, amendment.target);
  if (!standing) return Fail(standing.error());
  if (standing->voided_by != 0) {
    return NotAmendable(
        amendment.target,
        fmt::format("The event was voided already, by event {}.", standing->voided_by),
        "To bring it back, void that voiding.");
  }
  const Payload& original = target->event.draft.payload;
  if (auto* corrected = std::get_if<Corrected>(&event.draft.payload)) {
    if (TargetOf(original) != 0) {
      return NotAmendable(amendment.target, "A correction or voiding cannot be corrected.",
                          "Void it, or correct the first event again.");
    }
    if (const Status fine = CheckCorrection(*corrected, original, *standing); !fine) {
      return Fail(fine.error());
    }
    if (const Status fine = ledger::CheckDraft(event.draft); !fine) return Fail(fine.error());
  }
  Payload base = original;
  while (TargetOf(base) != 0) {
    auto next = GetEvent(connection, TargetOf(base));
    if (!next) return Fail(next.error());
    base = std::move(next->event.draft.payload);
  }
  amendment.pieces = ledger::PiecesOf(base);
  return std::optional<Amendment>(std::move(amendment));
}

Result<ledger::Change> ChangeByAmendment(Connection& connection, const Event& event,
                                         const Amendment& amendment) {
  const auto family = FamilyOf(connection, amendment.pieces);
  if (!family) return Fail(family.error());
  auto events = EventsAbout(connection, *family);
  if (!events) return Fail(events.error());
  events->push_back(event);
  auto replayed = ledger::Replay(*events, *family);
  if (!replayed) {
    Error error = replayed.error();
    error.message = "With this a later event could not stand: " + error.message;
    error.mend = "Correct or void that event first. " + error.mend;
    return Fail(error);
  }
  ledger::Change change;
  for (auto& [id, piece] : replayed->pieces) {
    piece.version = event.number;
    change.pieces.push_back(std::move(piece));
  }
  std::sort(change.pieces.begin(), change.pieces.end(),
            [](const ledger::Piece& a, const ledger::Piece& b) { return a.id < b.id; });
  change.lineage.assign(replayed->lineage.begin(), replayed->lineage.end());
  return change;
}

}  // namespace ribwright::store
