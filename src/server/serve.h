// SPDX-License-Identifier: Apache-2.0
// The whole server: opens the data folder, listens, serves until it is stopped.
//
// Open() makes or opens the database, the certificate (where TLS is on) and the routes, and binds
// the port; Run() serves until Stop(). TLS is on where the address is not loopback, or where asked.
// On the first start `setup_url` is the one-time link to make the owner. Errors: those of the
// store, kListenFailed, kCertificateUnusable. Stop() may be called from any thread.
#pragma once

#include <filesystem>
#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "base/result.h"
#include "server/judge_child.h"
#include "server/secrets.h"
#include "store/store.h"

namespace ribwright::server {

inline constexpr int kUsualPort = 7433;  // ours: not registered with IANA (memory)

struct ServeOptions {
  std::filesystem::path data;
  std::string address = "127.0.0.1";
  int port = kUsualPort;           // 0: any free one
  int install_port = -1;           // -1: port + 1; 0: any free one; only with TLS
  bool tls = false;                // also on loopback
  std::vector<std::string> names;  // more names that clients use
  JudgeChildOptions judge;         // program: this one
  int workers = 0;                 // photos judged at a time; 0: half the cores
  PasswordCost password_cost;
  store::StoreOptions store;
  std::function<void(const std::string&)> log;
};

struct ServeStarted {
  std::string url;                // to open on this machine
  std::vector<std::string> urls;  // for others in the house
  std::string setup_url;          // empty: there is an owner
  std::string install_url;        // empty: no TLS
  std::string fingerprint;
  int port = 0;
  int install_port = 0;
  bool front_built = false;
};

class Serving {
 public:
  static Result<std::unique_ptr<Serving>> Open(const ServeOptions& options);
  virtual ~Serving() = default;
  virtual const ServeStarted& started() const = 0;
  virtual void Run() = 0;
  virtual void Stop() = 0;
};

}  // namespace ribwright::server
