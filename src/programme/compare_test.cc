// SPDX-License-Identifier: Apache-2.0
#include "programme/compare.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <sstream>

#include "math/rng.h"
#include "programme/words.h"
#include "report/sample_reports.h"

namespace ribwright::programme {
namespace {

using report::Face;

const Difference& Of(const Comparison& c, const std::string& key) {
  for (const Difference& d : c.differences) {
    if (d.key == key) return d;
  }
  ADD_FAILURE() << key;
  return c.differences.front();
}
bool Says(const Comparison& c, const std::string& part) {
  return std::any_of(c.words.begin(), c.words.end(), [&](const std::string& sentence) {
    return sentence.find(part) != std::string::npos;
  });
}
double Draw(math::Rng& rng, const Measured& m) {
  const double z = rng.Normal() / 1.6448536269514722;
  return z > 0.0 ? *m.value + z * (m.high - *m.value) : *m.value + z * (*m.value - m.low);
}

TEST(Compare, VariancesOfIndependentNumbersAdd) {
  const Measured d =
      DifferenceOf(Measured::Of(5, 2, 8, "%", "t"), Measured::Of(9, 5, 13, "%", "t"));
  EXPECT_DOUBLE_EQ(*d.value, 4.0);
  EXPECT_DOUBLE_EQ(d.low, -1.0);
  EXPECT_DOUBLE_EQ(d.high, 9.0);
}

TEST(Compare, OtherLevelsAreBroughtToNinetyPercent) {
  Measured wide = Measured::Of(5, 5 - 2.5758293035489, 5 + 2.5758293035489, "%", "t");
  wide.level = 0.99;
  const Measured d = DifferenceOf(wide, Measured::Exact(5, "%"));
  EXPECT_NEAR(d.high, 1.6448536269514722, 1e-9);
  EXPECT_DOUBLE_EQ(d.level, 0.9);
}

TEST(Compare, IntervalAndOddsAgreeWithSampling) {
  math::Rng rng(11);
  const Measured first = Measured::Of(9.0, 8.2, 10.6, "%", "t");
  for (const Measured& second :
       {Measured::Of(10.0, 9.5, 10.5, "%", "t"), Measured::Of(11.0, 9.0, 12.0, "%", "t"),
        Measured::Of(9.2, 7.0, 13.0, "%", "t"), Measured::Of(8.5, 8.0, 9.5, "%", "t")}) {
    std::vector<double> sample;
    for (int i = 0; i < 40'000; ++i) sample.push_back(Draw(rng, second) - Draw(rng, first));
    std::sort(sample.begin(), sample.end());
    const Measured d = DifferenceOf(first, second);
    const double width = sample[38'000] - sample[2'000];
    // Joining half normals side by side is an approximation, worse the more lopsided the two are.
    EXPECT_NEAR(d.low, sample[2'000], 0.09 * width);
    EXPECT_NEAR(d.high, sample[38'000], 0.09 * width);
    const auto above =
        std::count_if(sample.begin(), sample.end(), [](double x) { return x > 0.0; });
    EXPECT_NEAR(OddsGreaterThanZero(d), static_cast<double>(above) / 40'000.0, 0.06);
    const auto inside = std::count_if(sample.begin(), sample.end(),
                                      [&](double x) { return x >= d.low && x <= d.high; });
    EXPECT_NEAR(static_cast<double>(inside) / 40'000.0, 0.9, 0.03);
  }
}

TEST(Compare, ExactNumbersGiveCertainOdds) {
  EXPECT_EQ(OddsGreaterThanZero(Measured::Exact(1.0, "%")), 1.0);
  EXPECT_EQ(OddsGreaterThanZero(Measured::Exact(-1.0, "%")), 0.0);
  EXPECT_EQ(OddsGreaterThanZero(Measured::Exact(0.0, "%")), 0.5);
}

TEST(Compare, AFaceAgainstItselfShowsNoClearDifference) {
  const Face face = report::SampleRib().faces[0];
  const Comparison c = CompareFaces(face, face);
  for (const Difference& d : c.differences) {
    EXPECT_FALSE(d.told_apart) << d.key;
    EXPECT_NEAR(*d.odds_second_greater, 0.5, 1e-12);
  }
  EXPECT_TRUE(Says(c, "no clear difference in marbling"));
}

TEST(Compare, AFatterCapIsNamedAndTheEyesShowNoClearDifference) {
  const Face first = report::SampleRib().faces[0];
  Face second = first;
  second.muscles[1].marbling_pct = Measured::Of(20.2, 19.0, 21.4, "%", "t");
  second.marbling_pct = Measured::Of(10.9, 10.3, 11.5, "%", "t");
  const Comparison c = CompareFaces(first, second);
  EXPECT_TRUE(Says(c, "The second is more marbled over all muscles, by 1.5 points"));
  EXPECT_TRUE(Says(c, "The second's cap is fatter by 6.0 points"));
  EXPECT_TRUE(Says(c, "The eyes show no clear difference"));
  EXPECT_TRUE(Says(c, "What makes it, in points: the cap's marbling"));
  EXPECT_EQ(c.drivers.front().words, "the cap's marbling");
  const Comparison back = CompareFaces(second, first);
  EXPECT_TRUE(Says(back, "The first's cap is fatter by 6.0 points"));
  EXPECT_DOUBLE_EQ(*Of(back, "cap_marbling_pct").difference.value,
                   -*Of(c, "cap_marbling_pct").difference.value);
}

TEST(Compare, DriversSumToTheDifferenceOfTheMusclesMeans) {
  const Face first = report::SampleRib().faces[0];
  Face second = first;
  second.muscles[0].marbling_pct = Measured::Of(12.0, 11.0, 13.0, "%", "t");
  second.muscles[2].name = report::MuscleName::kMultifidus;
  for (report::Point& p : second.muscles[1].outline_px[0]) p.x *= 1.5;
  const auto mean = [](const Face& f) {
    const double area[] = {170.0 * 110.0, 120.0 * 45.0, 50.0 * 60.0};
    double sum = 0.0;
    double whole = 0.0;
    for (std::size_t i = 0; i < 3; ++i) {
      const double wide = f.muscles[1].outline_px[0][0].x > 700.0 && i == 1 ? 1.5 : 1.0;
      sum += area[i] * wide * *f.muscles[i].marbling_pct.value;
      whole += area[i] * wide;
    }
    return sum / whole;
  };
  double sum = 0.0;
  for (const Driver& driver : CompareFaces(first, second).drivers) sum += driver.points;
  EXPECT_NEAR(sum, mean(second) - mean(first), 1e-9);
}

TEST(Compare, AMuscleOnlyOneFaceHasIsSaid) {
  const Face first = report::SampleRib().faces[0];
  Face second = first;
  second.muscles.erase(second.muscles.begin() + 1);
  const Comparison c = CompareFaces(first, second);
  EXPECT_FALSE(Of(c, "cap_marbling_pct").difference.Known());
  EXPECT_EQ(Of(c, "cap_marbling_pct").difference.reason, "second: no cap is seen");
  EXPECT_TRUE(Says(c, "Only the first shows a cap"));
}

TEST(Compare, WritesJsonAndATableOfEightyColumns) {
  const Comparison c =
      CompareFaces(report::SampleRib().faces[0], report::SampleWithoutScale().faces[0]);
  const auto j = nlohmann::json::parse(CompareJson(c, {"a.jpg", 2, 3}, {"b.jpg"}, false));
  EXPECT_EQ(j["schema"], "ribwright.compare/1");
  EXPECT_EQ(j["first"]["face"], 2);
  EXPECT_EQ(j["second"]["face"], 1);
  EXPECT_EQ(j["differences"].size(), c.differences.size());
  EXPECT_TRUE(j["differences"][2]["difference"]["value"].is_null());
  for (const auto system : {units::System::kMetric, units::System::kUs}) {
    std::istringstream lines(CompareTable(c, {"a.jpg", 2, 3}, {"b.jpg"}, system));
    for (std::string line; std::getline(lines, line);) EXPECT_LE(ColumnsOf(line), 80U) << line;
  }
}

}  // namespace
}  // namespace ribwright::programme
