// SPDX-License-Identifier: Apache-2.0
#include "phantom/render.h"

#include <gtest/gtest.h>

#include <opencv2/core.hpp>

#include "photo/card_find.h"
#include "photo/card_layout.h"
#include "photo/exif.h"
#include "report/json.h"
#include "report/tissue.h"

namespace ribwright::phantom {
namespace {

Recipe SmallRecipe(std::uint64_t seed, Cut cut = Cut::kRib) {
  RecipeOptions options;
  options.cut = cut;
  Recipe r = DrawRecipe(seed, options);
  r.px_per_mm = 4.0;
  r.raster_px_per_mm = 8.0;
  r.pieces = 1;
  return r;
}

TEST(Render, GivesTheSameBytesForTheSameSeedAtAnyThreadCount) {
  const int threads = cv::getNumThreads();
  cv::setNumThreads(1);
  const auto first = Render(SmallRecipe(41));
  cv::setNumThreads(4);
  const auto second = Render(SmallRecipe(41));
  cv::setNumThreads(threads);
  ASSERT_TRUE(first && second);
  EXPECT_EQ(first->jpeg, second->jpeg);
  EXPECT_EQ(cv::countNonZero(first->tissue != second->tissue), 0);
  const auto other = Render(SmallRecipe(42));
  ASSERT_TRUE(other);
  EXPECT_NE(first->jpeg, other->jpeg);
}

TEST(Render, TissueMapAgreesWithTruthWithinPixelRounding) {
  Recipe r = SmallRecipe(43);
  r.tilt_deg = 0;
  r.px_per_mm = 8;
  r.glare_share = 0;
  const auto phantom = Render(r);
  ASSERT_TRUE(phantom);
  ASSERT_EQ(phantom->truth.faces.size(), 1U);
  const report::Face& face = phantom->truth.faces[0];
  const auto count = [&](report::Tissue t) {
    return cv::countNonZero(phantom->tissue == static_cast<int>(t));
  };
  const double px_per_cm2 = 100.0 * r.px_per_mm * r.px_per_mm;
  const double all = cv::countNonZero(phantom->tissue);
  EXPECT_NEAR(all / px_per_cm2, *face.area.value, 0.005 * *face.area.value);
  EXPECT_NEAR(all, face.area_px, 0.5);
  const double fat = count(report::Tissue::kMuscleFat) + count(report::Tissue::kOtherFat);
  EXPECT_NEAR(100.0 * fat / all, *face.fat_share_pct.value, 1.0);
  EXPECT_LT(count(report::Tissue::kUnreadable), 1e-4 * all);  // the darkest pixels of a dry face
}

TEST(Render, AreasOfTheFaceAddUp) {
  for (const Cut cut : {Cut::kRib, Cut::kStrip, Cut::kSirloin}) {
    const auto phantom = Render(SmallRecipe(44, cut));
    ASSERT_TRUE(phantom);
    const report::Face& face = phantom->truth.faces[0];
    double muscles = 0, fat_inside = 0;
    for (const report::Muscle& m : face.muscles) {
      muscles += *m.area.value;
      fat_inside += *m.area.value * *m.marbling_pct.value / 100.0;
    }
    EXPECT_NEAR(*face.lean_area.value, muscles - fat_inside, 1e-6);
    EXPECT_NEAR(*face.marbling_pct.value, 100.0 * fat_inside / muscles, 1e-6);
    // What is neither muscle nor fat outside muscles is bone.
    const double other_fat = *face.fat_share_pct.value / 100.0 * *face.area.value - fat_inside;
    const double bone = *face.area.value - muscles - other_fat;
    EXPECT_GE(bone, -1e-6);
    if (cv::countNonZero(phantom->tissue == static_cast<int>(report::Tissue::kBone)) == 0) {
      EXPECT_NEAR(bone, 0.0, 0.05);
    }
  }
}

TEST(Render, WritesFocalLengthIntoThePhoto) {
  const Recipe r = SmallRecipe(45);
  const auto phantom = Render(r);
  ASSERT_TRUE(phantom);
  // The EXIF block sits in the second marker of the file, after FFD8 FFE1 and two bytes of length.
  const std::vector<std::uint8_t>& b = phantom->jpeg;
  const std::size_t at = 2;
  ASSERT_EQ(b[at], 0xFF);
  std::size_t marker = at;
  while (b[marker + 1] != 0xE1) marker += 2 + (b[marker + 2] << 8U) + b[marker + 3];
  const photo::ExifFacts facts = photo::ReadExif({b.data() + marker + 4, b.size() - marker - 4});
  ASSERT_TRUE(facts.focal_length_35mm);
  EXPECT_DOUBLE_EQ(*facts.focal_length_35mm, r.focal_35mm);
}

TEST(Render, MillimetresInTheFaceAgreeWithTheHomography) {
  Recipe r = SmallRecipe(46);
  r.tilt_deg = 30;
  const auto phantom = Render(r);
  ASSERT_TRUE(phantom);
  // The outline carried back to millimetres encloses the area that the truth states.
  const cv::Matx33d mm_from_px = phantom->faces[0].px_from_mm.inv();
  double twice = 0;
  const report::Ring& ring = phantom->truth.faces[0].outline_px[0];
  std::vector<cv::Point2d> mm;
  for (const report::Point& p : ring) {
    const cv::Vec3d v = mm_from_px * cv::Vec3d(p.x, p.y, 1);
    mm.emplace_back(v[0] / v[2], v[1] / v[2]);
  }
  for (std::size_t i = 0; i < mm.size(); ++i) twice += mm[i].cross(mm[(i + 1) % mm.size()]);
  EXPECT_NEAR(std::abs(twice) / 200.0, *phantom->truth.faces[0].area.value,
              0.01 * *phantom->truth.faces[0].area.value);
  // The scale at the middle is the one asked for (the middle of the outline's box, so only
  // roughly).
  const cv::Matx33d& h = phantom->faces[0].px_from_mm;
  cv::Point2d middle(0, 0);
  for (const cv::Point2d& p : mm) middle += p * (1.0 / static_cast<double>(mm.size()));
  const double w = h(2, 0) * middle.x + h(2, 1) * middle.y + h(2, 2);
  EXPECT_NEAR(std::sqrt(std::abs(cv::determinant(h) / (w * w * w))), r.px_per_mm,
              0.05 * r.px_per_mm);
}

TEST(Render, EverySeedGivesAReportThatCanBeWritten) {
  for (std::uint64_t seed = 60; seed < 72; ++seed) {
    RecipeOptions options;
    options.difficulty = seed % 3 == 0 ? Difficulty::kHard : Difficulty::kMixed;
    options.wide = seed % 4 == 3;
    Recipe r = DrawRecipe(seed, options);
    r.px_per_mm = 2.5;
    r.raster_px_per_mm = 6.0;
    r.window_px = 0;
    auto phantom = Render(r);
    ASSERT_TRUE(phantom) << seed;
    ASSERT_EQ(phantom->truth.faces.size(), static_cast<std::size_t>(r.pieces)) << seed;
    phantom->truth.photo = "photo.jpg";
    const std::string json =
        report::ToJson(phantom->truth, false);  // throws on anything not finite
    EXPECT_TRUE(report::FromJson(json)) << seed;
    for (const report::Face& face : phantom->truth.faces) {
      ASSERT_FALSE(face.muscles.empty()) << seed;
      EXPECT_TRUE(face.muscles[0].name == report::MuscleName::kLongissimus ||
                  face.muscles[0].name == report::MuscleName::kGluteusMedius);
      EXPECT_GT(*face.area.value, 50.0) << seed;
      EXPECT_LT(*face.area.value, 320.0) << seed;
      for (const report::Ring& ring : face.outline_px) {
        for (const report::Point& p : ring) {
          EXPECT_GE(p.x, 0.0) << seed;
          EXPECT_LE(p.x, phantom->truth.width_px) << seed;
        }
      }
    }
  }
}

TEST(Render, TheEyeHoldsTheMarblingThatWasAimedAt) {
  for (const double aim : {0.01, 0.06, 0.15, 0.3, 0.5}) {
    Recipe r = SmallRecipe(47);
    r.eye_marbling = aim;
    const auto phantom = Render(r);
    ASSERT_TRUE(phantom);
    EXPECT_NEAR(*phantom->truth.faces[0].muscles[0].marbling_pct.value, 100 * aim,
                0.15 + 2.5 * aim);
  }
}

TEST(Render, TheCardsMarkersLieWhereTheHomographySays) {
  Recipe r = SmallRecipe(48);
  r.px_per_mm = 6.0;
  r.tilt_deg = 20;
  r.blur_sigma_px = 0.6;
  r.noise = 0.001;
  const auto phantom = Render(r);
  ASSERT_TRUE(phantom);
  ASSERT_TRUE(phantom->has_card);
  const auto found = photo::FindCard(phantom->rgb);
  ASSERT_TRUE(found);
  // Printed millimetres are designed ones times the printer's scale.
  const photo::CardTag& tag = photo::CardTags()[0];
  const cv::Point2d design(tag.x_mm, tag.y_mm);
  const cv::Vec3d v = phantom->px_from_card *
                      cv::Vec3d(design.x * r.printer_scale_x, design.y * r.printer_scale_y, 1);
  const cv::Point2d seen = photo::Transform(found->px_from_design.Matrix(), design);
  EXPECT_NEAR(seen.x, v[0] / v[2], 0.3);
  EXPECT_NEAR(seen.y, v[1] / v[2], 0.3);
}

}  // namespace
}  // namespace ribwright::phantom
