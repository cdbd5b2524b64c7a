// SPDX-License-Identifier: Apache-2.0
// libFuzzer's door to DecodePhoto: any bytes give a picture within the limits or an error of the
// photo door.
#include <cstddef>
#include <cstdint>

#include "base/check.h"
#include "photo/decode.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  ribwright::photo::DecodeOptions options;
  options.max_pixels = 300'000;  // keeps a run quick
  options.heic_helper = "/nonexistent/helper";
  const auto photo = ribwright::photo::DecodePhoto({data, size}, "fuzz", options);
  if (photo) {
    RIBWRIGHT_CHECK(photo->rgb.type() == CV_8UC3 && !photo->rgb.empty());
    RIBWRIGHT_CHECK(photo->rgb.total() <= options.max_pixels);
  } else {
    RIBWRIGHT_CHECK(photo.error().code != ribwright::Code::kInternal);
    RIBWRIGHT_CHECK(!photo.error().message.empty() && !photo.error().mend.empty());
  }
  return 0;
}
