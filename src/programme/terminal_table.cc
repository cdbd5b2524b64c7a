// SPDX-License-Identifier: Apache-2.0
#include "programme/terminal_table.h"

#include <algorithm>
#include <sstream>
#include <utility>
#include <vector>

#include "programme/words.h"

namespace ribwright::programme {
namespace {

constexpr std::size_t kWidth = 80;
constexpr std::size_t kLabel = 34;

std::string Left(std::string text, std::size_t width) {
  const std::size_t columns = ColumnsOf(text);
  if (columns < width) text.append(width - columns, ' ');
  return text;
}
std::string Right(const std::string& text, std::size_t width) {
  const std::size_t columns = ColumnsOf(text);
  return columns < width ? std::string(width - columns, ' ').append(text) : text;
}

class Table {
 public:
  explicit Table(const TableOptions& options) : options_(options) {}

  void Title(const std::string& text) { out_ << '\n' << text << '\n'; }
  void Line(const std::string& text) { out_ << text << '\n'; }

  // "  label      value  low to high  unit"
  void Row(const std::string& label, const Measured& m, const std::string& of = "") {
    if (LacksOnlyScale(m)) return;  // said once, at the top
    out_ << Left("  " + label, kLabel);
    if (!m.Known()) {
      out_ << Wrapped(Joined({"not known: ", LengthsIn(m.reason, options_.units)}),
                      kWidth - kLabel - 2, kLabel + 2)
           << '\n';
      return;
    }
    const units::Shown s = units::Show(m, options_.units);
    const std::string interval = m.low < m.high ? s.low + " to " + s.high : "exact";
    std::string unit = s.unit;
    if (!of.empty()) unit += Joined({unit.empty() ? "" : " ", of});
    out_ << Right(s.value, 8) << "   " << Left(interval, unit.empty() ? 0 : 17);
    if (!unit.empty()) out_ << ' ' << unit;
    out_ << '\n';
    if (options_.explain) Explain(m.basis);
  }

  void Explain(const std::string& basis) {
    if (basis.empty()) return;
    out_ << "      " << Wrapped(Joined({"by: ", LengthsIn(basis, options_.units)}), kWidth - 6, 10)
         << '\n';
  }

  void OddsRow(const std::string& label, const report::Odds& odds) {
    if (!odds.Known()) {
      if (odds.basis.empty()) return;
      out_ << Left("  " + label, kLabel - 6)
           << Wrapped(Joined({"not known: ", odds.basis}), kWidth - kLabel + 6, kLabel - 4) << '\n';
      return;
    }
    std::vector<std::pair<std::string, double>> sorted = odds.odds;
    std::stable_sort(sorted.begin(), sorted.end(),
                     [](const auto& a, const auto& b) { return a.second > b.second; });
    std::string words;
    double shown = 0.0;
    for (std::size_t i = 0; i < sorted.size() && (i < 4 || shown < 0.9); ++i) {
      if (i > 0 && sorted[i].second < 0.005) break;
      if (!words.empty()) words += ", ";
      words += StepWords(sorted[i].first);
      words += ' ';
      words += PercentWords(sorted[i].second);
      shown += sorted[i].second;
    }
    out_ << Left("  " + label, kLabel - 6) << Wrapped(words, kWidth - kLabel + 6, kLabel - 4)
         << '\n';
    if (options_.explain) Explain(odds.basis);
  }

  const TableOptions& options() const { return options_; }
  std::string Text() const { return out_.str(); }

