// SPDX-License-Identifier: Apache-2.0
#include "photo/heic_pipe.h"

#include <gtest/gtest.h>
#include <stdlib.h>
#include <sys/wait.h>

#include <cstdlib>
#include <filesystem>

#include "base/files.h"
#include "photo/decode.h"
#include "photo/heic_protocol.h"
#include "photo/orient.h"
#include "photo/sample_pictures_test.h"

namespace ribwright::photo {
namespace {

namespace fs = std::filesystem;
using Bytes = std::vector<std::uint8_t>;

class HeicPipe : public ::testing::Test {
 protected:
  void SetUp() override {
    std::string pattern = (fs::temp_directory_path() / "ribwright_heic_XXXXXX").string();
    ASSERT_NE(::mkdtemp(pattern.data()), nullptr);
    folder_ = pattern;
  }
  void TearDown() override { fs::remove_all(folder_); }

  // A helper that is a shell script: stands in for one that misbehaves.
  DecodeOptions WithScript(const std::string& body) {
    const fs::path script = folder_ / "helper";
    EXPECT_TRUE(WriteFileAtomically(script, "#!/bin/sh\n" + body + "\n").has_value());
    fs::permissions(script, fs::perms::owner_all);
    DecodeOptions options;
    options.heic_helper = script;
    return options;
  }
  static Bytes Heic() {
    Bytes bytes = {0, 0, 0, 16, 'f', 't', 'y', 'p', 'h', 'e', 'i', 'c', 0, 0, 0, 0};
    bytes.resize(1'000'000);  // more than a pipe holds
    return bytes;
  }
  static Code CodeWith(const DecodeOptions& options) {
    const auto photo = DecodePhoto(Heic(), "a.heic", options);
    return photo ? Code::kInternal : photo.error().code;
  }
  fs::path folder_;
};

TEST_F(HeicPipe, AnAbsentHelperIsSaidAsSuch) {
  DecodeOptions options;
  options.heic_helper = folder_ / "none";
  EXPECT_EQ(CodeWith(options), Code::kHeicHelperMissing);
}

TEST_F(HeicPipe, TheEnvironmentNamesTheHelper) {
  const fs::path script = WithScript("exit 0").heic_helper;
  ::setenv("RIBWRIGHT_HEIC_HELPER", script.c_str(), 1);
  EXPECT_EQ(FindHeicHelper({}), script);
  ::setenv("RIBWRIGHT_HEIC_HELPER", "/no/such/helper", 1);
  EXPECT_TRUE(FindHeicHelper({}).empty());
  ::unsetenv("RIBWRIGHT_HEIC_HELPER");
}

TEST_F(HeicPipe, AHelperThatDiesOrTalksNonsenseIsAnError) {
  EXPECT_EQ(CodeWith(WithScript("exit 3")), Code::kHeicHelperFailed);
  EXPECT_EQ(CodeWith(WithScript("kill -SEGV $$")), Code::kHeicHelperFailed);
  EXPECT_EQ(CodeWith(WithScript("cat >/dev/null; echo 'this is no header but long enough'")),
            Code::kHeicHelperFailed);
  EXPECT_EQ(CodeWith(WithScript("echo RWH1")), Code::kHeicHelperFailed);
  // A file that cannot be run at all.
  DecodeOptions options = WithScript("");
  ASSERT_TRUE(WriteFileAtomically(options.heic_helper,
                                  "\x7F"
                                  "ELF nonsense")
                  .has_value());
  fs::permissions(options.heic_helper, fs::perms::owner_all);
  EXPECT_EQ(CodeWith(options), Code::kHeicHelperFailed);
}

TEST_F(HeicPipe, AHelperThatHangsIsKilledInTime) {
  DecodeOptions options = WithScript("exec sleep 60");
  options.heic_timeout = std::chrono::milliseconds(300);
  const auto start = std::chrono::steady_clock::now();
  EXPECT_EQ(CodeWith(options), Code::kHeicHelperFailed);
  EXPECT_LT(std::chrono::steady_clock::now() - start, std::chrono::seconds(20));
}

TEST_F(HeicPipe, SizesInTheAnswerAreNotTrusted) {
  heic::Header header;
  header.width = header.height = 1U << 20U;
  const auto answer = [&] {
    const auto* bytes = reinterpret_cast<const std::uint8_t*>(&header);
    EXPECT_TRUE(
        WriteFileAtomically(folder_ / "answer", std::span(bytes, sizeof(header))).has_value());
    return WithScript("cat '" + (folder_ / "answer").string() + "'");
  };
  EXPECT_EQ(CodeWith(answer()), Code::kPhotoTooLarge);
  header.width = header.height = 2;
  header.exif_bytes = 0xFFFFFFFF;
  EXPECT_EQ(CodeWith(answer()), Code::kHeicHelperFailed);
  header.exif_bytes = 0;
  EXPECT_EQ(CodeWith(answer()), Code::kHeicHelperFailed);  // and then no pixels come
  const std::pair<heic::HelperStatus, Code> reported[] = {
      {heic::HelperStatus::kTruncated, Code::kPhotoTruncated},
      {heic::HelperStatus::kCorrupt, Code::kPhotoCorrupt},
      {heic::HelperStatus::kTooLarge, Code::kPhotoTooLarge},
      {heic::HelperStatus::kAnimated, Code::kPhotoAnimated},
      {heic::HelperStatus::kUnsupported, Code::kPhotoUnsupported},
      {static_cast<heic::HelperStatus>(77), Code::kHeicHelperFailed},
  };
  for (const auto& [status, code] : reported) {
    header.status = status;
    EXPECT_EQ(CodeWith(answer()), code);
  }
}

// With the real helper and a picture that this machine's own encoder wrote.
class HeicRoundTrip : public HeicPipe {
 protected:
  void SetUp() override {
    HeicPipe::SetUp();
    options_.heic_helper = RIBWRIGHT_BINARY_DIR "/ribwright-heic";
    const std::string sample = RIBWRIGHT_BINARY_DIR "/helpers/heic/heic_sample";
    if (!fs::exists(options_.heic_helper) || !fs::exists(sample)) {
      GTEST_SKIP() << "no HEIC helper: libheif was absent when this was built";
    }
    for (const bool turned : {false, true}) {
      const fs::path file = folder_ / "a.heic";
      // The encoder library keeps memory until the end, which is no matter here.
      const std::string command = "ASAN_OPTIONS=detect_leaks=0 '" + sample + "' '" + file.string() +
                                  (turned ? "' 6" : "' 1");
      const int status = std::system(command.c_str());
      if (WEXITSTATUS(status) == 3) GTEST_SKIP() << "libheif has no HEVC encoder here";
      ASSERT_EQ(status, 0);
      (turned ? turned_ : heic_) = ReadFileLimited(file, 10'000'000).value();
    }
  }
  DecodeOptions options_;
  Bytes heic_;
  Bytes turned_;  // the container asks for a quarter turn clockwise
};

TEST_F(HeicRoundTrip, ThePictureComesBackUnturnedWithItsFocalLength) {
  const auto photo = DecodePhoto(heic_, "a.heic", options_);
  ASSERT_TRUE(photo.has_value()) << photo.error().message;
  EXPECT_EQ(photo->format, PhotoFormat::kHeic);
  // EXIF asks for a turn, but the container does not: only the container counts in HEIC.
  EXPECT_EQ(photo->orientation, 1);
  const cv::Mat sample = testing::Waves(320, 240);
  ASSERT_EQ(photo->rgb.size(), sample.size());
  EXPECT_LT(testing::MeanDifference(photo->rgb, sample), 4.0);
  EXPECT_DOUBLE_EQ(photo->focal_length_mm.value(), 5.1);
  EXPECT_DOUBLE_EQ(photo->focal_length_35mm.value(), 24.0);
}

TEST_F(HeicRoundTrip, ATurnInTheContainerIsMadeOnce) {
  const auto photo = DecodePhoto(turned_, "t.heic", options_);
  ASSERT_TRUE(photo.has_value()) << photo.error().message;
  const cv::Mat upright = Upright(testing::Waves(320, 240), 6);
  ASSERT_EQ(photo->rgb.size(), upright.size());
  EXPECT_LT(testing::MeanDifference(photo->rgb, upright), 4.0);
}

TEST_F(HeicRoundTrip, CutTooLargeAndMovingPicturesAreRefused) {
  for (const double share : {0.02, 0.3, 0.7, 0.99}) {
    const auto size = static_cast<std::size_t>(share * static_cast<double>(heic_.size()));
    const auto photo = DecodePhoto(std::span(heic_).first(size), "a.heic", options_);
    ASSERT_FALSE(photo.has_value()) << share;
    EXPECT_EQ(photo.error().code, Code::kPhotoTruncated) << share << photo.error().message;
  }
  DecodeOptions small = options_;
  small.max_pixels = 1000;
  EXPECT_EQ(DecodePhoto(heic_, "a.heic", small).error().code, Code::kPhotoTooLarge);
  Bytes moving = heic_;
  std::copy_n("msf1", 4, moving.begin() + 8);
  EXPECT_EQ(DecodePhoto(moving, "a.heic", options_).error().code, Code::kPhotoAnimated);
}

TEST_F(HeicRoundTrip, DamageGivesAPictureOrAnErrorNeverAFault) {
  int refused = 0;
  for (std::size_t i = 0; i < 12; ++i) {
    Bytes damaged = heic_;
    for (std::size_t at = 40 + i * 31; at < damaged.size(); at += 97 + i) damaged[at] ^= 0xA5;
    const auto photo = DecodePhoto(damaged, "d.heic", options_);
    if (!photo) {
      ++refused;
      EXPECT_FALSE(photo.error().mend.empty());
    }
  }
  EXPECT_GT(refused, 0);
}

}  // namespace
}  // namespace ribwright::photo
