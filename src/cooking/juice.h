// SPDX-License-Identifier: Apache-2.0
// What heat does to a spot of meat: juice let go, and the red pigment lost.
//
// Juice: the share (of raw weight) that a spot gives up in the end is 0.32 / (1 + exp((60 - T)/6)),
// approached with a time constant of 5 minutes; lean only, scaled by water / 0.72. Chosen (assumed)
// so that an evenly heated piece loses 16 % at 60 and 30 % at 77 deg C, within the recalled
// 15 to 20 and 27 to 33 % (common practice); loss runs fastest between 50 and 70 deg C. Doubt: a
// third. Juice that has left is not taken back while resting.
//
// Myoglobin: first order, rate = 7.98e43 exp(-290000 / (8.314 T_K)) per minute (geileskey1998 by
// way of a thesis; beef chuck, longissimus about twice as fast). Half of it gone after 26 min at 60
// and 1.2 min at 70 deg C; grey here is 93 % gone, what that thesis calls well done. Colour never
// proves temperature. Pure functions; thread-safe.
#pragma once

#include <cmath>

namespace ribwright::cooking {

inline constexpr double kJuiceSeconds = 300.0;  // assumed
inline constexpr double kGreyShare = 0.93;      // geileskey1998
inline constexpr double kJuiceDoubt = 0.33;     // relative half width of a 90 % interval, assumed

inline double JuiceInTheEnd(double t_c, double water) {
  return 0.32 * (water / 0.72) / (1.0 + std::exp((60.0 - t_c) / 6.0));
}

// Per second.
inline double MyoglobinRate(double t_c) {
  return 7.98e43 / 60.0 * std::exp(-290000.0 / (8.314 * (t_c + 273.15)));
}

}  // namespace ribwright::cooking
