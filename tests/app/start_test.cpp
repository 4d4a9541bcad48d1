// A car of one's own from outside: the page's request, and `trammel start`.
#include <gtest/gtest.h>

#include <cstdlib>
#include <filesystem>

#include "app/ran_program.h"
#include "wasm/desk.h"
#include "wire/page_fields.h"

namespace trammel::testing {
namespace {

using namespace wire;
using Answers = std::vector<StartAnswer>;

TEST(DeskStart, AsksOnByTheAnswersAndDrawsWhatIsToBeChosen) {
  Desk desk;
  const auto first = desk.reply(Start{{}});
  ASSERT_FALSE(first.questions.empty());
  EXPECT_EQ(first.questions.front().id, "front");
  for (const auto& c : first.questions.front().choices)
    EXPECT_TRUE(c.svg.starts_with("<svg")) << c.id;
  const auto ids = [](const Started& s) {
    std::vector<std::string> all;
    for (const auto& q : s.questions) all.push_back(q.id);
    return all;
  };
  EXPECT_EQ(ids(first), (std::vector<std::string>{"front", "rear", "size", "wheels", "survey"}));
  EXPECT_EQ(ids(desk.reply(Start{{{"front", "strut-arm"}, {"rear", "twist-beam"}}})),
            (std::vector<std::string>{"front", "front-rod", "front-spring", "front-bar", "rear",
                                      "size", "wheels", "lowered", "survey"}));
}

TEST(DeskStart, WhatComesOutOpensAndSaysThatItIsNotKnownYet) {
  Desk desk;
  for (const Answers& answers :
       {Answers{{"front", "strut-arm"}, {"rear", "swing-arm"}, {"front-lowered", "40"}},
        Answers{{"front", "two-arms"}, {"rear", "five-rods"}, {"rear-toe", "one-end"}},
        Answers{{"front", "five-rods"}, {"rear", "solid-axle"}}}) {
    const auto started = desk.reply(Start{answers});
    ASSERT_TRUE(started.faults.empty());
    const auto looked = desk.reply(Look{started.text, false, {}, true});
    EXPECT_TRUE(looked.faults.empty());
    EXPECT_EQ(looked.why, "");
    EXPECT_FALSE(looked.demo);
    const auto ranked = desk.reply(Rank{started.text, false});
    EXPECT_EQ(ranked.why, "");
    EXPECT_FALSE(ranked.axles.empty()) << "nothing to correct with";
    // What is tried by hand on guessed joints is called neither good nor a chance.
    for (const auto& axle : ranked.axles)
      for (const auto& set : axle.best) {
        const auto tried =
            desk.reply(Try{started.text, false, {axle.axle, set.picks}, "", "", {}, true});
        EXPECT_FALSE(tried.good) << tried.sentence;
        EXPECT_EQ(tried.sentence.find("meets every target"), std::string::npos) << tried.sentence;
      }
    auto sections = looked.sections;
    sections.insert(sections.end(), ranked.sections.begin(), ranked.sections.end());
    std::size_t not_known = 0;
    for (const auto& s : sections) {
      if (s.name == "Car" || s.name == "Measure" || s.name == "Rods") continue;
      if (s.name == "Front") {
        EXPECT_NE(s.answer.find("card by card"), std::string::npos) << s.answer;
        continue;
      }
      if (s.name == "Measure next") {
        EXPECT_NE(s.answer.find("every joint"), std::string::npos) << s.answer;
        continue;
      }
      EXPECT_TRUE(s.answer.starts_with("Not known yet: joints of the ")) << s.name << s.answer;
      ++not_known;
    }
    EXPECT_GE(not_known, 4U);  // Travel, Correct, Parts, Work
  }
}

TEST(DeskStart, AFaultNamesItsQuestionAndThereIsNoText) {
  const auto j = Json::parse(Desk().answer(
      R"({"kind":"start","answers":[{"question":"front","answer":"strut-arm"},
          {"question":"wheelbase","answer":"3 kg"}]})"));
  ASSERT_TRUE(j.contains("reply")) << j.dump();
  ASSERT_EQ(j["reply"]["faults"].size(), 1U);
  EXPECT_EQ(j["reply"]["faults"][0]["question"], "wheelbase");
  EXPECT_EQ(j["reply"]["text"], "");
}

class StartProgram : public RanProgram {};

TEST_F(StartProgram, AloneItListsWhatCanBeChosenInWords) {
  const auto r = run("start");
  EXPECT_EQ(r.status, 0) << r.err;
  for (const char* words : {"--front", "strut-arm", "--rear", "swing-arm", "twist-beam",
                            "--wheelbase", "--rear-toe", "Never put any part of you under"})
    EXPECT_NE(r.out.find(words), std::string::npos) << words;
}

TEST_F(StartProgram, WritesACarThatEveryCommandReadsAndNeverOverAFile) {
  const auto r = run("start --front strut-arm --rear two-arms --wheelbase '2.4 m' my.toml");
  EXPECT_EQ(r.status, 0) << r.err;
  const auto text = read("my.toml");
  EXPECT_EQ(run("check my.toml").status, 0);
  const auto correct = run("correct my.toml");
  EXPECT_EQ(correct.status, 0) << correct.err;
  EXPECT_NE(correct.out.find("Not known yet: joints of the front and rear axles are guesses"),
            std::string::npos)
      << correct.out.substr(0, 600);
  EXPECT_EQ(run("measure my.toml").status, 0);
  EXPECT_EQ(run("sheet my.toml --out -").status, 0);
  const auto again = run("start --front two-arms my.toml");
  EXPECT_EQ(again.status, 2);
  EXPECT_NE(again.err.find("is there already"), std::string::npos) << again.err;
  EXPECT_EQ(read("my.toml"), text);
  EXPECT_EQ(run("start --front strut-arm --rear two-arms --wheelbase 2400").out, text);
}

TEST_F(StartProgram, WhatCannotBeIsSaidWithItsStatus) {
  auto r = run("start --front strut-arm --wheelbase 2.4 my.toml");
  EXPECT_EQ(r.status, 2);
  EXPECT_NE(r.err.find("--wheelbase: '2.4' is 2.4 mm, expected 1500 to 4500 mm"), std::string::npos)
      << r.err;
  EXPECT_FALSE(std::filesystem::exists(folder_.path() / "my.toml"));
  r = run("start --front wishbone");
  EXPECT_EQ(r.status, 2);
  EXPECT_NE(r.err.find("--front: 'wishbone' is not one of the answers"), std::string::npos);
  r = run("start --front five-rods --rear-toe nothing");
  EXPECT_EQ(r.status, 2);
  EXPECT_NE(r.err.find("--rear-toe: is no question of this car"), std::string::npos) << r.err;
  // Nothing left to describe is a question without an answer.
  r = run("start --front solid-axle --rear twist-beam");
  EXPECT_EQ(r.status, 1);
  EXPECT_NE(r.err.find("do not move by themselves"), std::string::npos) << r.err;
  r = run("start --front strut-arm --rear twist-beam");
  EXPECT_EQ(r.status, 0);
  EXPECT_NE(r.out.find("[front.strut]"), std::string::npos);
  EXPECT_EQ(r.out.find("[rear"), std::string::npos);
}

}  // namespace
}  // namespace trammel::testing
