// SPDX-License-Identifier: Apache-2.0
#include "server/addresses.h"

#include <arpa/inet.h>
#include <ifaddrs.h>
#include <net/if.h>
#include <netinet/in.h>
#include <unistd.h>
#include <zint.h>

#include <algorithm>
#include <array>
#include <cstring>
#include <memory>

namespace ribwright::server {

bool IsLoopback(const std::string& address) {
  return address == "localhost" || address == "::1" || address.starts_with("127.");
}

bool IsAnyAddress(const std::string& address) {
  return address == "0.0.0.0" || address == "::" || address == "*";
}

std::vector<std::string> OwnAddresses() {
  ifaddrs* first = nullptr;
  if (::getifaddrs(&first) != 0) return {};
  const std::unique_ptr<ifaddrs, decltype(&::freeifaddrs)> owner(first, &::freeifaddrs);
  std::vector<std::string> v4;
  std::vector<std::string> v6;
  for (const ifaddrs* at = first; at != nullptr; at = at->ifa_next) {
    if (at->ifa_addr == nullptr || (at->ifa_flags & IFF_UP) == 0 ||
        (at->ifa_flags & IFF_LOOPBACK) != 0) {
      continue;
    }
    std::array<char, INET6_ADDRSTRLEN> text{};
    if (at->ifa_addr->sa_family == AF_INET) {
      const auto* address = reinterpret_cast<const sockaddr_in*>(at->ifa_addr);
      ::inet_ntop(AF_INET, &address->sin_addr, text.data(), text.size());
      v4.emplace_back(text.data());
    } else if (at->ifa_addr->sa_family == AF_INET6) {
      const auto* address = reinterpret_cast<const sockaddr_in6*>(at->ifa_addr);
      if (IN6_IS_ADDR_LINKLOCAL(&address->sin6_addr)) continue;
      ::inet_ntop(AF_INET6, &address->sin6_addr, text.data(), text.size());
      v6.emplace_back(text.data());
    }
  }
  v4.insert(v4.end(), v6.begin(), v6.end());
  return v4;
}

std::string HostName() {
  std::array<char, 256> text{};
  if (::gethostname(text.data(), text.size() - 1) != 0) return {};
  std::string name(text.data());
  std::transform(name.begin(), name.end(), name.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  return name;
}

std::string InUrl(const std::string& host) {
  if (host.find(':') == std::string::npos) return host;
  return std::string("[").append(host).append("]");
}

std::string TerminalCode(const std::string& text) {
  const std::unique_ptr<zint_symbol, decltype(&ZBarcode_Delete)> symbol(ZBarcode_Create(),
                                                                        &ZBarcode_Delete);
  if (!symbol) return {};
  symbol->symbology = BARCODE_QRCODE;
  const auto* bytes = reinterpret_cast<const unsigned char*>(text.data());
  if (ZBarcode_Encode(symbol.get(), bytes, static_cast<int>(text.size())) != 0) return {};
  const auto dark = [&](int row, int column) {
    if (row < 0 || column < 0 || row >= symbol->rows || column >= symbol->width) return false;
    const auto& line = symbol->encoded_data[row];
    return ((line[column >> 3] >> (column & 7)) & 1) != 0;
  };
  constexpr int kQuiet = 2;
  std::string out;
  for (int row = -kQuiet; row < symbol->rows + kQuiet; row += 2) {
    out += "  ";
    for (int column = -kQuiet; column < symbol->width + kQuiet; ++column) {
      // Light modules are drawn, since the ground is dark.
      const bool upper = !dark(row, column);
      const bool lower = !dark(row + 1, column) && row + 1 < symbol->rows + kQuiet;
      out += upper && lower ? "\u2588" : upper ? "\u2580" : lower ? "\u2584" : " ";
    }
    out += '\n';
  }
  return out;
}

}  // namespace ribwright::server
