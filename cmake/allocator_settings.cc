// SPDX-License-Identifier: Apache-2.0
// Settings of jemalloc, read at start. Judging takes and gives back pictures of megabytes many
// times: with huge pages, and pages kept for a while instead of handed back at once, a photo of 12
// MP costs a third less processor time than with the C library's allocator (measured;
// docs/quality.md).
extern "C" {
const char* malloc_conf = "thp:always,narenas:2,dirty_decay_ms:10000,muzzy_decay_ms:10000";
}
