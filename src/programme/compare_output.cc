// SPDX-License-Identifier: Apache-2.0
#include "programme/compare.h"
#include "programme/terminal_table.h"
#include "programme/words.h"
#include "report/json_writer.h"

namespace ribwright::programme {
namespace {

std::string Padded(std::string text, std::size_t width, bool right) {
  const std::size_t columns = ColumnsOf(text);
  if (columns >= width) return text;
  return right ? text.insert(0, width - columns, ' ') : text.append(width - columns, ' ');
}

std::string ValueOf(const Measured& m, units::System units) {
  return m.Known() ? units::Show(m, units).value : "-";
}

std::string SideWords(const CompareSide& side) {
  if (side.faces <= 1) return side.photo;
  return Joined({side.photo, ", face ", std::to_string(side.face), " of ",
                 std::to_string(side.faces), " (1 is the largest)"});
}

}  // namespace

std::string CompareJson(const Comparison& c, const CompareSide& first, const CompareSide& second,
                        bool pretty) {
  report::Json j;
  j["schema"] = "ribwright.compare/1";
  j["first"] = {{"photo", first.photo}, {"face", first.face}};
  j["second"] = {{"photo", second.photo}, {"face", second.face}};
  j["differences"] = report::Json::array();
  for (const Difference& d : c.differences) {
    report::Json one;
    one["of"] = d.key;
    one["first"] = report::MeasuredJson(d.first, d.key);
    one["second"] = report::MeasuredJson(d.second, d.key);
    one["difference"] = report::MeasuredJson(d.difference, d.key);
    one["odds_second_greater"] = nullptr;
    if (d.odds_second_greater) {
      one["odds_second_greater"] = report::Decimals(*d.odds_second_greater, 1e6);
    }
    one["told_apart"] = d.told_apart;
    j["differences"].push_back(std::move(one));
  }
  j["marbling_drivers"] = report::Json::array();
  for (const Driver& driver : c.drivers) {
    j["marbling_drivers"].push_back(
        report::Json({{"of", driver.words}, {"points", report::SixDigits(driver.points)}}));
  }
  j["words"] = c.words;
  return report::JsonText(j, pretty);
}

std::string CompareTable(const Comparison& c, const CompareSide& first, const CompareSide& second,
                         units::System units) {
  std::string out = Joined({"first   ", SideWords(first), "\nsecond  ", SideWords(second), "\n\n"});
  for (const std::string& sentence : c.words) {
    out += Joined({"- ", Wrapped(sentence, 78, 2), "\n"});
  }
  out += Joined({"\n", Padded("", 30, false), "   first  second  difference, 90 % interval\n"});
  for (const Difference& d : c.differences) {
    if (!d.first.Known() && !d.second.Known()) continue;
    out += Padded(Joined({d.told_apart ? "* " : "  ", LengthsIn(d.words, units)}), 30, false);
    out += Padded(ValueOf(d.first, units), 8, true) + Padded(ValueOf(d.second, units), 8, true);
    if (d.difference.Known()) {
      const units::Shown s = units::Show(d.difference, units);
      const std::string interval = Joined({s.low, " to ", s.high});
      out += Padded(s.value, 8, true) + "   " + Padded(interval, 17, false);
      out += d.difference.unit == "%" ? "points" : s.unit;
    } else {
      out += Joined({"   ", Wrapped(d.difference.reason, 31, 49)});
    }
    while (out.back() == ' ') out.pop_back();
    out += '\n';
  }
  return out + "* clear difference: its interval does not hold 0\n";
}

}  // namespace ribwright::programme
