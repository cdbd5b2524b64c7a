// SPDX-License-Identifier: Apache-2.0
// Writing: payloads to JSON. Reading is in event_json_read.cc.
#include "ledger/event_json.h"

#include <nlohmann/json.hpp>

namespace ribwright::ledger {
namespace {

using Json = nlohmann::json;
using units::Mass;

Json Grams(Mass mass) {
  const std::int64_t mg = mass.milligrams();
  if (mg % 1000 == 0) return mg / 1000;
  return mass.grams();
}

Json MoneyJson(const units::Money& money) {
  return {{"currency", money.currency.text()}, {"minor", money.minor}};
}

void Put(Json& out, const char* key, const std::string& text) {
  if (!text.empty()) out[key] = text;
}

void Put(Json& out, const char* key, const std::optional<Mass>& mass) {
  if (mass) out[key] = Grams(*mass);
}

void PutScale(Json& out, const ScaleNote& scale) {
  Put(out, "division_g", scale.division);
  Put(out, "tolerance_g", scale.tolerance);
}

void PutNew(Json& out, const NewPiece& piece) {
  if (piece.id.value > 0) out["piece_id"] = piece.id.value;
  Put(out, "code", piece.code);
  out["cut"] = piece.cut;
  out["mass_g"] = Grams(piece.mass);
  Put(out, "location", piece.location);
}

void PutDivision(Json& out, const std::vector<NewPiece>& outputs, const std::vector<Loss>& losses) {
  Json made = Json::array();
  for (const NewPiece& piece : outputs) {
    Json one = Json::object();
    PutNew(one, piece);
    made.push_back(std::move(one));
  }
  out["outputs"] = std::move(made);
  if (losses.empty()) return;
  Json lost = Json::array();
  for (const Loss& loss : losses) {
    lost.push_back({{"kind", LossText(loss.kind)}, {"mass_g", Grams(loss.mass)}});
  }
  out["losses"] = std::move(lost);
}

Json DataOf(const Payload& payload);

struct Write {
  Json out = Json::object();
  void operator()(const Received& p) {
    PutNew(out, p.piece);
    out["basis"] = BasisText(p.basis);
    if (p.cost) out["cost"] = MoneyJson(*p.cost);
    Put(out, "supplier", p.supplier);
    Put(out, "lot", p.lot);
    if (p.slaughtered) out["slaughtered"] = units::DayText(*p.slaughtered);
  }
  void operator()(const Weighed& p) {
    Piece(p);
    out["mass_g"] = Grams(p.mass);
    PutScale(out, p.scale);
  }
  void operator()(const Photographed& p) {
    Piece(p);
    out["photo"] = HashText(p.photo);
    Put(out, "media", p.media);
    out["bytes"] = p.bytes;
  }
  void operator()(const Judged& p) {
    Piece(p);
    if (p.photo) out["photo"] = HashText(*p.photo);
    Put(out, "face", p.face);
    out["method"] = p.method;
    out["revision"] = p.revision;
    out["report"] = HashText(p.report);
  }
  void operator()(const Moved& p) {
    Piece(p);
    out["location"] = p.location;
  }
  void operator()(const Cut& p) {
    if (p.pieces.size() == 1) {
      out["piece_id"] = p.pieces.front().value;
    } else {
      for (const PieceId id : p.pieces) out["piece_ids"].push_back(id.value);
    }
    PutDivision(out, p.outputs, p.losses);
    PutScale(out, p.scale);
  }
  void operator()(const Trimmed& p) {
    Piece(p);
    out["mass_g"] = Grams(p.mass);
    PutDivision(out, p.outputs, p.losses);
    PutScale(out, p.scale);
  }
  void operator()(const Aged& p) {
    Piece(p);
    out["step"] = p.started ? "started" : "ended";
    Put(out, "location", p.location);
  }
  void operator()(const Cooked& p) {
    Piece(p);
    Put(out, "mass_g", p.mass);
    Put(out, "doneness", p.doneness);
  }
  void operator()(const Served& p) {
    Piece(p);
    Put(out, "part_g", p.part);
    Put(out, "place", p.place);
  }
  void operator()(const Sold& p) {
    Piece(p);
    Put(out, "part_g", p.part);
    out["price"] = MoneyJson(p.price);
    Put(out, "to", p.to);
  }
  void operator()(const Discarded& p) {
    Piece(p);
    Put(out, "part_g", p.part);
    out["reason"] = p.reason;
  }
  void operator()(const Tasted& p) {
    Piece(p);
    Put(out, "words", p.words);
    if (p.score) out["score"] = *p.score;
  }
  void operator()(const Corrected& p) {
    out["event_id"] = p.target;
    out["reason"] = p.reason;
    if (p.instead) out["data"] = DataOf(*p.instead);
  }
  void operator()(const Voided& p) {
    out["event_id"] = p.target;
    out["reason"] = p.reason;
  }
  void operator()(const Counted& p) {
    Put(out, "location", p.location);
    if (p.whole) out["whole"] = true;
    Json lines = Json::array();
    for (const CountLine& line : p.lines) {
      Json one = {{"piece_id", line.piece.value}};
      one["mass_g"] = line.found ? Grams(*line.found) : Json(nullptr);
      Put(one, "reason", line.reason);
      lines.push_back(std::move(one));
    }
    out["lines"] = std::move(lines);
  }
  template <typename P>
  void Piece(const P& p) {
    out["piece_id"] = p.piece.value;
  }
};

Json DataOf(const Payload& payload) {
  Write write;
  std::visit([&](const auto& p) { write(p); }, payload);
  return std::move(write.out);
}

}  // namespace

std::string DataJson(const Payload& payload) { return DataOf(payload).dump(); }

}  // namespace ribwright::ledger
