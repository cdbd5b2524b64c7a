// SPDX-License-Identifier: Apache-2.0
// What a request must be before it is simulated, and the words of methods.
#include <fmt/format.h>

#include <cmath>

#include "cooking/cook_plan.h"

namespace ribwright::cooking {
namespace {

struct MethodRow {
  Method method;
  std::string_view text;
};
constexpr MethodRow kMethods[] = {{Method::kPan, "pan"},
                                  {Method::kGrill, "grill"},
                                  {Method::kOven, "oven"},
                                  {Method::kReverseSear, "reverse-sear"},
                                  {Method::kBathThenSear, "bath"}};

tl::unexpected<Error> Refuse(std::string message, std::string where, std::string mend) {
  return Fail(Code::kCookUnusable, std::move(message), std::move(where), std::move(mend));
}

Status CheckHardware(const Hardware& w, Method method, double target_c) {
  const auto positive = [](double x) { return std::isfinite(x) && x > 0.0 && x <= 5000.0; };
  for (const double h : {w.pan_h, w.grill_h, w.above_h, w.oven_h, w.bath_h, w.room_h}) {
    if (!positive(h)) {
      return Refuse("A heat transfer coefficient is not between 0 and 5000 W/(m2 K).", "equipment",
                    "Give the house's own, or leave it out.");
    }
  }
  const bool searing = method != Method::kOven && method != Method::kGrill;
  const bool oven = method == Method::kOven || method == Method::kReverseSear;
  struct Hot {
    bool used;
    double t_c;
    const char* name;
  };
  for (const Hot& hot :
       {Hot{searing, w.pan_c, "pan"}, Hot{method == Method::kGrill, w.grill_c, "grill"},
        Hot{oven, w.oven_c, "oven"}}) {
    if (!hot.used) continue;
    if (!(hot.t_c > target_c + 5.0)) {
      return Refuse(
          fmt::format("The {} at {:.0f} \u00b0C is not hot enough for a core of {:.1f} \u00b0C.",
                      hot.name, hot.t_c, target_c),
          hot.name, "Make it hotter, or lower the target.");
    }
    if (hot.t_c > 450.0) {
      return Refuse(
          fmt::format("The {} at {:.0f} \u00b0C is beyond what is worked out (450 \u00b0C).",
                      hot.name, hot.t_c),
          hot.name, "Give degrees Celsius; if that was Fahrenheit, convert it.");
    }
  }
  return {};
}

}  // namespace

Result<Method> MethodFromText(std::string_view text) {
  for (const MethodRow& row : kMethods) {
    if (row.text == text) return row.method;
  }
  return Fail(Code::kBadOption, fmt::format("'{}' is no way of cooking that is known.", text),
              "method", "Give pan, grill, oven, reverse-sear or bath.");
}

std::string_view MethodText(Method method) {
  return kMethods[static_cast<std::size_t>(method)].text;
}

Status CheckRequest(const CookRequest& r) {
  if (!(r.thickness_mm > 0.0)) {
    return Refuse("A steak has a thickness; 0 mm or less is none.", "thickness",
                  "Measure the piece at its thickest, in millimetres.");
  }
  if (!(r.thickness_mm >= 8.0 && r.thickness_mm <= 120.0)) {
    return Refuse(fmt::format("Plans are made for 8 to 120 mm, not {:.1f} mm.", r.thickness_mm),
                  "thickness",
                  r.thickness_mm < 8.0 ? "Give millimetres (1 in = 25.4 mm)."
                                       : "Cut the piece, or follow a probe.");
  }
  if (!(r.thickness_doubt_mm >= 0.0 && r.thickness_doubt_mm < 0.5 * r.thickness_mm)) {
    return Refuse("The doubt of the thickness is negative or half of it.", "thickness doubt",
                  "Give the millimetres by which it may be off.");
  }
  if (!(r.start_c >= -25.0 && r.start_c <= 30.0)) {
    return Refuse(
        fmt::format("The meat's start of {:.1f} \u00b0C is not between -25 and 30 \u00b0C.",
                    r.start_c),
        "start", "Give the temperature of its middle in degrees Celsius.");
  }
  if (r.start_c <= kFreezingC && !r.from_frozen) {
    return Refuse(fmt::format("At {:.1f} \u00b0C the piece is frozen; this plan is for fresh meat.",
                              r.start_c),
                  "start", "Thaw it first, or ask for a plan from frozen (--from-frozen).");
  }
  if (!(r.target_c >= 40.0 && r.target_c <= 90.0)) {
    return Refuse(
        fmt::format("A core of {:.1f} \u00b0C is outside 40 to 90 \u00b0C.", r.target_c), "target",
        r.target_c > 90.0 && r.target_c <= 200.0
            ? fmt::format("If that is Fahrenheit, it is {:.1f} \u00b0C.", (r.target_c - 32.0) / 1.8)
            : std::string("Give degrees Celsius."));
  }
  if (r.meat == MeatCase::kGround && r.target_c < 63.0) {
    return Fail(Code::kCookUnsafe,
                fmt::format("A core of {:.1f} \u00b0C is under the lowest line of the guidance for "
                            "ground beef (63 \u00b0C for 3 minutes).",
                            r.target_c),
                "target", "Aim at 70 \u00b0C or more.");
  }
  if (r.flips > 40 || r.flips < -1) {
    return Refuse("Between 0 and 40 flips can be planned.", "flips",
                  "Leave it out to have it chosen.");
  }
  if (!(r.sear_seconds >= 0.0 && r.sear_seconds <= 600.0)) {
    return Refuse("A sear lasts 0 to 600 seconds a side.", "sear", "Give seconds a side.");
  }
  if (!(r.pause_seconds >= 0.0 && r.pause_seconds <= 3600.0)) {
    return Refuse("A pause before the sear lasts 0 to 60 minutes.", "pause", "Give seconds.");
  }
  if (!(r.weight_g >= 0.0 && r.weight_g < 1e5)) {
    return Refuse("The weight is negative or over 100 kg.", "weight", "Give grams.");
  }
  return CheckHardware(r.hardware, r.method, r.target_c);
}

}  // namespace ribwright::cooking
