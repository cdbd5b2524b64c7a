// SPDX-License-Identifier: Apache-2.0
#include "costing/sales.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/csv.h"

namespace ribwright::costing {
namespace {

const char* const kFields[] = {"day", "dish", "sold", "refired", "comped", "wasted", "covers"};

std::string Plain(std::string_view text) {
  std::string plain;
  for (const char c : text) {
    if (c == ' ' || c == '\t' || c == '-' || c == '_') continue;
    plain += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  }
  return plain;
}

// Monday of the day's week.
units::Day WeekOf(units::Day day) {
  const std::chrono::weekday weekday(day);
  return day - std::chrono::days(weekday.iso_encoding() - 1);
}

bool Backs(const LotPaper& paper, const MenuClaim& claim) {
  if (paper.kind != claim.kind || paper.document.empty()) return false;
  if (claim.kind != "days") return Plain(paper.word) == Plain(claim.word);
  const auto promised = NumberFromText(Plain(claim.word));
  const auto aged = NumberFromText(Plain(paper.word));
  return promised && aged && *aged >= *promised;
}

}  // namespace

Result<SalesBook> ReadSales(std::string_view text, const std::string& name,
                            const SalesMapping& mapping) {
  const auto table = ReadLoose(text, name);
  if (!table) return Fail(table.error());
  std::map<std::string, std::size_t> at;
  for (const auto& [field, heading] : mapping.columns) {
    const auto column = table->Column(heading);
    const bool known =
        std::find(std::begin(kFields), std::end(kFields), field) != std::end(kFields);
    if (!column || !known) {
      return Fail(Code::kDataUnusable,
                  known ? fmt::format("The export has no column \"{}\".", heading)
                        : fmt::format("The mapping names a field {}.", field),
                  name, "Map day, dish, sold, refired, comped, wasted and covers to columns.");
    }
    at[field] = *column;
  }
  if (!at.contains("day") || !at.contains("dish") || !at.contains("sold")) {
    return Fail(Code::kDataUnusable, "Day, dish and sold are not all mapped.", name,
                "Map them to columns of the export.");
  }
  SalesBook book;
  book.bad = table->bad;
  for (const LooseRow& row : table->rows) {
    Sale sale;
    std::string fault;
    const std::string& day_text = row.cells[at.at("day")];
    const auto day = LooseDay(day_text, mapping.day_order);
    if (!day) fault = fmt::format("day: \"{}\" is not a day.", day_text.substr(0, 40));
    sale.day = day.value_or(units::Day{});
    sale.dish = row.cells[at.at("dish")];
    if (sale.dish.empty() && fault.empty()) fault = "There is no dish.";
    const std::pair<const char*, double*> numbers[] = {{"sold", &sale.sold},
                                                       {"refired", &sale.refired},
                                                       {"comped", &sale.comped},
                                                       {"wasted", &sale.wasted},
                                                       {"covers", &sale.covers}};
    for (const auto& [field, into] : numbers) {
      if (!at.contains(field)) continue;
      const std::string& cell = row.cells[at.at(field)];
      if (cell.empty() && std::string_view(field) != "sold") continue;
      const auto number = LooseNumber(cell, mapping.decimal);
      if ((!number || *number < 0.0 || *number > 1e6) && fault.empty()) {
        fault = fmt::format("{}: \"{}\" is no number of 0 or more.", field, cell.substr(0, 40));
      }
      *into = number.value_or(0.0);
    }
    if (fault.empty()) {
      book.sales.push_back(std::move(sale));
    } else {
      book.bad.push_back({row.line, fault, sale.dish.substr(0, 60)});
    }
  }
  std::stable_sort(book.bad.begin(), book.bad.end(),
                   [](const BadLine& a, const BadLine& b) { return a.line < b.line; });
  return book;
}

std::vector<PastWeek> HistoryOf(const std::vector<Sale>& sales, std::string_view dish) {
  std::map<units::Day, double> covers;  // of a day
  std::map<units::Day, PastWeek> weeks;
  for (const Sale& sale : sales) {
    covers[sale.day] = std::max(covers[sale.day], sale.covers);
    if (sale.dish == dish) weeks[WeekOf(sale.day)].portions += sale.Used();
  }
  for (const auto& [day, guests] : covers) weeks[WeekOf(day)].covers += guests;
  std::vector<PastWeek> history;
  for (const auto& [monday, week] : weeks) {
    if (week.covers > 0.0) history.push_back(week);
  }
  return history;
}

std::vector<ClaimBacking> BackMenuClaims(const std::vector<MenuClaim>& claims,
                                         const std::vector<std::string>& lots,
                                         const std::vector<LotPaper>& papers) {
  std::vector<ClaimBacking> all;
  for (const MenuClaim& claim : claims) {
    ClaimBacking backing{claim, !lots.empty(), {}};
    if (lots.empty()) backing.because = "no lot is named for the dish";
    for (const std::string& lot : lots) {
      const auto paper = std::find_if(papers.begin(), papers.end(), [&](const LotPaper& p) {
        return p.lot == lot && Backs(p, claim);
      });
      if (!backing.because.empty()) backing.because += "; ";
      if (paper == papers.end()) {
        backing.backed = false;
        backing.because += fmt::format("lot {}: no document", lot);
      } else {
        backing.because += fmt::format("lot {}: {}", lot, paper->document);
      }
    }
    all.push_back(std::move(backing));
  }
  return all;
}

}  // namespace ribwright::costing
