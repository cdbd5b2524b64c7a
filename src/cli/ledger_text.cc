// SPDX-License-Identifier: Apache-2.0
#include "cli/ledger_text.h"

#include <fmt/format.h>

#include "units/format.h"

namespace ribwright::cli {
namespace {

std::string Sums(const std::vector<units::Money>& sums) {
  std::string text;
  for (const units::Money& money : sums) {
    text += (text.empty() ? "" : " + ") + units::MoneyText(money);
  }
  return text.empty() ? "-" : text;
}

}  // namespace

std::string MassText(units::Mass mass, units::System system) {
  if (system == units::System::kMetric) return units::GramsText(mass);
  return units::Fixed(mass.grams() / units::kGramsPerPound, 2) + " lb";
}

std::string PieceText(const ledger::Piece& piece, units::System system) {
  return fmt::format("{:<8} {:<24} {:>10} {:<10} {:<22} {}\n", piece.code, piece.cut,
                     MassText(piece.mass, system), ledger::StateText(piece.state),
                     piece.location.empty() ? "-" : piece.location,
                     piece.cost ? units::MoneyText(*piece.cost) : "cost not known");
}

std::string EventText(const ledger::EventView& view) {
  std::string text = fmt::format(
      "{:>8}  {:<20}  {:<12} {:<12} {}{}\n", view.event.number,
      units::TimeText(view.event.draft.happened),
      ledger::KindText(ledger::KindOf(view.event.draft.payload)), view.event.draft.user, view.data,
      view.event.draft.note.empty() ? "" : "  \"" + view.event.draft.note + "\"");
  if (view.voided_by != 0) text += fmt::format("{:>10}voided by event {}\n", "", view.voided_by);
  if (view.corrected_by != 0) {
    text += fmt::format("{:>10}corrected by event {}\n", "", view.corrected_by);
  }
  return text;
}

std::string PageText(const ledger::PiecePage& page, units::System system) {
  std::string text = PieceText(page.piece, system);
  if (!page.piece.supplier.empty() || !page.piece.lot.empty()) {
    text += fmt::format("supplier {}, lot {}\n", page.piece.supplier, page.piece.lot);
  }
  text += fmt::format("received {}, weight {} at {}\n", units::TimeText(page.piece.received),
                      ledger::BasisText(page.piece.basis), units::TimeText(page.piece.mass_at));
  for (const ledger::Piece& from : page.made_from) text += "from  " + PieceText(from, system);
  for (const ledger::Piece& into : page.made_into) text += "into  " + PieceText(into, system);
  for (const ledger::FaceLine& face : page.faces) {
    text +=
        fmt::format("face  event {}, marbling {}\n", face.event,
                    face.marbling_pct ? units::Sentence(*face.marbling_pct, system) : "not known");
  }
  for (const ledger::EventView& view : page.events) text += EventText(view);
  return text;
}

std::string TraceText(const ledger::Trace& trace, units::System system) {
  std::string text = PieceText(trace.piece, system);
  for (const auto& step : trace.up) {
    text += fmt::format("up {:>2}    {}", step.steps, PieceText(step.piece, system));
  }
  for (const auto& step : trace.down) {
    text += fmt::format("down {:>2}  {}", step.steps, PieceText(step.piece, system));
  }
  for (const ledger::Piece& piece : trace.siblings) {
    text += fmt::format("beside   {}", PieceText(piece, system));
  }
  return text;
}

std::string StockText(const std::vector<ledger::StockLine>& stock, units::System system) {
  std::string text = fmt::format("{:<24} {:<24} {:>6} {:>12} {:>7} {:>12} {:>12}  {}\n", "location",
                                 "cut", "pieces", "mass", "oldest", "par", "short", "cost");
  for (const ledger::StockLine& line : stock) {
    text += fmt::format("{:<24} {:<24} {:>6} {:>12} {:>6}d {:>12} {:>12}  {}{}\n",
                        line.location.empty() ? "-" : line.location, line.cut, line.pieces,
                        MassText(line.mass, system), line.oldest_days,
                        line.par ? MassText(*line.par, system) : "-",
                        line.par ? MassText(line.short_by, system) : "-", Sums(line.cost),
                        line.pieces_without_cost > 0
                            ? fmt::format(" ({} pieces without cost)", line.pieces_without_cost)
                            : "");
  }
  return text;
}

std::string CountText(const ledger::StockCount& count, units::System system) {
  std::string text =
      fmt::format("{} at {}, counted by {}{}\n", count.location, units::TimeText(count.happened),
                  count.user, count.whole ? ", everything there" : "");
  for (const ledger::CountedLine& line : count.lines) {
    text += fmt::format(
        "{:<8} ledger {:>10}, found {:>10}, variance {:>10} {}  {}\n", line.code,
        MassText(line.ledger, system), line.found ? MassText(*line.found, system) : "nothing",
        MassText(line.variance, system),
        line.money_variance ? units::MoneyText(*line.money_variance) : "(cost not known)",
        line.reason);
  }
  text += fmt::format("variance {}, {}\n", MassText(count.variance, system),
                      Sums(count.money_variance));
  if (count.lines_without_cost > 0) {
    text += fmt::format("({} lines without a known cost)\n", count.lines_without_cost);
  }
  return text;
}

}  // namespace ribwright::cli
