// SPDX-License-Identifier: Apache-2.0
#include "programme/judge.h"

#include <algorithm>
#include <opencv2/imgproc.hpp>
#include <utility>
#include <vector>

#include "photo/card_find.h"
#include "photo/colour_read.h"
#include "photo/decode.h"
#include "photo/face_plane.h"
#include "programme/edits_file.h"
#include "units/format.h"

namespace ribwright::programme {
namespace {

Status InRange(const std::optional<double>& value, double low, double high, const char* option,
               const char* unit) {
  // Written so that a value that is no number fails too.
  if (!value || (*value >= low && *value <= high)) return {};
  std::string range(unit);
  range.append(" from ").append(units::Fixed(low, low < 1.0 ? 1 : 0)).append(" to ");
  range.append(units::Fixed(high, 0));
  return Fail(Code::kBadOption, std::string("The value is out of range."), option,
              std::string("Give ").append(range).append("."));
}

cv::Mat CardMask(const photo::CardFound& card, cv::Size size) {
  cv::Mat mask = cv::Mat::zeros(size, CV_8U);
  std::vector<cv::Point> ring;
  for (const cv::Point2d& p : card.region_px) {
    ring.emplace_back(static_cast<int>(std::lround(p.x - 0.5)),
                      static_cast<int>(std::lround(p.y - 0.5)));
  }
  if (ring.size() >= 3)
    cv::fillPoly(mask, std::vector<std::vector<cv::Point>>{ring}, cv::Scalar(255));
  return mask;
}

report::Point MiddleOf(const report::Outline& outline) {
  report::Point sum;
  double count = 0.0;
  for (const report::Ring& ring : outline) {
    for (const report::Point& p : ring) {
      sum.x += p.x;
      sum.y += p.y;
      count += 1.0;
    }
  }
  return count > 0.0 ? report::Point{sum.x / count, sum.y / count} : sum;
}

report::Scale ScaleOf(const std::optional<photo::Plane>& plane, const face::Outcome& outcome,
                      const cv::Mat& rgb, const std::string& reason) {
  report::Scale scale;
  if (!plane) {
    scale.px_per_mm = Measured::Unknown("px/mm", reason);
    return scale;
  }
  report::Point at{rgb.cols / 2.0, rgb.rows / 2.0};
  if (!outcome.faces.empty()) at = MiddleOf(outcome.faces.front().outline_px);
  const double value = plane->PxPerMm(at.x, at.y);
  const double half = std::min(1.645 * plane->relative_sd, 0.9) * value;
  scale.known = true;
  scale.source = plane->source;
  scale.px_per_mm = Measured::Of(value, value - half, value + half, "px/mm", plane->basis);
  return scale;
}

void Add(const std::vector<report::Caution>& from, std::vector<report::Caution>& to) {
  for (const report::Caution& caution : from) {
    const bool known = std::any_of(to.begin(), to.end(), [&](const report::Caution& c) {
      return c.code == caution.code && c.message == caution.message;
    });
    if (!known) to.push_back(caution);
  }
}

struct Ground {
  std::optional<photo::Plane> plane;
  photo::ColourReference colour;
  cv::Mat ignore;
  std::string no_scale;  // why there is no plane
};

Ground FindGround(const photo::Photo& photo, const JudgeOptions& options,
                  std::vector<report::Caution>& warnings) {
  Ground ground;
  ground.no_scale = "no card was looked for and no scale was given";
  std::optional<photo::CardFound> card;
  if (options.use_card && options.framing == face::Framing::kFace) {
    photo::CardOptions card_options;
    card_options.threads = options.threads;
    card_options.ruler_mm = options.card_ruler_mm;
    card = photo::FindCard(photo.rgb, card_options);
    if (card) {
      Add(card->warnings, warnings);
      ground.ignore = CardMask(*card, photo.rgb.size());
      if (!options.px_per_mm) {
        ground.plane = photo::FacePlane(*card, options.thickness_mm, kThicknessSdMm,
                                        photo.focal_length_35mm, photo.rgb.size(), &warnings);
      }
    } else {
      ground.no_scale = "no card was found and no scale was given";
      warnings.push_back({Code::kCardNotFound,
                          options.px_per_mm ? "No card was found: colour is not calibrated."
                                            : "No card was found: lengths and calibrated colour "
                                              "are not known."});
    }
  }
  if (options.px_per_mm) ground.plane = photo::PlaneFromUser(*options.px_per_mm);
  ground.colour =
      photo::ReadColour(photo.rgb, card ? &*card : nullptr, options.card_values, &warnings);
  return ground;
}

void JudgeDecoded(const photo::Photo& photo, const JudgeOptions& options,
                  const MeasureFaces& measure, Judged& judged) {
  report::PhotoReport& report = judged.report;
  report.taken = photo.taken;
  report.entered = report::Entered{options.thickness_mm, options.card_ruler_mm, options.px_per_mm,
                                   options.bloom_min, options.card_values.has_value()};
  Add(photo.warnings, report.warnings);
  const Ground ground = FindGround(photo, options, report.warnings);

  face::Request request;
  request.rgb = photo.rgb;
  request.framing = options.framing;
  request.method = options.method;
  request.plane = ground.plane;
  request.colour = ground.colour;
  request.bloom_min = options.bloom_min;
  request.ignore = ground.ignore;
  request.edits = options.edits;
  Result<face::Outcome> outcome = measure(request);
  if (!outcome) {
    report.error = outcome.error();
    return;
  }
  report.method = outcome->method;
  report.colour = ground.colour.status;
  report.scale = ScaleOf(ground.plane, *outcome, photo.rgb, ground.no_scale);
  report.faces = std::move(outcome->faces);
  judged.tissue = outcome->tissue;
  Add(outcome->warnings, report.warnings);
  grade::GradeRequest grade = options.grade;
  grade.bloom_min = options.bloom_min;
  grade.colour_calibrated = ground.colour.status.calibrated;
  for (const report::Caution& caution : report.warnings) grade.standing.push_back(caution.code);
  std::vector<report::Caution> grade_warnings;
  for (report::Face& face : report.faces) grade::Assess(grade, face, grade_warnings);
  Add(grade_warnings, report.warnings);
}

}  // namespace

Status CheckJudgeOptions(const JudgeOptions& options) {
  for (const Status& status :
       {InRange(options.thickness_mm, 0.1, 500.0, "--thickness-mm", "millimetres"),
        InRange(options.px_per_mm, 0.1, 1000.0, "--px-per-mm", "pixels a millimetre"),
        InRange(options.card_ruler_mm, photo::kLeastRulerMm, photo::kMostRulerMm, "--card-ruler-mm",
                "millimetres"),
        InRange(options.bloom_min, 0.0, 100000.0, "--bloom-min", "minutes"),
        InRange(options.grade.dark_cutting, 0.0, 1.0, "--dark-cutting", "parts of a grade")}) {
    if (!status) return status;
  }
  if (options.card_ruler_mm && !options.use_card) {
    return Fail(Code::kBadOption, "A card's ruler means nothing where no card is looked for.",
                "--card-ruler-mm", "Leave out --card none or --card-ruler-mm.");
  }
  if (options.card_values && !options.use_card) {
    return Fail(Code::kBadOption, "A card's values mean nothing where no card is looked for.",
                "--card-values", "Leave out --card none or --card-values.");
  }
  return {};
}

Judged JudgePhoto(std::span<const std::uint8_t> bytes, const std::string& name,
                  const JudgeOptions& options, const MeasureFaces& measure) {
  Judged judged;
  judged.report.photo = name;
  Result<photo::Photo> photo = photo::DecodePhoto(bytes, name);
  if (!photo) {
    judged.report.error = photo.error();
    return judged;
  }
  judged.rgb = photo->rgb;
  judged.report.width_px = photo->rgb.cols;
  judged.report.height_px = photo->rgb.rows;
  if (options.edits) {
    const Status inside = CheckEditsInPhoto(*options.edits, photo->rgb.size());
    if (!inside) {
      judged.report.error = inside.error();
      return judged;
    }
  }
  JudgeDecoded(*photo, options, measure, judged);
  return judged;
}

}  // namespace ribwright::programme
