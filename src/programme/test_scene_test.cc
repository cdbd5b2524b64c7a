// SPDX-License-Identifier: Apache-2.0
#include "programme/test_scene.h"

#include <opencv2/imgproc.hpp>
#include <vector>

#include "math/rng.h"
#include "report/sample_reports.h"

namespace ribwright::programme {
namespace {

using report::Tissue;

void Scale(report::Outline& outline, double sx, double sy) {
  for (report::Ring& ring : outline) {
    for (report::Point& p : ring) p = {p.x * sx, p.y * sy};
  }
}

std::vector<std::vector<cv::Point>> Pixels(const report::Outline& outline) {
  std::vector<std::vector<cv::Point>> rings;
  for (const report::Ring& ring : outline) {
    auto& points = rings.emplace_back();
    for (const report::Point& p : ring) points.emplace_back(cvRound(p.x), cvRound(p.y));
  }
  return rings;
}

cv::Scalar LookOf(Tissue tissue) {
  switch (tissue) {
    case Tissue::kLean:
      return {142, 48, 46};
    case Tissue::kMuscleFat:
    case Tissue::kOtherFat:
      return {226, 206, 186};
    case Tissue::kBone:
      return {188, 150, 128};
    case Tissue::kUnreadable:
      return {250, 246, 246};
    case Tissue::kOutside:
      break;
  }
  return {120, 130, 126};
}

}  // namespace

TestScene MakeTestScene(int width, int height) {
  TestScene scene;
  scene.report = report::SampleRib();
  report::PhotoReport& r = scene.report;
  const double sx = width / static_cast<double>(r.width_px);
  const double sy = height / static_cast<double>(r.height_px);
  r.width_px = width;
  r.height_px = height;
  r.scale.px_per_mm.low *= sx;
  r.scale.px_per_mm.high *= sx;
  *r.scale.px_per_mm.value *= sx;
  report::Face& face = r.faces.front();
  Scale(face.outline_px, sx, sy);
  for (report::Muscle& m : face.muscles) Scale(m.outline_px, sx, sy);

  scene.tissue = cv::Mat::zeros(height, width, CV_8U);
  cv::fillPoly(scene.tissue, Pixels(face.outline_px), cv::Scalar(int(Tissue::kOtherFat)));
  math::Rng rng(7);
  for (const report::Muscle& m : face.muscles) {
    cv::Mat inside = cv::Mat::zeros(height, width, CV_8U);
    cv::fillPoly(inside, Pixels(m.outline_px), cv::Scalar(255));
    scene.tissue.setTo(int(Tissue::kLean), inside);
    cv::Mat specks = cv::Mat::zeros(height, width, CV_8U);
    for (int i = 0; i < 900; ++i) {
      cv::ellipse(specks,
                  cv::Point(int(rng.Below(unsigned(width))), int(rng.Below(unsigned(height)))),
                  cv::Size(int(4 * sx) + 1, int(1.5 * sx) + 1), rng.Uniform(0, 180), 0, 360,
                  cv::Scalar(255), -1);
    }
    scene.tissue.setTo(int(Tissue::kMuscleFat), inside & specks);
  }
  const auto blob = [&](Tissue tissue, double x, double y) {
    const cv::Point at(int(x * sx), int(y * sy));
    cv::ellipse(scene.tissue, at, cv::Size(int(24 * sx), int(16 * sy)), 0, 0, 360,
                cv::Scalar(int(tissue)), -1);
    scene.patch[tissue] = at;
  };
  blob(Tissue::kBone, 160, 270);
  blob(Tissue::kUnreadable, 420, 360);
  blob(Tissue::kMuscleFat, 300, 330);
  blob(Tissue::kOtherFat, 620, 420);
  blob(Tissue::kLean, 360, 260);

  scene.rgb = cv::Mat(height, width, CV_8UC3);
  for (int code = 0; code <= 5; ++code) {
    scene.rgb.setTo(LookOf(static_cast<Tissue>(code)), scene.tissue == code);
  }
  return scene;
}

}  // namespace ribwright::programme
