// SPDX-License-Identifier: Apache-2.0
// The house certificate: TLS in a house without a name on the internet.
//
// The first time, DIR/tls gets a certificate authority of the house (EC P-256, ten years) and a
// certificate of this server under it (397 days), whose names are those given; keys are readable by
// their owner only. A phone that has installed the authority trusts the server. The authority is
// constrained (RFC 5280, 4.2.1.10) to names that only mean something inside a house: private and
// link-local addresses, loopback, .local, .lan, .internal, .home.arpa and the names given at the
// start, so that installing it gives nobody else's site away. The server's certificate is made anew
// when it has less than 30 days left or lacks a name. Lifetimes: our own choice within what phones
// take. Error: kCertificateUnusable. OpenSSL does the work; nothing goes over the network.
#pragma once

#include <openssl/ssl.h>

#include <filesystem>
#include <memory>
#include <string>
#include <vector>

#include "base/result.h"
#include "units/utc_time.h"

namespace ribwright::server {

struct HouseCertificate {
  std::filesystem::path authority;    // PEM
  std::filesystem::path certificate;  // PEM, of the server
  std::filesystem::path key;          // PEM, of the server
  std::string authority_der;          // what phones install
  std::string authority_fingerprint;  // SHA-256, "AB:CD:…"
};

// `names`: host names and addresses, as clients write them.
Result<HouseCertificate> OpenHouseCertificate(const std::filesystem::path& folder,
                                              const std::vector<std::string>& names,
                                              units::UtcTime now);

struct FreeTls {
  void operator()(SSL_CTX* context) const { SSL_CTX_free(context); }
};
using TlsContext = std::unique_ptr<SSL_CTX, FreeTls>;

// TLS 1.2 and 1.3 with that certificate.
Result<TlsContext> ServerTls(const HouseCertificate& certificate);

}  // namespace ribwright::server
