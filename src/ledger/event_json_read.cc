// SPDX-License-Identifier: Apache-2.0
#include <nlohmann/json.hpp>

#include "ledger/event_json.h"
#include "ledger/json_fields.h"
#include "ledger/piece_code.h"

namespace ribwright::ledger {
namespace {

using Json = nlohmann::json;

// `code` is set for drafts, where pieces may be named by code and some keys have a short form.
struct Context {
  std::optional<Error>& fault;
  const NumberOfCode* code = nullptr;
  bool ForDraft() const { return code != nullptr; }
};

PieceId ByCode(Fields& in, std::string_view key, Context context) {
  const std::string typed = in.Text(key);
  const auto id = (*context.code)(typed);
  if (id) return *id;
  Error error = id.error();
  error.where = in.PathOf(key) + ": " + typed;
  in.Refuse(error);
  return {};
}

PieceId ReadPiece(Fields& in, Context context) {
  if (context.ForDraft() && in.Has("piece")) return ByCode(in, "piece", context);
  return {in.Number("piece_id", true)};
}

NewPiece ReadNew(Fields& in, Context context) {
  NewPiece piece;
  if (!context.ForDraft()) piece.id = {in.Number("piece_id", true)};
  piece.code = in.Text("code", !context.ForDraft());
  if (context.ForDraft() && !piece.code.empty()) {
    const auto code = CodeFromTyped(piece.code);
    if (!code) {
      in.Refuse("This cannot be a piece's code.", "code",
                "Give 1 to 40 of A to Z, 0 to 9 and hyphen, or leave it out.");
    }
    piece.code = code.value_or("");
  }
  piece.cut = in.Text("cut", true);
  piece.mass = in.NeededMass("mass_g");
  piece.location = in.Text("location");
  return piece;
}

ScaleNote ReadScale(Fields& in) { return {in.Mass("division_g"), in.Mass("tolerance_g")}; }

void ReadDivision(Fields& in, Context context, bool needed, std::vector<NewPiece>& outputs,
                  std::vector<Loss>& losses) {
  in.Each("outputs", needed, [&](Fields& one) { outputs.push_back(ReadNew(one, context)); });
  if (context.ForDraft() && in.Has("loss_g")) {
    const units::Mass loss = in.NeededMass("loss_g");
    if (loss != units::Mass()) losses.push_back({LossKind::kUnsaid, loss});
  }
  in.Each("losses", false, [&](Fields& one) {
    const auto kind = LossFromText(one.Text("kind", true));
    if (!kind) {
      one.Refuse("This is no kind of loss.", "kind",
                 "Give kerf, trim, bone, purge, drying or unsaid.");
    }
    losses.push_back({kind.value_or(LossKind::kUnsaid), one.NeededMass("mass_g")});
  });
}

Received ReadReceived(Fields& in, Context context) {
  Received p;
  p.piece = ReadNew(in, context);
  const std::string basis = in.Text("basis", !context.ForDraft());
  const auto known = BasisFromText(basis.empty() ? "stated" : basis);
  if (!known) in.Refuse("This is no basis of a mass.", "basis", "Give stated or weighed.");
  p.basis = known.value_or(MassBasis::kStated);
  p.cost = in.Money("cost");
  p.supplier = in.Text("supplier");
  p.lot = in.Text("lot");
  p.slaughtered = in.Day("slaughtered");
  return p;
}

Photographed ReadPhotographed(Fields& in, Context context) {
  Photographed p;
  p.piece = ReadPiece(in, context);
  const auto photo = in.Hash("photo");
  if (!photo) in.Refuse("This is missing.", "photo", "Give the photo's SHA-256.");
  p.photo = photo.value_or(Hash{});
  p.media = in.Text("media");
  p.bytes = in.Whole("bytes");
  return p;
}

Judged ReadJudged(Fields& in, Context context) {
  Judged p;
  p.piece = ReadPiece(in, context);
  p.photo = in.Hash("photo");
  p.face = in.Text("face");
  p.method = in.Text("method", !context.ForDraft());
  p.revision = in.Text("revision", !context.ForDraft());
  if (context.ForDraft()) {
    const Json* report = in.Object("report", true);
    if (report != nullptr)
      p.report_json = report->dump(-1, ' ', false, Json::error_handler_t::replace);
  } else {
    const auto report = in.Hash("report");
    if (!report) in.Refuse("This is missing.", "report", "Give the report's SHA-256.");
    p.report = report.value_or(Hash{});
  }
  return p;
}

Cut ReadCut(Fields& in, Context context) {
  Cut p;
  if (context.ForDraft() && in.Has("pieces")) {
    in.Each("pieces", true, [&](Fields& one) { p.pieces.push_back(ReadPiece(one, context)); });
  } else if (in.Has("piece_ids")) {
    in.EachNumber("piece_ids", [&](std::int64_t id) { p.pieces.push_back({id}); });
  } else {
    p.pieces.push_back(ReadPiece(in, context));
  }
  ReadDivision(in, context, true, p.outputs, p.losses);
  p.scale = ReadScale(in);
  return p;
}

Trimmed ReadTrimmed(Fields& in, Context context) {
  Trimmed p;
  p.piece = ReadPiece(in, context);
  p.mass = in.NeededMass("mass_g");
  ReadDivision(in, context, false, p.outputs, p.losses);
  p.scale = ReadScale(in);
  return p;
}

Aged ReadAged(Fields& in, Context context) {
  Aged p;
  p.piece = ReadPiece(in, context);
  const std::string step = in.Text("step", true);
  if (step != "started" && step != "ended") {
    in.Refuse("This is no step of ageing.", "step", "Give started or ended.");
  }
  p.started = step == "started";
  p.location = in.Text("location");
  return p;
}

Sold ReadSold(Fields& in, Context context) {
  Sold p{ReadPiece(in, context), in.Mass("part_g"), {0, *units::Currency::FromText("XXX")}, {}};
  const auto price = in.Money("price");
  if (price) {
    p.price = *price;
  } else {
    in.Refuse("This is missing.", "price", "Give what was paid.");
  }
  p.to = in.Text("to");
  return p;
}

Counted ReadCounted(Fields& in, Context context) {
  Counted p;
  p.location = in.Text("location");
  p.whole = in.Flag("whole");
  in.Each("lines", true, [&](Fields& one) {
    CountLine line;
    if (context.ForDraft() && one.Has("code")) {
      line.piece = ByCode(one, "code", context);
    } else {
      line.piece = ReadPiece(one, context);
    }
    if (!one.Has("mass_g")) one.Refuse("This is missing.", "mass_g", "Give grams, or null.");
    line.found = one.Mass("mass_g");
    line.reason = one.Text("reason");
    p.lines.push_back(std::move(line));
  });
  return p;
}

Corrected ReadCorrected(Fields& in) {
  Corrected p;
  p.target = in.Number("event_id", true);
  p.reason = in.Text("reason", true);
  const Json* data = in.Object("data", true);
  if (data == nullptr) return p;
  // Which kind the target has is known to the ledger only; it reads the keys (WithChanges).
  p.changes = data->dump(-1, ' ', false, Json::error_handler_t::replace);
  return p;
}

Payload ReadPayload(EventKind kind, Fields& in, Context context) {
  const auto piece = [&] { return ReadPiece(in, context); };
  switch (kind) {
    case EventKind::kReceived:
      return ReadReceived(in, context);
    case EventKind::kWeighed: {
      const PieceId id = piece();
      const units::Mass mass = in.NeededMass("mass_g");
      return Weighed{id, mass, ReadScale(in)};
    }
    case EventKind::kPhotographed:
      return ReadPhotographed(in, context);
    case EventKind::kJudged:
      return ReadJudged(in, context);
    case EventKind::kMoved:
      return Moved{piece(), in.Text("location", true)};
    case EventKind::kCut:
      return ReadCut(in, context);
    case EventKind::kTrimmed:
      return ReadTrimmed(in, context);
    case EventKind::kAged:
      return ReadAged(in, context);
    case EventKind::kCooked:
      return Cooked{piece(), in.Mass("mass_g"), in.Text("doneness")};
    case EventKind::kServed:
      return Served{piece(), in.Mass("part_g"), in.Text("place")};
    case EventKind::kSold:
      return ReadSold(in, context);
    case EventKind::kDiscarded:
      return Discarded{piece(), in.Mass("part_g"), in.Text("reason", true)};
    case EventKind::kTasted:
      return Tasted{piece(), in.Text("words"), in.Real("score")};
    case EventKind::kCorrected:
      return ReadCorrected(in);
    case EventKind::kVoided: {
      const std::int64_t target = in.Number("event_id", true);
      return Voided{target, in.Text("reason", true)};
    }
    case EventKind::kCounted:
      return ReadCounted(in, context);
  }
  in.Refuse("This is no kind of event.", "kind", "Give one of docs/format/ledger.md.");
  return Weighed{};
}

Result<Json> ParseObject(std::string_view text) {
  Json parsed = Json::parse(text, nullptr, false);
  if (parsed.is_discarded()) {
    return Fail(Code::kEntryUnusable, "This is not JSON.", "", "Send one JSON object.");
  }
  return parsed;
}

// Outputs that are put right keep number and code of the one in the same place.
void FillInOutputs(const Json& before, Json& data) {
  if (!before.contains("outputs") || !data["outputs"].is_array()) return;
  const Json& old = before["outputs"];
  Json& outputs = data["outputs"];
  for (std::size_t i = 0; i < std::min(old.size(), outputs.size()); ++i) {
    if (!outputs[i].is_object()) continue;
    for (const char* key : {"piece_id", "code", "cut", "mass_g"}) {
      if (!outputs[i].contains(key)) outputs[i][key] = old[i][key];
    }
  }
}

}  // namespace

Result<Payload> PayloadFromData(EventKind kind, std::string_view data) {
  const auto parsed = ParseObject(data);
  if (!parsed) return Fail(parsed.error());
  std::optional<Error> fault;
  Fields in(*parsed, "", fault);
  Payload payload = ReadPayload(kind, in, {fault, nullptr});
  in.Finish();
  if (fault) return Fail(*fault);
  return payload;
}

Result<Payload> WithChanges(const Payload& before, std::string_view changes) {
  const auto patch = ParseObject(changes);
  if (!patch) return Fail(patch.error());
  std::optional<Error> fault;
  Fields check(*patch, "data", fault);
  if (fault) return Fail(*fault);
  Json data = Json::parse(DataJson(before));
  for (const auto& [key, value] : patch->items()) {
    if (value.is_null()) {
      data.erase(key);
    } else {
      data[key] = value;
    }
  }
  if (patch->contains("loss_g") && data["loss_g"].is_number()) {
    data["losses"] = Json::array({{{"kind", "unsaid"}, {"mass_g", data["loss_g"]}}});
    data.erase("loss_g");
  }
  FillInOutputs(Json::parse(DataJson(before)), data);
  Fields in(data, "data", fault);
  Payload payload = ReadPayload(KindOf(before), in, {fault, nullptr});
  in.Finish();
  if (fault) return Fail(*fault);
  return payload;
}

Result<Draft> DraftFromJson(std::string_view json, units::UtcTime now, std::string user,
                            std::string key, const NumberOfCode& number_of_code) {
  const auto parsed = ParseObject(json);
  if (!parsed) return Fail(parsed.error());
  std::optional<Error> fault;
  Fields in(*parsed, "", fault);
  const auto kind = KindFromText(in.Text("kind", true));
  if (!kind) in.Refuse("This is no kind of event.", "kind", "Give one of docs/format/ledger.md.");
  if (fault) return Fail(*fault);
  Draft draft;
  draft.payload = ReadPayload(*kind, in, {fault, &number_of_code});
  draft.happened = in.Time("happened_at").value_or(now);
  draft.note = in.Text("note");
  draft.user = std::move(user);
  draft.key = std::move(key);
  in.Finish();
  if (fault) return Fail(*fault);
  return draft;
}

}  // namespace ribwright::ledger
