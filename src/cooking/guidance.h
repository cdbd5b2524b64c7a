// SPDX-License-Identifier: Apache-2.0
// What public guidance says about a cook: lines to reach, and cautions to print. Never a verdict
// that meat is safe; the code that the house's authority has adopted decides.
//
// Cases (food-code 3-401.11): intact whole-muscle beef, whose inside may stay undercooked where
// both faces are seared to 63 deg C; mechanically tenderised, injected or of unknown handling
// (counts as not intact); ground. For the last two one of these lines at the coldest point:
//   63 deg C 3 min, 66 deg C 1 min, 68 deg C 17 s, 70 deg C at once.
// Each caution names where it comes from. Thread-safe.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "cooking/lethality.h"

namespace ribwright::cooking {

enum class MeatCase { kIntact, kNotIntact, kGround };
Result<MeatCase> MeatCaseFromText(std::string_view text);  // intact tenderised unknown ground
std::string_view MeatCaseText(MeatCase meat);

inline constexpr double kFaceLineC = 63.0;
struct CoreLine {
  double t_c;
  double seconds;
};
std::span<const CoreLine> NotIntactLines();  // coldest first

// The line that the coldest point's record meets, or nullptr.
const CoreLine* LineMet(std::span<const TimedTemperature> coldest);

struct Serving {
  MeatCase meat = MeatCase::kIntact;
  bool susceptible_guests = false;
  bool bagged = false;  // vacuum bag in a water bath
  double bath_c = 0.0;
  double bath_seconds = 0.0;
  double face_a_peak_c = 0.0;
  double face_b_peak_c = 0.0;
  double core_peak_c = 0.0;
};

struct Caution {
  std::string id;    // stable, e.g. "undercooked_inside"
  std::string text;  // one or two sentences
  std::string source;
};

// kCookUnsafe where ground meat would stay under every line, or an undercooked piece would go to
// highly susceptible guests.
Result<std::vector<Caution>> Advise(const Serving& serving,
                                    std::span<const TimedTemperature> coldest);

// The two parts of a menu's advisory.
std::string AdvisoryText();
// Raw service (tartare, carpaccio): what guidance asks.
std::vector<Caution> RawServiceCautions();

// Cooling and holding against food-code 3-501.14/16: faults of a log of the warmest point, empty
// where it keeps to them (57 to 21 deg C within 2 h, to 5 deg C within 6 h).
std::vector<std::string> CoolingFaults(std::span<const TimedTemperature> log);
// Hot holding at 57 deg C or more, cold at 5 deg C or less.
std::vector<std::string> HoldingFaults(std::span<const TimedTemperature> log, bool hot);

}  // namespace ribwright::cooking
