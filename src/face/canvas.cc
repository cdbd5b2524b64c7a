// SPDX-License-Identifier: Apache-2.0
#include "face/canvas.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <opencv2/imgproc.hpp>

namespace ribwright::face {
namespace {

// OpenCV's pixel centres are at whole numbers; ours at halves.
const cv::Matx33d kCvFromOurs(1, 0, -0.5, 0, 1, -0.5, 0, 0, 1);
const cv::Matx33d kOursFromCv(1, 0, 0.5, 0, 1, 0.5, 0, 0, 1);

}  // namespace

cv::Point2d Through(const cv::Matx33d& h, double x, double y) {
  const cv::Vec3d v = h * cv::Vec3d(x, y, 1.0);
  return {v[0] / v[2], v[1] / v[2]};
}

Canvas MakeCanvas(const cv::Mat& rgb, const cv::Mat& ignore,
                  const std::optional<photo::Plane>& plane, const cv::Rect& box,
                  double most_pixels) {
  Canvas canvas;
  cv::Matx33d flat = cv::Matx33d::eye();  // photo px -> unscaled canvas units
  double unit_px = 1.0;                   // photo pixels a unit, at the box's middle
  if (plane) {
    flat = plane->mm_from_px;
    unit_px = plane->PxPerMm(box.x + box.width / 2.0, box.y + box.height / 2.0);
  }
  double x0 = 1e30;
  double y0 = 1e30;
  double x1 = -1e30;
  double y1 = -1e30;
  for (const auto& corner :
       {cv::Point(box.x, box.y), cv::Point(box.x + box.width, box.y),
        cv::Point(box.x, box.y + box.height), cv::Point(box.x + box.width, box.y + box.height)}) {
    const cv::Point2d p = Through(flat, corner.x, corner.y);
    x0 = std::min(x0, p.x);
    y0 = std::min(y0, p.y);
    x1 = std::max(x1, p.x);
    y1 = std::max(y1, p.y);
  }
  const double area = std::max(1e-9, (x1 - x0) * (y1 - y0));
  const double scale = std::min(unit_px, std::sqrt(most_pixels / area));  // canvas px a unit
  const cv::Matx33d place(scale, 0, -scale * x0, 0, scale, -scale * y0, 0, 0, 1);
  canvas.canvas_from_photo = place * flat;
  if (plane) canvas.px_per_mm = scale;

  const cv::Size size(std::max(1, static_cast<int>(std::lround((x1 - x0) * scale))),
                      std::max(1, static_cast<int>(std::lround((y1 - y0) * scale))));
  // Area-average down to about twice the canvas first, so that warping never skips pixels.
  const double shrink = scale / unit_px;
  cv::Mat source = rgb;
  cv::Matx33d source_from_photo = cv::Matx33d::eye();
  if (!plane) {
    if (shrink < 1.0) {
      cv::resize(rgb(box), canvas.rgb, size, 0, 0, cv::INTER_AREA);
    } else {
      canvas.rgb = rgb(box).clone();
    }
  } else {
    if (shrink < 0.75) {
      const cv::Size half(std::max(1, static_cast<int>(std::lround(rgb.cols * shrink))),
                          std::max(1, static_cast<int>(std::lround(rgb.rows * shrink))));
      cv::resize(rgb, source, half, 0, 0, cv::INTER_AREA);
      source_from_photo = cv::Matx33d(double(half.width) / rgb.cols, 0, 0, 0,
                                      double(half.height) / rgb.rows, 0, 0, 0, 1);
    }
    const cv::Matx33d cv_map =
        kCvFromOurs * canvas.canvas_from_photo * source_from_photo.inv() * kOursFromCv;
    cv::warpPerspective(source, canvas.rgb, cv_map, size, cv::INTER_LINEAR, cv::BORDER_CONSTANT,
                        cv::Scalar(0, 0, 0));
  }
  canvas.ignore = cv::Mat::zeros(canvas.rgb.size(), CV_8U);
  canvas.photo_from_canvas = canvas.canvas_from_photo.inv();
  if (plane || !ignore.empty()) {
    cv::Mat usable =
        ignore.empty() ? cv::Mat(rgb.size(), CV_8U, cv::Scalar(255)) : cv::Mat(ignore == 0);
    cv::Mat mapped;
    cv::warpPerspective(usable, mapped, kCvFromOurs * canvas.canvas_from_photo * kOursFromCv,
                        canvas.rgb.size(), cv::INTER_NEAREST, cv::BORDER_CONSTANT, cv::Scalar(0));
    canvas.ignore = mapped == 0;
  }
  return canvas;
}

}  // namespace ribwright::face
