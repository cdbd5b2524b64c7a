// SPDX-License-Identifier: Apache-2.0
// Settings of the house: one JSON object of the API's schema Settings, with a version that rises.
//
// Replace() wants the version that the change was based on (kChangedMeanwhile), and refuses a house
// spec that cannot be read (kHouseSpecUnusable). Until the first change the defaults of
// DefaultSettings() hold, version 0. Thread-safe.
#pragma once

#include <optional>
#include <string>

#include "base/result.h"
#include "server/json.h"
#include "store/store.h"

namespace ribwright::server {

struct Settings {
  Json values;
  std::int64_t version = 0;
  std::string Etag() const { return "settings-" + std::to_string(version); }
};

Json DefaultSettings();

class SettingsBook {
 public:
  SettingsBook(store::Store& store, store::Clock clock) : store_(store), clock_(std::move(clock)) {}
  Result<Settings> Read();
  Result<Settings> Replace(const Json& values, const std::string& based_on_etag,
                           const std::string& user);

 private:
  store::Store& store_;
  store::Clock clock_;
};

}  // namespace ribwright::server
