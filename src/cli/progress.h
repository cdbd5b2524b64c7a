// SPDX-License-Identifier: Apache-2.0
// A progress bar on stderr, drawn only where stderr is a terminal and there is more than one step.
#pragma once

#include <cstddef>

namespace ribwright::cli {

class Progress {
 public:
  explicit Progress(std::size_t steps);
  ~Progress();
  Progress(const Progress&) = delete;
  Progress& operator=(const Progress&) = delete;

  void Step();
  // Takes the bar off the line before other text is printed; the next Step draws it again.
  void Clear();

 private:
  void Draw() const;

  std::size_t steps_ = 0;
  std::size_t done_ = 0;
  bool shown_ = false;
};

}  // namespace ribwright::cli
