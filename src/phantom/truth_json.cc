// SPDX-License-Identifier: Apache-2.0
#include "phantom/truth_json.h"

#include <fmt/format.h>

#include "base/check.h"
#include "report/json.h"

namespace ribwright::phantom {

std::string TruthJson(const Phantom& phantom) {
  std::string json = report::ToJson(phantom.truth, true);
  const std::size_t end = json.find_last_of('}');
  RIBWRIGHT_CHECK(end != std::string::npos);
  json.erase(json.find_last_not_of(" \n", end - 1) + 1);
  json += fmt::format(",\n  \"phantom\": {{\"seed\":{},\"cut\":\"{}\",\"thickness_mm\":{:.2f}",
                      phantom.recipe.seed, CutText(phantom.recipe.cut), phantom.thickness_mm);
  if (phantom.recipe.altered != Altered::kNone) {
    json += fmt::format(",\"altered\":\"{}\"", AlteredText(phantom.recipe.altered));
  }
  if (phantom.has_card) {
    json += fmt::format(",\"card_ruler_mm\":{:.2f},\"card_values\":[", phantom.card_ruler_mm);
    const char* comma = "";
    for (const PrintedPatch& patch : phantom.card_patches) {
      json += fmt::format("{}{{\"patch\":\"{}\",\"L\":{:.2f},\"a\":{:.2f},\"b\":{:.2f}}}", comma,
                          patch.id, patch.lab.L, patch.lab.a, patch.lab.b);
      comma = ",";
    }
    json += "]";
  }
  json += "}\n}\n";
  return json;
}

}  // namespace ribwright::phantom
