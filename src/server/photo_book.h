// SPDX-License-Identifier: Apache-2.0
// PhotoBook: the photos that were sent and what judging them said, in the house's database; files
// (photos, pictures, layers) in its photo store.
//
// A photo is its bytes: sent twice, it is one row, the first. A judging ("face" in the API) is
// never changed but for the piece it is kept with. Errors: kNotFound and those of the store.
// Thread-safe.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "base/result.h"
#include "ledger/hash.h"
#include "server/json.h"
#include "store/store.h"

namespace ribwright::server {

struct PhotoRow {
  std::int64_t id = 0;
  ledger::Hash hash;
  std::string name;
  std::int64_t bytes = 0;
  std::string media;
  units::UtcTime sent;
  std::string sent_by;
  std::optional<units::UtcTime> taken;
  std::optional<ledger::Hash> picture;
  std::optional<std::int64_t> piece;  // of the last judging that was kept with one
};

struct JudgingRow {
  std::int64_t id = 0;
  ledger::Hash photo;
  std::string photo_name;
  units::UtcTime judged;
  std::string judged_by;
  std::optional<std::int64_t> edited_from;
  std::string options;  // JSON of the API's JudgeOptions
  std::string method;
  std::string revision;
  std::string line;    // JSON, for lists
  std::string report;  // JSON; empty in lists
  std::optional<std::int64_t> piece;
};

struct JudgingFilter {
  std::optional<std::int64_t> piece;
  std::optional<ledger::Hash> photo;
  std::int64_t before = 0;  // ids below; 0: from the newest
  int limit = 50;
};

class PhotoBook {
 public:
  explicit PhotoBook(store::Store& store) : store_(store) {}

  // The row, and whether these bytes were new.
  Result<std::pair<PhotoRow, bool>> AddPhoto(const PhotoRow& photo);
  Result<PhotoRow> Photo(const ledger::Hash& hash);
  Result<std::vector<PhotoRow>> Photos(std::int64_t before, int limit);
  Status SetPicture(const ledger::Hash& photo, const ledger::Hash& picture);

  Result<std::int64_t> AddJudging(const JudgingRow& judging,
                                  const std::map<std::string, ledger::Hash>& layers);
  Result<JudgingRow> Judging(std::int64_t id);
  Result<std::vector<JudgingRow>> Judgings(const JudgingFilter& filter);
  Result<std::map<std::string, ledger::Hash>> Layers(std::int64_t judging);
  Status SetPiece(std::int64_t judging, std::int64_t piece);

  // What was done before under this key: its result; nothing: go on. kKeyReused.
  Result<std::optional<std::string>> DoneBefore(std::int64_t account, const std::string& key,
                                                const std::string& operation,
                                                const ledger::Hash& request);
  Status NoteDone(std::int64_t account, const std::string& key, const std::string& operation,
                  const ledger::Hash& request, const std::string& result, units::UtcTime now);

 private:
  store::Store& store_;
};

}  // namespace ribwright::server
