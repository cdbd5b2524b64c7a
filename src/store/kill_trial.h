// SPDX-License-Identifier: Apache-2.0
// Kill trials: a child process writes to a store from several threads and tells through a pipe what
// was acknowledged; the parent kills it with SIGKILL at a random moment, opens the store again and
// holds it against what was told. Used by the tests (a few trials) and the bench (many).
//
// Call from a process without other threads: the child is a fork.
#pragma once

#include <poll.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <cstdint>
#include <cstring>
#include <filesystem>
#include <string>
#include <thread>
#include <vector>

#include "math/rng.h"
#include "store/check.h"
#include "store/store.h"

namespace ribwright::store {

struct KillTrial {
  std::int64_t acknowledged = 0;
  std::int64_t lost = 0;    // acknowledged, but not there or not the same
  std::int64_t events = 0;  // in the ledger afterwards
  std::vector<Error> faults;
};

namespace kill_trial {

struct Acknowledged {
  std::int64_t number = 0;
  std::uint8_t hash[32] = {};
};

inline void Tell(int pipe, const ledger::Event& event) {
  Acknowledged told{event.number, {}};
  std::memcpy(told.hash, event.hash.bytes.data(), sizeof told.hash);
  // Less than PIPE_BUF: whole or not at all.
  if (::write(pipe, &told, sizeof told) != sizeof told) ::_exit(3);
}

// Receives, weighs, cuts and serves without end.
inline void WriteOn(Store& store, int pipe, std::uint64_t seed, int thread) {
  math::Rng rng(seed, static_cast<std::uint64_t>(thread));
  std::int64_t key = 0;
  const auto append = [&](ledger::Payload payload) {
    auto receipt = store.writer().Append(
        {std::move(payload), SystemNow(), "cutter",
         std::to_string(seed) + "-" + std::to_string(thread) + "-" + std::to_string(key++), ""});
    if (!receipt) ::_exit(4);
    Tell(pipe, receipt->event);
    return std::move(receipt->pieces);
  };
  for (;;) {
    ledger::Received received;
    const double grams = 4000.0 + rng.Below(4000);
    received.piece = {{}, "", "rib", units::Mass::FromGrams(grams), "cold room"};
    received.cost = units::Money{20'000, *units::Currency::FromText("EUR")};
    const ledger::PieceId rib = append(received)[0].id;
    append(ledger::Weighed{rib, units::Mass::FromGrams(grams - 20.0), {}});
    ledger::Cut cut;
    cut.pieces = {rib};
    for (int i = 0; i < 4; ++i) {
      cut.outputs.push_back({{}, "", "steak", units::Mass::FromGrams((grams - 40.0) / 4.0), ""});
    }
    cut.losses = {{ledger::LossKind::kKerf, units::Mass::FromGrams(20.0)}};
    const auto pieces = append(cut);
    for (int i = 0; i < 4; ++i) {
      append(ledger::Served{pieces[static_cast<std::size_t>(i)].id, std::nullopt, "table"});
    }
  }
}

[[noreturn]] inline void Child(const std::filesystem::path& folder, int pipe, std::uint64_t seed) {
  auto store = Store::Open(folder);
  if (!store) ::_exit(5);
  std::vector<std::thread> threads;
  for (int i = 0; i < 4; ++i) {
    threads.emplace_back([&, i] { WriteOn(**store, pipe, seed, i); });
  }
  for (std::thread& thread : threads) thread.join();
  ::_exit(6);
}

inline bool ReadAll(int pipe, void* to, std::size_t size) {
  auto* at = static_cast<char*>(to);
  while (size > 0) {
    const ssize_t got = ::read(pipe, at, size);
    if (got <= 0) return false;
    at += got;
    size -= static_cast<std::size_t>(got);
  }
  return true;
}

inline std::int64_t CountLost(const std::filesystem::path& folder,
                              const std::vector<Acknowledged>& told) {
  auto connection = Connection::Open(folder / "ribwright.db", OpenAs::kReadOnly);
  if (!connection) return static_cast<std::int64_t>(told.size());
  std::int64_t lost = 0;
  for (const Acknowledged& one : told) {
    auto statement = connection->Prepare("SELECT hash FROM event WHERE number = ?");
    const auto row = statement->Bind(1, one.number).Step();
    const bool there = row && *row && statement->Blob(0).size() == sizeof one.hash &&
                       std::memcmp(statement->Blob(0).data(), one.hash, sizeof one.hash) == 0;
    if (!there) ++lost;
  }
  return lost;
}

}  // namespace kill_trial

// The child is killed `after` from its first acknowledgement.
inline KillTrial RunKillTrial(const std::filesystem::path& folder, std::uint64_t seed,
                              std::chrono::microseconds after) {
  using kill_trial::Acknowledged;
  KillTrial trial;
  int ends[2] = {-1, -1};
  if (::pipe(ends) != 0) {
    trial.faults.push_back({Code::kInternal, "No pipe.", "", ""});
    return trial;
  }
  const pid_t child = ::fork();
  if (child == 0) {
    ::close(ends[0]);
    kill_trial::Child(folder, ends[1], seed);
  }
  ::close(ends[1]);
  std::vector<Acknowledged> told;
  Acknowledged one;
  if (child > 0 && kill_trial::ReadAll(ends[0], &one, sizeof one)) {
    told.push_back(one);
    const auto end = std::chrono::steady_clock::now() + after;
    for (;;) {
      const auto left = std::chrono::duration_cast<std::chrono::nanoseconds>(
          end - std::chrono::steady_clock::now());
      pollfd waiting{ends[0], POLLIN, 0};
      const timespec patience{left.count() / 1'000'000'000, left.count() % 1'000'000'000};
      if (left.count() <= 0 || ::ppoll(&waiting, 1, &patience, nullptr) <= 0) break;
      if (!kill_trial::ReadAll(ends[0], &one, sizeof one)) break;
      told.push_back(one);
    }
    ::kill(child, SIGKILL);
    while (kill_trial::ReadAll(ends[0], &one, sizeof one)) told.push_back(one);
  } else {
    trial.faults.push_back({Code::kInternal, "The child wrote nothing.", folder.string(), ""});
    if (child > 0) ::kill(child, SIGKILL);
  }
  ::close(ends[0]);
  if (child > 0) ::waitpid(child, nullptr, 0);

  trial.acknowledged = static_cast<std::int64_t>(told.size());
  trial.lost = kill_trial::CountLost(folder, told);
  const auto checked = CheckFile(folder / "ribwright.db");
  if (!checked) {
    trial.faults.push_back(checked.error());
    return trial;
  }
  trial.events = checked->events;
  trial.faults.insert(trial.faults.end(), checked->faults.begin(), checked->faults.end());
  return trial;
}

}  // namespace ribwright::store
