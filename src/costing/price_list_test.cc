// SPDX-License-Identifier: Apache-2.0
#include "costing/price_list.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <chrono>

namespace ribwright::costing {
namespace {

PriceMapping Mapping() {
  PriceMapping m;
  m.supplier = "Invented Meats";
  m.columns = {{"item", "Code"}, {"name", "Article"}, {"price", "Price"}, {"per", "Unit"}};
  return m;
}

TEST(LooseNumber, ReadsWhatPriceListsWriteAndNothingElse) {
  EXPECT_EQ(LooseNumber("1,361.58", '.'), 1361.58);
  EXPECT_EQ(LooseNumber("1.361,58", ','), 1361.58);
  EXPECT_EQ(LooseNumber(" 24,5 ", ','), 24.5);
  EXPECT_EQ(LooseNumber("12 345 678", '.'), 12345678.0);
  EXPECT_EQ(LooseNumber(".00", '.'), 0.0);
  EXPECT_FALSE(LooseNumber("24,5", '.'));  // a comma must group three digits
  EXPECT_FALSE(LooseNumber("1,23,456", '.'));
  EXPECT_FALSE(LooseNumber("12 EUR", '.'));
  EXPECT_FALSE(LooseNumber("", '.'));
  EXPECT_FALSE(LooseNumber("1.2.3", '.'));
  EXPECT_FALSE(LooseNumber("nan", '.'));
  EXPECT_FALSE(LooseNumber("1e999", '.'));
}

TEST(LooseCsv, ABrokenLineCostsOnlyItself) {
  const auto table = ReadLoose(
      "Code;Article;Price\n1;\"rib; bone in\";24,50\n2;only two\n3;\"never closed;9\n"
      "4;strip;19\n\n5;caf\xC3\xA9;7\n6;bad\xFF;7\n7;two\rlines;1\n",
      "x.csv");
  ASSERT_TRUE(table);
  EXPECT_EQ(table->delimiter, ';');
  ASSERT_EQ(table->rows.size(), 4u);
  EXPECT_EQ(table->rows[0].cells[1], "rib; bone in");
  EXPECT_EQ(table->rows[1].cells[0], "4");
  ASSERT_EQ(table->bad.size(), 3u);
  EXPECT_EQ(table->bad[0].line, 3u);
  EXPECT_EQ(table->bad[1].line, 4u);
  EXPECT_EQ(table->bad[1].reason, "A quote is never closed.");
  EXPECT_EQ(table->bad[2].line, 8u);
  EXPECT_FALSE(ReadLoose("", "x"));
  EXPECT_FALSE(ReadLoose(std::string_view("a,b\n\0,1\n", 8), "x"));
}

TEST(LooseCsv, QuotedLineBreaksKeepTheCountOfLines) {
  const auto table = ReadLoose("a,b\n\"1\n2\",x\nshort\n\"say \"\"so\"\"\",y\n", "x");
  ASSERT_TRUE(table);
  ASSERT_EQ(table->rows.size(), 2u);
  EXPECT_EQ(table->rows[0].cells[0], "1\n2");
  EXPECT_EQ(table->bad.at(0).line, 4u);
  EXPECT_EQ(table->rows[1].cells[0], "say \"so\"");
}

TEST(PriceList, KeepsGoodLinesAndNamesEachBadOneWithItsReason) {
  const std::string text =
      "Code,Article,Price,Unit\n"
      "109E,rib,24.50,kg\n"
      "112A,ribeye,\"1,011.40\",lb\n"
      "180,strip,abc,kg\n"
      "180,strip,0,kg\n"
      "180,strip,19.9,box\n"
      ",,19.9,kg\n"
      "109E,rib,23.00,kg\n"
      "184,top sirloin,-3,kg\n"
      "185,tri-tip,12.10,kg\n";
  const auto list = ReadPriceList(text, "list.csv", Mapping());
  ASSERT_TRUE(list) << list.error().message;
  ASSERT_EQ(list->offers.size(), 3u);
  EXPECT_EQ(list->offers[0].item, "109E");
  EXPECT_DOUBLE_EQ(list->offers[0].PricePerKg(), 24.5);
  EXPECT_NEAR(list->offers[1].PricePerKg(), 1011.40 / 0.45359237, 1e-9);
  EXPECT_EQ(list->lines[2], 10u);
  ASSERT_EQ(list->bad.size(), 6u);
  const std::size_t lines[] = {4, 5, 6, 7, 8, 9};
  for (std::size_t i = 0; i < 6; ++i) {
    EXPECT_EQ(list->bad[i].line, lines[i]);
    EXPECT_EQ(list->bad[i].reason.back(), '.');
  }
  EXPECT_NE(list->bad[4].reason.find("line 2"), std::string::npos) << list->bad[4].reason;
}

TEST(PriceList, ClaimsRangesAndDaysAreReadInTheListsOwnHabits) {
  PriceMapping m = Mapping();
  m.decimal = ',';
  m.day_order = DayOrder::kDmy;
  m.columns = {{"item", "Nr"},        {"price", "Preis"},    {"bone", "Bein"},
               {"grade", "Klasse"},   {"aged_days", "Tage"}, {"piece_low", "von"},
               {"piece_high", "bis"}, {"freight", "Fracht"}, {"valid_to", "gilt bis"}};
  const auto list = ReadPriceList(
      "Nr;Preis;Bein;Klasse;Tage;von;bis;Fracht;gilt bis\n"
      "1604;24,50;in;Choice;28;6,5;8;0,40;31.12.2026\n"
      "1605;24,50;maybe;;;;;;\n"
      "1606;24,50;out;;1,5;;;;\n"
      "1607;24,50;out;;;9;8;;\n"
      "1608;24,50;out;;;;;;31.02.2026\n",
      "liste.csv", m);
  ASSERT_TRUE(list) << list.error().message;
  ASSERT_EQ(list->offers.size(), 1u);
  const Offer& o = list->offers[0];
  EXPECT_EQ(o.bone, "in");
  EXPECT_EQ(o.aged_days, 28);
  EXPECT_DOUBLE_EQ(*o.piece_low_kg, 6.5);
  EXPECT_DOUBLE_EQ(o.LandedPerKg(), 24.9);
  EXPECT_TRUE(o.ValidOn(*units::DayFromText("2026-12-31")));
  EXPECT_FALSE(o.ValidOn(*units::DayFromText("2027-01-01")));
  EXPECT_EQ(list->bad.size(), 4u);
}

TEST(PriceList, AChangedHeadOrAnEmptyMappingIsRefused) {
  const auto gone = ReadPriceList("Code,Article,Amount,Unit\n1,2,3,kg\n", "l", Mapping());
  ASSERT_FALSE(gone);
  EXPECT_NE(gone.error().message.find("Price"), std::string::npos);
  PriceMapping none = Mapping();
  none.columns.erase("price");
  EXPECT_FALSE(ReadPriceList("Code,Article,Price,Unit\n1,2,3,kg\n", "l", none));
  none.columns = {{"price", "Price"}, {"item", "Code"}, {"colour", "Unit"}};
  EXPECT_FALSE(ReadPriceList("Code,Article,Price,Unit\n1,2,3,kg\n", "l", none));
}

TEST(PriceList, MappingIsGuessedRememberedAndReadBack) {
  const PriceMapping guess = GuessMapping(
      {"IMPS no", "Description", "Price per lb", "Bone", "USDA grade", "Valid until"}, "S");
  EXPECT_EQ(guess.columns.at("item"), "IMPS no");
  EXPECT_EQ(guess.columns.at("price"), "Price per lb");
  EXPECT_EQ(guess.columns.at("valid_to"), "Valid until");
  EXPECT_FALSE(guess.columns.contains("per"));
  EXPECT_EQ(guess.per, Per::kLb);
  const auto back = MappingFromJson(MappingJson(guess), "m.json");
  ASSERT_TRUE(back) << back.error().message;
  EXPECT_EQ(back->columns, guess.columns);
  EXPECT_EQ(back->per, guess.per);
  EXPECT_EQ(MappingJson(*back), MappingJson(guess));
  EXPECT_FALSE(MappingFromJson(R"({"schema":"ribwright.price_mapping/1","supplier":"S",
      "columns":{"colour":"x"}})",
                               "m"));
}

