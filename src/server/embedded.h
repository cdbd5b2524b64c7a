// SPDX-License-Identifier: Apache-2.0
// Files that are part of the program: the API's schemas, and the built front (web/dist) where it
// was there when the program was built. cmake/EmbedFront.cmake makes the definitions.
#pragma once

#include <cstdint>
#include <span>
#include <string_view>
#include <vector>

namespace ribwright::server {

struct EmbeddedFile {
  std::string_view name;                // "openapi.json"; of the front the path, "/assets/app.js"
  std::string_view type;                // media type
  std::string_view sha256;              // of the file as it was, hexadecimal
  std::span<const std::uint8_t> bytes;  // of the front: gzip'd
  std::size_t plain_size = 0;           // of the front: before gzip
};

std::vector<EmbeddedFile> EmbeddedSchemas();
std::vector<EmbeddedFile> EmbeddedFront();  // empty: the front was not built

}  // namespace ribwright::server
