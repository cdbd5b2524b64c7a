// SPDX-License-Identifier: Apache-2.0
#include "grade/assess.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>
#include <string>
#include <utility>

#include "grade/imf.h"
#include "grade/japan_odds.h"
#include "grade/signs.h"
#include "grade/us_degree_odds.h"
#include "grade/us_yield.h"

namespace ribwright::grade {
namespace {

using report::Face;
using report::MuscleName;
using report::Odds;

struct Subject {
  Measured marbling_pct;
  Measured area;  // of the longissimus alone
  bool is_longissimus = false;
  std::string words;
};

Subject SubjectOf(const Face& face) {
  Subject subject;
  subject.area = Measured::Unknown("cm2", "no eye was found");
  for (const auto& [name, words] :
       {std::pair{MuscleName::kLongissimus, "the eye"},
        std::pair{MuscleName::kGluteusMedius, "the gluteus medius, which no grade is read on"}}) {
    for (const report::Muscle& muscle : face.muscles) {
      if (muscle.name != name || !muscle.marbling_pct.Known()) continue;
      subject.marbling_pct = muscle.marbling_pct;
      subject.is_longissimus = name == MuscleName::kLongissimus;
      if (subject.is_longissimus) subject.area = muscle.area;
      subject.words = words;
      return subject;
    }
  }
  subject.marbling_pct = face.marbling_pct;
  subject.words = "all muscles together, since the eye was not separated";
  return subject;
}

void Warn(std::vector<report::Caution>& warnings, Code code, std::string message) {
  for (const report::Caution& caution : warnings) {
    if (caution.code == code) return;
  }
  warnings.push_back({code, std::move(message)});
}

struct StatedMaturity {
  std::vector<double> units;  // equally probable points
  std::string words;
};

StatedMaturity PointsOf(const Maturity& maturity, std::string words) {
  StatedMaturity stated;
  const double floor = 100.0 * static_cast<double>(maturity.group);
  if (maturity.units) {
    stated.units = {floor + *maturity.units};
  } else {
    for (int i = 0; i < 10; ++i) stated.units.push_back(floor + 10.0 * i + 5.0);
  }
  stated.words = std::move(words);
  return stated;
}

StatedMaturity MaturityOf(const GradeRequest& request, std::vector<report::Caution>& warnings) {
  if (request.maturity) return PointsOf(*request.maturity, "maturity as given");
  if (request.carcass) {
    const Carcass& carcass = *request.carcass;
    if (carcass.skeletal_maturity_units && carcass.lean_maturity_units) {
      const double units =
          BalancedMaturity(*carcass.skeletal_maturity_units, *carcass.lean_maturity_units);
      return {{std::min(std::max(units, 0.0), kMaturityEnd - 1.0)},
              "maturity balanced from skeletal and lean maturity"};
    }
    if (carcass.skeletal_maturity_units) {
      return {{*carcass.skeletal_maturity_units}, "skeletal maturity as stated"};
    }
    if (carcass.permanent_incisors) {
      if (const auto group = GroupFromIncisors(static_cast<int>(*carcass.permanent_incisors))) {
        return PointsOf({*group, std::nullopt}, "maturity A by teeth");
      }
    }
    if (carcass.age_months) {
      if (const auto group = GroupFromAgeMonths(*carcass.age_months)) {
        return PointsOf({*group, std::nullopt}, "maturity by stated age");
      }
    }
  }
  Warn(warnings, Code::kMaturityAssumed,
       "Maturity A is assumed (under 30 months); give --maturity or the carcass's age.");
  return PointsOf({MaturityGroup::kA, std::nullopt}, "maturity A assumed");
}

Odds DegreeReport(const ScoreOdds& scores, const std::string& basis) {
  std::array<double, kDegrees> sums{};
  for (int i = 0; i < ScoreOdds::kSteps; ++i) {
    sums[static_cast<std::size_t>(DegreeFromScore(ScoreOdds::Score(i)))] +=
        scores.p[static_cast<std::size_t>(i)];
  }
  std::vector<std::pair<std::string, double>> weights;
  for (int i = 0; i < kDegrees; ++i) {
    weights.emplace_back(OddsKey(DegreeText(static_cast<Degree>(i))),
                         sums[static_cast<std::size_t>(i)]);
  }
  return OddsFromWeights(weights, basis);
}

Odds GradeReport(const ScoreOdds& scores, const StatedMaturity& maturity,
                 std::optional<double> dark_cutting, const std::string& basis) {
  std::array<double, kUsGrades> sums{};
  for (const double units : maturity.units) {
    for (int i = 0; i < ScoreOdds::kSteps; ++i) {
      const UsGrade grade = GradeAtDark(ScoreOdds::Score(i), units, dark_cutting.value_or(0.0));
      sums[static_cast<std::size_t>(grade)] += scores.p[static_cast<std::size_t>(i)];
    }
  }
  std::vector<std::pair<std::string, double>> weights;
  for (int i = 0; i < kUsGrades; ++i) {
    weights.emplace_back(OddsKey(UsGradeText(static_cast<UsGrade>(i))),
                         sums[static_cast<std::size_t>(i)]);
  }
  return OddsFromWeights(
      weights,
      basis + "; " + maturity.words +
          (dark_cutting ? fmt::format("; dark cutting {:.2g} of a grade as given", *dark_cutting)
                        : "; no dark cutting assumed"));
}

Odds SubGradeReport(const ScoreOdds& scores, const std::string& basis) {
  std::vector<std::pair<std::string, double>> weights;
  for (int i = ScoreOdds::kSteps - 1; i >= 0; --i) {
    const std::string name = OddsKey(SubGradeAtA(ScoreOdds::Score(i)));
    if (weights.empty() || weights.back().first != name) weights.emplace_back(name, 0.0);
    weights.back().second += scores.p[static_cast<std::size_t>(i)];
  }
  return OddsFromWeights(weights, basis + "; for A maturity without dark cutting");
}

void LeaveScalesEmpty(const std::string& reason, Face& face) {
  face.imf_pct = Measured::Unknown("% of wet weight", reason);
  face.marbling_degree.basis = reason;
  for (const char* key : {"us", "us_sub", "japan", "japan_bms"}) {
    face.grade_odds[key].basis = reason;
  }
}

void GradeMarbling(const GradeRequest& request, const Subject& subject, const PlaceOdds& places,
                   Face& face, std::vector<report::Caution>& warnings) {
  const auto share = SplitNormal::From(subject.marbling_pct, 0.0, 100.0);
  if (!share) {
    LeaveScalesEmpty(subject.marbling_pct.reason.empty() ? "marbling was not measured"
                                                         : subject.marbling_pct.reason,
                     face);
    return;
  }
  const ImfEstimate imf = EstimateImf(*share, subject.is_longissimus);
  face.imf_pct = imf.imf_pct;
  if (imf.line_out_of_range) {
    Warn(warnings, Code::kLineOutOfRange,
         "Chemical fat lies outside the published range; its interval is wide.");
  }
  const std::string basis = fmt::format(
      "visible fat of {} by area; published fat of each degree (one table and "
      "Practically Devoid: memory) taken back to area (assumed bridge), odds widened for "
      "camera, carcass and rib",
      subject.words);
  const ScoreOdds scores = ScoreOddsFromArea(
      *share, LogSd(AreaSpread{}, ChanceBetween(places, 11, 12), subject.is_longissimus));
  face.marbling_degree = DegreeReport(scores, basis);
  const StatedMaturity maturity = MaturityOf(request, warnings);
  face.grade_odds["us"] = GradeReport(scores, maturity, request.dark_cutting, basis);
  face.grade_odds["us_sub"] = SubGradeReport(scores, basis);
  const BmsOdds bms =
      BmsOddsFromArea(*share, BmsAreaSd(ChanceBetween(places, 6, 7), subject.is_longissimus));
  face.grade_odds["japan_bms"] = BmsReport(bms);
  face.grade_odds["japan"] = JapaneseGradeOdds(bms, request.carcass ? &*request.carcass : nullptr);
  Warn(warnings, Code::kGradeNotOfficial,
       "These are odds on published scales from a photo; official grades are given only by "
       "graders.");
}

}  // namespace

void Assess(const GradeRequest& request, report::Face& face,
            std::vector<report::Caution>& warnings) {
  face.grade_odds.clear();
  face.marbling_degree = {};
  face.rib_position = {};
  const Subject subject = SubjectOf(face);
  face.spec = CheckSpec(request.house_spec ? &*request.house_spec : nullptr, face);
  face.signs.clear();
  face.signs_reason = WhyNoSigns(
      face, {request.colour_calibrated, request.bloom_min, subject.marbling_pct, request.standing});
  if (face.signs_reason.empty()) {
    face.signs =
        JudgeSigns(face, {request.colour_calibrated, request.bloom_min, subject.marbling_pct, {}});
  }
  if (std::find(request.standing.begin(), request.standing.end(), Code::kNotBeefLike) !=
      request.standing.end()) {
    const std::string reason = "the meat does not look like raw beef";
    LeaveScalesEmpty(reason, face);
    face.rib_position.basis = reason;
    return;
  }
  PlaceOdds places = PlacePrior();
  if (const auto evidence = EvidenceOf(face)) {
    places = PlaceOddsFrom(*evidence);
    face.rib_position = RibReport(places, *evidence, request.rib_numbering);
  } else {
    face.rib_position.basis = WhyNoRib(face);
  }
  GradeMarbling(request, subject, places, face, warnings);
  if (request.carcass) {
    face.grade_odds["us_yield"] =
        YieldOdds(*request.carcass, subject.area, face.cover.at_three_quarters,
                  ChanceBetween(places, 11, 12));
    face.grade_odds["japan_yield"] =
        JapaneseYieldOdds(*request.carcass, subject.area, ChanceBetween(places, 6, 7));
    if (face.grade_odds["us_yield"].Known() || face.grade_odds["japan_yield"].Known()) {
      Warn(warnings, Code::kGradeNotOfficial,
           "These are odds on published scales from a photo; official grades are given only by "
           "graders.");
    }
  }
}

}  // namespace ribwright::grade
