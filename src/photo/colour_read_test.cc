// SPDX-License-Identifier: Apache-2.0
#include "photo/colour_read.h"

#include <gtest/gtest.h>

#include <cmath>
#include <iostream>

#include "math/rng.h"
#include "photo/card_layout.h"
#include "photo/card_test_scene.h"
#include "photo/delta_e.h"

namespace ribwright::photo {
namespace {

LabColour LabOf(Srgb8 c) { return LabFromSrgb(cv::Vec3b(c.r, c.g, c.b)); }

// What the test renderer paints, measured without error.
CardValues TrueValues() {
  CardValues values;
  for (const CardPatch& p : CardPatches()) {
    values.values.push_back({std::string(p.id), LabOf(p.colour)});
  }
  values.values.push_back({std::string(kCardPaperId), LabOf(kCardPaper)});
  return values;
}

// Bloomed lean, linear sRGB, as the board: L* about 36.
const cv::Vec3d kLean(0.24, 0.052, 0.043);

// A camera of its own mixing and white balance in light that falls off 2:1 over about 250 mm.
test::Scene OddCamera(std::uint64_t seed) {
  math::Rng rng(seed);
  test::Scene s;
  s.size = {1600, 1200};
  s.focal_px = 1600;
  s.tilt_deg = rng.Uniform(0, 35);
  s.azimuth_deg = rng.Uniform(0, 360);
  s.board = kLean;
  cv::Matx33d mix = cv::Matx33d::eye();
  for (int i = 0; i < 3; ++i) {
    for (int j = 0; j < 3; ++j) {
      if (i != j) mix(i, j) = rng.Uniform(-0.06, 0.10);
    }
  }
  const cv::Matx33d gain(rng.Uniform(0.65, 0.95), 0, 0, 0, rng.Uniform(0.65, 0.95), 0, 0, 0,
                         rng.Uniform(0.55, 0.95));
  s.mixing = gain * mix * 0.8;
  const double direction = rng.Uniform(0, 6.283);
  s.light = [direction](double x, double y) {
    const double along = (x * std::cos(direction) + (y - 40) * std::sin(direction)) / 125.0;
    return std::exp(-0.5 * std::log(2.0) * along);
  };
  return s;
}

// Mean colour difference of the board below the card, each place with its own light.
double BoardError(const cv::Mat& photo, const test::Scene& s, const ColourReference& reference) {
  const LabColour truth = LabFromXyz(XyzFromLinearSrgb() * s.board);
  const LightField field(reference);
  double sum = 0.0;
  int n = 0;
  for (double x = -60; x <= 60; x += 20) {
    for (double y = 50; y <= 110; y += 15) {
      const cv::Point2d at = Transform(test::PxFromWorld(s), {x, y});
      const cv::Rect box(cvFloor(at.x) - 6, cvFloor(at.y) - 6, 13, 13);
      if ((box & cv::Rect({}, photo.size())) != box) continue;
      cv::Vec3d mean(0, 0, 0);
      for (int j = 0; j < 13; ++j) {
        for (int i = 0; i < 13; ++i) {
          const cv::Vec3b c = photo.at<cv::Vec3b>(box.y + j, box.x + i);
          for (int k = 0; k < 3; ++k) mean[k] += test::Linear(c[k]) / 169.0;
        }
      }
      const LabColour lab = LabFromXyz(reference.XyzAt(mean, field.At(at.x, at.y).relative));
      sum += DeltaE2000(lab, truth);
      ++n;
    }
  }
  EXPECT_GT(n, 8);
  return sum / n;
}

TEST(ReadColour, WithoutACardIsPlainSrgb) {
  const cv::Mat photo(100, 100, CV_8UC3, cv::Scalar(120, 60, 50));
  const ColourReference reference = ReadColour(photo, nullptr, std::nullopt);
  EXPECT_EQ(reference.status.source, "none");
  EXPECT_FALSE(reference.status.calibrated);
  EXPECT_TRUE(reference.light.empty());
  EXPECT_GT(reference.de00_sd, 0.0);
  EXPECT_EQ(reference.xyz_from_linear, XyzFromLinearSrgb());
  EXPECT_DOUBLE_EQ(RelativeLight(reference, 3, 4).relative, 1.0);
}

TEST(ReadColour, WithValuesUndoesAnOddCameraInUnevenLight) {
  double sum = 0.0;
  constexpr int kDraws = 8;
  for (std::uint64_t seed = 100; seed < 100 + kDraws; ++seed) {
    const test::Scene s = OddCamera(seed);
    const cv::Mat photo = test::Render(s, seed);
    const auto card = FindCard(photo);
    ASSERT_TRUE(card.has_value());
    std::vector<report::Caution> warnings;
    const ColourReference reference = ReadColour(photo, &*card, TrueValues(), &warnings);
    EXPECT_TRUE(warnings.empty());
    EXPECT_TRUE(reference.status.calibrated);
    EXPECT_EQ(reference.status.source, "entered patch values");
    ASSERT_TRUE(reference.status.residual_de00.has_value());
    EXPECT_LT(*reference.status.residual_de00, 1.5);
    const double error = BoardError(photo, s, reference);
    EXPECT_LT(error, 2.5) << seed;
    sum += error / kDraws;
  }
  EXPECT_LT(sum, 1.2);
  std::cout << "mean CIEDE2000 of the lean with values: " << sum << "\n";
}

TEST(ReadColour, NeutralOnlyBalancesButClaimsNoCalibration) {
  test::Scene s = OddCamera(300);
  s.mixing = cv::Matx33d(0.8, 0, 0, 0, 0.65, 0, 0, 0, 0.5);
  const cv::Mat photo = test::Render(s, 7);
  const auto card = FindCard(photo);
  ASSERT_TRUE(card.has_value());
  std::vector<report::Caution> warnings;
  const ColourReference reference = ReadColour(photo, &*card, std::nullopt, &warnings);
  EXPECT_FALSE(reference.status.calibrated);
  EXPECT_EQ(reference.status.source, "print, neutral only");
  EXPECT_FALSE(reference.status.residual_de00.has_value());
  ASSERT_EQ(warnings.size(), 1U);
  EXPECT_EQ(warnings[0].code, Code::kColourNeutralOnly);
  EXPECT_GE(reference.de00_sd, 4.0);
  // A camera off only by gains is wholly undone, paper being what is assumed here.
  EXPECT_LT(BoardError(photo, s, reference), 2.0);
  EXPECT_GT(BoardError(photo, s, ReadColour(photo, nullptr, std::nullopt)), 4.0);
}

TEST(ReadColour, FindsTheExponentOfACamerasTone) {
  test::Scene s = OddCamera(400);
  cv::Mat photo = test::Render(s, 8);
  for (cv::Vec3b& c : cv::Mat_<cv::Vec3b>(photo)) {
    for (int k = 0; k < 3; ++k) {
      c[k] = cv::saturate_cast<std::uint8_t>(255.0 * std::pow(c[k] / 255.0, 1.25));
    }
  }
  const auto card = FindCard(photo);
  ASSERT_TRUE(card.has_value());
  const ColourReference reference = ReadColour(photo, &*card, TrueValues());
  ASSERT_TRUE(reference.status.calibrated);
  EXPECT_NEAR(reference.tone, 0.8, 0.05);
  EXPECT_LT(BoardError(photo, s, reference), 3.0);
}

TEST(ReadColour, RefusesValuesOfAnotherCard) {
  const test::Scene s = OddCamera(500);
  const cv::Mat photo = test::Render(s, 9);
  const auto card = FindCard(photo);
  ASSERT_TRUE(card.has_value());
  CardValues wrong = TrueValues();
  for (std::size_t i = 0; i + 1 < wrong.values.size(); ++i) {
    std::swap(wrong.values[i].lab, wrong.values[(i * 7) % 18].lab);
  }
  std::vector<report::Caution> warnings;
  const ColourReference reference = ReadColour(photo, &*card, wrong, &warnings);
  EXPECT_FALSE(reference.status.calibrated);
  ASSERT_EQ(warnings.size(), 1U);
  EXPECT_EQ(warnings[0].code, Code::kColourNeutralOnly);
}

TEST(ReadColour, ReadsThePatchesAloneWhenThePaperIsOverexposed) {
  for (const std::uint64_t seed : {600U, 601U, 602U}) {
    test::Scene s = OddCamera(seed);
    s.mixing = s.mixing * 1.8;
    const cv::Mat photo = test::Render(s, 10);
    const auto card = FindCard(photo);
    ASSERT_TRUE(card.has_value());
    std::vector<report::Caution> warnings;
    const ColourReference reference = ReadColour(photo, &*card, TrueValues(), &warnings);
    ASSERT_FALSE(warnings.empty());
    EXPECT_EQ(warnings[0].code, Code::kCardColourUnreadable);
    EXPECT_TRUE(reference.status.calibrated);
    EXPECT_GE(reference.light.size(), 12U);
    EXPECT_LT(BoardError(photo, s, reference), 2.5) << seed;
  }
}

TEST(ReadColour, GivesUpWhereNearlyEverythingIsOverexposed) {
  test::Scene s = OddCamera(600);
  s.mixing = cv::Matx33d::eye() * 5.0;
  const cv::Mat photo = test::Render(s, 10);
  const auto card = FindCard(photo);
  if (!card) GTEST_SKIP() << "the card itself is washed out";
  std::vector<report::Caution> warnings;
  const ColourReference reference = ReadColour(photo, &*card, TrueValues(), &warnings);
  EXPECT_FALSE(reference.status.calibrated);
  ASSERT_FALSE(warnings.empty());
  EXPECT_EQ(warnings[0].code, Code::kCardColourUnreadable);
}

TEST(ReadColour, LightReadingsFollowTheFalloffAndSkipStains) {
  test::Scene s = OddCamera(700);
  s.dirt = {{40, 10, 9, 45}, {112, 24, 12, 14}};
  const cv::Mat photo = test::Render(s, 11);
  const auto card = FindCard(photo);
  ASSERT_TRUE(card.has_value());
  const ColourReference reference = ReadColour(photo, &*card, TrueValues());
  ASSERT_GE(reference.light.size(), 10U);
  const double at_card = s.light(0, 0);
  for (const auto& w : {cv::Point2d(0, 60), {-40, 90}, {50, 100}}) {
    const cv::Point2d at = Transform(test::PxFromWorld(s), w);
    const LightAt light = RelativeLight(reference, at.x, at.y);
    const double truth = s.light(w.x, w.y) / at_card;
    EXPECT_NEAR(std::log(light.relative / truth), 0.0, 0.06) << w.x << " " << w.y;
    EXPECT_LT(light.relative_sd, 0.15);
    EXPECT_GT(light.relative_sd, 0.0);
  }
  EXPECT_TRUE(reference.status.calibrated);
  EXPECT_LT(BoardError(photo, s, reference), 2.5);
}

}  // namespace
}  // namespace ribwright::photo
