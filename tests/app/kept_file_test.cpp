// Car files of every format that there has been: the program opens them for ever, and they say what
// they said. A new format brings new files; those that are here stay as they are.

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <nlohmann/json.hpp>
#include <numbers>
#include <sstream>
#include <string>
#include <vector>

#include "app/ran_program.h"

namespace trammel::testing {
namespace {

// What is read must be what stands in the text: as near as a unit's factor is rounded.
constexpr double as_written = 1e-9;
// An adjuster is turned until the angle stands within 1e-12 rad of what it is set to.
constexpr double as_set_deg = 1e-9;

std::string kept(const std::string& name) { return KEPT_FOLDER + ("/" + name); }
nlohmann::json one_named(const nlohmann::json& rows, const std::string& name) {
  const auto it = std::find_if(rows.begin(), rows.end(),
                               [&](const nlohmann::json& row) { return row.at("name") == name; });
  if (it == rows.end()) throw std::runtime_error("no row is named " + name);
  return *it;
}
void expect_point(const nlohmann::json& points, const std::string& name,
                  const std::vector<double>& at_mm) {
  const auto read = points.at(name).at("at_mm").get<std::vector<double>>();
  ASSERT_EQ(read.size(), at_mm.size()) << name;
  for (std::size_t i = 0; i < at_mm.size(); ++i)
    EXPECT_NEAR(read[i], at_mm[i], as_written) << name << '[' << i << ']';
}

std::string in_one_line(const std::string& text) {
  std::istringstream words(text);
  std::string line;
  for (std::string word; words >> word;) line += word + " ";
  return line;
}

class KeptFile : public RanProgram {
 protected:
  nlohmann::json json_of(const std::string& command, const std::string& file,
                         const std::string& more = {}) {
    const auto r = run(command + " " + kept(file) + more + " --json");
    EXPECT_LE(r.status, 1) << command << ": " << r.err;
    return nlohmann::json::parse(r.out);
  }
};

// Its disc on the body stands on no upright, and an axle of which no ± is stated is told none.
TEST_F(KeptFile, IsToldNoMoreThanItSays) {
  EXPECT_NE(in_one_line(run("make --working " + kept("first-format.toml")).out)
                .find("bracket on the body"),
            std::string::npos);
  const auto travel = in_one_line(run("travel --working " + kept("first-format-swing.toml")).out);
  EXPECT_NE(travel.find("no ± is stated of it"), std::string::npos) << travel;
  EXPECT_EQ(travel.find("± 0.000 °"), std::string::npos) << travel;
}

TEST_F(KeptFile, EveryStepOpensIt) {
  std::ptrdiff_t files = 0;
  for (const auto& entry : std::filesystem::directory_iterator(KEPT_FOLDER)) {
    ++files;
    const auto file = entry.path().string();
    const auto check = run("check " + file);
    EXPECT_EQ(check.status, 0) << file << ": " << check.err;
    EXPECT_EQ(check.err, "") << file;
    EXPECT_NE(in_one_line(check.out).find("nothing is at fault"), std::string::npos) << check.out;
    for (const char* command :
         {"measure", "travel", "correct", "make", "settle", "align", "prove"}) {
      const auto r = run(std::string(command) + " " + file);
      // Whether a part serves may be judged otherwise one day; that it is judged may not.
      EXPECT_LE(r.status, 1) << command << ' ' << file << ": " << r.err;
      EXPECT_FALSE(r.out.empty()) << command << ' ' << file << ": " << r.err;
    }
    const auto sheet = run("sheet " + file + " --out -");
    EXPECT_EQ(sheet.status, 0) << file << ": " << sheet.err;
    EXPECT_NE(sheet.out.find("Murble"), std::string::npos) << file;
  }
  EXPECT_GE(files, 2);
}

TEST_F(KeptFile, ItsJointsAreReadAsWritten) {
  const auto j = json_of("check", "first-format.toml");
  EXPECT_EQ(j.at("name"), "Murble Whelk 1.3 (invented)");
  EXPECT_EQ(j.at("states"), nlohmann::json::array({"as_built", "on_the_ramp"}));
  const auto& front = j.at("axles").at("front");
  EXPECT_FALSE(front.at("right_is_mirrored").get<bool>());
  const auto &left = front.at("points").at("left"), &right = front.at("points").at("right");
  expect_point(left, "wheel.centre", {0, 702, 296});
  expect_point(left, "arm.lower.body_rear", {-255, 310, 7.375 * 25.4});  // "7 3/8 in"
  EXPECT_NEAR(left.at("rod.steering.upright").at("sigma_mm")[0].get<double>(), 1.5, as_written);
  EXPECT_NEAR(left.at("strut.top").at("sigma_mm")[0].get<double>(), 2.0, as_written);  // the axle's
  expect_point(right, "arm.lower.upright", {9, -653, 182});                            // its own
  expect_point(right, "arm.lower.body_front", {20, -300, 192});  // the mirror image
  const auto& rear = j.at("axles").at("rear").at("points");
  expect_point(rear.at("left"), "rod.toe.member", {-2545, 425, 190});
  expect_point(rear.at("right"), "damper.foot", {-2441, -586, 190});
  const auto other = json_of("check", "first-format-swing.toml");
  const auto& swing = other.at("axles").at("rear").at("points");
  expect_point(swing.at("left"), "swing.arm.pivot_inner", {-2190, 260, 290});
  expect_point(swing.at("right"), "swing.arm.pivot_outer", {-2080, -611, 275});
}

TEST_F(KeptFile, ItsReadingsAreReadAsWritten) {
  const auto j = json_of("measure", "first-format.toml");
  const auto expect = [&](const char* name, const char* kind, double value, double sigma) {
    const auto row = one_named(j.at("readings"), name);
    EXPECT_EQ(row.at("kind"), kind) << name;
    EXPECT_NEAR(row.at("value").get<double>(), value, as_written) << name;
    EXPECT_NEAR(row.at("sigma").get<double>(), sigma, as_written) << name;
  };
  expect("T02", "distance", 6.0625 * 25.4, 25.4 / 32);  // "6 1/16 in ± 1/32 in"
  expect("S01 #2", "slope", 0.75, 0.1);                 // "0°45'", the usual ±
  expect("F70 back #2", "back", 601, 0.5);
  expect("F71", "out", 562 + 100, std::hypot(1.5, 0.5));  // and a level bar inboard
  expect("O01", "offset", 11, 1);
  // By string: sin of toe is the edges' difference over the rim, 16 in.
  const double across = 16 * 25.4, toe = std::asin((239 - 238.2) / across);
  expect("E02", "toe", toe * 180 / std::numbers::pi,
         std::sqrt(2.0) * 0.5 / (across * std::cos(toe)) * 180 / std::numbers::pi);
  EXPECT_TRUE(one_named(j.at("readings"), "X01").at("set_aside").get<bool>());
  // A third dial is a row of its own, and so is each of two that stand by themselves.
  const auto rows = [&](const char* run) {
    return one_named(j.at("gauges"), run).at("rows").get<int>();
  };
  EXPECT_EQ(rows("gauge front left"), 2 * 15);
  EXPECT_EQ(rows("gauge rear left"), 15);
  EXPECT_EQ(rows("gauge rear left, dials by themselves"), 2 * 9);
  EXPECT_TRUE(one_named(j.at("gauges"), "gauge front left, fitted").at("with_parts").get<bool>());
}

TEST_F(KeptFile, WhatWasSetAndChosenIsReadAsWritten) {
  const auto built = json_of("travel", "first-format.toml",
                             " --axle front --side left --state as_built --travel 0");
  EXPECT_TRUE(built.at("toe_set_in_state").get<bool>());
  EXPECT_TRUE(built.at("camber_set_in_state").get<bool>());
  const auto& at = built.at("positions").at(0);
  EXPECT_NEAR(at.at("toe_deg").get<double>(), 3.0 / 60, as_set_deg);  // "0°03'"
  EXPECT_NEAR(at.at("camber_deg").get<double>(), -0.3, as_set_deg);

  const auto settled = json_of("settle", "first-format.toml");
  const auto& states = settled.at("states");
  const auto state = std::find_if(states.begin(), states.end(), [](const nlohmann::json& s) {
    return s.at("state") == "as_built";
  });
  ASSERT_NE(state, states.end());
  // Hub to arch as measured, and "1 1/4 in" more.
  EXPECT_NEAR(state->at("front").at("left").at("hub_to_arch_mm").get<double>(), 330 + 31.75,
              as_written);

  const auto made = json_of("make", "first-format.toml");
  std::vector<double> stack;
  for (const auto& part : made.at("parts"))
    if (part.at("option") == "rod-end stack") stack.push_back(part.at("thickness_mm"));
  EXPECT_EQ(stack, (std::vector<double>{22.5, 25.0}));  // left, right
  EXPECT_EQ(one_named(made.at("bolts"), "ball-joint bolts").at("length_mm"), 50);

  const auto fitted = json_of("prove", "first-format.toml").at("runs").at(0).at("with");
  EXPECT_EQ(fitted.at("ball-joint spacer"), 15);
  EXPECT_EQ(fitted.at("rod-end stack").at("left"), 22.5);
  EXPECT_EQ(fitted.at("rod-end stack").at("right"), 25);

  const auto day = json_of("align", "first-format.toml").at("sessions").at(0);
  EXPECT_EQ(day.at("when"), "as found");
  EXPECT_NEAR(day.at("front").at("left").at("hub_to_arch_mm").get<double>(), 330, as_written);
}

// Its text may be edited too: one value, and nothing else moves.
TEST_F(KeptFile, OneValueOfItIsEdited) {
  std::ifstream in(kept("first-format.toml"), std::ios::binary);
  const std::string text{std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
  write("car.toml", text);
  ASSERT_EQ(run("set car.toml 'front.chosen.\"ball-joint spacer\"' 20").status, 0) << read("err");
  const std::string old = "\"ball-joint spacer\" = 15\n";
  auto expected = text;
  expected.replace(expected.find(old), old.size(), "\"ball-joint spacer\" = 20\n");
  EXPECT_EQ(read("car.toml"), expected);
}

}  // namespace
}  // namespace trammel::testing
