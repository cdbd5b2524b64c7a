// SPDX-License-Identifier: Apache-2.0
// The rows of `bench/reach ledger` through HTTP: look-ups and durable writes of one client against
// the large ledger that the store's rows made, served on loopback in this process.
#include <fmt/format.h>
#include <httplib.h>

#include <CLI/CLI.hpp>
#include <atomic>
#include <chrono>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <thread>

#include "base/check.h"
#include "math/rng.h"
#include "reach_rows.h"
#include "server/serve.h"

namespace ribwright::bench {
namespace {

namespace fs = std::filesystem;
using SteadyClock = std::chrono::steady_clock;
using nlohmann::json;

std::vector<Row> rows;

void Show(Row row) {
  fmt::print("{}\n", Line(row));
  std::fflush(stdout);
  rows.push_back(std::move(row));
}

double SecondsSince(SteadyClock::time_point start) {
  return std::chrono::duration<double>(SteadyClock::now() - start).count();
}

struct Ledger {
  units::UtcTime last;  // when its last event was written
  std::int64_t events = 0;
  std::int64_t pieces = 0;
};

Ledger Look(const fs::path& folder) {
  const auto store = store::Store::Open(folder);
  RIBWRIGHT_CHECK(store.has_value());
  const auto events = (*store)->reader().Events({{}, std::nullopt, 0, 1});
  RIBWRIGHT_CHECK(events.has_value() && !events->empty());
  Ledger ledger{events->front().event.written, events->front().event.number, 0};
  const Status counted = (*store)->Read([&](store::Connection& db) -> Status {
    auto query = db.Prepare("SELECT max(id) FROM piece");
    if (!query) return Fail(query.error());
    const auto there = query->Step();
    if (!there) return Fail(there.error());
    ledger.pieces = query->Int(0);
    return {};
  });
  RIBWRIGHT_CHECK(counted.has_value());
  return ledger;
}

class Guest {
 public:
  explicit Guest(int port) : http_("127.0.0.1", port) {
    http_.set_keep_alive(true);
    http_.set_tcp_nodelay(true);
  }
  void SetUp(const std::string& url) {
    const json body = {{"token", url.substr(url.find("token=") + 6)},
                       {"name", "ada"},
                       {"password", "a long enough one"}};
    const auto made = http_.Post("/api/v1/setup", body.dump(), "application/json");
    RIBWRIGHT_CHECK(made && made->status == 201);
    const std::string cookie = made->get_header_value("Set-Cookie");
    headers = {{"Cookie", cookie.substr(0, cookie.find(';'))},
               {"X-CSRF-Token", json::parse(made->body).at("csrf_token").get<std::string>()}};
  }
  std::string Get(const std::string& path) {
    const auto reply = http_.Get("/api/v1" + path, headers);
    RIBWRIGHT_CHECK(reply && reply->status == 200);
    return reply->body;
  }
  void Move(std::int64_t piece, const std::string& to, std::int64_t key) {
    httplib::Headers all = headers;
    all.emplace("Idempotency-Key", fmt::format("bench-{:016}", key));
    const std::string body =
        fmt::format(R"({{"kind":"moved","piece_id":"{}","location":"{}"}})", piece, to);
    const auto reply = http_.Post("/api/v1/events", all, body, "application/json");
    RIBWRIGHT_CHECK(reply && reply->status == 201);
  }

  httplib::Headers headers;

