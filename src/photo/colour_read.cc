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
constexpr double kUnlikePlane = 0.15;       // assumed: of ln light, one card length away
constexpr std::size_t kLeastPairs = 10;
constexpr std::size_t kLeastPairsWithLight = 12;
constexpr double kGreysOnlyDe00Sd = 6.0;     // assumed
constexpr double kGreyShare = 0.5;           // of the neutral balance; paper has the rest (assumed)
constexpr std::uint8_t kLeastGreyCode = 80;  // darker greys are mostly stray light

double PaperY() { return LinearFromSrgb(kCardPaper.g / 255.0); }

// Gains a channel, for light relative to paper or to a grey's nominal light, that make greys
// neutral; green's is 1.
cv::Vec3d GreyGains(const std::vector<PatchReading>& patches, const std::vector<cv::Vec3d>& light,
                    double share) {
  cv::Vec3d log_ratio(0, 0, 0);
  double n = 0.0;
  for (std::size_t i = 0; i < patches.size(); ++i) {
    const CardPatch& p = CardPatches()[static_cast<std::size_t>(patches[i].patch)];
    const cv::Vec3d& v = light[i];
    if (!p.neutral || p.colour.g < kLeastGreyCode || std::min({v[0], v[1], v[2]}) <= 1e-3) continue;
    for (const int c : {0, 2}) log_ratio[c] += std::log(v[1] / v[c]);
    n += 1.0;
  }
  cv::Vec3d gains(1, 1, 1);
  if (n > 0.0) {
    for (const int c : {0, 2}) gains[c] = std::exp(share * log_ratio[c] / n);
  }
  return gains;
}

cv::Matx33d Scaled(const cv::Matx33d& m, const cv::Vec3d& columns) {
  return m * cv::Matx33d(columns[0], 0, 0, 0, columns[1], 0, 0, 0, columns[2]);
}

cv::Vec3d Powers(const cv::Vec3d& v, double exponent) {
  return {std::pow(v[0], exponent), std::pow(v[1], exponent), std::pow(v[2], exponent)};
}

const LabColour* ValueOf(const CardValues& values, std::string_view id) {
  const auto found =
      std::ranges::find_if(values.values, [&](const CardValue& v) { return v.patch == id; });
  return found == values.values.end() ? nullptr : &found->lab;
}

ColourReference NoReference() {
  ColourReference reference;
  reference.xyz_from_linear = XyzFromLinearSrgb();
  reference.status = {false, "none", std::nullopt};
  reference.de00_sd = kNoReferenceDe00Sd;
  return reference;
}

// What the card gives before any values: neutral balance, and the light that patches are divided
// by.
struct Balance {
  ColourReference reference;
  std::vector<PatchReading> patches;
  std::vector<cv::Vec3d>
      relative;         // of each patch, to `level`, and to the paper beside it where known
  cv::Vec3d level;      // linear light that relative 1 stands for
  cv::Matx33d neutral;  // XYZ from relative light
  LightIs light = LightIs::kUndone;
  bool paper = false;
};

Balance FromPaper(const PaperReading& paper, std::vector<PatchReading> patches) {
  Balance b;
  b.patches = std::move(patches);
  b.paper = true;
  b.level = paper.paper;
  for (const PatchReading& p : b.patches) b.relative.push_back(OverPaper(p, paper));
  const double sum = paper.paper[0] + paper.paper[1] + paper.paper[2];
  for (const SiteReading& w : paper.whites) {
    b.reference.light.push_back({w.px.x, w.px.y, (w.linear[0] + w.linear[1] + w.linear[2]) / sum});
  }
  b.neutral = Scaled(XyzFromLinearSrgb(), GreyGains(b.patches, b.relative, kGreyShare) * PaperY());
  b.reference.de00_sd = kNeutralOnlyDe00Sd;
  return b;
}

// Overexposed paper: the greys' nominal light stands in for it, and where light falls off is not
// known.
std::optional<Balance> FromGreys(std::vector<PatchReading> patches) {
  Balance b;
  b.patches = std::move(patches);
  std::vector<double> levels;
  std::vector<cv::Vec3d> raw;
  for (const PatchReading& p : b.patches) {
    raw.push_back(p.site.linear);
    const CardPatch& patch = CardPatches()[static_cast<std::size_t>(p.patch)];
    if (!patch.neutral || patch.colour.g < kLeastGreyCode) continue;
    levels.push_back(p.site.linear[1] / LinearFromSrgb(patch.colour.g / 255.0));
  }
  if (levels.size() < 3) return std::nullopt;
  std::ranges::sort(levels);
  b.level = cv::Vec3d::all(levels[levels.size() / 2]);
  if (!(b.level[0] > 0.0)) return std::nullopt;
  for (const cv::Vec3d& v : raw) b.relative.push_back(v * (1.0 / b.level[0]));
  b.neutral = Scaled(XyzFromLinearSrgb(), GreyGains(b.patches, b.relative, 1.0));
  b.light = LightIs::kToBeFitted;
  b.reference.de00_sd = kGreysOnlyDe00Sd;
  return b;
}

