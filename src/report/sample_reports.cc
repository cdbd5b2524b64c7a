// SPDX-License-Identifier: Apache-2.0
#include "report/sample_reports.h"

#include <cmath>
#include <numbers>
#include <string>

namespace ribwright::report {
namespace {

constexpr const char* kBasis = "invented for tests";

Measured Around(double value, double half, const char* unit) {
  return Measured::Of(value, value - half, value + half * 1.2, unit, kBasis);
}

Ring Ellipse(double cx, double cy, double rx, double ry) {
  Ring ring;
  for (int i = 0; i < 48; ++i) {
    const double angle = 2.0 * std::numbers::pi * i / 48.0;
    ring.push_back({cx + rx * std::cos(angle), cy + ry * std::sin(angle)});
  }
  return ring;
}

Muscle MakeMuscle(MuscleName name, double area, double marbling, Outline outline) {
  Muscle m;
  m.name = name;
  m.area = Around(area, area * 0.015, "cm2");
  m.marbling_pct = Around(marbling, 0.6, "%");
  m.flecks_per_cm2 = Around(5.1, 0.7, "1/cm2");
  m.fleck_mm2_p50 = Around(0.42, 0.05, "mm2");
  m.fleck_mm2_p90 = Around(3.1, 0.4, "mm2");
  m.coarseness = Around(38.0, 5.0, "%");
  m.evenness = Around(2.9, 0.5, "%");
  m.outline_px = std::move(outline);
  return m;
}

Face RibFace() {
  Face f;
  f.outline_px = {Ellipse(400, 300, 330, 220)};
  f.area = Around(228.0, 4.0, "cm2");
  f.lean_area = Around(150.0, 3.0, "cm2");
  f.fat_share_pct = Around(31.0, 1.2, "%");
  f.fat_to_lean = Around(0.47, 0.03, "1");
  f.marbling_pct = Around(9.4, 0.5, "%");
  f.muscles = {MakeMuscle(MuscleName::kLongissimus, 84.0, 7.8, {Ellipse(360, 330, 170, 110)}),
               MakeMuscle(MuscleName::kSpinalis, 31.0, 14.2, {Ellipse(520, 190, 120, 45)}),
               MakeMuscle(MuscleName::kComplexus, 12.0, 9.9, {Ellipse(600, 290, 50, 60)})};
  f.cover.mean = Around(9.1, 0.5, "mm");
  f.cover.at_three_quarters = Around(10.4, 0.7, "mm");
  for (int i = 0; i <= 4; ++i) f.cover.profile.push_back({i * 0.25, Around(7.0 + i, 0.6, "mm")});
  f.lean_colour = {Around(38.0, 1.5, "L*"), Around(21.0, 1.4, "a*"), Around(10.5, 1.2, "b*")};
  f.fat_colour = {Around(76.0, 1.6, "L*"), Around(5.2, 1.1, "a*"), Around(15.0, 1.3, "b*")};
  f.signs = {{SignOf::kGrainFed, 0.81, "the fat is white (b* 15)"},
             {SignOf::kDarkCutting, 0.04, "the lean is bright (L* 38)"}};
  f.imf_pct = Around(9.3, 1.8, "%");
  f.marbling_degree = {"modest", {{"small", 0.22}, {"modest", 0.55}, {"moderate", 0.23}}, kBasis};
  f.grade_odds["us"] = {"choice", {{"prime", 0.06}, {"choice", 0.88}, {"select", 0.06}}, kBasis};
  f.grade_odds["japan"] = {"4", {{"3", 0.3}, {"4", 0.5}, {"5", 0.2}}, kBasis};
  f.rib_position = {"9", {{"8", 0.25}, {"9", 0.5}, {"10", 0.25}}, "assumed"};
  f.spec = {{"eye marbling", "8 to 20 %", "undecided", 0.41, "7.8 % lies at the limit"},
            {"eye area", "70 to 100 cm2", "met", 0.99, "84 cm2 lies well inside"}};
  f.area_px = 228081.0;
  f.unreadable_pct = 1.4;
  f.sharpness = 1.1;
  f.colour_rule_marbling_pct = 9.5;
  return f;
}

}  // namespace

PhotoReport SampleRib() {
  PhotoReport r;
  r.photo = "rib.jpg";
  r.taken = "2026-03-01T12:00:00Z";
  r.entered = Entered{38.0, std::nullopt, std::nullopt, 30.0, false};
  r.method = {"classical", "test"};
  r.warnings = {{Code::kColourNeutralOnly, "Colour was balanced on the card's greys only."}};
  r.scale = {true, Around(7.9, 0.05, "px/mm"), ScaleSource::kCard};
  r.colour = {false, "print, neutral only", 3.1};
  r.faces = {RibFace()};
  r.width_px = 800;
  r.height_px = 600;
  return r;
}

PhotoReport SampleWithoutScale() {
  PhotoReport r = SampleRib();
  r.warnings = {{Code::kCardNotFound, "No card was found."}};
  const auto unknown = [](const char* unit) { return Measured::Unknown(unit, "no scale"); };
  r.scale = {false, unknown("px/mm"), ScaleSource::kNone};
  r.colour = {false, "none", std::nullopt};
  for (Face& f : r.faces) {
    f.signs.clear();
    f.signs_reason = "colour is not calibrated";
    f.area = f.lean_area = unknown("cm2");
    f.cover = {unknown("mm"), unknown("mm"), {}};
    for (Muscle& m : f.muscles) {
      m.area = unknown("cm2");
      m.flecks_per_cm2 = unknown("1/cm2");
      m.fleck_mm2_p50 = m.fleck_mm2_p90 = unknown("mm2");
      m.coarseness = unknown("%");
      m.evenness = unknown("%");
    }
  }
  return r;
}

PhotoReport SampleTruth() {
  PhotoReport r = SampleRib();
  r.method = {"phantom truth", "test"};
  r.warnings.clear();
  r.taken.clear();
  r.entered.reset();
  Face& f = r.faces.front();
  f.signs.clear();
  f.imf_pct.reset();
  f.marbling_degree = {};
  f.grade_odds.clear();
  f.spec.clear();
  f.rib_position = {"9", {{"9", 1.0}}, "exact"};
  f.marbling_pct = Measured::Exact(9.375, "%");
  return r;
}

PhotoReport SampleError() {
  PhotoReport r;
  r.photo = "gone.jpg";
  r.error = Error{Code::kFileUnreadable, "The file is missing.", "gone.jpg", "Check the path."};
  return r;
}

}  // namespace ribwright::report
