// SPDX-License-Identifier: Apache-2.0
// `ribwright serve` as a house runs it: first link, sign-in, a photo judged by the confined
// process, measured again within edited outlines, stopped by a signal.
#include <fcntl.h>
#include <gtest/gtest.h>
#include <httplib.h>
#include <signal.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <nlohmann/json.hpp>

#include "command.h"

extern char** environ;

namespace ribwright::integration {
namespace {

using nlohmann::json;
using Clock = std::chrono::steady_clock;

class Served {
 public:
  explicit Served(const std::filesystem::path& data) {
    int out[2];
    EXPECT_EQ(::pipe2(out, O_CLOEXEC), 0);
    posix_spawn_file_actions_t actions;
    ::posix_spawn_file_actions_init(&actions);
    ::posix_spawn_file_actions_adddup2(&actions, out[1], STDOUT_FILENO);
    std::string words[] = {"ribwright", "serve", "--data", data.string(), "--port", "0"};
    char* argv[7] = {};
    for (int i = 0; i < 6; ++i) argv[i] = words[i].data();
    EXPECT_EQ(
        ::posix_spawn(&pid_, RIBWRIGHT_BINARY_DIR "/ribwright", &actions, nullptr, argv, environ),
        0);
    ::posix_spawn_file_actions_destroy(&actions);
    ::close(out[1]);
    out_ = out[0];
    ReadUntil("Stop with");
  }
  ~Served() {
    if (pid_ > 0) Stop(SIGKILL);
    ::close(out_);
  }
  int Stop(int signal) {
    ::kill(pid_, signal);
    int status = 0;
    ::waitpid(pid_, &status, 0);
    pid_ = -1;
    return status;
  }
  int port() const {
    const std::size_t at = text_.find("127.0.0.1:");
    return at == std::string::npos ? 0 : std::atoi(text_.c_str() + at + 10);
  }
  std::string token() const {
    const std::size_t at = text_.find("token=") + 6;
    return text_.substr(at, text_.find('\n', at) - at);
  }

 private:
  void ReadUntil(const std::string& word) {
    char buffer[4096];
    while (text_.find(word) == std::string::npos) {
      const ssize_t got = ::read(out_, buffer, sizeof(buffer));
      if (got <= 0) break;
      text_.append(buffer, static_cast<std::size_t>(got));
    }
    EXPECT_NE(text_.find(word), std::string::npos) << text_;
  }
  pid_t pid_ = -1;
  int out_ = -1;
  std::string text_;
};

class Guest {
 public:
  explicit Guest(int port) : http_("127.0.0.1", port) { http_.set_read_timeout(120); }
  json Post(const std::string& path, const std::string& body, const std::string& key,
            const std::string& type = "application/json") {
    headers_.erase("Idempotency-Key");
    headers_.emplace("Idempotency-Key", key);
    const auto reply = http_.Post("/api/v1" + path, headers_, body, type.c_str());
    EXPECT_TRUE(reply) << path;
    if (!reply) return {};
    EXPECT_LT(reply->status, 300) << path << reply->body;
    const std::string cookie = reply->get_header_value("Set-Cookie");
    const json answer = json::parse(reply->body);
    if (!cookie.empty()) {
      headers_.emplace("Cookie", cookie.substr(0, cookie.find(';')));
      headers_.emplace("X-CSRF-Token", answer.at("csrf_token").get<std::string>());
    }
    return answer;
  }
  std::string Get(const std::string& path) {
    const auto reply = http_.Get("/api/v1" + path, headers_);
    EXPECT_TRUE(reply) << path;
    return reply ? reply->body : "";
  }

 private:
  httplib::Client http_;
  httplib::Headers headers_;
};

TEST(Serve, JudgesAPhotoMeasuresItAgainAndStopsOnASignal) {
  const Folder folder;
  const Ran drawn = folder.Run(Program() + " phantom --seed 4 --difficulty easy --card --out face");
  ASSERT_EQ(drawn.status, 0) << drawn.err;
  Served served(folder.path() / "data");
  ASSERT_NE(served.port(), 0);
  Guest guest(served.port());
  guest.Post(
      "/setup",
      json{{"token", served.token()}, {"name", "ada"}, {"password", "a long enough one"}}.dump(),
      "key-setup");
  const json photo = guest.Post("/photos?name=face.jpg", ReadText(folder.path() / "face/photo.jpg"),
                                "key-photo", "image/jpeg");
  const json job = guest.Post("/jobs", json{{"photo_id", photo["id"]}}.dump(), "key-job-1");
  const std::string events = guest.Get("/jobs/" + job["id"].get<std::string>() + "/events");
  for (const char* stage : {"\"reading\"", "\"measuring\"", "\"drawing\"", "\"done\""}) {
    EXPECT_NE(events.find(stage), std::string::npos) << stage << "\n" << events;
  }
  const json done = json::parse(guest.Get("/jobs/" + job["id"].get<std::string>()));
  ASSERT_EQ(done["state"], "done") << done;
  const std::string path = "/faces/" + done["face_id"].get<std::string>();
  json face = json::parse(guest.Get(path));
  EXPECT_EQ(face["layers"].size(), 6U);
  for (const char* layer : {"fat", "muscles", "cover", "glare", "tissue", "overlay"}) {
    EXPECT_EQ(guest.Get(path + "/layers/" + layer).substr(1, 3), "PNG") << layer;
  }
  EXPECT_EQ(guest.Get("/photos/" + photo["id"].get<std::string>() + "/picture").substr(0, 2),
            "\xFF\xD8");
  // What the API says is what the program says on the command line.
  const Ran judged = folder.Run(Program() + " judge face/photo.jpg --json -");
  const json direct = json::parse(judged.out);
  EXPECT_EQ(face["report"]["faces"], direct["faces"]);

  // The eye's outline drawn in by a few pixels: measured within it, quickly.
  auto& muscle = face["report"]["faces"][0]["muscles"][0];
  const auto begun = Clock::now();
  const json edited = guest.Post(
      path + "/edits",
      json{{"faces",
            {{{"muscles", {{{"name", muscle["name"]}, {"outline_px", muscle["outline_px"]}}}}}}}}
          .dump(),
      "key-edit-1");
  RecordProperty(
      "edit_ms",
      static_cast<int>(
          std::chrono::duration_cast<std::chrono::milliseconds>(Clock::now() - begun).count()));
  EXPECT_EQ(edited["edited_from"], done["face_id"]);
  EXPECT_EQ(edited["layers"].size(), 5U);  // the overlay is left out: somebody waits
  const int status = served.Stop(SIGTERM);
  EXPECT_TRUE(WIFEXITED(status));
  EXPECT_EQ(WEXITSTATUS(status), 0);
}

TEST(JudgeWorker, EndsOnWhatItDoesNotKnow) {
  const Folder folder;
  folder.Write("task", "not a frame");
  const Ran ran = folder.Run(Program() + " judge-worker < task > answer; echo $?");
  EXPECT_EQ(ran.out, "4\n") << ran.err;
}

}  // namespace
}  // namespace ribwright::integration
