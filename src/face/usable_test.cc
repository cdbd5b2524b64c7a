// SPDX-License-Identifier: Apache-2.0
#include "face/usable.h"

#include <gtest/gtest.h>

#include <cmath>
#include <opencv2/imgproc.hpp>

namespace ribwright::face {
namespace {

// Traits as the work phantoms have them in the mean.
FaceTraits Good() {
  return {-1.20, -0.08, 0.97, 1.63, 0.0,  0.36, 1.50, 1.04,
          -1.54, 2.55,  1.24, 0.03, 0.06, 0.73, 3.63};
}
FaceTraits With(FaceTraits traits, std::initializer_list<std::pair<Trait, double>> changes) {
  for (const auto& [trait, value] : changes) traits[static_cast<std::size_t>(trait)] = value;
  return traits;
}
bool Tells(const FaceTraits& traits, Code code) {
  for (const auto& doubt : DoubtsOf(traits)) {
    if (doubt.code == code) return true;
  }
  return false;
}

TEST(Usable, AGoodFaceRaisesNoDoubt) { EXPECT_TRUE(DoubtsOf(Good()).empty()); }

TEST(Usable, EachKindIsToldOf) {
  EXPECT_TRUE(Tells(With(Good(), {{Trait::kLeanGreen, -0.6},
                                  {Trait::kLeanBlue, -0.57},
                                  {Trait::kFatAboveLean, 0.28},
                                  {Trait::kLeanEven, 0.78}}),
                    Code::kNotBeefLike));
  EXPECT_TRUE(Tells(
      With(Good(),
           {{Trait::kMuscleShare, 0.98}, {Trait::kLeanEven, 0.55}, {Trait::kFatAboveLean, 0.77}}),
      Code::kNotBeefLike));
  EXPECT_TRUE(
      Tells(With(Good(), {{Trait::kMiddle, 0.45}, {Trait::kEdge, -2.9}}), Code::kOutOfFocus));
  EXPECT_TRUE(Tells(With(Good(), {{Trait::kPaleNotFat, 0.34},
                                  {Trait::kUnreadable, 0.13},
                                  {Trait::kLeanEven, 1.1},
                                  {Trait::kEdge, -1.97}}),
                    Code::kGlareHeavy));
  EXPECT_TRUE(Tells(With(Good(), {{Trait::kFatBrighter, 0.8}, {Trait::kFatAboveLean, 0.4}}),
                    Code::kNotBeefLike));
}

TEST(Usable, ACodeIsToldOnce) {
  const FaceTraits both = With(Good(), {{Trait::kLeanGreen, -0.5},
                                        {Trait::kLeanBlue, -0.6},
                                        {Trait::kFatAboveLean, 0.2},
                                        {Trait::kFatBrighter, 0.7},
                                        {Trait::kLeanEven, 0.8}});
  EXPECT_EQ(DoubtsOf(both).size(), 1U);
}

TEST(FaceTraits, AreFiniteForAnyPicture) {
  for (const int level : {0, 90, 255}) {
    const cv::Mat rgb(80, 90, CV_8UC3, cv::Scalar::all(level));
    for (const bool empty : {true, false}) {
      cv::Mat mask = cv::Mat::zeros(rgb.size(), CV_8U);
      if (!empty) mask(cv::Rect(10, 10, 50, 50)).setTo(255);
      FatMap fat;
      fat.fraction = cv::Mat::zeros(rgb.size(), CV_32F);
      fat.detected = cv::Mat::zeros(rgb.size(), CV_8U);
      fat.unreadable = cv::Mat::zeros(rgb.size(), CV_8U);
      for (const double t : TraitsOf({rgb, mask, mask, fat, 0.0, 0.0})) {
        EXPECT_TRUE(std::isfinite(t)) << level << empty;
      }
    }
  }
}

// Blurring a picture of fine flecks lowers fine and middling detail and its edges.
TEST(FaceTraits, BlurLowersEdges) {
  cv::Mat rgb(200, 200, CV_8UC3, cv::Scalar(150, 52, 55));
  for (int i = 0; i < 20; ++i) {
    cv::circle(rgb, {10 + 47 * i % 180, 10 + 31 * i % 180}, 3, cv::Scalar(228, 206, 184),
               cv::FILLED);
  }
  const cv::Mat mask(rgb.size(), CV_8U, cv::Scalar(255));
  FatMap fat;
  fat.fraction = cv::Mat::zeros(rgb.size(), CV_32F);
  fat.detected = cv::Mat::zeros(rgb.size(), CV_8U);
  fat.unreadable = cv::Mat::zeros(rgb.size(), CV_8U);
  const FaceTraits sharp = TraitsOf({rgb, mask, mask, fat, 5.0, 0.0});
  cv::Mat soft;
  cv::GaussianBlur(rgb, soft, cv::Size(), 5.0);
  const FaceTraits dull = TraitsOf({soft, mask, mask, fat, 5.0, 0.0});
  for (const Trait t : {Trait::kMiddle, Trait::kEdge}) {
    EXPECT_LT(dull[std::size_t(t)], sharp[std::size_t(t)] - 0.3);
  }
}

}  // namespace
}  // namespace ribwright::face
