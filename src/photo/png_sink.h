// SPDX-License-Identifier: Apache-2.0
// The frame that every PNG we write shares: libpng's bytes into a vector, its errors into words.
#pragma once

#include <png.h>

#include <csetjmp>
#include <cstdint>
#include <string>
#include <vector>

#include "base/result.h"

namespace ribwright::photo::png_sink {

struct Sink {
  std::vector<std::uint8_t>* bytes = nullptr;
  std::string problem;
};

inline void OnError(png_structp png, png_const_charp text) {
  static_cast<Sink*>(png_get_error_ptr(png))->problem = text;
  longjmp(png_jmpbuf(png), 1);
}
inline void OnWarning(png_structp, png_const_charp) {}
inline void OnWrite(png_structp png, png_bytep data, std::size_t size) {
  auto* sink = static_cast<Sink*>(png_get_io_ptr(png));
  sink->bytes->insert(sink->bytes->end(), data, data + size);
}
inline void OnFlush(png_structp) {}

// write(png, info) draws the picture and returns false where libpng jumped out of it; it must set
// setjmp itself, with plain data alone in its frame. `bytes` may hold room; `who` names the
// encoder.
template <typename Write>
Result<std::vector<std::uint8_t>> Encoded(std::vector<std::uint8_t> bytes, const char* who,
                                          Write write) {
  Sink sink{&bytes, {}};
  png_structp png = png_create_write_struct(PNG_LIBPNG_VER_STRING, &sink, OnError, OnWarning);
  png_infop info = png == nullptr ? nullptr : png_create_info_struct(png);
  bool done = false;
  if (info != nullptr) {
    png_set_write_fn(png, &sink, OnWrite, OnFlush);
    done = write(png, info);
  }
  png_destroy_write_struct(&png, &info);
  if (!done) {
    return Fail(Code::kInternal, "The PNG encoder failed: " + sink.problem + ".", who,
                "Free some memory and try again.");
  }
  return bytes;
}

}  // namespace ribwright::photo::png_sink
