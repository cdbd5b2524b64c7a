// SPDX-License-Identifier: Apache-2.0
// The card as a page to print at full size: the card of card_layout.h with its numerals and patch
// names, how to use and clean it, and a table for measured patch values.
//
// Vector PDF by cairo and pango with a fixed creation date: the same paper gives the same bytes for
// one set of libraries and fonts. Paper is left bare where the layout says paper; ink black is full
// black, patches their nominal sRGB. Errors: kInternal when cairo fails (no memory). Thread-safe.
#pragma once

#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

#include "base/result.h"

namespace ribwright::photo {

enum class Paper { kA4, kLetter };
std::string_view PaperText(Paper paper);  // "a4", "letter"
std::optional<Paper> PaperFromText(std::string_view text);

struct PaperSize {  // ISO 216; ANSI/ASME Y14.1
  double width_mm = 0.0;
  double height_mm = 0.0;
};
PaperSize SizeOf(Paper paper);

// Where the card's upper left corner lies on the page.
struct CardOrigin {
  double x_mm = 0.0;
  double y_mm = 0.0;
};
CardOrigin OriginOn(Paper paper);

Result<std::vector<std::uint8_t>> CardPdf(Paper paper);

}  // namespace ribwright::photo
