// SPDX-License-Identifier: Apache-2.0
#include "photo/exif.h"

#include <libexif/exif-data.h>

#include <array>
#include <cmath>
#include <cstdlib>
#include <cstring>
#include <limits>
#include <memory>

#include "base/check.h"
#include "units/utc_time.h"

namespace ribwright::photo {
namespace {

constexpr std::array<std::uint8_t, 6> kMark = {'E', 'x', 'i', 'f', 0, 0};

struct DataUnref {
  void operator()(ExifData* data) const { exif_data_unref(data); }
};
using DataPtr = std::unique_ptr<ExifData, DataUnref>;

std::optional<double> PositiveRational(const ExifEntry* entry, ExifByteOrder order) {
  if (entry == nullptr || entry->format != EXIF_FORMAT_RATIONAL || entry->size < 8) {
    return std::nullopt;
  }
  const ExifRational r = exif_get_rational(entry->data, order);
  if (r.numerator == 0 || r.denominator == 0) return std::nullopt;
  return static_cast<double>(r.numerator) / static_cast<double>(r.denominator);
}

std::optional<int> Short(const ExifEntry* entry, ExifByteOrder order) {
  if (entry == nullptr || entry->format != EXIF_FORMAT_SHORT || entry->size < 2) {
    return std::nullopt;
  }
  return exif_get_short(entry->data, order);
}

std::string Ascii(const ExifEntry* entry) {
  if (entry == nullptr || entry->format != EXIF_FORMAT_ASCII || entry->data == nullptr) return {};
  const std::string text(reinterpret_cast<const char*>(entry->data), entry->size);
  return text.substr(0, text.find('\0'));
}

// "2026:03:01 12:00:00" and an offset such as "+01:00", or none.
std::string TakenText(const std::string& stated, const std::string& offset) {
  if (stated.size() != 19 || stated[4] != ':' || stated[7] != ':' || stated[10] != ' ') return {};
  std::string text = stated;
  text[4] = text[7] = '-';
  text[10] = 'T';
  // Read as UTC first: a date that does not exist, or blanks, are no date.
  if (!units::TimeFromText(text + "Z")) return {};
  const auto utc = units::TimeFromText(text + offset);
  return !offset.empty() && utc ? units::TimeText(*utc) : text;
}

// A new entry of one value with `size` bytes of room, owned by the directory.
ExifEntry* AddEntry(ExifData& data, ExifIfd ifd, ExifTag tag, ExifFormat format, unsigned size) {
  ExifEntry* entry = exif_entry_new();
  RIBWRIGHT_CHECK(entry != nullptr);
  entry->tag = tag;
  entry->format = format;
  entry->components = 1;
  entry->size = size;
  // libexif frees entry->data with its default allocator, which is free().
  entry->data = static_cast<unsigned char*>(std::calloc(1, size));
  RIBWRIGHT_CHECK(entry->data != nullptr);
  exif_content_add_entry(data.ifd[ifd], entry);
  exif_entry_unref(entry);
  return entry;
}

void CheckLength(double mm) { RIBWRIGHT_CHECK(mm >= 0.001 && mm <= 65535.0); }

}  // namespace

ExifFacts ReadExif(std::span<const std::uint8_t> block) {
  ExifFacts facts;
  std::vector<std::uint8_t> marked;
  if (block.size() < kMark.size() || std::memcmp(block.data(), kMark.data(), kMark.size()) != 0) {
    marked.assign(kMark.begin(), kMark.end());
    marked.insert(marked.end(), block.begin(), block.end());
    block = marked;
  }
  if (block.size() > std::numeric_limits<unsigned>::max() / 2) return facts;
  const DataPtr data(exif_data_new());
  if (!data) return facts;
  exif_data_load_data(data.get(), block.data(), static_cast<unsigned>(block.size()));
  const ExifByteOrder order = exif_data_get_byte_order(data.get());
  const auto orientation =
      Short(exif_content_get_entry(data->ifd[EXIF_IFD_0], EXIF_TAG_ORIENTATION), order);
  if (orientation && *orientation >= 1 && *orientation <= 8) facts.orientation = *orientation;
  ExifContent* photo = data->ifd[EXIF_IFD_EXIF];
  facts.focal_length_mm =
      PositiveRational(exif_content_get_entry(photo, EXIF_TAG_FOCAL_LENGTH), order);
  const auto in_35mm =
      Short(exif_content_get_entry(photo, EXIF_TAG_FOCAL_LENGTH_IN_35MM_FILM), order);
  if (in_35mm && *in_35mm > 0) facts.focal_length_35mm = *in_35mm;
  facts.taken = TakenText(Ascii(exif_content_get_entry(photo, EXIF_TAG_DATE_TIME_ORIGINAL)),
                          Ascii(exif_content_get_entry(photo, EXIF_TAG_OFFSET_TIME_ORIGINAL)));
  return facts;
}

std::vector<std::uint8_t> WriteExif(const ExifFacts& facts) {
  RIBWRIGHT_CHECK(facts.orientation >= 1 && facts.orientation <= 8);
  constexpr ExifByteOrder kOrder = EXIF_BYTE_ORDER_INTEL;
  const DataPtr data(exif_data_new());
  RIBWRIGHT_CHECK(data != nullptr);
  exif_data_set_byte_order(data.get(), kOrder);
  exif_set_short(AddEntry(*data, EXIF_IFD_0, EXIF_TAG_ORIENTATION, EXIF_FORMAT_SHORT, 2)->data,
                 kOrder, static_cast<ExifShort>(facts.orientation));
  if (facts.focal_length_mm) {
    CheckLength(*facts.focal_length_mm);
    ExifEntry* entry =
        AddEntry(*data, EXIF_IFD_EXIF, EXIF_TAG_FOCAL_LENGTH, EXIF_FORMAT_RATIONAL, 8);
    exif_set_rational(entry->data, kOrder,
                      {static_cast<ExifLong>(std::llround(*facts.focal_length_mm * 1000.0)), 1000});
  }
  if (facts.focal_length_35mm) {
    CheckLength(*facts.focal_length_35mm);
    ExifEntry* entry =
        AddEntry(*data, EXIF_IFD_EXIF, EXIF_TAG_FOCAL_LENGTH_IN_35MM_FILM, EXIF_FORMAT_SHORT, 2);
    exif_set_short(entry->data, kOrder,
                   static_cast<ExifShort>(std::lround(*facts.focal_length_35mm)));
  }
  unsigned char* bytes = nullptr;
  unsigned size = 0;
  exif_data_save_data(data.get(), &bytes, &size);
  const std::unique_ptr<unsigned char, decltype(&std::free)> owner(bytes, &std::free);
  RIBWRIGHT_CHECK(bytes != nullptr && size > kMark.size());
  return {bytes, bytes + size};
}

}  // namespace ribwright::photo
