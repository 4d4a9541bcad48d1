// The invented demo cars as they were measured: raw readings with their planted slips, against the
// truth that the readings were made from (cars/surveyed-truth.json).

#include <cmath>
#include <nlohmann/json.hpp>
#include <numbers>

#include "base/quantity.h"
#include "cars.h"
#include "measure/adjustment.h"
#include "travel/band.h"

namespace trammel::testing {
namespace {

constexpr double slope_unit = 25.0 / degree_rad;  // rad/mm to degrees per 25 mm
// Of some hundred coordinates the farthest from the truth: a normal exceeds 3.9 in 1 of 10,000.
constexpr double farthest_sigmas = 3.9;
// One figure of one survey: beyond three standard uncertainties once in 370.
constexpr double one_figure_sigmas = 3.0;

nlohmann::json truths() { return nlohmann::json::parse(demo_text("surveyed-truth.json")); }

struct Surveyed {
  Document document;
  Car car;
  Survey survey;
};
Surveyed surveyed(const std::string& text) {
  Surveyed s;
  s.document = *parse(text).value;
  s.car = car_of(text);
  s.survey = read_survey(s.document, s.car);
  EXPECT_TRUE(s.survey.faults.empty());
  return s;
}
Adjusted adjusted(const std::string& text) {
  const auto s = surveyed(text);
  const auto a = adjust(s.car, s.survey);
  EXPECT_TRUE(a.value) << a.why;
  return *a.value;
}

std::vector<std::string> suspects(const Adjusted& a) {
  std::vector<std::string> names;
  for (const auto& r : a.readings)
    if (r.suspect) names.push_back(r.name);
  return names;
}

// The car with its joints where they truly are.
Car true_car(Car car, const nlohmann::json& truth) {
  for (const AxleName a : {AxleName::front, AxleName::rear})
    for (const Side s : {Side::left, Side::right}) {
      auto& axle = *car.at(a);
      axle.right_is_mirrored = false;
      for (std::size_t p = 0; p < axle.layout.points.size(); ++p) {
        const auto key = std::string(word(a)) + "." + word(s) + "." + axle.layout.points[p];
        if (!truth[word(s)].contains(key)) continue;
        const auto& at = truth[word(s)][key];
        axle.at(s).numbers.points_mm[p] = {at[0], at[1], at[2]};
      }
    }
  return car;
}
double read_off(const Car& car, AxleName axle, Side side, Reading r) {
  const auto m = corner_mechanism(*car.at(axle), side);
  const auto at = solution_as_measured(m);
  return read(r, At<double>(car.at(axle)->layout, m, at, {}));
}
double sigma_of(const Adjusted& a, AxleName axle, Side side, Reading r) {
  const auto g = reading_slopes(*a.car.at(axle), a.spread, side, 0.0)[static_cast<std::size_t>(r)];
  return std::sqrt(product(g, a.spread.covariance, g));
}

class DemoSurvey : public ::testing::TestWithParam<const char*> {
 protected:
  std::string name() const { return GetParam(); }
  std::string text() const { return demo_text(name() + "-survey.toml"); }
  nlohmann::json truth() const { return truths()[name()]; }
};
INSTANTIATE_TEST_SUITE_P(Cars, DemoSurvey, ::testing::Values("pip", "nibbet"));

TEST_P(DemoSurvey, ThePlantedSlipsAreNamedAndNoOther) {
  const auto a = adjusted(text());
  const auto planted = truth()["planted"].get<std::vector<std::string>>();
  ASSERT_EQ(planted.size(), 2U);
  EXPECT_EQ(suspects(a), planted);
  EXPECT_TRUE(a.groups.empty());
  EXPECT_TRUE(a.sides.empty());
  for (const auto& r : a.readings)
    if (r.suspect) {
      EXPECT_TRUE(r.left_out);
      EXPECT_TRUE(r.slip) << r.name;
    }
  EXPECT_TRUE(a.fits());
  EXPECT_TRUE(a.free.empty());
}

TEST_P(DemoSurvey, TheTruthIsRecoveredWithinItsUncertainty) {
  const auto a = adjusted(text());
  const auto want = truth()["truth"];
  double worst = 0.0, squares = 0.0;
  int count = 0;
  for (const auto& p : a.points) {
    const auto side = p.name.find(".left.") != std::string::npos ? "left" : "right";
    if (!want[side].contains(p.name)) continue;
    for (int axis = 0; axis < 3; ++axis) {
      const double off =
          (p.at_mm[axis] - want[side][p.name][axis].get<double>()) / p.sigma_mm[axis];
      worst = std::max(worst, std::fabs(off));
      squares += off * off;
      ++count;
    }
  }
  EXPECT_GE(count, 100);
  EXPECT_LT(worst, farthest_sigmas);
  // Their mean square is near one: the ± are neither boasted nor timid. (They hang together: some
  // hundred coordinates are worth some fifty independent ones.)
  EXPECT_GT(squares / count, 0.5);
  EXPECT_LT(squares / count, 1.5);
  const Car real = true_car(a.car, want);
  for (const AxleName axle : {AxleName::front, AxleName::rear})
    for (const Side side : {Side::left, Side::right})
      for (const Reading r :
           {Reading::bump_steer, Reading::roll_centre_height, Reading::camber_gain}) {
        SCOPED_TRACE(std::string(word(axle)) + " " + word(side) + " " + std::string(info(r).key));
        EXPECT_LT(std::fabs(read_off(a.car, axle, side, r) - read_off(real, axle, side, r)),
                  one_figure_sigmas * sigma_of(a, axle, side, r));
      }
}

// A survey leaves some 0.08 degree per 25 mm, a gauge run 0.004 (trade figures computed on these
// cars; the slope that backlash adds is 0.003 of it).
TEST_P(DemoSurvey, TheGaugeRunSharpensTheSlopeTwentyfold) {
  const auto with = adjusted(text());
  auto s = surveyed(text());
  for (auto& g : s.survey.gauges) g.set_aside = true;
  const auto without = *adjust(s.car, s.survey).value;
  for (const AxleName axle : {AxleName::front, AxleName::rear}) {
    const double sharp = sigma_of(with, axle, Side::left, Reading::bump_steer) * slope_unit;
    const double tape = sigma_of(without, axle, Side::left, Reading::bump_steer) * slope_unit;
    EXPECT_GT(sharp, 0.003);
    EXPECT_LT(sharp, 0.006);
    EXPECT_GT(tape, 0.03);  // two heights each, tapes and the other side: better than one survey
    EXPECT_LT(tape, 0.085);
    // The side without a run stays as vague as it was, but for the tie between the sides.
    EXPECT_GT(sigma_of(with, axle, Side::right, Reading::bump_steer) * slope_unit, 0.02);
  }
}

TEST_P(DemoSurvey, MeasuringTwiceChangesNothing) {
  auto s = surveyed(text());
  const auto once = *adjust(s.car, s.survey).value;
  // The adjusted joints as start values, with the ± that they were found to have: readings fix
  // them, so they are no readings of their own.
  Car again = once.car;
  for (const AxleName a : {AxleName::front, AxleName::rear})
    for (std::size_t i = 0; i < once.spread.numbers.size(); ++i) {
      const auto& n = once.spread.numbers[i];
      if (n.axle != a || n.of != CarNumber::Of::coordinate) continue;
      const int k = static_cast<int>(i);
      again.at(a)->at(n.side).sigma_mm[static_cast<std::size_t>(n.point)][n.axis] =
          std::sqrt(once.spread.covariance(k, k));
    }
  const auto twice = *adjust(again, s.survey).value;
  ASSERT_EQ(once.points.size(), twice.points.size());
  constexpr double same_mm = 1e-4;  // the sums end within a millionth of a standard uncertainty
  for (std::size_t i = 0; i < once.points.size(); ++i)
    for (int axis = 0; axis < 3; ++axis) {
      EXPECT_NEAR(once.points[i].at_mm[axis], twice.points[i].at_mm[axis], same_mm)
          << once.points[i].name;
      EXPECT_NEAR(once.points[i].sigma_mm[axis], twice.points[i].sigma_mm[axis], same_mm);
    }
  EXPECT_NEAR(once.chi_square, twice.chi_square, 1e-3);
  EXPECT_EQ(suspects(once), suspects(twice));
}

// One reading of a height and its repeat, and nothing else that sees it: they contradict each other
// and nothing says which is wrong. With the other side and the tie between them it is told.
TEST(DemoSurveys, AValueAndItsOnlyRepeatAreAnHonestPair) {
  for (const auto& [name, pair] : {std::pair{"pip", std::pair{"M021", "M024"}},
                                   std::pair{"nibbet", std::pair{"M093", "M096"}}}) {
    SCOPED_TRACE(name);
    auto s = surveyed(demo_text(std::string(name) + "-survey.toml"));
    s.survey.symmetry_none = true;
    for (auto& g : s.survey.gauges) g.set_aside = true;
    for (auto& r : s.survey.readings)  // tapes would see it as well
      if (r.kind == ReadingKind::distance) r.set_aside = true;
    const auto a = *adjust(s.car, s.survey).value;
    bool honest_pair = false;
    for (const auto& g : a.groups) {
      std::vector<std::string> names;
      for (const std::size_t i : g.readings) {
        names.push_back(a.readings[i].name);
        EXPECT_FALSE(a.readings[i].left_out);
      }
      std::sort(names.begin(), names.end());
      if (names != std::vector<std::string>{pair.first, pair.second}) continue;
      honest_pair = true;
      EXPECT_NE(g.decides.find("one more 'height'"), std::string::npos);
    }
    EXPECT_TRUE(honest_pair);
  }
}

}  // namespace
}  // namespace trammel::testing
