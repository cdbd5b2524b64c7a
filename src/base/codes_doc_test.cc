// SPDX-License-Identifier: Apache-2.0
// docs/format/codes.md is printed from the code table. Run base_test with RIBWRIGHT_WRITE_DOCS=1 to
// renew it.
#include <gtest/gtest.h>

#include <cstdlib>
#include <fstream>
#include <sstream>
#include <string>

#include "base/codes.h"

namespace ribwright {
namespace {

void AddTable(CodeKind kind, const char* title, std::string& out) {
  out += std::string("\n## ") + title + "\n\n| code | meaning |\n|---|---|\n";
  for (const CodeEntry& entry : CodeTable()) {
    if (entry.kind != kind) continue;
    out += "| `" + std::string(entry.text) + "` | " + std::string(entry.meaning) + " |\n";
  }
}

std::string CodesPage() {
  std::string out =
      "# Codes of errors and warnings\n\n"
      "Every `code` in JSON comes from this table (`src/base/codes.def`; a test keeps this page "
      "equal to "
      "it).\nA code is stable: it may be retired, it never gets a new meaning. Errors carry "
      "`message`, "
      "`where` and `mend`.\n";
  AddTable(CodeKind::kError, "Errors: there is no result", out);
  AddTable(CodeKind::kWarning, "Warnings: a result with a caution", out);
  return out;
}

TEST(CodesPage, SaysWhatTheTableSays) {
  const std::string path = std::string(RIBWRIGHT_SOURCE_DIR) + "/docs/format/codes.md";
  if (std::getenv("RIBWRIGHT_WRITE_DOCS") != nullptr) std::ofstream(path) << CodesPage();
  std::ifstream file(path);
  std::stringstream text;
  text << file.rdbuf();
  EXPECT_EQ(text.str(), CodesPage()) << "renew with: RIBWRIGHT_WRITE_DOCS=1 base_test";
}

}  // namespace
}  // namespace ribwright
