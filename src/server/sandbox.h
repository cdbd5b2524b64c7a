// SPDX-License-Identifier: Apache-2.0
// Confines this process for good: it can no longer write to the disk or reach the network.
//
// For a process that reads bytes from strangers and needs nothing but its pipes. In order:
//   limits   no file can grow (RLIMIT_FSIZE 0), no core dump, few open files, bounded processor
//            time and, where asked, address space
//   landlock only the folders of programs, libraries, fonts and of this program can be read, none
//            written (kernel 5.13 and later)
//   seccomp  no socket but a pair within the process, no opening for writing, no making, renaming
//            or removing of files, no tracing, mounting, or leaving of the confinement; such calls
//            fail with EPERM, so that a library that tries in vain goes on
// None of them needs root, and all hold for programs started from here (the HEIC helper). Where the
// kernel lacks one, the others still hold; Confined says which do. seccomp is the one that must:
// without it Confine() fails. Call before any thread is started.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "base/result.h"

namespace ribwright::server {

struct Confinement {
  bool landlock = false;
  bool seccomp = false;
  std::vector<std::string> Words() const;
};

struct ConfineOptions {
  std::filesystem::path program_folder;  // readable, beside the system's folders
  unsigned cpu_seconds = 120;
  std::size_t address_space_bytes = 0;  // 0: not bounded (sanitizers reserve terabytes)
};

// What Confine() will reach on this kernel, without confining anything.
Confinement ConfinementHere();

Result<Confinement> Confine(const ConfineOptions& options);

}  // namespace ribwright::server
