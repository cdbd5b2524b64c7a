// SPDX-License-Identifier: Apache-2.0
#include "drawn_case.h"

#include <gtest/gtest.h>

#include <filesystem>

#include "base/files.h"

namespace ribwright::bench {
namespace {

namespace fs = std::filesystem;
constexpr std::uint64_t kSmallPhoto = 100005;  // of two megapixels

TEST(DrawnCase, IsDrawnOnceAndAgainOnlyWhenItsFileIsSpoiled) {
  const fs::path store = fs::path(testing::TempDir()) / "drawn_case_store";
  fs::remove_all(store);
  fs::create_directories(store / "of_another_renderer");
  const fs::path folder = StoreFor(store);
  EXPECT_FALSE(fs::exists(store / "of_another_renderer"));
  const auto first = EnsureDrawn(kSmallPhoto, phantom::Difficulty::kMixed, folder);
  ASSERT_TRUE(first) << first.error().message;
  EXPECT_GT(fs::file_size(first->photo), 10000U);
  ASSERT_EQ(first->truth.faces.size(), 1U);
  EXPECT_TRUE(first->global_error && first->local_error);
  const fs::path json = fs::path(first->photo).replace_extension(".json");
  const auto written = fs::last_write_time(json);

  const auto kept = EnsureDrawn(kSmallPhoto, phantom::Difficulty::kMixed, folder);
  ASSERT_TRUE(kept);
  EXPECT_EQ(fs::last_write_time(json), written);
  EXPECT_EQ(kept->truth.faces[0].area.value, first->truth.faces[0].area.value);
  EXPECT_EQ(kept->thickness_mm, first->thickness_mm);
  EXPECT_EQ(kept->px_from_mm, first->px_from_mm);
  EXPECT_EQ(kept->cut, first->cut);

  ASSERT_TRUE(WriteFileAtomically(json, std::string("{\"cut\":\"rib\"}\n{}\n")));
  const auto again = EnsureDrawn(kSmallPhoto, phantom::Difficulty::kMixed, folder);
  ASSERT_TRUE(again);
  EXPECT_EQ(again->truth.faces[0].area.value, first->truth.faces[0].area.value);
  EXPECT_EQ(again->global_error, first->global_error);
  fs::remove_all(store);
}

}  // namespace
}  // namespace ribwright::bench
