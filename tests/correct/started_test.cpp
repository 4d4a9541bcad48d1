// From a start to a correction: readings typed into a file that was begun from nothing.
#include <gtest/gtest.h>

#include <cmath>

#include "cars.h"
#include "correct/rank.h"
#include "correct/reasons.h"
#include "measure/adjustment.h"
#include "measure/tell.h"
#include "start/starter.h"
#include "travel/reasons.h"
#include "travel/ride.h"

namespace trammel::testing {
namespace {

constexpr double baseline_mm = 600.0;

// Where the joints of the real car are: off the guesses by up to 25 mm, the same in every run.
double off_by(std::size_t joint, int axis) {
  return 25.0 * std::sin(1.7 * static_cast<double>(joint) + 2.3 * axis + 0.5);
}

// Every joint's height and plumb mark, both sides, rounded to the tape's half millimetre.
std::string readings_of(const Car& real) {
  const auto half = [](double mm) { return shortest(std::round(2.0 * mm) / 2.0); };
  std::string rows = "reading = [\n";
  for (const AxleName name : {AxleName::front, AxleName::rear}) {
    if (!real.at(name)) continue;
    const auto& axle = *real.at(name);
    for (const Side side : {Side::left, Side::right}) {
      const auto wheel = std::string(word(name)) + "." + word(side);
      for (std::size_t i = 0; i < axle.layout.points.size(); ++i) {
        const auto& p = axle.at(side).numbers.points_mm[i];
        const auto spot = wheel + "." + axle.layout.points[i];
        rows += "  { height = \"" + spot + "\", value = " + half(p.z) + " },\n";
        rows += "  { mark = \"" + spot + "\", back = " + half(baseline_mm - p.x) + " },\n";
        rows += "  { mark = \"" + spot + "\", out = " + half(std::fabs(p.y)) + " },\n";
      }
      rows += "  { camber = \"" + wheel + "\", value = -0.9 },\n";
      rows += "  { toe = \"" + wheel + "\", value = 0.05 },\n";
    }
  }
  return rows + "]\n\n";
}

TEST(StartedCar, AFullSurveyEndsInARankedCorrection) {
  using Answers = std::vector<StartAnswer>;
  for (const Answers& answers : {Answers{{"front", "strut-arm"}, {"rear", "two-arms"}},
                                 Answers{{"front", "two-arms"}, {"rear", "swing-arm"}},
                                 Answers{{"front", "five-rods"}, {"rear", "strut-three-rods"}},
                                 Answers{{"front", "strut-rods"}, {"rear", "five-rods"}}}) {
    const auto which = answers[0].answer + " " + answers[1].answer + ": ";
    const auto started = start_car(answers);
    const auto guess = car_of(started.text);
    EXPECT_NE(guess_words(*adjust(guess, {}).value, Units::metric), "") << which;
    Car real = guess;
    for (auto& axle : real.axle) {
      auto& left = axle->at(Side::left).numbers;
      for (std::size_t i = 0; i < left.points_mm.size(); ++i)
        for (int k = 0; k < 3; ++k) left.points_mm[i][k] += off_by(i, k);
      axle->at(Side::right).numbers = mirrored(left);
    }
    auto text = started.text;
    text.insert(text.find("[survey]"), readings_of(real));
    const auto document = parse(text);
    ASSERT_TRUE(document.value) << which << faults_of(text);
    const auto car = car_of(text);
    const auto survey = read_survey(*document.value, car);
    ASSERT_TRUE(survey.faults.empty()) << which << survey.faults.front().what;
    const auto adjusted = adjust(car, survey);
    ASSERT_TRUE(adjusted.value) << which << adjusted.why;
    const auto& a = *adjusted.value;
    EXPECT_FALSE(a.doubtful()) << which;
    EXPECT_EQ(guess_words(a, Units::metric), "") << which;
    for (const auto& axle : a.car.axle) {
      const auto& found = axle->at(Side::left).numbers.points_mm;
      const auto& truth = real.at(axle->layout.axle)->at(Side::left).numbers.points_mm;
      // A tape read to 0.5 mm, some readings of 1 to 1.5 mm together: within three of these.
      for (std::size_t i = 0; i < found.size(); ++i)
        EXPECT_LT(length(found[i] - truth[i]), 4.0) << which << axle->layout.points[i];
    }
    const auto stands = ride(a.car, nullptr);
    ASSERT_TRUE(stands.value) << which << words(stands.why, Units::metric);
    const auto wishes = read_wishes(*document.value, a.car);
    for (const AxleName name : {AxleName::front, AxleName::rear}) {
      const auto ranking = rank(*stands.value, a.spread, name, wishes);
      ASSERT_TRUE(ranking.value) << which << words(ranking.why, Units::metric);
      ASSERT_TRUE(ranking.value->best()) << which << word(name);
      EXPECT_TRUE(ranking.value->best()->chance) << which << word(name);
    }
  }
}

}  // namespace
}  // namespace trammel::testing
