// SPDX-License-Identifier: Apache-2.0
#include "server/serve.h"

#include <algorithm>
#include <optional>
#include <thread>

#include "server/addresses.h"
#include "server/api.h"
#include "server/embedded.h"
#include "server/front.h"
#include "server/house_certificate.h"
#include "server/house_lock.h"
#include "server/http_server.h"
#include "server/install_page.h"
#include "server/routes.h"
#include "server/sandbox.h"
#include "server/upload.h"
#include "store/open_house.h"
#include "store/trouble_log.h"

namespace ribwright::server {
namespace {

Result<SchemaCheck> LoadSchemas() {
  std::vector<std::pair<std::string, std::string_view>> documents;
  for (const EmbeddedFile& file : EmbeddedSchemas()) {
    documents.emplace_back(
        std::string(file.name),
        std::string_view(reinterpret_cast<const char*>(file.bytes.data()), file.bytes.size()));
  }
  return SchemaCheck::Load(documents);
}

// Names in the order in which they are shown: what people can type first.
std::vector<std::string> NamesOf(const ServeOptions& options) {
  std::vector<std::string> names = options.names;
  const auto add = [&](const std::string& name) {
    if (!name.empty() && std::find(names.begin(), names.end(), name) == names.end()) {
      names.push_back(name);
    }
  };
  if (IsAnyAddress(options.address)) {
    for (const std::string& address : OwnAddresses()) add(address);
  } else {
    add(options.address);
  }
  if (!IsLoopback(options.address)) {
    const std::string host = HostName();
    add(host);
    if (!host.empty() && host.find('.') == std::string::npos) add(host + ".local");
  }
  for (const char* name : {"localhost", "127.0.0.1", "::1"}) add(name);
  return names;
}

int WorkersOf(int asked) {
  if (asked > 0) return asked;
  return std::max(1, static_cast<int>(std::thread::hardware_concurrency()) / 2);
}

class ServingHouse final : public Serving {
 public:
  explicit ServingHouse(const ServeOptions& options)
      : options_(options), names_(NamesOf(options)) {}
  ServingHouse(const ServingHouse&) = delete;
  ServingHouse& operator=(const ServingHouse&) = delete;
  ~ServingHouse() override {
    Stop();
    store::LogTroubleTo({});
  }

  Status Start() {
    store::LogTroubleTo(options_.log);
    if (const Status made = store::MakeHouseFolder(options_.data); !made) return made;
    auto lock = HouseLock::Take(options_.data);
    if (!lock) return Fail(lock.error());
    lock_ = std::move(*lock);
    auto store = store::Store::Open(options_.data, options_.store);
    if (!store) return Fail(store.error());
    store_ = std::move(*store);
    const std::filesystem::path incoming = options_.data / "incoming";
    if (const Status swept = SweepIncoming(incoming); !swept) return swept;
    const store::Clock& clock = options_.store.clock;
    accounts_.emplace(*store_, clock, options_.password_cost);
    settings_.emplace(*store_, clock);
    book_.emplace(*store_);
    JudgeDeskOptions desk;
    desk.child = options_.judge;
    desk.workers = WorkersOf(options_.workers);
    desk.clock = clock;
    desk_.emplace(*store_, *book_, desk);
    tls_on_ = options_.tls || !IsLoopback(options_.address);
    if (const Status routes = MakeApi(incoming); !routes) return routes;
    if (const Status certificate = OpenTls(); !certificate) return certificate;
    return Listen();
  }

  const ServeStarted& started() const override { return started_; }

  void Run() override {
    std::thread install;
    if (install_) install = std::thread([this] { install_->Run(); });
    http_->Run();
    // A stop that came before the first request is honoured too.
    Stop();
    if (install.joinable()) install.join();
  }

  void Stop() override {
    if (desk_) desk_->Stop();
    if (http_) http_->Stop();
    if (install_) install_->Stop();
  }

