// SPDX-License-Identifier: Apache-2.0
#include "photo/card_pdf.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <opencv2/core.hpp>
#include <opencv2/imgproc.hpp>
#include <string>

#include "base/files.h"
#include "photo/card_find.h"
#include "photo/card_layout.h"

namespace ribwright::photo {
namespace {

constexpr double kDpi = 300.0;

bool HavePoppler() { return std::system("command -v pdftoppm >/dev/null 2>&1") == 0; }

// The page as poppler draws it; binary PPM, so that no decoder of ours is in between.
cv::Mat Rasterise(Paper paper) {
  const std::filesystem::path stem =
      std::filesystem::temp_directory_path() /
      ("ribwright_card_" + std::string(PaperText(paper)) + "_" + std::to_string(::getpid()));
  const std::filesystem::path pdf = stem.string() + ".pdf";
  const std::filesystem::path ppm = stem.string() + ".ppm";
  EXPECT_TRUE(WriteFileAtomically(pdf, *CardPdf(paper)).has_value());
  const std::string command = "pdftoppm -r 300 -singlefile " + pdf.string() + " " + stem.string();
  EXPECT_EQ(std::system(command.c_str()), 0);
  std::ifstream in(ppm, std::ios::binary);
  std::string magic;
  int width = 0;
  int height = 0;
  int most = 0;
  in >> magic >> width >> height >> most;
  in.get();
  EXPECT_EQ(magic, "P6");
  cv::Mat page(height, width, CV_8UC3);
  in.read(reinterpret_cast<char*>(page.data), static_cast<std::streamsize>(page.total() * 3));
  EXPECT_TRUE(in.good());
  std::filesystem::remove(pdf);
  std::filesystem::remove(ppm);
  return page;
}

class CardPdfPage : public testing::TestWithParam<Paper> {};

TEST_P(CardPdfPage, HasTheSameBytesEachTime) {
  const auto first = CardPdf(GetParam());
  const auto second = CardPdf(GetParam());
  ASSERT_TRUE(first && second);
  EXPECT_GT(first->size(), 5000U);
  EXPECT_EQ(*first, *second);
}

TEST_P(CardPdfPage, PrintsAtFullSizeWithNothingNearTheEdge) {
  if (!HavePoppler()) GTEST_SKIP() << "pdftoppm is not installed";
  const cv::Mat page = Rasterise(GetParam());
  const PaperSize size = SizeOf(GetParam());
  EXPECT_NEAR(page.cols / kDpi * kMmPerInch, size.width_mm, 0.2);
  EXPECT_NEAR(page.rows / kDpi * kMmPerInch, size.height_mm, 0.2);
  cv::Mat grey;
  cv::cvtColor(page, grey, cv::COLOR_RGB2GRAY);
  cv::Mat inked = grey < 250;
  const cv::Rect box = cv::boundingRect(inked);
  const double px_per_mm = kDpi / kMmPerInch;
  // Printers leave about 6 mm bare; clipped text would touch the page's edge.
  EXPECT_GT(box.x / px_per_mm, 6.4);
  EXPECT_GT(box.y / px_per_mm, 6.4);
  EXPECT_LT(box.br().x / px_per_mm, size.width_mm - 6.4);
  EXPECT_LT(box.br().y / px_per_mm, size.height_mm - 6.4);
}

TEST_P(CardPdfPage, RulerAndMarkersMeasureWhatTheySay) {
  if (!HavePoppler()) GTEST_SKIP() << "pdftoppm is not installed";
  const cv::Mat page = Rasterise(GetParam());
  const double px_per_mm = kDpi / kMmPerInch;
  const CardOrigin at = OriginOn(GetParam());
  // Dark runs along a row that only the 10 mm ticks reach.
  cv::Mat grey;
  cv::cvtColor(page, grey, cv::COLOR_RGB2GRAY);
  const int row = cvRound((at.y_mm + 4.0) * px_per_mm);
  const int from = cvRound((at.x_mm + kCardRulerStartMm - 5) * px_per_mm);
  const int to = cvRound((at.x_mm + kCardRulerStartMm + kCardRulerMm + 5) * px_per_mm);
  std::vector<double> ticks;
  double weight = 0.0;
  double sum = 0.0;
  for (int x = from; x < to; ++x) {
    const double ink = 255.0 - grey.at<std::uint8_t>(row, x);
    weight += ink;
    sum += ink * (x + 0.5);
    if (ink < 1.0 && weight > 0.0) {
      ticks.push_back(sum / weight);
      weight = sum = 0.0;
    }
  }
  ASSERT_EQ(ticks.size(), 16U);
  EXPECT_NEAR((ticks.back() - ticks.front()) / px_per_mm, kCardRulerMm, 0.1);
  const auto card = FindCard(page);
  ASSERT_TRUE(card.has_value());
  EXPECT_EQ(card->tag_ids.size(), CardTags().size());
  EXPECT_NEAR(card->px_per_mm, px_per_mm, 0.001 * px_per_mm);
  const cv::Point2d corner = Transform(card->px_from_design.Matrix(), {0.0, 0.0});
  EXPECT_NEAR(corner.x / px_per_mm, at.x_mm, 0.1);
  EXPECT_NEAR(corner.y / px_per_mm, at.y_mm, 0.1);
}

TEST_P(CardPdfPage, KeepsThePatchesAndTheBarePaperFreeOfWords) {
  if (!HavePoppler()) GTEST_SKIP() << "pdftoppm is not installed";
  const cv::Mat page = Rasterise(GetParam());
  const double px_per_mm = kDpi / kMmPerInch;
  const CardOrigin at = OriginOn(GetParam());
  const auto part = [&](double x, double y, double width, double height) {
    return page(cv::Rect(cvCeil((at.x_mm + x) * px_per_mm) + 1,
                         cvCeil((at.y_mm + y) * px_per_mm) + 1, cvFloor(width * px_per_mm) - 3,
                         cvFloor(height * px_per_mm) - 3));
  };
  const auto is = [](const cv::Mat& area, const cv::Scalar& colour) {
    cv::Mat hit;
    cv::inRange(area, colour - cv::Scalar::all(2), colour + cv::Scalar::all(2), hit);
    return cv::countNonZero(hit) == static_cast<int>(area.total());
  };
  for (const CardWhite& w : CardWhites()) {
    EXPECT_TRUE(is(part(w.x_mm, w.y_mm, w.width_mm, w.height_mm), {255, 255, 255})) << w.x_mm;
  }
  for (const CardPatch& p : CardPatches()) {
    EXPECT_TRUE(is(part(p.x_mm, p.y_mm, p.width_mm, p.height_mm),
                   cv::Scalar(p.colour.r, p.colour.g, p.colour.b)))
        << p.id;
  }
}

INSTANTIATE_TEST_SUITE_P(Papers, CardPdfPage, testing::Values(Paper::kA4, Paper::kLetter),
                         [](const auto& instance) {
                           return std::string(PaperText(instance.param));
                         });

TEST(Paper, NamesGoBothWays) {
  for (const Paper paper : {Paper::kA4, Paper::kLetter}) {
    EXPECT_EQ(PaperFromText(PaperText(paper)), paper);
  }
  EXPECT_FALSE(PaperFromText("A5").has_value());
}

}  // namespace
}  // namespace ribwright::photo
