// SPDX-License-Identifier: Apache-2.0
// A neural network that is part of the program: ONNX bytes in, one output out, run on the
// processor.
//
// Loading takes some ten milliseconds and a loaded network may serve one thread at a time, so
// loaded copies are kept and lent out: at most one a thread that ever ran at once. The same input
// gives the same output whichever copy runs. Thread-safe.
#pragma once

#include <cstdint>
#include <memory>
#include <opencv2/core.hpp>
#include <span>
#include <string>

namespace ribwright::face {

// Fingerprint of a network's bytes, for reports: 16 hexadecimal digits (FNV-1a, 64 bit).
std::string FingerprintOf(std::span<const std::uint8_t> bytes);

class Network {
 public:
  // `onnx` must stay alive as long as the network; the bytes are ours, so faults in them end the
  // program.
  explicit Network(std::span<const std::uint8_t> onnx);
  ~Network();
  Network(const Network&) = delete;
  Network& operator=(const Network&) = delete;

  // blob CV_32F, N x C x H x W as the network was exported; returns a copy of its one output.
  cv::Mat Run(const cv::Mat& blob);

 private:
  struct Pool;
  std::unique_ptr<Pool> pool_;
};

}  // namespace ribwright::face
