// SPDX-License-Identifier: Apache-2.0
// Photos on their way in, and the process that judges them when it misbehaves.
#include <arpa/inet.h>
#include <netinet/in.h>
#include <sys/socket.h>
#include <unistd.h>

#include "server/connection.h"
#include "server/stream_gate.h"
#include "server/test_house.h"
#include "server/upload.h"

namespace ribwright::server {
namespace {

std::size_t FilesUnder(const std::filesystem::path& folder) {
  std::size_t files = 0;
  for (const auto& entry : std::filesystem::recursive_directory_iterator(folder)) {
    files += entry.is_regular_file() ? 1 : 0;
  }
  return files;
}

// Sends bytes as they are and closes; gives what came back.
std::string Raw(int port, const std::string& bytes) {
  const int socket = ::socket(AF_INET, SOCK_STREAM, 0);
  sockaddr_in address{};
  address.sin_family = AF_INET;
  address.sin_port = htons(static_cast<std::uint16_t>(port));
  address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
  std::string answer;
  if (::connect(socket, reinterpret_cast<sockaddr*>(&address), sizeof(address)) == 0) {
    // A server that has seen enough may close before all is sent.
    std::size_t sent = 0;
    while (sent < bytes.size()) {
      const ssize_t more = ::send(socket, bytes.data() + sent, bytes.size() - sent, MSG_NOSIGNAL);
      if (more <= 0) break;
      sent += static_cast<std::size_t>(more);
    }
    ::shutdown(socket, SHUT_WR);
    char buffer[4096];
    for (ssize_t got; (got = ::recv(socket, buffer, sizeof(buffer), 0)) > 0;) {
      answer.append(buffer, static_cast<std::size_t>(got));
    }
  }
  ::close(socket);
  return answer;
}

TEST(Upload, WhatIsNoPhotoIsRefusedAndLeavesNothing) {
  TestHouse house;
  Client owner(house);
  owner.MakeOwner(house);
  const auto incoming = house.options.data / "incoming";
  EXPECT_EQ(owner.SendPhoto("GIF89a" + std::string(200, 'x')).code(), "not_a_photo");
  EXPECT_EQ(owner.SendPhoto("hello").code(), "not_a_photo");
  EXPECT_EQ(owner.SendPhoto("").code(), "file_empty");
  EXPECT_EQ(owner.SendPhoto(SmallPhoto(5), "", "text/plain").status, 415);
  EXPECT_EQ(owner.Get("/photos").json()["items"].size(), 0U);
  EXPECT_EQ(FilesUnder(incoming), 0U);
}

TEST(Upload, AnAnnouncedSizeOverTheLimitIsRefusedBeforeItsBytes) {
  TestHouse house;
  Client owner(house);
  owner.MakeOwner(house);
  const std::string answer =
      Raw(house.port(),
          "POST /api/v1/photos HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: image/jpeg"
          "\r\nContent-Length: 99000000\r\nIdempotency-Key: 12345678\r\n"
          "X-CSRF-Token: " +
              owner.csrf + "\r\nCookie: ribwright_session=" + owner.cookie + "\r\n\r\n");
  EXPECT_EQ(answer.substr(0, 12), "HTTP/1.1 413") << answer;
  EXPECT_NE(answer.find("file_too_large"), std::string::npos);
}

TEST(Upload, OneWhoseSizeIsNotAnnouncedIsCutOffAtTheLimit) {
  TestHouse house;
  Client owner(house);
  owner.MakeOwner(house);
  const std::string photo = SmallPhoto(6) + std::string(kMostPhotoBytes, 'x');
  char size[16];
  std::snprintf(size, sizeof(size), "%zx", photo.size());
  Raw(house.port(),
      "POST /api/v1/photos HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: image/jpeg"
      "\r\nTransfer-Encoding: chunked\r\nIdempotency-Key: 12345678\r\n"
      "X-CSRF-Token: " +
          owner.csrf + "\r\nCookie: ribwright_session=" + owner.cookie + "\r\n\r\n" + size +
          "\r\n" + photo + "\r\n0\r\n\r\n");
  EXPECT_EQ(FilesUnder(house.options.data / "incoming"), 0U);
  EXPECT_EQ(owner.Get("/photos").json()["items"].size(), 0U);
}

TEST(Upload, OneThatBreaksOffLeavesNothing) {
  TestHouse house;
  Client owner(house);
  owner.MakeOwner(house);
  const std::string answer =
      Raw(house.port(),
          "POST /api/v1/photos HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: image/jpeg"
          "\r\nContent-Length: 5000\r\nIdempotency-Key: 12345678\r\n"
          "X-CSRF-Token: " +
              owner.csrf + "\r\nCookie: ribwright_session=" + owner.cookie + "\r\n\r\n" +
              SmallPhoto(7));
  EXPECT_NE(answer.find("upload_broken"), std::string::npos) << answer;
  EXPECT_EQ(FilesUnder(house.options.data / "incoming"), 0U);
  EXPECT_EQ(owner.Get("/photos").json()["items"].size(), 0U);
}

TEST(Upload, AChunkedOneIsTakenAndTheSameBytesAreOnePhoto) {
  TestHouse house;
  Client owner(house);
  owner.MakeOwner(house);
  const std::string photo = SmallPhoto(9);
  char size[16];
  std::snprintf(size, sizeof(size), "%zx", photo.size());
  const std::string answer =
      Raw(house.port(),
          "POST /api/v1/photos HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: image/jpeg"
          "\r\nTransfer-Encoding: chunked\r\nIdempotency-Key: 12345678\r\n"
          "X-CSRF-Token: " +
              owner.csrf + "\r\nCookie: ribwright_session=" + owner.cookie + "\r\n\r\n" + size +
              "\r\n" + photo + "\r\n0\r\n\r\n");
  EXPECT_EQ(answer.substr(0, 12), "HTTP/1.1 201") << answer;
  const Reply again = owner.SendPhoto(photo);
  EXPECT_EQ(again.status, 200);
  const Reply same_try = owner.SendPhoto(SmallPhoto(10), "the-same-key");
  EXPECT_EQ(same_try.status, 201);
  EXPECT_EQ(owner.SendPhoto(SmallPhoto(10), "the-same-key").status, 201);
  EXPECT_EQ(owner.SendPhoto(SmallPhoto(11), "the-same-key").code(), "key_reused");
  EXPECT_EQ(owner.Get("/photos").json()["items"].size(), 2U);
}

TEST(Upload, ARefusedBodyIsNotTakenForTheNextRequest) {
  TestHouse house;
  const std::string inner = "GET /api/v1/health HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n";
  const std::string answer =
      Raw(house.port(),
          "POST /api/v1/photos HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: image/jpeg"
          "\r\nContent-Length: " +
              std::to_string(inner.size()) + "\r\n\r\n" + inner);
  EXPECT_EQ(answer.substr(0, 12), "HTTP/1.1 401");
  EXPECT_EQ(answer.find("HTTP/1.1 200"), std::string::npos) << answer;
}

TEST(Upload, WhatCanNeverBeJudgedIsRefused) {
  TestHouse house;
  Client owner(house);
  owner.MakeOwner(house);
  const std::string photo = SmallPhoto(12);
  const Reply half = owner.SendPhoto(photo.substr(0, photo.size() / 2));
  EXPECT_EQ(half.status, 422);
  EXPECT_EQ(half.code(), "photo_truncated");
  std::string inks = photo;
  inks[photo.find("\xFF\xC0") + 9] = 4;
  EXPECT_EQ(owner.SendPhoto(inks).code(), "photo_cmyk");
  EXPECT_EQ(FilesUnder(house.options.data / "incoming"), 0U);
  EXPECT_EQ(owner.SendPhoto(photo + "what a phone adds").status, 201);
}

TEST(Upload, NamesAndTimesAreBoundedLikeThoseOfEvents) {
  TestHouse house;
  Client owner(house);
  owner.MakeOwner(house);
  const auto send = [&](const std::string& query, int shade) {
    return owner.Send("POST", "/api/v1/photos?" + query, SmallPhoto(shade),
                      {{"Idempotency-Key", NewToken()}}, "image/jpeg");
  };
  EXPECT_EQ(send("name=gpj.%E2%80%AEa", 13).code(), "request_invalid");
  EXPECT_EQ(send("name=a%01b", 13).code(), "request_invalid");
  EXPECT_EQ(send("taken_at=1970-01-01T00:00:00Z", 13).code(), "clock_skew");
  EXPECT_EQ(send("taken_at=2999-01-01T00:00:00Z", 13).code(), "clock_skew");
  const Reply kept = send("name=%20a.jpg&taken_at=2026-01-01T00:00:00Z", 13);
  EXPECT_EQ(kept.status, 201) << kept.body;
  EXPECT_EQ(kept.json()["name"], "a.jpg");
}

TEST(Upload, TheAnswerToARefusedBodyReachesItsSender) {
  TestHouse house;
  Client owner(house);
  owner.MakeOwner(house);
  const std::string answer =
      Raw(house.port(),
          "POST /api/v1/photos HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: image/jpeg"
          "\r\nContent-Length: 99000000\r\nIdempotency-Key: 12345678\r\n"
          "X-CSRF-Token: " +
              owner.csrf + "\r\nCookie: ribwright_session=" + owner.cookie + "\r\n\r\n" +
              std::string(6'000'000, 'x'));
  EXPECT_EQ(answer.substr(0, 12), "HTTP/1.1 413") << answer;
}

TEST(Framing, ABodyWhoseEndIsInDoubtIsRefusedAndTheConnectionClosed) {
  TestHouse house;
  const std::string next = "GET /api/v1/health HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n";
  for (const char* lengths :
       {"Content-Length: 4\r\nContent-Length: 5\r\n", "Content-Length: -1\r\n",
        "Content-Length: 4\r\nTransfer-Encoding: chunked\r\n", "Content-Length: 4x\r\n",
        "Content-Length: 99999999999999999999\r\n"}) {
    for (const char* method : {"POST", "GET"}) {
      const std::string answer =
          Raw(house.port(), std::string(method) +
                                " /api/v1/session HTTP/1.1\r\nHost: 127.0.0.1\r\n"
                                "Content-Type: application/json\r\n" +
                                lengths + "\r\n{}  " + next);
      EXPECT_EQ(answer.substr(0, 12), "HTTP/1.1 400") << method << lengths << answer;
      EXPECT_NE(answer.find("application/problem+json"), std::string::npos) << answer;
      EXPECT_EQ(answer.find("HTTP/1.1", 5), std::string::npos) << answer;
    }
  }
}

TEST(Framing, AnAddressThatIsTooLongIsAProblemToo) {
  TestHouse house;
  const std::string answer =
      Raw(house.port(), "GET /" + std::string(9000, 'a') + " HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n");
  EXPECT_EQ(answer.substr(0, 12), "HTTP/1.1 414") << answer;
  EXPECT_NE(answer.find("application/problem+json"), std::string::npos) << answer;
  EXPECT_NE(answer.find("\"status\":414"), std::string::npos) << answer;
}

TEST(Events, ADuplicateSendIsWrittenOnceAndAKeyServesOneThing) {
  TestHouse house;
  Client owner(house);
  owner.MakeOwner(house);
  const Json rib = {{"kind", "received"},
                    {"cut", "rib"},
                    {"mass_g", 8000},
                    {"happened_at", "2026-05-04T03:02:01Z"}};
  const Reply first = owner.Post("/events", rib, "one-delivery");
  ASSERT_EQ(first.status, 201) << first.body;
  const Reply second = owner.Post("/events", rib, "one-delivery");
  EXPECT_EQ(second.status, 201);
  EXPECT_EQ(second.json()["repeated"], true);
  EXPECT_EQ(second.json()["event"]["id"], first.json()["event"]["id"]);
  Json other = rib;
  other["mass_g"] = 8001;
  EXPECT_EQ(owner.Post("/events", other, "one-delivery").code(), "key_reused");
  EXPECT_EQ(owner.Get("/events").json()["items"].size(), 1U);
}

TEST(Events, ATimeThatTheClockDoesNotKnowYetIsRefusedWithItsMend) {
  TestHouse house([](ServeOptions& options) {
    options.store.clock = [] { return units::UtcTime{1'800'000'000'000}; };  // 2027-01-15T08:00Z
  });
  Client owner(house);
  owner.MakeOwner(house);
  const auto at = [&](const char* time) {
    return owner.Post(
        "/events", {{"kind", "received"}, {"cut", "rib"}, {"mass_g", 1000}, {"happened_at", time}});
  };
  EXPECT_EQ(at("2027-01-15T07:30:00Z").status, 201);
  const Reply ahead = at("2027-01-15T09:00:00Z");
  EXPECT_EQ(ahead.code(), "clock_skew");
  EXPECT_FALSE(ahead.json().value("mend", "").empty());
}

TEST(Events, APieceCutTwiceIsRefusedWithWhatHappened) {
  TestHouse house;
  Client owner(house);
  owner.MakeOwner(house);
  const Reply received =
      owner.Post("/events", {{"kind", "received"}, {"cut", "rib"}, {"mass_g", 1000}});
  const std::string piece = received.json()["pieces"][0].value("id", "");
  const Json cut = {{"kind", "cut"},
                    {"piece_id", piece},
                    {"outputs", Json::array({Json{{"cut", "steak"}, {"mass_g", 1000}}})}};
  Reply replies[2];
  std::thread other([&] {
    Client phone(house);
    phone.cookie = owner.cookie;
    phone.csrf = owner.csrf;
    replies[1] = phone.Post("/events", cut);
  });
  replies[0] = owner.Post("/events", cut);
  other.join();
  const Reply& won = replies[0].status == 201 ? replies[0] : replies[1];
  const Reply& lost = replies[0].status == 201 ? replies[1] : replies[0];
  EXPECT_EQ(won.status, 201) << won.body;
  EXPECT_EQ(lost.code(), "piece_gone") << lost.body;
  EXPECT_EQ(lost.json()["happened"]["id"], won.json()["event"]["id"]);
}

TEST(Storage, AFullDiskIsSaidAndNothingHalfWritten) {
  TestHouse house;
  Client owner(house);
  owner.MakeOwner(house);
  house.Stop();
  house.options.store.max_pages = 1;  // no page more than there are
  house.Start();
  Client again(house);
  again.cookie = owner.cookie;
  again.csrf = owner.csrf;
  Reply reply;
  int written = 0;
  for (int i = 0; i < 2000; ++i) {
    reply = again.Post(
        "/events",
        {{"kind", "received"}, {"cut", "rib"}, {"mass_g", 1000}, {"note", std::string(1500, 'n')}});
    if (reply.status != 201) break;
    ++written;
  }
  EXPECT_EQ(reply.status, 507) << reply.body;
  EXPECT_EQ(reply.code(), "store_full");
  int there = 0;
  std::string after;
  do {
    const Json page = again.Get("/events?limit=500" + after).json();
    there += static_cast<int>(page["items"].size());
    after = page["next"].is_string() ? "&after=" + page["next"].get<std::string>() : "";
  } while (!after.empty());
  EXPECT_EQ(there, written);
}

// What the judge's process may do wrong, and what is said of it.
TEST(JudgeProcess, TroubleEndsItsJobWithAPlainErrorAndNoOther) {
  struct Trouble {
    const char* script;
    const char* code;
  };
  for (const Trouble& trouble : {
           Trouble{"kill -SEGV $$", "judge_crashed"},
           Trouble{"cat >/dev/null", "judge_crashed"},
           Trouble{"cat >/dev/null; head -c 100000 /dev/zero", "judge_crashed"},
           Trouble{"exec 0</dev/null; cat /proc/cpuinfo", "judge_crashed"},
           Trouble{"read nothing; while :; do :; done", "judge_timed_out"},
       }) {
    TestHouse house([&](ServeOptions& options) {
      options.judge = TestHouse::Shell(trouble.script);
      options.judge.time = std::chrono::milliseconds(400);
    });
    Client owner(house);
    owner.MakeOwner(house);
    const Reply sent = owner.SendPhoto(SmallPhoto(20));
    const Reply job = owner.Post("/jobs", {{"photo_id", sent.json().value("id", "")}});
    const Json over = JobOver(owner, job.json().value("id", ""));
    EXPECT_EQ(over["state"], "failed") << trouble.script;
    EXPECT_EQ(over["error"]["code"], trouble.code) << trouble.script << over.dump();
    EXPECT_EQ(owner.Get("/health").json()["judging"], 0);
    EXPECT_EQ(owner.Get("/faces").json()["items"].size(), 0U);
  }
}

TEST(JudgeProcess, JobsWaitInLineAndAKeyGivesTheSameJob) {
  TestHouse house;
  Client owner(house);
  owner.MakeOwner(house);
  const std::string photo = owner.SendPhoto(SmallPhoto(21)).json().value("id", "");
  const Json wanted = {{"photo_id", photo}};
  const Reply first = owner.Post("/jobs", wanted, "job-key-1");
  const Reply again = owner.Post("/jobs", wanted, "job-key-1");
  EXPECT_EQ(again.json()["id"], first.json()["id"]);
  EXPECT_EQ(
      owner.Post("/jobs", {{"photo_id", photo}, {"options", {{"framing", "crop"}}}}, "job-key-1")
          .code(),
      "key_reused");
  EXPECT_EQ(owner.Post("/jobs", {{"photo_id", photo}, {"options", {{"maturity", "Z"}}}}).status,
            400);
  const Reply received =
      owner.Post("/events", {{"kind", "received"}, {"cut", "rib"}, {"mass_g", 5000}});
  EXPECT_EQ(
      owner
          .Post("/jobs", {{"photo_id", photo}, {"piece_id", received.json()["pieces"][0]["id"]}},
                "job-key-1")
          .code(),
      "key_reused");
  const std::string other = owner.SendPhoto(SmallPhoto(22)).json().value("id", "");
  const Reply second = owner.Post("/jobs", {{"photo_id", other}});
  EXPECT_EQ(JobOver(owner, second.json().value("id", ""))["state"], "done");
  // The stream tells every stage and ends.
  const std::string events = owner.Get("/jobs/" + second.json().value("id", "") + "/events").body;
  EXPECT_NE(events.find("event: job\n"), std::string::npos);
  EXPECT_NE(events.find("\"state\":\"done\""), std::string::npos);
}

TEST(Faces, KeptAgainAnswerWithTheFirstEventUntilThatIsVoided) {
  TestHouse house;
  Client owner(house);
  owner.MakeOwner(house);
  const std::string photo = owner.SendPhoto(SmallPhoto(25)).json().value("id", "");
  const Reply job = owner.Post("/jobs", {{"photo_id", photo}});
  const Json over = JobOver(owner, job.json().value("id", ""));
  ASSERT_EQ(over["state"], "done") << over.dump();
  const Reply received =
      owner.Post("/events", {{"kind", "received"}, {"cut", "rib"}, {"mass_g", 5000}});
  const Json piece = {{"piece_id", received.json()["pieces"][0]["id"]}};
  const std::string path = "/faces/" + over["face_id"].get<std::string>() + "/piece";
  const Reply first = owner.Write("PUT", path, piece);
  ASSERT_EQ(first.status, 200) << first.body;
  EXPECT_EQ(first.json()["repeated"], false);
  const Reply again = owner.Write("PUT", path, piece);
  EXPECT_EQ(again.json()["repeated"], true);
  EXPECT_EQ(again.json()["event"]["id"], first.json()["event"]["id"]);
  const Reply voided = owner.Post(
      "/events",
      {{"kind", "voided"}, {"event_id", first.json()["event"]["id"]}, {"reason", "another piece"}});
  ASSERT_EQ(voided.status, 201) << voided.body;
  const Reply anew = owner.Write("PUT", path, piece);
  EXPECT_EQ(anew.json()["repeated"], false) << anew.body;
  EXPECT_NE(anew.json()["event"]["id"], first.json()["event"]["id"]);
}

// The program's own child, not the stand-in: it must read a photo and be able to do nothing else.
TEST(JudgeProcess, TheRealOneRefusesAPhotoWithoutMeatInPlainWords) {
  TestHouse house([](ServeOptions& options) {
    options.judge = JudgeChildOptions();
    options.judge.program = RIBWRIGHT_BINARY_DIR "/ribwright";
  });
  Client owner(house);
  owner.MakeOwner(house);
  const std::string photo = owner.SendPhoto(SmallPhoto(23)).json().value("id", "");
  const Reply job = owner.Post("/jobs", {{"photo_id", photo}});
  const Json over = JobOver(owner, job.json().value("id", ""));
  EXPECT_EQ(over["state"], "failed");
  EXPECT_EQ(over["error"]["code"], "photo_too_small") << over.dump();
  const Reply picture = owner.Get("/photos/" + photo + "/picture");
  EXPECT_EQ(picture.status, 200) << picture.body;
  EXPECT_EQ(picture.body.substr(0, 2), "\xFF\xD8");
}

TEST(Serving, OnlyOneServesAFolderAndTheOtherSaysWhich) {
  TestHouse house;
  std::ofstream(house.options.data / "incoming" / "half") << "an upload that is under way";
  const auto second = Serving::Open(house.options);
  ASSERT_FALSE(second);
  EXPECT_EQ(second.error().code, Code::kStoreBusy);
  EXPECT_NE(second.error().message.find(std::to_string(::getpid())), std::string::npos);
  EXPECT_EQ(FilesUnder(house.options.data / "incoming"), 1U);
  const auto open = std::filesystem::perms::group_all | std::filesystem::perms::others_all;
  EXPECT_EQ(std::filesystem::status(house.options.data).permissions() & open,
            std::filesystem::perms::none);
  house.Stop();
  EXPECT_FALSE(std::filesystem::exists(house.options.data / "ribwright.db-wal"));
  EXPECT_TRUE(Serving::Open(house.options));
}

TEST(StreamGate, KeepsPlacesForOthersAndGivesThemBack) {
  StreamGate gate;
  std::vector<std::shared_ptr<void>> places;
  for (int i = 0; i < StreamGate::kMostOfSession; ++i) places.push_back(*gate.Take("a"));
  EXPECT_EQ(gate.Take("a").error().code, Code::kJudgeBusy);
  for (int i = StreamGate::kMostOfSession; i < StreamGate::kMostStreams; ++i) {
    places.push_back(*gate.Take(std::to_string(i)));
  }
  EXPECT_FALSE(gate.Take("c"));
  places.erase(places.begin());
  EXPECT_TRUE(gate.Take("c"));
}

TEST(Connection, ABodyThatTricklesIsGivenUpBeforeItsDeadline) {
  int ends[2];
  ASSERT_EQ(::socketpair(AF_UNIX, SOCK_STREAM, 0, ends), 0);
  {
    Connection connection(ends[0], nullptr, std::chrono::hours(1));
    connection.SetPace(100, std::chrono::milliseconds(20));
    connection.BeginRequest(Connection::Clock::now() + std::chrono::hours(1));
    connection.EndHead();
    char buffer[8];
    ASSERT_EQ(::send(ends[1], "x", 1, 0), 1);
    EXPECT_EQ(connection.read(buffer, sizeof(buffer)), 1);
    EXPECT_EQ(connection.read(buffer, sizeof(buffer)), -1);  // waits no longer than the pace's time
  }
  ::close(ends[1]);
}

TEST(Serving, StopsWhileAStreamIsOpenAndAJobRuns) {
  TestHouse house([](ServeOptions& options) {
    options.judge = TestHouse::Shell("read nothing; exec sleep 2");
    options.judge.time = std::chrono::milliseconds(1500);
  });
  Client owner(house);
  owner.MakeOwner(house);
  const std::string photo = owner.SendPhoto(SmallPhoto(24)).json().value("id", "");
  const Reply job = owner.Post("/jobs", {{"photo_id", photo}});
  std::atomic<bool> streaming = false;
  std::thread reader([&] {
    httplib::Client http("127.0.0.1", house.port());
    http.Get("/api/v1/jobs/" + job.json().value("id", "") + "/events",
             {{"Cookie", "ribwright_session=" + owner.cookie}}, [&](const char*, std::size_t) {
               streaming = true;
               return true;
             });
  });
  const auto until = std::chrono::steady_clock::now() + std::chrono::seconds(30);
  while (!streaming && std::chrono::steady_clock::now() < until) std::this_thread::yield();
  EXPECT_TRUE(streaming);
  const auto begun = std::chrono::steady_clock::now();
  house.Stop();
  EXPECT_LT(std::chrono::steady_clock::now() - begun, std::chrono::seconds(20));
  reader.join();
}

}  // namespace
}  // namespace ribwright::server
