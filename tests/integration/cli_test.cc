// SPDX-License-Identifier: Apache-2.0
// The program as a user runs it: exit codes, what stands on stdout and stderr, which files are
// left.
#include <gtest/gtest.h>
#include <sys/wait.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>
#include <string>
#include <vector>

namespace ribwright {
namespace {

namespace fs = std::filesystem;

struct Ran {
  int code = -1;
  std::string out;
  std::string err;
};

std::string Slurp(const fs::path& path) {
  std::ifstream file(path, std::ios::binary);
  std::stringstream text;
  text << file.rdbuf();
  return text.str();
}

std::vector<std::string> Lines(const std::string& text) {
  std::vector<std::string> lines;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) lines.push_back(line);
  return lines;
}

class CliTest : public ::testing::Test {
 protected:
  void SetUp() override {
    const auto* info = ::testing::UnitTest::GetInstance()->current_test_info();
    folder_ = fs::path(RIBWRIGHT_BINARY_DIR) / "test_files" / (std::string("cli_") + info->name());
    fs::remove_all(folder_);
    fs::create_directories(folder_);
  }
  void TearDown() override { fs::remove_all(folder_); }

  // Runs in the test's folder; arguments are plain words.
  Ran Run(const std::string& arguments) const {
    std::string command = "cd '";
    command += folder_.string();
    command += "' && '" RIBWRIGHT_BINARY_DIR "/ribwright' ";
    command += arguments;
    command += " >stdout.txt 2>stderr.txt";
    const int status = std::system(command.c_str());
    Ran ran;
    ran.code = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
    ran.out = Slurp(folder_ / "stdout.txt");
    ran.err = Slurp(folder_ / "stderr.txt");
    return ran;
  }
  // Rendered once for each build of the program: seconds are spent on it, and every test is a
  // process.
  void Phantom(const std::string& into) const {
    const auto built =
        fs::last_write_time(RIBWRIGHT_BINARY_DIR "/ribwright").time_since_epoch().count();
    const fs::path kept = folder_.parent_path() / ("phantom_" + std::to_string(built));
    if (!fs::exists(kept)) {
      const Ran ran = Run("phantom --difficulty easy --seed 1 --out p_new");
      ASSERT_EQ(ran.code, 0) << ran.err;
      std::error_code taken;  // another test's process may have been faster
      fs::rename(folder_ / "p_new", kept, taken);
    }
    fs::copy(kept, folder_ / into);
  }
  void Text(const std::string& name, const std::string& text) const {
    std::ofstream(folder_ / name) << text;
  }

