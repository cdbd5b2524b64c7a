// SPDX-License-Identifier: Apache-2.0
#include "ledger/draft_check.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "ledger/piece_code.h"
#include "ledger/text_check.h"

namespace ribwright::ledger {
namespace {

using units::GramsText;
using units::Mass;

// Remembers the first fault; later checks are passed over.
class Checker {
 public:
  void Text(std::string_view text, std::size_t most, std::string_view key,
            TextShape shape = TextShape::kLine) {
    if (TextIsFine(text, most, shape)) return;
    Refuse("The text is too long, not UTF-8, or has control characters or blanks at its ends.", key,
           fmt::format("Give at most {} bytes of plain text.", most));
  }
  void Needed(std::string_view text, std::size_t most, std::string_view key) {
    if (text.empty()) Refuse("This must not be empty.", key, "Fill it in.");
    Text(text, most, key);
  }
  void Positive(Mass mass, std::string_view key) {
    if (mass > Mass() && mass <= kHeaviest) return;
    Refuse(fmt::format("A mass of {} cannot be.", GramsText(mass)), key,
           "Give grams, above zero and at most 2 000 000.");
  }
  void NotNegative(Mass mass, std::string_view key) {
    if (mass != Mass()) Positive(mass, key);
  }
  void Piece(PieceId id, std::string_view key) {
    if (id.value < 1) Refuse("No piece is named.", key, "Name the piece.");
  }
  void Count(std::size_t count, std::size_t least, std::size_t most, std::string_view key) {
    if (count >= least && count <= most) return;
    Refuse(fmt::format("There are {} of these.", count), key,
           fmt::format("Give {} to {}.", least, most));
  }
  void Different(std::vector<PieceId> ids, std::string_view key) {
    std::sort(ids.begin(), ids.end());
    if (std::adjacent_find(ids.begin(), ids.end()) == ids.end()) return;
    Refuse("A piece is named twice.", key, "Name each piece once.");
  }
  void Refuse(std::string message, std::string_view key, std::string mend) {
    if (!fault_) {
      fault_ = Error{Code::kEntryUnusable, std::move(message), std::string(key), std::move(mend)};
    }
  }
  Status Verdict() const {
    if (fault_) return Fail(*fault_);
    return {};
  }

  void New(const NewPiece& piece) {
    Needed(piece.cut, 60, "cut");
    Text(piece.location, 60, "location");
    Positive(piece.mass, "mass_g");
    if (!piece.code.empty() && CodeFromTyped(piece.code) != piece.code) {
      Refuse("This cannot be a piece's code.", "code",
             "Give 1 to 40 of A to Z, 0 to 9 and hyphen, or leave it out.");
    }
  }
  void Outputs(const std::vector<NewPiece>& outputs, const std::vector<Loss>& losses) {
    Count(outputs.size(), 0, 200, "outputs");
    for (const NewPiece& output : outputs) New(output);
    Count(losses.size(), 0, 20, "losses");
    for (const Loss& loss : losses) NotNegative(loss.mass, "losses");
    std::vector<std::string_view> codes;
    for (const NewPiece& output : outputs) {
      if (!output.code.empty()) codes.push_back(output.code);
    }
    std::sort(codes.begin(), codes.end());
    if (std::adjacent_find(codes.begin(), codes.end()) != codes.end()) {
      Refuse("Two outputs have the same code.", "outputs", "Give each its own code.");
    }
  }
  void Part(const std::optional<Mass>& part) {
    if (part) Positive(*part, "part_g");
  }

