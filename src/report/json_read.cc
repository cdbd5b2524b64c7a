// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cmath>

#include "report/json.h"
#include "report/json_reader.h"

namespace ribwright::report {
namespace {

std::string Item(const std::string& path, std::size_t index) {
  return path + "[" + std::to_string(index) + "]";
}

Measured ReadQ(Reader& r, const Json& parent, const std::string& path, const char* key) {
  const std::string here = Reader::Join(path, key);
  const Json& j = r.At(parent, path, key);
  Measured m;
  m.unit = r.TextAt(j, here, "unit");
  const Json& value = r.At(j, here, "value");
  if (value.is_null()) {
    m.reason = r.TextAt(j, here, "reason");
  } else {
    m.value = r.Number(value, here + ".value");
    m.low = r.NumberAt(j, here, "low");
    m.high = r.NumberAt(j, here, "high");
    m.level = r.NumberAt(j, here, "level");
    m.basis = r.TextAt(j, here, "basis");
  }
  if (r.Ok() && !m.Valid()) {
    r.Complain(here,
               "low <= value <= high, 0 < level < 1, a unit and a basis (or a reason) must hold.");
  }
  return m;
}

Odds ReadOddsMap(Reader& r, const Json& map, const std::string& path) {
  Odds odds;
  double sum = 0.0;
  for (const auto& item : r.Map(map, path).items()) {
    odds.odds.emplace_back(item.key(), r.Between(item.value(), path + "." + item.key(), 0.0, 1.0));
    sum += odds.odds.back().second;
  }
  // Six decimals are written: a scale of twenty steps is off by at most 1e-5.
  if (r.Ok() && odds.Known() && std::abs(sum - 1.0) > 1e-4) r.Complain(path, "odds must sum to 1.");
  return odds;
}

void ReadOddsNote(Reader& r, const Json& note, const std::string& path, Odds& odds) {
  if (odds.Known()) {
    odds.most_likely = r.TextAt(note, path, "most_likely");
    odds.basis = r.TextAt(note, path, "basis");
  } else {
    odds.basis = r.TextAt(note, path, "reason");
  }
}

Odds ReadOdds(Reader& r, const Json& parent, const std::string& path, const char* key) {
  const std::string here = Reader::Join(path, key);
  const Json& j = r.At(parent, path, key);
  Odds odds = ReadOddsMap(r, r.At(j, here, "odds"), here + ".odds");
  ReadOddsNote(r, j, here, odds);
  return odds;
}

Muscle ReadMuscle(Reader& r, const Json& j, const std::string& path) {
  Muscle m;
  const auto name = MuscleFromText(r.TextAt(j, path, "name"));
  if (!name) r.Complain(path + ".name", "this is no name of a muscle.");
  m.name = name.value_or(MuscleName::kOther);
  m.area = ReadQ(r, j, path, "area");
  m.marbling_pct = ReadQ(r, j, path, "marbling_pct");
  m.flecks_per_cm2 = ReadQ(r, j, path, "flecks_per_cm2");
  const Json& flecks = r.At(j, path, "fleck_mm2");
  m.fleck_mm2_p50 = ReadQ(r, flecks, path + ".fleck_mm2", "p50");
  m.fleck_mm2_p90 = ReadQ(r, flecks, path + ".fleck_mm2", "p90");
  m.coarseness = ReadQ(r, j, path, "coarseness");
  m.evenness = ReadQ(r, j, path, "evenness");
  m.outline_px = r.OutlineAt(j, path, "outline_px");
  return m;
}

Cover ReadCover(Reader& r, const Json& face, const std::string& face_path) {
  const std::string path = face_path + ".cover_mm";
  const Json& j = r.At(face, face_path, "cover_mm");
  Cover cover;
  cover.mean = ReadQ(r, j, path, "mean");
  cover.at_three_quarters = ReadQ(r, j, path, "at_three_quarters");
  const Json& profile = r.List(r.At(j, path, "profile"), path + ".profile");
  for (std::size_t i = 0; i < profile.size(); ++i) {
    const std::string here = Item(path + ".profile", i);
    CoverPoint point;
    point.along = r.Between(r.At(profile[i], here, "along"), here + ".along", 0.0, 1.0);
    point.thickness = ReadQ(r, profile[i], here, "thickness");
    cover.profile.push_back(std::move(point));
  }
  return cover;
}

Lab ReadLab(Reader& r, const Json& face, const std::string& face_path, const char* key) {
  const std::string path = Reader::Join(face_path, key);
  const Json& j = r.At(face, face_path, key);
  return {ReadQ(r, j, path, "L"), ReadQ(r, j, path, "a"), ReadQ(r, j, path, "b")};
}

void ReadSigns(Reader& r, const Json& j, const std::string& path, Face& face) {
  const Json& signs = r.List(r.At(j, path, "signs"), path + ".signs");
  for (std::size_t i = 0; i < signs.size(); ++i) {
    const std::string here = Item(path + ".signs", i);
    const auto of = SignFromText(r.TextAt(signs[i], here, "of"));
    if (!of) r.Complain(here + ".of", "this is no sign.");
    face.signs.push_back({of.value_or(SignOf::kFresh),
                          r.Between(r.At(signs[i], here, "odds"), here + ".odds", 0.0, 1.0),
                          r.TextAt(signs[i], here, "because")});
  }
}

void ReadGrades(Reader& r, const Json& j, const std::string& path, Face& face) {
  const std::string here = path + ".grade_odds";
  const std::string notes_path = path + ".grade_notes";
  const Json& notes = r.At(j, path, "grade_notes");
  for (const auto& item : r.Map(r.At(j, path, "grade_odds"), here).items()) {
    Odds odds = ReadOddsMap(r, item.value(), here + "." + item.key());
    ReadOddsNote(r, r.At(notes, notes_path, item.key().c_str()), notes_path + "." + item.key(),
                 odds);
    face.grade_odds.emplace(item.key(), std::move(odds));
  }
}

void ReadSpec(Reader& r, const Json& j, const std::string& path, Face& face) {
  const Json& lines = r.List(r.At(j, path, "spec"), path + ".spec");
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const std::string here = Item(path + ".spec", i);
    SpecLine line;
    line.name = r.TextAt(lines[i], here, "name");
    line.wanted = r.TextAt(lines[i], here, "wanted");
    line.outcome = r.TextAt(lines[i], here, "outcome");
    const Json& odds = r.At(lines[i], here, "odds_met");
    if (!odds.is_null()) line.odds_met = r.Between(odds, here + ".odds_met", 0.0, 1.0);
    line.because = r.TextAt(lines[i], here, "because");
    face.spec.push_back(std::move(line));
  }
}

Face ReadFace(Reader& r, const Json& j, const std::string& path) {
  Face f;
  f.outline_px = r.OutlineAt(j, path, "outline_px");
  f.area = ReadQ(r, j, path, "area");
  f.lean_area = ReadQ(r, j, path, "lean_area");
  f.fat_share_pct = ReadQ(r, j, path, "fat_share_pct");
  f.fat_to_lean = Reader::Has(j, "fat_to_lean") ? ReadQ(r, j, path, "fat_to_lean")
                                                : Measured::Unknown("1", "not in the JSON");
  f.marbling_pct = ReadQ(r, j, path, "marbling_pct");
  const Json& muscles = r.List(r.At(j, path, "muscles"), path + ".muscles");
  for (std::size_t i = 0; i < muscles.size() && r.Ok(); ++i) {
    f.muscles.push_back(ReadMuscle(r, muscles[i], Item(path + ".muscles", i)));
  }
  f.cover = ReadCover(r, j, path);
  f.lean_colour = ReadLab(r, j, path, "lean_colour");
  f.fat_colour = ReadLab(r, j, path, "fat_colour");
  if (Reader::Has(j, "signs")) ReadSigns(r, j, path, f);
  if (Reader::Has(j, "signs_reason")) f.signs_reason = r.TextAt(j, path, "signs_reason");
  if (Reader::Has(j, "imf_pct")) f.imf_pct = ReadQ(r, j, path, "imf_pct");
  if (Reader::Has(j, "marbling_degree"))
    f.marbling_degree = ReadOdds(r, j, path, "marbling_degree");
  if (Reader::Has(j, "grade_odds")) ReadGrades(r, j, path, f);
  if (Reader::Has(j, "rib_position")) f.rib_position = ReadOdds(r, j, path, "rib_position");
  if (Reader::Has(j, "spec")) ReadSpec(r, j, path, f);
  if (Reader::Has(j, "area_px")) f.area_px = r.NumberAt(j, path, "area_px");
  if (Reader::Has(j, "unreadable_pct")) {
    f.unreadable_pct = r.Between(j["unreadable_pct"], path + ".unreadable_pct", 0.0, 100.0);
  }
  if (Reader::Has(j, "sharpness")) {
    f.sharpness = r.Between(j["sharpness"], path + ".sharpness", 0.0, 1e6);
  }
  if (Reader::Has(j, "colour_rule_marbling_pct")) {
    f.colour_rule_marbling_pct =
        r.Between(j["colour_rule_marbling_pct"], path + ".colour_rule_marbling_pct", 0.0, 100.0);
  }
  return f;
}

std::optional<Code> ReadCode(Reader& r, const Json& parent, const std::string& path) {
  const auto code = CodeFromText(r.TextAt(parent, path, "code"));
  if (!code) r.Complain(path + ".code", "this is no code of the table in docs/format/codes.md.");
  return code;
}

void ReadWarnings(Reader& r, const Json& j, PhotoReport& report) {
  const Json& warnings = r.List(r.At(j, "", "warnings"), "warnings");
  for (std::size_t i = 0; i < warnings.size(); ++i) {
    const std::string here = Item("warnings", i);
    const auto code = ReadCode(r, warnings[i], here);
    report.warnings.push_back(
        {code.value_or(Code::kInternal), r.TextAt(warnings[i], here, "message")});
  }
}

void ReadScale(Reader& r, const Json& j, Scale& scale) {
  const Json& s = r.At(j, "", "scale");
  scale.known = r.Flag(r.At(s, "scale", "known"), "scale.known");
  const std::string source = r.TextAt(s, "scale", "source");
  bool named = false;
  for (const ScaleSource each : {ScaleSource::kNone, ScaleSource::kCard, ScaleSource::kUser}) {
    if (source != ScaleSourceText(each)) continue;
    scale.source = each;
    named = true;
  }
  if (!named) r.Complain("scale.source", "card, none or user is expected.");
  if (scale.known) {
    scale.px_per_mm = ReadQ(r, s, "scale", "px_per_mm");
  } else {
    if (!r.At(s, "scale", "px_per_mm").is_null()) {
      r.Complain("scale.px_per_mm", "null is expected where the scale is not known.");
    }
    const std::string reason = Reader::Has(s, "reason") ? r.TextAt(s, "scale", "reason") : "";
    scale.px_per_mm = Measured::Unknown("px/mm", reason.empty() ? "no scale" : reason);
  }
}

void ReadColour(Reader& r, const Json& j, ColourStatus& colour) {
  const Json& c = r.At(j, "", "colour");
  colour.calibrated = r.Flag(r.At(c, "colour", "calibrated"), "colour.calibrated");
  colour.source = r.TextAt(c, "colour", "source");
  const Json& residual = r.At(c, "colour", "residual_de00");
  if (!residual.is_null()) colour.residual_de00 = r.Number(residual, "colour.residual_de00");
}

int ReadSide(Reader& r, const Json& j, const char* key) {
  if (!Reader::Has(j, key)) return 0;
  return static_cast<int>(r.Between(j[key], key, 0.0, 1e9));
}

Entered ReadEntered(Reader& r, const Json& parent) {
  const Json& j = r.At(parent, "", "entered");
  Entered e;
  for (const auto& [key, member] :
       {std::pair{"thickness_mm", &Entered::thickness_mm},
        std::pair{"card_ruler_mm", &Entered::card_ruler_mm},
        std::pair{"px_per_mm", &Entered::px_per_mm}, std::pair{"bloom_min", &Entered::bloom_min}}) {
    const Json& value = r.At(j, "entered", key);
    if (!value.is_null()) e.*member = r.Number(value, Reader::Join("entered", key));
  }
  e.card_values = r.Flag(r.At(j, "entered", "card_values"), "entered.card_values");
  return e;
}

PhotoReport ReadReport(Reader& r, const Json& j) {
  PhotoReport report;
  const std::string schema = r.TextAt(j, "", "schema");
  if (r.Ok() && schema != kFaceSchema) {
    r.Complain("schema", "\"" + std::string(kFaceSchema) + "\" is expected.");
  }
  report.photo = r.TextAt(j, "", "photo");
  if (Reader::Has(j, "error")) {
    const Json& e = j["error"];
    const auto code = ReadCode(r, e, "error");
    report.error = Error{code.value_or(Code::kInternal), r.TextAt(e, "error", "message"),
                         r.TextAt(e, "error", "where"), r.TextAt(e, "error", "mend")};
    return report;
  }
  report.width_px = ReadSide(r, j, "width_px");
  report.height_px = ReadSide(r, j, "height_px");
  if (Reader::Has(j, "taken")) report.taken = r.TextAt(j, "", "taken");
  if (Reader::Has(j, "entered")) report.entered = ReadEntered(r, j);
  const Json& method = r.At(j, "", "method");
  report.method = {r.TextAt(method, "method", "name"), r.TextAt(method, "method", "revision")};
  ReadWarnings(r, j, report);
  ReadScale(r, j, report.scale);
  ReadColour(r, j, report.colour);
  const Json& faces = r.List(r.At(j, "", "faces"), "faces");
  for (std::size_t i = 0; i < faces.size() && r.Ok(); ++i) {
    report.faces.push_back(ReadFace(r, faces[i], Item("faces", i)));
  }
  return report;
}

}  // namespace

Result<PhotoReport> FromJson(std::string_view text) {
  Reader reader(Code::kReportUnusable, "This is not the JSON of a judged face",
                "Give a file that the judge wrote, unchanged.");
  const Json j = reader.Parse(text);
  if (!reader.Ok()) return Fail(reader.error());
  PhotoReport report = ReadReport(reader, j);
  if (!reader.Ok()) return Fail(reader.error());
  return report;
}

}  // namespace ribwright::report