  fs::path folder_;
};

TEST_F(CliTest, HelpAndVersionSucceed) {
  EXPECT_EQ(Run("--help").code, 0);
  EXPECT_EQ(Run("judge --help").code, 0);
  const Ran version = Run("--version");
  EXPECT_EQ(version.code, 0);
  EXPECT_EQ(version.out.substr(0, 10), "ribwright ");
}

TEST_F(CliTest, WrongUsageIsTwo) {
  Text("a.jpg", "x");
  for (const char* arguments : {"",
                                "nonsense",
                                "judge",
                                "judge a.jpg --framing round",
                                "judge a.jpg --thickness-mm 0",
                                "judge a.jpg --thickness-mm 501",
                                "judge a.jpg --thickness-mm thick",
                                "judge a.jpg --px-per-mm -3",
                                "judge a.jpg --card-ruler-mm 20",
                                "judge a.jpg --bloom-min -1",
                                "judge a.jpg --maturity Z",
                                "judge a.jpg --dark-cutting 2",
                                "judge a.jpg --rib-numbering 3",
                                "judge a.jpg --units stone",
                                "judge a.jpg --card none --card-ruler-mm 150",
                                "judge a.jpg b.jpg --overlay o.png",
                                "judge a.jpg --overlay a.jpg",
                                "judge a.jpg --overlay o.png --tissue o.png",
                                "compare a.jpg",
                                "compare a.jpg a.jpg --thickness-mm 0",
                                "compare a.jpg a.jpg --face -1"}) {
    const Ran ran = Run(arguments);
    EXPECT_EQ(ran.code, 2) << arguments << "\n" << ran.err;
    EXPECT_FALSE(ran.err.empty()) << arguments;
    EXPECT_EQ(ran.out, "") << arguments;
  }
  EXPECT_EQ(Slurp(folder_ / "a.jpg"), "x");
}

TEST_F(CliTest, AMissingPhotoGivesJsonWithTheErrorAndOne) {
  const Ran ran = Run("judge gone.jpg --json -");
  EXPECT_EQ(ran.code, 1);
  const auto j = nlohmann::json::parse(ran.out);
  EXPECT_EQ(j["error"]["code"], "file_unreadable");
  EXPECT_EQ(j["photo"], "gone.jpg");
  EXPECT_NE(ran.err.find("where:"), std::string::npos);
}

TEST_F(CliTest, TwoPhotosOfOneStemAreRefusedBeforeAnyWork) {
  fs::create_directories(folder_ / "x");
  Text("a.jpg", "x");
  Text("x/a.png", "x");
  const Ran ran = Run("judge a.jpg x/a.png --out out");
  EXPECT_EQ(ran.code, 2);
  EXPECT_FALSE(fs::exists(folder_ / "out"));
}

TEST_F(CliTest, AFileThatServesAnOptionMustBeUsable) {
  Text("a.jpg", "x");
  Text("broken.json", "{");
  for (const char* arguments :
       {"judge a.jpg --edits broken.json", "judge a.jpg --carcass gone.csv",
        "judge a.jpg --house-spec gone.csv", "judge a.jpg --card-values gone.csv",
        "compare broken.json broken.json"}) {
    EXPECT_EQ(Run(arguments).code, 1) << arguments;
  }
}

TEST_F(CliTest, APhantomIsJudgedWithAllItsOutputs) {
  Phantom("p");
  const Ran ran =
      Run("judge p/photo.jpg --json j.json --overlay o.png --tissue t.png --sheet s.pdf "
          "--thickness-mm 25");
  ASSERT_EQ(ran.code, 0) << ran.err;
  EXPECT_NE(ran.out.find("90 % interval"), std::string::npos);
  EXPECT_NE(ran.out.find("Official grades are given only by graders."), std::string::npos);
  EXPECT_NE(ran.out.find("It judges looks, not safety."), std::string::npos);
  EXPECT_NE(ran.out.find("not judged: colour is not calibrated"), std::string::npos);
  EXPECT_EQ(ran.out.find("missed"), std::string::npos);  // no house spec was given
  const auto j = nlohmann::json::parse(Slurp(folder_ / "j.json"));
  EXPECT_EQ(j["schema"], "ribwright.face/1");
  EXPECT_GE(j["faces"].size(), 1U);
  EXPECT_EQ(j["entered"]["thickness_mm"], 25.0);
  EXPECT_TRUE(j["faces"][0]["signs"].empty());
  EXPECT_EQ(Slurp(folder_ / "o.png").substr(1, 3), "PNG");
  EXPECT_EQ(Slurp(folder_ / "t.png").substr(1, 3), "PNG");
  EXPECT_EQ(Slurp(folder_ / "s.pdf").substr(0, 5), "%PDF-");
  for (const auto& entry : fs::directory_iterator(folder_)) {
    EXPECT_EQ(entry.path().filename().string().find("tmp"), std::string::npos) << entry.path();
  }
}

TEST_F(CliTest, JsonOnStdoutIsOneObjectALineInTheOrderOfThePhotos) {
  Phantom("p");
  Text("text.jpg", "this is not a photo");
  const Ran ran = Run("judge p/photo.jpg text.jpg p/photo.jpg --json -");
  EXPECT_EQ(ran.code, 1);
  const auto lines = Lines(ran.out);
  ASSERT_EQ(lines.size(), 3U);
  EXPECT_TRUE(nlohmann::json::parse(lines[0]).contains("faces"));
  EXPECT_EQ(nlohmann::json::parse(lines[1])["error"]["code"], "not_a_photo");
  EXPECT_EQ(lines[0], lines[2]);
}

TEST_F(CliTest, AnOutputThatCannotBeWrittenIsOneAndLeavesNothing) {
  Phantom("p");
  const Ran ran = Run("judge p/photo.jpg --overlay no/such/folder/o.png");
  EXPECT_EQ(ran.code, 1);
  EXPECT_FALSE(fs::exists(folder_ / "no"));
}

TEST_F(CliTest, APhotoAgainstItsOwnJsonShowsNoClearDifference) {
  Phantom("p");
  ASSERT_EQ(Run("judge p/photo.jpg --json j.json").code, 0);
  const Ran ran = Run("compare j.json p/photo.jpg --json");
  ASSERT_EQ(ran.code, 0) << ran.err;
  for (const auto& difference : nlohmann::json::parse(ran.out)["differences"]) {
    EXPECT_FALSE(difference["told_apart"].get<bool>()) << difference;
  }
  EXPECT_EQ(Run("compare j.json j.json --face 1 --other-face 1").code, 0);
  for (const char* number : {"--face 2", "--other-face 2"}) {
    const Ran none = Run(std::string("compare j.json j.json ") + number);
    EXPECT_EQ(none.code, 2) << number;
    EXPECT_NE(none.err.find("has 1 face"), std::string::npos) << none.err;
  }
}

}  // namespace
}  // namespace ribwright
