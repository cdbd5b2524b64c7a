// SPDX-License-Identifier: Apache-2.0
// The page that helps a phone to trust the house certificate. It is served over plain HTTP, on a
// port of its own, since a phone that does not trust the server yet cannot be helped over TLS; it
// shows the certificate's fingerprint, which the terminal shows too, and serves nothing else.
#pragma once

#include <string>

#include "server/answer.h"
#include "server/house_certificate.h"

namespace ribwright::server {

// `home`: the address of the program itself.
Answer InstallPage(const HouseCertificate& certificate, const std::string& home);
Answer AuthorityFile(const HouseCertificate& certificate);

}  // namespace ribwright::server
