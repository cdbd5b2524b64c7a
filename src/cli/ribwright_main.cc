// SPDX-License-Identifier: Apache-2.0
#include <cstdio>
#include <exception>

#include "cli/program.h"

int main(int argc, char** argv) {
  try {
    return ribwright::cli::RunProgram(argc, argv);
  } catch (const std::exception& fault) {
    std::fprintf(stderr, "ribwright: a fault in the program; please report it.\n  what: %s\n",
                 fault.what());
  } catch (...) {
    std::fprintf(stderr, "ribwright: a fault in the program; please report it.\n");
  }
  return ribwright::cli::kExitFault;
}
