// SPDX-License-Identifier: Apache-2.0
#include "face/measure.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "base/check.h"
#include "face/canvas.h"
#include "face/cover.h"
#include "face/face_colour.h"
#include "face/face_traits.h"
#include "face/fat_map.h"
#include "face/fleck_measures.h"
#include "face/interval_spread.h"
#include "face/layout_faces.h"
#include "face/layout_map.h"
#include "face/learned_fat.h"
#include "face/learned_map.h"
#include "face/meat_mask.h"
#include "face/muscles.h"
#include "face/outline.h"
#include "face/usable.h"
#include "report/outline_area.h"

namespace ribwright::face {
namespace {

constexpr char kRevision[] = "4";
// Where no rule for focus holds (crops, the classical method): the work phantoms in focus lie
// at 2.3 to 3.5, those out of focus under 2.1.
constexpr double kLeastSharpness = 2.0;
constexpr double kStandInFaceMm = 110.0;  // assumed: a face's width where no scale is known

// Rules have a revision; networks are named by their weights as well.
report::Method MethodOf(MethodName name) {
  if (name == MethodName::kClassical) return {"classical", kRevision};
  return {"learned", std::string(kRevision) + " layout " + LayoutRevision().substr(0, 8) +
                         " tissue " + LearnedMap::Revision().substr(0, 8)};
}

struct OneFace {
  report::Face face;
  Canvas canvas;
  cv::Mat codes;  // report::Tissue on the canvas
  FaceTraits traits{};
  double canvas_area_px = 0.0;
};

Measured ShareWithDoubt(double pct) {
  const double sd = std::hypot(1.0, 0.10 * pct);
  return Measured::Of(pct, std::max(0.0, pct - 1.645 * sd), std::min(100.0, pct + 1.645 * sd), "%",
                      "assumed spread, not yet set on phantoms");
}

// What the classical rules read in the muscles, on half the canvas: enough to see a disagreement.
double MarblingByColourRules(const cv::Mat& rgb, const cv::Mat& mask, const cv::Mat& muscles) {
  const auto half = [](const cv::Mat& from, int how) {
    cv::Mat out;
    cv::resize(from, out, cv::Size((from.cols + 1) / 2, (from.rows + 1) / 2), 0, 0, how);
    return out;
  };
  const FatMap fat = MapFat(half(rgb, cv::INTER_AREA), half(mask, cv::INTER_NEAREST), FatOptions{});
  const cv::Mat inside = half(muscles, cv::INTER_NEAREST);
  return MarblingPct({fat.fraction, fat.detected, fat.unreadable, inside, std::nullopt, 0.0});
}

OneFace MeasureOne(const Request& request, Canvas canvas, cv::Mat mask, std::size_t index,
                   const LayoutFace* layout = nullptr) {
  OneFace one;
  const std::optional<double> px_per_mm = canvas.px_per_mm;
  const double rel_sd = request.plane ? request.plane->relative_sd : 0.0;
  mask.setTo(0, canvas.ignore);
  const FatMap fat = request.method == MethodName::kLearned
                         ? MapFatLearned(canvas.rgb, mask)
                         : MapFat(canvas.rgb, mask, FatOptions{});
  const double area_px = cv::countNonZero(mask);
  const double mm_px = px_per_mm.value_or(std::sqrt(area_px) / kStandInFaceMm);

  MuscleMap muscles;
  if (request.framing == Framing::kCrop) {
    MuscleRegion all;
    all.name = report::MuscleName::kOther;
    all.mask = mask.clone();
    all.area_px = area_px;
    muscles.regions.push_back(all);
    muscles.labels = cv::Mat::zeros(mask.size(), CV_32S);
    muscles.labels.setTo(1, mask);
    muscles.eye_certain = true;
  } else if (layout) {
    muscles = layout->muscles;
  } else {
    muscles = PartMuscles(fat.fraction, mask, mm_px);
  }
  if (request.edits) {
    for (const auto& edit : request.edits->muscles) {
      if (edit.face != int(index)) continue;
      MuscleRegion region;
      region.name = edit.name;
      region.mask = MaskOf(edit.outline, canvas) & mask;
      region.area_px = cv::countNonZero(region.mask);
      if (region.area_px < 10) continue;
      for (auto& other : muscles.regions) other.mask.setTo(0, region.mask);
      std::erase_if(muscles.regions, [&](const auto& r) {
        return r.name == edit.name || cv::countNonZero(r.mask) < 10;
      });
      muscles.regions.insert(muscles.regions.begin(), region);
      muscles.eye_certain = true;
    }
    muscles.labels = cv::Mat::zeros(mask.size(), CV_32S);
    for (std::size_t i = 0; i < muscles.regions.size(); ++i) {
      muscles.labels.setTo(int(i) + 1, muscles.regions[i].mask);
    }
  }
  cv::Mat in_muscle = muscles.labels > 0;

  // Tissue codes on the canvas.
  one.codes = cv::Mat::zeros(mask.size(), CV_8U);
  one.codes.setTo(int(report::Tissue::kLean), mask);
  one.codes.setTo(int(report::Tissue::kMuscleFat), fat.detected & in_muscle & mask);
  one.codes.setTo(int(report::Tissue::kOtherFat), fat.detected & ~in_muscle & mask);
  if (layout) one.codes.setTo(int(report::Tissue::kBone), layout->bone);
  one.codes.setTo(int(report::Tissue::kUnreadable), fat.unreadable & mask & ~fat.detected);
  cv::Mat unreadable = fat.unreadable & ~fat.detected;

  report::Face& face = one.face;
  one.canvas_area_px = area_px;
  face.unreadable_pct = 100.0 * cv::countNonZero(unreadable & mask) / std::max(1.0, area_px);
  face.outline_px = OutlineOf(mask, canvas);
  // Canvases differ in scale from face to face; photo pixels are the same for all.
  face.area_px = report::OutlineArea(face.outline_px);
  face.area = AreaCm2(area_px, px_per_mm, rel_sd, 0.02);
  const FleckInput whole{fat.fraction, fat.detected, unreadable, mask, px_per_mm, rel_sd};
  const double share = MarblingPct(whole);
  face.fat_share_pct = ShareWithDoubt(share);
  const auto ratio = [](double pct) { return pct / std::max(0.5, 100.0 - pct); };
  face.fat_to_lean = Measured::Of(ratio(share), ratio(face.fat_share_pct.low),
                                  ratio(face.fat_share_pct.high), "ratio", "from the fat share");
  const FleckInput meat{fat.fraction, fat.detected, unreadable, in_muscle, px_per_mm, rel_sd};
  face.marbling_pct = cv::countNonZero(in_muscle) > 0
                          ? MarblingWithDoubt(MarblingPct(meat), face.unreadable_pct / 100.0)
                          : Measured::Unknown("%", "no muscle could be told apart");
  if (request.method == MethodName::kLearned && face.marbling_pct.Known()) {
    face.colour_rule_marbling_pct = MarblingByColourRules(canvas.rgb, mask, in_muscle);
  }
  // Lean is what muscles hold beside their fat: neither cover nor bone.
  face.lean_area = AreaCm2(cv::countNonZero(in_muscle) * (1.0 - MarblingPct(meat) / 100.0),
                           px_per_mm, rel_sd, 0.03);
  cv::Mat eye = cv::Mat::zeros(mask.size(), CV_8U);
  for (const auto& region : muscles.regions) {
    report::Muscle muscle;
    muscle.name = region.name;
    MeasureFlecks({fat.fraction, fat.detected, unreadable, region.mask, px_per_mm, rel_sd}, muscle);
    if (!muscles.eye_certain && region.name == report::MuscleName::kLongissimus) {
      const double m = *muscle.marbling_pct.value;
      muscle.marbling_pct.low = std::max(0.0, std::min(muscle.marbling_pct.low, 0.6 * m));
      muscle.marbling_pct.high = std::min(100.0, std::max(muscle.marbling_pct.high, 1.6 * m + 1.0));
    }
    muscle.outline_px = OutlineOf(region.mask, canvas);
    if (&region == &muscles.regions.front()) eye = region.mask;
    face.muscles.push_back(std::move(muscle));
  }
  if (request.framing == Framing::kCrop) {
    const char* why = "the photo shows no edge of the piece";
    face.cover.mean = Measured::Unknown("mm", why);
    face.cover.at_three_quarters = Measured::Unknown("mm", why);
  } else {
    CoverInput cover{mask, in_muscle, eye, {}, {}, {}, px_per_mm, rel_sd};
    cover.chine = cv::Mat::zeros(mask.size(), CV_8U);
    for (const auto& region : muscles.regions) {
      if (region.name == report::MuscleName::kSpinalis) cover.cap = region.mask;
      if (region.name == report::MuscleName::kMultifidus ||
          region.name == report::MuscleName::kComplexus) {
        cover.chine |= region.mask;
      }
    }
    if (layout) cover.bone = layout->bone;
    face.cover = MeasureCover(cover);
  }

  cv::Mat plain = in_muscle & (fat.contrast < 0.08) & ~fat.unreadable;
  cv::Mat thick;
  cv::erode(request.method == MethodName::kLearned ? cv::Mat(fat.fraction > 0.9F) : fat.detected,
            thick, cv::getStructuringElement(cv::MORPH_ELLIPSE, cv::Size(5, 5)));
  thick &= ~fat.unreadable;
  face.lean_colour = ReadFaceColour(canvas, plain, request.colour, request.bloom_min, true);
  face.fat_colour = ReadFaceColour(canvas, thick, request.colour, std::nullopt, false);
  const double marbling = face.marbling_pct.value.value_or(0.0);
  one.traits = TraitsOf({canvas.rgb, mask, in_muscle, fat, marbling,
                         std::abs(face.colour_rule_marbling_pct.value_or(marbling) - marbling)});
  face.sharpness = std::exp(one.traits[static_cast<std::size_t>(Trait::kMiddle)]);
  if (request.method == MethodName::kLearned && request.framing == Framing::kFace) {
    SpreadCauses causes;
    if (request.plane) {
      const cv::Point2d middle =
          Through(canvas.photo_from_canvas, canvas.rgb.cols / 2.0, canvas.rgb.rows / 2.0);
      causes.px_per_mm = request.plane->PxPerMm(middle.x, middle.y);
      causes.scale_relative_sd = rel_sd;
    }
    causes.unreadable_pct = face.unreadable_pct;
    causes.sharpness = *face.sharpness;
    if (face.colour_rule_marbling_pct && face.marbling_pct.Known()) {
      causes.disagreement = std::abs(*face.colour_rule_marbling_pct - *face.marbling_pct.value);
    }
    causes.patch_values = request.colour.status.calibrated;
    FitFaceIntervals(face, causes);
  }
  one.canvas = std::move(canvas);
  return one;
}

void PaintTissue(const OneFace& one, cv::Mat& tissue) {
  // Nearest canvas pixel for each photo pixel of the face's box.
  double x0 = 1e30;
  double y0 = 1e30;
  double x1 = -1e30;
  double y1 = -1e30;
  for (const auto& ring : one.face.outline_px) {
    for (const auto& p : ring) {
      x0 = std::min(x0, p.x);
      y0 = std::min(y0, p.y);
      x1 = std::max(x1, p.x);
      y1 = std::max(y1, p.y);
    }
  }
  const cv::Rect box = cv::Rect(cv::Point(int(std::floor(x0)) - 1, int(std::floor(y0)) - 1),
                                cv::Point(int(std::ceil(x1)) + 1, int(std::ceil(y1)) + 1)) &
                       cv::Rect(0, 0, tissue.cols, tissue.rows);
  if (box.area() == 0) return;
  // OpenCV coordinates of the box -> ours in the photo -> canvas -> OpenCV.
  const cv::Matx33d to_photo(1, 0, box.x + 0.5, 0, 1, box.y + 0.5, 0, 0, 1);
  const cv::Matx33d to_cv(1, 0, -0.5, 0, 1, -0.5, 0, 0, 1);
  cv::Mat mapped;
  cv::warpPerspective(one.codes, mapped, to_cv * one.canvas.canvas_from_photo * to_photo,
                      box.size(), cv::INTER_NEAREST | cv::WARP_INVERSE_MAP, cv::BORDER_CONSTANT,
                      cv::Scalar(0));
  mapped.copyTo(tissue(box), mapped > 0);
}

// A mask on the small grid of the first look, on the canvas with its steps smoothed.
cv::Mat OnCanvas(const cv::Mat& piece, cv::Size photo, const Canvas& canvas) {
  cv::Mat soft;
  cv::GaussianBlur(piece, soft, cv::Size(), 1.0);
  const cv::Matx33d small_from_canvas = cv::Matx33d(1, 0, -0.5, 0, 1, -0.5, 0, 0, 1) *
                                        cv::Matx33d(double(piece.cols) / photo.width, 0, 0, 0,
                                                    double(piece.rows) / photo.height, 0, 0, 0, 1) *
                                        canvas.photo_from_canvas *
                                        cv::Matx33d(1, 0, 0.5, 0, 1, 0.5, 0, 0, 1);
  cv::Mat mask;
  cv::warpPerspective(soft, mask, small_from_canvas, canvas.rgb.size(),
                      cv::INTER_LINEAR | cv::WARP_INVERSE_MAP, cv::BORDER_CONSTANT, cv::Scalar(0));
  return mask > 127;
}

void Warn(Outcome& outcome, Code code, std::string message) {
  for (const auto& w : outcome.warnings) {
    if (w.code == code) return;
  }
  outcome.warnings.push_back({code, std::move(message)});
}

}  // namespace

Result<Outcome> Measure(const Request& request) {
  RIBWRIGHT_CHECK(request.rgb.type() == CV_8UC3);
  if (request.rgb.cols < 64 || request.rgb.rows < 64) {
    return Fail(Code::kPhotoTooSmall,
                "The photo is " + std::to_string(request.rgb.cols) + " by " +
                    std::to_string(request.rgb.rows) + " pixels; at least 64 by 64 are needed.",
                "photo", "Use the full photo, not a thumbnail.");
  }
  Outcome outcome;
  outcome.method = MethodOf(request.method);
  outcome.tissue = cv::Mat::zeros(request.rgb.size(), CV_8U);
  std::vector<OneFace> faces;
  const double pixels =
      request.method == MethodName::kLearned ? kLearnedCanvasPixels : kCanvasPixels;
  const cv::Rect whole(0, 0, request.rgb.cols, request.rgb.rows);
  if (request.edits && !request.edits->outlines.empty()) {
    for (std::size_t i = 0; i < request.edits->outlines.size(); ++i) {
      const auto& outline = request.edits->outlines[i];
      std::vector<cv::Point2f> points;
      for (const auto& ring : outline) {
        for (const auto& p : ring) points.emplace_back(float(p.x), float(p.y));
      }
      const cv::Rect box = points.size() < 3 ? cv::Rect() : cv::boundingRect(points) & whole;
      if (box.width < 16 || box.height < 16) {
        return Fail(Code::kEditsUnusable, "An edited outline covers less than 16 by 16 pixels.",
                    "outline " + std::to_string(i + 1),
                    "Give rings in photo pixels inside the photo.");
      }
      Canvas canvas = MakeCanvas(request.rgb, request.ignore, request.plane, box, pixels);
      cv::Mat mask = MaskOf(outline, canvas);
      if (request.method == MethodName::kLearned) {
        const LayoutFace look = LookInside(canvas, mask);
        faces.push_back(MeasureOne(request, std::move(canvas), mask, i, &look));
      } else {
        faces.push_back(MeasureOne(request, std::move(canvas), mask, i));
      }
    }
  } else if (request.framing == Framing::kCrop) {
    Canvas canvas = MakeCanvas(request.rgb, request.ignore, request.plane, whole, pixels);
    cv::Mat small;
    cv::resize(canvas.rgb, small, cv::Size(64, 64), 0, 0, cv::INTER_AREA);
    if (cv::countNonZero(LeanColoured(small)) < 0.05 * 64 * 64) {
      return Fail(Code::kNotRawMeat, "Hardly any of the photo has the colour of raw lean.", "photo",
                  "Photograph a raw cut face in white light, or use --framing face.");
    }
    cv::Mat mask(canvas.rgb.size(), CV_8U, cv::Scalar(255));
    faces.push_back(MeasureOne(request, std::move(canvas), mask, 0));
  } else {
    const bool learned = request.method == MethodName::kLearned;
    const MeatMask meat =
        learned ? FindFaces(request.rgb, request.ignore) : FindMeat(request.rgb, request.ignore);
    if (meat.regions.empty()) {
      return Fail(Code::kNoFace, "No cut face of raw meat was found.", "photo",
                  "Fill the frame with the face, on a dark or blue board, in white light.");
    }
    if (meat.white_ground) {
      Warn(outcome, Code::kWhiteGround,
           "The ground is as pale as fat: cover and outline are less certain. Use a dark or blue "
           "board.");
    }
    for (std::size_t i = 0; i < meat.regions.size(); ++i) {
      Canvas canvas =
          MakeCanvas(request.rgb, request.ignore, request.plane, meat.regions[i].box, pixels);
      const cv::Mat own = OnCanvas(meat.labels == int(i) + 1, request.rgb.size(), canvas);
      if (meat.regions[i].touches_edge && meat.regions[i].share < 0.9) {
        Warn(outcome, Code::kFaceCutOff,
             "A face touches the photo's edge; its outline is not whole.");
      }
      if (learned) {
        const cv::Mat others =
            OnCanvas((meat.labels > 0) & (meat.labels != int(i) + 1), request.rgb.size(), canvas);
        const LayoutFace look = LookAtFace(canvas, own, others);
        if (cv::countNonZero(look.mask) > 0.3 * cv::countNonZero(own)) {
          faces.push_back(MeasureOne(request, std::move(canvas), look.mask, i, &look));
          continue;
        }
      }
      faces.push_back(MeasureOne(request, std::move(canvas), own, i));
    }
  }
  // One plane serves all faces: either all areas are known or none is.
  std::stable_sort(faces.begin(), faces.end(), [](const auto& a, const auto& b) {
    if (a.face.area.Known() && b.face.area.Known()) return *a.face.area.value > *b.face.area.value;
    return a.face.area_px > b.face.area_px;
  });
  for (OneFace& one : faces) {
    PaintTissue(one, outcome.tissue);
    if (one.face.unreadable_pct > 12.0) {
      Warn(outcome, Code::kGlareHeavy,
           "Glare hides a large part of the face: wipe it or move the light.");
    }
    if (one.canvas_area_px < 60e3) {
      Warn(outcome, Code::kResolutionLow,
           "The face covers few pixels: flecks under about two pixels are less certain.");
    }
    if (request.method == MethodName::kLearned && request.framing == Framing::kFace) {
      for (const report::Caution& doubt : DoubtsOf(one.traits)) {
        Warn(outcome, doubt.code, doubt.message);
      }
    } else if (one.face.sharpness && *one.face.sharpness < kLeastSharpness) {
      Warn(outcome, Code::kOutOfFocus,
           "The face looks out of focus: fine flecks are less certain.");
    }
    outcome.faces.push_back(std::move(one.face));
    outcome.traits.push_back(one.traits);
  }
  for (const auto& face : outcome.faces) {
    if (request.framing == Framing::kFace && face.muscles.empty()) {
      Warn(outcome, Code::kEyeUncertain, "No muscle could be told apart in the face.");
    }
  }
  return outcome;
}

}  // namespace ribwright::face
