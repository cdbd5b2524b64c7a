// SPDX-License-Identifier: Apache-2.0
// heic_sample OUT: writes the tests' sample picture as HEIC, with EXIF that asks for a turn
// (orientation 6) and a focal length. Exit code 3 when this machine's libheif has no HEVC encoder.
// For tests only.
#include <libheif/heif.h>

#include <cstring>
#include <memory>

#include "photo/exif.h"
#include "photo/sample_pictures_test.h"

namespace {

bool Good(const heif_error& error) { return error.code == heif_error_Ok; }

int Write(const char* path, bool turned) {
  constexpr int kNoEncoder = 3;
  const cv::Mat rgb = ribwright::photo::testing::Waves(320, 240);
  const std::unique_ptr<heif_context, decltype(&heif_context_free)> context(heif_context_alloc(),
                                                                            &heif_context_free);
  heif_encoder* raw_encoder = nullptr;
  if (!Good(heif_context_get_encoder_for_format(context.get(), heif_compression_HEVC,
                                                &raw_encoder))) {
    return kNoEncoder;
  }
  const std::unique_ptr<heif_encoder, decltype(&heif_encoder_release)> encoder(
      raw_encoder, &heif_encoder_release);
  heif_encoder_set_lossy_quality(encoder.get(), 90);
  heif_image* raw_image = nullptr;
  if (!Good(heif_image_create(rgb.cols, rgb.rows, heif_colorspace_RGB, heif_chroma_interleaved_RGB,
                              &raw_image))) {
    return 1;
  }
  const std::unique_ptr<heif_image, decltype(&heif_image_release)> image(raw_image,
                                                                         &heif_image_release);
  heif_image_add_plane(image.get(), heif_channel_interleaved, rgb.cols, rgb.rows, 8);
  int step = 0;
  auto* pixels = heif_image_get_plane(image.get(), heif_channel_interleaved, &step);
  for (int y = 0; y < rgb.rows; ++y) {
    std::memcpy(pixels + static_cast<std::ptrdiff_t>(step) * y, rgb.ptr(y),
                static_cast<std::size_t>(rgb.cols) * 3);
  }
  const std::unique_ptr<heif_encoding_options, decltype(&heif_encoding_options_free)> options(
      heif_encoding_options_alloc(), &heif_encoding_options_free);
  if (turned) options->image_orientation = heif_orientation_rotate_90_cw;
  heif_image_handle* raw_handle = nullptr;
  if (!Good(heif_context_encode_image(context.get(), image.get(), encoder.get(), options.get(),
                                      &raw_handle))) {
    return 1;
  }
  const std::unique_ptr<heif_image_handle, decltype(&heif_image_handle_release)> handle(
      raw_handle, &heif_image_handle_release);
  const auto exif = ribwright::photo::WriteExif({6, 5.1, 24.0});
  if (!Good(heif_context_add_exif_metadata(context.get(), handle.get(), exif.data(),
                                           static_cast<int>(exif.size())))) {
    return 1;
  }
  return Good(heif_context_write_to_file(context.get(), path)) ? 0 : 1;
}

}  // namespace

int main(int argc, char** argv) {
  return argc == 3 ? Write(argv[1], std::strcmp(argv[2], "6") == 0) : 2;
}
