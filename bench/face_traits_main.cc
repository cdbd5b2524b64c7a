// SPDX-License-Identifier: Apache-2.0
// Traits of the largest face of each photo, as CSV, for training/fit_usable.py:
//   face_traits PHOTO...
// A photo without a face gives a line with its error's code and no numbers.
#include <fmt/format.h>

#include <cstdio>

#include "base/files.h"
#include "face/measure.h"
#include "programme/judge.h"

int main(int argc, char** argv) {
  using namespace ribwright;
  constexpr std::size_t kMostBytes = 64'000'000;
  fmt::print("photo,refusal");
  for (const auto name : face::kTraitNames) fmt::print(",{}", name);
  fmt::print("\n");
  for (int i = 1; i < argc; ++i) {
    const auto bytes = ReadFileLimited(argv[i], kMostBytes);
    if (!bytes) {
      fmt::print(stderr, "face_traits: {}\n", bytes.error().message);
      return 3;
    }
    std::optional<face::FaceTraits> traits;
    const auto judged = programme::JudgePhoto(*bytes, argv[i], {}, [&](const auto& request) {
      auto outcome = face::Measure(request);
      if (outcome && !outcome->traits.empty()) traits = outcome->traits.front();
      return outcome;
    });
    const auto& error = judged.report.error;
    fmt::print("{},{}", argv[i], error ? std::string(CodeText(error->code)) : std::string());
    if (traits) {
      for (const double t : *traits) fmt::print(",{:.6g}", t);
    }
    fmt::print("\n");
  }
  return 0;
}