 private:
  Status MakeApi(const std::filesystem::path& incoming) {
    house_.emplace(House{*store_, *accounts_, *book_, *desk_, *settings_, options_.store.clock,
                         incoming, [this] { return http_->Stopping(); }, ConfinementHere().Words(),
                         [this](const std::string& token, std::chrono::seconds lasts) {
                           return api_->SessionCookie(token, lasts);
                         }});
    auto schema = LoadSchemas();
    if (!schema) return Fail(schema.error());
    schema_.emplace(std::move(*schema));
    ApiOptions api_options;
    api_options.hosts.insert(names_.begin(), names_.end());
    api_options.secure = tls_on_;
    api_options.log = options_.log;
    auto api = Api::Make(*schema_, AllHandlers(*house_), *accounts_, api_options);
    if (!api) return Fail(api.error());
    api_.emplace(std::move(*api));
    return {};
  }

  Status OpenTls() {
    if (!tls_on_) return {};
    auto certificate = OpenHouseCertificate(options_.data / "tls", names_, options_.store.clock());
    if (!certificate) return Fail(certificate.error());
    certificate_ = std::move(*certificate);
    auto context = ServerTls(*certificate_);
    if (!context) return Fail(context.error());
    tls_ = std::move(*context);
    return {};
  }

  Status Listen() {
    const Handler other = [this](const Call& call) -> Result<Answer> {
      if (certificate_ && call.http->path == "/house.crt") return AuthorityFile(*certificate_);
      return front_.Get(call);
    };
    http_.emplace(tls_.get(),
                  [this, other](const httplib::Request& request, httplib::Response& response,
                                const httplib::ContentReader* reader) {
                    api_->Handle(request, response, reader, other);
                  });
    started_.port = http_->Bind(options_.address, options_.port);
    if (started_.port == 0) return Unheard(options_.port);
    const std::string scheme = tls_on_ ? "https://" : "http://";
    const auto url = [&](const std::string& host, int port, const std::string& how) {
      return how + InUrl(host) + ":" + std::to_string(port) + "/";
    };
    const std::string here = IsAnyAddress(options_.address) ? "localhost" : options_.address;
    started_.url = url(here, started_.port, scheme);
    for (const std::string& name : names_) {
      if (!IsLoopback(name)) started_.urls.push_back(url(name, started_.port, scheme));
    }
    started_.front_built = front_.built();
    if (tls_on_) {
      const int port = options_.install_port >= 0 ? options_.install_port : started_.port + 1;
      const std::string home = started_.urls.empty() ? started_.url : started_.urls.front();
      install_.emplace(
          nullptr, [this, home](const httplib::Request& request, httplib::Response& response,
                                const httplib::ContentReader*) {
            Answer answer = request.path == "/house.crt" ? AuthorityFile(*certificate_)
                                                         : InstallPage(*certificate_, home);
            Send(request, std::move(answer), response);
          });
      started_.install_port = install_->Bind(options_.address, port);
      if (started_.install_port == 0) return Unheard(port);
      const std::string shown = started_.urls.empty() ? here : names_.front();
      started_.install_url = url(shown, started_.install_port, "http://");
      started_.fingerprint = certificate_->authority_fingerprint;
    }
    const auto needed = accounts_->OwnerNeeded();
    if (!needed) return Fail(needed.error());
    if (*needed) started_.setup_url = started_.url + "#/setup?token=" + accounts_->OpenSetup();
    return {};
  }

  Status Unheard(int port) const {
    return Fail(Code::kListenFailed,
                "Nothing can be listened on at " + options_.address + ", port " +
                    std::to_string(port) + ".",
                "--listen, --port", "Stop the other program there, or give another port.");
  }

  ServeOptions options_;
  std::vector<std::string> names_;
  bool tls_on_ = false;
  ServeStarted started_;
  HouseLock lock_;
  std::unique_ptr<store::Store> store_;
  std::optional<Accounts> accounts_;
  std::optional<SettingsBook> settings_;
  std::optional<PhotoBook> book_;
  std::optional<House> house_;
  std::optional<SchemaCheck> schema_;
  std::optional<Api> api_;
  std::optional<HouseCertificate> certificate_;
  TlsContext tls_;
  Front front_;
  // Below what they use: they end first.
  std::optional<JudgeDesk> desk_;
  std::optional<HttpServer> http_;
  std::optional<HttpServer> install_;
};

}  // namespace

Result<std::unique_ptr<Serving>> Serving::Open(const ServeOptions& options) {
  auto serving = std::make_unique<ServingHouse>(options);
  if (const Status started = serving->Start(); !started) return Fail(started.error());
  return serving;
}

}  // namespace ribwright::server
