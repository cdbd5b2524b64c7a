// SPDX-License-Identifier: Apache-2.0
#include "photo/card_values.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <utility>

#include "base/csv.h"
#include "base/files.h"
#include "photo/card_layout.h"

namespace ribwright::photo {
namespace {

constexpr std::size_t kMostBytes = 1U << 20U;
constexpr std::array<std::string_view, 4> kColumns{"patch", "L", "a", "b"};

tl::unexpected<Error> Unusable(std::string message, std::string where, std::string mend) {
  return Fail(Code::kCardValuesUnusable, std::move(message), std::move(where), std::move(mend));
}

// Place in the card's order; the number of patches for bare paper.
std::optional<std::size_t> PlaceOf(std::string_view id) {
  const auto patches = CardPatches();
  if (id == kCardPaperId) return patches.size();
  const auto found = std::ranges::find_if(patches, [&](const CardPatch& p) { return p.id == id; });
  if (found == patches.end()) return std::nullopt;
  return static_cast<std::size_t>(found - patches.begin());
}

bool Neutral(std::size_t place) {
  return place == CardPatches().size() || CardPatches()[place].neutral;
}

}  // namespace

Result<CardValues> ParseCardValues(std::string_view text, std::string name) {
  auto table = CsvTable::Parse(text, std::move(name));
  if (!table) {
    Error error = table.error();
    error.code = Code::kCardValuesUnusable;
    return Fail(std::move(error));
  }
  std::array<std::size_t, 4> column{};
  for (std::size_t i = 0; i < kColumns.size(); ++i) {
    const auto found = table->Column(kColumns[i]);
    if (!found || table->header().size() != kColumns.size()) {
      return Unusable("The columns are not patch, L, a, b.", table->name() + ", line 1",
                      "Let the first line be patch,L,a,b and give every line these four fields.");
    }
    column[i] = *found;
  }
  std::vector<std::optional<LabColour>> at(CardPatches().size() + 1);
  for (std::size_t row = 0; row < table->rows(); ++row) {
    const std::string& id = table->Cell(row, column[0]);
    const auto place = PlaceOf(id);
    if (!place) {
      return Unusable("There is no patch \"" + id + "\".", table->Where(row, column[0]),
                      "Use the ids printed on the card: A1 to F3, and P for bare paper.");
    }
    if (at[*place]) {
      return Unusable("Patch " + id + " is given twice.", table->Where(row, column[0]),
                      "Keep one line a patch.");
    }
    std::array<double, 3> lab{};
    for (std::size_t c = 0; c < 3; ++c) {
      const auto number = table->Number(row, column[c + 1]);
      const double low = c == 0 ? 0.0 : -128.0;
      const double high = c == 0 ? 100.0 : 128.0;
      if (!number || *number < low || *number > high) {
        return Unusable("\"" + table->Cell(row, column[c + 1]) + "\" cannot be " +
                            std::string(kColumns[c + 1]) + "* of a patch.",
                        table->Where(row, column[c + 1]),
                        c == 0 ? "Enter L* as a number from 0 to 100, with a decimal point."
                               : "Enter a number from -128 to 128, with a decimal point.");
      }
      lab[c] = *number;
    }
    at[*place] = LabColour{lab[0], lab[1], lab[2]};
  }
  CardValues values;
  int neutral = 0;
  for (std::size_t place = 0; place < at.size(); ++place) {
    if (!at[place]) continue;
    neutral += Neutral(place) ? 1 : 0;
    const std::string_view id =
        place == CardPatches().size() ? kCardPaperId : CardPatches()[place].id;
    values.values.push_back({std::string(id), *at[place]});
  }
  if (static_cast<int>(values.values.size()) < kLeastCardValues || neutral < kLeastNeutralValues) {
    return Unusable("There are " + std::to_string(values.values.size()) + " patches, " +
                        std::to_string(neutral) + " of them grey or paper; too few to fit colour.",
                    table->name(),
                    "Enter at least " + std::to_string(kLeastCardValues) + " patches and " +
                        std::to_string(kLeastNeutralValues) + " of A2 to F2 and P.");
  }
  return values;
}

Result<CardValues> ReadCardValues(const std::filesystem::path& path) {
  const auto bytes = ReadFileLimited(path, kMostBytes);
  if (!bytes) {
    Error error = bytes.error();
    error.code = Code::kCardValuesUnusable;
    return Fail(std::move(error));
  }
  return ParseCardValues(
      std::string_view(reinterpret_cast<const char*>(bytes->data()), bytes->size()), path.string());
}

}  // namespace ribwright::photo
