// SPDX-License-Identifier: Apache-2.0
#include "cooking/guidance.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace ribwright::cooking {
namespace {

constexpr std::array<CoreLine, 4> kLines{{{63.0, 180.0}, {66.0, 60.0}, {68.0, 17.0}, {70.0, 0.0}}};

constexpr const char* kFoodCode = "food-code 3-401.11";

}  // namespace

Result<MeatCase> MeatCaseFromText(std::string_view text) {
  if (text == "intact") return MeatCase::kIntact;
  if (text == "tenderised" || text == "unknown") return MeatCase::kNotIntact;
  if (text == "ground") return MeatCase::kGround;
  return Fail(Code::kBadOption,
              fmt::format("'{}' is no kind of meat that guidance tells apart.", text), "meat",
              "Give intact, tenderised, ground or unknown (counts as tenderised).");
}

std::string_view MeatCaseText(MeatCase meat) {
  switch (meat) {
    case MeatCase::kIntact:
      return "intact";
    case MeatCase::kNotIntact:
      return "not intact";
    case MeatCase::kGround:
      return "ground";
  }
  return {};
}

std::span<const CoreLine> NotIntactLines() { return kLines; }

const CoreLine* LineMet(std::span<const TimedTemperature> coldest) {
  for (const CoreLine& line : kLines) {
    double since = -1.0;
    for (const auto& point : coldest) {
      if (point.t_c < line.t_c) {
        since = -1.0;
        continue;
      }
      if (since < 0.0) since = point.seconds;
      if (point.seconds - since >= line.seconds) return &line;
    }
  }
  return nullptr;
}

std::string AdvisoryText() {
  return "Disclosure: name the dish as served raw or undercooked, or mark it so. Reminder: say on "
         "the menu that eating raw or undercooked meat may raise the risk of foodborne illness.";
}

Result<std::vector<Caution>> Advise(const Serving& s, std::span<const TimedTemperature> coldest) {
  const CoreLine* met = LineMet(coldest);
  const bool cooked = met != nullptr;
  if (s.meat == MeatCase::kGround && !cooked) {
    return Fail(
        Code::kCookUnsafe,
        "Ground beef would stay under every line of the guidance: 63 \u00b0C for 3 minutes, "
        "66 \u00b0C for 1 minute, 68 \u00b0C for 17 seconds or 70 \u00b0C at its coldest point.",
        "target", "Aim at 70 \u00b0C or more.");
  }
  if (s.susceptible_guests && !cooked) {
    return Fail(Code::kCookUnsafe,
                "Undercooked beef is not for highly susceptible guests (the very young, the old, "
                "the pregnant, the ill).",
                "target", "Aim at 70 \u00b0C or more for them.");
  }
  std::vector<Caution> out;
  const auto add = [&out](std::string id, std::string text, std::string source) {
    out.push_back({std::move(id), std::move(text), std::move(source)});
  };
  if (s.meat == MeatCase::kIntact && !cooked) {
    const bool faces = std::min(s.face_a_peak_c, s.face_b_peak_c) >= kFaceLineC;
    add("undercooked_inside",
        "The inside stays undercooked. Guidance allows that for whole-muscle intact beef with "
        "papers that say so, both faces at 63 \u00b0C or more with a cooked colour all round, and "
        "not "
        "for highly susceptible guests.",
        kFoodCode);
    if (!faces) {
      add("faces_not_seared",
          "A face stays under 63 \u00b0C here: sear both faces, or serve on request with the "
          "advisory only.",
          kFoodCode);
    }
  }
  if (s.meat == MeatCase::kNotIntact) {
    if (cooked) {
      add("not_intact",
          "Tenderised, injected or of unknown handling: the inside counts as a surface. The plan "
          "meets one of the guidance's lines if the coldest point is where it is computed; check "
          "by probe.",
          kFoodCode);
    } else {
      add("not_intact_undercooked",
          "Tenderised, injected or of unknown handling: guidance asks 63 \u00b0C for 3 minutes, 66 "
          "\u00b0C for 1 minute, 68 \u00b0C for 17 seconds or 70 \u00b0C inside. This plan stays "
          "under: on a "
          "guest's own request with the advisory only.",
          kFoodCode);
    }
  }
  if (!cooked && s.meat != MeatCase::kIntact) {
    add("advisory", AdvisoryText(), "food-code 3-603.11");
  }
  if (s.bagged) {
    add("reduced_oxygen",
        "Vacuum bags in a water bath are reduced-oxygen packaging: many codes ask for a written "
        "plan or a variance.",
        "food-code 3-502.12 (memory)");
    if (s.bath_c < kTableStartC) {
      add("bath_below_table",
          s.bath_seconds > 4.0 * 3600.0
              ? "The bath is under 54.4 \u00b0C for over 4 hours: the published kill table gives "
                "no "
                "credit there and bacteria may grow. Shorten it or raise the bath."
              : "The bath is under 54.4 \u00b0C: the published kill table gives no credit there. "
                "Four "
                "hours are the most (baldwin2012).",
          "fsis-appendix-a; baldwin2012");
    }
  }
  const double credit = LogCredit(coldest);
  if (credit >= 1.0 && s.core_peak_c < 57.0) {
    add("low_end_of_table",
        "The published hold is met near the table's low end, where measured kills fell short of "
        "it; Listeria is tougher than the table's Salmonella.",
        "fsis-appendix-a; McMinn et al., Meat and Muscle Biology");
  }
  add("colour", "Colour does not prove temperature: probe the middle.",
      "Hunt, Sorheim & Slinde 1999");
  add("local_code", "The code adopted where you serve decides.", "food-code");
  return out;
}

