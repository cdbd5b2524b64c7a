// SPDX-License-Identifier: Apache-2.0
#include "programme/judge_files.h"

#include <gtest/gtest.h>

#include <atomic>
#include <chrono>
#include <fstream>
#include <thread>

#include "base/files.h"
#include "photo/encode.h"
#include "programme/test_scene.h"
#include "report/json.h"

namespace ribwright::programme {
namespace {

namespace fs = std::filesystem;

class JudgeFilesTest : public ::testing::Test {
 protected:
  void SetUp() override {
    const auto* info = ::testing::UnitTest::GetInstance()->current_test_info();
    folder_ = fs::path(RIBWRIGHT_BINARY_DIR) / "test_files" / info->name();
    fs::remove_all(folder_);
    fs::create_directories(folder_);
    scene_ = MakeTestScene(120, 90);
  }
  void TearDown() override { fs::remove_all(folder_); }

  fs::path AddPhoto(const std::string& name) {
    const fs::path path = folder_ / name;
    EXPECT_TRUE(WriteFileAtomically(path, *photo::EncodePng(scene_.rgb)).has_value());
    return path;
  }
  MeasureFaces StandIn() const {
    return [this](const face::Request&) -> Result<face::Outcome> {
      face::Outcome outcome;
      outcome.method = {"classical", "stand-in"};
      outcome.faces = scene_.report.faces;
      outcome.tissue = scene_.tissue;
      return outcome;
    };
  }
  report::PhotoReport Read(const fs::path& path) {
    const auto bytes = ReadFileLimited(path, 10'000'000);
    EXPECT_TRUE(bytes.has_value()) << path;
    const auto r = report::FromJson({reinterpret_cast<const char*>(bytes->data()), bytes->size()});
    EXPECT_TRUE(r.has_value());
    return *r;
  }

