// SPDX-License-Identifier: Apache-2.0
#include "base/keep_memory.h"

#include <cstdlib>  // defines __GLIBC__ where it is

#ifdef __GLIBC__
#include <malloc.h>
#endif

namespace ribwright {

void KeepFreedMemory() {
#ifdef __GLIBC__
  constexpr int kGigabyte = 1 << 30;
  // Each thread's own pool takes no block over 64 MB, so a pool each would not help.
  mallopt(M_ARENA_MAX, 1);
  mallopt(M_MMAP_THRESHOLD, kGigabyte);
  mallopt(M_TRIM_THRESHOLD, kGigabyte);
#endif
}

}  // namespace ribwright
