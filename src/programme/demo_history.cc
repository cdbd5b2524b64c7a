// SPDX-License-Identifier: Apache-2.0
#include "programme/demo_history.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <deque>
#include <string>
#include <vector>

#include "math/rng.h"

namespace ribwright::programme {
namespace {

using ledger::PieceId;
using units::Mass;
using units::UtcTime;

constexpr int kDays = 92;
constexpr std::int64_t kDayMs = 86'400'000;
constexpr const char* kColdRoom = "cold room";
constexpr const char* kDisplay = "display";
const char* const kShelves[] = {"ageing room, shelf 1", "ageing room, shelf 2",
                                "ageing room, hooks"};
const char* const kSuppliers[] = {"North Pasture", "Mill Creek Beef", "Seven Oaks"};
const char* const kTasted[] = {"nutty, long finish, a little blue cheese",
                               "tender, mild, buttery fat", "deep beef flavour, drier at the edge",
                               "juicy, clean, fat melts early"};

Mass Grams(double grams) { return Mass::FromGrams(std::floor(grams)); }

struct Hung {
  PieceId id;
  double grams = 0.0;  // when it was hung
  Mass last;           // last weighing
  int since = 0;       // day
  int until = 0;       // day
};
struct Portion {
  PieceId id;
  Mass mass;
  int made = 0;
};

class Telling {
 public:
  Telling(ledger::Writer& writer, UtcTime end, std::uint64_t seed)
      : writer_(writer), start_{end.ms - kDays * kDayMs}, rng_(seed) {}

  Result<DemoHistory> Run() {
    if (const Status done = SetPars(); !done) return Fail(done.error());
    for (day_ = 0; day_ < kDays; ++day_) {
      minute_ = 0;
      for (const auto step :
           {&Telling::Deliver, &Telling::WeighIn, &Telling::Pull, &Telling::CutFresh,
            &Telling::Grind, &Telling::Count, &Telling::Evening}) {
        if (const Status done = (this->*step)(); !done) return Fail(done.error());
      }
    }
    history_.days = kDays;
    return history_;
  }

