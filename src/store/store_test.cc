// SPDX-License-Identifier: Apache-2.0
// Threads, full disks, migrations, backups and damage.
#include "store/store.h"

#include <gtest/gtest.h>
#include <sqlite3.h>

#include <fstream>
#include <set>
#include <thread>

#include "base/files.h"
#include "store/backup.h"
#include "store/check.h"
#include "store/migrations.h"
#include "store/open_house.h"
#include "store/photo_folder.h"
#include "store/test_house.h"
#include "store/trouble_log.h"

namespace ribwright::store {
namespace {

void ExpectSound(const std::filesystem::path& database) {
  const auto checked = CheckFile(database);
  ASSERT_TRUE(checked) << checked.error().message;
  for (const Error& fault : checked->faults) ADD_FAILURE() << fault.message << " " << fault.where;
}

// Another program's hand in the file, past every guard.
void Tamper(const std::filesystem::path& database, const char* sql) {
  sqlite3* db = nullptr;
  ASSERT_EQ(sqlite3_open(database.c_str(), &db), SQLITE_OK);
  char* why = nullptr;
  EXPECT_EQ(sqlite3_exec(db, sql, nullptr, nullptr, &why), SQLITE_OK) << (why ? why : "");
  sqlite3_close(db);
}

TEST(Store, LetsManyWriteAtOnceAndSharesTheFlushes) {
  House house;
  constexpr int kThreads = 8;
  constexpr int kEach = 25;
  std::vector<ledger::PieceId> ribs;
  for (int i = 0; i < kThreads; ++i) ribs.push_back(house.Receive("rib", 5000).id);
  const std::int64_t commits = house.store().commits();
  std::vector<std::thread> threads;
  std::atomic<int> failed{0};
  for (int t = 0; t < kThreads; ++t) {
    threads.emplace_back([&, t] {
      for (int i = 0; i < kEach; ++i) {
        const ledger::Weighed weighed{ribs[static_cast<std::size_t>(t)], G(4990 - i), {}};
        const std::string key = std::to_string(t) + "/" + std::to_string(i);
        if (!house.writer().Append({weighed, house.now(), "ada", key, ""})) ++failed;
        if (!house.reader().Page(ribs[static_cast<std::size_t>(t)])) ++failed;
      }
    });
  }
  for (std::thread& thread : threads) thread.join();
  EXPECT_EQ(failed, 0);
  EXPECT_LT(house.store().commits() - commits, kThreads * kEach);
  for (const ledger::PieceId rib : ribs) EXPECT_EQ(house.Now(rib).mass, G(4990 - kEach + 1));
  ExpectSound(house.database());
}

TEST(Store, LetsOnlyOneOfManyCutAPiece) {
  House house;
  const auto rib = house.Receive("rib", 5000);
  std::atomic<int> cut{0};
  std::atomic<int> gone{0};
  std::vector<std::thread> threads;
  for (int t = 0; t < 6; ++t) {
    threads.emplace_back([&, t] {
      ledger::Cut halves;
      halves.pieces = {rib.id};
      halves.outputs = {{{}, "", "steak", G(2500), ""}, {{}, "", "steak", G(2500), ""}};
      const auto receipt =
          house.writer().Append({halves, house.now(), "ada", "phone " + std::to_string(t), ""});
      if (receipt) {
        ++cut;
      } else if (receipt.error().code == Code::kPieceGone) {
        ++gone;
      }
    });
  }
  for (std::thread& thread : threads) thread.join();
  EXPECT_EQ(cut, 1);
  EXPECT_EQ(gone, 5);
  ExpectSound(house.database());
}

TEST(Store, RefusesWhenTheDiskIsFullAndWritesNothingInPart) {
  House house;
  StoreOptions options;
  options.max_pages = 60;
  house.Open(options);
  std::int64_t written = 0;
  Error refused;
  for (int i = 0; i < 2000; ++i) {
    ledger::Received received;
    received.piece = {{}, "", "rib", G(5000), "cold room"};
    auto draft = house.DraftOf(received);
    draft.note = std::string(1500, 'n');
    const auto receipt = house.writer().Append(draft);
    if (!receipt) {
      refused = receipt.error();
      break;
    }
    ++written;
  }
  EXPECT_EQ(refused.code, Code::kStoreFull) << refused.message;
  EXPECT_NE(refused.message.find("nothing was written"), std::string::npos);
  EXPECT_GT(written, 5);
  // Reading goes on, and so does writing once there is room.
  EXPECT_EQ(house.reader().Pieces({std::nullopt, std::nullopt, std::nullopt, 0, {}, 500})->size(),
            static_cast<std::size_t>(written));
  ExpectSound(house.database());
  house.Open();
  house.Receive("rib", 5000);
  const auto checked = CheckFile(house.database());
  EXPECT_EQ(checked->events, written + 1);
  EXPECT_TRUE(checked->faults.empty());
}

TEST(Store, TellsAllOfAGroupWhenTheDiskIsFull) {
  House house;
  StoreOptions options;
  options.max_pages = 60;
  house.Open(options);
  std::atomic<std::int64_t> written{0};
  std::atomic<int> other{0};
  std::vector<std::thread> threads;
  for (int t = 0; t < 4; ++t) {
    threads.emplace_back([&, t] {
      for (int i = 0; i < 60; ++i) {
        ledger::Received received;
        received.piece = {{}, "", "rib", G(5000), "cold room"};
        const auto receipt = house.writer().Append({received, house.now(), "ada",
                                                    std::to_string(t) + "-" + std::to_string(i),
                                                    std::string(1500, 'n')});
        if (receipt) {
          ++written;
        } else if (receipt.error().code != Code::kStoreFull) {
          ++other;
        }
      }
    });
  }
  for (std::thread& thread : threads) thread.join();
  EXPECT_EQ(other, 0);
  const auto checked = CheckFile(house.database());
  ASSERT_TRUE(checked);
  EXPECT_EQ(checked->events, written.load());
  EXPECT_TRUE(checked->faults.empty());
}

TEST(Store, ThrowsAwayATaskThatFails) {
  House house;
  const Status refused = house.store().Write([](Connection& connection) -> Status {
    const Status done = connection.Execute("INSERT INTO location (name) VALUES ('half')");
    if (!done) return done;
    return Fail(Code::kBadOption, "no", "", "");
  });
  EXPECT_EQ(refused.error().code, Code::kBadOption);
  EXPECT_THROW((void)house.store().Write([](Connection& connection) -> Status {
    (void)connection.Execute("INSERT INTO location (name) VALUES ('half')");
    throw LogicError("a fault of ours");
  }),
               LogicError);
  const Status read = house.store().Read([](Connection& connection) -> Status {
    auto row = connection.Prepare("SELECT count(*) FROM location WHERE name = 'half'");
    EXPECT_TRUE(*row->Step());
    EXPECT_EQ(row->Int(0), 0);
    EXPECT_FALSE(connection.Execute("INSERT INTO location (name) VALUES ('x')"));
    return {};
  });
  EXPECT_TRUE(read);
  house.Receive("rib", 5000);
  ExpectSound(house.database());
}

TEST(Store, GuardsEventsAgainstChange) {
  House house;
  house.Receive("rib", 5000);
  for (const char* sql : {"UPDATE event SET note = 'x'", "DELETE FROM event"}) {
    EXPECT_FALSE(house.store().Write([&](Connection& c) { return c.Execute(sql); })) << sql;
  }
}

TEST(Check, FindsWhatWasTamperedWith) {
  for (const char* sql :
       {"DROP TRIGGER event_stays; UPDATE event SET note = 'x' WHERE number = 2",
        "DROP TRIGGER event_stays; UPDATE event SET written_ms = written_ms + 1 WHERE number = 3",
        "DROP TRIGGER event_remains; DELETE FROM event WHERE number = 3",
        "UPDATE piece SET mass_mg = mass_mg + 1 WHERE id = 1",
        "UPDATE piece SET cost_minor = 1 WHERE id = 2", "DELETE FROM lineage WHERE child = 2",
        "INSERT INTO lineage VALUES (2, 3)", "DELETE FROM piece_event WHERE event = 3",
        "UPDATE piece SET location = 999", "UPDATE piece SET version = version + 1 WHERE id = 3",
        "DROP TRIGGER event_remains", "DROP INDEX piece_changed", "CREATE TABLE other (a)",
        "CREATE TRIGGER quiet AFTER INSERT ON event BEGIN SELECT 1; END",
        "UPDATE schema_migration SET checksum = 'x' WHERE number = 100",
        "DROP TABLE schema_migration", "DROP TABLE judging_layer"}) {
    House house;
    const auto rib = house.Receive("rib", 5000);
    ledger::Cut halves;
    halves.pieces = {rib.id};
    halves.outputs = {{{}, "", "steak", G(2500), ""}, {{}, "", "steak", G(2500), ""}};
    ASSERT_TRUE(house.Write(halves));
    house.Do(ledger::Moved{{2}, "freezer"});
    ExpectSound(house.database());
    house.Close();
    Tamper(house.database(), sql);
    const auto checked = CheckFile(house.database());
    ASSERT_TRUE(checked) << checked.error().message;
    EXPECT_FALSE(checked->faults.empty()) << sql;
  }
}

TEST(Migrations, AreRefusedWhereTheyDisagree) {
  for (const char* sql : {"UPDATE schema_migration SET checksum = 'x' WHERE number = 1",
                          "INSERT INTO schema_migration VALUES (99, 'later', 'x', 0)"}) {
    House house;
    house.Close();
    Tamper(house.database(), sql);
    const auto opened = Store::Open(house.folder());
    ASSERT_FALSE(opened) << sql;
    EXPECT_EQ(opened.error().code, Code::kStoreMismatch);
    EXPECT_FALSE(opened.error().mend.empty());
  }
}

TEST(Migrations, BackUpBeforeTheyChangeAndKeepWhatWasThere) {
  House house;
  const auto rib = house.Receive("rib", 5000);
  house.Close();
  auto connection = Connection::Open(house.database(), OpenAs::kReadWrite);
  ASSERT_TRUE(connection);
  const auto shipped = ShippedMigrations();
  std::vector<Migration> more(shipped.begin(), shipped.end());
  more.push_back({9050, "fat_colour", "ALTER TABLE piece ADD COLUMN fat_colour TEXT"});
  const auto migrated = Migrate(*connection, house.database(), more, house.now());
  ASSERT_TRUE(migrated) << migrated.error().message;
  ASSERT_FALSE(migrated->backup.empty());
  ExpectSound(migrated->backup);
  EXPECT_TRUE(Migrate(*connection, house.database(), more, house.now())->backup.empty());
  // A step that fails leaves nothing of itself.
  more.push_back({9051, "bad", "CREATE TABLE half (id INTEGER) STRICT; CREATE NONSENSE"});
  EXPECT_FALSE(Migrate(*connection, house.database(), more, house.now()));
  EXPECT_FALSE(connection->Execute("SELECT * FROM half"));
  // A step that was forgotten below one that is there.
  more.pop_back();
  more.insert(more.end() - 1, {9049, "forgotten", "SELECT 1"});
  const auto forgotten = Migrate(*connection, house.database(), more, house.now());
  ASSERT_FALSE(forgotten);
  EXPECT_EQ(forgotten.error().code, Code::kStoreMismatch);
  (void)rib;
}

TEST(Backup, ComesBackWithItsPhotos) {
  House house;
  const auto rib = house.Receive("rib", 5000);
  const std::vector<std::uint8_t> photo = {1, 2, 3};
  const auto hash = house.store().photos().Put(photo);
  ASSERT_TRUE(hash);
  house.Do(ledger::Photographed{rib.id, *hash, "image/jpeg", 3});
  TestFolder other;
  const auto copied = BackUp(house.folder(), other.path() / "copy");
  ASSERT_TRUE(copied) << copied.error().message;
  EXPECT_EQ(copied->photos, 1);
  EXPECT_FALSE(BackUp(house.folder(), other.path() / "copy"));  // never over another
  const auto restored = Restore(other.path() / "copy", other.path() / "house");
  ASSERT_TRUE(restored) << restored.error().message;
  auto again = Store::Open(other.path() / "house");
  ASSERT_TRUE(again) << again.error().message;
  EXPECT_EQ((*again)->reader().Find(rib.id)->code, rib.code);
  EXPECT_EQ(*(*again)->photos().Get(*hash), photo);
  EXPECT_FALSE(Restore(other.path() / "copy", other.path() / "house"));
  EXPECT_EQ(Restore(other.path(), other.path() / "x").error().code, Code::kFileUnreadable);
}

TEST(Backup, RefusesToRestoreADamagedOne) {
  House house;
  house.Receive("rib", 5000);
  TestFolder other;
  ASSERT_TRUE(BackUp(house.folder(), other.path() / "copy"));
  Tamper(other.path() / "copy" / "ribwright.db", "UPDATE piece SET mass_mg = 1");
  const auto restored = Restore(other.path() / "copy", other.path() / "house");
  ASSERT_FALSE(restored);
  EXPECT_EQ(restored.error().code, Code::kStoreDamaged);
  EXPECT_FALSE(std::filesystem::exists(other.path() / "house" / "ribwright.db"));
}

TEST(Backup, NamesPhotosThatAreMissingOrAltered) {
  House house;
  house.Receive("rib", 5000);
  const std::vector<std::uint8_t> photo = {1, 2, 3};
  const auto hash = house.store().photos().Put(photo);
  ASSERT_TRUE(hash);
  const std::string row =
      "INSERT INTO photo (id, hash, name, bytes, media, sent_ms, sent_by) "
      "VALUES (4, x'" +
      ledger::HashText(*hash) + "', 'a.jpg', 3, 'image/jpeg', 0, 'ada')";
  ASSERT_TRUE(house.store().Write([&](Connection& c) { return c.Execute(row.c_str()); }));
  TestFolder other;
  ASSERT_TRUE(BackUp(house.folder(), other.path() / "copy"));
  const PhotoFolder kept(other.path() / "copy" / "photos");
  std::ofstream(kept.PathOf(*hash), std::ios::binary) << "abc";
  const auto altered = Restore(other.path() / "copy", other.path() / "house");
  ASSERT_FALSE(altered);
  EXPECT_EQ(altered.error().code, Code::kStoreDamaged);
  EXPECT_NE(altered.error().where.find("photo 4"), std::string::npos) << altered.error().where;
  EXPECT_FALSE(std::filesystem::exists(other.path() / "house" / "ribwright.db"));
  std::filesystem::remove(kept.PathOf(*hash));
  EXPECT_FALSE(Restore(other.path() / "copy", other.path() / "house"));
  // A house that lost a photo says so when it is backed up.
  std::filesystem::remove(PhotoFolder(house.folder() / "photos").PathOf(*hash));
  const auto missing = BackUp(house.folder(), other.path() / "second");
  ASSERT_FALSE(missing);
  EXPECT_EQ(missing.error().code, Code::kStoreDamaged);
  EXPECT_TRUE(std::filesystem::exists(other.path() / "second" / "ribwright.db"));
}

TEST(PhotoFolder, NoticesChangedBytesAndAdoptsUploads) {
  House house;
  auto& photos = house.store().photos();
  const std::vector<std::uint8_t> bytes = {9, 9, 9};
  const auto hash = photos.Put(bytes);
  ASSERT_TRUE(hash);
  EXPECT_EQ(photos.Get(ledger::HashOf("else")).error().code, Code::kPhotoNotKept);
  const std::string name = ledger::HashText(*hash);
  std::ofstream(house.folder() / "photos" / name.substr(0, 2) / name) << "no";
  EXPECT_EQ(photos.Get(*hash).error().code, Code::kStoreDamaged);
  const auto upload = house.folder() / "upload.part";
  std::ofstream(upload) << "jpeg";
  EXPECT_EQ(photos.Adopt(upload, *hash).error().code, Code::kStoreDamaged);
  ASSERT_TRUE(photos.Adopt(upload, ledger::HashOf("jpeg")));
  EXPECT_FALSE(std::filesystem::exists(upload));
  EXPECT_TRUE(photos.Has(ledger::HashOf("jpeg")));
  EXPECT_TRUE(photos.Remove(ledger::HashOf("jpeg")));
}

TEST(Store, IsRefusedWhereTheFileIsNoDatabase) {
  TestFolder folder;
  std::ofstream(folder.path() / "ribwright.db") << std::string(5000, 'x');
  const auto opened = Store::Open(folder.path());
  ASSERT_FALSE(opened);
  EXPECT_EQ(opened.error().code, Code::kStoreDamaged);
}

TEST(Store, DoesNotBeginAnewWhereAHouseWas) {
  TestFolder folder;
  std::ofstream(folder.path() / "ribwright.db") << "";
  EXPECT_EQ(Store::Open(folder.path()).error().code, Code::kStoreDamaged);
  EXPECT_EQ(CheckFile(folder.path() / "ribwright.db").error().code, Code::kStoreDamaged);
  std::filesystem::remove(folder.path() / "ribwright.db");
  std::filesystem::create_directories(folder.path() / "photos" / "ab");
  EXPECT_TRUE(Store::Open(folder.path() / "new"));
  std::ofstream(folder.path() / "photos" / "ab" / "abcd") << "x";
  EXPECT_EQ(Store::Open(folder.path()).error().code, Code::kStoreDamaged);
  EXPECT_FALSE(std::filesystem::exists(folder.path() / "ribwright.db"));
}

TEST(Store, OpenedToReadMakesAndMigratesNothing) {
  TestFolder empty;
  EXPECT_EQ(OpenToRead(empty.path() / "x").error().code, Code::kStoreUnusable);
  EXPECT_FALSE(std::filesystem::exists(empty.path() / "x"));
  House house;
  const auto rib = house.Receive("rib", 5000);
  house.Close();
  // What is written lies in the one file after closing.
  EXPECT_FALSE(std::filesystem::exists(house.folder() / "ribwright.db-wal"));
  {
    const auto reading = OpenToRead(house.folder());
    ASSERT_TRUE(reading) << reading.error().message;
    EXPECT_EQ((*reading)->reader().Find(rib.id)->code, rib.code);
    EXPECT_FALSE((*reading)->writer().SetPar("rib", "cold room", G(10), "ada"));
  }
  Tamper(house.database(), "DELETE FROM schema_migration WHERE number = 101");
  EXPECT_EQ(OpenToRead(house.folder()).error().code, Code::kStoreMismatch);
}

TEST(Store, TellsNoPathsOrStatements) {
  std::vector<std::string> log;
  LogTroubleTo([&](const std::string& text) { log.push_back(text); });
  House house;
  const Status bad = house.store().Write([](Connection& c) { return c.Execute("SELECT nothing"); });
  LogTroubleTo({});
  ASSERT_FALSE(bad);
  EXPECT_EQ(bad.error().where, "data folder");
  ASSERT_FALSE(log.empty());
  EXPECT_NE(log.front().find("SELECT nothing"), std::string::npos);
}

}  // namespace
}  // namespace ribwright::store
