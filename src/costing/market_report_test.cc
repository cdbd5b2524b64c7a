// SPDX-License-Identifier: Apache-2.0
#include "costing/market_report.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <filesystem>

#include "base/golden.h"

namespace ribwright::costing {
namespace {

namespace fs = std::filesystem;

fs::path Golden(const char* name) {
  return fs::path(RIBWRIGHT_SOURCE_DIR) / "tests" / "golden" / name;
}

std::string RowJson(const std::string& item, const std::string& trades, const std::string& pounds,
                    const std::string& low, const std::string& high, const std::string& mean) {
  return fmt::format(R"({{"report_date":"02/02/2014","item_description":"{}","number_trades":"{}",)"
                     R"("total_pounds":"{}","price_range_low":"{}","price_range_high":"{}",)"
                     R"("weighted_average":"{}"}})",
                     item, trades, pounds, low, high, mean);
}

TEST(MarketReport, PublishedRowsComeThroughAsPrinted) {
  const auto rows = ReadGolden(Golden("market_rows.csv"), {{"description", CellKind::kText},
                                                           {"section", CellKind::kText},
                                                           {"trades", CellKind::kText},
                                                           {"pounds", CellKind::kText},
                                                           {"low", CellKind::kText},
                                                           {"high", CellKind::kText}});
  ASSERT_TRUE(rows) << rows.error().message << rows.error().where;
  double branded = 0.0;
  double formulated = 0.0;
  for (const GoldenRow& row : *rows) {
    // "112A 3 ribeye bnls heavy" stands in the data as "ribeye bnls heavy (112A  3)".
    const std::string& text = row.Text("description");
    const std::string item = text.substr(0, text.find(' '));
    const std::string description =
        fmt::format("{} ({}  {})", text.substr(item.size() + 3), item, text[item.size() + 1]);
    const std::string json =
        fmt::format(R"({{"reportSection":"{}","results":[{}]}})", row.Text("section"),
                    RowJson(description, row.Text("trades"), row.Text("pounds"), row.Text("low"),
                            row.Text("high"), row.expected));
    const auto report = ReadMarketReport(json, "r.json");
    ASSERT_TRUE(report) << report.error().message;
    ASSERT_EQ(report->prices.size(), 1u) << row.id;
    const MarketPrice& price = report->prices[0];
    EXPECT_TRUE(row.Near(price.mean)) << row.id;
    EXPECT_EQ(price.item, item);
    EXPECT_EQ(price.fat_limit, std::string(1, text[item.size() + 1]));
    if (row.id == "S14-branded-3") branded = price.mean;
    if (row.id == "S14-formulated-3") formulated = price.mean;
  }
  EXPECT_NEAR(branded - formulated, 27.49, 0.005);  // S14-prem
  MarketPrice premium;
  premium.mean = 27.49;
  EXPECT_NEAR(premium.PerKg() * 100.0, 60.60, 0.01);
}

TEST(MarketReport, SpreadsAndAveragesAgreeWithThePrintedOnesToTheLastCent) {
  const auto spreads = ReadGolden(Golden("market_spread.csv"), {{"choice"}, {"select"}});
  ASSERT_TRUE(spreads) << spreads.error().message;
  for (const GoldenRow& row : *spreads) {
    const std::string json = fmt::format(
        R"([{{"reportSection":"Current Cutout Values","results":[{{"report_date":"04/07/2014",)"
        R"("choice_600_900_current":"{}","select_600_900_current":"{}"}}]}}])",
        row.Text("choice"), row.Text("select"));
    const auto report = ReadMarketReport(json, "r");
    ASSERT_TRUE(report);
    ASSERT_EQ(report->cutouts.size(), 1u);
    EXPECT_TRUE(row.Near(report->cutouts[0].Spread())) << row.id;
  }
  const auto averages =
      ReadGolden(Golden("market_average.csv"), {{"day1"}, {"day2"}, {"day3"}, {"day4"}, {"day5"}});
  ASSERT_TRUE(averages) << averages.error().message;
  for (const GoldenRow& row : *averages) {
    EXPECT_TRUE(row.Near(SimpleAverage({row.Number("day1"), row.Number("day2"), row.Number("day3"),
                                        row.Number("day4"), row.Number("day5")})))
        << row.id;
  }
  const auto loads = ReadGolden(Golden("market_loads.csv"), {{"pounds", CellKind::kText}});
  ASSERT_TRUE(loads) << loads.error().message;
  for (const GoldenRow& row : *loads) {
    EXPECT_TRUE(row.Near(*LooseNumber(row.Text("pounds"), '.') / kPoundsPerLoad)) << row.id;
  }
}

TEST(MarketReport, PointZeroZeroIsNotTradedAndNeverAPrice) {
  const std::string json =
      fmt::format(R"({{"reportSection":"Select Cuts","results":[{},{},{}]}})",
                  RowJson("Rib, ribeye (112A  3)", "0", "0", ".00", ".00", ".00"),
                  RowJson("Rib, short (123  1)", "3", "900", "0.00", "0.00", "0.00"),
                  RowJson("Round, knuckle, peeled (167A  4)", "12", "1,250", "1,300.00", "1,400.25",
                          "1,361.58"));
  const auto report = ReadMarketReport(json, "r");
  ASSERT_TRUE(report);
  EXPECT_EQ(report->not_traded, 2u);
  ASSERT_EQ(report->prices.size(), 1u);
  EXPECT_DOUBLE_EQ(report->prices[0].mean, 1361.58);
  EXPECT_DOUBLE_EQ(report->prices[0].pounds, 1250.0);
}

TEST(MarketReport, DoubledItemsKeepApartByDescriptionAndMergeByPoundsWhenTheSame) {
  const std::string json =
      fmt::format(R"({{"results":[{},{},{},{}]}})",
                  RowJson("Rib, ribeye, light (112A  3)", "5", "1,000", "590", "610", "600"),
                  RowJson("Rib, ribeye, heavy (112A  3)", "5", "1,000", "560", "600", "580"),
                  RowJson("Chuck (1  1)", "2", "100,000", "400", "400", "400"),
                  RowJson("Chuck (1  1)", "4", "300,000", "500", "500", "500"));
  const auto report = ReadMarketReport(json, "r");
  ASSERT_TRUE(report);
  ASSERT_EQ(report->prices.size(), 3u);
  EXPECT_NEAR(report->prices[2].mean, 475.0, 1e-9);  // API-23
  EXPECT_EQ(report->prices[2].trades, 6);
}

TEST(MarketReport, ItemsMayLackNumberOrFatLimit) {
  EXPECT_EQ(SplitItem("Chuck, shoulder clod, trmd (114A  3)").item, "114A");
  EXPECT_EQ(SplitItem("Chuck roll, retail ready (3)").fat_limit, "3");
  EXPECT_EQ(SplitItem("Chuck roll, retail ready (3)").item, "");
  EXPECT_EQ(SplitItem("Loin, top butt, cap (IM)").name, "Loin, top butt, cap (IM)");
  EXPECT_EQ(SplitItem("Flank steak (IM) (193  4)").item, "193");
  EXPECT_EQ(SplitItem("Trim").name, "Trim");
}

TEST(MarketReport, CsvHasTheSameFieldsAndBadLinesAreListed) {
  const auto report = ReadMarketReport(
      "report_date,item_description,number_trades,total_pounds,price_range_low,price_range_high,"
      "weighted_average\n"
      "07/01/2026,\"Chuck, shoulder clod, trmd (114A  3)\",28,\"91,896\",,,438.84\n"
      "2026-07-01,x,1,1,1,1,1\n"
      "07/01/2026,\"Rib (109E  1)\",28,\"91,896\",400,500,600\n"
      "07/01/2026,\"Rib (109E  1)\",28,many,400,500,450\n"
      "short,line\n",
      "r.csv");
  ASSERT_TRUE(report) << report.error().message;
  ASSERT_EQ(report->prices.size(), 1u);
  EXPECT_DOUBLE_EQ(report->prices[0].mean, 438.84);
  EXPECT_EQ(report->bad.size(), 4u);
  EXPECT_FALSE(ReadMarketReport("{\"results\":[", "r"));
  EXPECT_FALSE(ReadMarketReport("[1,2]", "r"));
  EXPECT_FALSE(ReadMarketReport("a,b\n1,2\n", "r"));
  EXPECT_FALSE(ReadMarketReport("", "r"));
}

}  // namespace
}  // namespace ribwright::costing
