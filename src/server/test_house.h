// SPDX-License-Identifier: Apache-2.0
// For tests: a whole house served in this process on a free port, in a folder of its own, and a
// client that holds every answer against schema/openapi.json.
//
// The judge's process is a stand-in, since here the server is tested and not the judge: `Canned()`
// answers with the sample report and one-pixel pictures; tests of trouble give other programs.
#pragma once

#include <gtest/gtest.h>
#include <httplib.h>

#include <algorithm>
#include <atomic>
#include <filesystem>
#include <fstream>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <thread>

#include "photo/encode.h"
#include "report/json.h"
#include "report/sample_reports.h"
#include "server/embedded.h"
#include "server/judge_frames.h"
#include "server/schema_check.h"
#include "server/serve.h"

namespace ribwright::server {

inline std::string SchemaText(std::string_view name) {
  for (const EmbeddedFile& file : EmbeddedSchemas()) {
    if (file.name == name) return {file.bytes.begin(), file.bytes.end()};
  }
  return {};
}

inline const SchemaCheck& ApiSchema() {
  static const std::string api = SchemaText("openapi.json");
  static const std::string face = SchemaText("face.schema.json");
  static const auto schema = SchemaCheck::Load({{"openapi.json", api}, {"face.schema.json", face}});
  return *schema;
}

// A picture that no other test sends: `shade` tells them apart.
inline std::string SmallPhoto(int shade) {
  const cv::Mat rgb(24, 32, CV_8UC3, cv::Scalar(shade % 256, shade / 256 % 256, 90));
  const auto jpeg = photo::EncodeJpeg(rgb);
  return {jpeg->begin(), jpeg->end()};
}

// Operations that answered as wanted (2xx), over all clients of this test program.
inline std::set<std::string>& Answered() {
  static std::set<std::string> answered;
  return answered;
}

class TestHouse {
 public:
  using Change = std::function<void(ServeOptions&)>;

  explicit TestHouse(const Change& change = [](ServeOptions&) {}) {
    const auto* info = ::testing::UnitTest::GetInstance()->current_test_info();
    folder_ = std::filesystem::path(RIBWRIGHT_BINARY_DIR) / "test_files" /
              (std::string("serve_") + info->test_suite_name() + "_" + info->name());
    std::filesystem::remove_all(folder_);
    std::filesystem::create_directories(folder_);
    options.data = folder_ / "data";
    options.port = 0;
    options.install_port = 0;
    options.password_cost = PasswordCost::Least();
    options.judge = Canned();
    change(options);
    Start();
  }
  ~TestHouse() {
    Stop();
    std::filesystem::remove_all(folder_);
  }
  TestHouse(const TestHouse&) = delete;
  TestHouse& operator=(const TestHouse&) = delete;

  void Start() {
    auto opened = Serving::Open(options);
    if (!opened) {
      ADD_FAILURE() << opened.error().message << " " << opened.error().where;
      return;
    }
    serving = std::move(*opened);
    thread_ = std::thread([this] { serving->Run(); });
  }
  void Stop() {
    if (serving) serving->Stop();
    if (thread_.joinable()) thread_.join();
    serving.reset();
  }

  int port() const { return serving->started().port; }
  const std::filesystem::path& folder() const { return folder_; }
  std::string SetupToken() const {
    const std::string& url = serving->started().setup_url;
    const std::size_t at = url.find("token=");
    return at == std::string::npos ? "" : url.substr(at + 6);
  }

  // A program that takes what it is given and answers with a file's bytes.
  JudgeChildOptions Canned() const {
    const report::PhotoReport report = report::SampleRib();
    std::vector<std::uint8_t> out;
    AppendFrame(FrameKind::kStage, "reading", out);
    AppendFrame(FrameKind::kStage, "measuring", out);
    AppendFrame(FrameKind::kReport, report::ToJson(report, false), out);
    AppendFrame(FrameKind::kStage, "drawing", out);
    AppendFrame(FrameKind::kPicture, SmallPhoto(1), out);
    const auto png = photo::EncodePng(cv::Mat(1, 1, CV_8U, cv::Scalar(1)));
    const std::string dot(png->begin(), png->end());
    for (const FrameKind kind : {FrameKind::kFat, FrameKind::kMuscles, FrameKind::kCover,
                                 FrameKind::kGlare, FrameKind::kTissue, FrameKind::kOverlay}) {
      AppendFrame(kind, dot, out);
    }
    AppendFrame(FrameKind::kEnd, "", out);
    const std::filesystem::path file = folder_ / "canned";
    std::ofstream(file, std::ios::binary)
        .write(reinterpret_cast<const char*>(out.data()), static_cast<std::streamsize>(out.size()));
    return Shell("cat >/dev/null; cat '" + file.string() + "'");
  }
  static JudgeChildOptions Shell(const std::string& script) {
    JudgeChildOptions judge;
    judge.program = "/bin/sh";
    judge.arguments = {"-c", script};
    return judge;
  }

  ServeOptions options;
  std::unique_ptr<Serving> serving;

 private:
  std::filesystem::path folder_;
  std::thread thread_;
};

struct Reply {
  int status = 0;
  std::string body;
  httplib::Headers headers;
  Json json() const { return ParseJson(body).value_or(Json()); }
  std::string code() const { return json().value("code", std::string()); }
  std::string header(const std::string& name) const {
    const auto found = headers.find(name);
    return found == headers.end() ? std::string() : found->second;
  }
};

class Client {
 public:
  explicit Client(const TestHouse& house) : http_("127.0.0.1", house.port()) {
    http_.set_keep_alive(true);
    http_.set_read_timeout(60);
  }

