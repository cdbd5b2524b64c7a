// SPDX-License-Identifier: Apache-2.0
#include "photo/colour_read.h"

#include <algorithm>
#include <cmath>
#include <string>

#include "base/check.h"
#include "photo/card_layout.h"
#include "photo/card_sites.h"
#include "photo/colour_fit.h"
#include "photo/light_plane.h"
#include "photo/srgb.h"

namespace ribwright::photo {
namespace {

constexpr double kUnlikePatchesDe00 = 1.0;  // assumed
constexpr double kRmsOverMean = 1.5;        // assumed
constexpr double kUnreadLightSd = 0.25;     // assumed
constexpr double kBendAtCardLength = 0.05;  // assumed: of ln light, one card length away
constexpr std::size_t kLeastPairs = 10;
constexpr double kGreyShare = 0.5;           // of the neutral balance; paper has the rest (assumed)
constexpr std::uint8_t kLeastGreyCode = 80;  // darker greys are mostly stray light

double PaperY() { return LinearFromSrgb(kCardPaper.g / 255.0); }

// Gains a channel, on light relative to paper, that make paper and greys neutral; green's is 1.
cv::Vec3d NeutralGains(const CardReading& card) {
  cv::Vec3d log_ratio(0, 0, 0);
  double n = 0.0;
  for (const PatchReading& r : card.patches) {
    if (r.patch >= static_cast<int>(CardPatches().size())) continue;
    const CardPatch& p = CardPatches()[static_cast<std::size_t>(r.patch)];
    if (!p.neutral || p.colour.g < kLeastGreyCode) continue;
    if (std::min({r.relative[0], r.relative[1], r.relative[2]}) <= 0.01) continue;
    for (const int c : {0, 2}) log_ratio[c] += std::log(r.relative[1] / r.relative[c]);
    n += 1.0;
  }
  cv::Vec3d gains(1, 1, 1);
  if (n > 0.0) {
    for (const int c : {0, 2}) gains[c] = std::exp(kGreyShare * log_ratio[c] / n);
  }
  return gains;
}

cv::Matx33d Scaled(const cv::Matx33d& m, const cv::Vec3d& columns) {
  return m * cv::Matx33d(columns[0], 0, 0, 0, columns[1], 0, 0, 0, columns[2]);
}

std::vector<ColourPair> Pairs(const CardReading& card, const CardValues& values) {
  std::vector<ColourPair> pairs;
  for (const PatchReading& r : card.patches) {
    const auto at = static_cast<std::size_t>(r.patch);
    const std::string_view id = at < CardPatches().size() ? CardPatches()[at].id : kCardPaperId;
    const auto value =
        std::ranges::find_if(values.values, [&](const CardValue& v) { return v.patch == id; });
    if (value != values.values.end()) pairs.push_back({r.relative, value->lab});
  }
  return pairs;
}

ColourReference NoReference() {
  ColourReference reference;
  reference.xyz_from_linear = XyzFromLinearSrgb();
  reference.status = {false, "none", std::nullopt};
  reference.de00_sd = kNoReferenceDe00Sd;
  return reference;
}

}  // namespace

ColourReference ReadColour(const cv::Mat& rgb, const CardFound* card,
                           const std::optional<CardValues>& values,
                           std::vector<report::Caution>* warnings) {
  RIBWRIGHT_CHECK(rgb.type() == CV_8UC3);
  const auto warn = [&](Code code, std::string message) {
    if (warnings != nullptr) warnings->push_back({code, std::move(message)});
  };
  ColourReference reference = NoReference();
  if (card == nullptr) return reference;
  int clipped = 0;
  const auto reading = ReadCard(rgb, *card, &clipped);
  if (!reading) {
    warn(Code::kCardColourUnreadable,
         clipped > 0 ? "The card's paper is overexposed; take the photo darker."
                     : "Too little of the card's bare paper can be read; clean it and keep shadows "
                       "and glare off it.");
    return reference;
  }
  std::vector<LightReading> absolute;
  for (const SiteReading& w : reading->whites) {
    absolute.push_back({w.px.x, w.px.y, w.linear[0] + w.linear[1] + w.linear[2]});
  }
  const double paper_sum = reading->paper[0] + reading->paper[1] + reading->paper[2];
  for (LightReading& r : absolute) r.relative /= paper_sum;
  reference.light = std::move(absolute);

  // relative = linear / paper, hence the division of each column.
  const cv::Vec3d over_paper(1 / reading->paper[0], 1 / reading->paper[1], 1 / reading->paper[2]);
  const cv::Matx33d neutral = Scaled(XyzFromLinearSrgb(), NeutralGains(*reading) * PaperY());
  reference.xyz_from_linear = Scaled(neutral, over_paper);
  reference.status.source = "print, neutral only";
  reference.de00_sd = kNeutralOnlyDe00Sd;
  if (!values) {
    warn(Code::kColourNeutralOnly,
         "The printed card's colours are not known: only its greys and paper were used.");
    return reference;
  }
  const std::vector<ColourPair> pairs = Pairs(*reading, *values);
  if (pairs.size() < kLeastPairs) {
    warn(Code::kColourNeutralOnly, "Only " + std::to_string(pairs.size()) +
                                       " patches with entered values can be read in the photo; the "
                                       "card's greys alone were used.");
    return reference;
  }
  const ColourFit fit = FitColour(pairs, neutral);
  if (fit.residual_de00 > kMostResidualDe00) {
    warn(Code::kColourNeutralOnly,
         "The entered patch values do not fit this photo (mean difference " +
             std::to_string(static_cast<int>(std::lround(fit.residual_de00))) +
             " CIEDE2000): another print, or a soiled card? The card's greys alone were used.");
    return reference;
  }
  cv::Vec3d toned;
  for (int c = 0; c < 3; ++c) toned[c] = std::pow(over_paper[c], fit.tone);
  reference.xyz_from_linear = Scaled(fit.xyz_from_relative, toned);
  reference.tone = fit.tone;
  reference.status = {true, "entered patch values", fit.residual_de00};
  reference.de00_sd = std::hypot(kRmsOverMean * fit.residual_de00, kUnlikePatchesDe00);
  return reference;
}

LightField::LightField(const ColourReference& reference) {
  const auto plane = FitLightPlane(reference.light);
  if (!plane) return;
  known_ = true;
  centre_x_ = plane->centre_x;
  centre_y_ = plane->centre_y;
  length_ = plane->length;
  coefficients_ = plane->coefficients;
  covariance_ = plane->covariance;
}

LightAt LightField::At(double x_px, double y_px) const {
  if (!known_) return {1.0, kUnreadLightSd};
  const cv::Vec3d t(1.0, (x_px - centre_x_) / length_, (y_px - centre_y_) / length_);
  // length_ is about half a card; a bend grows with the square of the distance.
  const double cards_away = std::hypot(t[1], t[2]) / 2.0;
  const double bend = kBendAtCardLength * cards_away * cards_away;
  return {std::exp(coefficients_.dot(t)), std::sqrt(t.dot(covariance_ * t) + bend * bend)};
}

LightAt RelativeLight(const ColourReference& reference, double x_px, double y_px) {
  return LightField(reference).At(x_px, y_px);
}

}  // namespace ribwright::photo