  void operator()(const Received& p) {
    New(p.piece);
    if (p.basis == MassBasis::kDivided) {
      Refuse("A received mass is stated or weighed.", "basis", "Give stated or weighed.");
    }
    if (p.cost && p.cost->minor < 0) {
      Refuse("A cost below zero cannot be.", "cost", "Give what was paid, or leave it out.");
    }
    Text(p.supplier, 80, "supplier");
    Text(p.lot, 60, "lot");
  }
  void operator()(const Weighed& p) {
    Piece(p.piece, "piece_id");
    Positive(p.mass, "mass_g");
    if (p.scale.division) Positive(*p.scale.division, "division_g");
    if (p.scale.tolerance) NotNegative(*p.scale.tolerance, "tolerance_g");
  }
  void operator()(const Photographed& p) {
    Piece(p.piece, "piece_id");
    Text(p.media, 60, "media");
    if (p.bytes < 0) Refuse("A file has no less than no bytes.", "bytes", "Give its size.");
  }
  void operator()(const Judged& p) {
    Piece(p.piece, "piece_id");
    Text(p.face, 64, "face");
    Text(p.method, 40, "method");
    Text(p.revision, 80, "revision");
  }
  void operator()(const Moved& p) {
    Piece(p.piece, "piece_id");
    Needed(p.location, 60, "location");
  }
  void operator()(const Cut& p) {
    Count(p.pieces.size(), 1, 200, "piece_ids");
    for (const PieceId id : p.pieces) Piece(id, "piece_ids");
    Different(p.pieces, "piece_ids");
    Outputs(p.outputs, p.losses);
  }
  void operator()(const Trimmed& p) {
    Piece(p.piece, "piece_id");
    Positive(p.mass, "mass_g");
    Outputs(p.outputs, p.losses);
  }
  void operator()(const Aged& p) {
    Piece(p.piece, "piece_id");
    Text(p.location, 60, "location");
  }
  void operator()(const Cooked& p) {
    Piece(p.piece, "piece_id");
    if (p.mass) Positive(*p.mass, "mass_g");
    Text(p.doneness, 40, "doneness");
  }
  void operator()(const Served& p) {
    Piece(p.piece, "piece_id");
    Part(p.part);
    Text(p.place, 40, "place");
  }
  void operator()(const Sold& p) {
    Piece(p.piece, "piece_id");
    Part(p.part);
    Text(p.to, 80, "to");
    if (p.price.minor < 0) {
      Refuse("A price below zero cannot be.", "price", "Give what was paid.");
    }
  }
  void operator()(const Discarded& p) {
    Piece(p.piece, "piece_id");
    Part(p.part);
    Needed(p.reason, 200, "reason");
  }
  void operator()(const Tasted& p) {
    Piece(p.piece, "piece_id");
    Text(p.words, 500, "words", TextShape::kLines);
    if (p.score && !(*p.score >= 0.0 && *p.score <= 100.0)) {
      Refuse("A score outside 0 to 100 cannot be.", "score", "Give 0 to 100.");
    }
    if (p.words.empty() && !p.score) {
      Refuse("Neither words nor score are given.", "words", "Give one of them.");
    }
  }
  void operator()(const Corrected& p) {
    Target(p.target);
    Needed(p.reason, 200, "reason");
    if (!p.instead) return;
    if (std::holds_alternative<Corrected>(*p.instead) ||
        std::holds_alternative<Voided>(*p.instead)) {
      Refuse("A correction cannot be corrected.", "event_id", "Correct the first event again.");
      return;
    }
    std::visit([this](const auto& payload) { (*this)(payload); }, *p.instead);
  }
  void operator()(const Voided& p) {
    Target(p.target);
    Needed(p.reason, 200, "reason");
  }
  void operator()(const Counted& p) {
    Text(p.location, 60, "location");
    Count(p.lines.size(), p.whole ? 0 : 1, 5000, "lines");
    std::vector<PieceId> ids;
    for (const CountLine& line : p.lines) {
      Piece(line.piece, "lines");
      ids.push_back(line.piece);
      if (line.found) Positive(*line.found, "mass_g");
      Text(line.reason, 200, "reason");
    }
    Different(ids, "lines");
  }
  void Target(std::int64_t number) {
    if (number < 1) Refuse("No event is named.", "event_id", "Name the event.");
  }

 private:
  std::optional<Error> fault_;
};

}  // namespace

Status CheckDraft(const Draft& draft) {
  Checker checker;
  checker.Needed(draft.user, 64, "user");
  checker.Needed(draft.key, 128, "key");
  checker.Text(draft.note, 2000, "note", TextShape::kLines);
  std::visit([&](const auto& payload) { checker(payload); }, draft.payload);
  return checker.Verdict();
}

}  // namespace ribwright::ledger
