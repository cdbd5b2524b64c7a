// SPDX-License-Identifier: Apache-2.0
// Pieces, events, stock, counts, search: the ledger's ports over HTTP.
#include <algorithm>
#include <charconv>

#include "ledger/event_json.h"
#include "server/blind.h"
#include "server/problem.h"
#include "server/routes.h"
#include "server/view_json.h"

namespace ribwright::server {
namespace {

Result<ledger::Draft> DraftOf(House& house, const Call& call, const std::string& json) {
  return ledger::DraftFromJson(json, house.clock(), call.user().name,
                               call.user().name + ":" + call.once,
                               [&](std::string_view typed) -> Result<ledger::PieceId> {
                                 const auto piece = house.store.reader().FindCode(typed);
                                 if (!piece) return Fail(piece.error());
                                 return piece->id;
                               });
}

Status MayWrite(const User& user, ledger::EventKind kind) {
  for (const Permission permission : ForEvent(kind)) {
    if (May(user.role, permission)) return {};
  }
  return Fail(
      Code::kNotAllowed,
      std::string("A ").append(RoleText(user.role)).append(" may not write events of this kind."),
      "body.kind", "Ask the owner, or sign in as somebody who may.");
}

// The event by which a piece went, where that is why the answer is no.
Answer Refusal(House& house, const Call& call, const ledger::Draft& draft, const Error& error) {
  const bool blind = IsBlind(call.user());
  Json problem = ProblemOf(blind ? BlindError(error) : error, call.http->path);
  if (error.code == Code::kPieceGone && !blind) {
    for (const ledger::PieceId piece : ledger::PiecesOf(draft.payload)) {
      const auto found = house.store.reader().Find(piece);
      if (!found || ledger::IsThere(found->state)) continue;
      const auto events = house.store.reader().Events({piece, std::nullopt, 0, 50});
      if (!events) break;
      using K = ledger::EventKind;
      const auto went = std::find_if(events->begin(), events->end(), [](const auto& view) {
        const K kind = ledger::KindOf(view.event.draft.payload);
        return view.voided_by == 0 &&
               (kind == K::kCut || kind == K::kServed || kind == K::kSold || kind == K::kDiscarded);
      });
      if (went != events->end()) problem["happened"] = EventJson(*went);
      break;
    }
  }
  Answer answer = Answer::Of(problem, StatusOf(error.code));
  answer.type = "application/problem+json";
  return answer;
}

Result<Answer> PostEvent(House& house, const Call& call) {
  const auto draft = DraftOf(house, call, call.body_text);
  if (!draft) return Fail(draft.error());
  if (const Status may = MayWrite(call.user(), ledger::KindOf(draft->payload)); !may) {
    return Fail(may.error());
  }
  const auto receipt = house.store.writer().Append(*draft);
  if (!receipt) return Refusal(house, call, *draft, receipt.error());
  if (IsBlind(call.user())) return Answer::Of(BlindReceiptJson(*receipt), 201);
  return Answer::Of(ReceiptJson(*receipt, house.clock()), 201);
}

// A page of pieces ends at a version and an id.
std::string PieceCursor(const ledger::Piece& last) {
  return std::to_string(last.version) + "-" + std::to_string(last.id.value);
}

Status ReadPieceCursor(const std::string& after, ledger::PieceFilter& filter) {
  if (after.empty()) return {};
  const char* end = after.data() + after.size();
  const auto version = std::from_chars(after.data(), end, filter.before_version);
  const bool dash = version.ec == std::errc() && version.ptr != end && *version.ptr == '-';
  const auto id = dash ? std::from_chars(version.ptr + 1, end, filter.before_id.value) : version;
  if (dash && id.ec == std::errc() && id.ptr == end) return {};
  return Fail(Code::kRequestInvalid, "This is no end of a page.", "after",
              "Send `next` of the page before.");
}

Result<Answer> GetPieces(House& house, const Call& call) {
  const units::UtcTime now = house.clock();
  if (const std::string code = call.Query("code"); !code.empty()) {
    const auto piece = house.store.reader().FindCode(code);
    if (!piece && piece.error().code != Code::kPieceUnknown) return Fail(piece.error());
    Json items = Json::array();
    if (piece) items.push_back(PieceJson(*piece, now));
    return ListAnswer(std::move(items), false, "");
  }
  ledger::PieceFilter filter;
  if (const Status page = ReadPieceCursor(call.Query("after"), filter); !page) {
    return Fail(page.error());
  }
  filter.limit = call.Limit();
  if (const std::string state = call.Query("state"); !state.empty()) {
    filter.state = ledger::StateFromText(state);
  }
  if (call.query.contains("location")) filter.location = call.Query("location");
  if (const std::string cut = call.Query("cut"); !cut.empty()) filter.cut = cut;
  const auto pieces = house.store.reader().Pieces(filter);
  if (!pieces) return Fail(pieces.error());
  const bool full = static_cast<int>(pieces->size()) == call.Limit();
  return ListAnswer(PiecesJson(*pieces, now), full, full ? PieceCursor(pieces->back()) : "");
}

Result<Answer> GetPiece(House& house, const Call& call) {
  const auto id = NumberOf(call, "piece");
  if (!id) return Fail(id.error());
  const auto page = house.store.reader().Page({*id});
  if (!page) return Fail(page.error());
  const auto judgings = house.book.Judgings({*id, std::nullopt, 0, 100});
  if (!judgings) return Fail(judgings.error());
  const units::UtcTime now = house.clock();
  Json json;
  json["piece"] = PieceJson(page->piece, now);
  json["made_from"] = PiecesJson(page->made_from, now);
  json["made_into"] = PiecesJson(page->made_into, now);
  json["events"] = Json::array();
  for (const auto& event : page->events) json["events"].push_back(EventJson(event));
  json["faces"] = Json::array();
  for (const JudgingRow& judging : *judgings) json["faces"].push_back(FaceLineJson(judging));
  return Answer::Of(json).Tagged();
}

Json StepsJson(const std::vector<ledger::TraceStep>& steps, units::UtcTime now) {
  Json json = Json::array();
  for (const ledger::TraceStep& step : steps) {
    Json one;
    one["piece"] = PieceJson(step.piece, now);
    one["steps"] = step.steps;
    json.push_back(std::move(one));
  }
  return json;
}

Result<Answer> GetTrace(House& house, const Call& call) {
  const auto id = NumberOf(call, "piece");
  if (!id) return Fail(id.error());
  const auto trace = house.store.reader().TraceOf({*id});
  if (!trace) return Fail(trace.error());
  const units::UtcTime now = house.clock();
  Json json;
  json["piece"] = PieceJson(trace->piece, now);
  json["up"] = StepsJson(trace->up, now);
  json["down"] = StepsJson(trace->down, now);
  json["siblings"] = PiecesJson(trace->siblings, now);
  json["lineage"] = Json::array();
  for (const auto& [parent, child] : trace->lineage) {
    json["lineage"].push_back({std::to_string(parent.value), std::to_string(child.value)});
  }
  return Answer::Of(json).Tagged();
}

Result<Answer> GetEvents(House& house, const Call& call) {
  const auto after = AfterOf(call);
  if (!after) return Fail(after.error());
  ledger::EventFilter filter;
  filter.before = *after;
  filter.limit = call.Limit();
  if (const std::string kind = call.Query("kind"); !kind.empty()) {
    filter.kind = ledger::KindFromText(kind);
  }
  if (const std::string piece = call.Query("piece"); !piece.empty()) {
    Call named;
    named.path["piece"] = piece;
    const auto id = NumberOf(named, "piece");
    if (!id) return Fail(id.error());
    filter.piece = {*id};
  }
  const auto events = house.store.reader().Events(filter);
  if (!events) return Fail(events.error());
  Json items = Json::array();
  for (const auto& event : *events) items.push_back(EventJson(event));
  const bool full = static_cast<int>(events->size()) == call.Limit();
  return ListAnswer(std::move(items), full,
                    full ? std::to_string(events->back().event.number) : "");
}

Result<Answer> GetStock(House& house, const Call& call) {
  std::optional<std::string> location;
  if (call.query.contains("location")) location = call.Query("location");
  const auto stock = house.store.reader().Stock(location);
  if (!stock) return Fail(stock.error());
  Json json;
  json["at"] = units::TimeText(house.clock());
  json["items"] = Json::array();
  for (const ledger::StockLine& line : *stock) json["items"].push_back(StockRowJson(line));
  return Answer::Of(json);
}

Result<Answer> GetPar(House& house, const Call&) {
  const auto pars = house.store.reader().Pars();
  if (!pars) return Fail(pars.error());
  Json json;
  json["items"] = Json::array();
  for (const ledger::Par& par : *pars) json["items"].push_back(ParJson(par));
  return Answer::Of(json);
}

Result<Answer> PutPar(House& house, const Call& call) {
  std::optional<units::Mass> mass;
  if (const Json& grams = call.body.at("par_g"); grams.is_number()) {
    mass = units::Mass::FromGrams(grams.get<double>());
  }
  const Status set = house.store.writer().SetPar(call.body.at("cut").get<std::string>(),
                                                 call.body.at("location").get<std::string>(), mass,
                                                 call.user().name);
  if (!set) return Fail(set.error());
  return GetPar(house, call);
}

Result<Answer> CountAnswer(House& house, std::int64_t event, int status) {
  const auto count = house.store.reader().Count(event);
  if (!count) return Fail(count.error());
  return Answer::Of(CountJson(*count), status);
}

Result<Answer> PostCount(House& house, const Call& call) {
  Json body = call.body;
  body["kind"] = "counted";
  const auto draft = DraftOf(house, call, JsonText(body));
  if (!draft) return Fail(draft.error());
  const auto receipt = house.store.writer().Append(*draft);
  if (!receipt) return Refusal(house, call, *draft, receipt.error());
  return CountAnswer(house, receipt->event.number, 201);
}

Result<Answer> GetCount(House& house, const Call& call) {
  const auto id = NumberOf(call, "count");
  if (!id) return Fail(id.error());
  return CountAnswer(house, *id, 200);
}

Result<Answer> GetCounts(House& house, const Call& call) {
  const auto after = AfterOf(call);
  if (!after) return Fail(after.error());
  const auto events =
      house.store.reader().Events({{}, ledger::EventKind::kCounted, *after, call.Limit()});
  if (!events) return Fail(events.error());
  Json items = Json::array();
  for (const auto& event : *events) {
    const auto count = house.store.reader().Count(event.event.number);
    if (!count) return Fail(count.error());
    items.push_back(CountJson(*count));
  }
  const bool full = static_cast<int>(events->size()) == call.Limit();
  return ListAnswer(std::move(items), full,
                    full ? std::to_string(events->back().event.number) : "");
}

Result<Answer> GetSearch(House& house, const Call& call) {
  const auto hits = house.store.reader().Search(call.Query("q"), call.Limit());
  if (!hits) return Fail(hits.error());
  const units::UtcTime now = house.clock();
  Json json;
  json["items"] = Json::array();
  for (const ledger::SearchHit& hit : *hits) {
    Json one;
    one["event_id"] = std::to_string(hit.event);
    one["piece"] = PieceJson(hit.piece, now);
    one["snippet"] = hit.snippet;
    json["items"].push_back(std::move(one));
  }
  return Answer::Of(json);
}

}  // namespace

Handlers LedgerHandlers(House& house) {
  const auto bind = [&house](Result<Answer> (*handle)(House&, const Call&)) {
    return [&house, handle](const Call& call) { return handle(house, call); };
  };
  return {{"getPieces", bind(GetPieces)}, {"getPiece", bind(GetPiece)},
          {"getTrace", bind(GetTrace)},   {"getEvents", bind(GetEvents)},
          {"postEvent", bind(PostEvent)}, {"getStock", bind(GetStock)},
          {"getPar", bind(GetPar)},       {"putPar", bind(PutPar)},
          {"getCounts", bind(GetCounts)}, {"postCount", bind(PostCount)},
          {"getCount", bind(GetCount)},   {"getSearch", bind(GetSearch)}};
}

}  // namespace ribwright::server
