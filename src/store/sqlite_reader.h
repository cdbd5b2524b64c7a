// SPDX-License-Identifier: Apache-2.0
// SqliteReader: the reading port over a store's reading connections. Each call is one transaction
// and sees one commit. Statements of lists are in reader_lists.cc, of single things in
// sqlite_reader.cc, of stock in reader_stock.cc.
#pragma once

#include "ledger/port.h"
#include "store/store.h"

namespace ribwright::store {

class SqliteReader final : public ledger::Reader {
 public:
  using Read = std::function<Status(const std::function<Status(Connection&)>&)>;
  SqliteReader(Read read, Clock clock) : read_(std::move(read)), clock_(std::move(clock)) {}

  Result<ledger::Piece> Find(ledger::PieceId id) override;
  Result<ledger::Piece> FindCode(std::string_view typed) override;
  Result<ledger::PiecePage> Page(ledger::PieceId id) override;
  Result<ledger::Trace> TraceOf(ledger::PieceId id) override;
  Result<std::vector<ledger::Piece>> Pieces(const ledger::PieceFilter& filter) override;
  Result<std::vector<ledger::EventView>> Events(const ledger::EventFilter& filter) override;
  Result<ledger::EventView> EventByNumber(std::int64_t number) override;
  Result<std::string> FaceJson(std::int64_t judged_event) override;
  Result<std::vector<ledger::StockLine>> Stock(const std::optional<std::string>& location) override;
  Result<std::vector<ledger::Par>> Pars() override;
  Result<ledger::StockCount> Count(std::int64_t counted_event) override;
  Result<std::vector<ledger::SearchHit>> Search(std::string_view query, int limit) override;

 private:
  // Runs `task` in one reading transaction and gives what it gave.
  template <typename T>
  Result<T> In(const std::function<Result<T>(Connection&)>& task) {
    Result<T> result = Fail(Code::kInternal, "Nothing was read.", "", "Report it.");
    const Status read = read_([&](Connection& connection) -> Status {
      result = task(connection);
      return {};
    });
    if (!read) return Fail(read.error());
    return result;
  }
  Read read_;
  Clock clock_;
};

// An event as it stands, with what its amendments say.
Result<ledger::EventView> ViewOf(Connection& connection, std::int64_t number);

}  // namespace ribwright::store
