// SPDX-License-Identifier: Apache-2.0
#include "programme/judge_files.h"

#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <exception>
#include <map>
#include <mutex>
#include <opencv2/core/utility.hpp>
#include <set>
#include <thread>

#include "base/files.h"
#include "photo/decode.h"
#include "photo/encode.h"
#include "programme/overlay.h"
#include "programme/sheet_pdf.h"
#include "report/json.h"

namespace ribwright::programme {
namespace {

namespace fs = std::filesystem;

Status WritePng(const fs::path& path, const cv::Mat& picture) {
  const auto bytes = photo::EncodePng(picture);
  if (!bytes) return Fail(bytes.error());
  return WriteFileAtomically(path, *bytes);
}

// Names compare as files where both exist, else as cleaned absolute paths.
std::string KeyOf(const fs::path& path) {
  std::error_code ignored;
  const fs::path whole = fs::weakly_canonical(fs::absolute(path), ignored);
  return ignored ? path.lexically_normal().string() : whole.string();
}

bool IsPlainTarget(const fs::path& path) {
  std::error_code ignored;
  const fs::file_status status = fs::status(path, ignored);
  return !fs::exists(status) || fs::is_regular_file(status);
}

std::vector<fs::path> PathsOf(const JudgeOutputs& outputs) {
  std::vector<fs::path> paths;
  for (const auto* each : {&outputs.json, &outputs.tissue, &outputs.overlay, &outputs.sheet}) {
    if (*each) paths.push_back(**each);
  }
  return paths;
}

std::vector<fs::path> AllOutputs(std::span<const JudgeJob> jobs, const JudgeExtras& extras) {
  std::vector<fs::path> all = extras.outputs;
  for (const JudgeJob& job : jobs) {
    for (fs::path& path : PathsOf(job.outputs)) all.push_back(std::move(path));
  }
  return all;
}

void RemoveStale(const JudgeOutputs& outputs) {
  for (const auto* each : {&outputs.tissue, &outputs.overlay, &outputs.sheet}) {
    std::error_code ignored;
    if (*each && IsPlainTarget(**each)) fs::remove(**each, ignored);
  }
}

// The JSON last: where it stands, the rest is whole.
Status WriteOutputs(const Judged& judged, const JudgeOutputs& outputs, const JudgeRun& run) {
  if (judged.report.error) {
    RemoveStale(outputs);
  } else {
    if (outputs.tissue) {
      if (Status s = WritePng(*outputs.tissue, judged.tissue); !s) return s;
    }
    OverlayOptions overlay;
    overlay.units = run.units;
    if (outputs.overlay) {
      const cv::Mat picture = DrawOverlay(judged.rgb, judged.tissue, judged.report, overlay);
      if (Status s = WritePng(*outputs.overlay, picture); !s) return s;
    }
    if (outputs.sheet) {
      const auto pdf = SheetPdf(judged.rgb, judged.tissue, judged.report, {run.units, run.now});
      if (!pdf) return Fail(pdf.error());
      if (Status s = WriteFileAtomically(*outputs.sheet, *pdf); !s) return s;
    }
  }
  if (!outputs.json) return {};
  std::string text = report::ToJson(judged.report, true);
  text += '\n';
  return WriteFileAtomically(*outputs.json, text);
}

JudgeDone JudgeOne(const JudgeJob& job, const JudgeRun& run, const MeasureFaces& measure,
                   int threads) {
  JudgeDone done;
  Judged judged;
  judged.report.photo = job.photo.string();
  try {
    JudgeOptions options = run.options;
    options.threads = threads;
    const auto bytes = ReadFileLimited(job.photo, photo::DecodeOptions{}.max_bytes);
    if (bytes) {
      judged = JudgePhoto(*bytes, job.photo.string(), options, measure);
    } else {
      judged.report.error = bytes.error();
    }
    if (Status s = WriteOutputs(judged, job.outputs, run); !s) done.output_error = s.error();
  } catch (const std::exception& fault) {
    // One photo that trips over a fault of ours must not take the others with it.
    judged.report = {};
    judged.report.photo = job.photo.string();
    judged.report.error =
        Error{Code::kInternal, std::string("A fault in the program: ") + fault.what(),
              job.photo.string(), "Please report it, with the photo if you can."};
    if (Status s = WriteOutputs(judged, job.outputs, run); !s) done.output_error = s.error();
  }
  done.report = std::move(judged.report);
  return done;
}

// Hands results on in the order of the jobs.
class InOrder {
 public:
  explicit InOrder(const std::function<void(JudgeDone)>& done) : done_(done) {}

  void Give(JudgeDone result) {
    const std::lock_guard<std::mutex> lock(mutex_);
    waiting_.emplace(result.index, std::move(result));
    for (auto it = waiting_.find(next_); it != waiting_.end(); it = waiting_.find(next_)) {
      done_(std::move(it->second));
      waiting_.erase(it);
      ++next_;
    }
  }

