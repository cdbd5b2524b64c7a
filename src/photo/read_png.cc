// SPDX-License-Identifier: Apache-2.0
// PNG through libpng. Palette, grey and 1-, 2- and 4-bit pictures are widened to 8-bit RGB(A);
// 16-bit ones stay so until their profile is applied.
#include <png.h>

#include <algorithm>
#include <cmath>
#include <csetjmp>
#include <cstring>

#include "photo/png_chunks.h"
#include "photo/profile.h"
#include "photo/raw_picture.h"

namespace ribwright::photo {
namespace {

constexpr std::size_t kLargestChunk = 8'000'000;  // bytes once inflated; a profile is far smaller

struct Source {
  std::span<const std::uint8_t> rest;
  bool ran_out = false;
  char problem[128]{};
};

void OnError(png_structp png, png_const_charp text) {
  auto* source = static_cast<Source*>(png_get_error_ptr(png));
  std::strncpy(source->problem, text, sizeof(source->problem) - 1);
  longjmp(png_jmpbuf(png), 1);
}
void OnWarning(png_structp, png_const_charp) {}
void OnRead(png_structp png, png_bytep data, std::size_t size) {
  auto* source = static_cast<Source*>(png_get_io_ptr(png));
  if (size > source->rest.size()) {
    source->ran_out = true;
    png_error(png, "the data end");
  }
  std::memcpy(data, source->rest.data(), size);
  source->rest = source->rest.subspan(size);
}

// Each method may be left by longjmp, so only plain data lives in them.
class PngReader {
 public:
  explicit PngReader(std::span<const std::uint8_t> bytes) {
    source_.rest = bytes;
    png_ = png_create_read_struct(PNG_LIBPNG_VER_STRING, &source_, OnError, OnWarning);
    if (png_ == nullptr) return;
    info_ = png_create_info_struct(png_);
    png_set_read_fn(png_, &source_, OnRead);
  }
  PngReader(const PngReader&) = delete;
  PngReader& operator=(const PngReader&) = delete;
  ~PngReader() { png_destroy_read_struct(&png_, &info_, nullptr); }

  bool Ready() const { return info_ != nullptr; }

  bool ReadHeader() {
    if (setjmp(png_jmpbuf(png_)) != 0) return false;
    png_set_chunk_malloc_max(png_, kLargestChunk);
    png_set_chunk_cache_max(png_, 128);
    // A damaged side chunk is dropped, damaged pixels are an error.
    png_set_crc_action(png_, PNG_CRC_ERROR_QUIT, PNG_CRC_WARN_DISCARD);
    png_read_info(png_, info_);
    return true;
  }

  bool Grey() const { return (png_get_color_type(png_, info_) & PNG_COLOR_MASK_COLOR) == 0; }
  int Depth() const { return png_get_bit_depth(png_, info_); }
  bool Alpha() const {
    return (png_get_color_type(png_, info_) & PNG_COLOR_MASK_ALPHA) != 0 ||
           png_get_valid(png_, info_, PNG_INFO_tRNS) != 0;
  }

  bool ReadPixels(png_bytepp rows) {
    if (setjmp(png_jmpbuf(png_)) != 0) return false;
    png_set_expand(png_);
    png_set_gray_to_rgb(png_);
    if (Depth() == 16) png_set_swap(png_);  // PNG is big-endian
    png_set_interlace_handling(png_);
    png_read_update_info(png_, info_);
    png_read_image(png_, rows);
    png_read_end(png_, nullptr);
    return true;
  }

  bool HasProfile() const { return png_get_valid(png_, info_, PNG_INFO_iCCP) != 0; }
  std::vector<std::uint8_t> Profile() const {
    png_charp name = nullptr;
    png_bytep data = nullptr;
    png_uint_32 size = 0;
    int method = 0;
    if (png_get_iCCP(png_, info_, &name, &method, &data, &size) != 0) return {data, data + size};
    if (png_get_valid(png_, info_, PNG_INFO_sRGB) != 0) return {};
    return FromGamma();
  }

  const Source& source() const { return source_; }

 private:
  // gAMA (and cHRM) tell the colours of files without a profile; without gAMA it is sRGB.
  std::vector<std::uint8_t> FromGamma() const {
    constexpr double kSrgbGamma = 1.0 / 2.2;  // how PNG writes sRGB's curve in gAMA
    double gamma = 0.0;
    if (png_get_gAMA(png_, info_, &gamma) == 0 || !(gamma > 0.1 && gamma < 10.0)) return {};
    // x, y of white, red, green and blue; without cHRM those of sRGB (IEC 61966-2-1).
    constexpr Chromaticities kSrgb = {0.3127, 0.3290, 0.64, 0.33, 0.30, 0.60, 0.15, 0.06};
    Chromaticities c = kSrgb;
    png_get_cHRM(png_, info_, &c[0], &c[1], &c[2], &c[3], &c[4], &c[5], &c[6], &c[7]);
    bool same = std::abs(gamma - kSrgbGamma) < 0.01;
    for (std::size_t i = 0; i < c.size(); ++i) same = same && std::abs(c[i] - kSrgb[i]) < 0.002;
    if (same) return {};
    return ProfileFromGamma(1.0 / gamma, c);
  }

  Source source_;
  png_structp png_ = nullptr;
  png_infop info_ = nullptr;
};

tl::unexpected<Error> Explain(const Source& source, const ReadContext& context) {
  if (source.ran_out || std::strstr(source.problem, "Not enough") != nullptr) {
    return Truncated(context);
  }
  return Corrupt(context, source.problem);
}

}  // namespace

Result<RawPicture> ReadPng(std::span<const std::uint8_t> bytes, const ReadContext& context) {
  const PngChunks chunks = WalkPng(bytes);
  if (chunks.has_header) {
    const Status size = CheckPixels(chunks.width, chunks.height, context);
    if (!size) return Fail(size.error());
  }
  if (!chunks.whole) return Truncated(context);
  if (chunks.animated) return Animated(context);
  PngReader reader(bytes);
  if (!reader.Ready()) return Corrupt(context, "no memory to read it");
  if (!reader.ReadHeader()) return Explain(reader.source(), context);
  RawPicture raw;
  raw.grey = reader.Grey();
  raw.icc = reader.Profile();
  raw.icc_refused = chunks.has_profile && !reader.HasProfile();
  raw.exif.assign(chunks.exif.begin(), chunks.exif.end());
  raw.pixels.create(static_cast<int>(chunks.height), static_cast<int>(chunks.width),
                    CV_MAKETYPE(reader.Depth() == 16 ? CV_16U : CV_8U, reader.Alpha() ? 4 : 3));
  std::vector<png_bytep> rows(chunks.height);
  for (std::size_t y = 0; y < rows.size(); ++y) rows[y] = raw.pixels.ptr(static_cast<int>(y));
  if (!reader.ReadPixels(rows.data())) return Explain(reader.source(), context);
  return raw;
}

}  // namespace ribwright::photo
