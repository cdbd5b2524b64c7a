// SPDX-License-Identifier: Apache-2.0
// The phantom rows of `bench/reach judge`; bench/reach starts it. Usage: --help.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <atomic>
#include <cstdio>
#include <mutex>
#include <thread>

#include "base/files.h"
#include "case_table.h"
#include "drawn_case.h"
#include "phantom_case.h"

namespace ribwright::bench {
namespace {

struct Settings {
  std::uint64_t first = 700000;
  int seeds = 300;
  int others = 0;  // 0: half of the seeds
  int jobs = 2;
  std::vector<std::string> sets = {"mixed", "easy", "hard"};
  std::filesystem::path binary = "build/release/ribwright";
  std::filesystem::path out = "build/reach";
  std::filesystem::path store = "build/reach_phantoms";
  bool no_ruler = false;
  bool no_values = false;
  bool keep = false;
};

// Results in order of seed, whatever the number of jobs.
Result<std::vector<CaseResult>> RunSet(const Settings& settings, phantom::Difficulty difficulty,
                                       const std::string& name) {
  CaseOptions options;
  options.binary = std::filesystem::absolute(settings.binary);
  options.store = StoreFor(settings.store);
  options.work = settings.out / "work";
  options.enter_ruler = !settings.no_ruler;
  options.enter_values = !settings.no_values;
  options.keep = settings.keep;
  std::filesystem::create_directories(options.work);

  const bool mixed = difficulty == phantom::Difficulty::kMixed;
  const auto others = static_cast<std::size_t>(
      std::min(settings.seeds, settings.others > 0 ? settings.others : (settings.seeds + 1) / 2));
  std::vector<CaseResult> results(mixed ? static_cast<std::size_t>(settings.seeds) : others);
  std::optional<Error> trouble;
  std::mutex mutex;
  std::atomic<std::size_t> next = 0;
  std::atomic<int> done = 0;
  const auto work = [&] {
    for (std::size_t i = next++; i < results.size(); i = next++) {
      CaseOptions own = options;
      own.also_bare = mixed && i < others;
      auto result = RunCase(settings.first + i, difficulty, own);
      const std::lock_guard lock(mutex);
      if (!result) {
        if (!trouble) trouble = result.error();
        next = results.size();
        return;
      }
      results[i] = std::move(*result);
      const int count = ++done;
      if (count % 10 == 0) fmt::print(stderr, "{}: {} of {}\n", name, count, results.size());
    }
  };
  std::vector<std::thread> threads;
  for (int i = 0; i < settings.jobs; ++i) threads.emplace_back(work);
  for (auto& thread : threads) thread.join();
  if (trouble) return Fail(*trouble);
  return results;
}

int Run(const Settings& settings) {
  std::vector<Row> rows;
  const auto print = [&](const std::vector<Row>& more) {
    for (const Row& row : more) fmt::print("{}\n", Line(row));
    std::fflush(stdout);
    rows.insert(rows.end(), more.begin(), more.end());
  };
  std::filesystem::create_directories(settings.out);
  for (const std::string& set : settings.sets) {
    const auto difficulty = *phantom::DifficultyFromText(set);
    const auto cases = RunSet(settings, difficulty, set);
    if (!cases) {
      fmt::print(stderr, "reach_judge: {} ({}) {}\n", cases.error().message, cases.error().where,
                 cases.error().mend);
      return 3;
    }
    const auto csv = settings.out / fmt::format("judge_{}.csv", set);
    if (auto s = WriteFileAtomically(csv, CasesAsCsv(*cases)); !s) {
      fmt::print(stderr, "reach_judge: {}\n", s.error().message);
      return 3;
    }
    if (difficulty == phantom::Difficulty::kMixed) {
      print(AccuracyRows(*cases, !settings.no_values));
    }
    print(IntervalRows(set, *cases));
    if (difficulty == phantom::Difficulty::kMixed) print(BareRows(*cases));
  }
  return ExitCode(rows);
}

}  // namespace
}  // namespace ribwright::bench

int main(int argc, char** argv) {
  ribwright::bench::Settings settings;
  CLI::App app("Phantom rows of bench/reach judge. Each case's numbers go to OUT/judge_SET.csv.");
  app.add_option("--first", settings.first, "first seed")->capture_default_str();
  app.add_option("--seeds", settings.seeds, "how many seeds")
      ->capture_default_str()
      ->check(CLI::Range(1, 100000));
  app.add_option("--others", settings.others,
                 "seeds of easy and hard, and of mixed with nothing entered (default: half)")
      ->check(CLI::Range(1, 100000));
  app.add_option("--jobs", settings.jobs, "photos at a time")
      ->capture_default_str()
      ->check(CLI::Range(1, 64));
  app.add_option("--sets", settings.sets, "of mixed, easy, hard")
      ->delimiter(',')
      ->check(CLI::IsMember({"mixed", "easy", "hard"}));
  app.add_option("--binary", settings.binary, "the program")->capture_default_str();
  app.add_option("--out", settings.out, "folder for tables")->capture_default_str();
  app.add_option("--store", settings.store, "folder that keeps the phantoms of this renderer")
      ->capture_default_str();
  app.add_flag("--no-ruler", settings.no_ruler, "do not enter the printed ruler's length");
  app.add_flag("--no-values", settings.no_values, "do not enter the patches' values");
  app.add_flag("--keep", settings.keep, "leave the program's JSON in OUT/work");
  CLI11_PARSE(app, argc, argv);
  // Seeds from 900000 on are kept unseen.
  if (settings.first + static_cast<std::uint64_t>(settings.seeds) > 900000) {
    fmt::print(stderr, "reach_judge: seeds from 900000 on are never used\n");
    return 2;
  }
  return ribwright::bench::Run(settings);
}
