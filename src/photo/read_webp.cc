// SPDX-License-Identifier: Apache-2.0
// WebP through libwebp: one still picture, lossy or lossless.
#include <webp/decode.h>
#include <webp/demux.h>

#include <memory>

#include "photo/raw_picture.h"

namespace ribwright::photo {
namespace {

struct DemuxDelete {
  void operator()(WebPDemuxer* demuxer) const { WebPDemuxDelete(demuxer); }
};

std::vector<std::uint8_t> Chunk(const WebPDemuxer* demuxer, const char* type) {
  std::vector<std::uint8_t> data;
  WebPChunkIterator chunk;
  if (WebPDemuxGetChunk(demuxer, type, 1, &chunk) != 0) {
    data.assign(chunk.chunk.bytes, chunk.chunk.bytes + chunk.chunk.size);
  }
  WebPDemuxReleaseChunkIterator(&chunk);
  return data;
}

tl::unexpected<Error> Explain(VP8StatusCode status, const ReadContext& context) {
  switch (status) {
    case VP8_STATUS_NOT_ENOUGH_DATA:
      return Truncated(context);
    case VP8_STATUS_UNSUPPORTED_FEATURE:
      return Unsupported(context, "a WebP feature this build lacks");
    case VP8_STATUS_OUT_OF_MEMORY:
      return Corrupt(context, "no memory to read it");
    default:
      return Corrupt(context, "the WebP stream breaks its own rules");
  }
}

}  // namespace

Result<RawPicture> ReadWebp(std::span<const std::uint8_t> bytes, const ReadContext& context) {
  WebPDecoderConfig config;
  if (WebPInitDecoderConfig(&config) == 0) return Unsupported(context, "another libwebp version");
  const VP8StatusCode header = WebPGetFeatures(bytes.data(), bytes.size(), &config.input);
  if (header != VP8_STATUS_OK) return Explain(header, context);
  const auto& features = config.input;
  const Status size = CheckPixels(static_cast<std::uint64_t>(features.width),
                                  static_cast<std::uint64_t>(features.height), context);
  if (!size) return Fail(size.error());
  if (features.has_animation != 0) return Animated(context);

  const WebPData data{bytes.data(), bytes.size()};
  WebPDemuxState state = WEBP_DEMUX_PARSE_ERROR;
  const std::unique_ptr<WebPDemuxer, DemuxDelete> demuxer(WebPDemuxPartial(&data, &state));
  if (state == WEBP_DEMUX_PARSING_HEADER || state == WEBP_DEMUX_PARSED_HEADER) {
    return Truncated(context);
  }
  if (!demuxer || state == WEBP_DEMUX_PARSE_ERROR) {
    return Corrupt(context, "the WebP container breaks its own rules");
  }
  RawPicture raw;
  raw.exif = Chunk(demuxer.get(), "EXIF");
  raw.icc = Chunk(demuxer.get(), "ICCP");
  const bool alpha = features.has_alpha != 0;
  raw.pixels.create(features.height, features.width, alpha ? CV_8UC4 : CV_8UC3);
  config.options.use_threads = 1;
  config.output.colorspace = alpha ? MODE_RGBA : MODE_RGB;
  config.output.is_external_memory = 1;
  config.output.u.RGBA.rgba = raw.pixels.data;
  config.output.u.RGBA.stride = static_cast<int>(raw.pixels.step);
  config.output.u.RGBA.size = raw.pixels.step * static_cast<std::size_t>(raw.pixels.rows);
  const VP8StatusCode decoded = WebPDecode(bytes.data(), bytes.size(), &config);
  WebPFreeDecBuffer(&config.output);
  if (decoded != VP8_STATUS_OK) return Explain(decoded, context);
  return raw;
}

}  // namespace ribwright::photo