 private:
  const std::function<void(JudgeDone)>& done_;
  std::mutex mutex_;
  std::map<std::size_t, JudgeDone> waiting_;
  std::size_t next_ = 0;
};

}  // namespace

Result<std::vector<JudgeJob>> JobsInFolder(std::span<const fs::path> photos,
                                           const fs::path& folder) {
  std::map<std::string, fs::path> stems;
  std::vector<JudgeJob> jobs;
  for (const fs::path& photo : photos) {
    const std::string stem = photo.stem().string();
    const auto [at, fresh] = stems.emplace(stem, photo);
    if (!fresh) {
      std::string message = "Two photos would write the same files: ";
      message.append(at->second.string()).append(" and ").append(photo.string()).append(".");
      return Fail(Code::kBadOption, message, photo.string(),
                  "Rename one, or judge them into different folders.");
    }
    JudgeJob job;
    job.photo = photo;
    job.outputs.json = folder / (stem + ".json");
    job.outputs.tissue = folder / (stem + ".tissue.png");
    job.outputs.overlay = folder / (stem + ".overlay.png");
    jobs.push_back(std::move(job));
  }
  return jobs;
}

Status CheckOutputs(std::span<const JudgeJob> jobs, const JudgeExtras& extras) {
  std::map<std::string, const char*> inputs;
  for (const JudgeJob& job : jobs) inputs.emplace(KeyOf(job.photo), "a photo");
  for (const fs::path& path : extras.inputs) inputs.emplace(KeyOf(path), "an input");
  std::set<std::string> outputs;
  for (const fs::path& path : AllOutputs(jobs, extras)) {
    if (!IsPlainTarget(path)) continue;  // a device or pipe takes anything
    const std::string key = KeyOf(path);
    if (const auto input = inputs.find(key); input != inputs.end()) {
      return Fail(Code::kBadOption,
                  std::string("An output would overwrite ").append(input->second).append("."),
                  path.string(), "Give another file or folder.");
    }
    if (!outputs.insert(key).second) {
      return Fail(Code::kBadOption, "Two outputs would be the same file.", path.string(),
                  "Give each output a file of its own.");
    }
  }
  return {};
}

Status CheckTargets(std::span<const JudgeJob> jobs, const JudgeExtras& extras) {
  for (const fs::path& path : AllOutputs(jobs, extras)) {
    std::error_code ignored;
    const fs::file_status status = fs::status(path, ignored);
    const auto refuse = [&](const char* why) {
      return Fail(Code::kOutputUnwritable, why, path.string(),
                  "Give a file in a folder that exists and that you may write to.");
    };
    if (fs::is_directory(status)) return refuse("The output is a folder.");
    if (fs::exists(status) && !fs::is_regular_file(status)) {
      if (::access(path.c_str(), W_OK) != 0) return refuse("The output cannot be written.");
      continue;
    }
    // A link's target is what is written (base/files.h), as when /dev/stdout leads to a file.
    const fs::path target =
        fs::is_symlink(path, ignored) ? fs::weakly_canonical(path, ignored) : path;
    const fs::path folder = target.has_parent_path() ? target.parent_path() : fs::path(".");
    if (!fs::is_directory(folder, ignored)) return refuse("The output's folder does not exist.");
    if (::access(folder.c_str(), W_OK | X_OK) != 0) {
      return refuse("The output's folder cannot be written.");
    }
  }
  return {};
}

void JudgeFiles(std::span<const JudgeJob> jobs, const JudgeRun& run, const MeasureFaces& measure,
                const std::function<void(JudgeDone)>& done) {
  const int cores = std::max(1, run.cores);
  const int workers = std::min(cores, static_cast<int>(std::min<std::size_t>(jobs.size(), 1024)));
  const int threads = workers > 1 ? 1 : cores;
  cv::setNumThreads(threads);
  InOrder in_order(done);
  std::atomic<std::size_t> next{0};
  std::mutex fault_mutex;
  std::exception_ptr fault;
  const auto work = [&] {
    try {
      for (std::size_t i = next++; i < jobs.size(); i = next++) {
        JudgeDone result = JudgeOne(jobs[i], run, measure, threads);
        result.index = i;
        in_order.Give(std::move(result));
      }
    } catch (...) {
      const std::lock_guard<std::mutex> lock(fault_mutex);
      fault = std::current_exception();
      next = jobs.size();
    }
  };
  std::vector<std::thread> threads_running;
  for (int i = 1; i < workers; ++i) threads_running.emplace_back(work);
  work();
  for (std::thread& thread : threads_running) thread.join();
  if (fault) std::rethrow_exception(fault);
}

}  // namespace ribwright::programme