  Reply Send(const std::string& method, const std::string& path, const std::string& body = "",
             httplib::Headers headers = {}, const std::string& type = "application/json") {
    if (!cookie.empty()) headers.emplace("Cookie", "ribwright_session=" + cookie);
    if (!csrf.empty() && headers.count("X-CSRF-Token") == 0 && method != "GET") {
      headers.emplace("X-CSRF-Token", csrf);
    }
    httplib::Request request;
    request.method = method;
    request.path = path;
    request.headers = std::move(headers);
    if (method != "GET" && (method != "DELETE" || !body.empty())) {
      request.body = body;
      request.set_header("Content-Type", type);
    }
    const auto result = http_.send(request);
    Reply reply;
    if (!result) {
      ADD_FAILURE() << method << " " << path << ": " << httplib::to_string(result.error());
      return reply;
    }
    reply = {result->status, result->body, result->headers};
    HoldAgainstSchema(method, path, reply);
    return reply;
  }
  Reply Get(const std::string& path, httplib::Headers headers = {}) {
    return Send("GET", "/api/v1" + path, "", std::move(headers));
  }
  Reply Write(const std::string& method, const std::string& path, const Json& body,
              const std::string& key = "") {
    httplib::Headers headers;
    headers.emplace("Idempotency-Key", key.empty() ? NewToken() : key);
    return Send(method, "/api/v1" + path, JsonText(body), std::move(headers));
  }
  Reply Post(const std::string& path, const Json& body, const std::string& key = "") {
    return Write("POST", path, body, key);
  }
  Reply SendPhoto(const std::string& bytes, const std::string& key = "",
                  const std::string& type = "image/jpeg") {
    httplib::Headers headers;
    headers.emplace("Idempotency-Key", key.empty() ? NewToken() : key);
    return Send("POST", "/api/v1/photos?name=face.jpg", bytes, std::move(headers), type);
  }

  void TakeSession(const Reply& reply) {
    const std::string set = reply.header("Set-Cookie");
    const std::size_t from = set.find('=') + 1;
    cookie = set.substr(from, set.find(';') - from);
    csrf = reply.json().value("csrf_token", std::string());
  }
  Reply MakeOwner(const TestHouse& house) {
    const Reply reply =
        Post("/setup",
             {{"token", house.SetupToken()}, {"name", "ada"}, {"password", "a long enough one"}});
    if (reply.status == 201) TakeSession(reply);
    return reply;
  }
  Reply SignIn(const std::string& name, const std::string& password) {
    const Reply reply = Post("/session", {{"name", name}, {"password", password}});
    if (reply.status == 201) TakeSession(reply);
    return reply;
  }

  std::string cookie;
  std::string csrf;

 private:
  static bool Fits(std::string templ, std::string path) {
    path = path.substr(0, path.find('?'));
    while (!templ.empty() && !path.empty()) {
      const std::string a = templ.substr(1, templ.find('/', 1) - 1);
      const std::string b = path.substr(1, path.find('/', 1) - 1);
      if (!a.starts_with('{') && a != b) return false;
      templ = templ.find('/', 1) == std::string::npos ? "" : templ.substr(templ.find('/', 1));
      path = path.find('/', 1) == std::string::npos ? "" : path.substr(path.find('/', 1));
    }
    return templ.empty() && path.empty();
  }

  static void HoldAgainstSchema(std::string method, const std::string& path, const Reply& reply) {
    const SchemaCheck& schema = ApiSchema();
    std::transform(method.begin(), method.end(), method.begin(),
                   [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    if (reply.status >= 400) {
      EXPECT_EQ(reply.header("Content-Type"), "application/problem+json") << path;
      const auto fault = schema.Check(reply.json(), schema.Resolve("#/components/schemas/Problem"),
                                      method + " " + path);
      EXPECT_FALSE(fault) << fault->where << " " << fault->what << "\n" << reply.body;
      EXPECT_EQ(reply.json().value("status", 0), reply.status);
      return;
    }
    for (const auto& [templ, methods] : schema.main().at("paths").items()) {
      const auto operation = methods.find(method);
      if (operation == methods.end() || !Fits(templ, path)) continue;
      const Json& responses = operation->at("responses");
      const auto response = responses.find(std::to_string(reply.status));
      ASSERT_NE(response, responses.end()) << path << " gave " << reply.status;
      if (reply.status < 300) Answered().insert(operation->at("operationId").get<std::string>());
      const auto content = response->find("content");
      if (content == response->end()) {
        if (reply.status != 304) {
          EXPECT_TRUE(reply.body.empty()) << path;
        }
        return;
      }
      std::string type = reply.header("Content-Type");
      const auto known = content->find(type);
      ASSERT_NE(known, content->end()) << path << " gave " << type;
      if (type != "application/json") return;
      const auto json = ParseJson(reply.body);
      ASSERT_TRUE(json) << path;
      const auto fault = schema.Check(*json, known->at("schema"), method + " " + path);
      EXPECT_FALSE(fault) << fault->where << " " << fault->what << "\n" << reply.body;
      return;
    }
  }

  httplib::Client http_;
};

// Asks until the job is over; the deadline is the test's, not the server's.
inline Json JobOver(Client& client, const std::string& id) {
  const auto until = std::chrono::steady_clock::now() + std::chrono::seconds(60);
  for (;;) {
    // The stream ends when the job does, or after a while: no sleep is needed.
    client.Get("/jobs/" + id + "/events");
    const Reply reply = client.Get("/jobs/" + id);
    const std::string state = reply.json().value("state", std::string());
    if (state == "done" || state == "failed" || std::chrono::steady_clock::now() > until) {
      return reply.json();
    }
  }
}

}  // namespace ribwright::server
