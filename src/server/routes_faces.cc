// SPDX-License-Identifier: Apache-2.0
// Jobs and judged faces.
#include <utility>

#include "programme/compare.h"
#include "report/json.h"
#include "server/routes.h"
#include "server/view_json.h"

namespace ribwright::server {
namespace {

using namespace std::chrono_literals;

constexpr auto kHeartbeat = 10s;  // keeps a stream's connection from being taken for dead
constexpr auto kEditTime = 60s;

Result<ledger::PieceId> PieceOf(House& house, const std::string& text) {
  Call call;
  call.path["piece"] = text;
  const auto number = NumberOf(call, "piece");
  if (!number) return Fail(number.error());
  const auto piece = house.store.reader().Find({*number});
  if (!piece) return Fail(piece.error());
  return piece->id;
}

// The event by which this face was kept with this piece and which stands: said again, it is the
// answer again.
Result<std::optional<ledger::Receipt>> KeptBefore(House& house, const JudgingRow& judging,
                                                  ledger::PieceId piece) {
  const auto known = house.store.reader().Events({piece, ledger::EventKind::kJudged, 0, 500});
  if (!known) return Fail(known.error());
  const std::string face = std::to_string(judging.id);
  for (const ledger::EventView& view : *known) {
    const auto* judged = std::get_if<ledger::Judged>(&view.event.draft.payload);
    if (judged == nullptr || view.voided_by != 0) continue;
    if (judged->face != face || judged->photo != judging.photo) continue;
    const auto now = house.store.reader().Find(piece);
    if (!now) return Fail(now.error());
    ledger::Receipt receipt;
    receipt.event = view.event;
    receipt.pieces = {*now};
    receipt.repeated = true;
    return std::optional<ledger::Receipt>(std::move(receipt));
  }
  return std::optional<ledger::Receipt>();
}

// A judged face is kept with its piece: the photo's event and the judging's, both or none.
Result<ledger::Receipt> KeepWithPiece(House& house, const JudgingRow& judging,
                                      ledger::PieceId piece, const std::string& user,
                                      const std::string& key) {
  const auto photo = house.book.Photo(judging.photo);
  if (!photo) return Fail(photo.error());
  auto kept = KeptBefore(house, judging, piece);
  if (!kept) return Fail(kept.error());
  if (*kept) return std::move(**kept);
  const units::UtcTime now = house.clock();
  std::vector<ledger::Draft> drafts;
  ledger::Draft photographed;
  photographed.payload = ledger::Photographed{piece, photo->hash, photo->media, photo->bytes};
  photographed.happened = photo->taken && *photo->taken < now ? *photo->taken : now;
  photographed.user = user;
  photographed.key = "photo:" + ledger::HashText(photo->hash) + ":" + std::to_string(piece.value);
  ledger::Judged judged;
  judged.piece = piece;
  judged.photo = photo->hash;
  judged.face = std::to_string(judging.id);
  judged.method = judging.method;
  judged.revision = judging.revision;
  judged.report = ledger::HashOf(judging.report);
  judged.report_json = judging.report;
  ledger::Draft draft;
  draft.payload = std::move(judged);
  draft.happened = now;
  draft.user = user;
  draft.key = key;
  // The photo's event is the same whoever sends it again; it is written once a piece.
  const auto known = house.store.reader().Events({piece, ledger::EventKind::kPhotographed, 0, 500});
  if (!known) return Fail(known.error());
  bool there = false;
  for (const ledger::EventView& view : *known) {
    const auto* p = std::get_if<ledger::Photographed>(&view.event.draft.payload);
    if (p == nullptr || p->photo != photo->hash) continue;
    there = there || view.voided_by == 0;
    photographed.key += "'";  // one that was voided had the key before
  }
  if (!there) drafts.push_back(std::move(photographed));
  drafts.push_back(std::move(draft));
  auto results = house.store.writer().Append(std::move(drafts), ledger::Together::kAllOrNone);
  if (!results.back()) return Fail(results.back().error());
  if (const Status set = house.book.SetPiece(judging.id, piece.value); !set) {
    return Fail(set.error());
  }
  return std::move(results.back());
}

Result<JudgeTask> TaskWithSettings(House& house, const Json& options) {
  const auto settings = house.settings.Read();
  if (!settings) return Fail(settings.error());
  JudgeTask task;
  task.options = options;
  task.house_spec = settings->values.at("house_spec").get<std::string>();
  const Json& ruler = settings->values.at("card_ruler_mm");
  if (ruler.is_number()) task.card_ruler_mm = ruler.get<double>();
  return task;
}

Result<Answer> PostJob(House& house, const Call& call) {
  JudgeWanted wanted;
  wanted.photo = *ledger::HashFromText(call.body.at("photo_id").get<std::string>());
  const auto options = call.body.find("options");
  auto task = TaskWithSettings(house, options == call.body.end() ? Json::object() : Json(*options));
  if (!task) return Fail(task.error());
  wanted.task = std::move(*task);
  wanted.user = call.user().name;
  if (const auto piece = call.body.find("piece_id"); piece != call.body.end()) {
    const auto id = PieceOf(house, piece->get<std::string>());
    if (!id) return Fail(id.error());
    wanted.piece = id->value;
    wanted.kept = [&house, id = *id, user = call.user().name](std::int64_t face) -> Status {
      const auto judging = house.book.Judging(face);
      if (!judging) return Fail(judging.error());
      const auto kept = KeepWithPiece(house, *judging, id, user, "face:" + std::to_string(face));
      if (!kept) return Fail(kept.error());
      return {};
    };
  }
  const auto job = house.desk.Submit(std::move(wanted), call.user().name + ":" + call.once, false);
  if (!job) return Fail(job.error());
  return Answer::Of(JobJson(*job), 202);
}

Result<Answer> GetJob(House& house, const Call& call) {
  const auto job = house.desk.Get(call.path.find("job")->second);
  if (!job) return Fail(job.error());
  return Answer::Of(JobJson(*job));
}

Result<Answer> GetJobEvents(House& house, const Call& call) {
  const std::string id = call.path.find("job")->second;
  const auto job = house.desk.Get(id);
  if (!job) return Fail(job.error());
  const auto place = house.streams->Take(ledger::HashText(call.session->kept));
  if (!place) return Fail(place.error());
  Answer answer;
  answer.type = "text/event-stream";
  answer.headers.emplace_back("X-Accel-Buffering", "no");
  answer.stream = [&house, id, place = *place, seen = std::int64_t{-1},
                   quiet = std::chrono::steady_clock::now()](httplib::DataSink& sink) mutable {
    const auto now = house.desk.Wait(id, seen, 500ms);
    const auto clock = std::chrono::steady_clock::now();
    if (!now) {
      sink.done();
      return true;
    }
    if (now->version > seen) {
      seen = now->version;
      quiet = clock;
      const std::string text =
          "event: job\nid: " + std::to_string(seen) + "\ndata: " + JsonText(JobJson(*now)) + "\n\n";
      if (!sink.write(text.data(), text.size())) return false;
    } else if (clock - quiet > kHeartbeat) {
      quiet = clock;
      if (!sink.write(":\n\n", 3)) return false;
    }
    if (now->Over() || house.stopping()) sink.done();
    return true;
  };
  return answer;
}

Result<Answer> GetFaces(House& house, const Call& call) {
  const auto after = AfterOf(call);
  if (!after) return Fail(after.error());
  JudgingFilter filter;
  filter.before = *after;
  filter.limit = call.Limit();
  if (const std::string photo = call.Query("photo"); !photo.empty()) {
    filter.photo = ledger::HashFromText(photo);
  }
  if (const std::string piece = call.Query("piece"); !piece.empty()) {
    const auto id = PieceOf(house, piece);
    if (!id) return Fail(id.error());
    filter.piece = id->value;
  }
  const auto judgings = house.book.Judgings(filter);
  if (!judgings) return Fail(judgings.error());
  Json items = Json::array();
  for (const JudgingRow& judging : *judgings) items.push_back(FaceLineJson(judging));
  const bool full = static_cast<int>(judgings->size()) == call.Limit();
  return ListAnswer(std::move(items), full, full ? std::to_string(judgings->back().id) : "");
}

Result<Answer> FaceAnswer(House& house, std::int64_t id, int status) {
  const auto judging = house.book.Judging(id);
  if (!judging) return Fail(judging.error());
  const auto layers = house.book.Layers(id);
  if (!layers) return Fail(layers.error());
  return Answer::Of(FaceJson(*judging, *layers), status).Tagged();
}

Result<Answer> GetFace(House& house, const Call& call) {
  const auto id = NumberOf(call, "face");
  if (!id) return Fail(id.error());
  return FaceAnswer(house, *id, 200);
}

Result<Answer> GetLayer(House& house, const Call& call) {
  const auto id = NumberOf(call, "face");
  if (!id) return Fail(id.error());
  const auto layers = house.book.Layers(*id);
  if (!layers) return Fail(layers.error());
  const auto layer = layers->find(call.path.find("layer")->second);
  if (layer == layers->end()) {
    return Fail(Code::kNotFound, "There is no such layer.", "layer", "Go back to the face.");
  }
  const auto bytes = house.store.photos().Get(layer->second);
  if (!bytes) return Fail(bytes.error());
  return Answer::Bytes(std::string(bytes->begin(), bytes->end()), "image/png",
                       ledger::HashText(layer->second).substr(0, 32));
}

Result<Answer> PostEdits(House& house, const Call& call) {
  const auto id = NumberOf(call, "face");
  if (!id) return Fail(id.error());
  const ledger::Hash request = ledger::HashOf(std::to_string(*id) + ":" + call.body_text);
  const auto before = house.book.DoneBefore(call.user().id, call.once, call.operation, request);
  if (!before) return Fail(before.error());
  if (*before) return FaceAnswer(house, std::stoll(**before), 201);
  const auto judging = house.book.Judging(*id);
  if (!judging) return Fail(judging.error());
  auto task = TaskWithSettings(house, *ParseJson(judging->options));
  if (!task) return Fail(task.error());
  task->edits = call.body_text;
  task->quick = true;
  JudgeWanted wanted;
  wanted.photo = judging->photo;
  wanted.task = std::move(*task);
  wanted.user = call.user().name;
  wanted.edited_from = *id;
  auto job = house.desk.Submit(std::move(wanted), "", true);
  if (!job) return Fail(job.error());
  const auto until = std::chrono::steady_clock::now() + kEditTime;
  while (!job->Over() && std::chrono::steady_clock::now() < until) {
    job = house.desk.Wait(job->id, job->version, 500ms);
    if (!job) return Fail(job.error());
  }
  if (job->error) return Fail(*job->error);
  if (!job->face) {
    return Fail(Code::kJudgeBusy, "Too many photos wait to be judged.", "", "Try again later.");
  }
  const Status noted = house.book.NoteDone(call.user().id, call.once, call.operation, request,
                                           std::to_string(*job->face), house.clock());
  if (!noted) return Fail(noted.error());
  return FaceAnswer(house, *job->face, 201);
}

Result<Answer> PutFacePiece(House& house, const Call& call) {
  const auto id = NumberOf(call, "face");
  if (!id) return Fail(id.error());
  const auto judging = house.book.Judging(*id);
  if (!judging) return Fail(judging.error());
  const auto piece = PieceOf(house, call.body.at("piece_id").get<std::string>());
  if (!piece) return Fail(piece.error());
  const auto receipt =
      KeepWithPiece(house, *judging, *piece, call.user().name, call.user().name + ":" + call.once);
  if (!receipt) return Fail(receipt.error());
  return Answer::Of(ReceiptJson(*receipt, house.clock()));
}

Result<std::pair<report::Face, std::string>> Side(House& house, const std::string& id) {
  Call call;
  call.path["face"] = id;
  const auto number = NumberOf(call, "face");
  if (!number) return Fail(number.error());
  const auto judging = house.book.Judging(*number);
  if (!judging) return Fail(judging.error());
  auto report = report::FromJson(judging->report);
  if (!report) return Fail(report.error());
  if (report->faces.empty()) {
    return Fail(Code::kNoFace, "There is no face to compare.", "face", "Choose another photo.");
  }
  return std::pair{std::move(report->faces.front()), judging->photo_name};
}

Result<Answer> GetCompare(House& house, const Call& call) {
  const auto first = Side(house, call.Query("first"));
  if (!first) return Fail(first.error());
  const auto second = Side(house, call.Query("second"));
  if (!second) return Fail(second.error());
  const auto settings = house.settings.Read();
  if (!settings) return Fail(settings.error());
  const auto units =
      settings->values.at("units") == "us" ? units::System::kUs : units::System::kMetric;
  const auto comparison = programme::CompareFaces(first->first, second->first, units);
  Answer answer;
  answer.body = programme::CompareJson(comparison, {first->second}, {second->second}, false);
  return std::move(answer).Tagged();
}

}  // namespace

Handlers FaceHandlers(House& house) {
  const auto bind = [&house](Result<Answer> (*handle)(House&, const Call&)) {
    return [&house, handle](const Call& call) { return handle(house, call); };
  };
  return {{"postJob", bind(PostJob)},           {"getJob", bind(GetJob)},
          {"getJobEvents", bind(GetJobEvents)}, {"getFaces", bind(GetFaces)},
          {"getFace", bind(GetFace)},           {"getLayer", bind(GetLayer)},
          {"postEdits", bind(PostEdits)},       {"putFacePiece", bind(PutFacePiece)},
          {"getCompare", bind(GetCompare)}};
}

}  // namespace ribwright::server
