// SPDX-License-Identifier: Apache-2.0
// JPEG through libjpeg-turbo's libjpeg interface, which gives pixels, EXIF, profile and warnings in
// one pass. Settings are those of a plain decode: accurate integer transform, smooth chroma.
#include <cstdio>
// clang-format off
#include <jpeglib.h>
#include <jerror.h>
// clang-format on

#include <csetjmp>
#include <cstdlib>
#include <cstring>
#include <memory>

#include "photo/raw_picture.h"

namespace ribwright::photo {
namespace {

// libjpeg-turbo's own advice against files that name thousands of empty passes.
constexpr int kMostScans = 500;

struct Trouble {
  jpeg_error_mgr base{};  // first, so that libjpeg's pointer is also ours
  std::jmp_buf escape{};
  bool ended_early = false;
  bool damaged = false;
  bool too_many_scans = false;
  int fatal = 0;
  char text[JMSG_LENGTH_MAX]{};
};

void OnFatal(j_common_ptr info) {
  auto* trouble = reinterpret_cast<Trouble*>(info->err);
  trouble->fatal = info->err->msg_code;
  info->err->format_message(info, trouble->text);
  std::longjmp(trouble->escape, 1);
}

void OnMessage(j_common_ptr info, int level) {
  if (level >= 0) return;  // a trace
  auto* trouble = reinterpret_cast<Trouble*>(info->err);
  switch (info->err->msg_code) {
    case JWRN_JPEG_EOF:
    case JWRN_HIT_MARKER:
      trouble->ended_early = true;
      return;
    case JWRN_HUFF_BAD_CODE:
    case JWRN_ARITH_BAD_CODE:
    case JWRN_MUST_RESYNC:
    case JWRN_BOGUS_PROGRESSION:
      if (!trouble->damaged) info->err->format_message(info, trouble->text);
      trouble->damaged = true;
      return;
    default:
      return;  // stray bytes between segments and odd version numbers change no pixel
  }
}

void OnProgress(j_common_ptr info) {
  if (reinterpret_cast<j_decompress_ptr>(info)->input_scan_number <= kMostScans) return;
  auto* trouble = reinterpret_cast<Trouble*>(info->err);
  trouble->too_many_scans = true;
  std::longjmp(trouble->escape, 1);
}

// Each method may be left by longjmp, so only plain data lives in them.
class JpegReader {
 public:
  JpegReader() {
    info_.err = jpeg_std_error(&trouble_.base);
    trouble_.base.error_exit = OnFatal;
    trouble_.base.emit_message = OnMessage;
    progress_.progress_monitor = OnProgress;
  }
  JpegReader(const JpegReader&) = delete;
  JpegReader& operator=(const JpegReader&) = delete;
  ~JpegReader() {
    jpeg_destroy_decompress(&info_);
    std::free(profile_);
  }

  bool ReadHeader(const unsigned char* bytes, std::size_t size) {
    if (setjmp(trouble_.escape) != 0) return false;
    jpeg_create_decompress(&info_);
    info_.progress = &progress_;
    jpeg_mem_src(&info_, bytes, static_cast<unsigned long>(size));
    jpeg_save_markers(&info_, JPEG_APP0 + 1, 0xFFFF);
    jpeg_save_markers(&info_, JPEG_APP0 + 2, 0xFFFF);
    jpeg_read_header(&info_, TRUE);
    jpeg_read_icc_profile(&info_, &profile_, &profile_size_);
    return true;
  }

  bool ReadPixels(unsigned char* data, std::size_t step) {
    if (setjmp(trouble_.escape) != 0) return false;
    info_.out_color_space = JCS_RGB;
    jpeg_start_decompress(&info_);
    while (info_.output_scanline < info_.output_height && Sound()) {
      constexpr JDIMENSION kRows = 8;
      JSAMPROW rows[kRows];
      JDIMENSION count = 0;
      for (; count < kRows && info_.output_scanline + count < info_.output_height; ++count) {
        rows[count] = data + step * (info_.output_scanline + count);
      }
      jpeg_read_scanlines(&info_, rows, count);
    }
    // Reads on to the end mark, so that its absence is noticed too.
    if (Sound()) jpeg_finish_decompress(&info_);
    return Sound();
  }

  const jpeg_decompress_struct& info() const { return info_; }
  const Trouble& trouble() const { return trouble_; }
  std::vector<std::uint8_t> Profile() const {
    if (profile_ == nullptr) return {};
    return {profile_, profile_ + profile_size_};
  }
  std::vector<std::uint8_t> Exif() const {
    for (auto* marker = info_.marker_list; marker != nullptr; marker = marker->next) {
      if (marker->marker == JPEG_APP0 + 1 && marker->data_length > 6 &&
          std::memcmp(marker->data, "Exif\0\0", 6) == 0) {
        return {marker->data, marker->data + marker->data_length};
      }
    }
    return {};
  }

 private:
  bool Sound() const { return !trouble_.ended_early && !trouble_.damaged; }

  jpeg_decompress_struct info_{};
  Trouble trouble_;
  jpeg_progress_mgr progress_{};
  JOCTET* profile_ = nullptr;
  unsigned profile_size_ = 0;
};

tl::unexpected<Error> Explain(const Trouble& trouble, const ReadContext& context) {
  if (trouble.ended_early) return Truncated(context);
  if (trouble.too_many_scans) return Corrupt(context, "it has over 500 passes");
  switch (trouble.fatal) {
    case JERR_BAD_PRECISION:
    case JERR_SOF_UNSUPPORTED:
    case JERR_CONVERSION_NOTIMPL:
    case JERR_CCIR601_NOTIMPL:
    case JERR_FRACT_SAMPLE_NOTIMPL:
    case JERR_COMPONENT_COUNT:
      return Unsupported(context, trouble.text);
    case JERR_INPUT_EMPTY:
    case JERR_INPUT_EOF:
      return Truncated(context);
    default:
      return Corrupt(context, trouble.text);
  }
}

}  // namespace

Result<RawPicture> ReadJpeg(std::span<const std::uint8_t> bytes, const ReadContext& context) {
  const auto reader = std::make_unique<JpegReader>();
  if (!reader->ReadHeader(bytes.data(), bytes.size())) return Explain(reader->trouble(), context);
  const auto& info = reader->info();
  const Status size = CheckPixels(info.image_width, info.image_height, context);
  if (!size) return Fail(size.error());
  if (info.jpeg_color_space == JCS_CMYK || info.jpeg_color_space == JCS_YCCK) {
    return Fail(Code::kPhotoCmyk, "The picture holds printing inks (CMYK), not light.",
                std::string(context.name), "Save it again as an RGB JPEG, or photograph anew.");
  }
  RawPicture raw;
  raw.grey = info.jpeg_color_space == JCS_GRAYSCALE;
  raw.exif = reader->Exif();
  raw.icc = reader->Profile();
  raw.pixels.create(static_cast<int>(info.image_height), static_cast<int>(info.image_width),
                    CV_8UC3);
  if (!reader->ReadPixels(raw.pixels.data, raw.pixels.step)) {
    return Explain(reader->trouble(), context);
  }
  return raw;
}

}  // namespace ribwright::photo
