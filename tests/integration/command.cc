// SPDX-License-Identifier: Apache-2.0
#include "command.h"

#include <fmt/format.h>
#include <stdlib.h>
#include <sys/wait.h>

#include <cstdlib>
#include <fstream>
#include <sstream>

#include "base/check.h"

namespace ribwright::integration {
namespace {

std::string Quoted(const std::filesystem::path& path) { return fmt::format("'{}'", path.string()); }

}  // namespace

Folder::Folder() {
  std::string name = (std::filesystem::temp_directory_path() / "ribwright_test_XXXXXX").string();
  RIBWRIGHT_CHECK(mkdtemp(name.data()) != nullptr);
  path_ = name;
}

Folder::~Folder() {
  std::error_code ignored;
  std::filesystem::remove_all(path_, ignored);
}

void Folder::Write(const std::string& name, const std::string& text) const {
  const auto file = path_ / name;
  std::filesystem::create_directories(file.parent_path());
  std::ofstream(file, std::ios::binary) << text;
}

Ran Folder::Run(const std::string& command) const {
  const auto out = path_ / ".stdout";
  const auto err = path_ / ".stderr";
  const std::string line = fmt::format("cd {} && {{ {}\n}} </dev/null >{} 2>{}", Quoted(path_),
                                       command, Quoted(out), Quoted(err));
  const int status = std::system(line.c_str());
  return {WIFEXITED(status) ? WEXITSTATUS(status) : -1, ReadText(out), ReadText(err)};
}

std::string Program() { return Quoted(std::filesystem::path(RIBWRIGHT_BINARY_DIR) / "ribwright"); }

std::string Source(const std::string& name) {
  return Quoted(std::filesystem::path(RIBWRIGHT_SOURCE_DIR) / name);
}

std::string ReadText(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary);
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

}  // namespace ribwright::integration
