// SPDX-License-Identifier: Apache-2.0
#include "cooking/series.h"

#include <gtest/gtest.h>

#include <boost/math/special_functions/erf.hpp>
#include <cmath>
#include <functional>
#include <limits>
#include <map>
#include <numbers>
#include <string>

#include "base/check.h"
#include "base/golden.h"

namespace ribwright::cooking {
namespace {

constexpr double kPi = std::numbers::pi;
const double kHeld = std::numeric_limits<double>::infinity();

std::vector<GoldenRow> Rows(const std::string& file, const std::vector<GoldenInput>& inputs) {
  const auto rows = ReadGolden(std::string(RIBWRIGHT_SOURCE_DIR) + "/tests/golden/" + file, inputs);
  if (!rows) {
    ADD_FAILURE() << rows.error().message << " " << rows.error().where;
    return {};
  }
  return *rows;
}

Series SeriesOf(const GoldenRow& row) {
  const std::string& body = row.Text("body");
  const std::string& biot = row.Text("biot");
  return Series(body == "wall"  ? Body::kSlab
                : body == "cyl" ? Body::kCylinder
                                : Body::kSphere,
                biot == "inf" ? kHeld : std::stod(biot));
}

TEST(Series, OneTermCoefficientsAreThePublishedOnes) {
  for (const auto& row : Rows(
           "cooking_one_term.csv",
           {{"body", CellKind::kText}, {"biot", CellKind::kText}, {"quantity", CellKind::kText}})) {
    const Series series = SeriesOf(row);
    const bool zeta = row.Text("quantity") == "zeta1";
    const double value = zeta ? series.OneTerm().zeta : series.OneTerm().c;
    EXPECT_TRUE(row.Near(value)) << row.id << " " << value;
  }
}

TEST(Series, ValuesAreThoseOfAnotherProgram) {
  for (const auto& row : Rows("cooking_series.csv", {{"body", CellKind::kText},
                                                     {"biot", CellKind::kText},
                                                     {"fourier"},
                                                     {"quantity", CellKind::kText}})) {
    const Series series = SeriesOf(row);
    const std::string& what = row.Text("quantity");
    const double fo = row.Number("fourier");
    const double value =
        what == "theta_mean" ? series.Mean(fo) : series.Theta(what == "theta_centre" ? 0 : 1, fo);
    EXPECT_TRUE(row.Near(value)) << row.id << " " << value;
  }
}

// theta of one body, T back from it.
double After(Body body, double l, double k, double alpha, double h, double start, double env,
             double x, double seconds) {
  const Series series(body, h * l / k);
  return env + (start - env) * series.Theta(x / l, alpha * seconds / (l * l));
}

// A bar from 0 to L: held at 0 at one end, 100 sin(pi t / 40) at the other (Duhamel's sum).
double DrivenBar(double x, double seconds) {
  const double length = 0.1, alpha = 35.0 / (440.5 * 7200.0), w = kPi / 40.0;
  double t = 100.0 * std::sin(w * seconds) * x / length;
  for (int n = 1; n <= 2000; ++n) {
    const double rate = alpha * std::pow(n * kPi / length, 2);
    const double drive = 200.0 * w / (n * kPi) * (n % 2 == 0 ? 1.0 : -1.0);
    const double b = drive *
                     (rate * std::cos(w * seconds) + w * std::sin(w * seconds) -
                      rate * std::exp(-rate * seconds)) /
                     (rate * rate + w * w);
    t += b * std::sin(n * kPi * x / length);
  }
  return t;
}

TEST(Series, TextbookExamplesComeOutExactly) {
  const auto ground = [](double x) {
    return 15.6 - 33.4 * DeepConvection(x, 4.65e-7 * 18000, 11.36, 0.865);
  };
  const auto butter = [](double x) {
    return After(Body::kSlab, 0.0462, 0.197, 0.197 / (998.0 * 2300.0), 8.52, 277.6, 297.1, x,
                 18000);
  };
  const auto pipe = [](double x) {
    return After(Body::kSlab, 0.04, 63.9, 18.8e-6, 500, -20, 60, x, 480);
  };
  const auto held = [](double from_front) {
    return 100.0 * Series(Body::kSlab, kHeld).Theta(1.0 - from_front, 2e-5 * 6000);
  };
  const auto root = [](const std::function<double(double)>& f, double low, double high) {
    for (int i = 0; i < 50; ++i) {
      const double mid = 0.5 * (low + high);
      ((f(low) > 0) == (f(mid) > 0) ? low : high) = mid;
    }
    return low;
  };
  const double chill_l = 0.1015, chill_a = 0.498 / (1073.0 * 3480.0);
  const Series chill(Body::kSlab, 39.7 * chill_l / 0.498);
  const double sphere_r = 0.005;
  const double bar_fo = 9.71e-5 * 300;
  const std::map<std::string, double> values{
      {"we-02", After(Body::kSlab, 0.02, 110, 33.9e-6, 120, 20, 500, 0.02, 420)},
      {"we-03", After(Body::kCylinder, 0.1, 14.9, 3.95e-6, 80, 600, 200, 0, 2700)},
      {"we-05", 2.0 * std::sqrt(0.15e-6 * 90 * 86400.0) * boost::math::erf_inv(10.0 / 25.0)},
      {"we-06", 20.0 + DeepFlux(0, 1.1e-5 * 1200, 1250, 1.26)},
      {"we-08", 15.0 + 185.0 * Series(Body::kCylinder, 120 * 0.1 / 237.0).Theta(0, bar_fo / 0.01) *
                           (1.0 - DeepConvection(0.15, bar_fo, 120, 237))},
      {"we-09", 0.45 / 0.015 *
                    root(
                        [](double biot) {
                          const Series steak(Body::kSlab, biot);
                          const double fo = steak.FourierAt(0, 23.0 / 40.0);
                          return steak.Theta(1, fo) - 17.0 / 40.0;
                        },
                        0.5, 1.0)},
      {"we-10", pipe(0.0)},
      {"we-11", 500.0 * (pipe(0.04) - 60.0)},
      {"we-12",
       -80.0 * kPi * 0.04 * 7832.0 * 434.0 *
           (1.0 - Series(Body::kSlab, 500 * 0.04 / 63.9).Mean(18.8e-6 * 480 / (0.04 * 0.04)))},
      {"we-13", Series(Body::kSphere, 6000 * sphere_r / 20.0).FourierAt(0, 30.0 / 315.0) *
                    sphere_r * sphere_r / 6.66e-6},
      {"we-14", ground(0.0)},
      {"we-15", root(ground, 0.0, 0.2)},
      {"we-16", butter(0.0462)},
      {"we-17", butter(0.0208)},
      {"we-18", butter(0.0)},
      {"we-19", After(Body::kCylinder, 0.03405, 0.83, 2.007e-7, 4540, 29.4, 115.6, 0, 2700)},
      {"we-22", held(0.4)},
      {"we-23", held(0.6)},
      {"we-27", After(Body::kSlab, 1.0, 10, 2e-5, 25, 100, 0, 0, 6000)},
      {"we-28", chill.FourierAt(0, 8.3 / 36.1) * chill_l * chill_l / chill_a / 3600.0},
      {"we-32", 35.0 + DeepFlux(0, 1.4e-5 * 30, 3.2e5, 45)},
      {"we-33", root(
                    [](double t) {
                      return 200.0 - 130.0 * DeepConvection(0.04, 8.4e-5 * t, 525, 215) - 120.0;
                    },
                    1.0, 20000.0)},
      {"we-34", After(Body::kSlab, 0.025, 215, 8.4e-5, 525, 200, 70, 0.0125, 60)},
      {"we-36",
       70.0 + 130.0 *
                  Series(Body::kCylinder, 525 * 0.025 / 215.0).Theta(0.5, 8.4e-5 * 60 / 6.25e-4) *
                  Series(Body::kSlab, 525 * 0.05 / 215.0).Theta(0.875, 8.4e-5 * 60 / 2.5e-3)},
      {"we-37", DrivenBar(0.08, 32)},
  };
  int seen = 0;
  for (const auto& row : Rows("cooking_textbook.csv", {})) {
    const auto found = values.find(row.id);
    ASSERT_NE(found, values.end()) << row.id;
    EXPECT_TRUE(row.Near(found->second)) << row.id << " " << found->second;
    ++seen;
  }
  EXPECT_EQ(seen, static_cast<int>(values.size()));
}

TEST(Series, StartsWholeFallsSteadilyAndRefusesNonsense) {
  const Series series(Body::kSphere, 3.0);
  EXPECT_EQ(series.Theta(0.5, 0.0), 1.0);
  double last = 1.0;
  for (double fo = 0.01; fo < 2.0; fo += 0.01) {
    const double now = series.Mean(fo);
    EXPECT_LT(now, last);
    last = now;
  }
  EXPECT_NEAR(series.Theta(0, series.FourierAt(0, 0.3)), 0.3, 1e-9);
  EXPECT_THROW(Series(Body::kSlab, 0.0), LogicError);
  EXPECT_THROW(static_cast<void>(series.Theta(1.5, 1.0)), LogicError);
}

TEST(Series, DeepConvectionMeetsItsAsymptote) {
  // Both branches of the product agree where they meet: a strong h makes b large.
  const double strong = DeepConvection(0.0, 1e-2, 124.9 * 2, 1.0);
  const double stronger = DeepConvection(0.0, 1e-2, 125.1 * 2, 1.0);
  EXPECT_NEAR(strong, stronger, 1e-4);
  EXPECT_NEAR(DeepConvection(0.01, 1e-4, 1e9, 1.0), DeepFixed(0.01, 1e-4), 1e-6);
}

}  // namespace
}  // namespace ribwright::cooking