std::vector<Caution> RawServiceCautions() {
  return {
      {"raw_on_request",
       "Raw beef (tartare, carpaccio) goes out on a guest's request with disclosure and "
       "reminder, never to highly susceptible guests, and ground raw beef is kept off a "
       "children's menu.",
       "food-code 3-401.11(D), 3-603.11; children's menu: memory"},
      {"raw_surface",
       "A national standard for raw beef asks that a sealed piece be heated to 60 \u00b0C for 2 "
       "minutes to 1 cm of depth, cooled to 4 \u00b0C or less and trimmed; 30 to 40 % is left.",
       "Japan, health ministry, standard of 1 October 2011"},
      {"raw_tapeworm",
       "Freezing at -9.4 \u00b0C or below for 10 days (carcass) or 20 days (boned boxes) is the "
       "rule "
       "for meat held for beef tapeworm; the fish rule does not apply.",
       "7 Pa. Code 1.163"},
      {"raw_practice",
       "Cut to order from a trimmed intact piece kept near 0 to 4 \u00b0C, own board and knife, "
       "nothing held over.",
       "common practice"},
      {"local_code", "The code adopted where you serve decides.", "food-code"}};
}

std::vector<std::string> CoolingFaults(std::span<const TimedTemperature> log) {
  std::vector<std::string> faults;
  // The clock starts when the food last was at 57 deg C.
  double start = log.empty() ? 0.0 : log.front().seconds;
  double below21 = -1.0, below5 = -1.0;
  for (const auto& point : log) {
    if (point.t_c >= 57.0) {
      start = point.seconds;
      below21 = below5 = -1.0;
    }
    if (point.t_c <= 21.0 && below21 < 0.0) below21 = point.seconds;
    if (point.t_c <= 5.0 && below5 < 0.0) below5 = point.seconds;
  }
  if (log.empty()) return {"There are no readings."};
  const double last = log.back().seconds;
  if ((below21 < 0.0 ? last : below21) - start > 2.0 * 3600.0) {
    faults.push_back("From 57 to 21 \u00b0C took over 2 hours.");
  } else if (below21 < 0.0) {
    faults.push_back("21 \u00b0C is not reached in this log.");
  }
  if ((below5 < 0.0 ? last : below5) - start > 6.0 * 3600.0) {
    faults.push_back("From 57 to 5 \u00b0C took over 6 hours.");
  } else if (below5 < 0.0) {
    faults.push_back("5 \u00b0C is not reached in this log.");
  }
  return faults;
}

std::vector<std::string> HoldingFaults(std::span<const TimedTemperature> log, bool hot) {
  std::vector<std::string> faults;
  for (const auto& point : log) {
    if (hot ? point.t_c < 57.0 : point.t_c > 5.0) {
      faults.push_back(fmt::format("{:.1f} \u00b0C after {:.0f} min: {} is asked.", point.t_c,
                                   point.seconds / 60.0,
                                   hot ? "57 \u00b0C or more" : "5 \u00b0C or less"));
    }
  }
  return faults;
}

}  // namespace ribwright::cooking
