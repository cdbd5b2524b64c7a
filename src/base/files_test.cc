// SPDX-License-Identifier: Apache-2.0
#include "base/files.h"

#include <gtest/gtest.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

#include <string>

namespace ribwright {
namespace {

namespace fs = std::filesystem;

class Files : public ::testing::Test {
 protected:
  void SetUp() override {
    std::string pattern = (fs::temp_directory_path() / "ribwright_files_XXXXXX").string();
    ASSERT_NE(::mkdtemp(pattern.data()), nullptr);
    folder_ = pattern;
  }
  void TearDown() override { fs::remove_all(folder_); }
  std::size_t FilesInFolder() const {
    std::size_t count = 0;
    for ([[maybe_unused]] const auto& entry : fs::directory_iterator(folder_)) ++count;
    return count;
  }
  fs::path folder_;
};

TEST_F(Files, WhatIsWrittenIsReadBackAndNothingElseIsLeft) {
  std::string text(3'000'000, 'x');
  text[1'234'567] = '\0';
  ASSERT_TRUE(WriteFileAtomically(folder_ / "a", "old").has_value());
  ASSERT_TRUE(WriteFileAtomically(folder_ / "a", text).has_value());
  const auto bytes = ReadFileLimited(folder_ / "a", text.size());
  ASSERT_TRUE(bytes.has_value());
  EXPECT_EQ(std::string(bytes->begin(), bytes->end()), text);
  EXPECT_EQ(FilesInFolder(), 1U);
}

TEST_F(Files, RefusesMissingFolderEmptyAndTooLarge) {
  ASSERT_TRUE(WriteFileAtomically(folder_ / "empty", "").has_value());
  ASSERT_TRUE(WriteFileAtomically(folder_ / "five", "12345").has_value());
  EXPECT_EQ(ReadFileLimited(folder_ / "none", 10).error().code, Code::kFileUnreadable);
  EXPECT_EQ(ReadFileLimited(folder_, 10).error().code, Code::kFileUnreadable);
  EXPECT_EQ(ReadFileLimited(folder_ / "empty", 10).error().code, Code::kFileEmpty);
  EXPECT_EQ(ReadFileLimited(folder_ / "five", 4).error().code, Code::kFileTooLarge);
  EXPECT_TRUE(ReadFileLimited(folder_ / "five", 5).has_value());
}

TEST_F(Files, RefusesPipesAndDevicesAtOnce) {
  // Opening this one would wait for a writer that never comes.
  ASSERT_EQ(::mkfifo((folder_ / "pipe").c_str(), 0600), 0);
  EXPECT_EQ(ReadFileLimited(folder_ / "pipe", 10).error().code, Code::kFileUnreadable);
  EXPECT_EQ(ReadFileLimited("/dev/zero", 10).error().code, Code::kFileUnreadable);
}

TEST_F(Files, ReadsAPipeThatItWasHandedUpToTheLimit) {
  int ends[2];
  ASSERT_EQ(::pipe(ends), 0);
  ASSERT_EQ(::write(ends[1], "12345", 5), 5);
  const std::string name = "/dev/fd/" + std::to_string(ends[0]);
  EXPECT_EQ(ReadFileLimited(name, 4).error().code, Code::kFileTooLarge);
  ASSERT_EQ(::write(ends[1], "12345", 5), 5);
  ::close(ends[1]);
  EXPECT_EQ(ReadFileLimited(name, 5).value().size(), 5U);
  ::close(ends[0]);
}

TEST_F(Files, AFailedWriteNamesThePathAndLeavesNothing) {
  const auto failed = WriteFileAtomically(folder_ / "no" / "such" / "a.json", "x");
  ASSERT_FALSE(failed.has_value());
  EXPECT_EQ(failed.error().code, Code::kOutputUnwritable);
  EXPECT_EQ(failed.error().where, (folder_ / "no" / "such" / "a.json").string());
  EXPECT_EQ(WriteFileAtomically(folder_, "x").error().code, Code::kOutputUnwritable);
  EXPECT_EQ(WriteFileAtomically("/dev/full", "x").error().code, Code::kOutputUnwritable);
  EXPECT_EQ(FilesInFolder(), 0U);
}

TEST_F(Files, LinksAndDevicesStayWhatTheyAre) {
  ASSERT_TRUE(WriteFileAtomically(folder_ / "target", "old").has_value());
  fs::create_symlink("target", folder_ / "link");
  ASSERT_TRUE(WriteFileAtomically(folder_ / "link", "new").has_value());
  EXPECT_TRUE(fs::is_symlink(folder_ / "link"));
  const auto bytes = ReadFileLimited(folder_ / "target", 10);
  ASSERT_TRUE(bytes.has_value());
  EXPECT_EQ(std::string(bytes->begin(), bytes->end()), "new");
  ASSERT_TRUE(WriteFileAtomically("/dev/null", "x").has_value());
  EXPECT_TRUE(fs::is_character_file("/dev/null"));
}

}  // namespace
}  // namespace ribwright
