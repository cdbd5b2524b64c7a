// SPDX-License-Identifier: Apache-2.0
#include "face/usable.h"

#include <algorithm>

#include "face/usable_fitted.h"

namespace ribwright::face {
namespace {

// Raw lean of pork and veal sends back more light: L* 55 and 47 against 38 of beef, fat 75 to 80
// (memory), so ln(fat / lean) is about 0.8 and 1.2 against 1.7. Lamb looks like beef and passes.
constexpr double kPaleLean = 1.05;
constexpr double kPaleFatAbove = 0.8;  // and its hue nears the fat's; assumed

struct Kind {
  Code code;
  const char* message;
};
constexpr std::array<Kind, 4> kKinds{{
    {Code::kNotBeefLike,
     "The face has the colours of cooked or browned meat. The beef scales hold for a raw, fresh "
     "cut "
     "only: cut a fresh face."},
    {Code::kNotBeefLike,
     "The meat looks ground or made up of pieces: no muscle's edge was seen. The beef scales hold "
     "for a whole cut face only."},
    {Code::kOutOfFocus,
     "The face looks out of focus: fine flecks are lost. Tap the face to focus and photograph it "
     "again."},
    {Code::kGlareHeavy,
     "Film or glare lies over much of the face. Take the film off, wipe the face, move the light."},
}};

}  // namespace

std::vector<report::Caution> DoubtsOf(const FaceTraits& traits) {
  std::vector<report::Caution> doubts;
  const auto add = [&](Code code, const char* message) {
    const bool known = std::any_of(doubts.begin(), doubts.end(),
                                   [&](const report::Caution& c) { return c.code == code; });
    if (!known) doubts.push_back({code, message});
  };
  for (std::size_t k = 0; k < kKinds.size(); ++k) {
    double odds = kUnusableRules[k].constant;
    for (std::size_t i = 0; i < kTraits; ++i) odds += kUnusableRules[k].weights[i] * traits[i];
    if (odds > 0.0) add(kKinds[k].code, kKinds[k].message);
  }
  const auto trait = [&](Trait t) { return traits[static_cast<std::size_t>(t)]; };
  if (trait(Trait::kNoThickFat) == 0.0 && trait(Trait::kFatBrighter) < kPaleLean &&
      trait(Trait::kFatAboveLean) < kPaleFatAbove) {
    add(Code::kNotBeefLike,
        "The lean is pale against its fat, as pork's or veal's is. The beef scales do not apply to "
        "other meat; read the fat share alone.");
  }
  return doubts;
}

}  // namespace ribwright::face
