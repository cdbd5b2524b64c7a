// SPDX-License-Identifier: Apache-2.0
// Overlay and sheet, drawn for an invented face.
#include <gtest/gtest.h>

#include <chrono>
#include <opencv2/imgproc.hpp>
#include <string>

#include "programme/overlay.h"
#include "programme/overlay_legend.h"
#include "programme/palette.h"
#include "programme/sheet_pdf.h"
#include "programme/test_scene.h"
#include "report/sample_reports.h"

namespace ribwright::programme {
namespace {

using report::Tissue;

cv::Vec3b At(const cv::Mat& picture, int x, int y) { return picture.at<cv::Vec3b>(y, x); }

TEST(Overlay, KeepsThePhotosGridAndAddsALegendBelow) {
  const TestScene scene = MakeTestScene(800, 600);
  const cv::Mat overlay = DrawOverlay(scene.rgb, scene.tissue, scene.report);
  EXPECT_EQ(overlay.cols, 800);
  EXPECT_GT(overlay.rows, 600);
  OverlayOptions bare;
  bare.legend = false;
  EXPECT_EQ(DrawOverlay(scene.rgb, scene.tissue, scene.report, bare).size(), cv::Size(800, 600));
}

TEST(Overlay, PaintsEachTissueAndDarkensWhatIsOutside) {
  TestScene scene = MakeTestScene(800, 600);
  scene.report.faces.clear();  // no lines in the way
  const cv::Mat overlay = DrawOverlay(scene.rgb, scene.tissue, scene.report);
  for (const TissuePaint& paint : TissuePaints()) {
    // The middle of the tissue's patch in the scene's test row.
    const cv::Point at = scene.patch.at(paint.tissue);
    const cv::Vec3b under = At(scene.rgb, at.x, at.y);
    const cv::Vec3b seen = At(overlay, at.x, at.y);
    for (int i = 0; i < 3; ++i) {
      const double full = paint.opacity * paint.rgb[i] + (1 - paint.opacity) * under[i];
      const double faint =
          0.3 * paint.opacity * paint.rgb[i] + (1 - 0.3 * paint.opacity) * under[i];
      const bool striped = paint.tissue == Tissue::kUnreadable;
      EXPECT_TRUE(std::abs(seen[i] - full) < 3 || (striped && std::abs(seen[i] - faint) < 3))
          << paint.words << " channel " << i << ": " << int(seen[i]);
    }
  }
  const cv::Vec3b ground = At(scene.rgb, 3, 3);
  const cv::Vec3b dark = At(overlay, 3, 3);
  for (int i = 0; i < 3; ++i) EXPECT_NEAR(dark[i], 0.55 * ground[i], 2.0);
}

TEST(Overlay, LargePhotosAreScaledDown) {
  const TestScene scene = MakeTestScene(1000, 800);
  OverlayOptions options;
  options.max_pixels = 200'000;
  options.legend = false;
  const cv::Mat overlay = DrawOverlay(scene.rgb, scene.tissue, scene.report, options);
  EXPECT_LE(overlay.total(), 200'000U);
  EXPECT_NEAR(static_cast<double>(overlay.cols) / overlay.rows, 1.25, 0.01);
}

TEST(Overlay, TheScaleBarIsARoundLengthThatFits) {
  const auto bar = ChooseScaleBar(8.0, 500.0, false);
  ASSERT_TRUE(bar.has_value());
  EXPECT_DOUBLE_EQ(bar->length_px, 400.0);
  EXPECT_EQ(bar->words, "50 mm at mid-face");
  const auto inches = ChooseScaleBar(10.0, 520.0, true);
  ASSERT_TRUE(inches.has_value());
  EXPECT_DOUBLE_EQ(inches->length_px, 508.0);
  EXPECT_EQ(inches->words, "2 in at mid-face");
  EXPECT_FALSE(ChooseScaleBar(8.0, 10.0, false).has_value());
}

TEST(Overlay, TwelveMegapixelsAreDrawnFast) {
  const TestScene scene = MakeTestScene(4000, 3000);
  const auto start = std::chrono::steady_clock::now();
  DrawOverlay(scene.rgb, scene.tissue, scene.report);
  const std::chrono::duration<double> took = std::chrono::steady_clock::now() - start;
  RecordProperty("milliseconds", static_cast<int>(1000 * took.count()));
  EXPECT_LT(took.count(), 4.0);  // ten times what an idle machine needs
}

std::string Text(const std::vector<std::uint8_t>& bytes) { return {bytes.begin(), bytes.end()}; }

std::size_t Count(const std::string& text, const std::string& word) {
  std::size_t count = 0;
  for (std::size_t at = text.find(word); at != std::string::npos; at = text.find(word, at + 1))
    ++count;
  return count;
}

TEST(Sheet, IsOnePageAndTheSameBytesEveryTime) {
  const TestScene scene = MakeTestScene(800, 600);
  const auto first = SheetPdf(scene.rgb, scene.tissue, scene.report);
  const auto second = SheetPdf(scene.rgb, scene.tissue, scene.report);
  ASSERT_TRUE(first && second);
  EXPECT_EQ(*first, *second);
  EXPECT_EQ(Text(*first).substr(0, 5), "%PDF-");
  EXPECT_EQ(Count(Text(*first), "/Type /Page") - Count(Text(*first), "/Type /Pages"), 1U);
}

TEST(Sheet, EachFaceHasAPageOfItsOwn) {
  TestScene scene = MakeTestScene(800, 600);
  scene.report.faces.push_back(scene.report.faces[0]);
  scene.report.faces.push_back(scene.report.faces[0]);
  const auto pdf = SheetPdf(scene.rgb, scene.tissue, scene.report);
  ASSERT_TRUE(pdf);
  EXPECT_EQ(Count(Text(*pdf), "/Type /Page") - Count(Text(*pdf), "/Type /Pages"), 3U);
}

TEST(Sheet, CarriesWhenTheFaceWasSeenAndWhatWasEntered) {
  TestScene scene = MakeTestScene(400, 300);
  scene.report.taken.clear();
  scene.report.entered.reset();
  const auto plain = SheetPdf(scene.rgb, scene.tissue, scene.report);
  SheetOptions options;
  options.judged = units::UtcTime{1'772'366'400'000};
  const auto judged = SheetPdf(scene.rgb, scene.tissue, scene.report, options);
  scene.report.taken = "2026-03-01T12:00:00";
  const auto taken = SheetPdf(scene.rgb, scene.tissue, scene.report, options);
  scene.report.entered = report::Entered{38.0, 152.5, std::nullopt, 30.0, true};
  const auto entered = SheetPdf(scene.rgb, scene.tissue, scene.report, options);
  EXPECT_NE(*plain, *judged);
  EXPECT_NE(*judged, *taken);
  EXPECT_NE(*taken, *entered);
  // The photo's own time goes before the time of judging.
  options.judged = std::nullopt;
  EXPECT_EQ(*entered, *SheetPdf(scene.rgb, scene.tissue, scene.report, options));
  // Folders are not shown.
  scene.report.photo = "some/folder/" + scene.report.photo;
  EXPECT_EQ(*entered, *SheetPdf(scene.rgb, scene.tissue, scene.report, options));
}

TEST(Sheet, PaperFollowsTheUnits) {
  const TestScene scene = MakeTestScene(400, 300);
  const auto a4 =
      SheetPdf(scene.rgb, scene.tissue, scene.report, {units::System::kMetric, std::nullopt});
  const auto letter =
      SheetPdf(scene.rgb, scene.tissue, scene.report, {units::System::kUs, std::nullopt});
  ASSERT_TRUE(a4 && letter);
  EXPECT_NE(Text(*a4).find("595.275"), std::string::npos);
  EXPECT_NE(Text(*letter).find("612"), std::string::npos);
}

}  // namespace
}  // namespace ribwright::programme
