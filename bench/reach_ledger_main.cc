// SPDX-License-Identifier: Apache-2.0
// The store's rows of `bench/reach ledger`: growth, look-ups, writes against bare SQLite, kills.
// Through the ports, in one process; the rows through HTTP are another program's.
#include <fcntl.h>
#include <fmt/format.h>
#include <sqlite3.h>
#include <unistd.h>

#include <CLI/CLI.hpp>
#include <atomic>
#include <chrono>
#include <filesystem>
#include <thread>

#include "base/check.h"
#include "ledger/event_json.h"
#include "ledger_load.h"
#include "math/rng.h"
#include "reach_rows.h"
#include "store/check.h"
#include "store/kill_trial.h"

namespace ribwright::bench {
namespace {

namespace fs = std::filesystem;
using SteadyClock = std::chrono::steady_clock;

double SecondsSince(SteadyClock::time_point start) {
  return std::chrono::duration<double>(SteadyClock::now() - start).count();
}

std::vector<Row> rows;

void Show(Row row) {
  fmt::print("{}\n", Line(row));
  std::fflush(stdout);
  rows.push_back(std::move(row));
}

[[noreturn]] void GiveUp(const Error& error) {
  fmt::print(stderr, "reach_ledger: {} ({})\n", error.message, error.where);
  std::exit(3);
}

double MegabytesOf(const fs::path& folder) {
  double bytes = 0.0;
  for (const auto& file : fs::directory_iterator(folder)) {
    if (file.is_regular_file()) bytes += static_cast<double>(file.file_size());
  }
  return bytes / 1e6;
}

void Checkpoint(store::Store& store) {
  // Outside a transaction the log is folded into the file; a write task is inside one, so a
  // connection of its own does it.
  auto connection =
      store::Connection::Open(store.folder() / "ribwright.db", store::OpenAs::kReadWrite);
  if (!connection) GiveUp(connection.error());
  if (const Status done = connection->Execute("PRAGMA wal_checkpoint(TRUNCATE)"); !done) {
    GiveUp(done.error());
  }
}

// Milliseconds of one flush of 4 kB.
double FlushMs(const fs::path& folder) {
  const fs::path path = folder / "flush";
  const int fd = ::open(path.c_str(), O_CREAT | O_WRONLY | O_CLOEXEC, 0600);
  RIBWRIGHT_CHECK(fd >= 0);
  const std::string page(4096, 'x');
  std::vector<double> ms;
  for (int i = 0; i < 200; ++i) {
    RIBWRIGHT_CHECK(::write(fd, page.data(), page.size()) == 4096);
    const auto start = SteadyClock::now();
    RIBWRIGHT_CHECK(::fdatasync(fd) == 0);
    ms.push_back(SecondsSince(start) * 1e3);
  }
  ::close(fd);
  fs::remove(path);
  return Quantile(ms, 0.5);
}

template <typename Work>
std::vector<double> Times(int count, Work work) {
  std::vector<double> ms;
  for (int i = 0; i < count; ++i) {
    const auto start = SteadyClock::now();
    work(i);
    ms.push_back(SecondsSince(start) * 1e3);
  }
  return ms;
}

void Lookups(store::Store& store, std::int64_t pieces) {
  math::Rng rng(5);
  const auto any = [&] {
    return ledger::PieceId{
        1 + static_cast<std::int64_t>(rng.Below(static_cast<std::uint32_t>(pieces)))};
  };
  auto& reader = store.reader();
  const auto page = Times(2000, [&](int) { RIBWRIGHT_CHECK(reader.Page(any()).has_value()); });
  Show(AtMost("piece page, p99 of 2000", Quantile(page, 0.99), 20, "ms", 2,
              fmt::format("p50 {:.2f} ms", Quantile(page, 0.5))));
  std::size_t family = 0;
  const auto trace = Times(2000, [&](int) {
    const auto traced = reader.TraceOf(any());
    RIBWRIGHT_CHECK(traced.has_value());
    family = std::max(family, traced->siblings.size() + traced->up.size() + traced->down.size());
  });
  Show(AtMost("trace to all siblings, p99 of 2000", Quantile(trace, 0.99), 50, "ms", 2,
              fmt::format("p50 {:.2f} ms, families up to {}", Quantile(trace, 0.5), family)));
  std::int64_t in_stock = 0;
  const auto stock = Times(200, [&](int) {
    in_stock = 0;
    const auto lines = reader.Stock(std::nullopt);
    RIBWRIGHT_CHECK(lines.has_value());
    for (const auto& line : *lines) in_stock += line.pieces;
  });
  Show(AtMost("stock everywhere, p99 of 200", Quantile(stock, 0.99), 50, "ms", 2,
              fmt::format("{} pieces in stock", in_stock)));
  const auto search = Times(200, [&](int i) {
    RIBWRIGHT_CHECK(reader.Search(fmt::format("L{:05}", i), 50).has_value());
  });
  Show(AtMost("search for a lot, p99 of 200", Quantile(search, 0.99), 50, "ms", 2));
}

std::vector<ledger::PieceId> InStock(store::Store& store) {
  ledger::PieceFilter filter;
  filter.state = ledger::PieceState::kInStock;
  filter.limit = 500;
  const auto pieces = store.reader().Pieces(filter);
  RIBWRIGHT_CHECK(pieces.has_value() && !pieces->empty());
  std::vector<ledger::PieceId> ids;
  for (const ledger::Piece& piece : *pieces) ids.push_back(piece.id);
  return ids;
}

struct Written {
  double events_a_second = 0.0;
  double a_commit = 0.0;
  std::vector<std::string> rows;  // what a bare insert of the same bytes stores
};

// `writers` threads, each sending `together` events at a time.
Written WriteFor(store::Store& store, LoadClock& clock, int writers, int together, double seconds,
                 std::vector<ledger::PieceId> pieces) {
  static std::atomic<std::int64_t> key{0};
  const std::int64_t commits = store.commits();
  std::atomic<std::int64_t> events{0};
  std::vector<std::vector<std::string>> bytes(static_cast<std::size_t>(writers));
  const auto start = SteadyClock::now();
  std::vector<std::thread> threads;
  for (int t = 0; t < writers; ++t) {
    threads.emplace_back([&, t] {
      int turn = 0;
      while (SecondsSince(start) < seconds) {
        std::vector<ledger::Draft> drafts;
        for (int i = 0; i < together; ++i) {
          const auto piece = pieces[static_cast<std::size_t>(t * together + i) % pieces.size()];
          ledger::Payload payload = ledger::Moved{piece, turn % 4 == 0 ? "display" : "cold room"};
          if (turn % 2 == 1) payload = ledger::Tasted{piece, "nutty, tender", 80.0};
          drafts.push_back(
              {std::move(payload), clock.now(), "ada", fmt::format("bench-{:016}", key++), ""});
        }
        ++turn;
        const auto results = store.writer().Append(std::move(drafts), ledger::Together::kEachAlone);
        for (const auto& result : results) {
          if (!result) GiveUp(result.error());
          ++events;
          // Kind, user, key, data, two hashes and two times, as the event's row holds them.
          const ledger::Draft& draft = result->event.draft;
          bytes[static_cast<std::size_t>(t)].push_back(
              std::string(ledger::KindText(ledger::KindOf(draft.payload))) + draft.user +
              draft.key + ledger::DataJson(draft.payload) + std::string(64 + 12, 'h'));
        }
      }
    });
  }
  for (std::thread& thread : threads) thread.join();
  Written written;
  written.events_a_second = static_cast<double>(events) / SecondsSince(start);
  written.a_commit = static_cast<double>(events) / static_cast<double>(store.commits() - commits);
  for (auto& part : bytes) {
    written.rows.insert(written.rows.end(), std::make_move_iterator(part.begin()),
                        std::make_move_iterator(part.end()));
  }
  return written;
}

// Rows a second into a table of its own, `a_commit` rows a transaction, as durable.
double BareInserts(const fs::path& folder, const std::vector<std::string>& bytes, double a_commit) {
  const fs::path file = folder / "bare.db";
  for (const char* end : {"", "-wal", "-shm"}) fs::remove(file.string() + end);
  auto connection = store::Connection::Open(file, store::OpenAs::kCreate);
  if (!connection) GiveUp(connection.error());
  RIBWRIGHT_CHECK(
      connection->Execute("CREATE TABLE bare (number INTEGER PRIMARY KEY, bytes TEXT) STRICT")
          .has_value());
  const auto group = static_cast<std::size_t>(std::max(1.0, std::round(a_commit)));
  const auto start = SteadyClock::now();
  for (std::size_t at = 0; at < bytes.size();) {
    RIBWRIGHT_CHECK(connection->Prepare("BEGIN IMMEDIATE")->Run().has_value());
    for (std::size_t i = 0; i < group && at < bytes.size(); ++i, ++at) {
      auto row = connection->Prepare("INSERT INTO bare (bytes) VALUES (?)");
      RIBWRIGHT_CHECK(row->Bind(1, std::string_view(bytes[at])).Run().has_value());
    }
    RIBWRIGHT_CHECK(connection->Prepare("COMMIT")->Run().has_value());
  }
  return static_cast<double>(bytes.size()) / SecondsSince(start);
}

void Writes(store::Store& store, LoadClock& clock, const fs::path& folder, double seconds) {
  const double flush = FlushMs(folder);
  const std::vector<ledger::PieceId> pieces = InStock(store);
  struct Case {
    const char* name;
    int writers;
    int together;
    double limit;
  };
  for (const Case& c :
       {Case{"one at a time, waiting for each", 1, 1, 0.0},
        Case{"16 requests in flight", 16, 1, 500.0}, Case{"lists of 64 events", 1, 64, 500.0},
        Case{"16 lists of 16 events in flight", 16, 16, 500.0}}) {
    // In turns, so that what else the machine does falls on both alike.
    constexpr int kTurns = 8;
    Written written;
    std::vector<double> ratios;
    double bare_seconds = 0.0;
    double ours_seconds = 0.0;
    for (int turn = 0; turn < kTurns; ++turn) {
      const Written part = WriteFor(store, clock, c.writers, c.together, seconds / kTurns, pieces);
      const double bare_rate = BareInserts(folder, part.rows, part.a_commit);
      const auto count = static_cast<double>(part.rows.size());
      ours_seconds += count / part.events_a_second;
      bare_seconds += count / bare_rate;
      ratios.push_back(part.events_a_second / bare_rate);
      written.a_commit += part.a_commit / kTurns;
      written.rows.insert(written.rows.end(), part.rows.begin(), part.rows.end());
    }
    written.events_a_second = static_cast<double>(written.rows.size()) / ours_seconds;
    const double bare = static_cast<double>(written.rows.size()) / bare_seconds;
    const std::string note =
        fmt::format("{:.1f} a commit; one flush of this disk {:.2f} ms", written.a_commit, flush);
    const std::string name = fmt::format("durable events a second, {}", c.name);
    if (c.limit > 0.0) {
      Show(AtLeast(name, written.events_a_second, c.limit, "/s", 0, note));
    } else {
      fmt::print("# {}: {:.0f} /s ({})\n", name, written.events_a_second, note);
    }
    const std::string ratio_name = fmt::format("of bare inserts of the same bytes, {}", c.name);
    const std::string ratio_note = fmt::format("median of {} turns; bare {:.0f} /s", kTurns, bare);
    const double ratio = Quantile(ratios, 0.5);
    if (c.together == 1) {
      Show(AtLeast(ratio_name, ratio, 0.3, "", 2, ratio_note));
    } else {
      // Lists share a flush among so many events that what is left is processor time: imports
      // only, since the doors of people send one event at a time.
      fmt::print("# {}: {:.2f} ({})\n", ratio_name, ratio, ratio_note);
    }
  }
}

void ReadsWhileWriting(store::Store& store, LoadClock& clock, std::int64_t pieces, double seconds) {
  std::atomic<bool> stop{false};
  const std::vector<ledger::PieceId> some = InStock(store);
  std::vector<double> ms;
  std::thread reading([&] {
    math::Rng rng(9);
    while (!stop) {
      const auto start = SteadyClock::now();
      RIBWRIGHT_CHECK(
          store.reader()
              .Page({1 + static_cast<std::int64_t>(rng.Below(static_cast<std::uint32_t>(pieces)))})
              .has_value());
      ms.push_back(SecondsSince(start) * 1e3);
    }
  });
  const Written written = WriteFor(store, clock, 16, 1, seconds, some);
  stop = true;
  reading.join();
  Show(AtMost("piece page while 16 writers write, p99", Quantile(ms, 0.99), 20, "ms", 2,
              fmt::format("{} pages, {:.0f} events/s beside", ms.size(), written.events_a_second)));
}

void Kills(const fs::path& folder, int trials) {
  math::Rng rng(2026);
  std::int64_t acknowledged = 0;
  std::int64_t lost = 0;
  std::size_t faults = 0;
  for (int i = 0; i < trials; ++i) {
    if (i % 20 == 0) fs::remove_all(folder);
    const auto trial = store::RunKillTrial(folder, static_cast<std::uint64_t>(i) + 1,
                                           std::chrono::microseconds(200 + rng.Below(150'000)));
    acknowledged += trial.acknowledged;
    lost += trial.lost;
    faults += trial.faults.size();
    for (const Error& fault : trial.faults) {
      fmt::print("# trial {}: {} ({})\n", i, fault.message, fault.where);
    }
  }
  Show(AtMost(fmt::format("acknowledged events lost in {} kills", trials),
              static_cast<double>(lost), 0, "", 0, fmt::format("{} acknowledged", acknowledged)));
  Show(AtMost(fmt::format("faults of chain, balances, tables after {} kills", trials),
              static_cast<double>(faults), 0, "", 0));
}

int Main(int argc, char** argv) {
  std::int64_t events = 1'000'000;
  int kills = 200;
  double seconds = 4.0;
  std::string out = "build/reach/ledger";
  CLI::App app("Store rows of bench/reach ledger.");
  app.add_option("--events", events, "Events of the large ledger");
  app.add_option("--kills", kills, "Kill trials");
  app.add_option("--seconds", seconds, "Of each writing row");
  app.add_option("--out", out, "Folder for the ledgers; emptied");
  CLI11_PARSE(app, argc, argv);
  fs::remove_all(out);
  fs::create_directories(out);
  // Before any thread is there, since each trial forks.
  if (kills > 0) Kills(fs::path(out) / "kill", kills);

  LoadClock clock;
  auto opened = store::Store::Open(fs::path(out) / "house", {[&] { return clock.now(); }, 4, 0});
  if (!opened) GiveUp(opened.error());
  store::Store& store = **opened;
  Load load(store, clock, 77);
  for (const std::int64_t size : {std::int64_t{10'000}, std::int64_t{100'000}, events}) {
    if (size > events || load.filled().events >= size) continue;
    const auto start = SteadyClock::now();
    const std::int64_t before = load.filled().events;
    if (const Status done = load.FillTo(size); !done) GiveUp(done.error());
    const double rate = static_cast<double>(load.filled().events - before) / SecondsSince(start);
    Checkpoint(store);
    const double mb = MegabytesOf(store.folder());
    const std::string note = fmt::format(
        "{} pieces, {:.0f} bytes an event, filled at {:.0f} events/s", load.filled().pieces,
        mb * 1e6 / static_cast<double>(load.filled().events), rate);
    if (size == 1'000'000) {
      Show(AtMost(fmt::format("file of {} events", load.filled().events), mb, 600, "MB", 1, note));
    } else {
      fmt::print("# file of {} events: {:.1f} MB ({})\n", load.filled().events, mb, note);
    }
  }
  Lookups(store, load.filled().pieces);
  Writes(store, clock, out, seconds);
  ReadsWhileWriting(store, clock, load.filled().pieces, seconds);
  const auto start = SteadyClock::now();
  const auto checked = store::CheckFile(store.folder() / "ribwright.db");
  if (!checked) GiveUp(checked.error());
  Show(AtMost("faults that check-db finds in it", static_cast<double>(checked->faults.size()), 0,
              "", 0, fmt::format("{} events in {:.1f} s", checked->events, SecondsSince(start))));
  return ExitCode(rows);
}

}  // namespace
}  // namespace ribwright::bench

int main(int argc, char** argv) { return ribwright::bench::Main(argc, argv); }
