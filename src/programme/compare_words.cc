// SPDX-License-Identifier: Apache-2.0
#include "programme/compare_words.h"

#include <algorithm>
#include <cmath>

#include "programme/words.h"

namespace ribwright::programme {
namespace {

const Difference* Find(const Comparison& c, std::string_view key) {
  const auto found = std::find_if(c.differences.begin(), c.differences.end(),
                                  [&](const Difference& d) { return d.key == key; });
  return found == c.differences.end() ? nullptr : &*found;
}

// The size of a difference without its sign: "6 points (3 to 9)", "4.2 mm (1.0 to 7.4)".
std::string Size(const Measured& difference, units::System units) {
  Measured m = difference;
  if (*m.value < 0.0) {
    m.value = -*m.value;
    m.low = -difference.high;
    m.high = -difference.low;
  }
  const units::Shown s = units::Show(m, units);
  const std::string unit = m.unit == "%" ? "points" : s.unit;
  return Joined({s.value, unit.empty() ? "" : " ", unit, " (", s.low, " to ", s.high, ")"});
}

std::string_view Larger(const Difference& d) {
  return *d.difference.value > 0.0 ? "second" : "first";
}

void Lead(const Comparison& c, units::System units, std::vector<std::string>& words) {
  const Difference* all = Find(c, "marbling_pct");
  if (all == nullptr || !all->difference.Known()) return;
  const double odds = std::max(*all->odds_second_greater, 1.0 - *all->odds_second_greater);
  if (!all->told_apart) {
    words.push_back(Joined({"Over all muscles there is no clear difference in marbling: ",
                            Size(all->difference, units), "; odds that the ", Larger(*all),
                            " has more: ", PercentWords(odds), "."}));
    return;
  }
  words.push_back(Joined({"The ", Larger(*all), " is more marbled over all muscles, by ",
                          Size(all->difference, units), "; odds ", PercentWords(odds), "."}));
}

// "0.9 points from the eye's marbling, 0.5 from ..."; only parts of at least a tenth of the
// largest.
void Drive(const Comparison& c, std::vector<std::string>& words) {
  const Difference* all = Find(c, "marbling_pct");
  if (c.drivers.empty() || all == nullptr || !all->told_apart) return;
  const double sign = *all->difference.value > 0.0 ? 1.0 : -1.0;
  std::string with;
  std::string against;
  for (const Driver& driver : c.drivers) {
    if (std::abs(driver.points) < 0.1 * std::abs(c.drivers.front().points)) continue;
    std::string& list = driver.points * sign > 0.0 ? with : against;
    if (!list.empty()) list += ", ";
    list += Joined({driver.words, " ", units::Fixed(std::abs(driver.points), 1)});
  }
  std::string sentence = Joined({"What makes it, in points: ", with});
  if (!against.empty()) sentence += Joined({"; against it: ", against});
  words.push_back(sentence + ".");
}

void OfMuscle(const Comparison& c, const char* key, const char* one, const char* two,
              units::System units, std::vector<std::string>& words) {
  const Difference* d = Find(c, Joined({key, "_marbling_pct"}));
  if (d == nullptr) return;
  if (!d->difference.Known()) {
    if (d->first.Known() != d->second.Known()) {
      words.push_back(Joined({"Only the ", d->first.Known() ? "first" : "second", " shows a ", one,
                              " that can be judged."}));
    }
    return;
  }
  if (d->told_apart) {
    words.push_back(Joined(
        {"The ", Larger(*d), "'s ", one, " is fatter by ", Size(d->difference, units), "."}));
  } else {
    words.push_back(Joined(
        {"The ", two, " show no clear difference in marbling: ", Size(d->difference, units), "."}));
  }
}

void OfSize(const Comparison& c, const char* key, const char* what, const char* more,
            units::System units, std::vector<std::string>& words) {
  const Difference* d = Find(c, key);
  if (d == nullptr || !d->told_apart) return;
  words.push_back(Joined(
      {"The ", Larger(*d), "'s ", what, " is ", more, " by ", Size(d->difference, units), "."}));
}

}  // namespace

std::vector<std::string> ComparisonWords(const Comparison& c, units::System units) {
  std::vector<std::string> words;
  Lead(c, units, words);
  Drive(c, words);
  OfMuscle(c, "eye", "eye", "eyes", units, words);
  OfMuscle(c, "gluteus_medius", "gluteus medius", "two gluteus medius", units, words);
  OfMuscle(c, "cap", "cap", "caps", units, words);
  OfMuscle(c, "complexus", "complexus", "two complexus", units, words);
  OfSize(c, "eye_coarseness", "marbling in the eye", "coarser", units, words);
  OfSize(c, "eye_evenness", "marbling in the eye", "less even", units, words);
  OfSize(c, "eye_area", "eye", "larger", units, words);
  OfSize(c, "cap_area", "cap", "larger", units, words);
  OfSize(c, "cover_mm_mean", "cover", "thicker", units, words);
  OfSize(c, "lean_L", "lean", "lighter", units, words);
  OfSize(c, "lean_a", "lean", "redder", units, words);
  OfSize(c, "fat_b", "fat", "yellower", units, words);
  return words;
}

}  // namespace ribwright::programme
