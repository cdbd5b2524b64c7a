// SPDX-License-Identifier: Apache-2.0
// Fits the spread of every quantity from the tables of reach_judge; bench/fit_intervals starts it.
// Usage: --help.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <map>

#include "base/csv.h"
#include "base/files.h"
#include "face/interval_causes.h"
#include "face/interval_spread.h"
#include "quantities.h"
#include "spread_fit.h"

namespace ribwright::bench {
namespace {

using face::kSpreadCauses;
using face::kSpreadRules;
using face::SpreadOf;
constexpr double kRidge = 2.0;  // assumed: draws causes that tell little towards no effect
constexpr int kFolds = 5;

struct Labelled {
  SpreadCase one;
  std::string group;  // "mixed", "easy", "hard", "bare"
};

std::string Column(std::string_view name) {
  std::string column(name);
  std::replace(column.begin(), column.end(), ' ', '_');
  return column;
}

face::SpreadCauses CausesOf(const CsvTable& table, std::size_t row) {
  const auto number = [&](const char* column) {
    const auto at = table.Column(column);
    const auto value = at ? NumberFromText(table.Cell(row, *at)) : std::nullopt;
    return value.value_or(0.0);
  };
  face::SpreadCauses causes;
  causes.px_per_mm = number("px_per_mm");
  if (causes.px_per_mm > 0) {
    causes.scale_relative_sd =
        (number("px_per_mm_high") - number("px_per_mm_low")) / (2 * 1.645 * causes.px_per_mm);
  }
  causes.unreadable_pct = number("unreadable_pct");
  if (const double sharpness = number("sharpness"); sharpness > 0.0) causes.sharpness = sharpness;
  causes.disagreement = number("disagreement");
  const auto variant = table.Column("variant");
  causes.patch_values = variant && table.Cell(row, *variant) == "entered";
  return causes;
}

Status AddTable(const std::filesystem::path& path, std::vector<std::vector<Labelled>>& all) {
  const auto table = CsvTable::Read(path);
  if (!table) return Fail(table.error());
  const auto seed = table->RequiredColumn("seed");
  const auto set = table->RequiredColumn("difficulty");
  const auto variant = table->RequiredColumn("variant");
  if (!seed || !set || !variant)
    return Fail(seed ? set ? variant.error() : set.error() : seed.error());
  for (std::size_t row = 0; row < table->rows(); ++row) {
    const bool bare = table->Cell(row, *variant) == "bare";
    const face::SpreadCauses causes = CausesOf(*table, row);
    for (std::size_t q = 0; q < Quantities().size(); ++q) {
      const std::string name = Column(Quantities()[q].name);
      const auto truth_at = table->Column(name + "_truth");
      const auto value_at = table->Column(name);
      if (!truth_at || !value_at) continue;
      const auto truth = NumberFromText(table->Cell(row, *truth_at));
      const auto value = NumberFromText(table->Cell(row, *value_at));
      if (!truth || !value) continue;
      Labelled l;
      l.group = bare ? "bare" : table->Cell(row, *set);
      l.one.value = face::BeforeFit(static_cast<SpreadOf>(q), *value, causes);
      l.one.truth = *truth;
      const auto x = face::CauseVector(static_cast<SpreadOf>(q), l.one.value, causes);
      l.one.causes = Eigen::Map<const Eigen::VectorXd>(x.data(), kSpreadCauses);
      l.one.fold = static_cast<int>(table->Number(row, *seed).value_or(0)) % kFolds;
      all[q].push_back(std::move(l));
    }
  }
  return {};
}

std::vector<SpreadCase> Pick(const std::vector<Labelled>& cases, int fold, bool inside,
                             const std::string& group = "") {
  std::vector<SpreadCase> picked;
  for (const Labelled& l : cases) {
    const bool in = fold < 0 || l.one.fold == fold;
    if (in == inside && (group.empty() || l.group == group)) picked.push_back(l.one);
  }
  return picked;
}

// What the fit of the other folds does on each fold, by group.
std::map<std::string, Held> CrossValidate(const std::vector<Labelled>& cases, bool may_move) {
  std::map<std::string, Held> held;
  std::map<std::string, std::pair<double, double>> sums;  // width, error
  for (int fold = 0; fold < kFolds; ++fold) {
    const auto fit = FitSpread(Pick(cases, fold, false), kRidge, may_move);
    if (!fit) continue;
    for (const Labelled& l : cases) {
      if (l.one.fold != fold) continue;
      const std::vector<SpreadCase> one{l.one};
      Held& h = held[l.group];
      h.covered_pct += Holds(*fit, one).covered_pct;
      ++h.n;
      sums[l.group].first += fit->High(l.one) - fit->Low(l.one);
      sums[l.group].second += std::abs(fit->Value(l.one) - l.one.truth);
    }
  }
  for (auto& [group, h] : held) {
    h.covered_pct /= h.n;
    h.width_over_error = sums[group].first / std::max(1e-9, sums[group].second);
  }
  return held;
}

std::string HeaderOf(const std::vector<std::optional<SpreadFit>>& fits,
                     const std::vector<std::size_t>& counts, const std::string& told) {
  std::string text = fmt::format(
      "// SPDX-License-Identifier: Apache-2.0\n"
      "// Made by `bench/fit_intervals --write`; not edited by hand. interval_spread.h says what "
      "it "
      "means.\n// {}\n#pragma once\n\n#include <array>\n\n#include \"face/interval_causes.h\"\n\n"
      "namespace ribwright::face {{\n\nstruct FittedSpread {{\n  int cases = 0;  // 0: no fit\n"
      "  std::array<double, kSpreadCauses> b{{}};\n  double below = 0.0;\n  double above = 0.0;\n"
      "  double middle = 0.0;\n}};\n\n// clang-format off\ninline constexpr "
      "std::array<FittedSpread, kSpreadRules.size()> "
      "kFittedSpreads{{{{\n",
      told);
  for (std::size_t q = 0; q < fits.size(); ++q) {
    if (!fits[q]) {
      text += fmt::format("    {{}},  // {}\n", kSpreadRules[q].name);
      continue;
    }
    std::string b;
    for (const double v : fits[q]->b) b += fmt::format("{}{:.4f}", b.empty() ? "" : ", ", v);
    text += fmt::format("    {{{}, {{{}}}, {:.4f}, {:.4f}, {:.4f}}},  // {}\n", counts[q], b,
                        fits[q]->below, fits[q]->above, fits[q]->middle, kSpreadRules[q].name);
  }
  return text + "}};\n// clang-format on\n\n}  // namespace ribwright::face\n";
}

int Run(const std::vector<std::string>& tables, const std::string& told, const std::string& out) {
  std::vector<std::vector<Labelled>> all(Quantities().size());
  for (const std::string& table : tables) {
    if (const auto s = AddTable(table, all); !s) {
      fmt::print(stderr, "fit_intervals: {} ({})\n", s.error().message, s.error().where);
      return 1;
    }
  }
  std::vector<std::optional<SpreadFit>> fits;
  std::vector<std::size_t> counts;
  fmt::print("{:<26}{:>5}  cross-validated: share covered / mean width over mean error\n",
             "quantity", "n");
  for (std::size_t q = 0; q < all.size(); ++q) {
    std::map<std::string, double> sizes;
    for (const Labelled& l : all[q]) sizes[l.group] += 1.0;
    // Each set counts the same; cases with nothing entered count as one set more.
    for (Labelled& l : all[q]) {
      l.one.weight =
          static_cast<double>(all[q].size()) / (static_cast<double>(sizes.size()) * sizes[l.group]);
    }
    fits.push_back(FitSpread(Pick(all[q], -1, true), kRidge, kSpreadRules[q].may_move));
    counts.push_back(all[q].size());
    std::string line;
    for (const auto& [group, held] : CrossValidate(all[q], kSpreadRules[q].may_move)) {
      line += fmt::format("  {} {:.0f} % / {:.1f}", group, held.covered_pct, held.width_over_error);
    }
    fmt::print("{:<26}{:>5}{}\n", Quantities()[q].name, counts.back(),
               fits.back() ? line : "  too few for a fit");
  }
  if (out.empty()) return 0;
  if (const auto s = WriteFileAtomically(out, HeaderOf(fits, counts, told)); !s) {
    fmt::print(stderr, "fit_intervals: {}\n", s.error().message);
    return 1;
  }
  return 0;
}

}  // namespace
}  // namespace ribwright::bench

int main(int argc, char** argv) {
  CLI::App app("Fits interval spreads from judge_SET.csv tables and tells what they hold.");
  std::vector<std::string> tables;
  std::string told = "From tables given by hand.";
  std::string out;
  app.add_option("tables", tables, "judge_SET.csv files")->required();
  app.add_option("--told", told, "a line for the header: seeds, revision");
  app.add_option("--write", out, "the header to write");
  CLI11_PARSE(app, argc, argv);
  return ribwright::bench::Run(tables, told, out);
}
