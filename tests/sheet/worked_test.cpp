// The one chain: another text of a car is worked out as if it were the first, and what does not
// hang on the change is not worked out again.

#include "sheet/worked.h"

#include <gtest/gtest.h>

#include "cars.h"
#include "file/edit.h"
#include "sheet/hangs_on.h"
#include "sheet/sections.h"
#include "told/text.h"

namespace trammel::testing {
namespace {

// A small shelf, so that ranking takes a moment; one of the demo car's axles is enough.
std::string small_car() {
  return std::string(strut_text) + R"(
[front]
sigma = 1.0
[front.target]
toe_change = 0.2
window = [-40, 40]
[[option]]
name = "ball-joint spacer"
joint = "front.arm.lower.upright"
along = [0, 0, -1]
sizes = [0, 10, 20]
[[option]]
name = "rod-end stack"
joint = "front.rod.steering.upright"
along = [0, 0, -1]
sizes = [0, 10, 20]
)";
}

std::string all_told(Worked& worked) {
  std::string all;
  const auto plots = plots_with_sets(worked, Units::metric);
  for (const auto& row : section_table)
    if (is_told(worked, row.id)) all += as_text(section(worked, row.id, plots, Units::metric));
  return all;
}
std::string told_freshly(const std::string& text) {
  Worked worked(*read_car_file(text).value);
  return all_told(worked);
}
std::string with(const std::string& text, const std::string& path, const std::string& value) {
  auto after = put(*parse(text).value, path, value);
  EXPECT_TRUE(after.value) << (after.faults.empty() ? "" : after.faults.front().what);
  return after.value->text;
}

TEST(Worked, AnotherTextIsToldAsIfItWereTheFirst) {
  const auto first = small_car();
  Worked worked(*read_car_file(first).value);
  ASSERT_EQ(all_told(worked), told_freshly(first));
  struct Step {
    std::string text;
    bool same_geometry;
  };
  const auto chosen = with(first, "front.chosen.\"rod-end stack\"", "20");
  const auto otherwise = with(chosen, "front.chosen.\"rod-end stack\"", "10");
  const std::vector<Step> steps{
      {chosen, true},
      {otherwise, true},
      {otherwise + "[[job]]\npart = \"rod-end stack\"\nstate = \"here\"\n", true},
      {"name = \"Wickle\"\n" + otherwise, true},
      {with(otherwise, "front.arm.lower.upright[2]", "170"), false},
      {with(otherwise, "front.target.toe_change", "0.1"), false},
      {first, false}};
  for (const auto& step : steps) {
    SCOPED_TRACE(step.text);
    const int before = worked.geometry();
    auto read = read_car_file(step.text);
    ASSERT_TRUE(read.value) << faults_of(step.text);
    worked.retake(std::move(*read.value));
    EXPECT_EQ(worked.geometry() == before, step.same_geometry);
    EXPECT_EQ(all_told(worked), told_freshly(step.text));
  }
}

TEST(Worked, WhatWasRankedStaysWhereOnlyTheChoiceChanges) {
  const auto first = demo_text("pip.toml");
  int asked = 0;
  Worked worked(*read_car_file(first).value, {}, [&](double done) { asked += done < 1.0 ? 1 : 0; });
  worked.correction();
  const int of_one_ranking = asked;
  ASSERT_GT(of_one_ranking, 0);
  worked.retake(*read_car_file(with(first, "front.chosen.\"rod-end stack\"", "20")).value);
  EXPECT_TRUE(worked.correction().at(AxleName::front)->chosen);
  EXPECT_EQ(asked, of_one_ranking);
}

TEST(Worked, AChoiceThatARunWasTakenWithBelongsToTheGeometry) {
  const std::string chosen = "[front.chosen]\nstack = 10\n";
  const std::string other = "[front.chosen]\nstack = 20\n";
  const std::string run = "[[reading]]\ngauge = \"front.left\"\nwith = \"chosen\"\n";
  const auto key = [](const std::string& text) { return geometry_of(*parse(text).value); };
  EXPECT_EQ(key(chosen), key(other));
  EXPECT_NE(key(chosen + run), key(other + run));
}

}  // namespace
}  // namespace trammel::testing
