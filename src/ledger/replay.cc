// SPDX-License-Identifier: Apache-2.0
#include "ledger/replay.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/check.h"

namespace ribwright::ledger {
namespace {

std::int64_t TargetOf(const Event& event) {
  if (const auto* corrected = std::get_if<Corrected>(&event.draft.payload)) {
    return corrected->target;
  }
  if (const auto* voided = std::get_if<Voided>(&event.draft.payload)) return voided->target;
  return 0;
}

std::vector<NewPiece> MadeBy(const Payload& payload) {
  if (const auto* received = std::get_if<Received>(&payload)) return {received->piece};
  if (const auto* cut = std::get_if<Cut>(&payload)) return cut->outputs;
  if (const auto* trimmed = std::get_if<Trimmed>(&payload)) return trimmed->outputs;
  return {};
}

// A piece that never was: its label is kept, so that nobody takes it for another.
Piece Unmade(const NewPiece& made, const Event& event) {
  Piece piece;
  piece.id = made.id;
  piece.code = made.code;
  piece.cut = made.cut;
  piece.state = PieceState::kVoided;
  piece.mass = made.mass;
  piece.mass_at = piece.moved_at = piece.received = piece.made = piece.changed =
      event.draft.happened;
  piece.location = made.location;
  piece.version = piece.made_by = event.number;
  return piece;
}

}  // namespace

std::unordered_map<std::int64_t, Standing> StandingOf(std::span<const Event* const> amendments) {
  std::vector<const Event*> latest_first(amendments.begin(), amendments.end());
  std::sort(latest_first.begin(), latest_first.end(),
            [](const Event* a, const Event* b) { return a->number > b->number; });
  std::unordered_map<std::int64_t, Standing> standing;
  for (const Event* event : latest_first) {
    const auto own = standing.find(event->number);
    if (own != standing.end() && own->second.voided_by != 0) continue;
    Standing& target = standing[TargetOf(*event)];
    if (target.voided_by != 0 || target.corrected_by != 0) continue;
    if (const auto* corrected = std::get_if<Corrected>(&event->draft.payload)) {
      RIBWRIGHT_CHECK(corrected->instead != nullptr);
      target.corrected_by = event->number;
      target.says_now = corrected->instead.get();
    } else {
      target.voided_by = event->number;
    }
  }
  return standing;
}

Status Replayer::Take(const Event& event) {
  if (TargetOf(event) != 0) return {};
  const auto found = standing_.find(event.number);
  if (found == standing_.end()) return TakePayload(event, false);
  if (found->second.says_now == nullptr) return TakePayload(event, found->second.voided_by != 0);
  Event amended = event;
  amended.draft.payload = *found->second.says_now;
  return TakePayload(amended, false);
}

Status Replayer::TakePayload(const Event& event, bool voided) {
  if (voided) {
    for (const NewPiece& made : MadeBy(event.draft.payload)) {
      if (scope_.empty() || scope_.contains(made.id)) {
        result_.pieces.insert_or_assign(made.id, Unmade(made, event));
      }
    }
    return {};
  }
  const Event* applied = &event;
  Event narrowed;
  const auto* counted = std::get_if<Counted>(&event.draft.payload);
  if (counted != nullptr && !scope_.empty()) {
    narrowed = event;
    auto& lines = std::get<Counted>(narrowed.draft.payload).lines;
    std::erase_if(lines, [&](const CountLine& line) { return !scope_.contains(line.piece); });
    applied = &narrowed;
  }
  auto change = Apply(*applied, [&](PieceId id) -> const Piece* {
    const auto found = result_.pieces.find(id);
    return found == result_.pieces.end() ? nullptr : &found->second;
  });
  if (!change) {
    Error error = change.error();
    error.where = fmt::format("event {} ({}): {}", event.number,
                              KindText(KindOf(event.draft.payload)), error.where);
    return Fail(error);
  }
  for (Piece& piece : change->pieces) {
    const PieceId id = piece.id;
    result_.pieces.insert_or_assign(id, std::move(piece));
  }
  result_.lineage.insert(change->lineage.begin(), change->lineage.end());
  return {};
}

Result<Replayed> Replay(std::span<const Event> events, const std::set<PieceId>& scope) {
  std::vector<const Event*> amendments;
  for (const Event& event : events) {
    if (TargetOf(event) != 0) amendments.push_back(&event);
  }
  Replayer replayer(StandingOf(amendments), scope);
  for (const Event& event : events) {
    if (const Status taken = replayer.Take(event); !taken) return Fail(taken.error());
  }
  return std::move(replayer.result());
}

}  // namespace ribwright::ledger
