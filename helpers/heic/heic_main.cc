// SPDX-License-Identifier: Apache-2.0
// ribwright-heic MAX_PIXELS MAX_BYTES: a HEIC photo on standard input, header and pixels on
// standard output (src/photo/heic_protocol.h). Exit code 0 whenever a header was written, whatever
// its status; 2 on wrong usage. It bounds its own time and memory before it reads a byte.
#include <libheif/heif.h>
#include <sys/resource.h>
#include <unistd.h>

#include <cerrno>
#include <charconv>
#include <cstring>
#include <memory>
#include <optional>
#include <string_view>
#include <vector>

#include "container.h"
#include "photo/heic_protocol.h"

namespace ribwright::heic {
namespace {

// Our own limits: a 100-megapixel photo needs about 1 GB and a few seconds.
constexpr rlim_t kMostSeconds = 30;
constexpr rlim_t kMostMemory = rlim_t{3} << 30U;

using Bytes = std::vector<std::uint8_t>;

void LimitOurselves() {
  const auto limit = [](auto what, rlim_t value) {
    const rlimit both = {value, value};
    ::setrlimit(what, &both);
  };
  limit(RLIMIT_CPU, kMostSeconds);
  limit(RLIMIT_CORE, 0);
#ifndef __SANITIZE_ADDRESS__  // whose shadow memory is all of the address space
  limit(RLIMIT_AS, kMostMemory);
#endif
}

bool WriteAll(const void* data, std::size_t size) {
  const auto* at = static_cast<const char*>(data);
  while (size > 0) {
    const ssize_t done = ::write(STDOUT_FILENO, at, size);
    if (done < 0 && errno == EINTR) continue;
    if (done <= 0) return false;
    at += done;
    size -= static_cast<std::size_t>(done);
  }
  return true;
}

// Nothing when there are more than `limit` bytes or reading fails.
std::optional<Bytes> ReadInput(std::size_t limit) {
  Bytes bytes;
  std::size_t used = 0;
  for (;;) {
    if (used == bytes.size()) bytes.resize(used + (std::size_t{1} << 20U));
    const ssize_t got = ::read(STDIN_FILENO, bytes.data() + used, bytes.size() - used);
    if (got < 0 && errno == EINTR) continue;
    if (got < 0) return std::nullopt;
    if (got == 0) break;
    used += static_cast<std::size_t>(got);
    if (used > limit) return std::nullopt;
  }
  bytes.resize(used);
  return bytes;
}

struct Free {
  void operator()(heif_context* context) const { heif_context_free(context); }
  void operator()(heif_image_handle* handle) const { heif_image_handle_release(handle); }
  void operator()(heif_image* image) const { heif_image_release(image); }
  void operator()(heif_decoding_options* options) const { heif_decoding_options_free(options); }
};
template <typename T>
using Owned = std::unique_ptr<T, Free>;

HelperStatus StatusOf(const heif_error& error) {
  if (error.subcode == heif_suberror_End_of_data) return HelperStatus::kTruncated;
  if (error.subcode == heif_suberror_Security_limit_exceeded) return HelperStatus::kTooLarge;
  switch (error.code) {
    case heif_error_Unsupported_filetype:
    case heif_error_Unsupported_feature:
      return HelperStatus::kUnsupported;
    case heif_error_Memory_allocation_error:
      return HelperStatus::kTooLarge;
    default:
      return HelperStatus::kCorrupt;
  }
}

// The TIFF part of the first EXIF block, or nothing.
Bytes ExifOf(const heif_image_handle* handle) {
  heif_item_id id = 0;
  if (heif_image_handle_get_list_of_metadata_block_IDs(handle, "Exif", &id, 1) < 1) return {};
  const std::size_t size = heif_image_handle_get_metadata_size(handle, id);
  if (size < 4 || size > kMostMetadata) return {};
  Bytes block(size);
  if (heif_image_handle_get_metadata(handle, id, block.data()).code != heif_error_Ok) return {};
  // ISO/IEC 23008-12, annex A: four bytes say how many more lie before the TIFF header.
  const std::size_t skip = (std::size_t{block[0]} << 24U) | (std::size_t{block[1]} << 16U) |
                           (std::size_t{block[2]} << 8U) | block[3];
  if (skip > size - 4) return {};
  return {block.begin() + static_cast<std::ptrdiff_t>(skip + 4), block.end()};
}

Bytes ProfileOf(const heif_image_handle* handle) {
  const std::size_t size = heif_image_handle_get_raw_color_profile_size(handle);
  if (size == 0 || size > kMostMetadata) return {};
  Bytes profile(size);
  if (heif_image_handle_get_raw_color_profile(handle, profile.data()).code != heif_error_Ok) {
    return {};
  }
  return profile;
}

struct Decoded {
  Owned<heif_image> image;
  Bytes exif;
  Bytes icc;
};

HelperStatus Decode(const Bytes& bytes, std::uint64_t max_pixels, Decoded& decoded) {
  const Container container = WalkBoxes(bytes);
  if (container.sequence) return HelperStatus::kAnimated;
  if (!container.whole) return HelperStatus::kTruncated;
  const Owned<heif_context> context(heif_context_alloc());
  if (!context) return HelperStatus::kTooLarge;
  heif_error error = heif_context_read_from_memory_without_copy(context.get(), bytes.data(),
                                                                bytes.size(), nullptr);
  if (error.code != heif_error_Ok) return StatusOf(error);
  heif_image_handle* raw_handle = nullptr;
  error = heif_context_get_primary_image_handle(context.get(), &raw_handle);
  if (error.code != heif_error_Ok) return StatusOf(error);
  const Owned<heif_image_handle> handle(raw_handle);
  const int width = heif_image_handle_get_width(handle.get());
  const int height = heif_image_handle_get_height(handle.get());
  if (width <= 0 || height <= 0) return HelperStatus::kCorrupt;
  if (static_cast<std::uint64_t>(width) * static_cast<std::uint64_t>(height) > max_pixels) {
    return HelperStatus::kTooLarge;
  }
  const Owned<heif_decoding_options> options(heif_decoding_options_alloc());
  if (!options) return HelperStatus::kTooLarge;
  options->convert_hdr_to_8bit = 1;
  heif_image* raw_image = nullptr;
  error = heif_decode_image(handle.get(), &raw_image, heif_colorspace_RGB,
                            heif_chroma_interleaved_RGB, options.get());
  if (error.code != heif_error_Ok) return StatusOf(error);
  decoded.image.reset(raw_image);
  decoded.exif = ExifOf(handle.get());
  decoded.icc = ProfileOf(handle.get());
  return HelperStatus::kDone;
}

bool Answer(HelperStatus status, const Decoded& decoded) {
  Header header;
  header.status = status;
  if (status != HelperStatus::kDone) return WriteAll(&header, sizeof(header));
  int step = 0;
  const std::uint8_t* pixels =
      heif_image_get_plane_readonly(decoded.image.get(), heif_channel_interleaved, &step);
  const int width = heif_image_get_width(decoded.image.get(), heif_channel_interleaved);
  const int height = heif_image_get_height(decoded.image.get(), heif_channel_interleaved);
  if (pixels == nullptr || width <= 0 || height <= 0 || step < 3 * width) {
    return Answer(HelperStatus::kCorrupt, decoded);
  }
  header.width = static_cast<std::uint32_t>(width);
  header.height = static_cast<std::uint32_t>(height);
  header.exif_bytes = static_cast<std::uint32_t>(decoded.exif.size());
  header.icc_bytes = static_cast<std::uint32_t>(decoded.icc.size());
  bool sent = WriteAll(&header, sizeof(header)) &&
              WriteAll(decoded.exif.data(), decoded.exif.size()) &&
              WriteAll(decoded.icc.data(), decoded.icc.size());
  const std::size_t row = std::size_t{3} * header.width;
  for (std::uint32_t y = 0; sent && y < header.height; ++y) {
    sent = WriteAll(pixels + static_cast<std::size_t>(step) * y, row);
  }
  return sent;
}

std::optional<std::uint64_t> Count(std::string_view text) {
  std::uint64_t number = 0;
  const auto [end, failed] = std::from_chars(text.data(), text.data() + text.size(), number);
  if (failed != std::errc() || end != text.data() + text.size()) return std::nullopt;
  return number;
}

int Run(int argc, char** argv) {
  const auto max_pixels = argc == 3 ? Count(argv[1]) : std::nullopt;
  const auto max_bytes = argc == 3 ? Count(argv[2]) : std::nullopt;
  if (!max_pixels || !max_bytes) {
    constexpr std::string_view kUsage = "usage: ribwright-heic MAX_PIXELS MAX_BYTES < photo.heic\n";
    [[maybe_unused]] const ssize_t told = ::write(STDERR_FILENO, kUsage.data(), kUsage.size());
    return 2;
  }
  LimitOurselves();
  Decoded decoded;
  const auto bytes = ReadInput(static_cast<std::size_t>(*max_bytes));
  const HelperStatus status =
      bytes ? Decode(*bytes, *max_pixels, decoded) : HelperStatus::kTooLarge;
  return Answer(status, decoded) ? 0 : 1;
}

}  // namespace
}  // namespace ribwright::heic

int main(int argc, char** argv) { return ribwright::heic::Run(argc, argv); }
