// SPDX-License-Identifier: Apache-2.0
// TLS with the house's own certificate.
#include <sys/stat.h>

#include "server/addresses.h"
#include "server/house_certificate.h"
#include "server/test_house.h"

namespace ribwright::server {
namespace {

// On loopback, so that the test needs no other network.
TestHouse::Change WithTls() {
  return [](ServeOptions& options) { options.tls = true; };
}

TEST(Tls, AClientThatTrustsTheHouseReachesItAndOthersDoNot) {
  TestHouse house(WithTls());
  httplib::SSLClient trusting("127.0.0.1", house.port());
  trusting.set_ca_cert_path((house.options.data / "tls" / "house.pem").c_str());
  trusting.enable_server_certificate_verification(true);
  const auto health = trusting.Get("/api/v1/health");
  ASSERT_TRUE(health) << httplib::to_string(health.error());
  EXPECT_EQ(health->status, 200);

  httplib::SSLClient stranger("127.0.0.1", house.port());
  stranger.enable_server_certificate_verification(true);
  EXPECT_FALSE(stranger.Get("/api/v1/health"));
  httplib::Client plain("127.0.0.1", house.port());
  EXPECT_FALSE(plain.Get("/api/v1/health"));
}

TEST(Tls, CookiesAreSecureAndBodiesArriveWhole) {
  TestHouse house(WithTls());
  httplib::SSLClient client("127.0.0.1", house.port());
  client.enable_server_certificate_verification(false);
  const Json setup = {
      {"token", house.SetupToken()}, {"name", "ada"}, {"password", "a long enough one"}};
  const auto made = client.Post("/api/v1/setup", JsonText(setup), "application/json");
  ASSERT_TRUE(made);
  ASSERT_EQ(made->status, 201) << made->body;
  const std::string cookie = made->get_header_value("Set-Cookie");
  EXPECT_NE(cookie.find("; Secure"), std::string::npos);
  const httplib::Headers headers = {
      {"Cookie", cookie.substr(0, cookie.find(';'))},
      {"X-CSRF-Token", ParseJson(made->body)->value("csrf_token", "")},
      {"Idempotency-Key", "a-photo-over-tls"}};
  const std::string photo = SmallPhoto(30) + std::string(3'000'000, 'x');  // over many records
  const auto sent = client.Post("/api/v1/photos", headers, photo, "image/jpeg");
  ASSERT_TRUE(sent);
  ASSERT_EQ(sent->status, 201) << sent->body;
  const auto back =
      client.Get("/api/v1/photos/" + ParseJson(sent->body)->value("id", "") + "/original", headers);
  ASSERT_TRUE(back);
  EXPECT_EQ(back->body, photo);
}

TEST(Tls, TheInstallPageIsPlainShowsTheFingerprintAndNothingElse) {
  TestHouse house(WithTls());
  const ServeStarted& started = house.serving->started();
  EXPECT_NE(started.install_url, "");
  httplib::Client phone("127.0.0.1", started.install_port);
  const auto page = phone.Get("/");
  ASSERT_TRUE(page);
  EXPECT_NE(page->body.find(started.fingerprint), std::string::npos);
  const auto file = phone.Get("/house.crt");
  ASSERT_TRUE(file);
  EXPECT_EQ(file->get_header_value("Content-Type"), "application/x-x509-ca-cert");
  EXPECT_EQ(static_cast<unsigned char>(file->body.front()), 0x30);  // DER
  EXPECT_EQ(phone.Get("/api/v1/health")->body, page->body);
  EXPECT_FALSE(TerminalCode(started.install_url).empty());
}

TEST(HouseCertificate, IsKeptMadeAnewForANewNameAndRenewedInTime) {
  const auto folder = std::filesystem::path(RIBWRIGHT_BINARY_DIR) / "test_files" / "tls";
  std::filesystem::remove_all(folder);
  const units::UtcTime now{1'800'000'000'000};
  const auto read = [&] {
    std::ifstream file(folder / "server.pem");
    return std::string(std::istreambuf_iterator<char>(file), {});
  };
  const auto first = OpenHouseCertificate(folder, {"localhost", "192.168.1.5"}, now);
  ASSERT_TRUE(first) << first.error().message;
  const std::string server = read();
  struct stat info {};
  ASSERT_EQ(::stat((folder / "house.key").c_str(), &info), 0);
  EXPECT_EQ(info.st_mode & 0777, 0600U);

  const auto same = OpenHouseCertificate(folder, {"localhost"}, now);
  ASSERT_TRUE(same);
  EXPECT_EQ(read(), server);
  EXPECT_EQ(same->authority_fingerprint, first->authority_fingerprint);

  ASSERT_TRUE(OpenHouseCertificate(folder, {"localhost", "10.0.0.7", "kitchen.local"}, now));
  const std::string more = read();
  EXPECT_NE(more, server);
  const auto month = std::chrono::hours(24 * 370);
  const auto renewed = OpenHouseCertificate(folder, {"localhost"}, now + month);
  ASSERT_TRUE(renewed) << renewed.error().message;
  EXPECT_NE(read(), more);
  EXPECT_EQ(renewed->authority_fingerprint, first->authority_fingerprint);

  // A name of the internet: the authority that phones installed does not stretch to it.
  const auto outside = OpenHouseCertificate(folder, {"localhost", "www.example.com"}, now);
  ASSERT_FALSE(outside);
  EXPECT_EQ(outside.error().code, Code::kCertificateUnusable);
  std::filesystem::remove_all(folder);
}

}  // namespace
}  // namespace ribwright::server
