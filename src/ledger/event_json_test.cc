// SPDX-License-Identifier: Apache-2.0
#include "ledger/event_json.h"

#include <gtest/gtest.h>

#include "ledger/draft_check.h"
#include "ledger/text_check.h"
#include "math/rng.h"

namespace ribwright::ledger {
namespace {

using units::Mass;

Mass G(double grams) { return Mass::FromGrams(grams); }
units::Money Eur(std::int64_t cents) { return {cents, *units::Currency::FromText("EUR")}; }

std::vector<Payload> OneOfEach() {
  const NewPiece made{{7}, "A7", "steak", G(312.5), "display"};
  const ScaleNote scale{G(2), std::nullopt};
  return {Received{made, MassBasis::kWeighed, Eur(1999), "Old Barn", "L1",
                   *units::DayFromText("2026-02-01")},
          Weighed{{1}, G(0.001), {G(1), G(3)}},
          Photographed{{1}, HashOf("p"), "image/jpeg", 12},
          Judged{{1}, HashOf("p"), "f1", "classical", "5", HashOf("r"), ""},
          Judged{{1}, std::nullopt, "", "classical", "5", HashOf("r"), ""},
          Moved{{1}, "shelf 2"},
          Cut{{{1}, {2}}, {made}, {{LossKind::kKerf, G(3)}, {LossKind::kDrying, G(0)}}, scale},
          Cut{{{1}}, {}, {{LossKind::kBone, G(100)}}, {}},
          Trimmed{{1}, G(90), {made}, {}, scale},
          Aged{{1}, true, "shelf"},
          Aged{{1}, false, ""},
          Cooked{{1}, G(280), "pink"},
          Served{{1}, std::nullopt, "table 4"},
          Served{{1}, G(100), ""},
          Sold{{1}, std::nullopt, Eur(4500), "neighbour"},
          Discarded{{1}, std::nullopt, "dropped"},
          Tasted{{1}, "nutty\nlong", 81.5},
          Voided{4, "wrong piece"},
          Counted{"cold room", true, {{{1}, G(5), ""}, {{2}, std::nullopt, "not found"}}}};
}

TEST(EventJson, ComesBackTheSame) {
  for (const Payload& payload : OneOfEach()) {
    const std::string text = DataJson(payload);
    const auto back = PayloadFromData(KindOf(payload), text);
    ASSERT_TRUE(back) << text << " " << back.error().message << back.error().where;
    EXPECT_EQ(back->index(), payload.index());
    EXPECT_EQ(DataJson(*back), text);
  }
}

TEST(EventJson, IsStableSinceTheChainCoversIt) {
  EXPECT_EQ(
      DataJson(OneOfEach()[0]),
      R"({"basis":"weighed","code":"A7","cost":{"currency":"EUR","minor":1999},"cut":"steak",)"
      R"("location":"display","lot":"L1","mass_g":312.5,"piece_id":7,)"
      R"("slaughtered":"2026-02-01","supplier":"Old Barn"})");
  EXPECT_EQ(DataJson(Cut{{{1}}, {}, {{LossKind::kBone, G(100)}}, {}}),
            R"({"losses":[{"kind":"bone","mass_g":100}],"outputs":[],"piece_id":1})");
  EXPECT_EQ(DataJson(Weighed{{3}, G(1234.567), {}}), R"({"mass_g":1234.567,"piece_id":3})");
}

Result<Draft> Read(const std::string& json) {
  return DraftFromJson(json, {1'000'000'000'000}, "ada", "k", [](std::string_view code) {
    return code == "RIB" ? Result<PieceId>(PieceId{5})
                         : Fail(Code::kPieceUnknown, "No piece has this code.", "", "");
  });
}

TEST(DraftJson, TakesCodesIdsAsTextAndShortLosses) {
  const auto cut = Read(R"({"kind":"cut","piece":"RIB","outputs":[{"cut":"steak","mass_g":10}],)"
                        R"("loss_g":2.5,"note":"n","happened_at":"2026-01-01T00:00:00Z"})");
  ASSERT_TRUE(cut) << cut.error().message << cut.error().where;
  const auto& payload = std::get<Cut>(cut->payload);
  EXPECT_EQ(payload.pieces.at(0), PieceId{5});
  EXPECT_EQ(payload.losses.at(0).mass, G(2.5));
  EXPECT_EQ(cut->note, "n");
  EXPECT_EQ(units::TimeText(cut->happened), "2026-01-01T00:00:00Z");
  const auto moved = Read(R"({"kind":"moved","piece_id":"12","location":"x"})");
  ASSERT_TRUE(moved);
  EXPECT_EQ(std::get<Moved>(moved->payload).piece, PieceId{12});
  EXPECT_EQ(moved->happened.ms, 1'000'000'000'000);
}

TEST(DraftJson, RefusesWhatItCannotUseAndSaysWhere) {
  const struct {
    const char* json;
    const char* where;
  } cases[] = {
      {"", ""},
      {"[]", ""},
      {"{}", "kind"},
      {R"({"kind":"eaten"})", "kind"},
      {R"({"kind":"weighed","piece_id":1})", "mass_g"},
      {R"({"kind":"weighed","piece_id":1,"mass_g":"5"})", "mass_g"},
      {R"({"kind":"weighed","piece_id":1,"mass_g":1.23456})", "mass_g"},
      {R"({"kind":"weighed","piece_id":1,"mass_g":1e300})", "mass_g"},
      {R"({"kind":"weighed","piece_id":-1,"mass_g":1})", "piece_id"},
      {R"({"kind":"weighed","piece_id":"1x","mass_g":1})", "piece_id"},
      {R"({"kind":"weighed","piece_id":18446744073709551615,"mass_g":1})", "piece_id"},
      {R"({"kind":"weighed","piece_id":1,"mass_g":1,"weight":1})", "weight"},
      {R"({"kind":"weighed","piece_id":1,"mass_g":1,"happened_at":"today"})", "happened_at"},
      {R"({"kind":"cut","piece_id":1,"outputs":[{"cut":"a","mass_g":1},{"cut":2,"mass_g":1}]})",
       "outputs[1].cut"},
      {R"({"kind":"cut","piece_id":1,"outputs":{}})", "outputs"},
      {R"({"kind":"cut","piece_id":1,"outputs":[],"losses":[{"kind":"air","mass_g":1}]})",
       "losses[0].kind"},
      {R"({"kind":"sold","piece_id":1})", "price"},
      {R"({"kind":"sold","piece_id":1,"price":{"minor":1.5,"currency":"EUR"}})", "price.minor"},
      {R"({"kind":"sold","piece_id":1,"price":{"minor":1,"currency":"eur"}})", "price"},
      {R"({"kind":"aged","piece_id":1,"step":"over"})", "step"},
      {R"({"kind":"counted","location":"x","lines":[{"piece_id":1}]})", "lines[0].mass_g"},
  };
  for (const auto& one : cases) {
    const auto draft = Read(one.json);
    ASSERT_FALSE(draft) << one.json;
    EXPECT_EQ(draft.error().code, Code::kEntryUnusable) << one.json;
    EXPECT_EQ(draft.error().where, one.where) << one.json;
    EXPECT_FALSE(draft.error().mend.empty());
  }
  EXPECT_EQ(Read(R"({"kind":"moved","piece":"OX","location":"x"})").error().code,
            Code::kPieceUnknown);
}

TEST(EventJson, ReadsAnyBytesWithoutAFault) {
  math::Rng rng(5);
  int taken = 0;
  for (int round = 0; round < 4000; ++round) {
    const std::vector<Payload> all = OneOfEach();
    const Payload& payload = all[rng.Below(static_cast<std::uint32_t>(all.size()))];
    std::string data = DataJson(payload);
    for (std::uint32_t edit = rng.Below(4); edit > 0; --edit) {
      const std::size_t at = rng.Below(static_cast<std::uint32_t>(data.size()));
      switch (rng.Below(3)) {
        case 0:
          data[at] = static_cast<char>(rng.Below(256));
          break;
        case 1:
          data.erase(at, 1 + rng.Below(8));
          break;
        default:
          data.insert(at, data.substr(rng.Below(static_cast<std::uint32_t>(data.size())), 9));
      }
      if (data.empty()) data.assign(1, '{');
    }
    const auto read = PayloadFromData(KindOf(payload), data);
    if (read && CheckDraft({*read, {1}, "ada", "k", ""})) {
      ++taken;
      EXPECT_TRUE(PayloadFromData(KindOf(payload), DataJson(*read)));
    }
    std::string draft = R"({"kind":")";
    draft.append(KindText(KindOf(payload))).append("\",").append(data, 1);
    (void)Read(draft);
    (void)WithChanges(payload, data);
  }
  EXPECT_GT(taken, 500);
}

Draft With(Payload payload) { return {std::move(payload), {1}, "ada", "k", ""}; }

TEST(DraftCheck, TakesOneOfEach) {
  for (const Payload& payload : OneOfEach()) {
    const Status checked = CheckDraft(With(payload));
    EXPECT_TRUE(checked) << DataJson(payload) << checked.error().where;
  }
}

TEST(DraftCheck, RefusesTextsMassesAndListsThatCannotBe) {
  const NewPiece fine{{}, "", "steak", G(100), ""};
  const std::vector<Draft> bad = {
      With(Weighed{{1}, G(0), {}}),
      With(Weighed{{1}, G(2'000'001), {}}),
      With(Weighed{{0}, G(1), {}}),
      With(Moved{{1}, ""}),
      With(Moved{{1}, std::string(61, 'x')}),
      With(Moved{{1}, " x"}),
      With(Moved{{1}, "a\nb"}),
      With(Moved{{1}, "\xff"}),
      With(Cut{{}, {fine}, {}, {}}),
      With(Cut{{{1}, {1}}, {fine}, {}, {}}),
      With(Cut{{{1}}, {NewPiece{{}, "a b", "steak", G(1), ""}}, {}, {}}),
      With(Cut{{{1}},
               {NewPiece{{}, "A", "steak", G(1), ""}, NewPiece{{}, "A", "steak", G(1), ""}},
               {},
               {}}),
      With(Cut{{{1}}, std::vector<NewPiece>(201, fine), {}, {}}),
      With(Cut{{{1}}, {fine}, {{LossKind::kKerf, G(-1)}}, {}}),
      With(Received{{{}, "", "", G(1), ""}, MassBasis::kStated, {}, "", "", {}}),
      With(Received{fine, MassBasis::kDivided, {}, "", "", {}}),
      With(Received{fine, MassBasis::kStated, Eur(-1), "", "", {}}),
      With(Discarded{{1}, {}, ""}),
      With(Tasted{{1}, "", {}}),
      With(Tasted{{1}, "x", 101.0}),
      With(Tasted{{1}, "x", std::nan("")}),
      With(Voided{0, "x"}),
      With(Counted{"x", false, {}}),
      With(Counted{"x", false, {{{1}, {}, ""}, {{1}, {}, ""}}}),
      {Weighed{{1}, G(1), {}}, {1}, "", "k", ""},
      {Weighed{{1}, G(1), {}}, {1}, "ada", "", ""},
      {Weighed{{1}, G(1), {}}, {1}, "ada", "k", std::string(2001, 'n')}};
  for (std::size_t i = 0; i < bad.size(); ++i) {
    const Status checked = CheckDraft(bad[i]);
    ASSERT_FALSE(checked) << i;
    EXPECT_EQ(checked.error().code, Code::kEntryUnusable) << i;
  }
}

TEST(TextIsFine, KnowsUtf8) {
  for (const char* good : {"", "rib", "Übergabe", "日本", "\xf0\x9f\xa5\xa9"}) {
    EXPECT_TRUE(TextIsFine(good, 20, TextShape::kLine)) << good;
  }
  for (const char* bad : {"\x80", "\xc0\x80", "\xe0\x80\x80", "\xed\xa0\x80", "\xf4\x90\x80\x80",
                          "\xc3", "a\x01", "\xc2\x85", "\x7f", "x ",
                          "a\xe2\x80\xae"
                          "b",
                          "\xe2\x81\xa6", "\xe2\x80\x8b", "\xef\xbb\xbf"}) {
    EXPECT_FALSE(TextIsFine(bad, 20, TextShape::kLine)) << bad;
  }
  EXPECT_TRUE(TextIsFine("a\nb", 20, TextShape::kLines));
  EXPECT_FALSE(TextIsFine("abc", 2, TextShape::kLine));
}

}  // namespace
}  // namespace ribwright::ledger
