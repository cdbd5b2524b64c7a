# ribwright_embed_front(TARGET rw_embedded HEADER server/embedded.h SCHEMAS file… FRONT folder)
#   A library that holds files inside the program, by the assembler's .incbin: SCHEMAS as they are,
#   the files under FRONT gzip'd. Without FRONT/index.html the front's table is empty. The lists are
#   made when CMake configures; a changed file makes it configure anew. SOURCE_DIR/HEADER declares
#   what the generated source defines.
function(ribwright_embed_front)
  cmake_parse_arguments(A "" "TARGET;HEADER;FRONT" "SCHEMAS" ${ARGN})
  set(out ${CMAKE_CURRENT_BINARY_DIR}/embedded)
  file(MAKE_DIRECTORY ${out})
  set(front)
  if(EXISTS ${A_FRONT}/index.html)
    file(GLOB_RECURSE front CONFIGURE_DEPENDS RELATIVE ${A_FRONT} ${A_FRONT}/*)
    list(FILTER front EXCLUDE REGEX "\\.map$")
  else()
    # Looked at again when the folder appears.
    file(GLOB watch CONFIGURE_DEPENDS ${A_FRONT}/index.html)
  endif()

  set(types html:text/html css:text/css js:text/javascript json:application/json svg:image/svg+xml
    png:image/png ico:image/x-icon webmanifest:application/manifest+json woff2:font/woff2
    txt:text/plain webp:image/webp jpg:image/jpeg wasm:application/wasm)
  set(blobs)
  set(schemas)
  set(files)
  set(index 0)
  foreach(path IN LISTS A_SCHEMAS)
    get_filename_component(name ${path} NAME)
    file(SHA256 ${path} hash)
    set_property(DIRECTORY APPEND PROPERTY CMAKE_CONFIGURE_DEPENDS ${path})
    string(APPEND blobs "BLOB(${index}, \"${path}\")  // ${hash}\n")
    string(APPEND schemas "    {\"${name}\", \"application/json\", \"${hash}\", BYTES(${index}), 0},\n")
    math(EXPR index "${index} + 1")
  endforeach()
  foreach(name IN LISTS front)
    set(path ${A_FRONT}/${name})
    file(SHA256 ${path} hash)
    file(SIZE ${path} size)
    set_property(DIRECTORY APPEND PROPERTY CMAKE_CONFIGURE_DEPENDS ${path})
    set(packed ${out}/${hash}.gz)
    if(NOT EXISTS ${packed})
      file(ARCHIVE_CREATE OUTPUT ${packed} PATHS ${path} FORMAT raw COMPRESSION GZip
        COMPRESSION_LEVEL 9)
    endif()
    set(type application/octet-stream)
    foreach(pair IN LISTS types)
      string(REGEX MATCH "^([^:]+):(.+)$" pair ${pair})
      if(name MATCHES "\\.${CMAKE_MATCH_1}$")
        string(REGEX REPLACE "^[^:]+:" "" type ${pair})
      endif()
    endforeach()
    string(APPEND blobs "BLOB(${index}, \"${packed}\")  // ${hash}\n")
    string(APPEND files "    {\"/${name}\", \"${type}\", \"${hash}\", BYTES(${index}), ${size}},\n")
    math(EXPR index "${index} + 1")
  endforeach()

  file(CONFIGURE OUTPUT ${out}/embedded.cc @ONLY CONTENT [=[
// Made by cmake/EmbedFront.cmake.
#include "@A_HEADER@"

#include <cstdint>

#define BLOB(n, path)                                                           \
  asm(".section .rodata\n.balign 16\n.global rw_blob_" #n "\nrw_blob_" #n ":\n" \
      ".incbin \"" path "\"\n.global rw_blob_end_" #n "\nrw_blob_end_" #n       \
      ":\n.byte 0\n.previous\n");                                               \
  extern "C" {                                                                  \
  extern const std::uint8_t rw_blob_##n[];                                      \
  extern const std::uint8_t rw_blob_end_##n[];                                  \
  }
#define BYTES(n) \
  { rw_blob_##n, rw_blob_end_##n }

@blobs@
namespace ribwright::server {

std::vector<EmbeddedFile> EmbeddedSchemas() {
  return {
@schemas@  };
}

std::vector<EmbeddedFile> EmbeddedFront() {
  return {
@files@  };
}

}  // namespace ribwright::server
]=])
  add_library(${A_TARGET} STATIC ${out}/embedded.cc)
  target_include_directories(${A_TARGET} PRIVATE ${CMAKE_SOURCE_DIR}/src)
endfunction()
