// SPDX-License-Identifier: Apache-2.0
#include "face/network.h"

#include <mutex>
#include <opencv2/dnn.hpp>
#include <utility>
#include <vector>

#include "base/check.h"

namespace ribwright::face {

std::string FingerprintOf(std::span<const std::uint8_t> bytes) {
  std::uint64_t h = 14695981039346656037ULL;  // FNV-1a's offset and prime: memory
  for (const std::uint8_t b : bytes) h = (h ^ b) * 1099511628211ULL;
  std::string text(16, '0');
  for (std::size_t k = 0; k < 16; ++k) text[15 - k] = "0123456789abcdef"[(h >> (4 * k)) & 15U];
  return text;
}

struct Network::Pool {
  std::span<const std::uint8_t> onnx;
  std::mutex mutex;
  std::vector<cv::dnn::Net> idle;
};

Network::Network(std::span<const std::uint8_t> onnx) : pool_(std::make_unique<Pool>()) {
  pool_->onnx = onnx;
}

Network::~Network() = default;

cv::Mat Network::Run(const cv::Mat& blob) {
  cv::dnn::Net net;
  {
    const std::lock_guard lock(pool_->mutex);
    if (!pool_->idle.empty()) {
      net = pool_->idle.back();
      pool_->idle.pop_back();
    }
  }
  if (net.empty()) {
    net = cv::dnn::readNetFromONNX(reinterpret_cast<const char*>(pool_->onnx.data()),
                                   pool_->onnx.size());
    RIBWRIGHT_CHECK(!net.empty());
    net.setPreferableBackend(cv::dnn::DNN_BACKEND_OPENCV);
    net.setPreferableTarget(cv::dnn::DNN_TARGET_CPU);
  }
  net.setInput(blob);
  cv::Mat out = net.forward().clone();
  const std::lock_guard lock(pool_->mutex);
  pool_->idle.push_back(std::move(net));
  return out;
}

}  // namespace ribwright::face
