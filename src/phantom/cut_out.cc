// SPDX-License-Identifier: Apache-2.0
#include "phantom/cut_out.h"

#include <opencv2/imgproc.hpp>
#include <vector>

namespace ribwright::phantom {

bool IsCutOut(GroundKind ground) {
  return ground == GroundKind::kPureWhite || ground == GroundKind::kPureBlack;
}

void CutOut(cv::Mat& rgb, const Scene& scene, const Recipe& recipe) {
  cv::Mat keep(rgb.size(), CV_8U, cv::Scalar(0));
  constexpr int kShift = 4;
  constexpr int kLayers = 12;
  for (const Piece& piece : scene.pieces) {
    for (int k = 0; k <= kLayers; ++k) {
      std::vector<cv::Point> ring;
      for (const cv::Point2d& p : piece.outline) {
        const cv::Point2d px =
            scene.camera.PxFromWorld({p.x, p.y, recipe.thickness_mm * k / kLayers});
        ring.emplace_back(cvRound((px.x - 0.5) * (1 << kShift)),
                          cvRound((px.y - 0.5) * (1 << kShift)));
      }
      cv::fillPoly(keep, std::vector<std::vector<cv::Point>>{ring}, cv::Scalar(255), cv::LINE_AA,
                   kShift);
    }
  }
  cv::GaussianBlur(keep, keep, {}, 0.7);
  const int ground = recipe.ground == GroundKind::kPureWhite ? 255 : 0;
  for (int y = 0; y < rgb.rows; ++y) {
    auto* row = rgb.ptr<cv::Vec3b>(y);
    const std::uint8_t* a = keep.ptr<std::uint8_t>(y);
    for (int x = 0; x < rgb.cols; ++x) {
      for (int k = 0; k < 3; ++k) {
        row[x][k] =
            static_cast<std::uint8_t>((row[x][k] * a[x] + ground * (255 - a[x]) + 127) / 255);
      }
    }
  }
}

}  // namespace ribwright::phantom