 private:
  httplib::Client http_;
};

void Lookups(Guest& guest, std::int64_t pieces) {
  math::Rng rng(5);
  const auto any = [&] { return 1 + rng.Below(static_cast<std::uint32_t>(pieces)); };
  struct Case {
    const char* name;
    int count;
    double limit_ms;
    std::function<std::string()> path;
  };
  for (const Case& c : {
           Case{"piece page", 2000, 20, [&] { return fmt::format("/pieces/{}", any()); }},
           Case{"trace to all siblings", 2000, 50,
                [&] { return fmt::format("/pieces/{}/trace", any()); }},
           Case{"stock everywhere", 200, 50, [&] { return std::string("/stock"); }},
       }) {
    std::vector<double> ms;
    for (int i = 0; i < c.count; ++i) {
      const std::string path = c.path();
      const auto start = SteadyClock::now();
      guest.Get(path);
      ms.push_back(SecondsSince(start) * 1e3);
    }
    Show(AtMost(fmt::format("{} through HTTP, p99 of {}", c.name, c.count), Quantile(ms, 0.99),
                c.limit_ms, "ms", 2, fmt::format("p50 {:.2f} ms", Quantile(ms, 0.5))));
  }
}

// One client, `flight` requests of it on their way at a time.
double WritesASecond(const Guest& owner, int port, const std::vector<std::int64_t>& pieces,
                     int flight, double seconds) {
  static std::atomic<std::int64_t> key{0};
  std::atomic<std::int64_t> written{0};
  const auto start = SteadyClock::now();
  std::vector<std::thread> threads;
  for (int t = 0; t < flight; ++t) {
    threads.emplace_back([&, t] {
      Guest guest(port);
      guest.headers = owner.headers;
      for (int turn = 0; SecondsSince(start) < seconds; ++turn) {
        guest.Move(pieces[static_cast<std::size_t>(t) % pieces.size()],
                   turn % 2 == 0 ? "display" : "cold room", key++);
        ++written;
      }
    });
  }
  for (std::thread& thread : threads) thread.join();
  return static_cast<double>(written) / SecondsSince(start);
}

int Main(int argc, char** argv) {
  std::string from = "build/reach/ledger/house";
  double seconds = 4.0;
  CLI::App app("HTTP rows of bench/reach ledger.");
  app.add_option("--ledger", from, "Data folder with the large ledger; a copy is used");
  app.add_option("--seconds", seconds, "Of each writing row");
  CLI11_PARSE(app, argc, argv);
  const std::string wanted = "20 ms";
  if (!fs::exists(fs::path(from) / "ribwright.db")) {
    Show(Skipped("ledger through HTTP", wanted, "no large ledger: run the store's rows first"));
    return ExitCode(rows);
  }
  const fs::path folder = fs::path(from).parent_path() / "http";
  fs::remove_all(folder);
  fs::create_directories(folder);
  for (const char* name : {"ribwright.db", "ribwright.db-wal"}) {
    if (fs::exists(fs::path(from) / name)) fs::copy_file(fs::path(from) / name, folder / name);
  }
  const Ledger ledger = Look(folder);
  const auto begun = SteadyClock::now();
  server::ServeOptions options;
  options.data = folder;
  options.port = 0;
  // The ledger's own time goes on: its load may end later than this machine's clock.
  options.store.clock = [&] {
    return ledger.last +
           std::chrono::duration_cast<std::chrono::milliseconds>(SteadyClock::now() - begun);
  };
  auto serving = server::Serving::Open(options);
  if (!serving) {
    fmt::print(stderr, "reach_ledger_http: {} ({})\n", serving.error().message,
               serving.error().where);
    return 3;
  }
  std::thread running([&] { (*serving)->Run(); });
  const int port = (*serving)->started().port;
  {
    Guest guest(port);
    guest.SetUp((*serving)->started().setup_url);
    fmt::print("# through HTTP: {} events, {} pieces\n", ledger.events, ledger.pieces);
    Lookups(guest, ledger.pieces);
    std::vector<std::int64_t> pieces;
    const json stock = json::parse(guest.Get("/pieces?state=in_stock&limit=500"));
    for (const json& piece : stock.at("items")) {
      pieces.push_back(std::stoll(piece.at("id").get<std::string>()));
    }
    const double serial = WritesASecond(guest, port, pieces, 1, seconds);
    fmt::print("# durable events a second through HTTP, one at a time: {:.0f} /s\n", serial);
    Show(AtLeast("durable events a second through HTTP, one client, 16 requests in flight",
                 WritesASecond(guest, port, pieces, 16, seconds), 500, "/s", 0));
  }
  (*serving)->Stop();
  running.join();
  serving->reset();
  fs::remove_all(folder);
  return ExitCode(rows);
}

}  // namespace
}  // namespace ribwright::bench

int main(int argc, char** argv) { return ribwright::bench::Main(argc, argv); }
