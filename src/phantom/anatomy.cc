// SPDX-License-Identifier: Apache-2.0
#include "phantom/anatomy.h"

#include <algorithm>
#include <cmath>

#include "math/rng.h"
#include "phantom/curves.h"

namespace ribwright::phantom {
namespace {

using math::Rng;
using report::MuscleName;
constexpr double kPi = 3.14159265358979323846;
const cv::Point2d kOrigin{0, 0};

// A smooth positive wobble along u = 0..1.
struct Wobble {
  double a, b, pa, pb;
  explicit Wobble(Rng& rng, double size)
      : a(size * rng.Normal()),
        b(0.6 * size * rng.Normal()),
        pa(rng.Uniform(0, 6.28)),
        pb(rng.Uniform(0, 6.28)) {}
  double operator()(double u) const {
    return std::max(0.2, 1.0 + a * std::sin(5.0 * u + pa) + b * std::sin(11.0 * u + pb));
  }
};

double Bump(double x, double middle, double width) {
  const double d = (x - middle) / width;
  return std::exp(-0.5 * d * d);
}

// Angles are compared on the circle, -180..180.
double Turn(double degrees) { return std::remainder(degrees, 360.0); }

// Cover by direction: `dorsal` on the upper side, fading to `far` at the tail and `near` at the
// chine, `ventral` below.
void SetMargins(Plan& plan, Rng& rng, double dorsal, double far, double near, double ventral) {
  const Wobble wobble(rng, 0.22);
  for (int i = 0; i < Plan::kDirections; ++i) {
    const double angle = Turn(360.0 * i / Plan::kDirections);
    const double up = Bump(angle, 85, 45);
    const double tail = Bump(angle, -5, 38);
    const double chine = std::max(Bump(angle, 180, 30), Bump(angle, -180, 30));
    const double down = Bump(angle, -95, 38);
    const double sum = up + tail + chine + down;
    const double mean = (up * dorsal + tail * far + chine * near + down * ventral) / sum;
    plan.margin_mm[static_cast<std::size_t>(i)] = mean * wobble((angle + 180.0) / 360.0);
  }
}

// The straight cut that frees the face of ribs (below) or of the chine (left); `keep` of the eye's
// extent.
void AddKnife(Plan& plan, double angle_deg, double distance) {
  const cv::Point2d n = AtAngle(kOrigin, 1.0, angle_deg);
  plan.knife.push_back({n, distance});
}

Oval EyeOfRib(int rib, Rng& rng) {
  const double t = (rib - 6) / 6.0;
  const double area_cm2 =
      std::clamp((63.0 + 24.0 * t) * std::exp(rng.Normal(0, 0.10)), 55.0, 118.0);
  const double ratio = std::clamp(0.78 - 0.20 * t + rng.Normal(0, 0.04), 0.5, 0.9);
  Oval eye;
  eye.semi_long = std::sqrt(area_cm2 * 100.0 / (kPi * ratio * 1.03));
  eye.semi_short = ratio * eye.semi_long;
  eye.turn_deg = rng.Uniform(-12, 12);
  eye.squareness = rng.Uniform(2.0, 2.5);
  eye.irregular = 0.045;
  return eye;
}

void AddBone(Plan& plan, const MmRing& eye, Rng& rng) {
  // A rib along the lower side, sometimes with the chine's block at the left end.
  const double thick = rng.Uniform(9, 14);
  const double gap = rng.Uniform(1.5, 7);
  const double from = rng.Uniform(-165, -145);
  const double to = rng.Uniform(-75, -50);
  plan.bones.push_back(Band(
      eye, kOrigin, from, to, [=](double) { return gap; },
      [=](double u) {
        return gap + thick * std::sqrt(std::max(0.0, 1 - std::pow(2 * u - 1, 8)));
      }));
  if (rng.Chance(0.5)) {
    Oval chine;
    const double angle = rng.Uniform(185, 205);
    chine.centre = AtAngle(kOrigin, RadiusAt(eye, kOrigin, angle) + rng.Uniform(14, 20), angle);
    chine.semi_long = rng.Uniform(14, 20);
    chine.semi_short = rng.Uniform(9, 13);
    chine.turn_deg = angle + 90;
    chine.squareness = 3;
    plan.bones.push_back(OvalRing(chine, rng));
  }
}

MuscleShape OvalMuscle(MuscleName name, const Oval& oval, double factor, Rng& rng) {
  return {name, OvalRing(oval, rng), rng.Uniform(0.3, 1.6), factor * std::exp(rng.Normal(0, 0.15)),
          rng.Uniform(0, kPi)};
}

// Thin strips of lean in the fat of the tail or lip.
void AddTailStrips(Plan& plan, const MmRing& eye, double angle, double first_gap, int count,
                   Rng& rng) {
  double out = first_gap;
  for (int i = 0; i < count; ++i) {
    Oval strip;
    const double at = angle + rng.Uniform(-10, 10);
    strip.semi_short = rng.Uniform(2.5, 6);
    strip.semi_long = rng.Uniform(11, 24);
    out += strip.semi_short;
    strip.centre = AtAngle(kOrigin, RadiusAt(eye, kOrigin, at) + out, at);
    out += strip.semi_short + rng.Uniform(1.5, 4.5);
    strip.turn_deg = at + 90 + rng.Uniform(-20, 20);
    strip.irregular = 0.12;
    plan.muscles.push_back(OvalMuscle(MuscleName::kOther, strip, 1.2, rng));
  }
}

Plan DrawRib(const Recipe& r, Rng rng) {
  Plan plan;
  const Oval eye_oval = EyeOfRib(r.rib, rng);
  MuscleShape eye = OvalMuscle(MuscleName::kLongissimus, eye_oval, 1.0, rng);
  eye.marbling_factor = 1.0;
  const MmRing& base = eye.ring;
  // Typical thickest part of the cap by rib 6..12, mm (`assumed` from the published ranges of
  // presence).
  constexpr std::array<double, 7> kCapMm{29, 27, 23, 18, 11, 5, 0};
  const double cap_mm = kCapMm[static_cast<std::size_t>(r.rib - 6)] * std::exp(rng.Normal(0, 0.2));
  const bool cap = cap_mm >= 4.0;
  const bool complexus = r.rib == 6 || (r.rib == 7 && rng.Chance(0.7));
  const double cap_from = complexus ? rng.Uniform(92, 108) : rng.Uniform(112, 140);
  const double cap_to = rng.Uniform(-62, -30);
  const double gap = rng.Uniform(0.3, 2.0);
  const double wedge = r.rib <= 10 ? rng.Uniform(0, 9) : rng.Uniform(0, 2);
  const double wedge_at = rng.Uniform(0.2, 0.75);
  const auto inner = [=](double u) { return gap + wedge * Bump(u, wedge_at, 0.14); };
  if (cap) {
    const Wobble wobble(rng, 0.10);
    const double lean_to = rng.Uniform(0.7, 1.2);
    const auto thickness = [=](double u) {
      return cap_mm * wobble(u) *
             std::pow(std::sin(kPi * std::pow(std::clamp(u, 0.0, 1.0), lean_to)), 0.65);
    };
    MuscleShape shape{MuscleName::kSpinalis,
                      Band(base, kOrigin, cap_from, cap_to, inner,
                           [=](double u) { return inner(u) + thickness(u); }),
                      rng.Uniform(0.4, 1.6), r.cap_factor, rng.Uniform(0, kPi)};
    plan.muscles.push_back(shape);
  }
  if (complexus) {
    Oval o;
    const double at = rng.Uniform(118, 138);
    o.semi_long = rng.Uniform(17, 24);
    o.semi_short = rng.Uniform(9, 13);
    o.centre = AtAngle(kOrigin,
                       RadiusAt(base, kOrigin, at) + gap + o.semi_short + rng.Uniform(0.5, 3), at);
    o.turn_deg = at + 90;
    plan.muscles.push_back(OvalMuscle(MuscleName::kComplexus, o, 8.37 / 8.61, rng));  // RP18, RP20
  }
  if (r.rib <= 7 && rng.Chance(r.rib == 6 ? 0.75 : 0.45)) {
    const double low = inner(0.3) + (cap ? cap_mm : 8.0) + rng.Uniform(2.5, 4.5);
    const double thick = rng.Uniform(4, 8);
    plan.muscles.push_back(
        {MuscleName::kRhomboideus,
         Band(
             base, kOrigin, rng.Uniform(95, 110), rng.Uniform(50, 65), [=](double) { return low; },
             [=](double u) { return low + thick * std::sqrt(std::max(0.0, std::sin(kPi * u))); }),
         rng.Uniform(0.3, 0.9), 1.3, rng.Uniform(0, kPi)});
  }
  Oval m;
  const double m_at = rng.Uniform(165, 205);
  m.semi_long = rng.Uniform(12, 19);
  m.semi_short = rng.Uniform(6.5, 10.5);
  m.centre =
      AtAngle(kOrigin, RadiusAt(base, kOrigin, m_at) + m.semi_short + rng.Uniform(0.5, 2.5), m_at);
  m.turn_deg = m_at + 90 + rng.Uniform(-20, 20);
  plan.muscles.push_back(OvalMuscle(MuscleName::kMultifidus, m, 14.22 / 8.61, rng));
  const int strips = static_cast<int>(rng.Below(3)) + (r.rib >= 10 ? 1 : 0);
  if (strips > 0) {
    AddTailStrips(plan, base, cap ? cap_to - rng.Uniform(2, 14) : rng.Uniform(-30, 5),
                  rng.Uniform(2.5, 6), strips, rng);
  }
  if (rng.Chance(0.4)) {  // meat between the ribs, below the eye
    const double low = rng.Uniform(1.0, 3.0);
    const double thick = rng.Uniform(4, 9);
    const double from = rng.Uniform(-150, -120);
    plan.muscles.push_back(
        {MuscleName::kOther,
         Band(
             base, kOrigin, from, from + rng.Uniform(45, 75), [=](double) { return low; },
             [=](double u) { return low + thick * std::sqrt(std::max(0.0, std::sin(kPi * u))); }),
         rng.Uniform(0.3, 1.2), 1.3, rng.Uniform(0, kPi)});
  }
  plan.eye = plan.muscles.size();
  plan.muscles.push_back(eye);
  const double below = rng.Chance(0.6) ? rng.Uniform(-0.5, 1.0) : rng.Uniform(1.0, 4.0);
  SetMargins(plan, rng, r.cover_mm, r.cover_mm * rng.Uniform(0.5, 1.2) + 1.5,
             rng.Uniform(-0.5, 3.0), below);
  if (r.bone) {
    AddBone(plan, base, rng);
  } else {
    const double down = RadiusAt(base, kOrigin, -90);
    if (rng.Chance(0.7)) AddKnife(plan, rng.Uniform(-100, -80), down + rng.Uniform(-2.0, 6.0));
    if (rng.Chance(0.5))
      AddKnife(plan, rng.Uniform(168, 198), RadiusAt(base, kOrigin, 180) + rng.Uniform(2, 18));
  }
  return plan;
}

Plan DrawStrip(const Recipe& r, Rng rng) {
  Plan plan;
  Oval o;
  o.semi_long = rng.Uniform(60, 76);
  o.semi_short = std::clamp(o.semi_long * rng.Uniform(0.38, 0.52), 26.0, 38.0);
  o.squareness = rng.Uniform(2.3, 3.0);
  o.turn_deg = rng.Uniform(-6, 6);
  o.irregular = 0.05;
  MuscleShape eye = OvalMuscle(MuscleName::kLongissimus, o, 1.0, rng);
  eye.marbling_factor = 1.0;
  for (cv::Point2d& p : eye.ring) {  // blunt at the chine, drawn out to the tail
    const double along = p.x / o.semi_long;
    p.y *= 1.0 - 0.22 * along;
  }
  const MmRing base = eye.ring;
  if (rng.Chance(0.6)) {
    Oval m;
    const double at = rng.Uniform(186, 205);
    m.semi_long = rng.Uniform(8, 14);
    m.semi_short = rng.Uniform(4, 7);
    m.centre =
        AtAngle(kOrigin, RadiusAt(base, kOrigin, at) + m.semi_short + rng.Uniform(0.5, 2), at);
    m.turn_deg = 90 + rng.Uniform(-20, 20);
    plan.muscles.push_back(OvalMuscle(MuscleName::kMultifidus, m, 1.5, rng));
  }
  if (rng.Chance(0.3)) {  // the sirloin's first muscle over the tail half
    const double thick = rng.Uniform(7, 14);
    const double from = rng.Uniform(55, 75);
    plan.muscles.push_back(
        {MuscleName::kGluteusMedius,
         Band(
             base, kOrigin, from, from - rng.Uniform(32, 50), [](double) { return 0.8; },
             [=](double u) { return 0.8 + thick * std::sqrt(std::max(0.0, std::sin(kPi * u))); }),
         rng.Uniform(0.4, 1.2), 0.8, rng.Uniform(0, kPi)});
  }
  AddTailStrips(plan, base, rng.Uniform(-8, 4), rng.Uniform(3, 9), static_cast<int>(rng.Below(3)),
                rng);
  plan.eye = plan.muscles.size();
  plan.muscles.push_back(eye);
  SetMargins(plan, rng, r.cover_mm, r.cover_mm * 1.1 + rng.Uniform(1, 9), rng.Uniform(-0.5, 2),
             rng.Uniform(-0.8, 1.5));
  if (r.bone) {
    AddBone(plan, base, rng);
  } else {
    if (rng.Chance(0.6))
      AddKnife(plan, rng.Uniform(-96, -84), RadiusAt(base, kOrigin, -90) + rng.Uniform(-2.5, 2));
    if (rng.Chance(0.5))
      AddKnife(plan, rng.Uniform(172, 190), RadiusAt(base, kOrigin, 180) + rng.Uniform(-1, 8));
    if (rng.Chance(0.6))
      AddKnife(plan, rng.Uniform(-15, 15), RadiusAt(base, kOrigin, 0) + rng.Uniform(6, 30));
  }
  return plan;
}

Plan DrawSirloin(const Recipe& r, Rng rng) {
  Plan plan;
  Oval o;
  o.semi_long = rng.Uniform(64, 78);
  o.semi_short = o.semi_long * rng.Uniform(0.52, 0.66);
  o.squareness = rng.Uniform(2.2, 2.9);
  o.turn_deg = rng.Uniform(-10, 10);
  o.irregular = 0.06;
  MuscleShape eye = OvalMuscle(MuscleName::kGluteusMedius, o, 1.0, rng);
  eye.marbling_factor = 1.0;
  const MmRing base = eye.ring;
  if (rng.Chance(0.75)) {  // the cap of the sirloin
    const double thick = rng.Uniform(9, 22);
    const double gap = rng.Uniform(0.8, 3);
    const double from = rng.Uniform(115, 150);
    plan.muscles.push_back(
        {MuscleName::kOther,
         Band(
             base, kOrigin, from, from - rng.Uniform(80, 120), [=](double) { return gap; },
             [=](double u) {
               return gap + thick * std::pow(std::max(0.0, std::sin(kPi * u)), 0.4);
             }),
         rng.Uniform(0.4, 1.6), 1.1, rng.Uniform(0, kPi)});
  }
  if (rng.Chance(0.5)) {
    Oval a;
    const double at = rng.Uniform(-120, -60);
    a.semi_long = rng.Uniform(15, 26);
    a.semi_short = rng.Uniform(7, 12);
    a.centre = AtAngle(kOrigin, RadiusAt(base, kOrigin, at) + a.semi_short + 1.5, at);
    a.turn_deg = at + 90;
    plan.muscles.push_back(OvalMuscle(MuscleName::kOther, a, 0.9, rng));
  }
  plan.eye = plan.muscles.size();
  plan.muscles.push_back(eye);
  SetMargins(plan, rng, r.cover_mm, rng.Uniform(-0.5, 4), rng.Uniform(-0.5, 3),
             rng.Uniform(-0.8, 2));
  if (r.bone) AddBone(plan, base, rng);
  if (rng.Chance(0.6))
    AddKnife(plan, rng.Uniform(160, 200), RadiusAt(base, kOrigin, 180) + rng.Uniform(-3, 5));
  if (rng.Chance(0.6))
    AddKnife(plan, rng.Uniform(-20, 20), RadiusAt(base, kOrigin, 0) + rng.Uniform(-3, 8));
  return plan;
}

}  // namespace

Plan DrawPlan(const Recipe& recipe) {
  const Rng rng = Rng(recipe.seed).Fork(100);
  switch (recipe.cut) {
    case Cut::kRib:
      return DrawRib(recipe, rng);
    case Cut::kStrip:
      return DrawStrip(recipe, rng);
    case Cut::kSirloin:
      return DrawSirloin(recipe, rng);
  }
  return DrawRib(recipe, rng);
}

}  // namespace ribwright::phantom
