// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include "store/check_parts.h"
#include "store/migrations.h"

namespace ribwright::store {
namespace {

// Kind and name to the text that made it.
using Shape = std::map<std::pair<std::string, std::string>, std::string>;

Result<Shape> ShapeOf(Connection& connection) {
  auto rows = connection.Prepare("SELECT type, name, sql FROM sqlite_schema WHERE sql IS NOT NULL");
  if (!rows) return Fail(rows.error());
  Shape shape;
  for (;;) {
    const auto row = rows->Step();
    if (!row) return Fail(row.error());
    if (!*row) return shape;
    shape[{std::string(rows->Text(0)), std::string(rows->Text(1))}] = rows->Text(2);
  }
}

}  // namespace

Status CheckSchema(Connection& connection, const TellFault& fault) {
  const auto shape = ShapeOf(connection);
  if (!shape) return Fail(shape.error());
  if (!shape->contains({"table", "schema_migration"})) {
    fault("The list of the steps that made the database is missing.", "table schema_migration");
    return {};
  }
  const auto applied = AppliedMigrations(connection, ShippedMigrations());
  if (!applied) {
    if (applied.error().code != Code::kStoreMismatch) return Fail(applied.error());
    fault(applied.error().message, "table schema_migration");
    return {};
  }
  auto fresh = Connection::Open(":memory:", OpenAs::kCreate);
  if (!fresh) return Fail(fresh.error());
  if (const Status made = CreateSchema(*fresh, *applied); !made) return made;
  const auto expected = ShapeOf(*fresh);
  if (!expected) return Fail(expected.error());
  for (const auto& [key, sql] : *expected) {
    const auto found = shape->find(key);
    const std::string where = key.first + " " + key.second;
    if (found == shape->end()) {
      fault(fmt::format("The {} is missing.", where), where);
    } else if (found->second != sql) {
      fault(fmt::format("The {} is not as the program makes it.", where), where);
    }
  }
  for (const auto& [key, sql] : *shape) {
    if (expected->contains(key) || key.second.starts_with("sqlite_")) continue;
    fault(fmt::format("The {} {} is none of the program's.", key.first, key.second),
          key.first + " " + key.second);
  }
  return {};
}

}  // namespace ribwright::store