 private:
  // Each event a few minutes after the one before, within the day.
  UtcTime Next() {
    minute_ += 1 + static_cast<std::int64_t>(rng_.Below(3));
    return {start_.ms + day_ * kDayMs + std::min<std::int64_t>(minute_, 1435) * 60'000};
  }

  Result<ledger::Receipt> Tell(ledger::Payload payload, const char* user, std::string note = "") {
    auto receipt = writer_.Append(
        {std::move(payload), Next(), user, fmt::format("demo-{:06}", ++keys_), std::move(note)});
    if (!receipt) return receipt;
    ++history_.events;
    for (const ledger::Piece& piece : receipt->pieces) {
      if (piece.made_by == receipt->event.number) ++history_.pieces;
    }
    return receipt;
  }
  Status Done(const Result<ledger::Receipt>& receipt) const {
    if (!receipt) return Fail(receipt.error());
    return {};
  }
  // Monday is 0; the first of January 1970 was a Thursday.
  int Weekday() const { return static_cast<int>((start_.ms / kDayMs + day_ + 3) % 7); }

  Status SetPars() {
    const struct {
      const char* cut;
      const char* location;
      double grams;
    } pars[] = {{"rib steak", kDisplay, 6000},
                {"strip steak", kDisplay, 5000},
                {"rib, bone in", kShelves[0], 20'000},
                {"grind", kColdRoom, 3000}};
    for (const auto& par : pars) {
      if (const Status set = writer_.SetPar(par.cut, par.location, Grams(par.grams), "owner");
          !set) {
        return set;
      }
    }
    return {};
  }

  Status Deliver() {
    if (Weekday() != 1 && Weekday() != 4) return {};
    minute_ = 7 * 60;
    const std::string lot = fmt::format("L{:04}", 100 + day_);
    const char* supplier = kSuppliers[rng_.Below(3)];
    for (int i = 0; i < 3; ++i) {
      const bool rib = i < 2;
      const double grams = rib ? rng_.Uniform(7800, 10'400) : rng_.Uniform(5200, 7000);
      const auto cents =
          static_cast<std::int64_t>(grams / 1000.0 * rng_.Uniform(rib ? 2300 : 2000, 3100));
      ledger::Received received;
      received.piece = {{}, "", rib ? "rib, bone in" : "strip loin", Grams(grams), kColdRoom};
      received.cost = units::Money{cents, *units::Currency::FromText("EUR")};
      received.supplier = supplier;
      received.lot = lot;
      received.slaughtered = units::Day(std::chrono::days(
          start_.ms / kDayMs + day_ - 9 - static_cast<std::int64_t>(rng_.Below(6))));
      const auto made = Tell(received, "buyer", i == 0 ? "core 2.1 °C, bags tight" : "");
      if (!made) return Fail(made.error());
      const PieceId id = made->pieces.front().id;
      const Mass weighed = Grams(grams * rng_.Uniform(0.994, 1.002));
      if (const Status done = Done(Tell(ledger::Weighed{id, weighed, {}}, "buyer")); !done) {
        return done;
      }
      if (!rib) {
        fresh_.push_back({id, weighed, day_ + 3});
        continue;
      }
      if (const Status done = Done(Tell(ledger::Aged{id, true, kShelves[rng_.Below(3)]}, "cutter"));
          !done) {
        return done;
      }
      hung_.push_back(
          {id, weighed.grams(), weighed, day_, day_ + 28 + static_cast<int>(rng_.Below(48))});
    }
    return {};
  }

  // Loss of a hanging rib: 3 % of its first weight times the root of days (assumed).
  Mass WeightOf(const Hung& rib) const {
    const double days = day_ - rib.since;
    return std::min(rib.last, Grams(rib.grams * (1.0 - 0.03 * std::sqrt(days))));
  }

  Status WeighIn() {
    if (Weekday() != 3) return {};
    minute_ = std::max<std::int64_t>(minute_, 9 * 60);
    for (Hung& rib : hung_) {
      if (rib.since == day_) continue;
      const Mass mass = WeightOf(rib);
      const bool slip = rng_.Below(40) == 0;  // two digits exchanged, noticed at once
      const auto receipt =
          Tell(ledger::Weighed{rib.id, slip ? mass - Mass::FromGrams(900) : mass, {}}, "cutter");
      if (!receipt) return Fail(receipt.error());
      rib.last = mass;
      if (!slip) continue;
      const std::string changes = fmt::format(R"({{"mass_g":{:.0f}}})", mass.grams());
      if (const Status done =
              Done(Tell(ledger::Corrected{receipt->event.number, nullptr, changes, "read wrongly"},
                        "cutter"));
          !done) {
        return done;
      }
    }
    return {};
  }

  // Portions of a piece of `grams`, what is left over to trim, the rest as loss.
  Status CutUp(PieceId id, Mass mass, const char* name, double least, double most,
               double trim_share) {
    ledger::Cut cut;
    cut.pieces = {id};
    const Mass loss = Grams(mass.grams() * 0.012);
    const Mass trim = Grams(mass.grams() * trim_share);
    Mass left = mass - loss - trim;
    while (left.grams() > most + least) {
      const Mass portion = Grams(rng_.Uniform(least, most));
      cut.outputs.push_back({{}, "", name, portion, kDisplay});
      left -= portion;
    }
    cut.outputs.push_back({{}, "", name, left, kDisplay});
    cut.outputs.push_back({{}, "", "trim", trim, kColdRoom});
    cut.losses = {{ledger::LossKind::kKerf, loss}};
    const auto receipt = Tell(cut, "cutter");
    if (!receipt) return Fail(receipt.error());
    for (std::size_t i = 0; i < cut.outputs.size(); ++i) {
      const ledger::Piece& piece = receipt->pieces[i];
      (i + 1 < cut.outputs.size() ? portions_ : trim_).push_back({piece.id, piece.mass, day_});
    }
    return {};
  }

  Status Pull() {
    minute_ = std::max<std::int64_t>(minute_, 10 * 60);
    for (std::size_t i = 0; i < hung_.size();) {
      Hung& rib = hung_[i];
      if (rib.until > day_) {
        ++i;
        continue;
      }
      const Mass mass = WeightOf(rib);
      const Mass crust = Grams(mass.grams() * 0.09);
      const Mass bones = Grams(mass.grams() * 0.11);
      ledger::Trimmed trimmed;
      trimmed.piece = rib.id;
      trimmed.mass = mass - crust - bones;
      trimmed.outputs = {{{}, "", "bones", bones, kColdRoom}};
      trimmed.losses = {{ledger::LossKind::kTrim, crust}};
      for (ledger::Payload payload : {ledger::Payload(ledger::Weighed{rib.id, mass, {}}),
                                      ledger::Payload(ledger::Aged{rib.id, false, kColdRoom})}) {
        if (const Status done = Done(Tell(std::move(payload), "cutter")); !done) return done;
      }
      const auto receipt = Tell(trimmed, "cutter");
      if (!receipt) return Fail(receipt.error());
      const PieceId boned = receipt->pieces.front().id;
      if (const Status done = Done(Tell(ledger::Served{boned, std::nullopt, "stock pot"}, "cook"));
          !done) {
        return done;
      }
      if (const Status done = CutUp(rib.id, trimmed.mass, "rib steak", 420, 640, 0.08); !done) {
        return done;
      }
      hung_.erase(hung_.begin() + static_cast<std::ptrdiff_t>(i));
    }
    return {};
  }

  Status CutFresh() {
    while (!fresh_.empty() && fresh_.front().made <= day_) {
      const Portion loin = fresh_.front();
      fresh_.pop_front();
      if (const Status done = CutUp(loin.id, loin.mass, "strip steak", 260, 380, 0.12); !done) {
        return done;
      }
    }
    return {};
  }

  Status Grind() {
    if (Weekday() != 5 || trim_.empty()) return {};
    ledger::Cut grind;
    Mass sum;
    for (const Portion& trim : trim_) {
      grind.pieces.push_back(trim.id);
      sum += trim.mass;
    }
    const Mass loss = Grams(sum.grams() * 0.01);
    grind.outputs = {{{}, "", "grind", sum - loss, kColdRoom}};
    grind.losses = {{ledger::LossKind::kUnsaid, loss}};
    trim_.clear();
    const auto receipt = Tell(grind, "cutter", "grinder cleaned before and after");
    if (!receipt) return Fail(receipt.error());
    grind_ = {receipt->pieces.front().id, receipt->pieces.front().mass, day_};
    return {};
  }

  // Monday: what lies in the display, by the scale.
  Status Count() {
    if (Weekday() != 0 || portions_.empty()) return {};
    minute_ = std::max<std::int64_t>(minute_, 14 * 60);
    ledger::Counted counted;
    counted.location = kDisplay;
    counted.whole = true;
    std::deque<Portion> found;
    for (Portion& portion : portions_) {
      if (rng_.Below(40) == 0) {
        counted.lines.push_back({portion.id, std::nullopt, "not found"});
        continue;
      }
      const Mass dried = Mass::FromGrams(std::floor(rng_.Uniform(0, 4)));
      portion.mass -= dried;
      counted.lines.push_back({portion.id, portion.mass, dried > Mass() ? "drying" : ""});
      found.push_back(portion);
    }
    portions_ = std::move(found);
    return Done(Tell(counted, "owner", "Monday count"));
  }

  Status Evening() {
    minute_ = 17 * 60;
    const int guests = Weekday() == 0 ? 0 : 4 + static_cast<int>(rng_.Below(9));
    for (int i = 0; i < guests && !portions_.empty(); ++i) {
      const Portion portion = portions_.front();
      portions_.pop_front();
      if (const Status done = Plate(portion); !done) return done;
    }
    if (grind_.id.value != 0 && grind_.mass.grams() > 1200) {
      const Mass part = Mass::FromGrams(360);
      grind_.mass -= part;
      return Done(Tell(ledger::Served{grind_.id, part, "two burgers"}, "cook"));
    }
    return {};
  }

  Status Plate(const Portion& portion) {
    const std::string table = fmt::format("table {}", 1 + rng_.Below(18));
    const std::uint32_t fate = rng_.Below(100);
    if (fate < 6) {
      const units::Money price{static_cast<std::int64_t>(portion.mass.grams() * 6.5),
                               *units::Currency::FromText("EUR")};
      return Done(Tell(ledger::Sold{portion.id, std::nullopt, price, "counter"}, "cook"));
    }
    if (fate < 8) {
      return Done(Tell(ledger::Discarded{portion.id, std::nullopt, "too dry at the rim"}, "cook"));
    }
    const char* const kDone[] = {"rare", "medium rare", "medium"};
    if (const Status done = Done(Tell(
            ledger::Cooked{portion.id, Grams(portion.mass.grams() * 0.84), kDone[rng_.Below(3)]},
            "cook"));
        !done) {
      return done;
    }
    if (fate < 10) {  // the wrong label was scanned, and noticed
      const auto slip = Tell(ledger::Served{portion.id, std::nullopt, "table 99"}, "cook");
      if (!slip) return Fail(slip.error());
      if (const Status done =
              Done(Tell(ledger::Voided{slip->event.number, "wrong table"}, "owner"));
          !done) {
        return done;
      }
    }
    if (const Status done = Done(Tell(ledger::Served{portion.id, std::nullopt, table}, "cook"));
        !done) {
      return done;
    }
    if (fate < 90) return {};
    return Done(
        Tell(ledger::Tasted{portion.id, kTasted[rng_.Below(4)], std::floor(rng_.Uniform(60, 96))},
             "taster"));
  }

  ledger::Writer& writer_;
  UtcTime start_;
  math::Rng rng_;
  int day_ = 0;
  std::int64_t minute_ = 0;
  std::int64_t keys_ = 0;
  DemoHistory history_;
  std::vector<Hung> hung_;
  std::deque<Portion> fresh_;  // loins, by the day they are cut
  std::deque<Portion> portions_;
  std::deque<Portion> trim_;
  Portion grind_;
};

}  // namespace

Result<DemoHistory> WriteDemoHistory(ledger::Writer& writer, UtcTime end, std::uint64_t seed) {
  return Telling(writer, end, seed).Run();
}

}  // namespace ribwright::programme
