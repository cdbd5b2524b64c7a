// SPDX-License-Identifier: Apache-2.0
#include "ledger_load.h"

#include <fmt/format.h>

#include <string>

#include "base/check.h"
#include "math/rng.h"
#include "report/json.h"

namespace ribwright::bench {
namespace {

constexpr int kRibsARound = 40;
constexpr int kPortions = 10;

const char* const kRooms[] = {"cold room", "ageing room, shelf 1", "ageing room, shelf 2",
                              "ageing room, shelf 3", "display"};
const char* const kSuppliers[] = {"North Pasture", "Mill Creek", "Old Barn", "Seven Oaks"};
const char* const kUsers[] = {"ada", "bea", "cem", "dov", "eli"};

// A report with outlines of the length that real ones have.
std::string SomeReport(math::Rng& rng) {
  report::PhotoReport report;
  report.photo = "rib.jpg";
  report.method = {"classical", "bench"};
  report.scale.px_per_mm = Measured::Unknown("px/mm", "bench");
  report.colour.source = "none";
  report.width_px = 4000;
  report.height_px = 3000;
  report::Face face;
  report::Ring ring;
  for (int i = 0; i < 400; ++i) ring.push_back({rng.Uniform(0, 4000), rng.Uniform(0, 3000)});
  face.outline_px = {ring};
  const auto some = [&](const char* unit, double low, double high) {
    const double value = rng.Uniform(low, high);
    return Measured::Of(value, value * 0.9, value * 1.1, unit, "bench");
  };
  face.area = some("cm2", 150, 250);
  face.lean_area = some("cm2", 80, 140);
  face.fat_share_pct = some("%", 20, 40);
  face.fat_to_lean = some("1", 0.2, 0.6);
  face.marbling_pct = some("%", 4, 25);
  face.cover.mean = some("mm", 5, 20);
  face.cover.at_three_quarters = some("mm", 5, 20);
  for (report::Lab* lab : {&face.lean_colour, &face.fat_colour}) {
    lab->L = some("1", 30, 80);
    lab->a = some("1", 10, 25);
    lab->b = some("1", 5, 15);
  }
  report.faces = {face};
  return report::ToJson(report, false);
}

}  // namespace

ledger::Draft Load::DraftOf(ledger::Payload payload) {
  clock_.Pass(2'000);
  const auto number = static_cast<std::uint64_t>(keys_++);
  // As long as a random key of 16 bytes in base64url.
  std::string key = fmt::format("{:016x}{:06}", number * 0x9e3779b97f4a7c15ULL, number % 1'000'000);
  return {std::move(payload), clock_.now(), kUsers[number % 5], std::move(key), ""};
}

Status Load::Write(std::vector<ledger::Draft> drafts, std::vector<ledger::Receipt>* receipts) {
  for (const ledger::Draft& draft : drafts) {
    filled_.bytes +=
        static_cast<std::int64_t>(draft.key.size() + draft.user.size() + draft.note.size());
  }
  auto results = store_.writer().Append(std::move(drafts), ledger::Together::kEachAlone);
  for (auto& result : results) {
    if (!result) return Fail(result.error());
    ++filled_.events;
    for (const ledger::Piece& piece : result->pieces) {
      if (piece.made_by == result->event.number) ++filled_.pieces;
    }
    if (receipts != nullptr) receipts->push_back(std::move(*result));
  }
  return {};
}

Status Load::Round() {
  math::Rng rng(seed_, round_++);
  using units::Mass;
  std::vector<ledger::Draft> drafts;
  std::vector<double> grams;
  for (int i = 0; i < kRibsARound; ++i) {
    grams.push_back(6000.0 + rng.Below(3000));
    ledger::Received received;
    received.piece = {{},
                      "",
                      i % 2 == 0 ? "rib, bone in" : "strip loin",
                      Mass::FromGrams(grams.back()),
                      kRooms[0]};
    received.cost = units::Money{15'000 + rng.Below(9000), *units::Currency::FromText("EUR")};
    received.supplier = kSuppliers[rng.Below(4)];
    received.lot = fmt::format("L{:05}", round_ * 3 + rng.Below(3));
    drafts.push_back(DraftOf(received));
  }
  std::vector<ledger::Receipt> made;
  if (const Status done = Write(std::move(drafts), &made); !done) return done;
  drafts.clear();
  for (std::size_t i = 0; i < made.size(); ++i) {
    const ledger::PieceId rib = made[i].pieces.front().id;
    drafts.push_back(DraftOf(ledger::Aged{rib, true, kRooms[1 + rng.Below(3)]}));
    for (int week = 0; week < 5; ++week) {
      grams[i] = std::floor(grams[i] * 0.97);
      drafts.push_back(DraftOf(ledger::Weighed{rib, Mass::FromGrams(grams[i]), {}}));
    }
    if (rng.Below(20) == 0) {
      ledger::Judged judged;
      judged.piece = rib;
      judged.report_json = SomeReport(rng);
      drafts.push_back(DraftOf(judged));
    }
    drafts.push_back(DraftOf(ledger::Aged{rib, false, kRooms[0]}));
  }
  if (const Status done = Write(std::move(drafts), nullptr); !done) return done;
  clock_.Pass(3'600'000LL * 12);
  drafts.clear();
  for (std::size_t i = 0; i < made.size(); ++i) {
    ledger::Cut cut;
    cut.pieces = {made[i].pieces.front().id};
    const double portion = std::floor((grams[i] - 300.0) / kPortions);
    for (int p = 0; p < kPortions; ++p) {
      cut.outputs.push_back(
          {{}, "", i % 2 == 0 ? "rib steak" : "strip steak", Mass::FromGrams(portion), kRooms[4]});
    }
    cut.losses = {{ledger::LossKind::kTrim, Mass::FromGrams(grams[i] - kPortions * portion)}};
    drafts.push_back(DraftOf(cut));
  }
  std::vector<ledger::Receipt> cuts;
  if (const Status done = Write(std::move(drafts), &cuts); !done) return done;
  drafts.clear();
  for (const ledger::Receipt& receipt : cuts) {
    for (int p = 0; p < kPortions; ++p) {
      const ledger::Piece& portion = receipt.pieces[static_cast<std::size_t>(p)];
      drafts.push_back(DraftOf(ledger::Weighed{portion.id, portion.mass, {}}));
      if (rng.Below(10) == 0) continue;
      drafts.push_back(DraftOf(ledger::Moved{portion.id, "kitchen"}));
      drafts.push_back(DraftOf(ledger::Cooked{portion.id, std::nullopt, "pink"}));
      if (rng.Below(10) == 0) {
        auto draft = DraftOf(ledger::Tasted{portion.id, "nutty, tender, long finish", 80.0});
        draft.note = "asked for the bone";
        drafts.push_back(std::move(draft));
      }
      drafts.push_back(DraftOf(
          ledger::Served{portion.id, std::nullopt, fmt::format("table {}", rng.Below(40))}));
    }
  }
  return Write(std::move(drafts), nullptr);
}

Status Load::FillTo(std::int64_t events) {
  while (filled_.events < events) {
    if (const Status done = Round(); !done) return done;
  }
  return {};
}

}  // namespace ribwright::bench
