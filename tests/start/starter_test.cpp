// A car file from nothing: every combination of answers makes a file without faults whose wheels
// travel, and what is no answer is named.
#include "start/starter.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <set>

#include "base/quantity.h"
#include "cars.h"
#include "file/wishes.h"
#include "travel/reasons.h"
#include "travel/ride.h"
#include "travel/sweep.h"
#include "whole_set.h"

namespace trammel::testing {
namespace {

using Answers = std::vector<StartAnswer>;

std::string joined(const Answers& answers) {
  std::string all;
  for (const auto& a : answers) all += a.question + "=" + a.answer + " ";
  return all;
}
std::string faults_of(const Started& s) {
  std::string all;
  for (const auto& f : s.faults) all += f.question + ": " + f.what + "\n";
  return all;
}

// Every way to answer the questions about one axle, `done` being the answers so far.
void each_way(const std::string& axle, const Answers& done, std::vector<Answers>& ways) {
  const auto started = start_car(done);
  for (const auto& q : started.questions) {
    const bool of_axle = q.id == axle || q.id.starts_with(axle + "-");
    const bool answered = std::any_of(done.begin(), done.end(),
                                      [&](const StartAnswer& a) { return a.question == q.id; });
    if (!of_axle || q.choices.empty() || answered) continue;
    for (const auto& c : q.choices) {
      auto with = done;
      with.push_back({q.id, c.id});
      each_way(axle, with, ways);
    }
    return;
  }
  ways.push_back(done);
}
std::vector<Answers> ways_of(const std::string& axle) {
  std::vector<Answers> ways;
  each_way(axle, {}, ways);
  return ways;
}

// What a started axle has to do: travel 60 mm each way on both sides without locking, its wheel
// staying a wheel. Limits are wide: nothing is said of how well guessed joints steer.
void expect_travels(const Car& car, AxleName axle, const std::string& which) {
  const auto stands = ride(car, nullptr);
  ASSERT_TRUE(stands.value) << which << words(stands.why, Units::metric);
  Ask ask;
  for (int t = -60; t <= 60; t += 10) ask.travel_mm.push_back(t);
  const auto swept = sweep(*stands.value, axle, ask);
  for (const auto& p : swept.positions)
    for (const Side side : {Side::left, Side::right}) {
      const auto& locked = p.locked[static_cast<std::size_t>(side)];
      ASSERT_FALSE(locked) << which << p.travel_mm << ": "
                           << (locked ? words(*locked, Units::metric) : "");
      const auto& c = *p.at(side);
      EXPECT_LT(std::fabs(c[Reading::camber]), 12.0 * degree_rad) << which << p.travel_mm;
      EXPECT_LT(std::fabs(c.toe_change_rad), 12.0 * degree_rad) << which << p.travel_mm;
      EXPECT_LT(std::fabs(c.track_change_mm), 60.0) << which << p.travel_mm;
      EXPECT_LT(std::fabs(c.wheelbase_change_mm), 60.0) << which << p.travel_mm;
    }
}

// Text to car, by the same reading that every file goes through: no fault of syntax, of a joint, of
// freedom (five equations, one motion left), of an option or target.
Car sound_car(const Started& s, const std::string& which) {
  EXPECT_EQ(faults_of(s), "") << which;
  EXPECT_NE(s.text, "") << which;
  EXPECT_EQ(testing::faults_of(s.text), "") << which << "\n" << s.text;
  auto car = car_of(s.text);
  const auto document = parse(s.text);
  const auto wishes = read_wishes(*document.value, car);
  EXPECT_TRUE(wishes.faults.empty()) << which;
  EXPECT_FALSE(car.demo);
  for (const AxleName axle : {AxleName::front, AxleName::rear})
    if (car.at(axle)) {
      EXPECT_TRUE(std::any_of(wishes.options.begin(), wishes.options.end(),
                              [&](const Option& o) { return o.axle == axle; }))
          << which << "has nothing to correct the " << word(axle) << " with";
      EXPECT_TRUE(wishes.target[static_cast<std::size_t>(axle)].toe_change_rad) << which;
    }
  return car;
}

TEST(Start, EveryWayToAnswerMakesAFileWhoseWheelsTravel) {
  for (const AxleName axle : {AxleName::front, AxleName::rear}) {
    const auto ways = ways_of(word(axle));
    EXPECT_GT(ways.size(), 50U);
    std::set<std::string> texts;
    for (const auto& way : ways) {
      const auto which = joined(way);
      const auto s = start_car(way);
      EXPECT_TRUE(s.unasked.empty()) << which;
      if (s.text.empty()) {
        // Left out: said why, and nothing to begin with.
        EXPECT_NE(s.why, "") << which;
        EXPECT_EQ(s.left_out.size(), 2U) << which;
        continue;
      }
      // Two ways may come to the same joints; each of these is looked at once.
      if (!texts.insert(s.text).second) continue;
      const auto car = sound_car(s, which);
      ASSERT_TRUE(car.at(axle)) << which;
      EXPECT_EQ(static_cast<int>(car.at(AxleName::front).has_value()) +
                    static_cast<int>(car.at(AxleName::rear).has_value()),
                1)
          << which;
      expect_travels(car, axle, which);
    }
  }
}

TEST(Start, BothAxlesTogetherAndEveryRefusedOne) {
  const auto questions = all_start_questions();
  const auto of = [&](const std::string& id) -> const StartQuestion& {
    return *std::find_if(questions.begin(), questions.end(),
                         [&](const StartQuestion& q) { return q.id == id; });
  };
  for (const auto& front : of("front").choices)
    for (const auto& rear : of("rear").choices) {
      const Answers answers{{"front", front.id}, {"rear", rear.id}};
      const auto s = start_car(answers);
      const auto which = joined(answers);
      const std::size_t out = (front.refused.empty() ? 0U : 1U) + (rear.refused.empty() ? 0U : 1U);
      EXPECT_EQ(s.left_out.size(), out) << which;
      if (out == 2) {
        EXPECT_EQ(s.text, "") << which;
        EXPECT_NE(s.why, "") << which;
        continue;
      }
      const auto car = sound_car(s, which);
      EXPECT_EQ(car.at(AxleName::front).has_value(), front.refused.empty()) << which;
      EXPECT_EQ(car.at(AxleName::rear).has_value(), rear.refused.empty()) << which;
      // The file says which axle is not in it, and why.
      auto flowing = s.text;
      for (std::size_t at = 0; (at = flowing.find("\n# ", at)) != std::string::npos;)
        flowing.replace(at, 3, " ");
      for (std::size_t at = 0; (at = flowing.find("  ", at)) != std::string::npos;)
        flowing.erase(at, 1);
      for (const auto& why : s.left_out) EXPECT_NE(flowing.find(why), std::string::npos) << which;
    }
}

TEST(Start, TheWheelsStandWhereTheTapeSays) {
  const auto s = start_car({{"front", "strut-arm"},
                            {"rear", "swing-arm"},
                            {"wheelbase", "2.4 m"},
                            {"front-track", "4 ft 8 in"},
                            {"name", "  Mibbo's \"blue\" one "}});
  EXPECT_EQ(faults_of(s).substr(0, 12), "front-track:");
  const auto good = start_car({{"front", "strut-arm"},
                               {"rear", "swing-arm"},
                               {"wheelbase", "2.4 m"},
                               {"front-track", "56 in"},
                               {"rear-track", "1400 ± 4 mm"},
                               {"rear-hub", "301.5"},
                               {"rim-diameter", "14"},
                               {"front-lowered", "1 1/2 in"},
                               {"baseline", "700"},
                               {"name", "  Mibbo's \"blue\" one "}});
  const auto car = sound_car(good, "");
  EXPECT_EQ(car.name, "Mibbo's \"blue\" one");
  const auto& f = *car.at(AxleName::front);
  const auto& r = *car.at(AxleName::rear);
  const auto& fc = f.at(Side::left).numbers.points_mm[0];
  const auto& rc = r.at(Side::left).numbers.points_mm[0];
  EXPECT_NEAR(fc.y, 0.5 * 56 * 25.4, 1e-9);
  EXPECT_NEAR(rc.x, -2400.0, 1e-9);
  EXPECT_NEAR(rc.y, 700.0, 1e-9);
  EXPECT_NEAR(rc.z, 301.5, 1e-9);
  EXPECT_NEAR(*f.rim.diameter_mm, 14 * 25.4, 1e-9);
  // A tape's ± is its own, half of it to a side; a guess has the guess's.
  EXPECT_NEAR(r.at(Side::left).sigma_mm[0].y, 2.0, 1e-9);
  EXPECT_NEAR(r.at(Side::left).sigma_mm[1].y, 40.0, 1e-9);
  ASSERT_TRUE(car.state("as_built"));
  EXPECT_NEAR(car.state("as_built")->at(AxleName::front).height_mm, 38.1, 1e-9);
  EXPECT_EQ(car.state("as_built")->at(AxleName::rear).height_mm, 0.0);
  EXPECT_NE(good.text.find("baseline = \"700 mm\""), std::string::npos);
}

TEST(Start, WhatIsNoAnswerIsNamedWithWhatWasExpected) {
  const auto of = [](const char* question, const char* answer) {
    return faults_of(start_car({{"front", "two-arms"}, {question, answer}}));
  };
  EXPECT_EQ(of("wheelbase", "2400 kg"),
            "wheelbase: '2400 kg' is a mass, expected a length such as 12.5 mm or \"2 3/8 in\"\n");
  EXPECT_EQ(of("wheelbase", "2.4"),
            "wheelbase: '2.4' is 2.4 mm, expected 1500 to 4500 mm, such as 2450 mm; a bare number "
            "is mm: for m write '2.4 m'\n");
  EXPECT_EQ(of("wheelbase", "96"),
            "wheelbase: '96' is 96 mm, expected 1500 to 4500 mm, such as 2450 mm; a bare number is "
            "mm: for in write '96 in'\n");
  EXPECT_EQ(of("front-hub", "-290"),
            "front-hub: '-290' is -290 mm, expected 180 to 500 mm, such as 290 mm\n");
  EXPECT_EQ(of("rim-diameter", "381"),
            "rim-diameter: '381' is 9677.4 mm, expected 10 to 24 inches, such as 15 in\n");
  EXPECT_EQ(of("rim-width", "wide").substr(0, 32), "rim-width: 'wide' is not a numbe");
  EXPECT_EQ(of("front-rod", "sideways"),
            "front-rod: 'sideways' is not one of the answers, expected behind, ahead or unknown\n");
  EXPECT_EQ(faults_of(start_car({{"front", "twist-beam"}})).substr(0, 55),
            "front: 'twist-beam' is not one of the answers, expected");
  EXPECT_EQ(faults_of(start_car(
                {{"front", "strut-arm"}, {"front-hub", "200"}, {"rim-diameter", "17 in"}})),
            "front-hub: '200 mm' is less than a rim of 17 in and its tyre need, expected more than "
            "231 mm: one of the two is misread\n");
  EXPECT_EQ(of("name", "Mibbo\xff"),
            "name: is no text that a file can hold, expected letters and digits\n");
  EXPECT_EQ(of("name", "a \\ \"b\" \n c = 1 \x7f"), "");
  // No text beside a fault, and an open value is none.
  EXPECT_EQ(start_car({{"front", "two-arms"}, {"wheelbase", "2.4"}}).text, "");
  EXPECT_EQ(of("wheelbase", " "), "");
  // What this car is not asked is named, not taken.
  const auto s = start_car({{"front", "five-rods"}, {"front-toe", "nothing"}, {"colour", "red"}});
  EXPECT_EQ(s.unasked, (std::vector<std::string>{"front-toe", "colour"}));
}

TEST(Start, NothingAnsweredIsNoFile) {
  const auto s = start_car({});
  EXPECT_EQ(s.text, "");
  EXPECT_NE(s.why, "");
  EXPECT_EQ(s.missing, (std::vector<std::string>{"front", "rear"}));
}

TEST(Start, EveryPictureHasWordsForThoseWhoCannotSeeIt) {
  std::set<std::string> seen;
  std::vector<StartChoice> all;
  // Ways beside each other show the same pictures.
  const std::size_t each = whole_set() ? 1 : 4;
  for (const std::string axle : {"front", "rear"}) {
    const auto ways = ways_of(axle);
    for (std::size_t i = 0; i < ways.size(); i += each)
      for (const auto& q : start_car(ways[i], StartPictures::drawn).questions)
        for (const auto& c : q.choices)
          if (!c.svg.empty() && seen.insert(c.svg).second) all.push_back(c);
  }
  EXPECT_GT(all.size(), 40U);
  for (const auto& c : all) {
    EXPECT_NE(c.svg.find("<title>"), std::string::npos) << c.id;
    EXPECT_NE(c.svg.find("<desc>"), std::string::npos) << c.id;
    EXPECT_EQ(c.svg.find("nan"), std::string::npos) << c.id;
    EXPECT_EQ(c.svg.find("inf"), std::string::npos) << c.id;
    EXPECT_EQ(c.svg.find("#000"), std::string::npos) << "night has other ink: " << c.id;
  }
  // Of one question every choice looks different.
  for (const auto& q :
       start_car({{"front", "two-arms"}, {"rear", "strut-arm"}}, StartPictures::drawn).questions) {
    std::set<std::string> pictures;
    std::size_t drawn = 0;
    for (const auto& c : q.choices)
      if (!c.svg.empty()) {
        ++drawn;
        pictures.insert(c.svg.substr(c.svg.find("</desc>")));
      }
    EXPECT_EQ(pictures.size(), drawn) << q.id;
  }
}

RC_GTEST_PROP(StartProperty, AnyTapeValuesWithinReasonMakeACarThatTravels, ()) {
  static const auto fronts = ways_of("front"), rears = ways_of("rear");
  auto answers = fronts[*rc::gen::inRange<std::size_t>(0, fronts.size())];
  const auto& rear = rears[*rc::gen::inRange<std::size_t>(0, rears.size())];
  answers.insert(answers.end(), rear.begin(), rear.end());
  const auto add = [&](const char* id, int from, int to) {
    if (*rc::gen::inRange(0, 2) == 1)
      answers.push_back({id, std::to_string(*rc::gen::inRange(from, to + 1))});
  };
  const int rim = *rc::gen::inRange(10, 25);
  answers.push_back({"rim-diameter", std::to_string(rim)});
  add("wheelbase", 1500, 4500);
  add("front-track", 900, 2200);
  add("rear-track", 900, 2200);
  add("front-hub", std::max(180, rim * 127 / 10 + 16), 500);
  add("rear-hub", std::max(180, rim * 127 / 10 + 16), 500);
  add("front-lowered", 0, 60);
  add("rear-lowered", 0, 60);
  const auto s = start_car(answers);
  const auto which = joined(answers);
  EXPECT_EQ(faults_of(s), "") << which;
  RC_PRE(!s.text.empty());
  RC_ASSERT(testing::faults_of(s.text) == "");
  const auto car = car_of(s.text);
  for (const AxleName axle : {AxleName::front, AxleName::rear})
    if (car.at(axle)) expect_travels(car, axle, which);
  RC_ASSERT(!::testing::Test::HasFailure());
}

}  // namespace
}  // namespace trammel::testing
