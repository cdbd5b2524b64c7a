// SPDX-License-Identifier: Apache-2.0
// What bench/reach_speed.py needs from within: `photo FILE` writes a phantom photo of 12
// megapixels, `decode FILE` prints the least seconds of nine decodes.
#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <string_view>

#include "base/files.h"
#include "phantom/render.h"
#include "photo/decode.h"

namespace ribwright::bench {
namespace {

constexpr double kPixels = 12e6;
constexpr std::uint64_t kSeed = 100001;
constexpr std::size_t kMostBytes = 64'000'000;

int Fault(const Error& error) {
  fmt::print(stderr, "reach_speed: {} ({})\n", error.message, error.where);
  return 3;
}

int WritePhoto(const char* path) {
  phantom::Recipe recipe = phantom::DrawRecipe(kSeed, {.cut = phantom::Cut::kRib,
                                                       .difficulty = phantom::Difficulty::kEasy,
                                                       .card = true,
                                                       .wide = false});
  recipe.pieces = 1;
  for (int round = 0; round < 6; ++round) {
    const auto drawn = phantom::Render(recipe);
    if (!drawn) return Fault(drawn.error());
    const double share = static_cast<double>(drawn->rgb.total()) / kPixels;
    if (std::abs(share - 1.0) < 0.02) {
      const auto status = WriteFileAtomically(path, drawn->jpeg);
      return status ? 0 : Fault(status.error());
    }
    recipe.px_per_mm /= std::sqrt(share);
  }
  fmt::print(stderr, "reach_speed: no scale gives 12 megapixels\n");
  return 3;
}

int TimeDecode(const char* path) {
  const auto bytes = ReadFileLimited(path, kMostBytes);
  if (!bytes) return Fault(bytes.error());
  double least = INFINITY;
  for (int i = 0; i < 9; ++i) {
    const auto from = std::chrono::steady_clock::now();
    const auto decoded = photo::DecodePhoto(*bytes, path);
    const std::chrono::duration<double> took = std::chrono::steady_clock::now() - from;
    if (!decoded) return Fault(decoded.error());
    least = std::min(least, took.count());
  }
  fmt::print("{:.6f}\n", least);
  return 0;
}

}  // namespace
}  // namespace ribwright::bench

int main(int argc, char** argv) {
  const std::string_view what = argc == 3 ? argv[1] : "";
  if (what == "photo") return ribwright::bench::WritePhoto(argv[2]);
  if (what == "decode") return ribwright::bench::TimeDecode(argv[2]);
  fmt::print(stderr, "usage: reach_speed photo FILE | decode FILE\n");
  return 2;
}
