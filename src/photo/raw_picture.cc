// SPDX-License-Identifier: Apache-2.0
#include "photo/raw_picture.h"

#include <fmt/format.h>

namespace ribwright::photo {

namespace {
constexpr const char* kCopyAgain =
    "Copy the photo again from the phone or camera, or take it again.";
}

Status CheckPixels(std::uint64_t width, std::uint64_t height, const ReadContext& context) {
  // No format read here has more than 2^32 pixels a side, so the product fits.
  if (width == 0 || height == 0) return Corrupt(context, "it says it has no pixels");
  if (width * height > context.options.max_pixels) {
    return Fail(Code::kPhotoTooLarge,
                fmt::format("The photo has {} x {} pixels, more than {:.0f} million.", width,
                            height, static_cast<double>(context.options.max_pixels) / 1e6),
                std::string(context.name), "Save it smaller, 12 million pixels are plenty.");
  }
  return {};
}

tl::unexpected<Error> Truncated(const ReadContext& context) {
  return Fail(Code::kPhotoTruncated, "The picture breaks off before its end.",
              std::string(context.name), kCopyAgain);
}

tl::unexpected<Error> Corrupt(const ReadContext& context, std::string_view detail) {
  return Fail(Code::kPhotoCorrupt, fmt::format("The picture's data are damaged: {}.", detail),
              std::string(context.name), kCopyAgain);
}

tl::unexpected<Error> Unsupported(const ReadContext& context, std::string_view detail) {
  return Fail(Code::kPhotoUnsupported,
              fmt::format("The picture uses a variant of its format that is not read: {}.", detail),
              std::string(context.name), "Save it as an ordinary JPEG or PNG.");
}

tl::unexpected<Error> Animated(const ReadContext& context) {
  return Fail(Code::kPhotoAnimated, "The picture is animated.", std::string(context.name),
              "Save the one frame that shows the cut face as a JPEG or PNG.");
}

}  // namespace ribwright::photo
