// SPDX-License-Identifier: Apache-2.0
#include "server/settings.h"

#include "grade/house_spec.h"

namespace ribwright::server {
namespace {

Result<Settings> ReadFrom(store::Connection& db) {
  auto query = db.Prepare("SELECT json, version FROM house_setting WHERE id = 1");
  if (!query) return Fail(query.error());
  const auto there = query->Step();
  if (!there) return Fail(there.error());
  Settings settings{DefaultSettings(), 0};
  if (!*there) return settings;
  const std::optional<Json> kept = ParseJson(query->Text(0));
  if (!kept || !kept->is_object()) {
    return Fail(Code::kStoreDamaged, "The settings cannot be read.", "house_setting",
                "Restore a backup.");
  }
  // Keys that came with a later version of the program keep their defaults.
  for (const auto& [key, value] : kept->items()) settings.values[key] = value;
  settings.version = query->Int(1);
  return settings;
}

}  // namespace

Json DefaultSettings() {
  Json values;
  values["units"] = "metric";
  values["currency"] = "EUR";
  values["language"] = "en";
  values["house_spec"] = "";
  values["card_ruler_mm"] = nullptr;
  values["shop"] = "";
  return values;
}

Result<Settings> SettingsBook::Read() {
  Result<Settings> settings = Fail(Error{});
  const Status read = store_.Read([&](store::Connection& db) -> Status {
    settings = ReadFrom(db);
    if (!settings) return Fail(settings.error());
    return {};
  });
  if (!read) return Fail(read.error());
  return settings;
}

Result<Settings> SettingsBook::Replace(const Json& values, const std::string& based_on_etag,
                                       const std::string& user) {
  const auto& spec = values.at("house_spec").get_ref<const std::string&>();
  if (!spec.empty()) {
    const auto read = grade::ParseHouseSpec(spec, "house_spec");
    if (!read) return Fail(read.error());
  }
  Settings after{values, 0};
  const Status written = store_.Write([&](store::Connection& db) -> Status {
    const auto before = ReadFrom(db);
    if (!before) return Fail(before.error());
    const std::string etag = std::string("\"").append(before->Etag()).append("\"");
    if (based_on_etag != etag && based_on_etag != "*") {
      return Fail(Code::kChangedMeanwhile, "Somebody else changed the settings in the meantime.",
                  "If-Match", "Look at them anew, then change them.");
    }
    after.version = before->version + 1;
    const std::string json = JsonText(values);
    auto put = db.Prepare(
        "INSERT INTO house_setting (id, version, json, changed_ms, changed_by) "
        "VALUES (1, ?, ?, ?, ?) ON CONFLICT (id) DO UPDATE SET version = excluded.version, "
        "json = excluded.json, changed_ms = excluded.changed_ms, changed_by = excluded.changed_by");
    if (!put) return Fail(put.error());
    put->Bind(1, after.version).Bind(2, std::string_view(json)).Bind(3, clock_().ms);
    put->Bind(4, std::string_view(user));
    return put->Run();
  });
  if (!written) return Fail(written.error());
  return after;
}

}  // namespace ribwright::server
