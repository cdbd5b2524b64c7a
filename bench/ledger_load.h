// SPDX-License-Identifier: Apache-2.0
// A house's years of work for the ledger's rows of bench/reach: ribs come in, are weighed while
// they age, are cut into ten portions that are weighed, cooked and served; about one event in five
// is about a rib, ten of eleven pieces are portions, one portion in ten stays in stock, one rib in
// twenty is judged. Deterministic for a seed; writes in groups, as an import would.
#pragma once

#include <cstdint>
#include <functional>

#include "base/result.h"
#include "store/store.h"

namespace ribwright::bench {

struct Filled {
  std::int64_t events = 0;
  std::int64_t pieces = 0;
  std::int64_t bytes = 0;  // data, note, key and user of all events
};

// A clock for the store that the load moves on.
class LoadClock {
 public:
  units::UtcTime now() const { return {ms_}; }
  void Pass(std::int64_t ms) { ms_ += ms; }

 private:
  std::int64_t ms_ = 1'700'000'000'000;
};

class Load {
 public:
  Load(store::Store& store, LoadClock& clock, std::uint64_t seed)
      : store_(store), clock_(clock), seed_(seed) {}
  // Until there are at least so many events.
  Status FillTo(std::int64_t events);
  const Filled& filled() const { return filled_; }

 private:
  Status Round();
  Status Write(std::vector<ledger::Draft> drafts, std::vector<ledger::Receipt>* receipts);
  ledger::Draft DraftOf(ledger::Payload payload);

  store::Store& store_;
  LoadClock& clock_;
  std::uint64_t seed_;
  std::uint64_t round_ = 0;
  std::int64_t keys_ = 0;
  Filled filled_;
};

}  // namespace ribwright::bench
