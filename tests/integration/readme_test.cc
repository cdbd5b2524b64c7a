// SPDX-License-Identifier: Apache-2.0
// README.md's worked example is what the program does: its commands run, each row it shows is
// printed, and each number it shows lies within the interval printed now (digits may move as the
// method gets better).
#include <gtest/gtest.h>

#include <optional>
#include <regex>
#include <sstream>
#include <string>
#include <vector>

#include "command.h"

namespace ribwright::integration {
namespace {

struct Example {
  std::vector<std::string> commands;
  std::vector<std::string> shown;
};

// The first fenced block of README.md that holds lines starting with "$ ".
Example ReadExample() {
  Example example;
  std::istringstream text(ReadText(std::filesystem::path(RIBWRIGHT_SOURCE_DIR) / "README.md"));
  bool fenced = false;
  for (std::string line; std::getline(text, line);) {
    if (line.starts_with("```")) {
      if (fenced && !example.commands.empty()) break;
      fenced = !fenced;
    } else if (fenced && line.starts_with("$ ")) {
      example.commands.push_back(line.substr(2));
    } else if (fenced && !example.commands.empty() && !line.empty() && line != "...") {
      example.shown.push_back(line);
    }
  }
  return example;
}

struct NumberRow {
  std::string label;
  double value = 0.0;
  double low = 0.0;
  double high = 0.0;
};

// "  area of the face    183   176 to 190    cm²"
std::optional<NumberRow> AsNumberRow(const std::string& line) {
  static const std::regex kRow(R"(^  +(\S.*?)  +(-?[0-9.]+)   (-?[0-9.]+) to (-?[0-9.]+)( .*)?$)");
  std::smatch found;
  if (!std::regex_match(line, found, kRow)) return std::nullopt;
  return NumberRow{found[1], std::stod(found[2]), std::stod(found[3]), std::stod(found[4])};
}

TEST(Readme, WorkedExampleIsWhatTheProgramPrints) {
  const Example example = ReadExample();
  ASSERT_GE(example.commands.size(), 2U);
  ASSERT_GE(example.shown.size(), 5U);
  Folder folder;
  std::string printed;
  for (const std::string& command : example.commands) {
    ASSERT_TRUE(command.starts_with("ribwright ")) << command;
    const Ran ran = folder.Run(Program() + command.substr(std::string("ribwright").size()));
    ASSERT_EQ(ran.status, 0) << command << "\n" << ran.err;
    printed += ran.out;
  }
  std::vector<NumberRow> rows;
  std::istringstream lines(printed);
  for (std::string line; std::getline(lines, line);) {
    if (const auto row = AsNumberRow(line)) rows.push_back(*row);
  }
  int numbers = 0;
  std::size_t next = 0;  // labels such as "area" come again, so rows are met in order
  for (const std::string& line : example.shown) {
    const auto shown = AsNumberRow(line);
    if (!shown) continue;
    ++numbers;
    while (next < rows.size() && rows[next].label != shown->label) ++next;
    ASSERT_LT(next, rows.size()) << "no row for: " << line << "\nin:\n" << printed;
    EXPECT_GE(shown->value, rows[next].low) << line;
    EXPECT_LE(shown->value, rows[next].high) << line;
    ++next;
  }
  EXPECT_GE(numbers, 4);
  EXPECT_NE(printed.find("Official grades are given only by graders."), std::string::npos);
}

}  // namespace
}  // namespace ribwright::integration
