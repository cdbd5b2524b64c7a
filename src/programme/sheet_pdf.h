// SPDX-License-Identifier: Apache-2.0
// The sheet: a judged photo on one page, for the file or the wall.
//
// A4 in metric units, letter in US customary ones. The photo with its overlay and legend, odds as
// bars, the numbers of the largest face with their 90 % intervals and how each was made, signs,
// house spec, cautions, and that official grades are given only by graders. What does not fit at
// the usual size is set smaller, down to two thirds; further muscles than six are left to the JSON,
// and the sheet says so. The same input gives the same bytes (the PDF carries a fixed date). Error:
// kInternal, when cairo fails.
#pragma once

#include <cstdint>
#include <opencv2/core/mat.hpp>
#include <vector>

#include "base/result.h"
#include "report/photo_report.h"
#include "units/format.h"

namespace ribwright::programme {

struct SheetOptions {
  units::System units = units::System::kMetric;
};

// rgb CV_8UC3 and tissue CV_8U of one size; report without error, with at least one face.
Result<std::vector<std::uint8_t>> SheetPdf(const cv::Mat& rgb, const cv::Mat& tissue,
                                           const report::PhotoReport& report,
                                           const SheetOptions& options = {});

}  // namespace ribwright::programme
