// SPDX-License-Identifier: Apache-2.0
// The refusal rows of bench/reach: photos that nobody should judge, and good ones. Usage: --help.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <array>
#include <atomic>
#include <cstdio>
#include <mutex>
#include <thread>

#include "base/files.h"
#include "drawn_case.h"
#include "phantom/render.h"
#include "reach_rows.h"
#include "run_judge.h"

namespace ribwright::bench {
namespace {

using phantom::Altered;
constexpr std::array kKinds{Altered::kNone,  Altered::kCooked,    Altered::kGround,
                            Altered::kEmpty, Altered::kUnfocused, Altered::kFilm};

struct Settings {
  std::uint64_t first = 700000;
  int seeds = 50;
  int jobs = 2;
  std::filesystem::path binary = "build/release/ribwright";
  std::filesystem::path out = "build/reach";
  std::filesystem::path store = "build/reach_phantoms";
};

// The photo of one seed and kind, drawn where it is not kept.
Result<std::filesystem::path> PhotoOf(std::uint64_t seed, Altered kind,
                                      const std::filesystem::path& folder) {
  if (kind == Altered::kNone) {
    const auto drawn = EnsureDrawn(seed, phantom::Difficulty::kMixed, folder);
    if (!drawn) return Fail(drawn.error());
    return drawn->photo;
  }
  const auto path = folder / fmt::format("{}_{}.jpg", seed, phantom::AlteredText(kind));
  if (std::filesystem::exists(path)) return path;
  phantom::RecipeOptions options;
  options.altered = kind;
  const auto drawn = phantom::Render(phantom::DrawRecipe(seed, options));
  if (!drawn) return Fail(drawn.error());
  if (const auto s = WriteFileAtomically(path, drawn->jpeg); !s) return Fail(s.error());
  return path;
}

int Run(const Settings& settings) {
  const auto folder = StoreFor(settings.store);
  const auto work = settings.out / "work";
  std::filesystem::create_directories(work);
  const auto binary = std::filesystem::absolute(settings.binary);
  const int cases = settings.seeds * static_cast<int>(kKinds.size());
  std::vector<char> told(static_cast<std::size_t>(cases));
  std::optional<Error> trouble;
  std::mutex mutex;
  std::atomic<int> next = 0;
  const auto labour = [&] {
    for (int i = next++; i < cases; i = next++) {
      const Altered kind = kKinds[static_cast<std::size_t>(i / settings.seeds)];
      const std::uint64_t seed = settings.first + static_cast<std::uint64_t>(i % settings.seeds);
      const auto photo = PhotoOf(seed, kind, folder);
      const auto json = work / fmt::format("{}_{}.json", seed, phantom::AlteredText(kind));
      const auto report = photo ? RunJudge(binary, *photo, {}, json, false) : Fail(photo.error());
      if (!report) {
        const std::lock_guard lock(mutex);
        trouble = report.error();
        next = cases;
        return;
      }
      told[static_cast<std::size_t>(i)] = RefusedOrWarned(*report) ? 1 : 0;
    }
  };
  std::vector<std::thread> threads;
  for (int i = 0; i < settings.jobs; ++i) threads.emplace_back(labour);
  for (auto& thread : threads) thread.join();
  if (trouble) {
    fmt::print(stderr, "reach_refusals: {} ({})\n", trouble->message, trouble->where);
    return 3;
  }
  std::vector<Row> rows;
  for (std::size_t k = 0; k < kKinds.size(); ++k) {
    int count = 0;
    for (int i = 0; i < settings.seeds; ++i) {
      count += told[k * static_cast<std::size_t>(settings.seeds) + static_cast<std::size_t>(i)];
    }
    const double share = 100.0 * count / settings.seeds;
    const std::string note = fmt::format("n {}", settings.seeds);
    if (kKinds[k] == Altered::kNone) {
      rows.push_back(AtMost("good photos refused or warned of", share, 2.0, "%", 1, note));
    } else {
      rows.push_back(AtLeast(
          fmt::format("unusable photos refused or warned of: {}", phantom::AlteredText(kKinds[k])),
          share, 95.0, "%", 1, note));
    }
  }
  for (const Row& row : rows) fmt::print("{}\n", Line(row));
  return ExitCode(rows);
}

}  // namespace
}  // namespace ribwright::bench

int main(int argc, char** argv) {
  ribwright::bench::Settings settings;
  CLI::App app("Photos that should be refused or warned of, and good ones that should not.");
  app.add_option("--first", settings.first, "first seed")->capture_default_str();
  app.add_option("--seeds", settings.seeds, "seeds of each kind")
      ->capture_default_str()
      ->check(CLI::Range(1, 10000));
  app.add_option("--jobs", settings.jobs, "photos at a time")
      ->capture_default_str()
      ->check(CLI::Range(1, 64));
  app.add_option("--binary", settings.binary, "the program")->capture_default_str();
  app.add_option("--out", settings.out, "folder for what it writes")->capture_default_str();
  app.add_option("--store", settings.store, "folder that keeps the phantoms of this renderer")
      ->capture_default_str();
  CLI11_PARSE(app, argc, argv);
  if (settings.first + static_cast<std::uint64_t>(settings.seeds) > 900000) {
    fmt::print(stderr, "reach_refusals: seeds from 900000 on are never used\n");
    return 2;
  }
  return ribwright::bench::Run(settings);
}
