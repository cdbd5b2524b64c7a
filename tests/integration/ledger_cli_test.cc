// SPDX-License-Identifier: Apache-2.0
// The ledger as a user of the command line meets it.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "command.h"

namespace ribwright::integration {
namespace {

constexpr const char* kDay =
    R"({"kind":"received","code":"RIB-1","cut":"rib, bone in","mass_g":8200,"cost":{"minor":19000,"currency":"EUR"},"supplier":"North Pasture","lot":"L7","location":"cold room","happened_at":"2026-03-01T08:00:00Z"}
{"kind":"weighed","piece":"rib-1","mass_g":8190,"happened_at":"2026-03-01T08:05:00Z"}
{"kind":"cut","piece":"RIB-1","outputs":[{"code":"S-1","cut":"rib steak","mass_g":4000},{"cut":"rib steak","mass_g":4100}],"loss_g":90,"happened_at":"2026-03-02T08:00:00Z","note":"for Friday"}
)";

TEST(LedgerCommand, WritesShowsBacksUpAndRestores) {
  Folder folder;
  folder.Write("day.jsonl", kDay);
  const std::string write = Program() + " ledger write day.jsonl --user ada --data house";
  const Ran first = folder.Run(write);
  ASSERT_EQ(first.status, 0) << first.err;
  const Ran again = folder.Run(write);
  ASSERT_EQ(again.status, 0) << again.err;
  EXPECT_NE(again.out.find("\"repeated\":true"), std::string::npos);
  const Ran trace = folder.Run(Program() + " ledger trace s-1 --json --data house");
  ASSERT_EQ(trace.status, 0) << trace.err;
  const auto json = nlohmann::json::parse(trace.out);
  EXPECT_EQ(json["up"][0]["piece"]["code"], "RIB-1");
  EXPECT_EQ(json["siblings"].size(), 1U);
  const Ran piece = folder.Run(Program() + " ledger piece S-1 --data house");
  EXPECT_NE(piece.out.find("4000 g"), std::string::npos) << piece.out;
  EXPECT_NE(folder.Run(Program() + " ledger stock --units us --data house").out.find("17.86 lb"),
            std::string::npos);
  EXPECT_NE(folder.Run(Program() + " ledger search friday --data house").out.find("for Friday"),
            std::string::npos);
  EXPECT_EQ(folder.Run(Program() + " backup copy --data house").status, 0);
  EXPECT_EQ(folder.Run(Program() + " restore copy --data other").status, 0);
  const Ran here = folder.Run(Program() + " check-db --json --data house");
  const Ran there = folder.Run(Program() + " check-db --json --data other");
  EXPECT_EQ(here.status, 0) << here.out;
  EXPECT_EQ(here.out, there.out);
  EXPECT_EQ(nlohmann::json::parse(here.out)["events"], 3);
  EXPECT_EQ(folder.Run(Program() + " restore copy --data house").status, 1);
}

TEST(LedgerCommand, TellsWhatIsWrongAndKeepsTheRest) {
  Folder folder;
  folder.Write("day.jsonl", std::string(kDay) +
                                R"({"kind":"cut","piece":"RIB-1","outputs":[],"loss_g":8190})"
                                "\n"
                                R"({"kind":"moved","piece":"S-1","location":"display"})"
                                "\n");
  const Ran ran = folder.Run(Program() + " ledger write day.jsonl --user ada --data house");
  EXPECT_EQ(ran.status, 1);
  EXPECT_NE(ran.err.find("was cut up at 2026-03-02T08:00:00Z"), std::string::npos) << ran.err;
  EXPECT_NE(ran.err.find("day.jsonl, line 4"), std::string::npos) << ran.err;
  EXPECT_NE(folder.Run(Program() + " ledger piece S-1 --data house").out.find("display"),
            std::string::npos);
  EXPECT_EQ(folder.Run(Program() + " ledger piece NOPE --data house").status, 1);
  EXPECT_EQ(folder.Run(Program() + " ledger stock --data nowhere").status, 1);
  EXPECT_EQ(folder.Run(Program() + " check-db --data nowhere").status, 1);
  EXPECT_EQ(folder.Run(Program() + " ledger").status, 2);
}

TEST(LedgerCommand, TakesDecimalNumbersAndNoOthers) {
  Folder folder;
  folder.Write("day.jsonl", kDay);
  ASSERT_EQ(folder.Run(Program() + " ledger write day.jsonl --user ada --data house").status, 0);
  const std::string par = Program() + " ledger par rib cold --user ada --data house ";
  EXPECT_EQ(folder.Run(par + "--grams 1500.5").status, 0);
  EXPECT_EQ(folder.Run(par + "--none").status, 0);
  for (const char* bad : {"--grams nan", "--grams inf", "--grams 0x10", "--grams 3,5",
                          "--grams 99999999999999999999", "--grams 5 --none", ""}) {
    const Ran ran = folder.Run(par + bad);
    EXPECT_EQ(ran.status, 2) << bad << ran.err;
  }
  EXPECT_NE(folder.Run(par + "--grams 3,5").err.find("use a decimal point"), std::string::npos);
  for (const char* bad : {"99999999999999999999", "0x1", "-1", "nan"}) {
    EXPECT_EQ(folder.Run(Program() + " ledger count --data house -- " + bad).status, 2) << bad;
  }
}

TEST(JudgeCommand, RefusesOutputsOverInputsAndWhatIsNoFileBeforeJudging) {
  Folder folder;
  folder.Write("a.jpg", "kept as it is");
  folder.Write("b.jpg", "so is this");
  for (const char* bad : {"a.jpg --json a.jpg", "a.jpg b.jpg --json ./b.jpg",
                          "a.jpg --json x --overlay x", "a.jpg --tissue sub/../a.jpg"}) {
    const Ran ran = folder.Run(Program() + " judge " + bad);
    EXPECT_EQ(ran.status, 2) << bad << ran.err;
  }
  EXPECT_EQ(ReadText(folder.path() / "a.jpg"), "kept as it is");
  const Ran missing = folder.Run(Program() + " judge a.jpg --json none/a.json");
  EXPECT_EQ(missing.status, 1);
  EXPECT_NE(missing.err.find("folder does not exist"), std::string::npos) << missing.err;
  EXPECT_EQ(missing.err.find("not_a_photo"), std::string::npos);
  const Ran pipe = folder.Run("mkfifo p.jpg; timeout 20 " + Program() + " judge p.jpg");
  EXPECT_EQ(pipe.status, 1) << pipe.err;
  EXPECT_NE(pipe.err.find("a pipe, a device or a socket"), std::string::npos) << pipe.err;
}

TEST(DemoCommand, FillsAFolderWithASoundHistory) {
  Folder folder;
  const Ran demo = folder.Run(Program() + " demo --data house --end 2026-03-02");
  ASSERT_EQ(demo.status, 0) << demo.err;
  const Ran check = folder.Run(Program() + " check-db --json --data house");
  ASSERT_EQ(check.status, 0) << check.out;
  EXPECT_GT(nlohmann::json::parse(check.out)["events"], 1000);
  const auto stock =
      nlohmann::json::parse(folder.Run(Program() + " ledger stock --json --data house").out);
  EXPECT_GE(stock.size(), 5U);
  const Ran again = folder.Run(Program() + " demo --data house");
  EXPECT_EQ(again.status, 2);
  EXPECT_NE(again.err.find("holds a ledger already"), std::string::npos);
}

}  // namespace
}  // namespace ribwright::integration