// Pairs of the patches with entered values, and of paper where it was read.
std::vector<ColourPair> PairsOf(const Balance& b, const CardValues& values, cv::Size photo,
                                std::vector<std::size_t>* which) {
  std::vector<ColourPair> pairs;
  for (std::size_t i = 0; i < b.patches.size(); ++i) {
    const auto& p = b.patches[i];
    const LabColour* lab = ValueOf(values, CardPatches()[static_cast<std::size_t>(p.patch)].id);
    if (lab == nullptr) continue;
    const double unit = 0.25 * (photo.width + photo.height);
    pairs.push_back(
        {b.relative[i],
         *lab,
         {(p.site.px.x - photo.width / 2.0) / unit, (p.site.px.y - photo.height / 2.0) / unit}});
    which->push_back(i);
  }
  const LabColour* paper = ValueOf(values, kCardPaperId);
  if (b.paper && paper != nullptr) pairs.push_back({cv::Vec3d(1, 1, 1), *paper, {0, 0}});
  return pairs;
}

// Each patch's light, from what it must have been to show what it shows.
std::vector<LightReading> LightOfPatches(const Balance& b, const std::vector<ColourPair>& pairs,
                                         const std::vector<std::size_t>& which,
                                         const ColourFit& fit) {
  std::vector<LightReading> light;
  for (std::size_t k = 0; k < which.size(); ++k) {
    const ColourPair& pair = pairs[k];
    const double seen = (fit.xyz_from_relative * Powers(pair.relative, fit.tone))[1];
    const double is = XyzFromLab(pair.lab)[1];
    if (seen <= 0.0 || is <= 0.0) continue;
    const SiteReading& site = b.patches[which[k]].site;
    light.push_back({site.px.x, site.px.y, std::pow(seen / is, 1.0 / fit.tone)});
  }
  return light;
}

}  // namespace

ColourReference ReadColour(const cv::Mat& rgb, const CardFound* card,
                           const std::optional<CardValues>& values,
                           std::vector<report::Caution>* warnings) {
  RIBWRIGHT_CHECK(rgb.type() == CV_8UC3);
  const auto warn = [&](Code code, std::string message) {
    if (warnings != nullptr) warnings->push_back({code, std::move(message)});
  };
  if (card == nullptr) return NoReference();
  int clipped = 0;
  const auto paper = ReadPaper(rgb, *card, &clipped);
  std::vector<PatchReading> patches = ReadPatches(rgb, *card);
  if (!paper) {
    warn(Code::kCardColourUnreadable,
         clipped > 0 ? "The card's paper is overexposed, so colour is read from its patches alone; "
                       "take the photo darker."
                     : "Too little of the card's bare paper can be read; clean it and keep shadows "
                       "and glare off it.");
  }
  std::optional<Balance> balance =
      paper ? FromPaper(*paper, std::move(patches)) : FromGreys(std::move(patches));
  if (!balance) return NoReference();
  ColourReference& reference = balance->reference;
  const cv::Vec3d& level = balance->level;
  const cv::Vec3d over_level(1 / level[0], 1 / level[1], 1 / level[2]);
  reference.xyz_from_linear = Scaled(balance->neutral, over_level);
  reference.status.source = "print, neutral only";
  const auto neutral_only = [&](std::string message) {
    warn(Code::kColourNeutralOnly, std::move(message));
    return reference;
  };
  if (!values) {
    return neutral_only(
        "The printed card's colours are not known: only its greys and paper were used.");
  }
  std::vector<std::size_t> which;
  const std::vector<ColourPair> pairs = PairsOf(*balance, *values, rgb.size(), &which);
  if (pairs.size() < (paper ? kLeastPairs : kLeastPairsWithLight)) {
    return neutral_only("Only " + std::to_string(pairs.size()) +
                        " patches with entered values can be read in the photo; the card's greys "
                        "alone were used.");
  }
  const ColourFit fit = FitColour(pairs, balance->neutral, balance->light);
  if (fit.residual_de00 > kMostResidualDe00) {
    return neutral_only("The entered patch values do not fit this photo (mean difference " +
                        std::to_string(static_cast<int>(std::lround(fit.residual_de00))) +
                        " CIEDE2000): another print, or a soiled card? The card's greys alone were "
                        "used.");
  }
  if (!paper) reference.light = LightOfPatches(*balance, pairs, which, fit);
  reference.xyz_from_linear = Scaled(fit.xyz_from_relative, Powers(over_level, fit.tone));
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
  // length_ is about half a card.
  const double cards_away = std::hypot(t[1], t[2]) / 2.0;
  const double bend = kUnlikePlane * cards_away;
  return {std::exp(coefficients_.dot(t)), std::sqrt(t.dot(covariance_ * t) + bend * bend)};
}

LightAt RelativeLight(const ColourReference& reference, double x_px, double y_px) {
  return LightField(reference).At(x_px, y_px);
}

}  // namespace ribwright::photo
