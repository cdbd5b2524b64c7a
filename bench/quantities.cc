// SPDX-License-Identifier: Apache-2.0
#include "quantities.h"

#include <algorithm>
#include <array>

#include "base/check.h"

namespace ribwright::bench {
namespace {

using Read = std::optional<Measured>;
using report::Muscle;

template <Measured Muscle::*kMember>
Read OfEye(const FaceOf& from) {
  const Muscle* eye = FindMuscle(*from.face, from.eye);
  return eye ? Read(eye->*kMember) : Read();
}

template <Measured Muscle::*kMember>
Read OfCap(const FaceOf& from) {
  const Muscle* cap = FindMuscle(*from.face, report::MuscleName::kSpinalis);
  return cap ? Read(cap->*kMember) : Read();
}

template <Measured report::Face::*kMember>
Read OfFace(const FaceOf& from) {
  return from.face->*kMember;
}

template <Measured report::Cover::*kMember>
Read OfCover(const FaceOf& from) {
  return from.face->cover.*kMember;
}

template <report::Lab report::Face::*kColour, Measured report::Lab::*kMember>
Read OfColour(const FaceOf& from) {
  return (from.face->*kColour).*kMember;
}

using report::Cover;
using report::Face;
using report::Lab;

constexpr std::array kQuantities = {
    Quantity{"eye marbling", "%", &OfEye<&Muscle::marbling_pct>},
    Quantity{"eye area", "cm2", &OfEye<&Muscle::area>, true},
    Quantity{"cover mean", "mm", &OfCover<&Cover::mean>, true},
    Quantity{"cover at three quarters", "mm", &OfCover<&Cover::at_three_quarters>, true},
    Quantity{"lean L", "L*", &OfColour<&Face::lean_colour, &Lab::L>, false, true},
    Quantity{"lean a", "a*", &OfColour<&Face::lean_colour, &Lab::a>, false, true},
    Quantity{"lean b", "b*", &OfColour<&Face::lean_colour, &Lab::b>, false, true},
    Quantity{"fat L", "L*", &OfColour<&Face::fat_colour, &Lab::L>, false, true},
    Quantity{"fat a", "a*", &OfColour<&Face::fat_colour, &Lab::a>, false, true},
    Quantity{"fat b", "b*", &OfColour<&Face::fat_colour, &Lab::b>, false, true},
    Quantity{"face area", "cm2", &OfFace<&Face::area>, true},
    Quantity{"lean area", "cm2", &OfFace<&Face::lean_area>, true},
    Quantity{"face fat share", "%", &OfFace<&Face::fat_share_pct>},
    Quantity{"face marbling", "%", &OfFace<&Face::marbling_pct>},
    Quantity{"cap area", "cm2", &OfCap<&Muscle::area>, true},
    Quantity{"cap marbling", "%", &OfCap<&Muscle::marbling_pct>},
    Quantity{"eye flecks per cm2", "1/cm2", &OfEye<&Muscle::flecks_per_cm2>, true},
    Quantity{"eye fleck p50", "mm2", &OfEye<&Muscle::fleck_mm2_p50>, true},
    Quantity{"eye fleck p90", "mm2", &OfEye<&Muscle::fleck_mm2_p90>, true},
    Quantity{"eye coarseness", "%", &OfEye<&Muscle::coarseness>, true},
    Quantity{"eye evenness", "points", &OfEye<&Muscle::evenness>, true},
};

}  // namespace

const report::Muscle* FindMuscle(const report::Face& face, report::MuscleName name) {
  const auto found = std::find_if(face.muscles.begin(), face.muscles.end(),
                                  [&](const Muscle& muscle) { return muscle.name == name; });
  return found == face.muscles.end() ? nullptr : &*found;
}

std::span<const Quantity> Quantities() { return kQuantities; }

std::size_t QuantityIndex(std::string_view name) {
  const auto found = std::find_if(kQuantities.begin(), kQuantities.end(),
                                  [&](const Quantity& q) { return q.name == name; });
  RIBWRIGHT_CHECK(found != kQuantities.end());
  return static_cast<std::size_t>(found - kQuantities.begin());
}

}  // namespace ribwright::bench
