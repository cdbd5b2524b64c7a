// SPDX-License-Identifier: Apache-2.0
#include <fstream>
#include <vector>

#include "store/check.h"
#include "store/photo_folder.h"
#include "store/test_house.h"

namespace ribwright::store {
namespace {

// A photo with its picture and a layer, as the server keeps them; the three hashes.
std::vector<ledger::Hash> KeepPhoto(House& house) {
  std::vector<ledger::Hash> hashes;
  for (const char* text : {"photo", "picture", "layer"}) {
    const std::string_view bytes = text;
    const auto hash = house.store().photos().Put(
        {reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size()});
    EXPECT_TRUE(hash);
    hashes.push_back(*hash);
  }
  const Status written = house.store().Write([&](Connection& db) -> Status {
    auto photo = db.Prepare(
        "INSERT INTO photo (id, hash, name, bytes, media, sent_ms, sent_by, picture) "
        "VALUES (1, ?, 'a.jpg', 5, 'image/jpeg', 0, 'ada', ?)");
    if (!photo) return Fail(photo.error());
    photo->Bind(1, std::span<const std::uint8_t>(hashes[0].bytes));
    if (const Status put = photo->Bind(2, std::span<const std::uint8_t>(hashes[1].bytes)).Run();
        !put) {
      return put;
    }
    const Status judging = db.Execute(
        "INSERT INTO judging (id, photo, judged_ms, judged_by, options, method, revision, line, "
        "report) VALUES (7, 1, 0, 'ada', '{}', 'learned', '1', '{}', '{}')");
    if (!judging) return judging;
    auto layer = db.Prepare("INSERT INTO judging_layer VALUES (7, 'fat', ?)");
    if (!layer) return Fail(layer.error());
    return layer->Bind(1, std::span<const std::uint8_t>(hashes[2].bytes)).Run();
  });
  EXPECT_TRUE(written) << written.error().message;
  return hashes;
}

Checked CheckedOf(const House& house) {
  Checked checked;
  const Status done = CheckPhotos(house.database(), house.folder() / "photos", checked);
  EXPECT_TRUE(done);
  return checked;
}

TEST(CheckPhotos, FindsEveryFileWithItsBytes) {
  House house;
  EXPECT_EQ(CheckedOf(house).files, 0);
  KeepPhoto(house);
  const Checked checked = CheckedOf(house);
  EXPECT_EQ(checked.files, 3);
  EXPECT_TRUE(checked.faults.empty());
}

TEST(CheckPhotos, NamesAFileThatIsGoneAndOneThatWasChanged) {
  House house;
  const auto hashes = KeepPhoto(house);
  const PhotoFolder folder(house.folder() / "photos");
  std::filesystem::remove(folder.PathOf(hashes[2]));
  std::ofstream(folder.PathOf(hashes[0]), std::ios::binary) << "another";
  const Checked checked = CheckedOf(house);
  ASSERT_EQ(checked.faults.size(), 2U);
  EXPECT_EQ(checked.faults[0].where.substr(0, 7), "photo 1");
  EXPECT_EQ(checked.faults[1].where.substr(0, 19), "layer fat of face 7");
  EXPECT_NE(checked.faults[1].message.find("not in the photo folder"), std::string::npos);
  for (const Error& fault : checked.faults) EXPECT_EQ(fault.code, Code::kStoreDamaged);
}

}  // namespace
}  // namespace ribwright::store
