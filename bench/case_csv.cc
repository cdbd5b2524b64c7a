// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

#include "case_table.h"
#include "quantities.h"

namespace ribwright::bench {
namespace {

std::string Column(std::string_view name) {
  std::string column(name);
  std::replace(column.begin(), column.end(), ' ', '_');
  return column;
}

std::string Text(const std::optional<double>& value) {
  return value ? fmt::format("{:.6g}", *value) : std::string();
}

void AddLine(std::string& csv, const CaseResult& c, const char* variant,
             const std::vector<Reading>& readings, const Causes& causes) {
  csv += fmt::format("{},{},{},{},{},{:.4f},{:.4f},{:.2f},{:.4f},{},{},{},{:.2f},{:.2f}", c.seed,
                     phantom::DifficultyText(c.difficulty), phantom::CutText(c.cut), variant,
                     c.refusal, c.face_iou, c.eye_iou, c.cap_thickest_mm, c.cap_iou,
                     c.cap_called ? 1 : 0, Text(c.global_error), Text(c.local_error), c.render_s,
                     c.judge_s);
  const Measured& scale = causes.px_per_mm;
  csv += scale.Known() ? fmt::format(",{:.5g},{:.5g},{:.5g}", *scale.value, scale.low, scale.high)
                       : ",,,";
  csv += fmt::format(",{:.4g},{},{},{}", causes.unreadable_pct, Text(causes.sharpness),
                     Text(causes.disagreement), fmt::join(causes.warnings, "+"));
  for (const Reading& reading : readings) {
    csv += fmt::format(",{}", Text(reading.truth));
    if (reading.judged && reading.judged->Known()) {
      csv += fmt::format(",{:.6g},{:.6g},{:.6g}", *reading.judged->value, reading.judged->low,
                         reading.judged->high);
    } else {
      csv += ",,,";
    }
  }
  csv += "\n";
}

}  // namespace

std::string CasesAsCsv(std::span<const CaseResult> cases) {
  std::string csv =
      "seed,difficulty,cut,variant,refusal,face_iou,eye_iou,cap_thickest_mm,cap_iou,cap_called,"
      "global_error_points,local_error_points,render_s,judge_s,px_per_mm,px_per_mm_low,"
      "px_per_mm_high,unreadable_pct,sharpness,disagreement,warnings";
  for (const Quantity& quantity : Quantities()) {
    const std::string name = Column(quantity.name);
    csv += fmt::format(",{0}_truth,{0},{0}_low,{0}_high", name);
  }
  csv += "\n";
  for (const CaseResult& c : cases) {
    AddLine(csv, c, "entered", c.readings, c.causes);
    if (!c.bare.empty()) AddLine(csv, c, "bare", c.bare, c.bare_causes);
  }
  return csv;
}

}  // namespace ribwright::bench
