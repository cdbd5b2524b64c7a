// SPDX-License-Identifier: Apache-2.0
#include "server/photo_book.h"

#include <algorithm>

namespace ribwright::server {
namespace {

using store::Connection;
using store::Statement;

std::span<const std::uint8_t> BytesOf(const ledger::Hash& hash) { return hash.bytes; }

std::optional<ledger::Hash> HashAt(const Statement& row, int column) {
  if (row.IsNull(column)) return std::nullopt;
  const auto blob = row.Blob(column);
  ledger::Hash hash;
  if (blob.size() != hash.bytes.size()) return std::nullopt;
  std::copy(blob.begin(), blob.end(), hash.bytes.begin());
  return hash;
}

std::optional<std::int64_t> IntAt(const Statement& row, int column) {
  if (row.IsNull(column)) return std::nullopt;
  return row.Int(column);
}

constexpr const char* kPhotoColumns =
    "SELECT id, hash, name, bytes, media, sent_ms, sent_by, taken_ms, picture, "
    "(SELECT j.piece FROM judging j WHERE j.photo = photo.id AND j.piece IS NOT NULL "
    "ORDER BY j.id DESC LIMIT 1) FROM photo ";

PhotoRow PhotoOf(const Statement& row) {
  PhotoRow photo;
  photo.id = row.Int(0);
  photo.hash = HashAt(row, 1).value_or(ledger::Hash{});
  photo.name = row.Text(2);
  photo.bytes = row.Int(3);
  photo.media = row.Text(4);
  photo.sent = {row.Int(5)};
  photo.sent_by = row.Text(6);
  if (!row.IsNull(7)) photo.taken = units::UtcTime{row.Int(7)};
  photo.picture = HashAt(row, 8);
  photo.piece = IntAt(row, 9);
  return photo;
}

constexpr const char* kJudgingColumns =
    "SELECT j.id, p.hash, p.name, j.judged_ms, j.judged_by, j.edited_from, j.options, j.method, "
    "j.revision, j.line, j.piece";

JudgingRow JudgingOf(const Statement& row) {
  JudgingRow judging;
  judging.id = row.Int(0);
  judging.photo = HashAt(row, 1).value_or(ledger::Hash{});
  judging.photo_name = row.Text(2);
  judging.judged = {row.Int(3)};
  judging.judged_by = row.Text(4);
  judging.edited_from = IntAt(row, 5);
  judging.options = row.Text(6);
  judging.method = row.Text(7);
  judging.revision = row.Text(8);
  judging.line = row.Text(9);
  judging.piece = IntAt(row, 10);
  return judging;
}

Result<std::optional<PhotoRow>> FindPhoto(Connection& db, const ledger::Hash& hash) {
  static const std::string sql = std::string(kPhotoColumns) + "WHERE hash = ?";
  auto query = db.Prepare(sql);
  if (!query) return Fail(query.error());
  query->Bind(1, BytesOf(hash));
  const auto there = query->Step();
  if (!there) return Fail(there.error());
  if (!*there) return std::optional<PhotoRow>();
  return std::optional<PhotoRow>(PhotoOf(*query));
}

tl::unexpected<Error> Unknown(const char* what) {
  return Fail(Code::kNotFound, std::string("There is no such ") + what + ".", what,
              "Go back to the list.");
}

// Runs to the end; `row` is called for each.
template <typename Each>
Status ForEach(Statement& query, const Each& row) {
  for (;;) {
    const auto there = query.Step();
    if (!there) return Fail(there.error());
    if (!*there) return {};
    row(query);
  }
}

}  // namespace

Result<std::pair<PhotoRow, bool>> PhotoBook::AddPhoto(const PhotoRow& photo) {
  std::pair<PhotoRow, bool> result;
  const Status written = store_.Write([&](Connection& db) -> Status {
    auto insert = db.Prepare(
        "INSERT INTO photo (hash, name, bytes, media, sent_ms, sent_by, taken_ms) "
        "VALUES (?, ?, ?, ?, ?, ?, ?) ON CONFLICT (hash) DO NOTHING");
    if (!insert) return Fail(insert.error());
    insert->Bind(1, BytesOf(photo.hash)).Bind(2, std::string_view(photo.name));
    insert->Bind(3, photo.bytes).Bind(4, std::string_view(photo.media));
    insert->Bind(5, photo.sent.ms).Bind(6, std::string_view(photo.sent_by));
    if (photo.taken) {
      insert->Bind(7, photo.taken->ms);
    } else {
      insert->BindNull(7);
    }
    if (const Status put = insert->Run(); !put) return put;
    result.second = db.Changes() > 0;
    auto row = FindPhoto(db, photo.hash);
    if (!row) return Fail(row.error());
    result.first = std::move(**row);
    return {};
  });
  if (!written) return Fail(written.error());
  return result;
}

Result<PhotoRow> PhotoBook::Photo(const ledger::Hash& hash) {
  std::optional<PhotoRow> found;
  const Status read = store_.Read([&](Connection& db) -> Status {
    auto row = FindPhoto(db, hash);
    if (!row) return Fail(row.error());
    found = std::move(*row);
    return {};
  });
  if (!read) return Fail(read.error());
  if (!found) return Unknown("photo");
  return *found;
}

Result<std::vector<PhotoRow>> PhotoBook::Photos(std::int64_t before, int limit) {
  std::vector<PhotoRow> rows;
  const Status read = store_.Read([&](Connection& db) -> Status {
    static const std::string sql =
        std::string(kPhotoColumns) + "WHERE ?1 = 0 OR id < ?1 ORDER BY id DESC LIMIT ?2";
    auto query = db.Prepare(sql);
    if (!query) return Fail(query.error());
    query->Bind(1, before).Bind(2, std::int64_t{limit});
    return ForEach(*query, [&](const Statement& row) { rows.push_back(PhotoOf(row)); });
  });
  if (!read) return Fail(read.error());
  return rows;
}

Status PhotoBook::SetPicture(const ledger::Hash& photo, const ledger::Hash& picture) {
  return store_.Write([&](Connection& db) -> Status {
    auto update = db.Prepare("UPDATE photo SET picture = ? WHERE hash = ?");
    if (!update) return Fail(update.error());
    update->Bind(1, BytesOf(picture)).Bind(2, BytesOf(photo));
    return update->Run();
  });
}

Result<std::int64_t> PhotoBook::AddJudging(const JudgingRow& judging,
                                           const std::map<std::string, ledger::Hash>& layers) {
  std::int64_t id = 0;
  const Status written = store_.Write([&](Connection& db) -> Status {
    auto insert = db.Prepare(
        "INSERT INTO judging (photo, judged_ms, judged_by, edited_from, options, method, revision, "
        "line, report) SELECT id, ?, ?, ?, ?, ?, ?, ?, ? FROM photo WHERE hash = ?");
    if (!insert) return Fail(insert.error());
    insert->Bind(1, judging.judged.ms).Bind(2, std::string_view(judging.judged_by));
    insert->BindOptional(3, judging.edited_from).Bind(4, std::string_view(judging.options));
    insert->Bind(5, std::string_view(judging.method)).Bind(6, std::string_view(judging.revision));
    insert->Bind(7, std::string_view(judging.line)).Bind(8, std::string_view(judging.report));
    insert->Bind(9, BytesOf(judging.photo));
    if (const Status put = insert->Run(); !put) return put;
    if (db.Changes() == 0) return Unknown("photo");
    id = db.LastRowId();
    for (const auto& [layer, hash] : layers) {
      auto add = db.Prepare("INSERT INTO judging_layer (judging, layer, hash) VALUES (?, ?, ?)");
      if (!add) return Fail(add.error());
      add->Bind(1, id).Bind(2, std::string_view(layer)).Bind(3, BytesOf(hash));
      if (const Status put = add->Run(); !put) return put;
    }
    return {};
  });
  if (!written) return Fail(written.error());
  return id;
}

Result<JudgingRow> PhotoBook::Judging(std::int64_t id) {
  std::optional<JudgingRow> found;
  const Status read = store_.Read([&](Connection& db) -> Status {
    static const std::string sql =
        std::string(kJudgingColumns) +
        ", j.report FROM judging j JOIN photo p ON p.id = j.photo WHERE j.id = ?";
    auto query = db.Prepare(sql);
    if (!query) return Fail(query.error());
    query->Bind(1, id);
    return ForEach(*query, [&](const Statement& row) {
      found = JudgingOf(row);
      found->report = row.Text(11);
    });
  });
  if (!read) return Fail(read.error());
  if (!found) return Unknown("face");
  return *found;
}

Result<std::vector<JudgingRow>> PhotoBook::Judgings(const JudgingFilter& filter) {
  std::vector<JudgingRow> rows;
  const Status read = store_.Read([&](Connection& db) -> Status {
    const std::string from = std::string(kJudgingColumns) +
                             " FROM judging j JOIN photo p ON p.id = j.photo WHERE "
                             "(?1 = 0 OR j.id < ?1) ";
    static const std::string all = from + "ORDER BY j.id DESC LIMIT ?2";
    static const std::string of_piece = from + "AND j.piece = ?3 ORDER BY j.id DESC LIMIT ?2";
    static const std::string of_photo = from + "AND p.hash = ?3 ORDER BY j.id DESC LIMIT ?2";
    static const std::string of_both =
        from + "AND p.hash = ?3 AND j.piece = ?4 ORDER BY j.id DESC LIMIT ?2";
    auto query = db.Prepare(filter.photo && filter.piece ? of_both
                            : filter.photo               ? of_photo
                            : filter.piece               ? of_piece
                                                         : all);
    if (!query) return Fail(query.error());
    query->Bind(1, filter.before).Bind(2, std::int64_t{filter.limit});
    if (filter.photo) query->Bind(3, BytesOf(*filter.photo));
    if (filter.piece) query->Bind(filter.photo ? 4 : 3, *filter.piece);
    return ForEach(*query, [&](const Statement& row) { rows.push_back(JudgingOf(row)); });
  });
  if (!read) return Fail(read.error());
  return rows;
}

Result<std::map<std::string, ledger::Hash>> PhotoBook::Layers(std::int64_t judging) {
  std::map<std::string, ledger::Hash> layers;
  const Status read = store_.Read([&](Connection& db) -> Status {
    auto query = db.Prepare("SELECT layer, hash FROM judging_layer WHERE judging = ?");
    if (!query) return Fail(query.error());
    query->Bind(1, judging);
    return ForEach(*query, [&](const Statement& row) {
      layers[std::string(row.Text(0))] = HashAt(row, 1).value_or(ledger::Hash{});
    });
  });
  if (!read) return Fail(read.error());
  return layers;
}

Status PhotoBook::SetPiece(std::int64_t judging, std::int64_t piece) {
  return store_.Write([&](Connection& db) -> Status {
    auto update = db.Prepare("UPDATE judging SET piece = ? WHERE id = ?");
    if (!update) return Fail(update.error());
    update->Bind(1, piece).Bind(2, judging);
    return update->Run();
  });
}

Result<std::optional<std::string>> PhotoBook::DoneBefore(std::int64_t account,
                                                         const std::string& key,
                                                         const std::string& operation,
                                                         const ledger::Hash& request) {
  std::optional<std::string> result;
  const Status read = store_.Read([&](Connection& db) -> Status {
    auto query = db.Prepare(
        "SELECT operation, request, result FROM done_once WHERE account = ? AND key = ?");
    if (!query) return Fail(query.error());
    query->Bind(1, account).Bind(2, std::string_view(key));
    const auto there = query->Step();
    if (!there) return Fail(there.error());
    if (!*there) return {};
    if (query->Text(0) != operation || HashAt(*query, 1) != request) {
      return Fail(Code::kKeyReused, "The idempotency key was used for another request.",
                  "Idempotency-Key", "Make a new key for each thing to be done.");
    }
    result = std::string(query->Text(2));
    return {};
  });
  if (!read) return Fail(read.error());
  return result;
}

Status PhotoBook::NoteDone(std::int64_t account, const std::string& key,
                           const std::string& operation, const ledger::Hash& request,
                           const std::string& result, units::UtcTime now) {
  return store_.Write([&](Connection& db) -> Status {
    // A week is longer than any client tries again.
    auto old = db.Prepare("DELETE FROM done_once WHERE account = ? AND at_ms < ?");
    if (!old) return Fail(old.error());
    old->Bind(1, account).Bind(2, (now - std::chrono::hours(24 * 7)).ms);
    if (const Status gone = old->Run(); !gone) return gone;
    auto insert = db.Prepare(
        "INSERT INTO done_once (account, key, operation, request, result, at_ms) "
        "VALUES (?, ?, ?, ?, ?, ?) ON CONFLICT DO NOTHING");
    if (!insert) return Fail(insert.error());
    insert->Bind(1, account).Bind(2, std::string_view(key)).Bind(3, std::string_view(operation));
    insert->Bind(4, BytesOf(request)).Bind(5, std::string_view(result)).Bind(6, now.ms);
    return insert->Run();
  });
}

}  // namespace ribwright::server
