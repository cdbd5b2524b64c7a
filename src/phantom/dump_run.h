// SPDX-License-Identifier: Apache-2.0
// What the tools that draw training data share: batches of seeds side by side, one thread a batch.
#pragma once

#include <malloc.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <atomic>
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <opencv2/core.hpp>
#include <thread>
#include <vector>

namespace ribwright::phantom {

struct DumpRun {
  std::uint64_t first = 0;
  std::uint64_t count = 1;
  int threads = 1;
  int batch = 32;  // seeds a file
  std::filesystem::path out;
};

inline bool WriteBytes(const std::filesystem::path& path, const std::vector<std::uint8_t>& bytes) {
  std::ofstream file(path, std::ios::binary);
  file.write(reinterpret_cast<const char*>(bytes.data()),
             static_cast<std::streamsize>(bytes.size()));
  return file.good();
}

inline void AddDumpOptions(CLI::App& app, DumpRun& run) {
  app.add_option("--out", run.out, "folder of the files")->required();
  app.add_option("--first", run.first, "first seed")->capture_default_str();
  app.add_option("--count", run.count, "seeds")->capture_default_str();
  app.add_option("--threads", run.threads)->check(CLI::Range(1, 512))->capture_default_str();
  app.add_option("--batch", run.batch, "seeds a file")
      ->check(CLI::Range(1, 1 << 20))
      ->capture_default_str();
}

// batch(first, end) draws seeds first..end-1 and returns whether all was written; true where all
// were.
template <typename Batch>
bool RunBatches(const DumpRun& run, Batch batch) {
  cv::setNumThreads(1);  // whole seeds run side by side instead
#ifdef __GLIBC__
  // Large pictures come and go; handing their memory back each time costs a fifth of the run.
  mallopt(M_MMAP_THRESHOLD, 1 << 30);
  mallopt(M_TRIM_THRESHOLD, 1 << 30);
#endif
  std::filesystem::create_directories(run.out);
  const auto size = static_cast<std::uint64_t>(run.batch);
  std::atomic<std::uint64_t> next{run.first};
  std::atomic<bool> good{true};
  std::vector<std::thread> workers;
  for (int i = 0; i < run.threads; ++i) {
    workers.emplace_back([&] {
      for (;;) {
        const std::uint64_t first = next.fetch_add(size);
        if (first >= run.first + run.count) return;
        if (!batch(first, std::min(first + size, run.first + run.count))) good = false;
      }
    });
  }
  for (std::thread& worker : workers) worker.join();
  return good;
}

}  // namespace ribwright::phantom
