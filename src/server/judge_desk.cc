// SPDX-License-Identifier: Apache-2.0
#include "server/judge_desk.h"

#include <algorithm>
#include <array>
#include <utility>

#include "server/secrets.h"

namespace ribwright::server {
namespace {

constexpr std::array<std::string_view, 8> kStages = {"waiting", "starting", "reading", "measuring",
                                                     "drawing", "keeping",  "done",    "failed"};

constexpr std::array<std::pair<FrameKind, std::string_view>, 6> kLayers = {{
    {FrameKind::kFat, "fat"},
    {FrameKind::kMuscles, "muscles"},
    {FrameKind::kCover, "cover"},
    {FrameKind::kGlare, "glare"},
    {FrameKind::kTissue, "tissue"},
    {FrameKind::kOverlay, "overlay"},
}};

Error Stopping() {
  return {Code::kStopping, "The server is stopping.", "", "Try again when it is back."};
}

// A member of a report's object, or null.
Json At(const Json& object, std::initializer_list<const char*> keys) {
  const Json* at = &object;
  for (const char* key : keys) {
    if (!at->is_object()) return nullptr;
    const auto found = at->find(key);
    if (found == at->end()) return nullptr;
    at = &*found;
  }
  return *at;
}

}  // namespace

std::string_view JobStateText(JobState state) {
  switch (state) {
    case JobState::kWaiting:
      return "waiting";
    case JobState::kJudging:
      return "judging";
    case JobState::kDone:
      return "done";
    case JobState::kFailed:
      return "failed";
  }
  return "failed";
}

double ProgressOf(const JobView& job) {
  if (job.Over()) return 1.0;
  const auto stage = std::find(kStages.begin(), kStages.end(), job.stage);
  return static_cast<double>(stage - kStages.begin()) / 6.0;
}

Json LineOf(const std::string& report_json) {
  Json line;
  const std::optional<Json> report = ParseJson(report_json);
  const Json faces = report ? At(*report, {"faces"}) : Json();
  line["faces"] = faces.is_array() ? faces.size() : std::size_t{0};
  line["warnings"] = Json::array();
  if (report) {
    for (const Json& warning : At(*report, {"warnings"})) {
      line["warnings"].push_back(At(warning, {"code"}));
    }
  }
  const Json face = faces.is_array() && !faces.empty() ? faces.front() : Json::object();
  line["marbling_pct"] = At(face, {"marbling_pct"});
  line["eye_marbling_pct"] = nullptr;
  for (const Json& muscle : At(face, {"muscles"})) {
    const Json name = At(muscle, {"name"});
    // The largest muscle comes first; these two are the eye of a rib, loin or sirloin.
    if (name != "longissimus" && name != "gluteus_medius") continue;
    line["eye_marbling_pct"] = At(muscle, {"marbling_pct"});
    break;
  }
  line["cover_mm"] = At(face, {"cover_mm", "mean"});
  line["area"] = At(face, {"area"});
  return line;
}

JudgeDesk::JudgeDesk(store::Store& store, PhotoBook& book, JudgeDeskOptions options)
    : store_(store), book_(book), options_(std::move(options)) {
  for (int i = 0; i < options_.workers; ++i) threads_.emplace_back([this] { Work(); });
}

JudgeDesk::~JudgeDesk() {
  Stop();
  for (std::thread& thread : threads_) thread.join();
}

JobView JudgeDesk::ViewOf(const Job& job) const {
  JobView view = job.view;
  if (view.state != JobState::kWaiting) return view;
  const auto place = std::find_if(queue_.begin(), queue_.end(),
                                  [&](const auto& waiting) { return waiting.get() == &job; });
  view.ahead = static_cast<int>(place - queue_.begin()) + judging_;
  return view;
}

Result<JobView> JudgeDesk::Submit(JudgeWanted wanted, const std::string& once, bool first_in_line) {
  const auto photo = book_.Photo(wanted.photo);
  if (!photo) return Fail(photo.error());
  const auto checked = OptionsOf(wanted.task);  // now, not when its turn comes
  if (!checked) return Fail(checked.error());
  wanted.task.photo_name = photo->name;
  wanted.task.threads = options_.threads;
  const std::lock_guard lock(mutex_);
  if (stopping_) return Fail(Stopping());
  if (const auto before = by_once_.find(once); !once.empty() && before != by_once_.end()) {
    const Job& job = *jobs_.at(before->second);
    if (job.wanted.photo == wanted.photo && job.wanted.piece == wanted.piece &&
        job.wanted.user == wanted.user && TaskToJson(job.wanted.task) == TaskToJson(wanted.task)) {
      return ViewOf(job);
    }
    return Fail(Code::kKeyReused, "The idempotency key was used for another request.",
                "Idempotency-Key", "Make a new key for each thing to be done.");
  }
  if (queue_.size() >= kMostWaiting) {
    return Fail(Code::kJudgeBusy, "Too many photos wait to be judged.", "",
                "Try again in a few minutes; the photo itself is kept.");
  }
  auto job = std::make_shared<Job>();
  job->view.id = NewToken();
  job->view.photo = wanted.photo;
  job->wanted = std::move(wanted);
  jobs_[job->view.id] = job;
  if (!once.empty()) by_once_[once] = job->view.id;
  if (first_in_line) {
    queue_.push_front(job);
  } else {
    queue_.push_back(job);
  }
  work_.notify_one();
  return ViewOf(*job);
}

Result<JobView> JudgeDesk::Get(const std::string& id) {
  return Wait(id, -1, std::chrono::milliseconds(0));
}

Result<JobView> JudgeDesk::Wait(const std::string& id, std::int64_t seen,
                                std::chrono::milliseconds patience) {
  std::unique_lock lock(mutex_);
  const auto found = jobs_.find(id);
  if (found == jobs_.end()) {
    return Fail(Code::kNotFound, "There is no such job, or it is long over.", "job",
                "Look at the list of faces, or judge the photo anew.");
  }
  const std::shared_ptr<Job> job = found->second;
  changed_.wait_for(lock, patience, [&] { return job->view.version > seen || stopping_; });
  return ViewOf(*job);
}

void JudgeDesk::Change(const std::shared_ptr<Job>& job,
                       const std::function<void(JobView&)>& change) {
  {
    const std::lock_guard lock(mutex_);
    change(job->view);
    ++job->view.version;
  }
  changed_.notify_all();
}

void JudgeDesk::Work() {
  for (;;) {
    std::shared_ptr<Job> job;
    {
      std::unique_lock lock(mutex_);
      work_.wait(lock, [&] { return stopping_ || !queue_.empty(); });
      if (stopping_) return;
      job = queue_.front();
      queue_.pop_front();
      ++judging_;
      job->view.state = JobState::kJudging;
      job->view.stage = "starting";
      ++job->view.version;
      for (const auto& waiting : queue_) ++waiting->view.version;  // one less ahead
    }
    changed_.notify_all();
    Run(job);
  }
}

void JudgeDesk::Run(const std::shared_ptr<Job>& job) {
  Result<std::int64_t> face = Fail(Error{});
  // The one catch of this thread.
  try {
    face = Judge(job);
  } catch (const std::exception&) {
    face = Fail(Code::kInternal, "A fault in the program; please report it.", "", "Try again.");
  }
  Finish(job, face);
}

void JudgeDesk::Finish(const std::shared_ptr<Job>& job, const Result<std::int64_t>& face) {
  {
    const std::lock_guard lock(mutex_);
    --judging_;
    finished_.push_back(job->view.id);
    while (finished_.size() > kMostFinished) {
      const std::string old = finished_.front();
      finished_.pop_front();
      jobs_.erase(old);
      std::erase_if(by_once_, [&](const auto& entry) { return entry.second == old; });
    }
  }
  Change(job, [&](JobView& view) {
    view.state = face ? JobState::kDone : JobState::kFailed;
    view.stage = JobStateText(view.state);
    if (face) {
      view.face = *face;
    } else {
      view.error = face.error();
    }
  });
}

Result<std::int64_t> JudgeDesk::Judge(const std::shared_ptr<Job>& job) {
  const JudgeWanted& wanted = job->wanted;
  const auto bytes = store_.photos().Get(wanted.photo);
  if (!bytes) return Fail(bytes.error());
  const auto answer = JudgeInChild(
      options_.child, wanted.task, *bytes,
      [&](const std::string& stage) { Change(job, [&](JobView& view) { view.stage = stage; }); });
  if (!answer) return Fail(answer.error());
  Change(job, [](JobView& view) { view.stage = "keeping"; });
  const auto face = Keep(wanted, *answer);
  if (!face) return face;
  if (wanted.kept) {
    if (const Status kept = wanted.kept(*face); !kept) return Fail(kept.error());
  }
  return face;
}

Result<std::int64_t> JudgeDesk::Keep(const JudgeWanted& wanted, const JudgeAnswer& answer) {
  std::map<std::string, ledger::Hash> layers;
  for (const auto& [kind, name] : kLayers) {
    const auto picture = answer.pictures.find(kind);
    if (picture == answer.pictures.end()) continue;
    const auto hash = store_.photos().Put(picture->second);
    if (!hash) return Fail(hash.error());
    layers[std::string(name)] = *hash;
  }
  if (const auto picture = answer.pictures.find(FrameKind::kPicture);
      picture != answer.pictures.end()) {
    const auto hash = store_.photos().Put(picture->second);
    if (!hash) return Fail(hash.error());
    if (const Status set = book_.SetPicture(wanted.photo, *hash); !set) return Fail(set.error());
  }
  JudgingRow row;
  row.photo = wanted.photo;
  row.judged = options_.clock();
  row.judged_by = wanted.user;
  row.edited_from = wanted.edited_from;
  row.options = JsonText(wanted.task.options);
  row.method = answer.report.method.name;
  row.revision = answer.report.method.revision;
  row.line = JsonText(LineOf(answer.report_json));
  row.report = answer.report_json;
  return book_.AddJudging(row, layers);
}

Result<ledger::Hash> JudgeDesk::Picture(const ledger::Hash& photo) {
  // One at a time: several screens that want the same picture make it once.
  const std::lock_guard lock(picture_mutex_);
  const auto row = book_.Photo(photo);
  if (!row) return Fail(row.error());
  if (row->picture) return *row->picture;
  const auto bytes = store_.photos().Get(photo);
  if (!bytes) return Fail(bytes.error());
  JudgeTask task;
  task.photo_name = row->name;
  task.only_picture = true;
  const auto answer = JudgeInChild(options_.child, task, *bytes, [](const std::string&) {});
  if (!answer) return Fail(answer.error());
  const auto hash = store_.photos().Put(answer->pictures.at(FrameKind::kPicture));
  if (!hash) return Fail(hash.error());
  if (const Status set = book_.SetPicture(photo, *hash); !set) return Fail(set.error());
  return *hash;
}

int JudgeDesk::judging() const {
  const std::lock_guard lock(mutex_);
  return judging_;
}

int JudgeDesk::waiting() const {
  const std::lock_guard lock(mutex_);
  return static_cast<int>(queue_.size());
}

void JudgeDesk::Stop() {
  {
    const std::lock_guard lock(mutex_);
    stopping_ = true;
    for (const auto& job : queue_) {
      job->view.state = JobState::kFailed;
      job->view.stage = "failed";
      job->view.error = Stopping();
      ++job->view.version;
    }
    queue_.clear();
  }
  work_.notify_all();
  changed_.notify_all();
}

}  // namespace ribwright::server
