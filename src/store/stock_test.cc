// SPDX-License-Identifier: Apache-2.0
// Stock, par, counts, judged faces; and that mass and money are conserved over random trees of
// cuts.
#include <gtest/gtest.h>

#include "math/rng.h"
#include "report/json.h"
#include "store/check.h"
#include "store/test_house.h"

namespace ribwright::store {
namespace {

using ledger::PieceState;

void ExpectSound(House& house) {
  const auto checked = CheckFile(house.database());
  ASSERT_TRUE(checked) << checked.error().message;
  for (const Error& fault : checked->faults) ADD_FAILURE() << fault.message << " " << fault.where;
}

TEST(Stock, IsByCutAndPlaceWithAgesMoneyAndPar) {
  House house;
  house.Receive("rib", 5000, 1000);
  house.Pass(std::chrono::hours(24 * 10));
  const auto second = house.Receive("rib", 4000, 900);
  house.Receive("strip loin", 3000, 800);
  house.Do(ledger::Moved{second.id, "freezer"});
  ASSERT_TRUE(house.writer().SetPar("rib", "cold room", G(12'000), "ada"));
  ASSERT_TRUE(house.writer().SetPar("tail", "cold room", G(500), "ada"));
  EXPECT_FALSE(house.writer().SetPar("", "cold room", G(500), "ada"));
  EXPECT_FALSE(house.writer().SetPar("rib\xe2\x80\xae", "cold room", G(500), "ada"));
  const auto stock = house.reader().Stock("cold room");
  ASSERT_TRUE(stock);
  ASSERT_EQ(stock->size(), 3U);
  const auto& rib = stock->at(0);
  EXPECT_EQ(rib.cut, "rib");
  EXPECT_EQ(rib.mass, G(5000));
  EXPECT_EQ(rib.oldest_days, 10);
  EXPECT_EQ(rib.bands[0].pieces, 0);
  EXPECT_EQ(rib.bands[1].pieces, 1);
  EXPECT_EQ(rib.short_by, G(7000));
  EXPECT_EQ(rib.cost.at(0), Eur(1000));
  EXPECT_EQ(stock->at(1).cut, "strip loin");
  EXPECT_EQ(stock->at(2).cut, "tail");
  EXPECT_EQ(stock->at(2).short_by, G(500));
  EXPECT_EQ(house.reader().Stock(std::nullopt)->size(), 4U);
  EXPECT_EQ(house.reader().Pars()->size(), 2U);
  ASSERT_TRUE(house.writer().SetPar("tail", "cold room", std::nullopt, "ada"));
  EXPECT_EQ(house.reader().Pars()->size(), 1U);
}

TEST(Stock, CountGivesVarianceInGramsAndMoney) {
  House house;
  const auto a = house.Receive("rib", 5000, 1000);
  const auto b = house.Receive("rib", 4000, 800);
  const auto c = house.Receive("rib", 3000, 600);
  house.Do(ledger::Moved{c.id, "freezer"});
  ledger::Counted counted{"cold room", true, {{a.id, G(4900), "drying"}, {c.id, G(3000), "moved"}}};
  const auto draft = house.DraftOf(counted, "count-1");
  const auto receipt = house.writer().Append(draft);
  ASSERT_TRUE(receipt) << Refusal(receipt);
  EXPECT_TRUE(house.writer().Append(draft)->repeated);
  EXPECT_EQ(house.Now(a.id).mass, G(4900));
  EXPECT_EQ(house.Now(b.id).state, PieceState::kMissing);
  EXPECT_EQ(house.Now(c.id).location, "cold room");
  const auto count = house.reader().Count(receipt->event.number);
  ASSERT_TRUE(count) << Refusal(count);
  ASSERT_EQ(count->lines.size(), 3U);
  EXPECT_EQ(count->variance, G(-4100));
  ASSERT_EQ(count->money_variance.size(), 1U);
  EXPECT_EQ(count->money_variance[0], Eur(-820));
  EXPECT_EQ(count->lines[1].ledger_location, "freezer");
  // Found again.
  house.Do(ledger::Moved{b.id, "cold room"});
  EXPECT_EQ(house.Now(b.id).state, PieceState::kInStock);
  // The count itself can be put right.
  ASSERT_TRUE(house.Write(
      ledger::Corrected{receipt->event.number, nullptr,
                        R"({"lines":[{"piece_id":1,"mass_g":4950},{"piece_id":3,"mass_g":3000},)"
                        R"({"piece_id":2,"mass_g":null}]})",
                        "misread"}));
  EXPECT_EQ(house.Now(a.id).mass, G(4950));
  EXPECT_EQ(house.reader().Count(receipt->event.number)->variance, G(-4050));
  EXPECT_EQ(house.reader().Count(1).error().code, Code::kEntryUnknown);
  ExpectSound(house);
}

TEST(Stock, CountThatGainsMassWantsAReasonAndMakesNoMoney) {
  House house;
  const auto rib = house.Receive("rib", 5000, 1000);
  house.Do(ledger::Weighed{rib.id, G(4990), {}});
  const auto count = [&](double grams, const char* reason) {
    return house.Write(ledger::Counted{"cold room", false, {{rib.id, G(grams), reason}}});
  };
  EXPECT_EQ(Refusal(count(6000, "")).substr(0, 9), "mass_grew");
  EXPECT_TRUE(count(4994, ""));  // within the scales' tolerance
  const auto taken = count(6000, "wrong tare before");
  ASSERT_TRUE(taken) << Refusal(taken);
  EXPECT_EQ(house.Now(rib.id).mass, G(6000));
  const auto seen = house.reader().Count(taken->event.number);
  EXPECT_EQ(seen->variance, G(1006));
  EXPECT_EQ(seen->money_variance[0], Eur(0));
  ExpectSound(house);
}

std::string SomeReport() {
  report::PhotoReport report;
  report.photo = "rib.jpg";
  report.method = {"classical", "5"};
  report.scale.px_per_mm = Measured::Unknown("px/mm", "no card");
  report.colour.source = "none";
  report::Face face;
  const Measured unknown = Measured::Unknown("cm2", "no scale");
  face.outline_px = {{{0, 0}, {10, 0}, {10, 10}}};
  face.area = face.lean_area = unknown;
  face.fat_share_pct = Measured::Of(30, 28, 32, "%", "test");
  face.fat_to_lean = Measured::Of(0.4, 0.3, 0.5, "1", "test");
  face.marbling_pct = Measured::Of(12, 10, 14, "%", "test");
  face.cover.mean = face.cover.at_three_quarters = Measured::Unknown("mm", "no scale");
  for (report::Lab* lab : {&face.lean_colour, &face.fat_colour}) {
    lab->L = lab->a = lab->b = Measured::Unknown("1", "no card");
  }
  report.faces = {face};
  return report::ToJson(report, false);
}

TEST(Faces, AreKeptWithTheirReport) {
  House house;
  const auto rib = house.Receive("rib", 5000);
  ledger::Judged judged;
  judged.piece = rib.id;
  judged.report_json = SomeReport();
  const auto receipt = house.Write(judged);
  ASSERT_TRUE(receipt) << Refusal(receipt) << receipt.error().where;
  const auto page = house.reader().Page(rib.id);
  ASSERT_EQ(page->faces.size(), 1U);
  EXPECT_EQ(page->faces[0].judged.method, "classical");
  EXPECT_EQ(page->faces[0].judged.revision, "5");
  EXPECT_EQ(*page->faces[0].marbling_pct->value, 12.0);
  EXPECT_FALSE(page->faces[0].area->Known());
  EXPECT_EQ(*house.reader().FaceJson(receipt->event.number), judged.report_json);
  judged.report_json = "{}";
  EXPECT_EQ(house.Write(judged).error().code, Code::kReportUnusable);
  EXPECT_EQ(house.reader().FaceJson(1).error().code, Code::kEntryUnknown);
  ExpectSound(house);
  // The numbers beside a report are checked against it.
  ASSERT_TRUE(house.store().Write(
      [](Connection& c) { return c.Execute("UPDATE face SET marbling = '{}'"); }));
  EXPECT_EQ(CheckFile(house.database())->faults.size(), 1U);
}

TEST(MassAndMoney, AreConservedOverRandomTreesOfCuts) {
  House house;
  math::Rng rng(23);
  std::vector<ledger::PieceId> open;
  units::Mass received;
  units::Mass lost;
  std::int64_t cents = 0;
  for (int i = 0; i < 12; ++i) {
    const double grams = 3000.0 + rng.Below(6000);
    const std::int64_t cost = 1000 + rng.Below(30'000);
    open.push_back(house.Receive("rib", grams, cost).id);
    received += G(grams);
    cents += cost;
  }
  for (int i = 0; i < 150; ++i) {
    const std::size_t at = rng.Below(static_cast<std::uint32_t>(open.size()));
    const auto piece = house.Now(open[at]);
    const int parts = 1 + static_cast<int>(rng.Below(4));
    ledger::Cut cut;
    cut.pieces = {piece.id};
    std::int64_t left = piece.mass.milligrams();
    if (left < 50'000) continue;
    for (int p = 0; p < parts; ++p) {
      const std::int64_t mg = left / (parts + 1) + rng.Below(100);
      cut.outputs.push_back({{}, "", "part", units::Mass::FromMilligrams(mg), ""});
      left -= mg;
    }
    cut.losses = {{ledger::LossKind::kTrim, units::Mass::FromMilligrams(left)}};
    const auto receipt = house.Write(cut);
    ASSERT_TRUE(receipt) << Refusal(receipt);
    lost += units::Mass::FromMilligrams(left);
    open.erase(open.begin() + static_cast<std::ptrdiff_t>(at));
    for (int p = 0; p < parts; ++p) {
      open.push_back(receipt->pieces[static_cast<std::size_t>(p)].id);
    }
  }
  units::Mass now;
  std::int64_t worth = 0;
  const auto stock = house.reader().Stock(std::nullopt);
  ASSERT_TRUE(stock);
  for (const auto& line : *stock) {
    now += line.mass;
    for (const auto& money : line.cost) worth += money.minor;
  }
  EXPECT_EQ(now + lost, received);
  EXPECT_EQ(worth, cents);
  ExpectSound(house);
}

}  // namespace
}  // namespace ribwright::store
