// SPDX-License-Identifier: Apache-2.0
#include "phantom/truth_json.h"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "report/json.h"

namespace ribwright::phantom {
namespace {

TEST(TruthJson, HoldsTheTruthAndWhatCanBeEntered) {
  Phantom phantom;
  phantom.recipe.seed = 42;
  phantom.recipe.cut = Cut::kStrip;
  phantom.thickness_mm = 31.25;
  phantom.has_card = true;
  phantom.card_ruler_mm = 149.2;
  phantom.card_patches = {{"A1", {40.5, 30.0, -12.25}}, {"P", {95.0, 0.0, 1.0}}};
  phantom.truth.photo = "photo.jpg";
  phantom.truth.method = {"phantom truth", "1"};
  const std::string text = TruthJson(phantom);
  const auto json = nlohmann::json::parse(text);
  EXPECT_EQ(json["phantom"]["seed"], 42);
  EXPECT_EQ(json["phantom"]["cut"], "strip");
  EXPECT_DOUBLE_EQ(json["phantom"]["thickness_mm"], 31.25);
  EXPECT_DOUBLE_EQ(json["phantom"]["card_ruler_mm"], 149.2);
  ASSERT_EQ(json["phantom"]["card_values"].size(), 2U);
  EXPECT_DOUBLE_EQ(json["phantom"]["card_values"][0]["b"], -12.25);
  const auto read = report::FromJson(text);
  ASSERT_TRUE(read) << read.error().message;
  EXPECT_EQ(read->photo, "photo.jpg");
}

TEST(TruthJson, SaysNothingOfACardThatIsNotThere) {
  Phantom phantom;
  phantom.card_ruler_mm = 150;
  const auto json = nlohmann::json::parse(TruthJson(phantom));
  EXPECT_FALSE(json["phantom"].contains("card_ruler_mm"));
  EXPECT_FALSE(json["phantom"].contains("card_values"));
}

}  // namespace
}  // namespace ribwright::phantom
