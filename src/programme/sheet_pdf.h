// SPDX-License-Identifier: Apache-2.0
// The sheet: a judged photo, one page a face, for the file or the wall.
//
// A4 in metric units, letter in US customary ones. The head carries the photo's name without its
// folders, when it was taken (else judged) and what was entered; then the photo with the overlay of
// that face and its legend, odds as bars, the numbers with their 90 % intervals and how each was
// made, signs, house spec, cautions, and that official grades are given only by graders. What does
// not fit at the usual size is set smaller, down to two thirds; further muscles than six are left
// to the JSON, and the sheet says so. The same input gives the same bytes (the PDF carries a fixed
// date). Error: kInternal, when cairo fails.
#pragma once

#include <cstdint>
#include <opencv2/core/mat.hpp>
#include <optional>
#include <vector>

#include "base/result.h"
#include "report/photo_report.h"
#include "units/format.h"
#include "units/utc_time.h"

namespace ribwright::programme {

struct SheetOptions {
  units::System units = units::System::kMetric;
  std::optional<units::UtcTime> judged;  // shown where the photo does not say when it was taken
};

// rgb CV_8UC3 and tissue CV_8U of one size; report without error, with at least one face.
Result<std::vector<std::uint8_t>> SheetPdf(const cv::Mat& rgb, const cv::Mat& tissue,
                                           const report::PhotoReport& report,
                                           const SheetOptions& options = {});

}  // namespace ribwright::programme
