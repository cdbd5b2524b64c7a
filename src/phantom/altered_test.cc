// SPDX-License-Identifier: Apache-2.0
#include <gtest/gtest.h>

#include <opencv2/imgproc.hpp>

#include "phantom/render.h"
#include "phantom/truth_json.h"

namespace ribwright::phantom {
namespace {

Result<Phantom> Small(Altered altered) {
  Recipe r = DrawRecipe(91, {.cut = Cut::kRib, .altered = altered});
  r.raster_px_per_mm = 8.0;
  r.pieces = 1;
  if (altered == Altered::kUnfocused) r.blur_sigma_px *= 4.0 / r.px_per_mm;
  r.px_per_mm = 4.0;
  return Render(r);
}

double Sharpness(const Phantom& phantom) {
  cv::Mat grey, fine;
  cv::cvtColor(phantom.rgb, grey, cv::COLOR_RGB2GRAY);
  cv::Laplacian(grey, fine, CV_32F);
  cv::Scalar mean, sd;
  cv::meanStdDev(fine, mean, sd, phantom.tissue > 0);
  return sd[0];
}

TEST(Altered, TextsReadBack) {
  for (Altered a : {Altered::kNone, Altered::kCooked, Altered::kGround, Altered::kEmpty,
                    Altered::kUnfocused, Altered::kFilm}) {
    EXPECT_EQ(AlteredFromText(AlteredText(a)), a);
  }
  EXPECT_FALSE(AlteredFromText("burnt"));
}

TEST(Altered, EveryKindIsWhatItsNameSays) {
  const auto plain = Small(Altered::kNone);
  ASSERT_TRUE(plain);
  EXPECT_EQ(TruthJson(*plain).find("altered"), std::string::npos);
  const auto sharp = Sharpness(*plain);

  const auto cooked = Small(Altered::kCooked);
  ASSERT_TRUE(cooked);
  EXPECT_LT(*cooked->truth.faces[0].lean_colour.a.value, 11.0);
  EXPECT_NE(TruthJson(*cooked).find("\"altered\":\"cooked\""), std::string::npos);

  const auto ground = Small(Altered::kGround);
  ASSERT_TRUE(ground);
  ASSERT_EQ(ground->truth.faces[0].muscles.size(), 1U);
  EXPECT_EQ(ground->truth.faces[0].muscles[0].name, report::MuscleName::kOther);
  EXPECT_NEAR(*ground->truth.faces[0].muscles[0].area.value, *ground->truth.faces[0].area.value,
              0.01);

  const auto empty = Small(Altered::kEmpty);
  ASSERT_TRUE(empty);
  EXPECT_TRUE(empty->truth.faces.empty());
  EXPECT_EQ(cv::countNonZero(empty->tissue), 0);
  EXPECT_EQ(empty->rgb.size(), plain->rgb.size());

  const auto unfocused = Small(Altered::kUnfocused);
  ASSERT_TRUE(unfocused);
  EXPECT_LT(Sharpness(*unfocused), 0.5 * sharp);

  const auto film = Small(Altered::kFilm);
  ASSERT_TRUE(film);
  EXPECT_GT(film->truth.faces[0].unreadable_pct, 45.0);
  EXPECT_LT(plain->truth.faces[0].unreadable_pct, 15.0);
}

}  // namespace
}  // namespace ribwright::phantom
