# One library a layer, one test program a layer.
#
# ribwright_layer(NAME photo LAYERS base units math report PACKAGES rw::opencv ...)
#   takes every *.cc of the calling folder (not *_test.cc, not *_main.cc) as library rw_photo and every
#   *_test.cc as program photo_test, whose tests ctest lists one by one.

find_program(CCACHE ccache)
if(CCACHE)
  set(CMAKE_CXX_COMPILER_LAUNCHER ${CCACHE})
endif()

add_library(rw_flags INTERFACE)
target_compile_options(rw_flags INTERFACE -Wall -Wextra -Wshadow -Wconversion -Werror
  -ffp-contract=off -fno-math-errno)
target_include_directories(rw_flags INTERFACE ${CMAKE_SOURCE_DIR}/src)
target_compile_definitions(rw_flags INTERFACE RIBWRIGHT_VERSION="${PROJECT_VERSION}")
if(RIBWRIGHT_SANITIZE)
  target_compile_options(rw_flags INTERFACE -fsanitize=address,undefined -fno-sanitize=vptr
    -fno-omit-frame-pointer
    -Wno-maybe-uninitialized)  # GCC 12 sees false ones in <regex> under the sanitizers
  target_link_options(rw_flags INTERFACE -fsanitize=address,undefined)
endif()
if(RIBWRIGHT_FUZZ)
  target_compile_options(rw_flags INTERFACE -fsanitize=fuzzer-no-link,address,undefined
    -fno-sanitize=vptr -fno-omit-frame-pointer
    -Wno-sign-conversion)  # clang counts it to -Wconversion, g++ does not
  target_link_options(rw_flags INTERFACE -fsanitize=address,undefined)
endif()

function(ribwright_layer)
  cmake_parse_arguments(A "" "NAME" "LAYERS;PACKAGES;TEST_LAYERS;TEST_PACKAGES" ${ARGN})
  file(GLOB all CONFIGURE_DEPENDS ${CMAKE_CURRENT_SOURCE_DIR}/*.cc)
  set(sources ${all})
  list(FILTER sources EXCLUDE REGEX "(_test|_main)\\.cc$")
  set(tests ${all})
  list(FILTER tests INCLUDE REGEX "_test\\.cc$")
  list(TRANSFORM A_LAYERS PREPEND rw_)
  list(TRANSFORM A_TEST_LAYERS PREPEND rw_)
  if(sources)
    add_library(rw_${A_NAME} STATIC ${sources})
    target_link_libraries(rw_${A_NAME} PUBLIC rw_flags ${A_LAYERS} ${A_PACKAGES})
    set(own rw_${A_NAME})
  else()
    add_library(rw_${A_NAME} INTERFACE)
    target_link_libraries(rw_${A_NAME} INTERFACE rw_flags ${A_LAYERS} ${A_PACKAGES})
    set(own rw_${A_NAME})
  endif()
  if(RIBWRIGHT_TESTS AND tests)
    add_executable(${A_NAME}_test ${tests})
    target_link_libraries(${A_NAME}_test PRIVATE ${own} ${A_TEST_LAYERS} ${A_TEST_PACKAGES} GTest::gtest_main)
    target_compile_definitions(${A_NAME}_test PRIVATE
      RIBWRIGHT_SOURCE_DIR="${CMAKE_SOURCE_DIR}" RIBWRIGHT_BINARY_DIR="${CMAKE_BINARY_DIR}")
    gtest_discover_tests(${A_NAME}_test DISCOVERY_TIMEOUT 60 DISCOVERY_MODE PRE_TEST
      PROPERTIES LABELS ${A_NAME} TIMEOUT 300)
  endif()
endfunction()
