// SPDX-License-Identifier: Apache-2.0
#include "programme/palette.h"

#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "photo/delta_e.h"
#include "photo/srgb.h"

namespace ribwright::programme {
namespace {

constexpr Sight kSights[] = {Sight::kUsual, Sight::kProtanope, Sight::kDeuteranope,
                             Sight::kTritanope};
// What lies under the paint: assumed colours of raw meat in a photo.
const cv::Vec3b kLean(140, 45, 45);
const cv::Vec3b kFat(225, 205, 185);
const cv::Vec3b kBoneCut(190, 150, 130);
const cv::Vec3b kGlare(250, 245, 245);

cv::Vec3b Over(const TissuePaint& paint, const cv::Vec3b& under) {
  cv::Vec3b out;
  for (int i = 0; i < 3; ++i) {
    out[i] = cv::saturate_cast<std::uint8_t>(paint.opacity * paint.rgb[i] +
                                             (1 - paint.opacity) * under[i]);
  }
  return out;
}

void ExpectApart(const std::vector<std::pair<std::string, cv::Vec3b>>& colours) {
  for (const Sight sight : kSights) {
    for (std::size_t i = 0; i < colours.size(); ++i) {
      for (std::size_t j = 0; j < i; ++j) {
        const double difference =
            photo::DeltaE2000(photo::LabFromSrgb(SeenBy(sight, colours[i].second)),
                              photo::LabFromSrgb(SeenBy(sight, colours[j].second)));
        EXPECT_GE(difference, kLeastDifference) << colours[i].first << " and " << colours[j].first
                                                << ", sight " << static_cast<int>(sight);
      }
    }
  }
}

TEST(Palette, PureColoursAreToldApartByEveryKindOfSight) {
  std::vector<std::pair<std::string, cv::Vec3b>> colours = {{"lean", kLean}};
  for (const TissuePaint& p : TissuePaints()) colours.emplace_back(p.words, p.rgb);
  ASSERT_EQ(colours.size(), 5U);
  ExpectApart(colours);
}

TEST(Palette, ColoursOverMeatAreToldApartByEveryKindOfSight) {
  const auto paints = TissuePaints();
  ExpectApart({{"lean", kLean},
               {"marbling", Over(paints[0], kFat)},
               {"other fat", Over(paints[1], kFat)},
               {"bone", Over(paints[2], kBoneCut)},
               {"unreadable", Over(paints[3], kGlare)}});
}

TEST(Palette, EveryKindOfSightLeavesGreysGreyAndConfusesItsOwnColours) {
  for (const Sight sight : kSights) {
    const cv::Vec3b grey = SeenBy(sight, {128, 128, 128});
    for (int i = 0; i < 3; ++i) EXPECT_NEAR(grey[i], 128, 1);
  }
  // A red and a green that deuteranopes confuse come far closer together; the check could not
  // fail if the model did nothing.
  const cv::Vec3b red(190, 90, 40);
  const cv::Vec3b green(110, 125, 40);
  const auto gap = [&](Sight sight) {
    return photo::DeltaE2000(photo::LabFromSrgb(SeenBy(sight, red)),
                             photo::LabFromSrgb(SeenBy(sight, green)));
  };
  EXPECT_LT(gap(Sight::kDeuteranope), 0.4 * gap(Sight::kUsual));
}

}  // namespace
}  // namespace ribwright::programme
