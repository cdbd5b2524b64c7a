// SPDX-License-Identifier: Apache-2.0
#include "programme/cook_output.h"

#include <fmt/format.h>

#include <cmath>
#include <nlohmann/json.hpp>

namespace ribwright::programme {
namespace {

using nlohmann::ordered_json;

ordered_json Q(const Measured& m) {
  ordered_json j;
  if (m.value) {
    j = {{"value", *m.value}, {"low", m.low},   {"high", m.high},
         {"level", m.level},  {"unit", m.unit}, {"basis", m.basis}};
  } else {
    j = {{"value", nullptr}, {"reason", m.reason}};
  }
  return j;
}

std::string Between(const Measured& m, units::System system) {
  if (!m.value) return "not known: " + m.reason;
  if (m.unit == "\u00b0C") {
    return fmt::format("{} ({} to {})", TemperatureText(*m.value, system),
                       TemperatureText(m.low, system), TemperatureText(m.high, system));
  }
  return units::Sentence(m, system);
}

std::string Length(double mm, units::System system) {
  return system == units::System::kUs ? fmt::format("{:.2f} in", mm / units::kMmPerInch)
                                      : fmt::format("{:.1f} mm", mm);
}

}  // namespace

std::string TemperatureText(double t_c, units::System system) {
  return system == units::System::kUs ? fmt::format("{:.0f} \u00b0F", t_c * 1.8 + 32.0)
                                      : fmt::format("{:.1f} \u00b0C", t_c);
}

std::string DurationText(double seconds) {
  const long s = std::lround(seconds);
  if (s >= 3600) return fmt::format("{} h {:02d} min", s / 3600, (s % 3600 + 30) / 60);
  if (s >= 60) return fmt::format("{} min {:02d} s", s / 60, s % 60);
  return fmt::format("{} s", s);
}

std::string CautionsText(const std::vector<cooking::Caution>& cautions) {
  std::string out;
  for (const auto& c : cautions) out += fmt::format("  - {} [{}]\n", c.text, c.source);
  return out;
}

std::string CookCard(const cooking::CookRequest& r, const cooking::CookPlan& plan,
                     const std::vector<cooking::HouseWord>& house, units::System system) {
  const double peak = plan.peak_c.value.value_or(0.0);
  std::string word = HouseWordFor(house, peak);
  if (word.empty()) word = "no word of the house";
  std::string out = fmt::format("{}, {} thick, from {}\n", MethodText(r.method),
                                Length(r.thickness_mm, system), TemperatureText(r.start_c, system));
  out += fmt::format("core peaks at {}: {} here, {} on the meat-science scale, {} in the trade\n",
                     TemperatureText(peak, system), word,
                     DonenessWord(cooking::Scale::kMeatScience, peak),
                     DonenessWord(cooking::Scale::kTrade, peak));
  if (plan.bath_c > 0.0) {
    out += fmt::format("bath at {}\n", TemperatureText(plan.bath_c, system));
  }
  out += "\n   from            for             what\n";
  for (const auto& step : plan.steps) {
    out += fmt::format("   {:<15} {:<15} {}\n", DurationText(step.starts_s),
                       DurationText(step.lasts_s), step.what);
  }
  out += fmt::format("\npull when the core is at {}\n", Between(plan.pull_c, system));
  out += fmt::format("peak after the rest     {}\n", Between(plan.peak_c, system));
  out += fmt::format("cooking time            {}\n", Between(plan.cook_min, system));
  out += fmt::format("grey under the faces    {} and {}\n", Length(plan.grey_a_mm, system),
                     Length(plan.grey_b_mm, system));
  out += fmt::format("weight loss             {}\n", Between(plan.loss_pct, system));
  if (plan.serving_g.value) {
    out += fmt::format("on the plate            {}\n", Between(plan.serving_g, system));
  }
  out += fmt::format("share of the published hold at the coldest point: {:.0f} %\n",
                     100.0 * std::min(plan.table_credit, 9.99));
  out += "\ncautions\n" + CautionsText(plan.cautions);
  return out;
}

std::string CookJson(const cooking::CookRequest& r, const cooking::CookPlan& plan,
                     const std::vector<cooking::HouseWord>& house) {
  const double peak = plan.peak_c.value.value_or(0.0);
  ordered_json j;
  j["schema"] = "ribwright.cook/1";
  j["request"] = {{"method", MethodText(r.method)}, {"thickness_mm", r.thickness_mm},
                  {"start_c", r.start_c},           {"fat_pct", r.fat_pct},
                  {"target_c", r.target_c},         {"meat", MeatCaseText(r.meat)}};
  j["doneness"] = {{"house", HouseWordFor(house, peak)},
                   {"meat_science", DonenessWord(cooking::Scale::kMeatScience, peak)},
                   {"trade", DonenessWord(cooking::Scale::kTrade, peak)}};
  for (const auto& s : plan.steps) {
    j["steps"].push_back({{"what", s.what}, {"starts_s", s.starts_s}, {"lasts_s", s.lasts_s}});
  }
  j["flips"] = plan.flips;
  if (plan.bath_c > 0.0) j["bath_c"] = plan.bath_c;
  j["pull"] = Q(plan.pull_c);
  j["peak"] = Q(plan.peak_c);
  j["cook_time"] = Q(plan.cook_min);
  j["rest_s"] = plan.rest_s;
  j["grey_mm"] = {plan.grey_a_mm, plan.grey_b_mm};
  j["crust_mm"] = {plan.crust_a_mm, plan.crust_b_mm};
  j["weight_loss"] = Q(plan.loss_pct);
  j["serving_weight"] = Q(plan.serving_g);
  j["published_hold_share"] = plan.table_credit;
  j["through"] = ordered_json::array();
  for (const auto& p : plan.through) {
    j["through"].push_back({{"depth_mm", p.depth_mm},
                            {"pulled_c", p.pulled_c},
                            {"served_c", p.served_c},
                            {"peak_c", p.peak_c}});
  }
  j["core"] = ordered_json::array();
  double next = -1.0;
  for (const auto& s : plan.record) {
    if (s.seconds < next) continue;
    next = s.seconds + 5.0;
    j["core"].push_back({s.seconds, s.core_c});
  }
  j["cautions"] = ordered_json::array();
  for (const auto& c : plan.cautions) {
    j["cautions"].push_back({{"id", c.id}, {"text", c.text}, {"source", c.source}});
  }
  const auto& h = plan.heat;
  j["solver"] = {{"steps", h.steps},
                 {"iterations", h.iterations},
                 {"heat_j_m2", h.outside_j_m2},
                 {"residual_j_m2", h.Residual()},
                 {"cooks_simulated", plan.runs}};
  return j.dump(2) + "\n";
}

std::string TicketText(const std::vector<cooking::TicketLine>& lines,
                       std::optional<int> ready_minutes) {
  std::string out;
  for (const auto& line : lines) {
    std::string when = line.at_s == 0.0 ? "ready" : DurationText(-line.at_s) + " before";
    if (ready_minutes) {
      const long at = std::lround(*ready_minutes * 60.0 + line.at_s + 2.0 * 86400.0) % 86400;
      when = fmt::format("{:02d}:{:02d}:{:02d}", at / 3600, at % 3600 / 60, at % 60);
    }
    out += fmt::format("{:<22} {:<20} {}\n", when, line.piece, line.what);
  }
  return out;
}

std::string TicketJson(const std::vector<cooking::TicketLine>& lines) {
  ordered_json j = {{"schema", "ribwright.cook-ticket/1"}, {"lines", ordered_json::array()}};
  for (const auto& line : lines) {
    j["lines"].push_back({{"at_s", line.at_s}, {"piece", line.piece}, {"what", line.what}});
  }
  return j.dump(2) + "\n";
}

std::string LiveText(const cooking::LiveEstimate& live, units::System system) {
  std::string out = fmt::format("core now    {}\n", Between(live.core_c, system));
  if (live.reached) return out + "pull now: the core is there\n";
  if (!live.left_s.value) return out + "not known: " + live.left_s.reason + "\n";
  out += fmt::format("pull in     {} ({} to {})\n", DurationText(*live.left_s.value),
                     DurationText(live.left_s.low), DurationText(live.left_s.high));
  out += fmt::format(
      "as if       {:.0f} % of the thickness, {:.0f} % of the heat transfer, {:+.0f} "
      "K of the surface; readings missed by {:.1f} K\n",
      100.0 * live.likely.thickness, 100.0 * live.likely.h, live.likely.hot_k, live.misfit_k);
  return out;
}

std::string LiveJson(const cooking::LiveEstimate& live) {
  ordered_json j;
  j["schema"] = "ribwright.cook-live/1";
  j["now_s"] = live.now_s;
  j["reached"] = live.reached;
  j["core"] = Q(live.core_c);
  j["left"] = Q(live.left_s);
  j["pull_at"] = Q(live.pull_s);
  j["misfit_k"] = live.misfit_k;
  return j.dump(2) + "\n";
}

}  // namespace ribwright::programme