 private:
  TableOptions options_;
  std::ostringstream out_;
};

// Fleck by fleck only for eye and cap, unless all is to be explained.
void MuscleRows(Table& t, const report::Muscle& m, bool whole) {
  t.Row(std::string(MuscleLongWords(m.name)), m.marbling_pct, "marbling");
  t.Row("  area", m.area);
  if (!whole) return;
  const units::System units = t.options().units;
  t.Row(LengthsIn("  flecks from 0.1 mm2", units), m.flecks_per_cm2);
  t.Row("  typical fleck", m.fleck_mm2_p50);
  t.Row("  one fleck in ten is over", m.fleck_mm2_p90);
  const std::string texture = TextureWords(m.coarseness);
  t.Row(texture.empty() ? "  texture" : Joined({"  ", texture, " marbling"}), m.coarseness,
        "in thick flecks");
  t.Row(LengthsIn("  evenness: spread over 10 mm", units), m.evenness, "marbling");
}

void ColourRows(Table& t, const char* label, const report::Lab& lab) {
  t.Row(std::string(label) + ", lightness L*", lab.L);
  t.Row("  redness a*", lab.a);
  t.Row("  yellowness b*", lab.b);
}

void GradeRows(Table& t, const report::Face& f) {
  if (f.grade_odds.empty() && !f.marbling_degree.Known() && f.marbling_degree.basis.empty()) return;
  t.Title("Odds on published scales. Official grades are given only by graders.");
  if (const std::string why = CommonReason(f); !why.empty()) {
    t.Line("  not judged: " + Wrapped(why, kWidth - 14, 4));
    return;
  }
  t.OddsRow("US marbling degree", f.marbling_degree);
  const bool alike = JapaneseRowsAlike(f);
  bool japanese = false;
  for (const std::string key : {"us", "us_sub", "us_yield", "japan", "japan_bms", "japan_yield"}) {
    const auto found = f.grade_odds.find(key);
    if (found == f.grade_odds.end() || (alike && key == "japan")) continue;
    t.OddsRow(GradeScaleWords(key), found->second);
    japanese = japanese || (key != "japan_yield" && key.starts_with("japan"));
  }
  if (japanese) t.Line("    " + Wrapped(std::string(kJapaneseNote), kWidth - 4, 4));
  for (const auto& [key, odds] : f.grade_odds) {
    if (GradeScaleWords(key) == key) t.OddsRow(key, odds);
  }
}

void SignRows(Table& t, const report::Face& f) {
  if (f.signs.empty() && f.signs_reason.empty()) return;
  t.Title("Signs: odds with their reason, never proof");
  if (f.signs.empty()) t.Line("  not judged: " + Wrapped(f.signs_reason, kWidth - 14, 4));
  const report::Sign* grass = SignNamed(f, report::SignOf::kGrassFed);
  for (const report::Sign& sign : f.signs) {
    if (sign.of == report::SignOf::kGrainFed && grass != nullptr) {
      t.Line(Joined({"  ", SignWords(sign.of), " ", PercentWords(sign.odds), ", ",
                     SignWords(grass->of), " ", PercentWords(grass->odds)}));
      t.Line(std::string(27, ' ') + Wrapped(sign.because, kWidth - 27, 27));
      continue;
    }
    if (&sign == grass && SignNamed(f, report::SignOf::kGrainFed) != nullptr) continue;
    t.Line(Left(Joined({"  ", SignWords(sign.of)}), 18) + Right(PercentWords(sign.odds), 6) +
           "   " + Wrapped(sign.because, kWidth - 27, 27));
  }
}

void SpecRows(Table& t, const report::Face& f) {
  if (f.spec.empty()) return;
  t.Title("House spec");
  for (const report::SpecLine& line : f.spec) {
    std::string outcome = line.outcome;
    if (line.odds_met) outcome += Joined({" (odds met ", PercentWords(*line.odds_met), ")"});
    const std::string text = Joined({line.name, " ", line.wanted, ": ", outcome});
    t.Line(Joined({"  ", Wrapped(text, kWidth - 2, 6)}));
    if (!line.because.empty()) t.Line("      " + Wrapped(line.because, kWidth - 6, 6));
  }
}

void FaceRows(Table& t, const report::PhotoReport& r, std::size_t index) {
  const report::Face& f = r.faces[index];
  std::string title = "Face";
  if (r.faces.size() > 1) {
    title += Joined({" ", std::to_string(index + 1), " of ", std::to_string(r.faces.size())});
  }
  t.Title(Left(title, kLabel) + "   value   90 % interval");
  t.Row("area of the face", f.area);
  t.Row("area of lean", f.lean_area);
  t.Row("all fat", f.fat_share_pct, "of the face");
  t.Row("fat to lean", f.fat_to_lean);
  t.Row("marbling, all muscles", f.marbling_pct, "of the muscles");
  for (const report::Muscle& m : f.muscles) {
    const bool whole =
        &m == EyeOf(f) || m.name == report::MuscleName::kSpinalis || t.options().explain;
    MuscleRows(t, m, whole);
  }
  t.Row("cover, mean", f.cover.mean);
  t.Row("cover at 3/4 of the eye", f.cover.at_three_quarters);
  ColourRows(t, "lean", f.lean_colour);
  ColourRows(t, "fat", f.fat_colour);
  if (f.imf_pct && (f.imf_pct->Known() || f.imf_pct->reason != CommonReason(f)))
    t.Row("chemical fat, estimated", *f.imf_pct);
  if (f.unreadable_pct >= 0.05) {
    t.Line(Left("  not readable", kLabel) + Right(units::Fixed(f.unreadable_pct, 1), 8) +
           "                      % of the face");
  }
  GradeRows(t, f);
  if (f.rib_position.Known() ||
      (!f.rib_position.basis.empty() && f.rib_position.basis != CommonReason(f))) {
    t.Title("Where along the rib");
    t.OddsRow("rib", f.rib_position);
  }
  SignRows(t, f);
  SpecRows(t, f);
}

}  // namespace

std::string Wrapped(const std::string& text, std::size_t width, std::size_t indent) {
  std::istringstream words(text);
  std::string word;
  std::string out;
  std::size_t column = 0;
  std::string next;
  words >> next;
  while (!next.empty()) {
    // A percent sign stays with its number.
    word = std::exchange(next, std::string());
    while (words >> next && next.front() == '%') {
      word += ' ';
      word += std::exchange(next, std::string());
    }
    const std::size_t columns = ColumnsOf(word);
    if (column > 0 && column + 1 + columns > width) {
      out += '\n';
      out.append(indent, ' ');
      column = 0;
    } else if (column > 0) {
      out += ' ';
      ++column;
    }
    out += word;
    column += columns;
  }
  return out;
}

std::string TerminalTable(const report::PhotoReport& r, const TableOptions& options) {
  Table t(options);
  t.Line(r.photo);
  if (r.error) {
    t.Line("  cannot be judged: " + Wrapped(r.error->message, kWidth - 20, 20));
    t.Line(Joined({"  where: ", r.error->where}));
    t.Line("  mend:  " + Wrapped(r.error->mend, kWidth - 9, 9));
    return t.Text();
  }
  const std::string scale = ScaleWords(r.scale, options.units);
  t.Line((r.scale.known ? "  scale   " : "  ") + Wrapped(scale, kWidth - 10, 10));
  if (options.explain && r.scale.known) t.Explain(r.scale.px_per_mm.basis);
  std::string colour = r.colour.calibrated ? "calibrated: " : "not calibrated: ";
  colour += r.colour.source == "none" ? "no reference" : r.colour.source;
  if (r.colour.residual_de00) {
    colour += Joined({", left over ΔE00 ", units::Fixed(*r.colour.residual_de00, 1)});
  }
  t.Line("  colour  " + Wrapped(colour, kWidth - 10, 10));
  t.Line(Joined({"  ", kNotSafety}));
  if (options.explain)
    t.Line(Joined({"  method  ", r.method.name, ", revision ", r.method.revision}));
  for (std::size_t i = 0; i < r.faces.size(); ++i) FaceRows(t, r, i);
  if (!r.warnings.empty()) {
    t.Title("Cautions");
    for (const report::Caution& c : r.warnings) {
      t.Line("  - " + Wrapped(LengthsIn(c.message, options.units), kWidth - 4, 4));
    }
  }
  return t.Text();
}

std::string TerminalLine(const report::PhotoReport& r) {
  std::string line = Left(r.photo, 32) + "  ";
  if (r.error) return line + "cannot be judged: " + r.error->message + "\n";
  if (r.faces.empty()) return line + "no face\n";
  const report::Face& face = r.faces.front();
  const report::Muscle* eye = EyeOf(face);
  const Measured& marbling = eye != nullptr ? eye->marbling_pct : face.marbling_pct;
  line += eye != nullptr ? "eye marbling " : "marbling ";
  line += units::Sentence(marbling, units::System::kMetric);
  if (face.marbling_degree.Known())
    line += Joined({", ", StepWords(face.marbling_degree.most_likely)});
  if (r.faces.size() > 1) line += Joined({"; ", std::to_string(r.faces.size()), " faces"});
  return line + "\n";
}

}  // namespace ribwright::programme
