// SPDX-License-Identifier: Apache-2.0
#include "photo/face_plane.h"

#include <gtest/gtest.h>

#include <cmath>
#include <iostream>

#include "base/check.h"
#include "math/rng.h"
#include "photo/card_layout.h"
#include "photo/card_test_scene.h"

namespace ribwright::photo {
namespace {

// A card found from marker corners with noise, without rendering.
CardFound Seen(const test::Scene& s, double noise_px, math::Rng& rng) {
  std::vector<cv::Point2d> design;
  std::vector<cv::Point2d> px;
  const cv::Matx33d h = test::PxFromWorld(s);
  CardFound card;
  for (const CardTag& tag : CardTags()) {
    card.tag_ids.push_back(tag.id);
    for (const auto& d : {cv::Point2d(0, 0), {1, 0}, {1, 1}, {0, 1}}) {
      const cv::Point2d p(tag.x_mm + d.x * tag.size_mm, tag.y_mm + d.y * tag.size_mm);
      design.push_back(p);
      const cv::Point2d world((p.x - kCardWidthMm / 2) * s.print_scale,
                              (p.y - kCardHeightMm / 2) * s.print_scale);
      px.push_back(Transform(h, world) +
                   cv::Point2d(rng.Normal(0, noise_px), rng.Normal(0, noise_px)));
    }
  }
  card.px_from_design = *FitHomography(design, px, 1.0, 0.03);
  card.print_relative_sd = kUnmeasuredPrintSd;
  return card;
}

// Measured over true length of a 100 mm segment of the face about the photo's middle.
double LengthRatio(const Plane& plane, const test::Scene& s, double height, double angle) {
  const cv::Matx33d world_from_px = test::PxFromWorld(s, height).inv();
  const cv::Point2d middle = Transform(world_from_px, {s.size.width / 2.0, s.size.height / 2.0});
  const cv::Point2d d(50 * std::cos(angle), 50 * std::sin(angle));
  const cv::Matx33d px_from_world = test::PxFromWorld(s, height);
  const cv::Point2d a = Transform(px_from_world, middle - d);
  const cv::Point2d b = Transform(px_from_world, middle + d);
  const cv::Point2d v = plane.MmFromPx(b.x, b.y) - plane.MmFromPx(a.x, a.y);
  return std::hypot(v.x, v.y) / 100.0;
}

TEST(FacePlane, MeetsTheClosedFormOfACameraSquareOn) {
  test::Scene s;
  s.distance_mm = 500;
  math::Rng rng(1);
  CardFound card = Seen(s, 0.0, rng);
  const double f35 = s.focal_px * kFullFrameDiagonalMm / std::hypot(2400, 1800);
  const Plane plane = FacePlane(card, 30.0, 1.0, f35, s.size);
  // Z / (Z - T): what the face's plane must show more pixels by.
  EXPECT_NEAR(plane.PxPerMm(1200, 900), s.focal_px / (500.0 - 30.0), 1e-3 * s.focal_px / 470.0);
  EXPECT_EQ(plane.source, report::ScaleSource::kCard);
  // Square-on and without doubt of the markers, what is left is the thickness, focal length and
  // print.
  const double expected = std::sqrt(std::pow(1.0 / 470, 2) + std::pow(0.02 * 30.0 / 470, 2) +
                                    std::pow(kUnmeasuredPrintSd * 500 / 470, 2));
  EXPECT_NEAR(plane.relative_sd, expected, 0.15 * expected);
}

TEST(FacePlane, IsExactForEveryViewWithExactInput) {
  for (const double tilt : {0.0, 20.0, 45.0}) {
    for (const double azimuth : {0.0, 110.0, 250.0}) {
      test::Scene s;
      s.tilt_deg = tilt;
      s.azimuth_deg = azimuth;
      s.roll_deg = 33;
      math::Rng rng(2);
      CardFound card = Seen(s, 0.0, rng);
      const double f35 = s.focal_px * kFullFrameDiagonalMm / std::hypot(2400, 1800);
      const Plane plane = FacePlane(card, 40.0, 1.0, f35, s.size);
      for (const double angle : {0.0, 0.8, 1.6, 2.4}) {
        EXPECT_NEAR(LengthRatio(plane, s, 40.0, angle), 1.0, 1e-4) << tilt << " " << azimuth;
      }
    }
  }
}

TEST(FacePlane, MeasuresARenderedPhotoWithinHalfAPercent) {
  std::uint64_t seed = 70;
  for (const double tilt : {0.0, 25.0, 45.0}) {
    test::Scene s;
    s.tilt_deg = tilt;
    s.azimuth_deg = 70;
    s.blur_px = 1.2;
    s.print_scale = 0.985;
    const auto card =
        FindCard(test::Render(s, seed++), {.threads = 2, .ruler_mm = 0.985 * kCardRulerMm});
    ASSERT_TRUE(card.has_value());
    const double f35 = s.focal_px * kFullFrameDiagonalMm / std::hypot(2400, 1800);
    const Plane plane = FacePlane(*card, 30.0, 1.0, f35, s.size);
    for (const double angle : {0.0, 0.8, 1.6, 2.4}) {
      EXPECT_NEAR(LengthRatio(plane, s, 30.0, angle), 1.0, 0.005) << tilt << " " << angle;
    }
  }
}

TEST(FacePlane, FindsTheFocalLengthFromATiltedCardAlone) {
  test::Scene s;
  s.tilt_deg = 40;
  s.azimuth_deg = 60;
  math::Rng rng(4);
  const CardFound card = Seen(s, 0.05, rng);
  const Focal focal = EstimateFocal(card, std::nullopt, s.size);
  EXPECT_NEAR(std::log(focal.px / s.focal_px), 0.0, 3.0 * focal.log_sd);
  EXPECT_LT(focal.log_sd, 0.12);
  // Nearly overhead the perspective says next to nothing.
  s.tilt_deg = 1;
  EXPECT_GT(EstimateFocal(Seen(s, 0.05, rng), std::nullopt, s.size).log_sd, 0.2);
}

TEST(FacePlane, SetsAFocalLengthAsideThatACroppedPhotoMadeFalse) {
  test::Scene s;
  s.tilt_deg = 42;
  s.azimuth_deg = 70;
  s.distance_mm = 350;
  math::Rng rng(5);
  const CardFound card = Seen(s, 0.05, rng);
  const double f35 = s.focal_px * kFullFrameDiagonalMm / std::hypot(2400, 1800);
  std::vector<report::Caution> warnings;
  FacePlane(card, 30.0, 1.0, f35 / 2.0, s.size, &warnings);
  ASSERT_EQ(warnings.size(), 1U);
  EXPECT_EQ(warnings[0].code, Code::kCameraDistanceUnknown);
}

// Share of true lengths inside the 90 % interval, over many cameras.
struct Coverage {
  double share = 0.0;
  double mean_sd = 0.0;
};
enum class Known { kAll, kNoThickness, kNoFocal };
Coverage CoverageOf(Known known) {
  constexpr int kDraws = 1000;
  int inside = 0;
  double sd = 0.0;
  for (int draw = 0; draw < kDraws; ++draw) {
    math::Rng rng(static_cast<std::uint64_t>(40000 + draw));
    test::Scene s;
    s.tilt_deg = rng.Uniform(0, 45);
    s.azimuth_deg = rng.Uniform(0, 360);
    s.roll_deg = rng.Uniform(0, 360);
    const double f35 =
        27.0 * std::exp(known == Known::kNoFocal ? rng.Normal(0, 0.35) : rng.Normal(0, 0.15));
    s.focal_px = FocalPxFrom35mm(f35, s.size);
    s.distance_mm = rng.Uniform(300, 600) * s.focal_px / 1900;
    s.look_at = {rng.Uniform(-20, 20), rng.Uniform(40, 110)};
    s.print_scale = 1.0 + rng.Normal(0, known == Known::kAll ? 0.015 : 0.002);
    CardFound card = Seen(s, rng.Uniform(0.03, 0.25), rng);
    if (known == Known::kAll) {
      card.print_relative_sd = kUnmeasuredPrintSd;
    } else {
      card.print_relative_sd = kRulerRelativeSd;
    }
    const double height =
        known == Known::kNoThickness ? std::max(2.0, rng.Normal(25, 12)) : rng.Uniform(12, 60);
    std::optional<double> thickness = std::max(1.0, height + rng.Normal(0, 1.0));
    if (known == Known::kNoThickness) thickness.reset();
    std::optional<double> exif = std::exp(std::log(f35) + rng.Normal(0, 0.02));
    if (known == Known::kNoFocal) exif.reset();
    const Plane plane = FacePlane(card, thickness, 1.0, exif, s.size);
    const double ratio = LengthRatio(plane, s, height, rng.Uniform(0, 3.14159));
    inside += std::abs(ratio - 1.0) < 1.6449 * plane.relative_sd ? 1 : 0;
    sd += plane.relative_sd / kDraws;
  }
  return {static_cast<double>(inside) / kDraws, sd};
}

TEST(FacePlane, NinetyPercentIntervalsCoverWhatTheyClaim) {
  const Coverage all = CoverageOf(Known::kAll);
  EXPECT_GT(all.share, 0.85);
  EXPECT_LT(all.share, 0.95);
  const Coverage no_thickness = CoverageOf(Known::kNoThickness);
  EXPECT_GT(no_thickness.share, 0.85);
  EXPECT_LT(no_thickness.share, 0.95);
  const Coverage no_focal = CoverageOf(Known::kNoFocal);
  EXPECT_GT(no_focal.share, 0.85);
  EXPECT_LT(no_focal.share, 0.96);
  std::cout << "coverage, mean relative sd: all known " << all.share << " " << all.mean_sd
            << ", no thickness " << no_thickness.share << " " << no_thickness.mean_sd
            << ", no focal length " << no_focal.share << " " << no_focal.mean_sd << "\n";
}

TEST(FacePlane, WarnsOfWhatIsNotKnownAndRefusesNonsense) {
  test::Scene s;
  math::Rng rng(6);
  const CardFound card = Seen(s, 0.05, rng);
  std::vector<report::Caution> warnings;
  const Plane unknown = FacePlane(card, std::nullopt, 0.0, std::nullopt, s.size, &warnings);
  ASSERT_EQ(warnings.size(), 2U);
  EXPECT_EQ(warnings[0].code, Code::kThicknessUnknown);
  EXPECT_EQ(warnings[1].code, Code::kCameraDistanceUnknown);
  EXPECT_GT(unknown.relative_sd, 0.02);
  warnings.clear();
  const Plane absurd = FacePlane(card, 2000.0, 1.0, 26.0, s.size, &warnings);
  ASSERT_EQ(warnings.size(), 1U);
  EXPECT_EQ(warnings[0].code, Code::kThicknessUnknown);
  EXPECT_TRUE(std::isfinite(absurd.relative_sd));
  for (const double focal_35mm : {2.0, 65535.0}) {
    warnings.clear();
    const Plane set_aside = FacePlane(card, 30.0, 1.0, focal_35mm, s.size, &warnings);
    ASSERT_EQ(warnings.size(), 1U);
    EXPECT_EQ(warnings[0].code, Code::kCameraDistanceUnknown);
    EXPECT_EQ(set_aside.PxPerMm(900, 700),
              FacePlane(card, 30.0, 1.0, std::nullopt, s.size).PxPerMm(900, 700));
  }
  EXPECT_THROW(FacePlane(card, -1.0, 1.0, 26.0, s.size), LogicError);
}

TEST(PlaneFromUser, IsAPlainScale) {
  const Plane plane = PlaneFromUser(8.0);
  EXPECT_DOUBLE_EQ(plane.PxPerMm(100, 700), 8.0);
  EXPECT_DOUBLE_EQ(plane.relative_sd, 0.02);
  EXPECT_EQ(plane.source, report::ScaleSource::kUser);
  EXPECT_THROW(PlaneFromUser(0.0), LogicError);
}

}  // namespace
}  // namespace ribwright::photo
