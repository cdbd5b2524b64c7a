// SPDX-License-Identifier: Apache-2.0
#include "programme/sheet_parts.h"

#include <algorithm>

#include "programme/words.h"

namespace ribwright::programme {
namespace {

constexpr std::size_t kMostMuscles = 6;

TextStyle Plain(const SheetPen& pen, double points) {
  TextStyle style;
  style.size = pen.Size(points);
  style.rgb = kSheetInk;
  return style;
}
TextStyle Quiet(const SheetPen& pen, double points) {
  TextStyle style = Plain(pen, points);
  style.rgb = kSheetQuiet;
  return style;
}

void Rule(const SheetPen& pen, double x, double y, double width) {
  SetColour(pen.cairo, kSheetRule);
  FillBox(pen.cairo, x, y, width, 0.6);
}

double Paragraph(const SheetPen& pen, double x, double y, double width, const std::string& text,
                 TextStyle style) {
  style.width = width;
  return y + DrawText(pen.cairo, x, y, text, style).height + pen.Size(1.5);
}

// label | value | interval | unit | note
double NumberRow(const SheetPen& pen, double x, double y, double width, const std::string& label,
                 const Measured& m, const std::string& of = "", bool bold = false) {
  if (LacksOnlyScale(m)) return y;  // said once, at the top
  const double height = pen.Size(11.5);
  TextStyle text = Plain(pen, 8.0);
  if (bold) text.weight = Weight::kBold;
  DrawText(pen.cairo, x, y, label, text);
  if (!m.Known()) {
    TextStyle quiet = Quiet(pen, 7.5);
    quiet.width = width * 0.62;
    const double used = DrawText(pen.cairo, x + width * 0.38, y,
                                 Joined({"not known: ", LengthsIn(m.reason, pen.units)}), quiet)
                            .height;
    return y + std::max(height, used + pen.Size(1.5));
  }
  const units::Shown s = units::Show(m, pen.units);
  TextStyle value = Plain(pen, 8.0);
  value.weight = Weight::kBold;
  value.align = Align::kRight;
  DrawText(pen.cairo, x + width * 0.50, y, s.value, value);
  DrawText(pen.cairo, x + width * 0.525, y,
           m.low < m.high ? s.low + " to " + s.high : std::string("exact"), Plain(pen, 8.0));
  std::string unit = s.unit;
  if (!of.empty()) unit += Joined({unit.empty() ? "" : " ", of});
  TextStyle unit_style = Quiet(pen, 8.0);
  unit_style.width = width * 0.21;
  const double unit_height = DrawText(pen.cairo, x + width * 0.755, y, unit, unit_style).height;
  TextStyle note = Quiet(pen, 7.0);
  note.align = Align::kRight;
  DrawText(pen.cairo, x + width, y, pen.NoteOf(m.basis), note);
  return y + std::max(height, unit_height + pen.Size(1.5));
}

}  // namespace

std::string SheetPen::NoteOf(const std::string& basis) const {
  auto found = std::find(notes->begin(), notes->end(), basis);
  if (found == notes->end()) found = notes->insert(notes->end(), basis);
  const auto index = static_cast<std::size_t>(found - notes->begin());
  std::string mark(1, static_cast<char>('a' + index % 26));
  if (index >= 26) mark += std::to_string(index / 26);
  return mark;
}

double DrawHeading(const SheetPen& pen, double x, double y, double width, const std::string& text) {
  TextStyle style = Plain(pen, 9.5);
  style.weight = Weight::kBold;
  y += pen.Size(5.0);
  y += DrawText(pen.cairo, x, y, text, style).height + pen.Size(1.0);
  Rule(pen, x, y, width);
  return y + pen.Size(3.0);
}

double DrawOdds(const SheetPen& pen, double x, double y, double width, const std::string& title,
                const report::Odds& odds) {
  if (!odds.Known() && odds.basis.empty()) return y;
  TextStyle label = Plain(pen, 8.0);
  label.weight = Weight::kBold;
  const TextSize size = DrawText(pen.cairo, x, y, title, label);
  if (!odds.Known()) {
    y += size.height;
    return Paragraph(pen, x, y, width, Joined({"not known: ", odds.basis}), Quiet(pen, 7.5)) +
           pen.Size(2.0);
  }
  DrawText(pen.cairo, x + size.width + pen.Size(4.0), y + pen.Size(1.0), pen.NoteOf(odds.basis),
           Quiet(pen, 7.0));
  y += size.height + pen.Size(1.0);
  const double row = pen.Size(10.5);
  const double bar_x = x + width * 0.36;
  const double bar_width = width * 0.48;
  double rest = 1.0;
  for (const auto& [name, probability] : odds.odds) {
    if (probability < 0.02 && name != odds.most_likely) continue;  // the sum of these is said below
    rest -= probability;
    DrawText(pen.cairo, x + pen.Size(6.0), y, StepWords(name), Plain(pen, 8.0));
    SetColour(pen.cairo, kSheetRule);
    FillBox(pen.cairo, bar_x, y + row * 0.25, bar_width, row * 0.45);
    SetColour(pen.cairo, kSheetBar);
    FillBox(pen.cairo, bar_x, y + row * 0.25, bar_width * probability, row * 0.45);
    TextStyle percent = Plain(pen, 8.0);
    percent.align = Align::kRight;
    DrawText(pen.cairo, x + width, y, PercentWords(probability), percent);
    y += row;
  }
  if (rest > 0.005) {
    DrawText(pen.cairo, x + pen.Size(6.0), y, Joined({"all others ", PercentWords(rest)}),
             Quiet(pen, 7.5));
    y += row;
  }
  return y + pen.Size(3.0);
}

double DrawGrades(const SheetPen& pen, double x, double y, double width, const report::Face& face) {
  const double top = y;
  y = DrawHeading(pen, x, y, width, "Odds on published scales");
  y = Paragraph(pen, x, y, width, "Official grades are given only by graders.", Quiet(pen, 7.5));
  const double start = y;
  const std::string why = CommonReason(face);
  if (!why.empty()) {
    y = Paragraph(pen, x, y, width, Joined({"not judged: ", why}), Plain(pen, 8.0));
    return why == face.rib_position.basis
               ? y
               : DrawOdds(pen, x, y, width, "Where along the rib", face.rib_position);
  }
  y = DrawOdds(pen, x, y, width, "US marbling degree", face.marbling_degree);
  const bool alike = JapaneseRowsAlike(face);
  for (const std::string key : {"us", "us_yield", "japan", "japan_bms", "japan_yield"}) {
    const auto found = face.grade_odds.find(key);
    if (found == face.grade_odds.end() || (alike && key == "japan")) continue;
    y = DrawOdds(pen, x, y, width, GradeScaleWords(key), found->second);
    if (key == "japan_bms") {
      y = Paragraph(pen, x, y, width, std::string(kJapaneseNote), Quiet(pen, 7.0));
    }
  }
  y = DrawOdds(pen, x, y, width, "Where along the rib", face.rib_position);
  return y > start ? y : top;
}

double DrawFaceNumbers(const SheetPen& pen, double x, double y, double width,
                       const report::Face& f) {
  y = DrawHeading(pen, x, y, width, "The face, with 90 % intervals");
  y = NumberRow(pen, x, y, width, "area", f.area);
  y = NumberRow(pen, x, y, width, "area of lean", f.lean_area);
  y = NumberRow(pen, x, y, width, "all fat", f.fat_share_pct, "of face");
  y = NumberRow(pen, x, y, width, "fat to lean", f.fat_to_lean);
  y = NumberRow(pen, x, y, width, "marbling", f.marbling_pct, "of muscles");
  if (f.imf_pct && (f.imf_pct->Known() || f.imf_pct->reason != CommonReason(f)))
    y = NumberRow(pen, x, y, width, "chemical fat", *f.imf_pct);
  y = NumberRow(pen, x, y, width, "cover, mean", f.cover.mean);
  y = NumberRow(pen, x, y, width, "cover at 3/4 of the eye", f.cover.at_three_quarters);
  y = NumberRow(pen, x, y, width, "lean, lightness L*", f.lean_colour.L);
  y = NumberRow(pen, x, y, width, "lean, redness a*", f.lean_colour.a);
  y = NumberRow(pen, x, y, width, "lean, yellowness b*", f.lean_colour.b);
  y = NumberRow(pen, x, y, width, "fat, lightness L*", f.fat_colour.L);
  y = NumberRow(pen, x, y, width, "fat, redness a*", f.fat_colour.a);
  y = NumberRow(pen, x, y, width, "fat, yellowness b*", f.fat_colour.b);
  DrawText(pen.cairo, x, y, "not readable", Plain(pen, 8.0));
  DrawText(pen.cairo, x + width * 0.525, y, units::Fixed(f.unreadable_pct, 1) + " % of face",
           Plain(pen, 8.0));
  return y + pen.Size(11.5);
}

double DrawMuscleNumbers(const SheetPen& pen, double x, double y, double width,
                         const report::Face& face) {
  if (face.muscles.empty()) return y;
  y = DrawHeading(pen, x, y, width, "Its muscles");
  std::size_t shown = 0;
  for (const report::Muscle& m : face.muscles) {
    if (++shown > kMostMuscles) break;
    y = NumberRow(pen, x, y, width, std::string(MuscleLongWords(m.name)), m.marbling_pct,
                  "marbling", true);
    y = NumberRow(pen, x, y, width, "   area", m.area);
    if (shown > 2) continue;  // fleck by fleck for the two that the trade looks at
    y = NumberRow(pen, x, y, width, LengthsIn("   flecks from 0.1 mm2", pen.units),
                  m.flecks_per_cm2);
    y = NumberRow(pen, x, y, width, "   typical fleck", m.fleck_mm2_p50);
    y = NumberRow(pen, x, y, width, "   one fleck in ten is over", m.fleck_mm2_p90);
    const std::string texture = TextureWords(m.coarseness);
    y = NumberRow(pen, x, y, width,
                  texture.empty() ? "   texture" : Joined({"   ", texture, " marbling"}),
                  m.coarseness, "in thick flecks");
    y = NumberRow(pen, x, y, width, LengthsIn("   spread over 10 mm", pen.units), m.evenness,
                  "marbling");
  }
  if (face.muscles.size() > kMostMuscles) {
    y = Paragraph(pen, x, y, width, "Further muscles stand in the JSON.", Quiet(pen, 7.5));
  }
  return y;
}

double DrawSigns(const SheetPen& pen, double x, double y, double width, const report::Face& face) {
  if (face.signs.empty() && face.signs_reason.empty()) return y;
  y = DrawHeading(pen, x, y, width, "Signs: odds, never proof");
  if (face.signs.empty()) {
    return Paragraph(pen, x, y, width, Joined({"not judged: ", face.signs_reason}),
                     Plain(pen, 8.0));
  }
  const report::Sign* grain = SignNamed(face, report::SignOf::kGrainFed);
  const report::Sign* grass = SignNamed(face, report::SignOf::kGrassFed);
  for (const report::Sign& sign : face.signs) {
    if (grain != nullptr && grass != nullptr) {
      if (&sign == grass) continue;
      if (&sign == grain) {  // two readings of one question
        y = Paragraph(pen, x, y, width,
                      Joined({SignWords(grain->of), " ", PercentWords(grain->odds), ", ",
                              SignWords(grass->of), " ", PercentWords(grass->odds)}),
                      Plain(pen, 8.0));
        y = Paragraph(pen, x + width * 0.39, y, width * 0.61, grain->because, Quiet(pen, 7.0));
        continue;
      }
    }
    DrawText(pen.cairo, x, y, std::string(SignWords(sign.of)), Plain(pen, 8.0));
    TextStyle percent = Plain(pen, 8.0);
    percent.weight = Weight::kBold;
    percent.align = Align::kRight;
    DrawText(pen.cairo, x + width * 0.36, y, PercentWords(sign.odds), percent);
    y = Paragraph(pen, x + width * 0.39, y, width * 0.61, sign.because, Quiet(pen, 7.0));
  }
  return y;
}

double DrawSpec(const SheetPen& pen, double x, double y, double width, const report::Face& face) {
  if (face.spec.empty()) return y;
  y = DrawHeading(pen, x, y, width, "House spec");
  for (const report::SpecLine& line : face.spec) {
    std::string outcome = line.outcome;
    if (line.odds_met) outcome.append(", odds met ").append(PercentWords(*line.odds_met));
    y = Paragraph(pen, x, y, width, Joined({line.name, " ", line.wanted}), Plain(pen, 8.0));
    TextStyle bold = Plain(pen, 8.0);
    bold.weight = Weight::kBold;
    y = Paragraph(pen, x, y, width, outcome, bold);
    if (!line.because.empty()) y = Paragraph(pen, x, y, width, line.because, Quiet(pen, 7.0));
  }
  return y;
}

double DrawCautions(const SheetPen& pen, double x, double y, double width,
                    const report::PhotoReport& report) {
  if (report.warnings.empty()) return y;
  y = DrawHeading(pen, x, y, width, "Cautions");
  for (const report::Caution& caution : report.warnings) {
    DrawText(pen.cairo, x, y, "\u2022", Plain(pen, 7.5));
    y = Paragraph(pen, x + pen.Size(8.0), y, width - pen.Size(8.0),
                  LengthsIn(caution.message, pen.units), Plain(pen, 7.5));
  }
  return y;
}

double DrawNotes(const SheetPen& pen, double x, double y, double width) {
  if (pen.notes->empty()) return y;
  y = DrawHeading(pen, x, y, width, "How the intervals and odds were made");
  // Marks are handed out while drawing; the list does not grow here.
  const std::vector<std::string> notes = *pen.notes;
  for (const std::string& basis : notes) {
    DrawText(pen.cairo, x, y, pen.NoteOf(basis), Plain(pen, 7.0));
    y = Paragraph(pen, x + pen.Size(12.0), y, width - pen.Size(12.0), LengthsIn(basis, pen.units),
                  Quiet(pen, 7.0));
  }
  return y;
}

}  // namespace ribwright::programme
