// SPDX-License-Identifier: Apache-2.0
#include "ledger/show_json.h"

#include <nlohmann/json.hpp>

#include "ledger/event_json.h"

namespace ribwright::ledger {
namespace {

using Json = nlohmann::json;

Json Grams(units::Mass mass) {
  const std::int64_t mg = mass.milligrams();
  if (mg % 1000 == 0) return mg / 1000;
  return mass.grams();
}

Json MoneyJson(const units::Money& money) {
  return {{"minor", money.minor}, {"currency", money.currency.text()}};
}

Json MoneyList(const std::vector<units::Money>& sums) {
  Json list = Json::array();
  for (const units::Money& money : sums) list.push_back(MoneyJson(money));
  return list;
}

Json MeasuredJson(const std::optional<Measured>& m) {
  if (!m || !m->Known()) return nullptr;
  return {{"value", *m->value}, {"low", m->low},   {"high", m->high},
          {"level", m->level},  {"unit", m->unit}, {"basis", m->basis}};
}

template <typename T>
Json ListOf(const std::vector<T>& things) {
  Json list = Json::array();
  for (const T& thing : things) list.push_back(ShowJson(thing));
  return list;
}

Json StepsJson(const std::vector<TraceStep>& steps) {
  Json list = Json::array();
  for (const TraceStep& step : steps) {
    list.push_back({{"steps", step.steps}, {"piece", ShowJson(step.piece)}});
  }
  return list;
}

Json EventJson(const Event& event) {
  return {{"number", event.number},
          {"kind", KindText(KindOf(event.draft.payload))},
          {"happened_at", units::TimeText(event.draft.happened)},
          {"written_at", units::TimeText(event.written)},
          {"user", event.draft.user},
          {"note", event.draft.note},
          {"hash", HashText(event.hash)},
          {"data", Json::parse(DataJson(event.draft.payload))}};
}

}  // namespace

Json ShowJson(const Piece& piece) {
  Json out = {{"piece_id", piece.id.value},
              {"code", piece.code},
              {"cut", piece.cut},
              {"state", StateText(piece.state)},
              {"mass_g", Grams(piece.mass)},
              {"basis", BasisText(piece.basis)},
              {"mass_at", units::TimeText(piece.mass_at)},
              {"location", piece.location},
              {"supplier", piece.supplier},
              {"lot", piece.lot},
              {"received_at", units::TimeText(piece.received)},
              {"made_at", units::TimeText(piece.made)},
              {"changed_at", units::TimeText(piece.changed)},
              {"aged_hours", static_cast<double>(piece.aged.count() / 60'000) / 60.0},
              {"version", piece.version},
              {"made_by", piece.made_by},
              {"note", piece.note}};
  out["cost"] = piece.cost ? MoneyJson(*piece.cost) : Json(nullptr);
  out["slaughtered"] = piece.slaughtered ? Json(units::DayText(*piece.slaughtered)) : Json(nullptr);
  out["ageing_since"] =
      piece.ageing_since ? Json(units::TimeText(*piece.ageing_since)) : Json(nullptr);
  return out;
}

Json ShowJson(const EventView& view) {
  Json out = EventJson(view.event);
  if (view.voided_by != 0) out["voided_by"] = view.voided_by;
  if (view.corrected_by != 0) out["corrected_by"] = view.corrected_by;
  if (view.says_now) out["says_now"] = Json::parse(DataJson(*view.says_now));
  return out;
}

Json ShowJson(const Receipt& receipt) {
  return {{"event", EventJson(receipt.event)},
          {"pieces", ListOf(receipt.pieces)},
          {"repeated", receipt.repeated}};
}

Json ShowJson(const PiecePage& page) {
  Json faces = Json::array();
  for (const FaceLine& face : page.faces) {
    faces.push_back({{"event", face.event},
                     {"happened_at", units::TimeText(face.happened)},
                     {"method", face.judged.method},
                     {"revision", face.judged.revision},
                     {"marbling_pct", MeasuredJson(face.marbling_pct)},
                     {"area", MeasuredJson(face.area)}});
  }
  return {{"piece", ShowJson(page.piece)},
          {"made_from", ListOf(page.made_from)},
          {"made_into", ListOf(page.made_into)},
          {"events", ListOf(page.events)},
          {"faces", std::move(faces)}};
}

Json ShowJson(const Trace& trace) {
  Json lineage = Json::array();
  for (const auto& [parent, child] : trace.lineage) lineage.push_back({parent.value, child.value});
  return {{"piece", ShowJson(trace.piece)},
          {"up", StepsJson(trace.up)},
          {"down", StepsJson(trace.down)},
          {"siblings", ListOf(trace.siblings)},
          {"lineage", std::move(lineage)}};
}

Json ShowJson(const StockLine& line) {
  Json bands = Json::array();
  for (std::size_t i = 0; i < line.bands.size(); ++i) {
    bands.push_back(
        {{"up_to_days", i < kAgeBandDays.size() ? Json(kAgeBandDays[i]) : Json(nullptr)},
         {"pieces", line.bands[i].pieces},
         {"mass_g", Grams(line.bands[i].mass)}});
  }
  return {{"cut", line.cut},
          {"location", line.location},
          {"pieces", line.pieces},
          {"mass_g", Grams(line.mass)},
          {"oldest_days", line.oldest_days},
          {"ages", std::move(bands)},
          {"cost", MoneyList(line.cost)},
          {"pieces_without_cost", line.pieces_without_cost},
          {"par_g", line.par ? Grams(*line.par) : Json(nullptr)},
          {"short_g", Grams(line.short_by)}};
}

Json ShowJson(const StockCount& count) {
  Json lines = Json::array();
  for (const CountedLine& line : count.lines) {
    lines.push_back(
        {{"piece_id", line.piece.value},
         {"code", line.code},
         {"ledger_g", Grams(line.ledger)},
         {"ledger_location", line.ledger_location},
         {"found_g", line.found ? Grams(*line.found) : Json(nullptr)},
         {"variance_g", Grams(line.variance)},
         {"variance", line.money_variance ? MoneyJson(*line.money_variance) : Json(nullptr)},
         {"reason", line.reason}});
  }
  return {{"event", count.event},
          {"location", count.location},
          {"happened_at", units::TimeText(count.happened)},
          {"user", count.user},
          {"whole", count.whole},
          {"lines", std::move(lines)},
          {"variance_g", Grams(count.variance)},
          {"variance", MoneyList(count.money_variance)},
          {"lines_without_cost", count.lines_without_cost}};
}

Json ShowJson(const SearchHit& hit) {
  return {{"event", hit.event}, {"piece", ShowJson(hit.piece)}, {"snippet", hit.snippet}};
}

}  // namespace ribwright::ledger
