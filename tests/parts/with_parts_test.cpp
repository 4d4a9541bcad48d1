// A gauge run taken with parts fitted, as a car file writes it.
#include <gtest/gtest.h>

#include <numbers>

#include "cars.h"
#include "file/survey.h"

namespace trammel {
namespace {

using testing::car_of;
using testing::demo_text;
using testing::faults_of;

// The demo hatch with one more row in its list of readings.
std::string pip_with(const std::string& keys, const std::string& more = "") {
  return demo_text("pip.toml") + more +
         "\n[[reading]]\nname = \"after\"\ngauge = \"front.left\"\nbase = 300\n" + keys +
         "rows = [[0, 0, 0], [10, -0.1, -0.2], [20, -0.3, -0.5]]\n";
}
Survey survey_of(const std::string& text) { return read_survey(*parse(text).value, car_of(text)); }

TEST(WithParts, ARunWithPartsIsNoReadingOfTheCarAsItSits) {
  const auto s =
      survey_of(pip_with("with = { \"ball-joint spacer\" = 25, \"rod-end stack\" = \"27.5 mm\" "
                         "}\ntoe = \"0.05 ± 0.02\"\n"));
  EXPECT_TRUE(s.gauges.empty());
  EXPECT_TRUE(s.empty());
  ASSERT_EQ(s.after.size(), 1U);
  const auto& run = s.after[0];
  ASSERT_TRUE(run.with);
  ASSERT_EQ(run.with->size(), 2U);
  EXPECT_EQ((*run.with)[0].part.left.size_mm, 25.0);
  EXPECT_EQ((*run.with)[1].part.left.size_mm, 27.5);
  ASSERT_TRUE(run.toe_rad);
  EXPECT_NEAR(*run.toe_rad * 180.0 / std::numbers::pi, 0.05, 1e-12);
  EXPECT_NEAR(run.toe_sigma_rad * 180.0 / std::numbers::pi, 0.02, 1e-12);
  // Without toe it is as wanted, to a quarter of a degree; with nothing fitted it is still one.
  const auto bare = survey_of(pip_with("with = {}\n")).after;
  ASSERT_EQ(bare.size(), 1U);
  EXPECT_TRUE(bare[0].with->empty());
  EXPECT_FALSE(bare[0].toe_rad);
  EXPECT_NEAR(bare[0].toe_sigma_rad * 180.0 / std::numbers::pi, 0.25, 1e-9);
  // And without `with` it is a reading of the car as it sits.
  EXPECT_EQ(survey_of(pip_with("")).gauges.size(), 1U);
}

TEST(WithParts, ChosenIsWhatTheFileSettledOn) {
  const auto s =
      survey_of(pip_with("with = \"chosen\"\n", "\n[front.chosen]\n\"ball-joint spacer\" = 20\n"));
  ASSERT_EQ(s.after.size(), 1U);
  ASSERT_EQ(s.after[0].with->size(), 1U);
  EXPECT_EQ((*s.after[0].with)[0].part.left.size_mm, 20.0);
}

TEST(WithParts, ARunOfTooFewRowsIsBegun) {
  auto text = pip_with("with = {}\n");
  const auto at = text.find(", [20, -0.3, -0.5]]");
  const auto s = survey_of(text.replace(at, 18, ""));
  EXPECT_TRUE(s.after.empty());
  ASSERT_EQ(s.begun.size(), 1U);
  EXPECT_TRUE(s.begun[0].with);
}

TEST(WithParts, SlipsAreSaid) {
  const auto says = [](const std::string& keys, const char* words) {
    const auto faults = faults_of(pip_with(keys));
    EXPECT_NE(faults.find(words), std::string::npos) << keys << faults;
  };
  says("with = \"chosen\"\n", "the file has no [front.chosen]");
  says("with = \"everything\"\n", "'everything' says nothing of what was fitted");
  says("with = 25\n", "is no table");
  says("with = { \"ball joint spacer\" = 25 }\n", "ball-joint spacer");
  says("with = { \"toe-link bracket\" = { z = -3 } }\n", "toe-link bracket");  // of the rear axle
  says("with = { \"ball-joint spacer\" = \"3 kg\" }\n", "ball-joint spacer");
  says("toe = 0.1\n", "stands in a gauge run without 'with'");
  says("with = {}\ntoe = 90\n", "is more than 28 degrees");
}

}  // namespace
}  // namespace trammel
