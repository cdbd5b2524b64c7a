// SPDX-License-Identifier: Apache-2.0
// Pictures of a hundred megabytes come and go while one is rendered or judged. By default the C
// library asks the kernel for each anew and hands it back, and the kernel clears every page again:
// a third of a render's processor time. KeepFreedMemory() makes it keep freed blocks for the next
// use, from one pool for all threads.
//
// For programs, called once before other threads start; never by a library. The peak stays as it
// was; after the peak the process stays that large. Without glibc it does nothing.
#pragma once

namespace ribwright {

void KeepFreedMemory();

}  // namespace ribwright
