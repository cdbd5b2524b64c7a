// SPDX-License-Identifier: Apache-2.0
// Layout: what lies where on a picture of cut faces, by a network trained on phantoms alone
// (training/, docs/science/layout.md): ground, each muscle by name, fat outside muscles, bone, and
// the rim of each face, which parts faces that touch.
//
// The picture is fitted into a square of 384 pixels, the rest grey. The network answers at 192; its
// scores are interpolated to the size asked for and the greatest one wins, so edges lie between its
// pixels. Names of muscles are what the drawn anatomy teaches: `assumed`, not proved on real ribs.
#pragma once

#include <cstdint>
#include <opencv2/core.hpp>
#include <string>

#include "report/photo_report.h"

namespace ribwright::face {

inline constexpr int kLayoutOutside = 0;
inline constexpr int kLayoutOtherFat = 8;
inline constexpr int kLayoutBone = 9;
// Codes 1..7 are one more than report::MuscleName.
inline constexpr int LayoutOf(report::MuscleName name) { return 1 + static_cast<int>(name); }
inline constexpr bool IsMuscle(int code) { return code >= 1 && code <= 7; }

struct LayoutMap {
  cv::Mat kind;  // CV_8U: the codes above
  cv::Mat rim;   // CV_8U 0/255: rim of a face
};

// Fingerprint of the weights, for reports.
const std::string& LayoutRevision();

// rgb CV_8UC3 of any size, scaled to `size` in the answer. Deterministic; thread-safe.
LayoutMap MapLayout(const cv::Mat& rgb, cv::Size size);

}  // namespace ribwright::face
