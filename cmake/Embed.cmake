# ribwright_embed(TARGET rw_face SYMBOL layout_network FILE weights/layout.onnx)
#   puts a file's bytes into the target's read-only data as
#   `extern "C" const unsigned char rw_embedded_SYMBOL[]`, ending at `rw_embedded_SYMBOL_end`.
function(ribwright_embed)
  cmake_parse_arguments(A "" "TARGET;SYMBOL;FILE" "" ${ARGN})
  get_filename_component(file ${A_FILE} ABSOLUTE BASE_DIR ${CMAKE_SOURCE_DIR})
  set(out ${CMAKE_CURRENT_BINARY_DIR}/embedded_${A_SYMBOL}.cc)
  file(WRITE ${out}.new "asm(R\"(
    .pushsection .rodata
    .balign 64
    .global rw_embedded_${A_SYMBOL}
    rw_embedded_${A_SYMBOL}:
    .incbin \"${file}\"
    .global rw_embedded_${A_SYMBOL}_end
    rw_embedded_${A_SYMBOL}_end:
    .byte 0
    .popsection
)\");
")
  configure_file(${out}.new ${out} COPYONLY)
  set_source_files_properties(${out} PROPERTIES OBJECT_DEPENDS ${file})
  target_sources(${A_TARGET} PRIVATE ${out})
endfunction()
