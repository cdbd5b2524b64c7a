// SPDX-License-Identifier: Apache-2.0
#include "server/install_page.h"

#include <fmt/format.h>

namespace ribwright::server {

Answer InstallPage(const HouseCertificate& certificate, const std::string& home) {
  Answer answer;
  answer.type = "text/html; charset=utf-8";
  answer.body = fmt::format(R"(<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title>Ribwright on this phone</title>
<meta name="viewport" content="width=device-width"></head>
<body><h1>Ribwright on this phone</h1>
<p>Camera and offline use need a connection that the phone trusts. Once, on each phone:</p>
<ol>
<li><a href="/house.crt">Fetch the house certificate</a>.</li>
<li>Compare its SHA-256 fingerprint with the one that the terminal of the house's computer shows.
If they differ, stop. This page has:<br><code>{0}</code></li>
<li>iPhone, iPad: Settings, Profile Downloaded, Install; then Settings, General, About,
Certificate Trust Settings, turn it on.<br>
Android: Settings, search for &ldquo;CA certificate&rdquo;, Install anyway, choose the file.</li>
<li>Open <a href="{1}">{1}</a> and put it on the home screen.</li>
</ol>
<p>The certificate is good for addresses inside this house only. Without it the program still takes
photos from the gallery, after the browser's warning.</p>
</body></html>
)",
                            certificate.authority_fingerprint, home);
  return answer;
}

Answer AuthorityFile(const HouseCertificate& certificate) {
  Answer answer;
  answer.type = "application/x-x509-ca-cert";
  answer.body = certificate.authority_der;
  answer.headers.emplace_back("Content-Disposition", "attachment; filename=\"house.crt\"");
  return answer;
}

}  // namespace ribwright::server
