// SPDX-License-Identifier: Apache-2.0
#include "costing/published_yields.h"

#include <fmt/format.h>

#include "base/check.h"
#include "base/csv.h"

extern "C" {
extern const char rw_embedded_cutting_yields[];
extern const char rw_embedded_cutting_yields_end[];
extern const char rw_embedded_cooking_yields[];
extern const char rw_embedded_cooking_yields_end[];
}

namespace ribwright::costing {
namespace {

CsvTable Embedded(const char* begin, const char* end, const char* name) {
  auto table = CsvTable::Parse({begin, static_cast<std::size_t>(end - begin)}, name);
  RIBWRIGHT_CHECK(table.has_value());  // a test reads the same file
  return std::move(*table);
}

const CsvTable& CuttingTable() {
  static const CsvTable table = Embedded(rw_embedded_cutting_yields, rw_embedded_cutting_yields_end,
                                         "data/cutting_yields.csv");
  return table;
}

const CsvTable& CookingTable() {
  static const CsvTable table = Embedded(rw_embedded_cooking_yields, rw_embedded_cooking_yields_end,
                                         "data/cooking_yields.csv");
  return table;
}

StagePart Taken(std::string name, double share, const std::string& source,
                const std::string& stream) {
  return {name, PublishedSpread(share, source, stream + "/" + name), Spread::Exact(0.0)};
}

}  // namespace

Result<PublishedShares> SharesOf(std::string_view cut, std::string_view ageing, int days) {
  const CsvTable& table = CuttingTable();
  const std::string day = std::to_string(days);
  PublishedShares shares;
  bool found = false;
  for (std::size_t row = 0; row < table.rows(); ++row) {
    if (table.Cell(row, 0) != cut || table.Cell(row, 1) != ageing || table.Cell(row, 2) != day) {
      continue;
    }
    found = true;
    const std::string& part = table.Cell(row, 3);
    const std::string& role = table.Cell(row, 4);
    const auto pct = table.Number(row, 5);
    RIBWRIGHT_CHECK(pct.has_value());
    if (role == "shrink") shares.shrink += *pct;
    if (role == "purge") shares.purge += *pct;
    if (role == "fat") shares.fat += *pct;
    if (role == "waste") shares.waste += *pct;
    if (role != "saleable") continue;
    const bool steak = part.find("steak") != std::string::npos;
    (steak ? shares.steaks : shares.grind) += *pct;
  }
  if (found) return shares;
  return Fail(Code::kDataUnusable,
              fmt::format("There are no published yields of {}, {}, {} days.", cut, ageing, days),
              "published yields",
              "Take rib, strip or sirloin, wet or dry, 14, 21, 28 or 35 days, or give own tests.");
}

Spread PublishedSpread(double share, std::string source, std::string stream) {
  if (share <= 0.0) return Spread::Exact(0.0, Origin::kPublished, std::move(source));
  return {share,
          share * kPieceLow,
          share * kPieceHigh,
          Origin::kPublished,
          std::move(source),
          std::move(stream)};
}

Result<std::vector<Stage>> PublishedStages(std::string_view cut, std::string_view ageing,
                                           int days) {
  const auto shares = SharesOf(cut, ageing, days);
  if (!shares) return Fail(shares.error());
  const std::string source = fmt::format("dashdorj2016, {} {} {} days", cut, ageing, days);
  const std::string stream = "published/" + source;
  std::vector<Stage> stages;
  double left = 100.0;
  stages.push_back({"purge", {Taken("purge", shares->purge / left, source, stream)}});
  left -= shares->purge;
  stages.push_back(
      {"ageing shrink", {Taken("ageing shrink", shares->shrink / left, source, stream)}});
  left -= shares->shrink;
  stages.push_back({"trim",
                    {Taken("bone and unlisted", shares->Unlisted() / left, source, stream),
                     Taken("fat", shares->fat / left, source, stream),
                     Taken("waste", shares->waste / left, source, stream),
                     Taken("trim to grind", shares->grind / left, source, stream)}});
  return stages;
}

Result<double> PublishedCookingYield(std::string_view cut, std::string_view method) {
  const CsvTable& table = CookingTable();
  for (std::size_t row = 0; row < table.rows(); ++row) {
    if (table.Cell(row, 0) == cut && table.Cell(row, 1) == method) return table.Number(row, 2);
  }
  return Fail(Code::kDataUnusable,
              fmt::format("There is no published cooking yield of {}, {}.", cut, method),
              "published yields", "Weigh raw and cooked and give the loss as your own test.");
}

Result<Stage> PublishedCooking(std::string_view cut, std::string_view method) {
  const auto yield = PublishedCookingYield(cut, method);
  if (!yield) return Fail(yield.error());
  const double loss = 1.0 - *yield / 100.0;
  const Spread spread{loss,
                      loss * 2.0 / 3.0,
                      loss * 4.0 / 3.0,
                      Origin::kPublished,
                      fmt::format("{} {}, data/cooking_yields.csv", cut, method),
                      "kitchen/cooking loss"};
  return Stage{"cooking loss", {{"cooking loss", spread, Spread::Exact(0.0)}}};
}

}  // namespace ribwright::costing
