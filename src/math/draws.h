// SPDX-License-Identifier: Apache-2.0
// Draws by counter: the uniform number of (key, draw) depends on nothing else, so that any thread
// may make any draw in any order and two quantities with one key see the same luck (common random
// numbers).
//
// CounterUniform lies in (0, 1), 53 bits; it is the SplitMix64 sequence of `key` at place `draw`
// (Steele, Lea & Flood 2014). StreamKey turns a seed and a name into a key (FNV-1a, then mixed).
// Not for secrets. Thread-safe: pure functions.
#pragma once

#include <cstdint>
#include <string_view>

namespace ribwright::math {

inline constexpr std::uint64_t kGolden64 = 0x9e3779b97f4a7c15ULL;

constexpr std::uint64_t Mix64(std::uint64_t z) {
  z = (z ^ (z >> 30U)) * 0xbf58476d1ce4e5b9ULL;
  z = (z ^ (z >> 27U)) * 0x94d049bb133111ebULL;
  return z ^ (z >> 31U);
}

constexpr std::uint64_t StreamKey(std::uint64_t seed, std::string_view name) {
  std::uint64_t hash = 0xcbf29ce484222325ULL;
  for (const char c : name) {
    hash ^= static_cast<unsigned char>(c);
    hash *= 0x100000001b3ULL;
  }
  return Mix64(Mix64(seed + kGolden64) ^ hash);
}

constexpr double CounterUniform(std::uint64_t key, std::uint64_t draw) {
  const std::uint64_t bits = Mix64(key + (draw + 1U) * kGolden64) >> 11U;
  return (static_cast<double>(bits) + 0.5) * (1.0 / 9007199254740992.0);
}

}  // namespace ribwright::math
