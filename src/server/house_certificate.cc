// SPDX-License-Identifier: Apache-2.0
#include "server/house_certificate.h"

#include <arpa/inet.h>
#include <fcntl.h>
#include <openssl/err.h>
#include <openssl/evp.h>
#include <openssl/pem.h>
#include <openssl/rand.h>
#include <openssl/x509v3.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cstdio>

#include "base/files.h"

namespace ribwright::server {
namespace {

namespace fs = std::filesystem;

template <auto Free>
struct Freer {
  template <typename T>
  void operator()(T* object) const {
    Free(object);
  }
};
using Key = std::unique_ptr<EVP_PKEY, Freer<EVP_PKEY_free>>;
using Certificate = std::unique_ptr<X509, Freer<X509_free>>;
using Bio = std::unique_ptr<BIO, Freer<BIO_free_all>>;

constexpr long kDay = 86400;
constexpr long kAuthorityDays = 3652;
constexpr long kServerDays = 397;
constexpr long kRenewDays = 30;

tl::unexpected<Error> Unusable(const std::string& what, const fs::path& where) {
  std::array<char, 256> why{};
  ERR_error_string_n(ERR_get_error(), why.data(), why.size());
  return Fail(
      Code::kCertificateUnusable, what + " (" + why.data() + ").", where.string(),
      "Remove the folder to have a new certificate made; phones must then install it anew.");
}

bool IsAddress(const std::string& name) {
  std::array<unsigned char, 16> bytes{};
  return ::inet_pton(AF_INET, name.c_str(), bytes.data()) == 1 ||
         ::inet_pton(AF_INET6, name.c_str(), bytes.data()) == 1;
}

Status WriteText(const fs::path& path, const std::string& text, mode_t mode) {
  const fs::path part = path.string() + ".new";
  ::unlink(part.c_str());
  const int fd = ::open(part.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, mode);
  bool done = fd >= 0 && ::write(fd, text.data(), text.size()) == static_cast<ssize_t>(text.size());
  done = done && ::fsync(fd) == 0;
  if (fd >= 0) ::close(fd);
  done = done && ::rename(part.c_str(), path.c_str()) == 0;
  if (done) return {};
  return Fail(Code::kCertificateUnusable, "The certificate cannot be written.", path.string(),
              "Look at the data folder's permissions and room.");
}

std::string TextOf(BIO* bio) {
  char* data = nullptr;
  const long size = BIO_get_mem_data(bio, &data);
  return size > 0 ? std::string(data, static_cast<std::size_t>(size)) : std::string();
}

std::string PemOf(X509* certificate) {
  const Bio bio(BIO_new(BIO_s_mem()));
  PEM_write_bio_X509(bio.get(), certificate);
  return TextOf(bio.get());
}

std::string PemOf(EVP_PKEY* key) {
  const Bio bio(BIO_new(BIO_s_mem()));
  PEM_write_bio_PrivateKey(bio.get(), key, nullptr, nullptr, 0, nullptr, nullptr);
  return TextOf(bio.get());
}

template <typename T, typename Read>
T FromPem(const fs::path& path, Read read) {
  const auto bytes = ReadFileLimited(path, 1 << 20);
  if (!bytes) return nullptr;
  const Bio bio(BIO_new_mem_buf(bytes->data(), static_cast<int>(bytes->size())));
  return T(read(bio.get(), nullptr, nullptr, nullptr));
}

bool Extend(X509* certificate, X509* issuer, int nid, const std::string& value) {
  X509V3_CTX context;
  X509V3_set_ctx(&context, issuer, certificate, nullptr, nullptr, 0);
  const std::unique_ptr<X509_EXTENSION, Freer<X509_EXTENSION_free>> extension(
      X509V3_EXT_conf_nid(nullptr, &context, nid, value.c_str()));
  return extension && X509_add_ext(certificate, extension.get(), -1) == 1;
}

bool SetBasics(X509* certificate, EVP_PKEY* key, const std::string& name, units::UtcTime now,
               long days) {
  std::array<unsigned char, 16> serial{};
  if (RAND_bytes(serial.data(), serial.size()) != 1) return false;
  serial[0] &= 0x7F;
  const std::unique_ptr<BIGNUM, Freer<BN_free>> number(
      BN_bin2bn(serial.data(), serial.size(), nullptr));
  const auto from = static_cast<time_t>(now.ms / 1000);
  X509_NAME* subject = X509_get_subject_name(certificate);
  const auto add = [&](const char* field, const std::string& text) {
    return X509_NAME_add_entry_by_txt(subject, field, MBSTRING_UTF8,
                                      reinterpret_cast<const unsigned char*>(text.c_str()), -1, -1,
                                      0) == 1;
  };
  // A day's grace for phones whose clock is behind.
  return X509_set_version(certificate, X509_VERSION_3) == 1 &&
         BN_to_ASN1_INTEGER(number.get(), X509_get_serialNumber(certificate)) != nullptr &&
         ASN1_TIME_set(X509_getm_notBefore(certificate), from - kDay) != nullptr &&
         ASN1_TIME_set(X509_getm_notAfter(certificate), from + (days - 1) * kDay) != nullptr &&
         X509_set_pubkey(certificate, key) == 1 && add("O", "Ribwright") && add("CN", name);
}

std::string Constraints(const std::vector<std::string>& names) {
  // Address constraints are address and mask.
  std::string text =
      "permitted;IP:10.0.0.0/255.0.0.0,permitted;IP:172.16.0.0/255.240.0.0,"
      "permitted;IP:192.168.0.0/255.255.0.0,permitted;IP:127.0.0.0/255.0.0.0,"
      "permitted;IP:169.254.0.0/255.255.0.0,permitted;IP:100.64.0.0/255.192.0.0,"
      "permitted;IP:::1/FFFF:FFFF:FFFF:FFFF:FFFF:FFFF:FFFF:FFFF,permitted;IP:FC00::/FE00::,"
      "permitted;IP:FE80::/FFC0::,permitted;DNS:localhost,permitted;DNS:local,permitted;DNS:lan,"
      "permitted;DNS:internal,permitted;DNS:home.arpa";
  for (const std::string& name : names) {
    if (!IsAddress(name)) {
      text += ",permitted;DNS:" + name;
    } else if (name.find(':') == std::string::npos) {
      text += ",permitted;IP:" + name + "/255.255.255.255";
    } else {
      text += ",permitted;IP:" + name + "/FFFF:FFFF:FFFF:FFFF:FFFF:FFFF:FFFF:FFFF";
    }
  }
  return text;
}

Status MakeAuthority(const fs::path& folder, const std::vector<std::string>& names,
                     units::UtcTime now) {
  const Key key(EVP_EC_gen("P-256"));
  const Certificate made(X509_new());
  X509* certificate = made.get();
  std::array<unsigned char, 3> mark{};
  RAND_bytes(mark.data(), mark.size());
  std::array<char, 7> tail{};
  std::snprintf(tail.data(), tail.size(), "%02X%02X%02X", mark[0], mark[1], mark[2]);
  const bool done =
      key && certificate != nullptr &&
      SetBasics(certificate, key.get(), std::string("Ribwright house ") + tail.data(), now,
                kAuthorityDays) &&
      X509_set_issuer_name(certificate, X509_get_subject_name(certificate)) == 1 &&
      Extend(certificate, certificate, NID_basic_constraints, "critical,CA:TRUE,pathlen:0") &&
      Extend(certificate, certificate, NID_key_usage, "critical,keyCertSign,cRLSign") &&
      Extend(certificate, certificate, NID_subject_key_identifier, "hash") &&
      Extend(certificate, certificate, NID_name_constraints, "critical," + Constraints(names)) &&
      X509_sign(certificate, key.get(), EVP_sha256()) > 0;
  if (!done) return Unusable("The house certificate cannot be made", folder);
  if (const Status put = WriteText(folder / "house.key", PemOf(key.get()), 0600); !put) return put;
  return WriteText(folder / "house.pem", PemOf(certificate), 0644);
}

Status MakeServer(const fs::path& folder, X509* authority, EVP_PKEY* authority_key,
                  const std::vector<std::string>& names, units::UtcTime now) {
  std::string alternatives;
  for (const std::string& name : names) {
    alternatives += (alternatives.empty() ? "" : ",");
    alternatives += (IsAddress(name) ? "IP:" : "DNS:") + name;
  }
  const Key key(EVP_EC_gen("P-256"));
  const Certificate made(X509_new());
  X509* certificate = made.get();
  const bool done = key && certificate != nullptr &&
                    SetBasics(certificate, key.get(), "Ribwright server", now, kServerDays) &&
                    X509_set_issuer_name(certificate, X509_get_subject_name(authority)) == 1 &&
                    Extend(certificate, authority, NID_basic_constraints, "critical,CA:FALSE") &&
                    Extend(certificate, authority, NID_key_usage, "critical,digitalSignature") &&
                    Extend(certificate, authority, NID_ext_key_usage, "serverAuth") &&
                    Extend(certificate, authority, NID_subject_key_identifier, "hash") &&
                    Extend(certificate, authority, NID_authority_key_identifier, "keyid") &&
                    Extend(certificate, authority, NID_subject_alt_name, alternatives) &&
                    X509_sign(certificate, authority_key, EVP_sha256()) > 0;
  if (!done) return Unusable("The server's certificate cannot be made", folder);
  if (const Status put = WriteText(folder / "server.key", PemOf(key.get()), 0600); !put) return put;
  return WriteText(folder / "server.pem", PemOf(certificate), 0644);
}

bool Holds(X509* certificate, const std::string& name) {
  return IsAddress(name) ? X509_check_ip_asc(certificate, name.c_str(), 0) == 1
                         : X509_check_host(certificate, name.c_str(), name.size(), 0, nullptr) == 1;
}

bool StillGood(X509* certificate, X509* authority, const std::vector<std::string>& names,
               units::UtcTime now) {
  auto soon = static_cast<time_t>(now.ms / 1000 + kRenewDays * kDay);
  const Key issuer(X509_get_pubkey(authority));
  return X509_cmp_time(X509_get0_notAfter(certificate), &soon) > 0 &&
         X509_verify(certificate, issuer.get()) == 1 &&
         std::all_of(names.begin(), names.end(),
                     [&](const std::string& name) { return Holds(certificate, name); });
}

// As a phone will see it: also whether the authority's constraints allow every name.
bool PhonesWillTrust(X509* certificate, X509* authority) {
  const std::unique_ptr<X509_STORE, Freer<X509_STORE_free>> trusted(X509_STORE_new());
  const std::unique_ptr<X509_STORE_CTX, Freer<X509_STORE_CTX_free>> context(X509_STORE_CTX_new());
  return X509_STORE_add_cert(trusted.get(), authority) == 1 &&
         X509_STORE_CTX_init(context.get(), trusted.get(), certificate, nullptr) == 1 &&
         // When it holds was checked by the house's own clock.
         X509_VERIFY_PARAM_set_flags(X509_STORE_CTX_get0_param(context.get()),
                                     X509_V_FLAG_NO_CHECK_TIME) == 1 &&
         X509_verify_cert(context.get()) == 1;
}

std::string Fingerprint(X509* certificate) {
  std::array<unsigned char, EVP_MAX_MD_SIZE> digest{};
  unsigned size = 0;
  X509_digest(certificate, EVP_sha256(), digest.data(), &size);
  std::string text;
  for (unsigned i = 0; i < size; ++i) {
    std::array<char, 4> hex{};
    std::snprintf(hex.data(), hex.size(), "%s%02X", i == 0 ? "" : ":", digest[i]);
    text += hex.data();
  }
  return text;
}

}  // namespace

Result<HouseCertificate> OpenHouseCertificate(const fs::path& folder,
                                              const std::vector<std::string>& names,
                                              units::UtcTime now) {
  std::error_code failed;
  fs::create_directories(folder, failed);
  ::chmod(folder.c_str(), 0700);
  if (!fs::exists(folder / "house.pem") || !fs::exists(folder / "house.key")) {
    if (const Status made = MakeAuthority(folder, names, now); !made) return Fail(made.error());
  }
  const auto authority = FromPem<Certificate>(folder / "house.pem", PEM_read_bio_X509);
  const auto authority_key = FromPem<Key>(folder / "house.key", PEM_read_bio_PrivateKey);
  if (!authority || !authority_key) {
    return Unusable("The house certificate cannot be read", folder);
  }
  const auto before = FromPem<Certificate>(folder / "server.pem", PEM_read_bio_X509);
  if (!before || !fs::exists(folder / "server.key") ||
      !StillGood(before.get(), authority.get(), names, now)) {
    const Status made = MakeServer(folder, authority.get(), authority_key.get(), names, now);
    if (!made) return Fail(made.error());
  }
  const auto server = FromPem<Certificate>(folder / "server.pem", PEM_read_bio_X509);
  if (!server || !PhonesWillTrust(server.get(), authority.get())) {
    return Unusable("The house certificate does not cover every name of this server", folder);
  }
  HouseCertificate house;
  house.authority = folder / "house.pem";
  house.certificate = folder / "server.pem";
  house.key = folder / "server.key";
  house.authority_fingerprint = Fingerprint(authority.get());
  unsigned char* der = nullptr;
  const int size = i2d_X509(authority.get(), &der);
  if (size > 0) {
    house.authority_der.assign(reinterpret_cast<char*>(der), static_cast<std::size_t>(size));
  }
  OPENSSL_free(der);
  return house;
}

Result<TlsContext> ServerTls(const HouseCertificate& certificate) {
  TlsContext context(SSL_CTX_new(TLS_server_method()));
  const bool done =
      context && SSL_CTX_set_min_proto_version(context.get(), TLS1_2_VERSION) == 1 &&
      SSL_CTX_use_certificate_chain_file(context.get(), certificate.certificate.c_str()) == 1 &&
      SSL_CTX_use_PrivateKey_file(context.get(), certificate.key.c_str(), SSL_FILETYPE_PEM) == 1 &&
      SSL_CTX_check_private_key(context.get()) == 1;
  if (!done) return Unusable("The server's certificate cannot be used", certificate.certificate);
  SSL_CTX_set_options(context.get(), SSL_OP_NO_RENEGOTIATION | SSL_OP_CIPHER_SERVER_PREFERENCE |
                                         SSL_OP_IGNORE_UNEXPECTED_EOF);
  SSL_CTX_set_mode(context.get(),
                   SSL_MODE_ENABLE_PARTIAL_WRITE | SSL_MODE_ACCEPT_MOVING_WRITE_BUFFER);
  return context;
}

}  // namespace ribwright::server
