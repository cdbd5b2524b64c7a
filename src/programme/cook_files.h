// SPDX-License-Identifier: Apache-2.0
// What a cook is asked with: words into a request, logs of temperature and tickets from CSV
// (docs/format/cook.md). Errors of base/csv.h, kCookUnusable, kBadOption. Thread-safe.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "cooking/cook_plan.h"
#include "cooking/lethality.h"
#include "cooking/ticket.h"

namespace ribwright::programme {

struct CookWords {
  std::string method;
  std::string meat;
  std::string doneness;  // a word of the house; empty where target_c is given
  std::optional<double> target_c;
};
// Of target and word exactly one.
Result<cooking::CookRequest> RequestFromWords(cooking::CookRequest base, const CookWords& words);

// Columns seconds, temperature_c; times rise.
Result<std::vector<cooking::TimedTemperature>> ReadTemperatures(const std::filesystem::path& path);

// Columns piece, method, thickness_mm, target_c; each row is planned on `base`'s equipment.
Result<std::vector<cooking::TicketPiece>> ReadTicket(const std::filesystem::path& path,
                                                     const cooking::CookRequest& base);

// "19:30" to minutes since midnight.
Result<int> MinutesOfDay(std::string_view text);

}  // namespace ribwright::programme
