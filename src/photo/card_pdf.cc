// SPDX-License-Identifier: Apache-2.0
#include "photo/card_pdf.h"

#include <algorithm>
#include <array>
#include <string>

#include "photo/card_layout.h"
#include "photo/card_page.h"

namespace ribwright::photo {
namespace {

struct Step {
  std::string_view heading;
  std::string_view text;
};

// Option names stand here with hyphens that do not break (U+2011).
constexpr std::array<Step, 6> kSteps{{
    {"Print",
     "At 100 % (switch “fit to page” off), on matt white paper. Let the ink dry, cut along the "
     "corner "
     "marks and put the card flat into a clear, wipeable sleeve."},
    {"Measure",
     "Measure the mm ruler from 0 to 150 on this print with a good steel rule. A printer may "
     "shrink or "
     "stretch it: enter what you read (‑‑card‑ruler‑mm). Without it, lengths carry the doubt of an "
     "unmeasured print."},
    {"Clean",
     "The card never touches meat. Wipe and sanitise the sleeve before and after each use; the "
     "phone "
     "too. Print a new card when this one is soiled, creased or faded."},
    {"Lay",
     "Flat on the same board as the meat, beside it, in the same light. The cut face lies higher "
     "than "
     "the card: measure the piece's thickness and enter it (‑‑thickness‑mm)."},
    {"Photograph",
     "From straight above where you can, at most 45° off. Card and face whole in the photo; no "
     "flash; no lamp mirrored in the sleeve; no shadow of hand or phone."},
    {"Colour",
     "What a home printer lays down is not known, so its greys and bare paper give neutral balance "
     "only. "
     "For calibrated colour, have the patches of this print measured (L*, a*, b*; D50, 2° "
     "observer; in "
     "the sleeve if you photograph it so) and enter them as a file of lines patch,L,a,b "
     "(‑‑card‑values)."},
}};

void DrawCard(CardPage& page, CardOrigin at) {
  for (const CardRect& r : CardRects()) {
    if (&r == &CardRects().front()) continue;  // bare paper needs no paint
    double red = 1.0;
    double green = 1.0;
    double blue = 1.0;
    if (r.kind == CardKind::kInk) red = green = blue = 0.0;
    if (r.kind == CardKind::kPatch) {
      red = r.colour.r / 255.0;
      green = r.colour.g / 255.0;
      blue = r.colour.b / 255.0;
    }
    page.Fill(at.x_mm + r.x_mm, at.y_mm + r.y_mm, r.width_mm, r.height_mm, red, green, blue);
  }
}

void LabelCard(CardPage& page, CardOrigin at) {
  const double ruler = at.x_mm + kCardRulerStartMm;
  for (int mm = 0; mm <= static_cast<int>(kCardRulerMm); mm += 10) {
    page.Text(ruler + mm, at.y_mm + 4.8, std::to_string(mm),
              {.size_mm = 2.6, .align = Align::kCentre});
  }
  page.Text(at.x_mm + 169.0, at.y_mm + 4.8, "mm", {.size_mm = 2.6});
  for (int inch = 0; inch <= kCardInches; ++inch) {
    page.Text(ruler + inch * kMmPerInch, at.y_mm + 56.0, std::to_string(inch),
              {.size_mm = 2.6, .align = Align::kCentre});
  }
  page.Text(at.x_mm + 170.5, at.y_mm + 56.0, "inch", {.size_mm = 2.6});
  for (const CardPatch& p : CardPatches()) {
    page.Text(at.x_mm + p.x_mm + p.width_mm / 2, at.y_mm + p.y_mm + p.height_mm + 0.2,
              std::string(p.id), {.size_mm = 2.0, .align = Align::kCentre, .grey = 0.25});
  }
  page.Text(at.x_mm + 53.0, at.y_mm + 53.2, "Beside the meat, never touching it",
            {.size_mm = 2.2, .align = Align::kCentre});
  page.Text(at.x_mm + 127.0, at.y_mm + 53.2, "Sanitise between uses, the phone too",
            {.size_mm = 2.2, .align = Align::kCentre});
}

// Short lines outside the four corners, where to cut.
void CornerMarks(CardPage& page, CardOrigin at) {
  constexpr double kGap = 1.0;
  constexpr double kLength = 5.0;
  for (const double side_x : {-1.0, 1.0}) {
    for (const double side_y : {-1.0, 1.0}) {
      const double x = at.x_mm + (side_x < 0 ? 0.0 : kCardWidthMm);
      const double y = at.y_mm + (side_y < 0 ? 0.0 : kCardHeightMm);
      page.Line(x + side_x * kGap, y, x + side_x * kLength, y, 0.15, 0.0);
      page.Line(x, y + side_y * kGap, x, y + side_y * kLength, 0.15, 0.0);
    }
  }
}

double DrawSteps(CardPage& page, double x, double y) {
  constexpr double kColumn = 87.0;
  constexpr double kPitch = 93.0;
  double bottom = y;
  double column_y = y;
  for (std::size_t i = 0; i < kSteps.size(); ++i) {
    const double left = x + (i < 3 ? 0.0 : kPitch);
    if (i == 3) column_y = y;
    page.Text(left, column_y, std::to_string(i + 1), {.size_mm = 5.4, .bold = true, .grey = 0.55});
    column_y += page.Text(left + 7.0, column_y, std::string(kSteps[i].heading),
                          {.size_mm = 3.7, .bold = true}) +
                0.6;
    column_y += page.Text(left + 7.0, column_y, std::string(kSteps[i].text),
                          {.size_mm = 3.05, .width_mm = kColumn - 7.0}) +
                3.6;
    bottom = std::max(bottom, column_y);
  }
  return bottom;
}

// Patch, its name and room for three numbers, in two columns.
void DrawValues(CardPage& page, double x, double y) {
  constexpr double kPitch = 93.0;
  constexpr double kRow = 6.2;
  page.Text(x, y, "Measured values of this print", {.size_mm = 3.7, .bold = true});
  page.Text(x + 180.0, y + 0.4, "Ruler 0 to 150 measures ________ mm    Date ____________",
            {.size_mm = 3.05, .align = Align::kRight});
  y += 7.0;
  const std::size_t half = (CardPatches().size() + 2) / 2;
  for (std::size_t i = 0; i <= CardPatches().size(); ++i) {
    const bool paper = i == CardPatches().size();
    const double left = x + (i < half ? 0.0 : kPitch);
    const double top = y + kRow * static_cast<double>(i < half ? i : i - half) + 4.4;
    if (i == 0 || i == half) {
      for (const auto& [dx, letter] : {std::pair{50.0, "L*"}, {65.0, "a*"}, {80.0, "b*"}}) {
        page.Text(left + dx, top - 4.4, letter,
                  {.size_mm = 2.6, .align = Align::kCentre, .grey = 0.35});
      }
    }
    if (paper) {
      for (const double edge : {0.0, 4.2}) {
        page.Line(left, top + edge, left + 4.2, top + edge, 0.15, 0.4);
        page.Line(left + edge, top, left + edge, top + 4.2, 0.15, 0.4);
      }
    } else {
      const Srgb8 c = CardPatches()[i].colour;
      page.Fill(left, top, 4.2, 4.2, c.r / 255.0, c.g / 255.0, c.b / 255.0);
    }
    const std::string id(paper ? kCardPaperId : CardPatches()[i].id);
    const std::string name(paper ? "bare paper" : CardPatches()[i].name);
    page.Text(left + 6.2, top + 0.2, id, {.size_mm = 3.05, .bold = true});
    page.Text(left + 14.0, top + 0.2, name, {.size_mm = 3.05});
    for (const double dx : {44.0, 59.0, 74.0}) {
      page.Line(left + dx, top + 4.2, left + dx + 12.0, top + 4.2, 0.12, 0.55);
    }
  }
}

}  // namespace

std::string_view PaperText(Paper paper) { return paper == Paper::kA4 ? "a4" : "letter"; }

std::optional<Paper> PaperFromText(std::string_view text) {
  for (const Paper paper : {Paper::kA4, Paper::kLetter}) {
    if (text == PaperText(paper)) return paper;
  }
  return std::nullopt;
}

PaperSize SizeOf(Paper paper) {
  return paper == Paper::kA4 ? PaperSize{210.0, 297.0} : PaperSize{215.9, 279.4};
}

CardOrigin OriginOn(Paper paper) { return {(SizeOf(paper).width_mm - kCardWidthMm) / 2.0, 28.0}; }

Result<std::vector<std::uint8_t>> CardPdf(Paper paper) {
  const PaperSize size = SizeOf(paper);
  const CardOrigin at = OriginOn(paper);
  CardPage page(size.width_mm, size.height_mm, "Ribwright scale-and-colour card");
  page.Text(at.x_mm, 10.0, "Scale-and-colour card", {.size_mm = 5.6, .bold = true});
  page.Text(at.x_mm + kCardWidthMm, 12.2, "Ribwright",
            {.size_mm = 3.4, .align = Align::kRight, .grey = 0.35});
  DrawCard(page, at);
  LabelCard(page, at);
  CornerMarks(page, at);
  const double below = DrawSteps(page, at.x_mm, at.y_mm + kCardHeightMm + 10.0);
  DrawValues(page, at.x_mm, below + 1.5);
  return page.Finish();
}

}  // namespace ribwright::photo
