// SPDX-License-Identifier: Apache-2.0
#include "run_judge.h"

#include <algorithm>
#include <array>
#include <chrono>

#include "base/files.h"
#include "photo/child_process.h"
#include "report/json.h"

namespace ribwright::bench {
namespace {

using Clock = std::chrono::steady_clock;

constexpr std::size_t kMostJsonBytes = 64'000'000;
constexpr auto kLongest = std::chrono::minutes(10);  // a busy machine may take long

// Runs the program to its end; what it prints is dropped.
Status RunProgram(const std::filesystem::path& binary, const std::vector<std::string>& arguments) {
  const auto child = photo::ChildProcess::Start(binary, arguments, {}, Clock::now() + kLongest);
  if (!child) {
    return Fail(Code::kInternal, "The program cannot be run.", binary.string(), "Run ./run first.");
  }
  using Outcome = photo::ChildProcess::Outcome;
  std::vector<std::uint8_t> block(1 << 12);
  Outcome outcome = Outcome::kFull;
  while (outcome == Outcome::kFull) outcome = child->Read(block);
  if (outcome != Outcome::kEnded) {
    return Fail(Code::kInternal, "The program hung.", binary.string(),
                "Run it by hand on a photo that --keep left.");
  }
  return {};
}

}  // namespace

Result<report::PhotoReport> RunJudge(const std::filesystem::path& binary,
                                     const std::filesystem::path& photo,
                                     const std::vector<std::string>& entered,
                                     const std::filesystem::path& json, bool keep) {
  std::vector<std::string> arguments = {"judge", photo.string(), "--json", json.string()};
  arguments.insert(arguments.end(), entered.begin(), entered.end());
  if (const auto ran = RunProgram(binary, arguments); !ran) return Fail(ran.error());
  const auto text = ReadFileLimited(json, kMostJsonBytes);
  if (!text) return Fail(text.error());
  auto report = report::FromJson({reinterpret_cast<const char*>(text->data()), text->size()});
  if (!keep) std::filesystem::remove(json);
  return report;
}

bool RefusedOrWarned(const report::PhotoReport& report) {
  constexpr std::array kCodes{Code::kOutOfFocus, Code::kGlareHeavy, Code::kNotBeefLike,
                              Code::kEyeUncertain};
  if (report.error) return true;
  return std::any_of(report.warnings.begin(), report.warnings.end(), [&](const auto& caution) {
    return std::find(kCodes.begin(), kCodes.end(), caution.code) != kCodes.end();
  });
}

}  // namespace ribwright::bench
