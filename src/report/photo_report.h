// SPDX-License-Identifier: Apache-2.0
// What a judged photo says (schema ribwright.face/1, schema/face.schema.json) as plain data. The
// judge fills it with measured numbers, the phantom renderer with exact ones; report/json.h writes
// and reads it.
//
// Pixel coordinates: x right, y down, the centre of the first pixel is (0.5, 0.5). Outlines are
// lists of closed rings under the even-odd rule (the last point is not repeated). Shares are
// percent of area; areas cm2, lengths mm; colour CIE L*a*b* (D50, 2 degree observer).
// flecks_per_cm2 counts flecks of at least 0.1 mm2; coarseness = % of fleck area left after erosion
// by 0.5 mm; evenness = standard deviation of marbling_pct over 10 mm tiles (tiles at least half
// inside).
#pragma once

#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "base/codes.h"
#include "base/result.h"
#include "units/measured.h"

namespace ribwright::report {

struct Point {
  double x = 0.0;
  double y = 0.0;
};
using Ring = std::vector<Point>;
using Outline = std::vector<Ring>;

enum class MuscleName {
  kLongissimus,
  kSpinalis,
  kComplexus,
  kMultifidus,
  kRhomboideus,
  kGluteusMedius,
  kOther,
};
// "longissimus", "spinalis", "complexus", "multifidus", "rhomboideus", "gluteus_medius", "other".
std::string_view MuscleText(MuscleName name);
std::optional<MuscleName> MuscleFromText(std::string_view text);

struct Muscle {
  MuscleName name = MuscleName::kOther;
  Measured area;            // cm2
  Measured marbling_pct;    // fat inside the muscle / its area
  Measured flecks_per_cm2;  // 1/cm2
  Measured fleck_mm2_p50;   // mm2
  Measured fleck_mm2_p90;   // mm2
  Measured coarseness;      // %
  Measured evenness;        // % points
  Outline outline_px;
};

// Thickness of the outside fat, square to the outer edge, at `along` of the covered edge (0 at its
// chine end, 1 at the far end).
struct CoverPoint {
  double along = 0.0;
  Measured thickness;  // mm
};

struct Cover {
  Measured mean;  // mm, over the covered edge
  Measured
      at_three_quarters;  // mm, square to the edge over the eye, 3/4 of its length from the chine
  std::vector<CoverPoint> profile;
};

struct Lab {
  Measured L;
  Measured a;
  Measured b;
};

enum class SignOf { kGrainFed, kGrassFed, kDryAged, kFresh, kDarkCutting, kBrowned };
// "grain_fed", "grass_fed", "dry_aged", "fresh", "dark_cutting", "browned".
std::string_view SignText(SignOf sign);
std::optional<SignOf> SignFromText(std::string_view text);

struct Sign {
  SignOf of = SignOf::kFresh;
  double odds = 0.0;  // probability 0..1
  std::string because;
};

// Probabilities that sum to 1, in the scale's own order; most_likely is the largest (the first of
// equals).
struct Odds {
  std::string most_likely;
  std::vector<std::pair<std::string, double>> odds;
  std::string basis;
  bool Known() const { return !odds.empty(); }
};

// One line of the house spec: "met", "missed" or "undecided", with the odds that it is met.
struct SpecLine {
  std::string name;     // "eye marbling"
  std::string wanted;   // "8 to 20 %"
  std::string outcome;  // met | missed | undecided
  std::optional<double> odds_met;
  std::string because;
};

struct Face {
  Outline outline_px;
  Measured area;           // cm2: the whole cut face, bone included
  Measured lean_area;      // cm2
  Measured fat_share_pct;  // all fat of the face / face
  Measured fat_to_lean;    // ratio, same fat
  Measured marbling_pct;   // fat inside muscles / area of muscles
  std::vector<Muscle> muscles;
  Cover cover;
  Lab lean_colour;
  Lab fat_colour;
  std::vector<Sign> signs;
  std::string signs_reason;                // why no sign was judged; empty where they were
  std::optional<Measured> imf_pct;         // chemical fat; left out by the phantom
  Odds marbling_degree;                    // left out (empty) by the phantom
  std::map<std::string, Odds> grade_odds;  // "us", "japan", and more keys
  Odds rib_position;
  std::vector<SpecLine> spec;
  double area_px = 0.0;         // the face's area in photo pixels
  double unreadable_pct = 0.0;  // share of the face set aside as glare or shadow
  // Detail at 2 px against that at 4 px of the canvas; under about 2 fine flecks are blurred.
  std::optional<double> sharpness;
  // What the classical colour rules make of the same muscles; far off, the two ways disagree.
  std::optional<double> colour_rule_marbling_pct;
};

enum class ScaleSource { kNone, kCard, kUser };
std::string_view ScaleSourceText(ScaleSource source);  // "none", "card", "user"

struct Scale {
  bool known = false;
  Measured px_per_mm;  // at the middle of the largest face, in the face's plane
  ScaleSource source = ScaleSource::kNone;
};

struct ColourStatus {
  bool calibrated = false;
  std::string source;  // "none", "print, neutral only", "entered patch values"
  std::optional<double> residual_de00;
};

struct Method {
  std::string name;      // "classical", "learned", "phantom truth"
  std::string revision;  // changes whenever numbers may change
};

// What the user stated beside the photo.
struct Entered {
  std::optional<double> thickness_mm;
  std::optional<double> card_ruler_mm;
  std::optional<double> px_per_mm;
  std::optional<double> bloom_min;
  bool card_values = false;
};

struct Caution {
  Code code = Code::kInternal;
  std::string message;
};

struct PhotoReport {
  std::string photo;
  Method method;
  std::vector<Caution> warnings;
  Scale scale;
  ColourStatus colour;
  std::vector<Face> faces;     // largest first
  std::optional<Error> error;  // set: nothing else but photo holds
  // By the photo's EXIF: "2026-03-01T12:00:00Z", without the Z where the camera names no offset
  // from UTC; empty where it says nothing usable.
  std::string taken;
  std::optional<Entered> entered;  // left out by the phantom
  int width_px = 0;
  int height_px = 0;
};

}  // namespace ribwright::report
