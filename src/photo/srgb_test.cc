// SPDX-License-Identifier: Apache-2.0
#include "photo/srgb.h"

#include <gtest/gtest.h>
#include <lcms2.h>

#include <cmath>
#include <memory>

#include "base/golden.h"
#include "photo/delta_e.h"

namespace ribwright::photo {
namespace {

struct ProfileClose {
  void operator()(void* profile) const { cmsCloseProfile(profile); }
};
struct TransformDelete {
  void operator()(void* transform) const { cmsDeleteTransform(transform); }
};

TEST(Srgb, CurveJoinsRunsBothWaysAndIsOdd) {
  for (int i = -300; i <= 300; ++i) {
    const double code = i / 200.0;
    EXPECT_NEAR(SrgbFromLinear(LinearFromSrgb(code)), code, 1e-12);
    EXPECT_EQ(LinearFromSrgb(-code), -LinearFromSrgb(code));
  }
  EXPECT_NEAR(LinearFromSrgb(std::nextafter(0.04045, 1.0)), LinearFromSrgb(0.04045), 1e-7);
  EXPECT_EQ(LinearFromCode()[0], 0.0F);
  EXPECT_EQ(LinearFromCode()[255], 1.0F);
}

TEST(Srgb, WhiteIsTheConnectionSpacesWhite) {
  const cv::Vec3d white = XyzFromLinearSrgb() * cv::Vec3d(1, 1, 1);
  EXPECT_LT(cv::norm(white - WhiteD50()), 1e-12);
  const LabColour lab = LabFromSrgb({255, 255, 255});
  EXPECT_NEAR(lab.L, 100.0, 1e-9);
  EXPECT_NEAR(std::hypot(lab.a, lab.b), 0.0, 1e-9);
}

TEST(Srgb, LabRunsBothWaysAlsoInTheStraightPart) {
  for (double L = 0.0; L <= 100.0; L += 4.0) {
    const LabColour lab{L, 30.0 - L, L / 2.0 - 10.0};
    const LabColour back = LabFromXyz(XyzFromLab(lab));
    EXPECT_NEAR(back.L, lab.L, 1e-10);
    EXPECT_NEAR(back.a, lab.a, 1e-10);
    EXPECT_NEAR(back.b, lab.b, 1e-10);
  }
}

// lcms2 builds sRGB on its own (its profile rounds the matrix to 1/65536 steps, and adapts D65 at
// xy 0.3127, 0.3290).
TEST(Srgb, LabOfCodesAgreesWithLcms) {
  const std::unique_ptr<void, ProfileClose> srgb(cmsCreate_sRGBProfile());
  const std::unique_ptr<void, ProfileClose> lab4(cmsCreateLab4Profile(nullptr));
  const std::unique_ptr<void, TransformDelete> transform(
      cmsCreateTransform(srgb.get(), TYPE_RGB_DBL, lab4.get(), TYPE_Lab_DBL,
                         INTENT_RELATIVE_COLORIMETRIC, cmsFLAGS_NOCACHE | cmsFLAGS_NOOPTIMIZE));
  ASSERT_NE(transform, nullptr);
  for (int at = 0; at < 6 * 6 * 6; ++at) {
    const int rgb[3] = {at / 36 * 51, at / 6 % 6 * 51, at % 6 * 51};
    const double in[3] = {rgb[0] / 255.0, rgb[1] / 255.0, rgb[2] / 255.0};
    cmsCIELab want{};
    cmsDoTransform(transform.get(), in, &want, 1);
    const LabColour got =
        LabFromSrgb(cv::Vec3b(static_cast<std::uint8_t>(rgb[0]), static_cast<std::uint8_t>(rgb[1]),
                              static_cast<std::uint8_t>(rgb[2])));
    EXPECT_NEAR(got.L, want.L, 0.03);
    EXPECT_NEAR(got.a, want.a, 0.03);
    EXPECT_NEAR(got.b, want.b, 0.03);
  }
}

TEST(Srgb, LabOfXyzAgreesWithLcms) {
  const cmsCIEXYZ white = {WhiteD50()[0], WhiteD50()[1], WhiteD50()[2]};
  for (int i = 0; i < 200; ++i) {
    const cv::Vec3d xyz(0.0005 * i * i / 20.0, 0.005 * i, 0.004 * (200 - i));
    const cmsCIEXYZ in = {xyz[0], xyz[1], xyz[2]};
    cmsCIELab want{};
    cmsXYZ2Lab(&white, &want, &in);
    const LabColour got = LabFromXyz(xyz);
    EXPECT_NEAR(got.L, want.L, 1e-9);
    EXPECT_NEAR(got.a, want.a, 1e-9);
    EXPECT_NEAR(got.b, want.b, 1e-9);
  }
}

// The formula once more, with no hue angles in its difference: dH from the vectors themselves,
// dH = (a1 b2 - a2 b1) / sqrt((C1 C2 + a1 a2 + b1 b2) / 2), and the mean hue as a complex mean of
// unit vectors.
double SecondRoute(const LabColour& p, const LabColour& q) {
  const auto share = [](double c) { return std::sqrt(1.0 / (1.0 + std::pow(25.0 / c, 7.0))); };
  const double mean = 0.5 * (std::hypot(p.a, p.b) + std::hypot(q.a, q.b));
  const double gain = 1.5 - 0.5 * (mean > 0.0 ? share(mean) : 0.0);
  const double a1 = p.a * gain;
  const double a2 = q.a * gain;
  const double c1 = std::hypot(a1, p.b);
  const double c2 = std::hypot(a2, q.b);
  const double inside = 0.5 * (c1 * c2 + a1 * a2 + p.b * q.b);
  const double u = (c1 > 0.0 ? a1 / c1 : 0.0) + (c2 > 0.0 ? a2 / c2 : 0.0);
  const double v = (c1 > 0.0 ? p.b / c1 : 0.0) + (c2 > 0.0 ? q.b / c2 : 0.0);
  // Exactly opposite hues have no mean direction: the paper then takes half the sum of angles in
  // 0..360.
  const bool opposite = std::hypot(u, v) < 1e-9 && c1 * c2 > 0.0;
  constexpr double kTurn = 2.0 * 3.14159265358979323846;
  const auto angle = [](double y, double x) {
    const double radians = std::atan2(y, x);
    return radians < 0.0 ? radians + kTurn : radians;
  };
  const double h = opposite ? 0.5 * (angle(p.b, a1) + angle(q.b, a2)) : angle(v, u);
  const double dH = opposite         ? 2.0 * std::sqrt(c1 * c2)
                    : c1 * c2 == 0.0 ? 0.0
                                     : (a1 * q.b - a2 * p.b) / std::sqrt(inside);
  constexpr double kDegree = 3.14159265358979323846 / 180.0;
  const double T = 1.0 - 0.17 * std::cos(h - 30.0 * kDegree) + 0.24 * std::cos(2.0 * h) +
                   0.32 * std::cos(3.0 * h + 6.0 * kDegree) -
                   0.20 * std::cos(4.0 * h - 63.0 * kDegree);
  const double C = 0.5 * (c1 + c2);
  const double degrees = h / kDegree;
  const double turn = 2.0 * (C > 0.0 ? share(C) : 0.0) *
                      std::sin(60.0 * kDegree * std::exp(-std::pow((degrees - 275.0) / 25.0, 2.0)));
  const double off = std::pow(0.5 * (p.L + q.L) - 50.0, 2.0);
  const double l = (q.L - p.L) / (1.0 + 0.015 * off / std::sqrt(20.0 + off));
  const double c = (c2 - c1) / (1.0 + 0.045 * C);
  const double t = dH / (1.0 + 0.015 * C * T);
  return std::sqrt(l * l + c * c + t * t - turn * c * t);
}

class Ciede2000 : public ::testing::Test {
 protected:
  void SetUp() override {
    const auto read =
        ReadGolden(RIBWRIGHT_SOURCE_DIR "/tests/golden/ciede2000.csv", {{"L1", CellKind::kNumber},
                                                                        {"a1", CellKind::kNumber},
                                                                        {"b1", CellKind::kNumber},
                                                                        {"L2", CellKind::kNumber},
                                                                        {"a2", CellKind::kNumber},
                                                                        {"b2", CellKind::kNumber}});
    ASSERT_TRUE(read.has_value()) << read.error().message << read.error().where;
    rows_ = *read;
    ASSERT_EQ(rows_.size(), 34U);
  }
  static LabColour First(const GoldenRow& row) {
    return {row.Number("L1"), row.Number("a1"), row.Number("b1")};
  }
  static LabColour Second(const GoldenRow& row) {
    return {row.Number("L2"), row.Number("a2"), row.Number("b2")};
  }
  std::vector<GoldenRow> rows_;
};

TEST_F(Ciede2000, ReproducesAllPublishedPairsBothWaysRound) {
  for (const GoldenRow& row : rows_) {
    EXPECT_TRUE(row.Near(DeltaE2000(First(row), Second(row))))
        << row.id << " " << DeltaE2000(First(row), Second(row));
    EXPECT_TRUE(row.Near(DeltaE2000(Second(row), First(row)))) << row.id;
  }
}

TEST_F(Ciede2000, PublishedPairsAgreeWithASecondArrangementOfTheFormula) {
  for (const GoldenRow& row : rows_) {
    EXPECT_TRUE(row.Near(SecondRoute(First(row), Second(row))))
        << row.id << " " << SecondRoute(First(row), Second(row));
  }
}

TEST_F(Ciede2000, PublishedPairsAgreeWithLcms) {
  for (const GoldenRow& row : rows_) {
    const LabColour one = First(row);
    const LabColour two = Second(row);
    const cmsCIELab a = {one.L, one.a, one.b};
    const cmsCIELab b = {two.L, two.a, two.b};
    EXPECT_TRUE(row.Near(cmsCIE2000DeltaE(&a, &b, 1, 1, 1)))
        << row.id << " " << cmsCIE2000DeltaE(&a, &b, 1, 1, 1);
  }
}

TEST(DeltaE, IsZeroForEqualColoursAndFiniteForGreys) {
  EXPECT_EQ(DeltaE2000({40, 20, 10}, {40, 20, 10}), 0.0);
  EXPECT_EQ(DeltaE2000({40, 0, 0}, {40, 0, 0}), 0.0);
  EXPECT_TRUE(std::isfinite(DeltaE2000({0, 0, 0}, {100, 0, 0})));
}

}  // namespace
}  // namespace ribwright::photo
