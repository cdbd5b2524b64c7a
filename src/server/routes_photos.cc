// SPDX-License-Identifier: Apache-2.0
// Photos: sent, listed, shown.
#include <algorithm>

#include "ledger/apply.h"
#include "ledger/text_check.h"
#include "server/routes.h"
#include "server/upload.h"
#include "server/view_json.h"

namespace ribwright::server {
namespace {

Result<ledger::Hash> PhotoOf(const Call& call) {
  const auto hash = ledger::HashFromText(call.path.find("photo")->second);
  if (hash) return *hash;
  return Fail(Code::kNotFound, "There is no such photo.", "photo", "Go back to the list.");
}

Result<Answer> GetPhotos(House& house, const Call& call) {
  const auto after = AfterOf(call);
  if (!after) return Fail(after.error());
  const auto photos = house.book.Photos(*after, call.Limit());
  if (!photos) return Fail(photos.error());
  Json items = Json::array();
  for (const PhotoRow& photo : *photos) items.push_back(PhotoJson(photo));
  const bool full = static_cast<int>(photos->size()) == call.Limit();
  return ListAnswer(std::move(items), full, full ? std::to_string(photos->back().id) : "");
}

// The name as a device gave it, without blanks at its ends.
Result<std::string> NameOf(const Call& call) {
  constexpr std::size_t kMostBytes = 800;  // 200 characters
  std::string name = call.Query("name");
  name.erase(0, std::min(name.find_first_not_of(' '), name.size()));
  name.erase(name.find_last_not_of(' ') + 1);
  if (ledger::TextIsFine(name, kMostBytes, ledger::TextShape::kLine)) return name;
  return Fail(Code::kRequestInvalid, "The photo's name has control characters or is not UTF-8.",
              "name", "Rename the photo, or leave the name out.");
}

// Within the bounds of the ledger's own times; nothing: not said.
Result<std::optional<units::UtcTime>> TakenOf(const Call& call, units::UtcTime now) {
  constexpr units::UtcTime kYear2000{946'684'800'000};
  const std::string text = call.Query("taken_at");
  if (text.empty()) return std::optional<units::UtcTime>();
  const auto time = units::TimeFromText(text);
  if (!time) return Fail(time.error());
  if (*time > now + ledger::kClockTolerance || *time < kYear2000) {
    return Fail(Code::kClockSkew,
                "The photo would have been taken at " + text + "; the server's clock says " +
                    units::TimeText(now) + ".",
                "taken_at", "Set the clock of the device, or leave the time out.");
  }
  return std::optional<units::UtcTime>(*time);
}

Result<Answer> PostPhoto(House& house, const Call& call) {
  const auto name = NameOf(call);
  if (!name) return Fail(name.error());
  const auto taken = TakenOf(call, house.clock());
  if (!taken) return Fail(taken.error());
  auto upload = Receive(call, house.incoming);
  if (!upload) return Fail(upload.error());
  const auto before =
      house.book.DoneBefore(call.user().id, call.once, call.operation, upload->hash);
  if (!before) return Fail(before.error());
  if (!house.store.photos().Has(upload->hash)) {
    if (const Status kept = house.store.photos().Adopt(upload->file, upload->hash); !kept) {
      return Fail(kept.error());
    }
  }
  PhotoRow row;
  row.hash = upload->hash;
  row.name = *name;
  row.bytes = upload->bytes;
  row.media = upload->media;
  row.sent = house.clock();
  row.sent_by = call.user().name;
  row.taken = *taken;
  const auto added = house.book.AddPhoto(row);
  if (!added) return Fail(added.error());
  if (!*before) {
    const Status noted =
        house.book.NoteDone(call.user().id, call.once, call.operation, upload->hash,
                            ledger::HashText(upload->hash), house.clock());
    if (!noted) return Fail(noted.error());
  }
  // The same try again gives the first answer.
  const bool is_new = added->second || before->has_value();
  return Answer::Of(PhotoJson(added->first), is_new ? 201 : 200);
}

Result<Answer> GetPhoto(House& house, const Call& call) {
  const auto hash = PhotoOf(call);
  if (!hash) return Fail(hash.error());
  const auto photo = house.book.Photo(*hash);
  if (!photo) return Fail(photo.error());
  return Answer::Of(PhotoJson(*photo)).Tagged();
}

Result<Answer> FileAnswer(House& house, const ledger::Hash& hash, const std::string& type) {
  const auto bytes = house.store.photos().Get(hash);
  if (!bytes) return Fail(bytes.error());
  return Answer::Bytes(std::string(bytes->begin(), bytes->end()), type,
                       ledger::HashText(hash).substr(0, 32));
}

Result<Answer> GetOriginal(House& house, const Call& call) {
  const auto hash = PhotoOf(call);
  if (!hash) return Fail(hash.error());
  const auto photo = house.book.Photo(*hash);
  if (!photo) return Fail(photo.error());
  return FileAnswer(house, photo->hash, photo->media);
}

Result<Answer> GetPicture(House& house, const Call& call) {
  const auto hash = PhotoOf(call);
  if (!hash) return Fail(hash.error());
  const auto picture = house.desk.Picture(*hash);
  if (!picture) return Fail(picture.error());
  return FileAnswer(house, *picture, "image/jpeg");
}

}  // namespace

Handlers PhotoHandlers(House& house) {
  const auto bind = [&house](Result<Answer> (*handle)(House&, const Call&)) {
    return [&house, handle](const Call& call) { return handle(house, call); };
  };
  return {{"getPhotos", bind(GetPhotos)},
          {"postPhoto", bind(PostPhoto)},
          {"getPhoto", bind(GetPhoto)},
          {"getPhotoOriginal", bind(GetOriginal)},
          {"getPhotoPicture", bind(GetPicture)}};
}

}  // namespace ribwright::server
