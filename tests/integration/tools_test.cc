// SPDX-License-Identifier: Apache-2.0
// The tools that guard the tree find what they are for.
#include <gtest/gtest.h>

#include "command.h"

namespace ribwright::integration {
namespace {

constexpr const char* kTable =
    "| layer | folder | holds | may include |\n|---|---|---|---|\n"
    "| base | src/base | a | - |\n| face | src/face | b | base |\n| grade | src/grade | c | base "
    "|\n";

class LayerCheck : public ::testing::Test {
 protected:
  void SetUp() override {
    folder_.Write("ARCHITECTURE.md", kTable);
    folder_.Write("src/base/result.h", "#include <string>\n");
    folder_.Write("src/grade/odds.h", "#include \"base/result.h\"\n");
    folder_.Write("src/face/measure.h", "#include \"base/result.h\"\n");
    folder_.Write("src/face/CMakeLists.txt", "ribwright_layer(NAME face LAYERS base)\n");
  }
  Ran Check() { return folder_.Run(Source("tools/layer_check") + " ."); }
  Folder folder_;
};

TEST_F(LayerCheck, PassesATreeThatObeysItsTable) {
  const Ran ran = Check();
  EXPECT_EQ(ran.status, 0) << ran.out << ran.err;
}

TEST_F(LayerCheck, FindsAnIncludeOfASibling) {
  folder_.Write("src/face/measure.cc", "\n#include \"grade/odds.h\"\n");
  const Ran ran = Check();
  EXPECT_EQ(ran.status, 1);
  EXPECT_NE(ran.out.find("src/face/measure.cc:2: face may not include grade"), std::string::npos)
      << ran.out;
}

TEST_F(LayerCheck, FindsALinkThatTheTableForbids) {
  folder_.Write("src/face/CMakeLists.txt", "ribwright_layer(NAME face LAYERS base grade)\n");
  EXPECT_EQ(Check().status, 1);
}

TEST_F(LayerCheck, FindsAnIncludeThatIsNotLinked) {
  folder_.Write("src/face/CMakeLists.txt", "ribwright_layer(NAME face)\n");
  EXPECT_EQ(Check().status, 1);
}

TEST_F(LayerCheck, FindsAFolderOutsideTheTable) {
  folder_.Write("src/misc/odd.h", "\n");
  EXPECT_EQ(Check().status, 1);
}

constexpr const char* kReferences = "key,citation,status\ndoe2001,A paper,read\n";

class GoldenCheck : public ::testing::Test {
 protected:
  void SetUp() override {
    folder_.Write("docs/references.csv", kReferences);
    folder_.Write("tests/golden/a.csv", "id,expected,source\nx,1,doe2001\n");
    folder_.Write("src/a_test.cc", "Read(\"a.csv\");\n");
  }
  Ran Check() { return folder_.Run(Source("tools/golden_check") + " ."); }
  Folder folder_;
};

TEST_F(GoldenCheck, PassesAFileThatIsReadAndSourced) {
  const Ran ran = Check();
  EXPECT_EQ(ran.status, 0) << ran.out << ran.err;
}

TEST_F(GoldenCheck, FindsAFileThatNoTestReads) {
  folder_.Write("src/a_test.cc", "\n");
  EXPECT_EQ(Check().status, 1);
}

TEST_F(GoldenCheck, FindsASourceThatIsNoDocument) {
  folder_.Write("tests/golden/a.csv", "id,expected,source\nx,1,hearsay\n");
  EXPECT_EQ(Check().status, 1);
}

TEST_F(GoldenCheck, FindsADocumentThatNothingUses) {
  folder_.Write("docs/references.csv", std::string(kReferences) + "roe2002,Another,read\n");
  EXPECT_EQ(Check().status, 1);
}

TEST(DocsCheck, FindsALinkToNothingAndAMissingHeading) {
  Folder folder;
  folder.Write("README.md",
               "# One\n[there](docs/a.md#two-words) `code` [web](https://a.example)\n");
  folder.Write("docs/a.md", "## Two words\n");
  const std::string check = Source("tools/docs_check") + " .";
  EXPECT_EQ(folder.Run(check).status, 0);
  folder.Write("docs/a.md", "## Another\n");
  EXPECT_EQ(folder.Run(check).status, 1);
  folder.Write("README.md", "[gone](docs/b.md)\n");
  EXPECT_EQ(folder.Run(check).status, 1);
}

TEST(Install, ListsASectionAndRefusesAnUnknownOne) {
  Folder folder;
  const Ran listed = folder.Run(Source("tools/install") + " --list build");
  EXPECT_EQ(listed.status, 0);
  EXPECT_NE(listed.out.find("libopencv-core-dev\n"), std::string::npos);
  EXPECT_EQ(folder.Run(Source("tools/install") + " --list nothing").status, 2);
}

TEST(Install, SaysWhatToDoWhereThereIsNoApt) {
  Folder folder;
  folder.Run(
      "mkdir bin && for f in bash env awk dirname printf; do ln -s $(command -v $f) bin/; done");
  const Ran ran = folder.Run("PATH=$PWD/bin RIBWRIGHT_NO_INSTALL= " + Source("tools/install"));
  EXPECT_EQ(ran.status, 1);
  EXPECT_NE(ran.err.find("apt-get was not found"), std::string::npos) << ran.err;
}

}  // namespace
}  // namespace ribwright::integration