  fs::path folder_;
  TestScene scene_;
};

TEST_F(JudgeFilesTest, EveryPhotoGetsItsFilesAndABadOneDoesNotStopTheRest) {
  const std::vector<fs::path> photos = {AddPhoto("a.png"), folder_ / "gone.png", AddPhoto("c.png")};
  auto jobs = JobsInFolder(photos, folder_ / "out");
  ASSERT_TRUE(jobs.has_value());
  fs::create_directories(folder_ / "out");
  ASSERT_TRUE(WriteFileAtomically(folder_ / "out/gone.overlay.png", "an older run's").has_value());
  std::vector<std::size_t> order;
  JudgeFiles(*jobs, {}, StandIn(), [&](JudgeDone done) { order.push_back(done.index); });
  EXPECT_EQ(order, (std::vector<std::size_t>{0, 1, 2}));
  for (const char* name : {"a", "c"}) {
    const fs::path stem = folder_ / "out" / name;
    EXPECT_FALSE(Read(stem.string() + ".json").error.has_value());
    EXPECT_TRUE(fs::exists(stem.string() + ".tissue.png"));
    EXPECT_TRUE(fs::exists(stem.string() + ".overlay.png"));
  }
  const report::PhotoReport gone = Read(folder_ / "out/gone.json");
  ASSERT_TRUE(gone.error.has_value());
  EXPECT_EQ(gone.error->code, Code::kFileUnreadable);
  EXPECT_FALSE(fs::exists(folder_ / "out/gone.overlay.png"));
  EXPECT_EQ(std::distance(fs::directory_iterator(folder_ / "out"), fs::directory_iterator()), 7);
}

TEST_F(JudgeFilesTest, PhotosOfOneStemAreRefusedBeforeAnyWork) {
  const std::vector<fs::path> photos = {"x/a.jpg", "y/a.png"};
  const auto jobs = JobsInFolder(photos, folder_);
  ASSERT_FALSE(jobs.has_value());
  EXPECT_EQ(jobs.error().code, Code::kBadOption);
  EXPECT_EQ(jobs.error().where, "y/a.png");
}

TEST_F(JudgeFilesTest, AnOutputNeverOverwritesAPhotoOrAnotherOutput) {
  JudgeJob job;
  job.photo = AddPhoto("a.png");
  job.outputs.overlay = folder_ / "../" / folder_.filename() / "a.png";
  EXPECT_FALSE(CheckOutputs(std::vector<JudgeJob>{job}).has_value());
  job.outputs.overlay = folder_ / "b.png";
  EXPECT_TRUE(CheckOutputs(std::vector<JudgeJob>{job}).has_value());
  job.outputs.tissue = folder_ / "b.png";
  EXPECT_FALSE(CheckOutputs(std::vector<JudgeJob>{job}).has_value());
}

TEST_F(JudgeFilesTest, WhatIsWrittenForAllPhotosOverwritesNothingEither) {
  const std::vector<JudgeJob> jobs = {{folder_ / "a.png", {}}, {folder_ / "b.png", {}}};
  EXPECT_TRUE(CheckOutputs(jobs, {{folder_ / "all.json"}, {}}).has_value());
  const Status photo = CheckOutputs(jobs, {{folder_ / "x" / ".." / "b.png"}, {}});
  ASSERT_FALSE(photo.has_value());
  EXPECT_EQ(photo.error().code, Code::kBadOption);
  EXPECT_FALSE(CheckOutputs(jobs, {{folder_ / "e.json"}, {folder_ / "e.json"}}).has_value());
  EXPECT_FALSE(CheckOutputs(jobs, {{folder_ / "e.json", folder_ / "e.json"}, {}}).has_value());
}

TEST_F(JudgeFilesTest, ATargetThatCannotBeIsToldBeforeJudging) {
  const std::vector<JudgeJob> jobs = {{folder_ / "a.png", {}}};
  EXPECT_TRUE(CheckTargets(jobs, {{folder_ / "all.json", "/dev/null"}, {}}).has_value());
  const Status missing = CheckTargets(jobs, {{folder_ / "none" / "all.json"}, {}});
  ASSERT_FALSE(missing.has_value());
  EXPECT_EQ(missing.error().code, Code::kOutputUnwritable);
  EXPECT_FALSE(CheckTargets(jobs, {{folder_}, {}}).has_value());
}

TEST_F(JudgeFilesTest, AnOutputThatCannotBeWrittenIsToldAndLeavesNothing) {
  JudgeJob job;
  job.photo = AddPhoto("a.png");
  job.outputs.json = folder_ / "no_such_folder" / "a.json";
  JudgeFiles(std::vector<JudgeJob>{job}, {}, StandIn(), [&](JudgeDone done) {
    ASSERT_TRUE(done.output_error.has_value());
    EXPECT_EQ(done.output_error->code, Code::kOutputUnwritable);
  });
  EXPECT_FALSE(fs::exists(folder_ / "no_such_folder"));
}

TEST_F(JudgeFilesTest, AFaultOfOursInOnePhotoIsReportedAndTheRestGoOn) {
  const std::vector<fs::path> photos = {AddPhoto("a.png"), AddPhoto("b.png")};
  auto jobs = JobsInFolder(photos, folder_ / "out");
  fs::create_directories(folder_ / "out");
  std::atomic<int> calls{0};
  const MeasureFaces stand_in = StandIn();
  JudgeRun run;
  run.cores = 1;
  std::vector<report::PhotoReport> reports;
  JudgeFiles(
      *jobs, run,
      [&](const face::Request& request) -> Result<face::Outcome> {
        if (calls++ == 0) throw std::runtime_error("broken");
        return stand_in(request);
      },
      [&](JudgeDone done) { reports.push_back(std::move(done.report)); });
  ASSERT_EQ(reports.size(), 2U);
  EXPECT_EQ(reports[0].error->code, Code::kInternal);
  EXPECT_FALSE(reports[1].error.has_value());
}

TEST_F(JudgeFilesTest, NoMorePhotosAreInWorkThanThereAreCores) {
  std::vector<JudgeJob> jobs;
  for (int i = 0; i < 12; ++i) {
    JudgeJob job;
    job.photo = AddPhoto(std::to_string(i) + ".png");
    jobs.push_back(job);
  }
  std::atomic<int> now{0};
  std::atomic<int> most{0};
  const MeasureFaces stand_in = StandIn();
  std::vector<std::size_t> order;
  JudgeFiles(
      jobs, {},
      [&](const face::Request& request) {
        const int here = ++now;
        int seen = most;
        while (here > seen && !most.compare_exchange_weak(seen, here)) {
        }
        std::this_thread::sleep_for(std::chrono::milliseconds(3));
        auto outcome = stand_in(request);
        --now;
        return outcome;
      },
      [&](JudgeDone done) { order.push_back(done.index); });
  EXPECT_EQ(most, 2);
  ASSERT_EQ(order.size(), 12U);
  EXPECT_TRUE(std::is_sorted(order.begin(), order.end()));
}

}  // namespace
}  // namespace ribwright::programme
