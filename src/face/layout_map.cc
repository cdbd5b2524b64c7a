// SPDX-License-Identifier: Apache-2.0
#include "face/layout_map.h"

#include <algorithm>
#include <cmath>
#include <opencv2/dnn.hpp>
#include <opencv2/imgproc.hpp>
#include <span>

#include "base/check.h"
#include "face/network.h"

extern "C" {
extern const unsigned char rw_embedded_layout_network[];
extern const unsigned char rw_embedded_layout_network_end[];
}

namespace ribwright::face {
namespace {

constexpr int kSide = 384;  // as trained
constexpr int kClasses = 10;

std::span<const std::uint8_t> Weights() {
  return {rw_embedded_layout_network, rw_embedded_layout_network_end};
}

Network& TheNetwork() {
  static Network network(Weights());
  return network;
}

}  // namespace

const std::string& LayoutRevision() {
  static const std::string revision = FingerprintOf(Weights());
  return revision;
}

LayoutMap MapLayout(const cv::Mat& rgb, cv::Size size) {
  RIBWRIGHT_CHECK(rgb.type() == CV_8UC3 && !rgb.empty());
  const double s = static_cast<double>(kSide) / std::max(rgb.cols, rgb.rows);
  const int w = std::clamp(static_cast<int>(std::lround(rgb.cols * s)), 1, kSide);
  const int h = std::clamp(static_cast<int>(std::lround(rgb.rows * s)), 1, kSide);
  const cv::Rect place((kSide - w) / 2, (kSide - h) / 2, w, h);
  cv::Mat square(kSide, kSide, CV_8UC3, cv::Scalar::all(128));
  cv::resize(rgb, square(place), place.size(), 0, 0, s < 1.0 ? cv::INTER_AREA : cv::INTER_LINEAR);

  const cv::Mat scores = TheNetwork().Run(cv::dnn::blobFromImage(square, 1.0 / 255.0));
  RIBWRIGHT_CHECK(scores.dims == 4 && scores.size[1] == kClasses + 1);

  // The network was taught the class at input pixel 2i for its pixel i: 0.25 of its pixels before
  // the middle of the two.
  const int out_side = scores.size[2];
  const double half = static_cast<double>(out_side) / kSide;
  const double fx = w * half / size.width;
  const double fy = h * half / size.height;
  const cv::Matx23d map(fx, 0, place.x * half + 0.5 * fx - 0.25,  //
                        0, fy, place.y * half + 0.5 * fy - 0.25);
  const auto grown = [&](int c) {
    const cv::Mat plane(out_side, out_side, CV_32F, const_cast<float*>(scores.ptr<float>(0, c)));
    cv::Mat out;
    cv::warpAffine(plane, out, map, size, cv::INTER_LINEAR | cv::WARP_INVERSE_MAP,
                   cv::BORDER_REPLICATE);
    return out;
  };
  LayoutMap layout;
  layout.kind = cv::Mat::zeros(size, CV_8U);
  cv::Mat best = grown(0);
  for (int c = 1; c < kClasses; ++c) {
    const cv::Mat score = grown(c);
    const cv::Mat wins = score > best;
    layout.kind.setTo(c, wins);
    cv::max(best, score, best);
  }
  layout.rim = grown(kClasses) > 0.0;
  return layout;
}

}  // namespace ribwright::face
