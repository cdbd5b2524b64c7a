// SPDX-License-Identifier: Apache-2.0
// Rng: a small seeded generator (PCG32, O'Neill 2014, pcg-random.org; constants from the public
// reference) whose stream is the same on every compiler, unlike the standard distributions.
//
// Fork(tag) gives an independent stream that depends only on (seed, tag), so that parts drawn in
// any order or thread give the same numbers. Not for secrets.
#pragma once

#include <cmath>
#include <cstdint>

namespace ribwright::math {

class Rng {
 public:
  explicit Rng(std::uint64_t seed, std::uint64_t stream = 0x9e3779b97f4a7c15ULL)
      : seed_(seed), increment_((stream << 1U) | 1U) {
    state_ = 0U;
    Next();
    state_ += Mix(seed);
    Next();
  }

  std::uint32_t Next() {
    const std::uint64_t old = state_;
    state_ = old * 6364136223846793005ULL + increment_;
    const auto xorshifted = static_cast<std::uint32_t>(((old >> 18U) ^ old) >> 27U);
    const auto rot = static_cast<std::uint32_t>(old >> 59U);
    return (xorshifted >> rot) | (xorshifted << ((32U - rot) & 31U));
  }

  // [0, 1)
  double Uniform() { return Next() * (1.0 / 4294967296.0); }
  double Uniform(double low, double high) { return low + (high - low) * Uniform(); }
  // 0 .. n-1, n >= 1
  std::uint32_t Below(std::uint32_t n) {
    return static_cast<std::uint32_t>((std::uint64_t{Next()} * n) >> 32U);
  }
  bool Chance(double p) { return Uniform() < p; }
  // Standard normal, Box-Muller without a kept half so that streams stay aligned.
  double Normal() {
    const double u = 1.0 - Uniform();
    const double v = Uniform();
    return std::sqrt(-2.0 * std::log(u)) * std::cos(6.283185307179586 * v);
  }
  double Normal(double mean, double sd) { return mean + sd * Normal(); }

  Rng Fork(std::uint64_t tag) const {
    return Rng(Mix(seed_ ^ Mix(tag + 0x51ed270b27b4f3cfULL)), tag);
  }

 private:
  // SplitMix64 finaliser (Steele, Lea & Flood 2014).
  static std::uint64_t Mix(std::uint64_t z) {
    z += 0x9e3779b97f4a7c15ULL;
    z = (z ^ (z >> 30U)) * 0xbf58476d1ce4e5b9ULL;
    z = (z ^ (z >> 27U)) * 0x94d049bb133111ebULL;
    return z ^ (z >> 31U);
  }
  std::uint64_t seed_;
  std::uint64_t increment_;
  std::uint64_t state_ = 0;
};

}  // namespace ribwright::math
