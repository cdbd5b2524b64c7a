// SPDX-License-Identifier: Apache-2.0
// libjpeg wants <cstdio> before its own header.
#include <cstdio>
// clang-format off
#include <jpeglib.h>
// clang-format on

#include <csetjmp>
#include <cstdlib>
#include <memory>

#include "base/check.h"
#include "photo/encode.h"

namespace ribwright::photo {
namespace {

struct Trouble {
  jpeg_error_mgr base{};  // first, so that libjpeg's pointer is also ours
  std::jmp_buf escape{};
  char text[JMSG_LENGTH_MAX]{};
};

void OnFatal(j_common_ptr info) {
  auto* trouble = reinterpret_cast<Trouble*>(info->err);
  info->err->format_message(info, trouble->text);
  std::longjmp(trouble->escape, 1);
}
void OnMessage(j_common_ptr, int) {}

struct Job {
  jpeg_compress_struct info{};
  Trouble trouble;
  unsigned char* out = nullptr;
  unsigned long size = 0;
};

// Only plain data may live here: libjpeg leaves it by longjmp.
bool Write(Job& job, const cv::Mat& rgb, const JpegOptions& options) {
  if (setjmp(job.trouble.escape) != 0) return false;
  jpeg_create_compress(&job.info);
  jpeg_mem_dest(&job.info, &job.out, &job.size);
  job.info.image_width = static_cast<JDIMENSION>(rgb.cols);
  job.info.image_height = static_cast<JDIMENSION>(rgb.rows);
  job.info.input_components = 3;
  job.info.in_color_space = JCS_RGB;
  jpeg_set_defaults(&job.info);
  jpeg_set_quality(&job.info, options.quality, TRUE);
  const int factor = options.chroma == ChromaGrid::kHalf ? 2 : 1;
  job.info.comp_info[0].h_samp_factor = factor;
  job.info.comp_info[0].v_samp_factor = factor;
  // EXIF files open with APP1, others with JFIF's APP0.
  if (!options.exif.empty()) job.info.write_JFIF_header = FALSE;
  jpeg_start_compress(&job.info, TRUE);
  if (!options.exif.empty()) {
    jpeg_write_marker(&job.info, JPEG_APP0 + 1, options.exif.data(),
                      static_cast<unsigned>(options.exif.size()));
  }
  if (!options.icc_profile.empty()) {
    jpeg_write_icc_profile(&job.info, options.icc_profile.data(),
                           static_cast<unsigned>(options.icc_profile.size()));
  }
  while (job.info.next_scanline < job.info.image_height) {
    auto* row = const_cast<JSAMPLE*>(rgb.ptr(static_cast<int>(job.info.next_scanline)));
    jpeg_write_scanlines(&job.info, &row, 1);
  }
  jpeg_finish_compress(&job.info);
  return true;
}

}  // namespace

Result<std::vector<std::uint8_t>> EncodeJpeg(const cv::Mat& rgb, const JpegOptions& options) {
  RIBWRIGHT_CHECK(!rgb.empty() && rgb.type() == CV_8UC3);
  RIBWRIGHT_CHECK(rgb.cols <= JPEG_MAX_DIMENSION && rgb.rows <= JPEG_MAX_DIMENSION);
  RIBWRIGHT_CHECK(options.quality >= 1 && options.quality <= 100);
  RIBWRIGHT_CHECK(options.exif.size() <= 65'533);  // what one marker can hold
  const auto job = std::make_unique<Job>();
  job->info.err = jpeg_std_error(&job->trouble.base);
  job->trouble.base.error_exit = OnFatal;
  job->trouble.base.emit_message = OnMessage;
  const bool done = Write(*job, rgb, options);
  jpeg_destroy_compress(&job->info);
  const std::unique_ptr<unsigned char, decltype(&std::free)> owner(job->out, &std::free);
  if (!done) {
    return Fail(Code::kInternal, std::string("The JPEG encoder failed: ") + job->trouble.text + ".",
                "EncodeJpeg", "Free some memory and try again.");
  }
  return std::vector<std::uint8_t>(job->out, job->out + job->size);
}

}  // namespace ribwright::photo
