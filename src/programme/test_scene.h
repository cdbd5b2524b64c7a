// SPDX-License-Identifier: Apache-2.0
// A drawn stand-in for a judged photo: the sample report's ellipses as lean with specks, a seam, a
// bone and a glare spot. Only for tests of what is written about a face, never of how it is
// measured.
#pragma once

#include <map>
#include <opencv2/core/mat.hpp>

#include "report/photo_report.h"
#include "report/tissue.h"

namespace ribwright::programme {

struct TestScene {
  cv::Mat rgb;
  cv::Mat tissue;
  report::PhotoReport report;
  std::map<report::Tissue, cv::Point> patch;  // the middle of a plain patch of each tissue
};

TestScene MakeTestScene(int width, int height);

}  // namespace ribwright::programme
