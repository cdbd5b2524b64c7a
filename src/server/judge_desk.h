// SPDX-License-Identifier: Apache-2.0
// JudgeDesk: photos wait here to be judged, a bounded number at a time, each by a child process.
//
// Submit() queues (at most kMostWaiting: kJudgeBusy) and answers at once; the job's state is told
// by Get() and Wait(). An edit goes before the queue, since somebody is looking at it. What a job
// finds is kept (report, pictures, layers) before it is `done`. A job is forgotten when
// kMostFinished later ones have finished or the program stops; its photo and face are not. Submit
// with a key that this user gave before gives that job again. Stop() refuses new jobs (kStopping),
// fails those that wait, and lets those that run finish. Thread-safe.
#pragma once

#include <condition_variable>
#include <deque>
#include <functional>
#include <map>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <thread>
#include <vector>

#include "base/result.h"
#include "server/judge_child.h"
#include "server/photo_book.h"
#include "store/store.h"

namespace ribwright::server {

enum class JobState { kWaiting, kJudging, kDone, kFailed };

struct JobView {
  std::string id;
  ledger::Hash photo;
  JobState state = JobState::kWaiting;
  std::string stage = "waiting";
  int ahead = 0;
  std::optional<std::int64_t> face;
  std::optional<Error> error;
  std::int64_t version = 0;  // rises with every change
  bool Over() const { return state == JobState::kDone || state == JobState::kFailed; }
};
std::string_view JobStateText(JobState state);
// Share of the stages that are behind, 0 to 1.
double ProgressOf(const JobView& job);

struct JudgeWanted {
  ledger::Hash photo;
  JudgeTask task;  // without the photo's name, which the book knows
  std::string user;
  std::optional<std::int64_t> piece;  // that the face is kept with
  std::optional<std::int64_t> edited_from;
  // Called when the face is kept, before the job is done; an error fails the job.
  std::function<Status(std::int64_t face)> kept;
};

struct JudgeDeskOptions {
  JudgeChildOptions child;
  int workers = 1;
  int threads = 2;  // of one photo
  store::Clock clock;
};

class JudgeDesk {
 public:
  static constexpr std::size_t kMostWaiting = 100;
  static constexpr std::size_t kMostFinished = 500;

  JudgeDesk(store::Store& store, PhotoBook& book, JudgeDeskOptions options);
  ~JudgeDesk();
  JudgeDesk(const JudgeDesk&) = delete;
  JudgeDesk& operator=(const JudgeDesk&) = delete;

  // `once`: user and key; empty: a new job in any case. kKeyReused: the key belongs to a job for
  // another photo, piece, user or with other options.
  Result<JobView> Submit(JudgeWanted wanted, const std::string& once, bool first_in_line);
  Result<JobView> Get(const std::string& id);  // kNotFound
  // As soon as the job's version is above `seen`, or as it is after `patience`.
  Result<JobView> Wait(const std::string& id, std::int64_t seen,
                       std::chrono::milliseconds patience);

  // The upright photo as JPEG, made by a child process the first time. Its hash.
  Result<ledger::Hash> Picture(const ledger::Hash& photo);

  int judging() const;
  int waiting() const;
  void Stop();

 private:
  struct Job {
    JobView view;
    JudgeWanted wanted;
  };
  void Work();
  void Run(const std::shared_ptr<Job>& job);
  Result<std::int64_t> Judge(const std::shared_ptr<Job>& job);
  Result<std::int64_t> Keep(const JudgeWanted& wanted, const JudgeAnswer& answer);
  void Change(const std::shared_ptr<Job>& job, const std::function<void(JobView&)>& change);
  void Finish(const std::shared_ptr<Job>& job, const Result<std::int64_t>& face);
  JobView ViewOf(const Job& job) const;

  store::Store& store_;
  PhotoBook& book_;
  JudgeDeskOptions options_;
  mutable std::mutex mutex_;
  std::condition_variable work_;
  std::condition_variable changed_;
  std::map<std::string, std::shared_ptr<Job>> jobs_;
  std::map<std::string, std::string> by_once_;
  std::deque<std::shared_ptr<Job>> queue_;
  std::deque<std::string> finished_;
  int judging_ = 0;
  bool stopping_ = false;
  std::mutex picture_mutex_;
  std::vector<std::thread> threads_;
};

// What lists show of a report: the largest face's weightiest numbers, as JSON.
Json LineOf(const std::string& report_json);

}  // namespace ribwright::server
