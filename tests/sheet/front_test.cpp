// What to do now: the first thing is what stands in the way of all others, and where the job stands
// is said of every step.

#include "sheet/front.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <set>

#include "cars.h"
#include "file/edit.h"
#include "told/text.h"

namespace trammel::testing {
namespace {

Front front(const std::string& text, Units units = Units::metric) {
  auto read = read_car_file(text);
  EXPECT_TRUE(read.value) << faults_of(text);
  Worked worked(std::move(*read.value));
  return front_of(worked, units);
}
const StepNow& step(const Front& f, const std::string& id) {
  return *std::find_if(f.steps.begin(), f.steps.end(), [&](const auto& s) { return s.id == id; });
}
const Todo* todo(const Front& f, const std::string& id) {
  const auto found =
      std::find_if(f.todo.begin(), f.todo.end(), [&](const auto& t) { return t.id == id; });
  return found == f.todo.end() ? nullptr : &*found;
}
std::vector<std::string> ids(const Front& f) {
  std::vector<std::string> all;
  for (const auto& t : f.todo) all.push_back(t.id);
  return all;
}

const std::vector<std::string> demos{"pip.toml",    "pip-survey.toml",    "pip-as-built.toml",
                                     "nibbet.toml", "nibbet-survey.toml", "nibbet-as-built.toml"};

// The misread values planted in the demo's survey (cars/surveyed-truth.json) come before all else.
TEST(Front, SlipsAreReadAgainFirst) {
  const auto f = front(demo_text("pip-survey.toml"));
  ASSERT_GE(f.todo.size(), 3U);
  EXPECT_EQ(f.todo[0].id, "measure.again.m021");
  EXPECT_EQ(f.todo[1].id, "measure.again.m116");
  EXPECT_NE(f.todo[0].what.find("M021"), std::string::npos);
  EXPECT_NE(f.todo[0].why.find("was read; all others together say"), std::string::npos)
      << f.todo[0].why;
  EXPECT_EQ(step(f, "measure").state, StepState::needs_you);
  EXPECT_EQ(step(f, "measure").answer, "2 readings to read again");
}

TEST(Front, GuessesAreMeasuredBeforeAnythingIsChosen) {
  const auto f = front(std::string(strut_text) + R"(
[front]
sigma = 20
[[option]]
name = "ball-joint spacer"
joint = "front.arm.lower.upright"
along = [0, 0, -1]
sizes = [0, 10]
)");
  ASSERT_FALSE(f.todo.empty());
  EXPECT_EQ(f.todo[0].id, "measure.front");
  EXPECT_EQ(step(f, "measure").state, StepState::needs_you);
  for (const char* later : {"travel", "correct", "make", "prove"})
    EXPECT_EQ(step(f, later).state, StepState::waiting) << later;
  EXPECT_FALSE(todo(f, "correct.front.choose"));
}

// A set that meets its targets surely is to be settled on; once it stands in the file it is not
// asked for any more, and what is to be got follows.
TEST(Front, ASetIsSettledOnOnceAndThenGot) {
  const auto text = demo_text("nibbet.toml");
  const auto f = front(text);
  for (const auto& t : f.todo) {
    EXPECT_FALSE(t.what.empty() || t.why.empty()) << t.id;
    EXPECT_TRUE(t.what.ends_with('.')) << t.what;
  }
  auto before = read_car_file(text);
  Worked worked(std::move(*before.value));
  std::string chosen = text;
  for (const AxleName a : each_axle) {
    const auto& c = worked.correction().at(a);
    if (!c || c->chosen || !c->to_fit() || c->to_fit()->stop) continue;
    const auto id = std::string("correct.") + word(a) + ".choose";
    EXPECT_TRUE(todo(f, id)) << id;
    const auto& choices = c->ranking.shelf.choices;
    for (std::size_t i = 0; i < choices.size(); ++i) {
      const Chosen settled{choices[i].index, c->to_fit()->fit.part[i]};
      const auto after = put(*parse(chosen).value,
                             std::string(word(a)) + ".chosen." + key_text(choices[i].option.name),
                             chosen_toml(choices[i].option, settled));
      ASSERT_TRUE(after.value);
      chosen = after.value->text;
    }
    EXPECT_FALSE(todo(front(chosen), id)) << id;
  }
  EXPECT_TRUE(todo(front(chosen), "work.get"));
}

TEST(Front, WhatIsNotOkIsSaidBeforeAnythingIsGot) {
  const auto f = front(demo_text("pip-survey.toml"));
  const auto all = ids(f);
  const auto at = [&](const std::string& id) {
    return std::find(all.begin(), all.end(), id) - all.begin();
  };
  ASSERT_TRUE(todo(f, "make.the-rod-end-stack"));
  ASSERT_TRUE(todo(f, "work.get"));
  EXPECT_LT(at("make.the-rod-end-stack"), at("work.get"));
  EXPECT_EQ(step(f, "make").state, StepState::needs_you);
}

// A run of the front left wheel is in that file, and of no other.
TEST(Front, EveryWheelIsProvedByItself) {
  const auto f = front(demo_text("pip-survey.toml"));
  EXPECT_FALSE(todo(f, "prove.front.left"));
  for (const char* wheel : {"prove.front.right", "prove.rear.left", "prove.rear.right"})
    EXPECT_TRUE(todo(f, wheel)) << wheel;
  EXPECT_NE(step(f, "prove").answer.find("front left passed"), std::string::npos);
}

TEST(Front, IdsHangOnNeitherUnitsNorOrder) {
  for (const auto& name : demos) {
    const auto metric = front(demo_text(name)), inch = front(demo_text(name), Units::inch);
    EXPECT_EQ(ids(metric), ids(inch)) << name;
    const auto all = ids(metric);
    EXPECT_EQ(std::set<std::string>(all.begin(), all.end()).size(), all.size()) << name;
  }
}

// At most thirty lines, in either unit; every step is there with a state and an answer.
TEST(Front, IsAScreenAtMost) {
  for (const auto& name : demos)
    for (const Units units : {Units::metric, Units::inch}) {
      const auto f = front(demo_text(name), units);
      const auto text = as_text(tell(f));
      EXPECT_LE(std::count(text.begin(), text.end(), '\n'), 28) << text;  // two are the car's name
      for (const auto& s : f.steps) EXPECT_FALSE(s.id.empty() || s.answer.empty()) << s.id;
    }
}

TEST(Front, NothingLeftSaysWhoSigns) {
  Front f;
  EXPECT_NE(tell(f).answer.find("sign the record, both names and the day"), std::string::npos);
}

}  // namespace
}  // namespace trammel::testing
