// SPDX-License-Identifier: Apache-2.0
// photo_seeds FOLDER: writes small sound pictures for decode_fuzz to start from.
#include <webp/encode.h>

#include <filesystem>
#include <span>

#include "base/files.h"
#include "photo/encode.h"
#include "photo/exif.h"
#include "photo/profile.h"
#include "photo/sample_pictures_test.h"

namespace {

namespace fs = std::filesystem;
using namespace ribwright;

bool Write(const fs::path& folder) {
  fs::create_directories(folder);
  const cv::Mat rgb = photo::testing::Waves(40, 30);
  cv::Mat grey;
  cv::extractChannel(rgb, grey, 0);
  photo::JpegOptions rich;
  rich.exif = photo::WriteExif({5, 4.2, 26.0});
  rich.icc_profile =
      photo::ProfileFromGamma(1.8, {0.3127, 0.3290, 0.64, 0.33, 0.21, 0.71, 0.15, 0.06});
  std::uint8_t* webp = nullptr;
  const std::size_t size =
      WebPEncodeRGB(rgb.data, rgb.cols, rgb.rows, static_cast<int>(rgb.step), 80.0F, &webp);
  const bool written =
      WriteFileAtomically(folder / "plain.jpg", photo::EncodeJpeg(rgb).value()) &&
      WriteFileAtomically(folder / "rich.jpg", photo::EncodeJpeg(rgb, rich).value()) &&
      WriteFileAtomically(folder / "colour.png", photo::EncodePng(rgb).value()) &&
      WriteFileAtomically(folder / "grey.png", photo::EncodePng(grey).value()) &&
      WriteFileAtomically(folder / "lossy.webp", std::span<const std::uint8_t>(webp, size));
  WebPFree(webp);
  return written;
}

}  // namespace

int main(int argc, char** argv) { return argc == 2 && Write(argv[1]) ? 0 : 1; }
