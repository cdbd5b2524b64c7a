// SPDX-License-Identifier: Apache-2.0
#include <cmath>

#include "report/json.h"
#include "report/json_writer.h"

namespace ribwright::report {
namespace {

Json OutlineJson(const Outline& outline, const std::string& path) {
  Json rings = Json::array();
  for (const Ring& ring : outline) {
    Json points = Json::array();
    for (const Point& p : ring) {
      points.push_back(Json::array(
          {Decimals(FiniteAt(p.x, path), 1000.0), Decimals(FiniteAt(p.y, path), 1000.0)}));
    }
    rings.push_back(std::move(points));
  }
  return rings;
}

Json LabJson(const Lab& lab, const std::string& path) {
  Json j;
  j["L"] = MeasuredJson(lab.L, path + ".L");
  j["a"] = MeasuredJson(lab.a, path + ".a");
  j["b"] = MeasuredJson(lab.b, path + ".b");
  return j;
}

Json OddsMap(const Odds& odds, const std::string& path) {
  Json map = Json::object();
  for (const auto& [name, probability] : odds.odds) {
    map[name] = Decimals(FiniteAt(probability, path + "." + name), 1e6);
  }
  return map;
}

// What stands beside a map of odds: the likeliest and the basis, or why there are none.
Json OddsNote(const Odds& odds) {
  Json j;
  if (odds.Known()) {
    j["most_likely"] = odds.most_likely;
    j["basis"] = odds.basis;
  } else {
    j["most_likely"] = nullptr;
    j["reason"] = odds.basis;
  }
  return j;
}

Json OddsJson(const Odds& odds, const std::string& path) {
  Json j = OddsNote(odds);
  j["odds"] = OddsMap(odds, path);
  return j;
}

// Judged, or tried in vain: odds without entries still say why in their basis.
bool Spoken(const Odds& odds) { return odds.Known() || !odds.basis.empty(); }

Json MuscleJson(const Muscle& m, const std::string& path) {
  Json j;
  j["name"] = MuscleText(m.name);
  j["area"] = MeasuredJson(m.area, path + ".area");
  j["marbling_pct"] = MeasuredJson(m.marbling_pct, path + ".marbling_pct");
  j["flecks_per_cm2"] = MeasuredJson(m.flecks_per_cm2, path + ".flecks_per_cm2");
  j["fleck_mm2"]["p50"] = MeasuredJson(m.fleck_mm2_p50, path + ".fleck_mm2.p50");
  j["fleck_mm2"]["p90"] = MeasuredJson(m.fleck_mm2_p90, path + ".fleck_mm2.p90");
  j["coarseness"] = MeasuredJson(m.coarseness, path + ".coarseness");
  j["evenness"] = MeasuredJson(m.evenness, path + ".evenness");
  j["outline_px"] = OutlineJson(m.outline_px, path + ".outline_px");
  return j;
}

Json CoverJson(const Cover& cover, const std::string& path) {
  Json j;
  j["mean"] = MeasuredJson(cover.mean, path + ".mean");
  j["at_three_quarters"] = MeasuredJson(cover.at_three_quarters, path + ".at_three_quarters");
  j["profile"] = Json::array();
  for (const CoverPoint& point : cover.profile) {
    Json p;
    p["along"] = Decimals(FiniteAt(point.along, path + ".profile"), 1e6);
    p["thickness"] = MeasuredJson(point.thickness, path + ".profile");
    j["profile"].push_back(std::move(p));
  }
  return j;
}

Json SignsJson(const Face& face, const std::string& path) {
  Json signs = Json::array();
  for (const Sign& sign : face.signs) {
    Json s;
    s["of"] = SignText(sign.of);
    s["odds"] = Decimals(FiniteAt(sign.odds, path), 1e6);
    s["because"] = sign.because;
    signs.push_back(std::move(s));
  }
  return signs;
}

Json SpecJson(const Face& face, const std::string& path) {
  Json lines = Json::array();
  for (const SpecLine& line : face.spec) {
    Json s;
    s["name"] = line.name;
    s["wanted"] = line.wanted;
    s["outcome"] = line.outcome;
    if (line.odds_met) {
      s["odds_met"] = Decimals(FiniteAt(*line.odds_met, path), 1e6);
    } else {
      s["odds_met"] = nullptr;
    }
    s["because"] = line.because;
    lines.push_back(std::move(s));
  }
  return lines;
}

// The grade odds are plain maps, as their readers expect; what each rests on stands beside them.
void AddGrades(const Face& face, const std::string& path, Json& j) {
  if (face.grade_odds.empty()) return;
  for (const auto& [scale, odds] : face.grade_odds) {
    j["grade_odds"][scale] = OddsMap(odds, path + ".grade_odds." + scale);
    j["grade_notes"][scale] = OddsNote(odds);
  }
}

Json FaceJson(const Face& f, const std::string& path) {
  Json j;
  j["outline_px"] = OutlineJson(f.outline_px, path + ".outline_px");
  j["area"] = MeasuredJson(f.area, path + ".area");
  j["lean_area"] = MeasuredJson(f.lean_area, path + ".lean_area");
  j["fat_share_pct"] = MeasuredJson(f.fat_share_pct, path + ".fat_share_pct");
  j["fat_to_lean"] = MeasuredJson(f.fat_to_lean, path + ".fat_to_lean");
  j["marbling_pct"] = MeasuredJson(f.marbling_pct, path + ".marbling_pct");
  j["muscles"] = Json::array();
  for (std::size_t i = 0; i < f.muscles.size(); ++i) {
    j["muscles"].push_back(MuscleJson(f.muscles[i], path + ".muscles[" + std::to_string(i) + "]"));
  }
  j["cover_mm"] = CoverJson(f.cover, path + ".cover_mm");
  j["lean_colour"] = LabJson(f.lean_colour, path + ".lean_colour");
  j["fat_colour"] = LabJson(f.fat_colour, path + ".fat_colour");
  if (!f.signs.empty() || !f.signs_reason.empty()) j["signs"] = SignsJson(f, path + ".signs");
  if (!f.signs_reason.empty()) j["signs_reason"] = f.signs_reason;
  if (f.imf_pct) j["imf_pct"] = MeasuredJson(*f.imf_pct, path + ".imf_pct");
  if (Spoken(f.marbling_degree)) {
    j["marbling_degree"] = OddsJson(f.marbling_degree, path + ".marbling_degree");
  }
  AddGrades(f, path, j);
  if (Spoken(f.rib_position)) {
    j["rib_position"] = OddsJson(f.rib_position, path + ".rib_position");
  }
  if (!f.spec.empty()) j["spec"] = SpecJson(f, path + ".spec");
  j["area_px"] = SixDigits(FiniteAt(f.area_px, path + ".area_px"));
  j["unreadable_pct"] = SixDigits(FiniteAt(f.unreadable_pct, path + ".unreadable_pct"));
  if (f.sharpness) j["sharpness"] = SixDigits(FiniteAt(*f.sharpness, path + ".sharpness"));
  if (f.colour_rule_marbling_pct) {
    const std::string at = path + ".colour_rule_marbling_pct";
    j["colour_rule_marbling_pct"] = SixDigits(FiniteAt(*f.colour_rule_marbling_pct, at));
  }
  return j;
}

Json ScaleJson(const Scale& scale) {
  Json j;
  j["known"] = scale.known;
  if (scale.known) {
    j["px_per_mm"] = MeasuredJson(scale.px_per_mm, "scale.px_per_mm");
  } else {
    j["px_per_mm"] = nullptr;
  }
  j["source"] = ScaleSourceText(scale.source);
  if (!scale.known && !scale.px_per_mm.reason.empty()) j["reason"] = scale.px_per_mm.reason;
  return j;
}

Json Given(const std::optional<double>& value, const char* path) {
  return value ? Json(SixDigits(FiniteAt(*value, path))) : Json(nullptr);
}

Json EnteredJson(const Entered& e) {
  Json j;
  j["thickness_mm"] = Given(e.thickness_mm, "entered.thickness_mm");
  j["card_ruler_mm"] = Given(e.card_ruler_mm, "entered.card_ruler_mm");
  j["px_per_mm"] = Given(e.px_per_mm, "entered.px_per_mm");
  j["bloom_min"] = Given(e.bloom_min, "entered.bloom_min");
  j["card_values"] = e.card_values;
  return j;
}

Json ReportJson(const PhotoReport& r) {
  Json j;
  j["schema"] = kFaceSchema;
  j["photo"] = r.photo;
  if (r.error) {
    j["error"] = {{"code", CodeText(r.error->code)},
                  {"message", r.error->message},
                  {"where", r.error->where},
                  {"mend", r.error->mend}};
    return j;
  }
  j["width_px"] = r.width_px;
  j["height_px"] = r.height_px;
  if (!r.taken.empty()) j["taken"] = r.taken;
  if (r.entered) j["entered"] = EnteredJson(*r.entered);
  j["method"] = {{"name", r.method.name}, {"revision", r.method.revision}};
  j["warnings"] = Json::array();
  for (const Caution& caution : r.warnings) {
    j["warnings"].push_back(Json({{"code", CodeText(caution.code)}, {"message", caution.message}}));
  }
  j["scale"] = ScaleJson(r.scale);
  j["colour"]["calibrated"] = r.colour.calibrated;
  j["colour"]["source"] = r.colour.source;
  j["colour"]["residual_de00"] = nullptr;
  if (r.colour.residual_de00) {
    j["colour"]["residual_de00"] = SixDigits(FiniteAt(*r.colour.residual_de00, "colour"));
  }
  j["faces"] = Json::array();
  for (std::size_t i = 0; i < r.faces.size(); ++i) {
    j["faces"].push_back(FaceJson(r.faces[i], "faces[" + std::to_string(i) + "]"));
  }
  return j;
}

}  // namespace

std::string ToJson(const PhotoReport& report, bool pretty) {
  return JsonText(ReportJson(report), pretty);
}

}  // namespace ribwright::report
