# SPDX-License-Identifier: Apache-2.0
# cmake -DOUT=FILE.h -DSOURCES=a,b,c -P fingerprint.cmake: a header that names what the renderer is made of, so
# that photos kept from an earlier build are used only where they would come out the same.
string(REPLACE "," ";" SOURCES "${SOURCES}")
set(sum "")
foreach(source IN LISTS SOURCES)
  file(SHA256 "${source}" one)
  string(APPEND sum "${one}\n")
endforeach()
string(SHA256 sum "${sum}")
string(SUBSTRING "${sum}" 0 16 sum)
file(CONFIGURE OUTPUT "${OUT}" CONTENT "// Made by bench/fingerprint.cmake.
#pragma once
namespace ribwright::bench {
inline constexpr char kPhantomFingerprint[] = \"${sum}\";
}
")
