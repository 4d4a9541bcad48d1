// The program from outside: exit status, the two streams, the fixed JSON keys.

#include <gtest/gtest.h>

#include <fmt/format.h>
#include <algorithm>
#include <array>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <nlohmann/json.hpp>
#include <set>
#include <string>

#include "app/ran_program.h"
#include "cars.h"

namespace trammel::testing {
namespace {

class Program : public RanProgram {};

// Columns a line takes in a terminal.
std::size_t columns(const std::string& line) {
  std::size_t n = 0;
  for (const char c : line)
    if ((static_cast<unsigned char>(c) & 0xC0U) != 0x80U) ++n;
  return n;
}

TEST_F(Program, TellsWhatLoweringDid) {
  const auto r = run("travel --working " + car("pip.toml"));
  EXPECT_EQ(r.status, 0);
  EXPECT_EQ(r.err, "");
  EXPECT_NE(r.out.find("Lowering the front by 40 mm"), std::string::npos) << r.out;
  std::string flowing = r.out;
  for (char& c : flowing)
    if (c == '\n') c = ' ';
  EXPECT_NE(flowing.find("8 mm below the   ground"), std::string::npos);
  EXPECT_NE(r.out.find("toes out by 0.22°"), std::string::npos) << r.out;
}

TEST_F(Program, TablesFitAHundredColumns) {
  for (const char* words :
       {"travel", "check", "travel --axle front", "travel --axle front --rack 20",
        "travel --axle rear --roll 3 --units inch"})
    for (const char* name : {"pip.toml", "nibbet.toml"}) {
      const auto r = run(std::string(words) + " " + car(name));
      EXPECT_EQ(r.status, 0) << r.err;
      std::istringstream lines(r.out);
      for (std::string line; std::getline(lines, line);) EXPECT_LE(columns(line), 100U) << line;
    }
}

// The answer, what one decides by and the cautions are a screen; what they rest on is asked for.
TEST_F(Program, EveryCommandAnswersOnAScreen) {
  constexpr std::ptrdiff_t screen = 40;  // lines of a terminal that is not made small
  for (const char* step :
       {"check", "measure", "travel", "correct", "make", "settle", "align", "prove", "next"})
    for (const char* name : {"pip.toml", "pip-survey.toml", "pip-as-built.toml", "nibbet.toml",
                             "nibbet-survey.toml", "nibbet-as-built.toml"})
      for (const char* units : {"metric", "inch"}) {
        const auto r = run(fmt::format("{} {} --units {}", step, car(name), units));
        EXPECT_LE(std::count(r.out.begin(), r.out.end(), '\n'), screen) << step << name << r.out;
        std::istringstream lines(r.out);
        for (std::string line; std::getline(lines, line);)
          EXPECT_LE(columns(line), 100U) << step << line;
      }
  const auto brief = run("correct " + car("pip.toml"));
  const auto whole = run("correct --working " + car("pip.toml"));
  EXPECT_NE(brief.out.find("--working"), std::string::npos);
  EXPECT_EQ(brief.out.find("rule of thumb"), std::string::npos);
  EXPECT_NE(whole.out.find("rule of thumb"), std::string::npos);
}

TEST_F(Program, ACarFileAloneIsToldWhatToDoNow) {
  constexpr std::ptrdiff_t half_a_screen = 30;
  const auto next = run("next " + car("pip-survey.toml"));
  EXPECT_EQ(next.status, 0) << next.err;
  EXPECT_EQ(next.err, "");
  EXPECT_LE(std::count(next.out.begin(), next.out.end(), '\n'), half_a_screen) << next.out;
  EXPECT_NE(next.out.find("Read M021 again"), std::string::npos) << next.out;
  EXPECT_EQ(run(car("pip-survey.toml")).out, next.out);
  EXPECT_EQ(run(car("pip-survey.toml") + " --units inch").out,
            run("next --units inch " + car("pip-survey.toml")).out);
  const auto json = nlohmann::json::parse(run("next --json " + car("pip-survey.toml")).out);
  ASSERT_GE(json.at("todo").size(), 3U);
  for (const auto& todo : json.at("todo"))
    for (const char* key : {"id", "step", "what", "why", "gain"}) EXPECT_TRUE(todo.contains(key));
  std::vector<std::string> steps;
  const std::set<std::string> states{"done", "waiting", "needs_you", "not_begun"};
  for (const auto& step : json.at("steps")) {
    steps.push_back(step.at("id"));
    EXPECT_TRUE(states.count(step.at("state"))) << step;
    EXPECT_NE(step.at("answer"), "");
  }
  EXPECT_EQ(steps, (std::vector<std::string>{"measure", "travel", "correct", "make", "settle",
                                             "align", "prove"}));
  // A file at fault says so, as everywhere.
  write("bad.toml", "trammel = 1\n[front.wheel]\ncentre = [0, 700]\n");
  const auto bad = run("bad.toml");
  EXPECT_EQ(bad.status, 2);
  EXPECT_NE(bad.err.find("bad.toml:3:"), std::string::npos) << bad.err;
}

TEST_F(Program, AlignSaysWhatToTurn) {
  const auto r = run("align --working " + car("pip.toml"));
  EXPECT_EQ(r.status, 0) << r.err;
  EXPECT_NE(r.out.find("4 things to turn"), std::string::npos) << r.out;
  EXPECT_NE(r.out.find("crabs to the right"), std::string::npos);
  std::istringstream lines(r.out);
  for (std::string line; std::getline(lines, line);) EXPECT_LE(columns(line), 100U) << line;
  const auto j = nlohmann::json::parse(run("align " + car("pip.toml") + " --json").out);
  // asin((239 - 236) / 406), strings square to the car: arithmetic.
  EXPECT_NEAR(j["sessions"][0]["rear"]["left"]["toe_deg"].get<double>(), 0.4234, 0.001);
  ASSERT_EQ(j["steps"].size(), 4U);
  EXPECT_EQ(j["steps"][0]["wheel"], "rear.left");
  EXPECT_LT(j["steps"][0]["turns"].get<double>(), 0.0);
  const auto none = run("align " + car("pip-as-built.toml"));
  EXPECT_EQ(none.status, 0);
  EXPECT_NE(none.out.find("Nothing has been read on the floor yet"), std::string::npos);
}

TEST_F(Program, JsonHasTheFixedKeys) {
  const auto r =
      run("travel " + car("pip.toml") + " --axle front --travel -60,-30,0,30,60 --rack 5 --json");
  ASSERT_EQ(r.status, 0) << r.err;
  const auto j = nlohmann::json::parse(r.out);
  EXPECT_EQ(j["axle"], "front");
  EXPECT_EQ(j["side"], "left");
  EXPECT_EQ(j["state"], "as_measured");
  ASSERT_EQ(j["positions"].size(), 5U);
  for (const char* key :
       {"travel_mm", "rack_mm", "camber_deg", "toe_deg", "bump_steer_deg_per_mm",
        "camber_gain_deg_per_mm", "half_track_mm", "roll_centre_height_mm", "caster_deg",
        "steering_axis_inclination_deg", "scrub_radius_mm", "caster_trail_mm"})
    EXPECT_TRUE(j["positions"][1].contains(key)) << key;
  EXPECT_EQ(j["positions"][1]["travel_mm"], -30);
  const auto rear =
      nlohmann::json::parse(run("travel " + car("pip.toml") + " --axle rear --json").out);
  EXPECT_FALSE(rear["positions"][0].contains("caster_deg"));
  const auto built =
      nlohmann::json::parse(run("travel " + car("pip.toml") +
                                " --axle rear --side right --state as_built --travel 0 --json")
                                .out);
  EXPECT_EQ(built["state"], "as_built");
  EXPECT_EQ(built["side"], "right");
  EXPECT_NEAR(built["positions"][0]["toe_deg"].get<double>(), 0.1, 1e-9);
}

TEST_F(Program, TravelIsTypedInAnyUnit) {
  const auto a = nlohmann::json::parse(
      run("travel " + car("nibbet.toml") + " --axle front --travel=-1in,\"1/2 in\" --json").out);
  EXPECT_DOUBLE_EQ(a["positions"][0]["travel_mm"], -25.4);
  EXPECT_DOUBLE_EQ(a["positions"][1]["travel_mm"], 12.7);
  const auto b = nlohmann::json::parse(
      run("travel " + car("nibbet.toml") + " --axle front --travel -20:20:10 --json").out);
  EXPECT_EQ(b["positions"].size(), 5U);
}

TEST_F(Program, BadInputIsExitTwoAndSaysNothingElse) {
  write("bad.toml", "trammel = 1\n[front.wheel]\ncentre = [0, 700]\ncamper = 1\n");
  for (const char* words : {"check", "travel", "travel --json"}) {
    const auto r = run(std::string(words) + " bad.toml");
    EXPECT_EQ(r.status, 2);
    EXPECT_EQ(r.out, "");
    EXPECT_NE(r.err.find("bad.toml:3: front.wheel.centre: has 2 numbers where three belong"),
              std::string::npos)
        << r.err;
    EXPECT_NE(
        r.err.find("bad.toml:4: front.wheel: 'camper' is not known here, did you mean 'camber'?"),
        std::string::npos);
  }
  write("cut.toml", "trammel = 1\n[front.wheel]\ncentre = [0, 700, ");
  EXPECT_EQ(run("check cut.toml").err.substr(0, 11), "cut.toml:3:");
  write("empty.toml", "");
  EXPECT_EQ(run("check empty.toml").status, 2);
  write("binary.toml", std::string("\x7f"
                                   "ELF\0\0\1",
                                   7));
  EXPECT_EQ(run("check binary.toml").status, 2);
  EXPECT_EQ(run("check nowhere.toml").status, 2);
  EXPECT_EQ(run("check .").status, 2);
}

TEST_F(Program, MisusedWordsAreExitTwo) {
  for (const std::string& words :
       {std::string(""), std::string("fly"), "travel " + car("pip.toml") + " --json",
        "travel " + car("pip.toml") + " --axle middle",
        "travel " + car("pip.toml") + " --axle front --travel x",
        "travel " + car("pip.toml") + " --axle front --travel '3 deg'",
        "travel " + car("pip.toml") + " --axle front --travel 1e9",
        "travel " + car("pip.toml") + " --axle rear --rack 5",
        "travel " + car("pip.toml") + " --axle front --roll 'two'",
        "travel " + car("pip.toml") + " --axle front --state as_bilt"}) {
    const auto r = run(words);
    EXPECT_EQ(r.status, 2) << words;
    EXPECT_EQ(r.out, "") << words;
    EXPECT_NE(r.err, "") << words;
  }
  EXPECT_NE(run("travel " + car("pip.toml") + " --axle front --state as_bilt").err.find("as_built"),
            std::string::npos);
}

TEST_F(Program, NoPositionIsExitOneWithItsReason) {
  const auto r = run("travel " + car("pip.toml") + " --axle front --travel 0,400 --json");
  EXPECT_EQ(r.status, 1);
  EXPECT_NE(r.err.find("no position"), std::string::npos);
  const auto j = nlohmann::json::parse(r.out);
  EXPECT_TRUE(j["positions"][0].contains("toe_deg"));
  EXPECT_FALSE(j["positions"][1].contains("toe_deg"));
  const double nearest = j["positions"][1]["nearest_travel_mm"];
  EXPECT_GT(nearest, 60.0);
  EXPECT_LT(nearest, 400.0);
  const auto there =
      run("travel " + car("pip.toml") + " --axle front --json --travel " + std::to_string(nearest));
  EXPECT_EQ(there.status, 0) << there.err;
}

TEST_F(Program, CorrectHasTheFixedKeys) {
  const auto r = run("correct " + car("pip.toml") + " --axle front --json");
  ASSERT_EQ(r.status, 0) << r.err;
  EXPECT_EQ(r.err, "");
  const auto j = nlohmann::json::parse(r.out);
  EXPECT_EQ(j["axle"], "front");
  EXPECT_EQ(j["window_mm"], (std::vector<double>{-30, 40}));
  ASSERT_EQ(j["candidates"].size(), 6U * 14U);
  double chance = 1.0;
  int keyless = 0;
  for (const auto& c : j["candidates"]) {
    for (const char* key :
         {"choices", "toe_change_max_deg", "toe_change_rms_deg", "bump_steer_deg_per_mm",
          "roll_centre_height_mm", "camber_deg", "toe_rod_change_mm", "meets_targets", "chance"})
      keyless += c.contains(key) ? 0 : 1;
    EXPECT_LE(c["toe_change_rms_deg"], c["toe_change_max_deg"]);
    EXPECT_LE(c["chance"].get<double>(), chance);
    chance = c["chance"];
  }
  EXPECT_EQ(keyless, 0);
  EXPECT_GT(j["candidates"][0]["chance"], 0.2);
  // A file without any ± names no chance.
  const auto exact =
      nlohmann::json::parse(run("correct " + car("nibbet.toml") + " --axle front --json").out);
  EXPECT_FALSE(exact["candidates"][0].contains("chance"));
  EXPECT_TRUE(j["candidates"][0]["meets_targets"]);
  EXPECT_TRUE(j["candidates"][0]["choices"]["ball-joint spacer"].is_number());
  const auto rear =
      nlohmann::json::parse(run("correct " + car("pip.toml") + " --axle rear --json").out);
  EXPECT_EQ(rear["candidates"][0]["choices"]["toe-link bracket"].size(), 3U);
  EXPECT_TRUE(rear.contains("map"));
  EXPECT_TRUE(rear.contains("rule_of_thumb"));
}

// A wheel's own keys under its side; what stands beside them is the worse wheel's, all of it.
TEST_F(Program, CorrectGivesEachWheelItsOwnKeys) {
  const auto j = nlohmann::json::parse(run("correct " + car("pip-survey.toml") + " --json").out);
  for (const char* axle : {"front", "rear"}) {
    SCOPED_TRACE(axle);
    const auto& a = j[axle];
    EXPECT_EQ(a["axle"], axle);
    EXPECT_EQ(a["right_is_mirrored"], false);
    std::vector<nlohmann::json> all{a["before"]};
    for (const auto& c : a["candidates"]) all.push_back(c);
    for (const auto& f : all) {
      const std::string worse = f["worse_side"];
      const auto& own = f[worse];
      for (const char* key : {"toe_change_max_deg", "toe_change_rms_deg", "bump_steer_deg_per_mm",
                              "camber_deg", "camber_gain_deg_per_mm"}) {
        EXPECT_EQ(f[key], own[key]) << key;
        EXPECT_TRUE(f["left"].contains(key) && f["right"].contains(key)) << key;
      }
      EXPECT_GE(own["toe_change_max_deg"],
                f[worse == "left" ? "right" : "left"]["toe_change_max_deg"]);
    }
    EXPECT_TRUE(a["candidates"][0]["left"].contains("toe_rod_change_mm"));
    // The left wheel was run with dials and the right one was not: their doubts are far apart.
    const auto sigma = [&](const char* side) -> double {
      return a["standard_uncertainty"][side]["bump_steer_deg_per_mm"]["as_it_sits"];
    };
    EXPECT_GT(sigma("right"), 5.0 * sigma("left"));
    const std::string beside = a["standard_uncertainty"]["worse_side"];
    EXPECT_EQ(a["standard_uncertainty"]["bump_steer_deg_per_mm"],
              a["standard_uncertainty"][beside]["bump_steer_deg_per_mm"]);
  }
}

TEST_F(Program, SizesThatDifferBySideAreWrittenBySide) {
  write("pip.toml", demo_text("pip.toml") +
                        "\n[front.chosen]\n\"ball-joint spacer\" = 25\n\"rod-end stack\" = { left "
                        "= 27.5, right = 25 }\n");
  const auto j = nlohmann::json::parse(run("correct pip.toml --axle front --json").out);
  EXPECT_EQ(j["chosen"]["choices"]["rod-end stack"],
            (nlohmann::json{{"left", 27.5}, {"right", 25.0}}));
  EXPECT_EQ(j["chosen"]["choices"]["ball-joint spacer"], 25.0);
  EXPECT_NE(j["chosen"]["left"]["bump_steer_deg_per_mm"],
            j["chosen"]["right"]["bump_steer_deg_per_mm"]);
  EXPECT_NE(
      run("correct pip.toml --axle front").out.find("rod-end stack (left 27.5 mm, right 25 mm)"),
      std::string::npos);
  const auto sheet = run("sheet pip.toml --out -").out;
  EXPECT_NE(sheet.find("front left: rod-end stack fitted (27.5 mm)"), std::string::npos);
  EXPECT_NE(sheet.find("front right: rod-end stack fitted (25 mm)"), std::string::npos);
}

// With the rack turned the change over travel counts from ride height with the rack there.
TEST_F(Program, ToeChangeIsThatOfTheTravel) {
  const auto j = nlohmann::json::parse(
      run("travel " + car("pip.toml") + " --axle front --travel 0,20 --rack 20 --json").out);
  EXPECT_EQ(j["positions"][0]["toe_change_deg"], 0.0);
  EXPECT_NE(j["positions"][1]["toe_change_deg"], 0.0);
  EXPECT_LT(std::fabs(j["positions"][1]["toe_change_deg"].get<double>()), 1.0);
}

TEST_F(Program, WhatIsChosenByHandIsWhatTheStepsAreAbout) {
  write("pip.toml", demo_text("pip.toml"));
  EXPECT_EQ(run("set pip.toml 'front.chosen.\"ball-joint spacer\"' 22").status, 0);
  EXPECT_EQ(run("set pip.toml 'front.chosen.\"rod-end stack\"' '1 in'").status, 0);
  const auto r = run("correct pip.toml");
  EXPECT_NE(r.out.find("Front, as chosen: 22 mm ball-joint spacer and 25.4 mm rod-end stack"),
            std::string::npos)
      << r.out;
  EXPECT_NE(r.out.find("chosen: "), std::string::npos);
  const auto j = nlohmann::json::parse(run("correct pip.toml --axle front --json").out);
  EXPECT_EQ(j["chosen"]["choices"]["ball-joint spacer"], 22.0);
  EXPECT_LT(j["chosen"]["chance"].get<double>(), 1.0);
  EXPECT_EQ(run("sheet pip.toml --out s.html").status, 0);
  EXPECT_NE(read("s.html").find("22 mm ball-joint spacer"), std::string::npos);
  // An option that is none is said, and the file left alone.
  const auto before = read("pip.toml");
  EXPECT_EQ(run("set pip.toml 'front.chosen.\"ball joint spacer\"' 20").status, 2);
  EXPECT_EQ(read("pip.toml"), before);
}

TEST_F(Program, WritesBlankSurveySheetsAndOverNobodysFile) {
  const auto r = run("measure " + car("pip.toml") + " --blank");
  EXPECT_EQ(r.status, 0) << r.err;
  EXPECT_NE(r.out.find("The survey sheets are in pip-blank.html"), std::string::npos) << r.out;
  EXPECT_NE(read("pip-blank.html").find("<small>survey sheets</small>"), std::string::npos);
  EXPECT_EQ(run("measure " + car("pip.toml") + " --blank").status, 0);  // its own is written over
  write("mine.html", "my notes");
  EXPECT_EQ(run("measure " + car("pip.toml") + " --blank --out mine.html").status, 2);
  EXPECT_EQ(read("mine.html"), "my notes");
  EXPECT_EQ(run("measure " + car("pip.toml") + " --blank --out -").out.find("<!DOCTYPE html>"), 0u);
}

TEST_F(Program, CorrectSaysWhyItHasNoAnswer) {
  const auto r = run("correct " + car("pip-as-built.toml"));
  EXPECT_EQ(r.status, 1);
  EXPECT_EQ(r.out, "");
  EXPECT_NE(r.err.find("no option moves a joint"), std::string::npos) << r.err;
  EXPECT_EQ(run("correct " + car("nibbet.toml") + " --axle rear").status, 1);
}

TEST_F(Program, CorrectFitsAHundredColumns) {
  for (const char* name : {"pip.toml", "nibbet.toml"}) {
    const auto r = run("correct " + car(name));
    EXPECT_EQ(r.status, 0) << r.err;
    std::istringstream lines(r.out);
    for (std::string line; std::getline(lines, line);) EXPECT_LE(columns(line), 100U) << line;
  }
}

TEST_F(Program, SheetIsWrittenAndOnlySheetsAreWrittenOver) {
  const auto r = run("sheet " + car("pip.toml"));
  EXPECT_EQ(r.status, 0) << r.err;
  EXPECT_NE(r.out.find("pip-sheet.html"), std::string::npos);
  const auto html = read("pip-sheet.html");
  EXPECT_NE(html.find("this car is invented"), std::string::npos);
  EXPECT_EQ(html.find("<script"), std::string::npos);
  EXPECT_EQ(run("sheet " + car("pip.toml")).status, 0);  // over itself
  write("mine.txt", "dear diary");
  const auto refused = run("sheet " + car("pip.toml") + " --out mine.txt");
  EXPECT_EQ(refused.status, 2);
  EXPECT_EQ(read("mine.txt"), "dear diary");
  EXPECT_EQ(run("sheet " + car("pip.toml") + " --out -").out, html);
}

TEST_F(Program, JobRowsFillTheOrderOfWork) {
  write("job.toml",
        demo_text("pip.toml") +
            "[[job]]\npart = \"ball-joint spacer\"\nstate = \"ordered\"\n"
            "[[job]]\nstep = \"Gland nut\"\ntorque = \"150 N·m\"\ndone_by = \"R. <b>\"\n"
            "checked_by = \"S.\"\n"
            "[[job]]\nstep = \"Ask the inspector\"\n");
  const auto html = run("sheet job.toml --out -").out;
  EXPECT_NE(html.find("<td>ordered</td>"), std::string::npos);
  EXPECT_NE(html.find("<td>150 N·m</td><td>R. &lt;b&gt;</td><td>S.</td>"), std::string::npos);
  EXPECT_NE(html.find("Ask the inspector"), std::string::npos);
  write("bad.toml", demo_text("pip.toml") + "[[job]]\npart = \"x\"\nstate = \"lost\"\n");
  const auto bad = run("sheet bad.toml");
  EXPECT_EQ(bad.status, 2);
  EXPECT_NE(bad.err.find("expected needed, ordered, here or fitted"), std::string::npos);
}

TEST_F(Program, HelpTeaches) {
  const auto r = run("--help");
  EXPECT_EQ(r.status, 0);
  EXPECT_NE(r.out.find("trammel check"), std::string::npos);
  const auto travel = run("travel --help");
  EXPECT_EQ(travel.status, 0);
  EXPECT_NE(travel.out.find("--axle front --state as_built"), std::string::npos);
}

TEST_F(Program, SetChangesOneValueInTheText) {
  const auto before = demo_text("pip.toml");
  write("pip.toml", before);
  const auto r = run("set pip.toml front.wheel.toe \"0°03'\"");
  EXPECT_EQ(r.status, 0) << r.err;
  auto want = before;
  want.replace(want.find("toe = 0.0  "), 9, "toe = \"0°03'\"");
  EXPECT_EQ(read("pip.toml"), want);
  EXPECT_EQ(run("set pip.toml front.arm.lower.upright[2] 178.5").status, 0);
  EXPECT_NE(read("pip.toml").find("647.8, 178.5]"), std::string::npos);
}

TEST_F(Program, SetWritesNothingThatWouldBeAtFault) {
  const auto before = demo_text("pip.toml");
  write("pip.toml", before);
  for (const char* words : {"front.wheel.toe '12 mm'", "front.arm.lower.upright '[1, 2]'",
                            "front.arm.lower.uprigt 1", "trammel 7", "front.wheel 3"}) {
    const auto r = run(std::string("set pip.toml ") + words);
    EXPECT_EQ(r.status, 2) << words;
    EXPECT_EQ(r.out, "") << words;
    EXPECT_NE(r.err.find("pip.toml"), std::string::npos) << words;
    EXPECT_EQ(read("pip.toml"), before) << words;
  }
}

// Surveys whose runs have no position on the way to their answer: an answer or a reason, never the
// end of the program.
TEST_F(Program, EndsOrderlyWhereARunTearsTheJointsApart) {
  for (const auto& survey : std::filesystem::directory_iterator(car("../tests/measure/surveys")))
    for (const char* command : {"measure ", "correct ", "sheet --out - "}) {
      const auto r = run(command + survey.path().string());
      EXPECT_LE(r.status, 2) << command << survey.path() << r.err;
      EXPECT_EQ(r.err.find("a bug in"), std::string::npos) << r.err;
      EXPECT_FALSE(r.out.empty() && r.err.empty()) << command << survey.path();
    }
}

TEST_F(Program, ProvesTheDemoHatch) {
  const auto r = run("prove " + car("pip-survey.toml"));
  EXPECT_EQ(r.status, 0) << r.err;
  EXPECT_NE(r.out.find("Front left: passed."), std::string::npos) << r.out;
  std::istringstream lines(r.out);
  for (std::string line; std::getline(lines, line);) EXPECT_LE(columns(line), 100U) << line;
  const auto j = nlohmann::json::parse(run("prove " + car("pip-survey.toml") + " --json").out);
  ASSERT_EQ(j["runs"].size(), 1U);
  const auto& proved = j["runs"][0];
  EXPECT_EQ(proved["verdict"], "passed");
  EXPECT_EQ(proved["with"]["ball-joint spacer"], 30.0);
  EXPECT_EQ(proved["rows"].size(), 17U);
  EXPECT_EQ(proved["degrees_of_freedom"], 15);
  EXPECT_EQ(j["axles"]["rear"]["verdict"], "not run");
  // What the run says reaches every other step.
  const auto measured =
      nlohmann::json::parse(run("measure " + car("pip-survey.toml") + " --json").out);
  EXPECT_EQ(measured["gauges"].size(), 3U);
  EXPECT_EQ(measured["gauges"][2]["with_parts"], true);
}

// A wrong shim in the file: the run fails, the question is answered all the same, and the steps
// before it do without the run and say so.
TEST_F(Program, ARunThatFailsIsLeftOutAndSaid) {
  auto text = demo_text("pip-survey.toml");
  const std::string stack = "\"rod-end stack\" = 32.5";
  const auto at = text.find(stack);
  ASSERT_NE(at, std::string::npos);
  write("slip.toml", text.replace(at, stack.size(), "\"rod-end stack\" = 17.5"));
  const auto r = run("prove slip.toml");
  EXPECT_EQ(r.status, 0) << r.err;
  EXPECT_NE(r.out.find("Front left: no, something is bent, loose"), std::string::npos) << r.out;
  const auto j = nlohmann::json::parse(run("prove slip.toml --json").out);
  EXPECT_EQ(j["runs"][0]["verdict"], "wrong");
  EXPECT_FALSE(j["runs"][0]["causes"].empty());
  const auto measured = run("measure slip.toml");
  EXPECT_NE(measured.out.find("does not fit what was predicted"), std::string::npos);
}

// What does not serve ends with status 1, says so on the error stream, on the drawing and in the
// cutting file; drawings of an earlier set are named.
TEST_F(Program, MakeStopsWhereSomethingDoesNotServe) {
  std::filesystem::create_directories(folder_ / "parts");
  write("parts/rod-end-stack-5-L.dxf", "old");
  write("parts/notes.txt", "mine");
  const auto r = run("make " + car("pip.toml") + " --out parts");
  EXPECT_EQ(r.status, 1);
  EXPECT_NE(r.err.find("the rod-end stack: does not serve"), std::string::npos) << r.err;
  EXPECT_NE(r.err.find("rod-end-stack-5-L.dxf: not of this set"), std::string::npos) << r.err;
  EXPECT_EQ(r.err.find("notes.txt"), std::string::npos) << r.err;
  std::size_t stamped = 0, written = 0;
  for (const auto& entry : std::filesystem::directory_iterator(folder_ / "parts")) {
    const auto name = entry.path().filename().string();
    if (name.find("toe-link-bracket") == std::string::npos || entry.path().extension() == ".pdf")
      continue;
    ++written;
    stamped += read("parts/" + entry.path().filename().string()).find("NOT FOR CUTTING") !=
               std::string::npos;
  }
  EXPECT_EQ(written, 4U);
  EXPECT_EQ(stamped, 4U);
  EXPECT_EQ(run("make " + car("pip.toml")).status, 1);
  const auto json = nlohmann::json::parse(run("make " + car("pip.toml") + " --json").out);
  std::set<std::string> verdicts;
  for (const auto& one : json.at("judged")) verdicts.insert(one.at("verdict").get<std::string>());
  EXPECT_TRUE(verdicts.count("does not serve") && verdicts.count("not judged"));
  for (const auto& part : json.at("parts"))
    EXPECT_TRUE(part.at("stands_on").contains("added_nmm")) << part;
  // Options whose names become the same file are asked to differ more, and nothing is written.
  auto text = demo_text("pip.toml");
  for (std::size_t at; (at = text.find("\"lateral-arm spacer\"")) != std::string::npos;)
    text.replace(at, 20, "\"ball.joint spacer\"");
  for (std::size_t at; (at = text.find("sizes = [0, 10, 15]\n")) != std::string::npos;)
    text.replace(at, 20, "sizes = [30]\n");
  for (std::size_t at; (at = text.find("sizes = [0, 10, 15, 20, 25, 30]")) != std::string::npos;)
    text.replace(at, 31, "sizes = [30]");
  write("twins.toml", text);
  const auto twins = run("make twins.toml --out twins");
  EXPECT_EQ(twins.status, 2);
  EXPECT_NE(twins.err.find("expected options whose names differ"), std::string::npos) << twins.err;
  EXPECT_FALSE(std::filesystem::exists(folder_ / "twins"));
  // A car that names no part has nothing that could fail.
  EXPECT_EQ(run("make " + car("nibbet.toml")).status, 0);
}

}  // namespace
}  // namespace trammel::testing
