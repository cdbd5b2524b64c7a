// SPDX-License-Identifier: Apache-2.0
// Photos: sent, listed, shown.
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

Result<Answer> PostPhoto(House& house, const Call& call) {
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
  row.name = call.Query("name");
  row.bytes = upload->bytes;
  row.media = upload->media;
  row.sent = house.clock();
  row.sent_by = call.user().name;
  if (const std::string taken = call.Query("taken_at"); !taken.empty()) {
    const auto time = units::TimeFromText(taken);
    if (!time) return Fail(time.error());
    row.taken = *time;
  }
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