TEST(PriceList, OurOwnExportReadsBackToTheSameOffers) {
  Offer offer;
  offer.supplier = "Invented, \"Meats\"";
  offer.item = "109E";
  offer.name = "rib; lip on";
  offer.amount = 11.25;
  offer.per = Per::kLb;
  offer.currency = *units::Currency::FromText("USD");
  offer.piece_low_kg = 7.3;
  offer.freight_per_kg = 0.22;
  offer.valid_to = *units::DayFromText("2026-12-24");
  const std::string csv = OffersCsv({offer});
  const auto header = ReadLoose(csv, "own")->header;
  PriceMapping own;
  own.supplier = offer.supplier;
  for (const std::string& field : PriceFields()) own.columns[field] = field;
  const auto list = ReadPriceList(csv, "own", own);
  ASSERT_TRUE(list) << list.error().message;
  ASSERT_EQ(list->offers.size(), 1u);
  EXPECT_EQ(list->offers[0].name, offer.name);
  EXPECT_NEAR(*list->offers[0].piece_low_kg, 7.3, 1e-8);
  EXPECT_NEAR(list->offers[0].freight_per_kg, 0.22, 1e-9);
  EXPECT_EQ(OffersCsv(list->offers), csv);
  EXPECT_EQ(GuessMapping(header, "x").columns.at("piece_low"), "piece_low");
}

TEST(PriceList, FiveThousandLinesTakeWellUnderASecond) {
  std::string text = "Code,Article,Price,Unit\n";
  for (int i = 0; i < 5000; ++i) {
    text += i % 50 == 7 ? fmt::format("{},cut,x,kg\n", i) : fmt::format("{},cut,{},kg\n", i, i + 1);
  }
  const auto start = std::chrono::steady_clock::now();
  const auto list = ReadPriceList(text, "big", Mapping());
  const double seconds =
      std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
  ASSERT_TRUE(list);
  EXPECT_EQ(list->offers.size(), 4900u);
  EXPECT_EQ(list->bad.size(), 100u);
  EXPECT_LT(seconds, 5.0);  // of the sanitizer build; bench/reach holds one second
}

}  // namespace
}  // namespace ribwright::costing
