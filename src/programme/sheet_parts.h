// SPDX-License-Identifier: Apache-2.0
// The blocks of the sheet. Each draws from (x, y) within a width and returns the y below it. Sizes
// scale with `Pen::scale`, so that a page that would overflow is set again smaller.
#pragma once

#include <string>
#include <vector>

#include "programme/draw.h"
#include "report/photo_report.h"
#include "units/format.h"

namespace ribwright::programme {

struct SheetPen {
  cairo_t* cairo = nullptr;
  double scale = 1.0;
  units::System units = units::System::kMetric;
  std::vector<std::string>* notes = nullptr;  // how intervals were made, in order of first use

  double Size(double points) const { return points * scale; }
  // The mark of a basis: "a", "b" ...; the same basis gets the same mark.
  std::string NoteOf(const std::string& basis) const;
};

inline const cv::Vec3b kSheetInk(28, 30, 34);
inline const cv::Vec3b kSheetQuiet(95, 100, 108);
inline const cv::Vec3b kSheetRule(205, 208, 212);
inline const cv::Vec3b kSheetBar(58, 84, 140);

double DrawHeading(const SheetPen& pen, double x, double y, double width, const std::string& text);
double DrawOdds(const SheetPen& pen, double x, double y, double width, const std::string& title,
                const report::Odds& odds);
// Every scale of the face, under the sentence on official grades.
double DrawGrades(const SheetPen& pen, double x, double y, double width, const report::Face& face);
double DrawFaceNumbers(const SheetPen& pen, double x, double y, double width,
                       const report::Face& face);
double DrawMuscleNumbers(const SheetPen& pen, double x, double y, double width,
                         const report::Face& face);
double DrawSigns(const SheetPen& pen, double x, double y, double width, const report::Face& face);
double DrawSpec(const SheetPen& pen, double x, double y, double width, const report::Face& face);
double DrawCautions(const SheetPen& pen, double x, double y, double width,
                    const report::PhotoReport& report);
double DrawNotes(const SheetPen& pen, double x, double y, double width);

}  // namespace ribwright::programme
