// SPDX-License-Identifier: Apache-2.0
#include "face/learned_map.h"

#include <gtest/gtest.h>

#include <cmath>
#include <opencv2/imgproc.hpp>
#include <thread>
#include <vector>

#include "base/check.h"
#include "base/golden.h"
#include "math/rng.h"

namespace ribwright::face {
namespace {

const cv::Scalar kLean(150, 52, 55);
const cv::Scalar kFat(228, 206, 184);

// A face of lean with a cover and round flecks on a dark board, softened as a lens would.
cv::Mat DrawFace(const cv::Size& size, int flecks, double radius, cv::Mat* fat) {
  cv::Mat rgb(size, CV_8UC3, cv::Scalar(30, 32, 36));
  *fat = cv::Mat::zeros(size, CV_8U);
  const cv::Point centre(size.width / 2, size.height / 2);
  const cv::Size face(int(0.42 * size.width), int(0.42 * size.height));
  const cv::Size lean = face - cv::Size(14, 14);
  cv::ellipse(rgb, centre, face, 0, 0, 360, kFat, cv::FILLED);
  cv::ellipse(*fat, centre, face, 0, 0, 360, 255, cv::FILLED);
  cv::ellipse(rgb, centre, lean, 0, 0, 360, kLean, cv::FILLED);
  cv::ellipse(*fat, centre, lean, 0, 0, 360, 0, cv::FILLED);
  math::Rng rng(7);
  for (int k = 0; k < flecks; ++k) {
    const double angle = rng.Uniform(0.0, 6.28);
    const double reach = 0.85 * std::sqrt(rng.Uniform(0.0, 1.0));
    const cv::Point at(centre.x + int(reach * lean.width * std::cos(angle)),
                       centre.y + int(reach * lean.height * std::sin(angle)));
    cv::circle(rgb, at, int(radius), kFat, cv::FILLED);
    cv::circle(*fat, at, int(radius), 255, cv::FILLED);
  }
  cv::GaussianBlur(rgb, rgb, cv::Size(), 1.0);
  return rgb;
}

bool Same(const LearnedMaps& a, const LearnedMaps& b) {
  bool same = cv::norm(a.fat_share, b.fat_share, cv::NORM_INF) == 0.0 &&
              cv::norm(a.seam, b.seam, cv::NORM_INF) == 0.0 &&
              cv::norm(a.label, b.label, cv::NORM_INF) == 0.0;
  for (std::size_t c = 0; c < kMapTissues; ++c) {
    same = same && cv::norm(a.probability[c], b.probability[c], cv::NORM_INF) == 0.0;
  }
  return same;
}

TEST(LearnedMap, TellsBoardLeanAndFatOfADrawnFaceApart) {
  cv::Mat fat;
  const cv::Mat rgb = DrawFace(cv::Size(420, 400), 40, 4.0, &fat);
  const LearnedMaps maps = LearnedMap::Shared().Read(rgb);
  cv::Mat face;
  cv::threshold(rgb.reshape(1, int(rgb.total())).col(0).clone().reshape(1, rgb.rows), face, 80, 255,
                cv::THRESH_BINARY);
  const cv::Mat board = maps.label == int(MapTissue::kOutside);
  const double agree = cv::countNonZero(board != face) / double(rgb.total());
  EXPECT_GT(agree, 0.97);
  const double truth = cv::mean(fat, face)[0] / 255.0;
  const double read = cv::mean(maps.fat_share, face)[0];
  EXPECT_NEAR(read, truth, 0.04) << "share of fat of the whole face";
}

TEST(LearnedMap, MoreFlecksNeverReadAsLessFat) {
  double before = -1.0;
  for (const int flecks : {0, 12, 40}) {
    cv::Mat fat;
    const LearnedMaps maps =
        LearnedMap::Shared().Read(DrawFace(cv::Size(210, 200), flecks, 3.0, &fat));
    cv::Mat lean = cv::Mat::zeros(fat.size(), CV_8U);  // where the flecks lie, cover left out
    cv::ellipse(lean, cv::Point(105, 100), cv::Size(72, 68), 0, 0, 360, 255, cv::FILLED);
    const double share = cv::mean(maps.fat_share, lean)[0];
    EXPECT_GT(share, before);
    before = share;
  }
}

TEST(LearnedMap, GivesFiniteMapsOfTheCanvasSizeForAnyShape) {
  math::Rng rng(3);
  for (const cv::Size size : {cv::Size(1, 1), cv::Size(7, 150), cv::Size(501, 40)}) {
    cv::Mat rgb(size, CV_8UC3);
    for (int y = 0; y < size.height; ++y) {
      for (int x = 0; x < 3 * size.width; ++x) rgb.ptr(y)[x] = std::uint8_t(rng.Below(256));
    }
    const LearnedMaps maps = LearnedMap::Shared().Read(rgb);
    ASSERT_EQ(maps.fat_share.size(), size);
    EXPECT_TRUE(cv::checkRange(maps.fat_share, true, nullptr, 0.0, 1.0 + 1e-6));
    cv::Mat sum = cv::Mat::zeros(size, CV_32F);
    for (const auto& p : maps.probability) {
      ASSERT_EQ(p.size(), size);
      cv::add(sum, p, sum, cv::noArray(), CV_32F);
    }
    EXPECT_TRUE(cv::checkRange(sum, true, nullptr, 251.0, 259.1));
    EXPECT_EQ(maps.seam.size(), size);
    EXPECT_LE(maps.grid_from_canvas, LearnedMap::kEnlarge);
  }
}

TEST(LearnedMap, ReadsTheSameWithOneThreadWithTwoAndBesideOthers) {
  cv::Mat fat;
  const cv::Mat rgb = DrawFace(cv::Size(420, 200), 20, 3.0, &fat);
  const int threads = cv::getNumThreads();
  cv::setNumThreads(1);
  const LearnedMaps alone = LearnedMap::Shared().Read(rgb);
  cv::setNumThreads(2);
  const LearnedMaps two = LearnedMap::Shared().Read(rgb);
  EXPECT_TRUE(Same(alone, two));
  std::vector<LearnedMaps> beside(2);
  std::vector<std::thread> work;
  for (auto& maps : beside) {
    work.emplace_back([&] { maps = LearnedMap::Shared().Read(rgb); });
  }
  for (auto& w : work) w.join();
  for (const auto& maps : beside) EXPECT_TRUE(Same(alone, maps));
  cv::setNumThreads(threads);
}

// The tile of training/golden_scores.py.
cv::Mat FormulaTile() {
  cv::Mat tile(LearnedMap::kTile, LearnedMap::kTile, CV_8UC3);
  for (int y = 0; y < tile.rows; ++y) {
    for (int x = 0; x < tile.cols; ++x) {
      const int bar = (x / 24 + y / 40) % 5 == 0 ? 1 : 0;
      tile.at<cv::Vec3b>(y, x) =
          cv::Vec3b(cv::saturate_cast<std::uint8_t>(120 + (x * 7 + y * 3) % 60 + 70 * bar),
                    cv::saturate_cast<std::uint8_t>(55 + (x * 5 + y * 11) % 40 + 140 * bar),
                    cv::saturate_cast<std::uint8_t>(55 + (x * 3 + y * 13) % 30 + 120 * bar));
    }
  }
  return tile;
}

TEST(LearnedMap, GivesTheScoresThatThePyTorchNetworkGives) {
  const auto rows =
      ReadGolden(RIBWRIGHT_SOURCE_DIR "/tests/golden/tissue_net.csv", {{"score"}, {"x"}, {"y"}});
  ASSERT_TRUE(rows) << rows.error().message;
  const cv::Mat scores = LearnedMap::Shared().Scores(FormulaTile());
  for (const GoldenRow& row : *rows) {
    const double value =
        scores.at<float>(int(row.Number("score")), int(row.Number("y")), int(row.Number("x")));
    EXPECT_TRUE(row.Near(value)) << row.id << " " << value;
  }
}

TEST(LearnedMap, RefusesWhatIsNoPicture) {
  EXPECT_THROW(LearnedMap::Shared().Read(cv::Mat()), LogicError);
  EXPECT_THROW(LearnedMap::Shared().Read(cv::Mat::zeros(4, 4, CV_8U)), LogicError);
  EXPECT_THROW(LearnedMap::Shared().Scores(cv::Mat::zeros(4, 4, CV_8UC3)), LogicError);
}

TEST(LearnedMap, NamesItsWeights) {
  const std::string revision = LearnedMap::Revision();
  EXPECT_EQ(revision.size(), 16U);
  EXPECT_EQ(revision.find_first_not_of("0123456789abcdef"), std::string::npos);
}

}  // namespace
}  // namespace ribwright::face
