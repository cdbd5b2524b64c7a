// SPDX-License-Identifier: Apache-2.0
#include "server/view_json.h"

#include "base/check.h"
#include "ledger/event_json.h"
#include "server/problem.h"

namespace ribwright::server {
namespace {

std::string Id(std::int64_t id) { return std::to_string(id); }
Json IdOrNull(const std::optional<std::int64_t>& id) { return id ? Json(Id(*id)) : Json(); }
Json EventOrNull(std::int64_t number) { return number > 0 ? Json(Id(number)) : Json(); }
Json TimeJson(units::UtcTime time) { return units::TimeText(time); }
Json TimeOrNull(const std::optional<units::UtcTime>& time) {
  return time ? TimeJson(*time) : Json();
}

Json Grams(units::Mass mass) {
  if (mass.milligrams() % 1000 == 0) return mass.milligrams() / 1000;
  return mass.grams();
}
Json GramsOrNull(const std::optional<units::Mass>& mass) { return mass ? Grams(*mass) : Json(); }

Json MoneyJson(const units::Money& money) {
  Json json;
  json["minor"] = money.minor;
  json["currency"] = std::string(money.currency.text());
  return json;
}
Json MoneyOrNull(const std::optional<units::Money>& money) {
  return money ? MoneyJson(*money) : Json();
}
Json MoneyList(const std::vector<units::Money>& list) {
  Json json = Json::array();
  for (const units::Money& money : list) json.push_back(MoneyJson(money));
  return json;
}

Json Parsed(const std::string& text) {
  std::optional<Json> json = ParseJson(text);
  RIBWRIGHT_CHECK(json.has_value());  // our own writing
  return std::move(*json);
}

Json EventOf(const ledger::Event& event, const std::string& data, std::int64_t voided_by,
             std::int64_t corrected_by) {
  Json json;
  json["id"] = Id(event.number);
  json["kind"] = std::string(ledger::KindText(ledger::KindOf(event.draft.payload)));
  json["piece_ids"] = Json::array();
  for (const ledger::PieceId piece : ledger::PiecesOf(event.draft.payload)) {
    json["piece_ids"].push_back(Id(piece.value));
  }
  json["happened_at"] = TimeJson(event.draft.happened);
  json["written_at"] = TimeJson(event.written);
  json["by"] = event.draft.user;
  json["note"] = event.draft.note;
  json["voided_by"] = EventOrNull(voided_by);
  json["corrected_by"] = EventOrNull(corrected_by);
  json["hash"] = ledger::HashText(event.hash);
  json["data"] = Parsed(data);
  return json;
}

}  // namespace

Json UserJson(const User& user) {
  Json json;
  json["id"] = Id(user.id);
  json["name"] = user.name;
  json["full_name"] = user.full_name;
  json["role"] = std::string(RoleText(user.role));
  json["active"] = user.active;
  json["created_at"] = TimeJson(user.created);
  json["created_by"] = user.created_by ? Json(*user.created_by) : Json();
  return json;
}

Json SessionJson(const Session& session) {
  Json json;
  json["user"] = UserJson(session.user);
  json["may"] = Json::array();
  for (const Permission permission : AllThatMay(session.user.role)) {
    json["may"].push_back(std::string(PermissionText(permission)));
  }
  json["csrf_token"] = session.csrf_token;
  json["expires_at"] = TimeJson(session.ends);
  return json;
}

Json PhotoJson(const PhotoRow& photo) {
  Json json;
  json["id"] = ledger::HashText(photo.hash);
  json["name"] = photo.name;
  json["bytes"] = photo.bytes;
  json["type"] = photo.media;
  json["sent_at"] = TimeJson(photo.sent);
  json["sent_by"] = photo.sent_by;
  json["taken_at"] = TimeOrNull(photo.taken);
  json["piece_id"] = IdOrNull(photo.piece);
  return json;
}

Json JobJson(const JobView& job) {
  Json json;
  json["id"] = job.id;
  json["photo_id"] = ledger::HashText(job.photo);
  json["state"] = std::string(JobStateText(job.state));
  json["stage"] = job.stage;
  json["progress"] = ProgressOf(job);
  json["ahead"] = job.ahead;
  json["face_id"] = IdOrNull(job.face);
  json["error"] = nullptr;
  if (job.error) {
    Json error;
    error["code"] = std::string(CodeText(job.error->code));
    error["message"] = job.error->message;
    error["where"] = OutwardWhere(*job.error);
    error["mend"] = job.error->mend;
    json["error"] = std::move(error);
  }
  return json;
}

Json FaceLineJson(const JudgingRow& judging) {
  Json json;
  json["id"] = Id(judging.id);
  json["photo_id"] = ledger::HashText(judging.photo);
  json["photo_name"] = judging.photo_name;
  json["piece_id"] = IdOrNull(judging.piece);
  json["judged_at"] = TimeJson(judging.judged);
  json["judged_by"] = judging.judged_by;
  json["edited_from"] = IdOrNull(judging.edited_from);
  json["method"] = judging.method;
  json["revision"] = judging.revision;
  const Json line = Parsed(judging.line);
  for (const auto& [key, value] : line.items()) json[key] = value;
  return json;
}

Json FaceJson(const JudgingRow& judging, const std::map<std::string, ledger::Hash>& layers) {
  Json json;
  json["id"] = Id(judging.id);
  json["photo_id"] = ledger::HashText(judging.photo);
  json["photo_name"] = judging.photo_name;
  json["piece_id"] = IdOrNull(judging.piece);
  json["judged_at"] = TimeJson(judging.judged);
  json["judged_by"] = judging.judged_by;
  json["edited_from"] = IdOrNull(judging.edited_from);
  json["options"] = Parsed(judging.options);
  json["method"] = judging.method;
  json["revision"] = judging.revision;
  json["layers"] = Json::array();
  for (const auto& [layer, hash] : layers) json["layers"].push_back(layer);
  json["report"] = Parsed(judging.report);
  return json;
}

Json PieceJson(const ledger::Piece& piece, units::UtcTime now) {
  Json json;
  json["id"] = Id(piece.id.value);
  json["code"] = piece.code;
  json["cut"] = piece.cut;
  json["state"] = std::string(ledger::StateText(piece.state));
  json["mass_g"] = Grams(piece.mass);
  json["basis"] = std::string(ledger::BasisText(piece.basis));
  json["mass_at"] = TimeJson(piece.mass_at);
  json["location"] = piece.location;
  json["received_at"] = TimeJson(piece.received);
  json["made_at"] = TimeJson(piece.made);
  json["changed_at"] = TimeJson(piece.changed);
  json["ageing_since"] = TimeOrNull(piece.ageing_since);
  std::chrono::milliseconds aged = piece.aged;
  if (piece.ageing_since && now > *piece.ageing_since) aged += now - *piece.ageing_since;
  json["aged_days"] = static_cast<double>(aged / std::chrono::minutes(1)) / 1440.0;
  json["cost"] = MoneyOrNull(piece.cost);
  json["supplier"] = piece.supplier;
  json["lot"] = piece.lot;
  json["slaughtered"] = piece.slaughtered ? Json(units::DayText(*piece.slaughtered)) : Json();
  json["note"] = piece.note;
  json["version"] = piece.version;
  return json;
}

Json PiecesJson(const std::vector<ledger::Piece>& pieces, units::UtcTime now) {
  Json json = Json::array();
  for (const ledger::Piece& piece : pieces) json.push_back(PieceJson(piece, now));
  return json;
}

Json EventJson(const ledger::EventView& view) {
  const std::string data = view.says_now ? ledger::DataJson(*view.says_now) : view.data;
  return EventOf(view.event, data, view.voided_by, view.corrected_by);
}

Json ReceiptJson(const ledger::Receipt& receipt, units::UtcTime now) {
  Json json;
  json["event"] = EventOf(receipt.event, ledger::DataJson(receipt.event.draft.payload), 0, 0);
  json["pieces"] = PiecesJson(receipt.pieces, now);
  json["repeated"] = receipt.repeated;
  return json;
}

Json StockRowJson(const ledger::StockLine& line) {
  Json json;
  json["cut"] = line.cut;
  json["location"] = line.location;
  json["pieces"] = line.pieces;
  json["mass_g"] = Grams(line.mass);
  json["oldest_days"] = line.oldest_days;
  json["bands"] = Json::array();
  for (std::size_t i = 0; i < line.bands.size(); ++i) {
    Json band;
    band["to_days"] = i < ledger::kAgeBandDays.size() ? Json(ledger::kAgeBandDays[i]) : Json();
    band["pieces"] = line.bands[i].pieces;
    band["mass_g"] = Grams(line.bands[i].mass);
    json["bands"].push_back(std::move(band));
  }
  json["cost"] = MoneyList(line.cost);
  json["pieces_without_cost"] = line.pieces_without_cost;
  json["par_g"] = GramsOrNull(line.par);
  json["short_g"] = Grams(line.short_by);
  return json;
}

Json ParJson(const ledger::Par& par) {
  Json json;
  json["cut"] = par.cut;
  json["location"] = par.location;
  json["par_g"] = Grams(par.mass);
  json["set_by"] = par.user;
  json["set_at"] = TimeJson(par.set);
  return json;
}

Json CountJson(const ledger::StockCount& count) {
  Json json;
  json["id"] = Id(count.event);
  json["location"] = count.location;
  json["at"] = TimeJson(count.happened);
  json["by"] = count.user;
  json["whole"] = count.whole;
  json["lines"] = Json::array();
  for (const ledger::CountedLine& line : count.lines) {
    Json one;
    one["piece_id"] = Id(line.piece.value);
    one["code"] = line.code;
    one["ledger_g"] = Grams(line.ledger);
    one["ledger_location"] = line.ledger_location;
    one["counted_g"] = GramsOrNull(line.found);
    one["variance_g"] = Grams(line.variance);
    one["variance"] = MoneyOrNull(line.money_variance);
    one["reason"] = line.reason;
    json["lines"].push_back(std::move(one));
  }
  json["variance_g"] = Grams(count.variance);
  json["variance"] = MoneyList(count.money_variance);
  json["lines_without_cost"] = count.lines_without_cost;
  return json;
}

}  // namespace ribwright::server
