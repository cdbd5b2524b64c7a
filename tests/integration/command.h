// SPDX-License-Identifier: Apache-2.0
// Runs commands as a user would, in a folder that is removed afterwards.
#pragma once

#include <filesystem>
#include <string>

namespace ribwright::integration {

struct Ran {
  int status = -1;
  std::string out;
  std::string err;
};

class Folder {
 public:
  Folder();
  ~Folder();
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  const std::filesystem::path& path() const { return path_; }
  // Writes a file below the folder, with the folders on its way.
  void Write(const std::string& name, const std::string& text) const;
  // By the shell, with this folder as the current one and no input.
  Ran Run(const std::string& command) const;

 private:
  std::filesystem::path path_;
};

// For use in commands: quoted paths of the program and of a file of the source tree.
std::string Program();
std::string Source(const std::string& name);

std::string ReadText(const std::filesystem::path& path);

}  // namespace ribwright::integration
