// SPDX-License-Identifier: Apache-2.0
// Scenario: a 12-megapixel JPEG through the photo door against a plain turbojpeg decode of the same
// bytes, in one run; then the same with a turn by EXIF and with a wide colour profile. Results are
// checked before timing.
#include <benchmark/benchmark.h>
#include <turbojpeg.h>

#include <cstdio>
#include <cstdlib>
#include <memory>
#include <opencv2/core.hpp>

#include "math/rng.h"
#include "photo/decode.h"
#include "photo/encode.h"
#include "photo/exif.h"
#include "photo/profile.h"

namespace {

using namespace ribwright;
using Bytes = std::vector<std::uint8_t>;

constexpr int kWidth = 4000;
constexpr int kHeight = 3000;

// Blotches with sensor-like noise, so that entropy decoding has a photo's work to do.
cv::Mat Scene() {
  cv::Mat rgb(kHeight, kWidth, CV_8UC3);
  math::Rng rng(1);
  for (int y = 0; y < kHeight; ++y) {
    for (int x = 0; x < kWidth; ++x) {
      const double wave = std::sin(x * 0.011 + 2.0 * std::sin(y * 0.007)) * std::cos(y * 0.013);
      const double noise = static_cast<double>(rng.Next() >> 24U) / 16.0 - 8.0;
      rgb.at<cv::Vec3b>(y, x) = {cv::saturate_cast<std::uint8_t>(150 + 60 * wave + noise),
                                 cv::saturate_cast<std::uint8_t>(80 + 40 * wave + noise),
                                 cv::saturate_cast<std::uint8_t>(75 + 35 * wave + noise)};
    }
  }
  return rgb;
}

cv::Mat PlainDecode(const Bytes& jpeg) {
  const std::unique_ptr<void, decltype(&tjDestroy)> decoder(tjInitDecompress(), &tjDestroy);
  cv::Mat rgb(kHeight, kWidth, CV_8UC3);
  if (tjDecompress2(decoder.get(), jpeg.data(), jpeg.size(), rgb.data, kWidth,
                    static_cast<int>(rgb.step), kHeight, TJPF_RGB, 0) != 0) {
    std::fprintf(stderr, "turbojpeg: %s\n", tjGetErrorStr2(decoder.get()));
    std::exit(1);
  }
  return rgb;
}

struct Inputs {
  Bytes plain;
  Bytes turned;
  Bytes wide;
};

const Inputs& Jpegs() {
  static const Inputs inputs = [] {
    const cv::Mat scene = Scene();
    photo::JpegOptions turned;
    turned.exif = photo::WriteExif({6, {}, {}});
    photo::JpegOptions wide;
    wide.icc_profile =
        photo::ProfileFromGamma(2.2, {0.3127, 0.3290, 0.68, 0.32, 0.265, 0.69, 0.15, 0.06});
    return Inputs{photo::EncodeJpeg(scene).value(), photo::EncodeJpeg(scene, turned).value(),
                  photo::EncodeJpeg(scene, wide).value()};
  }();
  return inputs;
}

void CheckResults() {
  const cv::Mat plain = PlainDecode(Jpegs().plain);
  const auto door = photo::DecodePhoto(Jpegs().plain, "plain").value();
  const auto turned = photo::DecodePhoto(Jpegs().turned, "turned").value();
  const auto wide = photo::DecodePhoto(Jpegs().wide, "wide").value();
  cv::Mat upright;
  cv::rotate(plain, upright, cv::ROTATE_90_CLOCKWISE);
  const bool good = cv::norm(door.rgb, plain, cv::NORM_INF) == 0.0 &&
                    turned.rgb.size() == upright.size() &&
                    cv::norm(turned.rgb, upright, cv::NORM_INF) == 0.0 && wide.profile_applied;
  if (!good) {
    std::fprintf(stderr, "results differ: nothing is timed\n");
    std::exit(1);
  }
}

void PlainTurbojpeg(benchmark::State& state) {
  for (auto _ : state) benchmark::DoNotOptimize(PlainDecode(Jpegs().plain).data);
}
void Door(benchmark::State& state, const Bytes& jpeg) {
  for (auto _ : state) benchmark::DoNotOptimize(photo::DecodePhoto(jpeg, "bench")->rgb.data);
}

}  // namespace

int main(int argc, char** argv) {
  CheckResults();
  const auto add = [](auto* bench) { bench->Unit(benchmark::kMillisecond)->UseRealTime(); };
  add(benchmark::RegisterBenchmark("jpeg_12mp/plain_turbojpeg", PlainTurbojpeg));
  add(benchmark::RegisterBenchmark("jpeg_12mp/door", Door, Jpegs().plain));
  add(benchmark::RegisterBenchmark("jpeg_12mp/door_turned", Door, Jpegs().turned));
  add(benchmark::RegisterBenchmark("jpeg_12mp/door_wide_profile", Door, Jpegs().wide));
  benchmark::Initialize(&argc, argv);
  benchmark::RunSpecifiedBenchmarks();
  return 0;
}
