// SPDX-License-Identifier: Apache-2.0
// The handlers of every operation of schema/openapi.json. They read the call, ask whoever knows
// (accounts, photo book, judge desk, ledger), and give its answer; no rule lives here.
#pragma once

#include <filesystem>
#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "server/accounts.h"
#include "server/api.h"
#include "server/judge_desk.h"
#include "server/photo_book.h"
#include "server/settings.h"
#include "server/stream_gate.h"
#include "store/store.h"

namespace ribwright::server {

struct House {
  store::Store& store;
  Accounts& accounts;
  PhotoBook& book;
  JudgeDesk& desk;
  SettingsBook& settings;
  store::Clock clock;
  std::filesystem::path incoming;
  std::function<bool()> stopping;
  std::vector<std::string> sandbox;  // what confines the judge's process
  // With the session's cookie of this API; set once the API is made.
  std::function<std::string(const std::string& token, std::chrono::seconds lasts)> cookie;
  std::shared_ptr<StreamGate> streams = std::make_shared<StreamGate>();
};

Handlers AccountHandlers(House& house);
Handlers PhotoHandlers(House& house);
Handlers FaceHandlers(House& house);
Handlers LedgerHandlers(House& house);
Handlers ServerHandlers(House& house);
Handlers AllHandlers(House& house);

// Lists: `items`, and `next` where the page is full.
Answer ListAnswer(Json items, bool full, const std::string& next);
// A path's number; kNotFound.
Result<std::int64_t> NumberOf(const Call& call, std::string_view name);
// `after` of a list; 0 where it is left out. kRequestInvalid.
Result<std::int64_t> AfterOf(const Call& call);

}  // namespace ribwright::server
