// SPDX-License-Identifier: Apache-2.0
#include "store/event_rows.h"

#include <fmt/format.h>

#include <algorithm>
#include <deque>
#include <map>
#include <memory>

#include "ledger/event_json.h"

namespace ribwright::store {
namespace {

using ledger::Event;
using ledger::PieceId;

std::string Select(const char* rest) {
  return fmt::format("SELECT {} FROM {} {}", kEventColumns, kEventTables, rest);
}

tl::unexpected<Error> Damaged(std::int64_t number, const std::string& what) {
  return Fail(Code::kStoreDamaged, what, fmt::format("event {}", number),
              "Run ribwright check-db; restore the last backup.");
}

ledger::Hash HashFrom(std::span<const std::uint8_t> blob) {
  ledger::Hash hash;
  if (blob.size() == hash.bytes.size()) std::copy(blob.begin(), blob.end(), hash.bytes.begin());
  return hash;
}

Result<std::vector<std::int64_t>> Numbers(Statement& statement) {
  std::vector<std::int64_t> numbers;
  for (;;) {
    const auto row = statement.Step();
    if (!row) return Fail(row.error());
    if (!*row) return numbers;
    numbers.push_back(statement.Int(0));
  }
}

}  // namespace

Result<StoredEvent> ReadEvent(const Statement& row) {
  StoredEvent stored;
  Event& event = stored.event;
  event.number = row.Int(0);
  const auto kind = ledger::KindFromText(row.Text(1));
  if (!kind) return Damaged(event.number, "An event is of no kind that the program knows.");
  event.draft.happened = {row.Int(2)};
  event.written = {row.Int(3)};
  event.draft.user = row.Text(4);
  event.draft.key = row.Text(5);
  event.draft.note = row.Text(6);
  stored.data = row.Text(7);
  event.previous = HashFrom(row.Blob(8));
  event.hash = HashFrom(row.Blob(9));
  auto payload = ledger::PayloadFromData(*kind, stored.data);
  if (!payload) {
    return Damaged(event.number, fmt::format("An event's data cannot be read: {} ({})",
                                             payload.error().message, payload.error().where));
  }
  event.draft.payload = std::move(*payload);
  return stored;
}

Status FillInstead(Connection& connection, Event& event) {
  auto* corrected = std::get_if<ledger::Corrected>(&event.draft.payload);
  if (corrected == nullptr) return {};
  auto statement = connection.Prepare("SELECT kind FROM event WHERE number = ?");
  if (!statement) return Fail(statement.error());
  const auto row = statement->Bind(1, corrected->target).Step();
  if (!row) return Fail(row.error());
  const auto kind = *row ? ledger::KindFromText(statement->Text(0)) : std::nullopt;
  if (!kind) return Damaged(event.number, "The event that this one corrects is not there.");
  auto instead = ledger::PayloadFromData(*kind, corrected->changes);
  if (!instead) return Damaged(event.number, "A correction's data cannot be read.");
  corrected->instead = std::make_shared<const ledger::Payload>(std::move(*instead));
  return {};
}

Result<std::optional<StoredEvent>> FindEvent(Connection& connection, std::int64_t number) {
  static const std::string kSql = Select("WHERE e.number = ?");
  std::optional<StoredEvent> found;
  {
    auto statement = connection.Prepare(kSql);
    if (!statement) return Fail(statement.error());
    const auto row = statement->Bind(1, number).Step();
    if (!row) return Fail(row.error());
    if (!*row) return std::optional<StoredEvent>();
    auto stored = ReadEvent(*statement);
    if (!stored) return Fail(stored.error());
    found = std::move(*stored);
  }
  if (const Status filled = FillInstead(connection, found->event); !filled) {
    return Fail(filled.error());
  }
  return found;
}

Result<StoredEvent> GetEvent(Connection& connection, std::int64_t number) {
  auto found = FindEvent(connection, number);
  if (!found) return Fail(found.error());
  if (*found) return std::move(**found);
  return Fail(Code::kEntryUnknown, fmt::format("There is no event number {}.", number),
              fmt::format("event {}", number), "Look at the list of events.");
}

Result<std::optional<StoredEvent>> FindEventByKey(Connection& connection, std::string_view key) {
  std::int64_t number = 0;
  {
    auto statement = connection.Prepare("SELECT number FROM event WHERE key = ?");
    if (!statement) return Fail(statement.error());
    const auto row = statement->Bind(1, key).Step();
    if (!row) return Fail(row.error());
    if (!*row) return std::optional<StoredEvent>();
    number = statement->Int(0);
  }
  return FindEvent(connection, number);
}

Status InsertEvent(Connection& connection, Names& names, const Event& event,
                   std::string_view data) {
  const auto person = names.NumberOf(connection, Names::Table::kPerson, event.draft.user);
  if (!person) return Fail(person.error());
  auto row = connection.Prepare(
      "INSERT INTO event (number, kind, happened_ms, written_ms, person, key, note, data,"
      " previous, hash) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)");
  if (!row) return Fail(row.error());
  row->Bind(1, event.number).Bind(2, ledger::KindText(ledger::KindOf(event.draft.payload)));
  row->Bind(3, event.draft.happened.ms).Bind(4, event.written.ms).Bind(5, *person);
  row->Bind(6, std::string_view(event.draft.key)).Bind(7, std::string_view(event.draft.note));
  row->Bind(8, data);
  row->Bind(9, std::span<const std::uint8_t>(event.previous.bytes));
  row->Bind(10, std::span<const std::uint8_t>(event.hash.bytes));
  return row->Run();
}

Result<std::vector<Event>> EventsAbout(Connection& connection, const std::set<PieceId>& pieces) {
  std::set<std::int64_t> numbers;
  for (const PieceId id : pieces) {
    auto statement = connection.Prepare("SELECT event FROM piece_event WHERE piece = ?");
    if (!statement) return Fail(statement.error());
    const auto found = Numbers(statement->Bind(1, id.value));
    if (!found) return Fail(found.error());
    numbers.insert(found->begin(), found->end());
  }
  std::map<std::int64_t, Event> events;
  for (const std::int64_t number : numbers) {
    auto stored = GetEvent(connection, number);
    if (!stored) return Fail(stored.error());
    events.emplace(number, std::move(stored->event));
  }
  std::vector<Event> in_order;
  in_order.reserve(events.size());
  for (auto& [number, event] : events) in_order.push_back(std::move(event));
  return in_order;
}

Result<std::vector<Event>> AmendmentsOf(Connection& connection, std::int64_t number) {
  std::vector<Event> amendments;
  std::deque<std::int64_t> targets = {number};
  while (!targets.empty()) {
    auto statement = connection.Prepare("SELECT event FROM amendment WHERE target = ?");
    if (!statement) return Fail(statement.error());
    const auto found = Numbers(statement->Bind(1, targets.front()));
    if (!found) return Fail(found.error());
    targets.pop_front();
    for (const std::int64_t one : *found) {
      auto stored = GetEvent(connection, one);
      if (!stored) return Fail(stored.error());
      amendments.push_back(std::move(stored->event));
      targets.push_back(one);
    }
  }
  std::sort(amendments.begin(), amendments.end(),
            [](const Event& a, const Event& b) { return a.number < b.number; });
  return amendments;
}

Result<std::set<PieceId>> FamilyOf(Connection& connection, const std::vector<PieceId>& pieces) {
  std::set<PieceId> family;
  for (const PieceId id : pieces) {
    if (family.contains(id)) continue;
    auto statement = connection.Prepare(
        "WITH RECURSIVE kin (piece) AS (SELECT ?1 UNION SELECT parent FROM lineage, kin WHERE"
        " child = piece UNION SELECT child FROM lineage, kin WHERE parent = piece)"
        " SELECT piece FROM kin");
    if (!statement) return Fail(statement.error());
    const auto found = Numbers(statement->Bind(1, id.value));
    if (!found) return Fail(found.error());
    for (const std::int64_t one : *found) family.insert({one});
  }
  return family;
}

}  // namespace ribwright::store
