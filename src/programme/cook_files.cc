// SPDX-License-Identifier: Apache-2.0
#include "programme/cook_files.h"

#include <fmt/format.h>

#include "base/csv.h"
#include "cooking/doneness.h"

namespace ribwright::programme {

Result<cooking::CookRequest> RequestFromWords(cooking::CookRequest base, const CookWords& words) {
  const auto method = cooking::MethodFromText(words.method);
  if (!method) return Fail(method.error());
  const auto meat = cooking::MeatCaseFromText(words.meat);
  if (!meat) return Fail(meat.error());
  base.method = *method;
  base.meat = *meat;
  if (words.target_c.has_value() == !words.doneness.empty()) {
    return Fail(Code::kBadOption, "A cook aims at a core temperature or at a word of doneness.",
                "target", "Give one of --target-c and --doneness.");
  }
  if (words.target_c) {
    base.target_c = *words.target_c;
    return base;
  }
  const auto house = cooking::HouseDefaults();
  const auto target = cooking::HouseTarget(house, words.doneness);
  if (!target) {
    std::string known;
    for (const auto& row : house) known += fmt::format("{}{}", known.empty() ? "" : ", ", row.word);
    return Fail(Code::kBadOption, fmt::format("The house has no word '{}'.", words.doneness),
                "doneness", "Give one of: " + known + ".");
  }
  base.target_c = *target;
  return base;
}

Result<std::vector<cooking::TimedTemperature>> ReadTemperatures(const std::filesystem::path& path) {
  const auto table = CsvTable::Read(path);
  if (!table) return Fail(table.error());
  const auto seconds = table->RequiredColumn("seconds");
  if (!seconds) return Fail(seconds.error());
  const auto t_c = table->RequiredColumn("temperature_c");
  if (!t_c) return Fail(t_c.error());
  std::vector<cooking::TimedTemperature> out;
  for (std::size_t row = 0; row < table->rows(); ++row) {
    const auto s = table->Number(row, *seconds);
    if (!s) return Fail(s.error());
    const auto t = table->Number(row, *t_c);
    if (!t) return Fail(t.error());
    if (!out.empty() && *s <= out.back().seconds) {
      return Fail(Code::kCookUnusable, "The times of the log do not rise.",
                  table->Where(row, *seconds), "Sort the readings by time.");
    }
    out.push_back({*s, *t});
  }
  return out;
}

Result<std::vector<cooking::TicketPiece>> ReadTicket(const std::filesystem::path& path,
                                                     const cooking::CookRequest& base) {
  const auto table = CsvTable::Read(path);
  if (!table) return Fail(table.error());
  std::size_t columns[4];
  const char* names[4] = {"piece", "method", "thickness_mm", "target_c"};
  for (int i = 0; i < 4; ++i) {
    const auto column = table->RequiredColumn(names[i]);
    if (!column) return Fail(column.error());
    columns[i] = *column;
  }
  std::vector<cooking::TicketPiece> pieces;
  for (std::size_t row = 0; row < table->rows(); ++row) {
    cooking::CookRequest request = base;
    const auto at = [&](Error error, int column) {
      error.where = table->Where(row, columns[column]) + ": " + error.where;
      return Fail(std::move(error));
    };
    const auto method = cooking::MethodFromText(table->Cell(row, columns[1]));
    if (!method) return at(method.error(), 1);
    const auto thickness = table->Number(row, columns[2]);
    if (!thickness) return Fail(thickness.error());
    const auto target = table->Number(row, columns[3]);
    if (!target) return Fail(target.error());
    request.method = *method;
    request.thickness_mm = *thickness;
    request.target_c = *target;
    auto plan = cooking::PlanCook(request);
    if (!plan) return at(plan.error(), 0);
    pieces.push_back({table->Cell(row, columns[0]), std::move(*plan)});
  }
  return pieces;
}

Result<int> MinutesOfDay(std::string_view text) {
  const auto colon = text.find(':');
  std::optional<double> hours, minutes;
  if (colon != std::string_view::npos) {
    hours = NumberFromText(text.substr(0, colon));
    minutes = NumberFromText(text.substr(colon + 1));
  }
  const auto whole = [](const std::optional<double>& x, int below) {
    return x && *x >= 0.0 && *x < below && *x == static_cast<int>(*x);
  };
  if (!whole(hours, 24) || !whole(minutes, 60)) {
    return Fail(Code::kBadOption, fmt::format("'{}' is no clock time.", text), "ready",
                "Give hours and minutes, as 19:30.");
  }
  return static_cast<int>(*hours) * 60 + static_cast<int>(*minutes);
}

}  // namespace ribwright::programme
