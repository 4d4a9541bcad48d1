// Whether the stated uncertainties are true: surveys made up from a known truth, adjusted by the
// thousand.

#include <cmath>
#include <numbers>

#include "cars.h"
#include "correct/rank.h"
#include "measure/adjustment.h"
#include "measure/network.h"
#include "travel/band.h"

namespace trammel::testing {
namespace {

constexpr double nine_in_ten = 1.6448536;  // standard normal, 95 %

// A survey whose readings can be drawn anew from a truth.
class MadeUp {
 public:
  MadeUp(Car car, Survey survey) : car_(std::move(car)), survey_(std::move(survey)) {}

  const Car& car() const { return car_; }
  const Survey& survey() const { return survey_; }

  // What is a truth: every number that carries a ±, drawn from it; the rest as the file has it.
  std::vector<double> truth_from_priors(Sampler& sampler) const {
    const Network net(car_, survey_);
    auto x = net.start();
    for (std::size_t i = 0; i < x.size(); ++i)
      if (net.has_prior(static_cast<int>(i)))
        x[i] += net.prior_sigma(static_cast<int>(i)) * sampler.normal();
    return x;
  }
  // The survey as it would have been read of that truth.
  Survey read_of(const std::vector<double>& x, Sampler& sampler) const {
    const Network net(car_, survey_);
    Survey s = survey_;
    for (auto& r : s.readings) r.value = net.tell(x, r)->value + r.sigma * sampler.normal();
    std::vector<Row> rows;
    std::vector<RowSource> sources;
    EXPECT_TRUE(net.rows(x, net.nothing_left_out(), rows, &sources));
    for (std::size_t i = 0; i < rows.size(); ++i) {
      if (sources[i].of != RowSource::Of::gauge) continue;
      auto& row = s.gauges[static_cast<std::size_t>(sources[i].index)]
                      .rows[static_cast<std::size_t>(sources[i].row)];
      const double of_dials = row.rear_mm - row.front_mm;
      row.front_mm = 0.0;
      row.rear_mm = of_dials + (rows[i].off + sampler.normal()) * sources[i].sigma;
    }
    return s;
  }
  Car car_at(const std::vector<double>& x) const { return Network(car_, survey_).car_at(x); }

 private:
  Car car_;
  Survey survey_;
};

struct Figure {
  double value, sigma;
};
Figure figure(const Car& car, const Spread& spread, AxleName axle, Reading r) {
  const auto m = corner_mechanism(*car.at(axle), Side::left);
  const auto at = solution_as_measured(m);
  const auto g =
      reading_slopes(*car.at(axle), spread, Side::left, 0.0)[static_cast<std::size_t>(r)];
  return {read(r, At<double>(car.at(axle)->layout, m, at, {})),
          std::sqrt(product(g, spread.covariance, g))};
}

// One corner of a strut, its joints good to 3 mm by the file, then measured.
const std::string corner_survey = std::string(strut_text) + R"(
[survey]
baseline = "600 ± 1 mm"
)";
std::string with_sigma(std::string text) {
  const auto at = text.find("[front.wheel]");
  return text.insert(at, "[front]\nsigma = 3\n");
}
std::string joint_readings(const std::string& side = "left") {
  std::string text;
  for (const char* joint : {"wheel.centre", "arm.lower.body_front", "arm.lower.body_rear",
                            "arm.lower.upright", "rod.steering.body", "rod.steering.upright"}) {
    const std::string at = "\"front." + side + "." + joint + "\"";
    text += "[[reading]]\nheight = " + at + "\nvalue = \"100 ± 1.2\"\n";
    text += "[[reading]]\nmark = " + at + "\nback = \"100 ± 1.5\"\nout = \"100 ± 1.5\"\n";
  }
  // The strut's ends are not reached by the plumb bob: only their ± and two tapes hold them.
  const auto spot = [&](const char* joint) { return "\"front." + side + "." + joint + "\""; };
  for (const char* joint : {"arm.lower.upright", "rod.steering.upright"})
    text += "[[reading]]\ndistance = [" + spot(joint) + ", " + spot("strut.foot") +
            "]\nvalue = \"150 ± 1\"\n";
  text += "[[reading]]\nslope = [" + spot("rod.steering.body") + ", " +
          spot("rod.steering.upright") + "]\nvalue = \"-1 ± 0.1°\"\n";
  return text;
}

struct Coverage {
  int trials = 0, coordinate = 0, slope = 0, roll_centre = 0;
};
Coverage coverage(const std::string& text, int trials, std::uint64_t seed) {
  const auto document = *parse(text).value;
  const Car car = car_of(text);
  const MadeUp made(car, read_survey(document, car));
  EXPECT_TRUE(made.survey().faults.empty());
  Sampler sampler(seed);
  Coverage c;
  const auto holds = [](double estimate, double truth, double sigma) {
    return std::fabs(estimate - truth) <= nine_in_ten * sigma ? 1 : 0;
  };
  for (; c.trials < trials; ++c.trials) {
    const auto truth = made.truth_from_priors(sampler);
    const Car real = made.car_at(truth);
    const auto a = adjust(made.car(), made.read_of(truth, sampler));
    EXPECT_TRUE(a.value) << a.why;
    for (const auto& p : a.value->points)
      if (p.name == "front.left.rod.steering.body")
        c.coordinate += holds(p.at_mm.z,
                              real.at(AxleName::front)
                                  ->at(Side::left)
                                  .numbers
                                  .points_mm[static_cast<std::size_t>(
                                      real.at(AxleName::front)->layout.point("rod.steering.body"))]
                                  .z,
                              p.sigma_mm.z);
    const auto check = [&](Reading r) {
      const auto estimate = figure(a.value->car, a.value->spread, AxleName::front, r);
      const auto is = figure(real, a.value->spread, AxleName::front, r);
      return holds(estimate.value, is.value, estimate.sigma);
    };
    c.slope += check(Reading::bump_steer);
    c.roll_centre += check(Reading::roll_centre_height);
  }
  return c;
}

// 5,000 surveys, fixed seed: the band that should hold the truth in 90 of 100 does so within 1.5 of
// them (3.5 standard errors of the count).
TEST(SurveyStatistics, TheNineInTenBandHoldsTheTruth) {
  const auto c = coverage(with_sigma(corner_survey) + joint_readings(), 5000, 2026);
  for (const int held : {c.coordinate, c.slope, c.roll_centre}) {
    EXPECT_GE(held, 0.885 * c.trials);
    EXPECT_LE(held, 0.915 * c.trials);
  }
}

TEST(SurveyStatistics, SoItDoesWithAGaugeRun) {
  const auto c = coverage(
      with_sigma(corner_survey) + joint_readings() +
          "[[reading]]\ngauge = \"front.left\"\nbase = 300\nrows = [[0,0,0], [10,0,0], [20,0,0], "
          "[30,0,0], [20,0,0], [10,0,0], [0,0,0], [-10,0,0], [-20,0,0], [-30,0,0], [-15,0,0], "
          "[0,0,0]]\n",
      1500, 7);
  // 1,500 surveys: 3.5 standard errors are 2.7 of 100.
  for (const int held : {c.coordinate, c.slope, c.roll_centre}) {
    EXPECT_GE(held, 0.873 * c.trials);
    EXPECT_LE(held, 0.927 * c.trials);
  }
}

// Sides that are nothing like each other, each measured for itself, the left one by dials too: the
// band of each wheel - as it sits, changed by the parts, corrected - holds the truth of that wheel.
TEST(SurveyStatistics, EachWheelsBandHoldsThatWheelsTruth) {
  constexpr int trials = 1000;
  constexpr int sampled = 400;  // cars for each ±: 3.5 % of it, which costs a third of 1 in 100
  const auto text =
      with_sigma(std::string(strut_text)) +
      "[survey]\nbaseline = \"600 ± 1 mm\"\nsymmetry = \"none\"\n" + joint_readings("left") +
      joint_readings("right") +
      "[[reading]]\ngauge = \"front.left\"\nbase = 300\nrows = [[0,0,0], [15,0,0], [30,0,0], "
      "[15,0,0], [0,0,0], [-15,0,0], [-30,0,0], [-15,0,0], [0,0,0]]\n"
      "[front.adjust]\ntoe = { rod = \"steering\", pitch = 1.5 }\n"
      "[[option]]\nname = \"disc\"\njoint = \"front.arm.lower.upright\"\nalong = [0, 0, -1]\n"
      "sizes = [25]\n[[option]]\nname = \"stack\"\njoint = \"front.rod.steering.upright\"\n"
      "along = [0, 0, -1]\nsizes = [27.5]\n";
  const auto document = *parse(text).value;
  const Car car = car_of(text);
  const MadeUp made(car, read_survey(document, car));
  ASSERT_TRUE(made.survey().faults.empty());
  Sampler sampler(2027);
  struct Held {
    int as_it_sits = 0, change = 0, corrected = 0;
  };
  BySide<Held> held;
  for (int i = 0; i < trials; ++i) {
    const auto truth = made.truth_from_priors(sampler);
    const Car real = made.car_at(truth);
    const auto adjusted = adjust(made.car(), made.read_of(truth, sampler));
    ASSERT_TRUE(adjusted.value) << adjusted.why;
    const auto wishes = read_wishes(document, real);
    const auto figures = [&](const Car& of, bool turned) {
      const auto stands = *ride(of, nullptr).value;
      auto r = *unranked(stands, {}, AxleName::front, wishes).value;
      Fit fit = nothing_fitted(r.shelf);
      set_size(fit, 0, 25.0);
      set_size(fit, 1, 27.5);
      // Parts miss their size by what the doubt takes them to.
      for (auto& part : fit.part)
        for (const Side side : each_side)
          if (turned) part[side].size_mm += turned_sigma_mm * sampler.normal();
      const auto c = judged(stands, wishes, r, fit);
      BySide<std::array<double, 2>> slopes;
      for (const Side side : each_side)
        slopes[side] = {r.before.wheel[side].bump_steer, c.figures->wheel[side].bump_steer};
      return slopes;
    };
    const auto is = figures(real, true), estimate = figures(adjusted.value->car, false);
    const auto stands = *ride(adjusted.value->car, nullptr).value;
    const auto r = *unranked(stands, adjusted.value->spread, AxleName::front, wishes).value;
    Fit fit = nothing_fitted(r.shelf);
    set_size(fit, 0, 25.0);
    set_size(fit, 1, 27.5);
    DrawnAxle cars(stands, adjusted.value->spread, AxleName::front, wishes.target[0],
                   static_cast<std::uint64_t>(i));
    const auto doubt = sureness(cars, r.shelf, fit, sampled);
    for (const Side side : each_side) {
      const auto& s = doubt.wheel[side].bump_steer;
      const auto holds = [](double off, double sigma) {
        return std::fabs(off) <= nine_in_ten * sigma ? 1 : 0;
      };
      const double before = estimate[side][0] - is[side][0],
                   after = estimate[side][1] - is[side][1];
      held[side].as_it_sits += holds(before, s.as_it_sits);
      held[side].corrected += holds(after, s.corrected);
      held[side].change += holds(after - before, s.change);
    }
  }
  for (const Side side : each_side) {
    SCOPED_TRACE(word(side));
    // 1,000 surveys: two standard errors of the count are 1.9 of 100.
    for (const int count : {held[side].as_it_sits, held[side].change, held[side].corrected}) {
      EXPECT_GE(count, 0.88 * trials);
      EXPECT_LE(count, 0.92 * trials);
    }
  }
}

// The covariance to first order against the scatter of adjusted surveys, on both demo cars.
TEST(SurveyStatistics, TheLinearCovarianceIsTheScatterOfManySurveys) {
  constexpr int trials = 250;
  // The standard deviation of so many has a standard error of 4.5 %; four of them.
  constexpr double scatter = 0.18;
  for (const char* name : {"pip-survey.toml", "nibbet-survey.toml"}) {
    SCOPED_TRACE(name);
    const auto text = demo_text(name);
    const auto document = *parse(text).value;
    Car car = car_of(text);
    Survey survey = read_survey(document, car);
    const auto found = *adjust(car, survey).value;
    for (std::size_t i = 0; i < found.readings.size(); ++i)
      survey.readings[i].set_aside = found.readings[i].left_out;
    // The truth is the car as adjusted: what it was drawn from does not matter here.
    const MadeUp made(found.car, survey);
    const auto truth = Network(found.car, survey).start();
    Sampler sampler(11);
    struct Sum {
      double mean = 0.0, square = 0.0, sigma = 0.0;
      void take(const Figure& f) {
        mean += f.value;
        square += f.value * f.value;
        sigma = f.sigma;
      }
    };
    std::array<Sum, 5> sums;
    for (int i = 0; i < trials; ++i) {
      auto drawn_survey = made.read_of(truth, sampler);
      // The sides of this truth are as alike as they are: a tie that is not drawn anew would count
      // the same difference each time.
      drawn_survey.symmetry_none = true;
      const auto a = *adjust(found.car, drawn_survey).value;
      sums[0].take(figure(a.car, a.spread, AxleName::front, Reading::bump_steer));
      sums[1].take(figure(a.car, a.spread, AxleName::front, Reading::roll_centre_height));
      sums[2].take(figure(a.car, a.spread, AxleName::rear, Reading::bump_steer));
      sums[3].take(figure(a.car, a.spread, AxleName::rear, Reading::camber_gain));
      sums[4].take({a.points[1].at_mm.z, a.points[1].sigma_mm.z});
    }
    // The run's own shared causes (zero of travel, slope from backlash) are drawn once for all in
    // this truth: what they add to sigma does not scatter. So the scatter is smaller, never larger.
    const auto ratio = [&](const Sum& s) {
      const double mean = s.mean / trials;
      return std::sqrt((s.square / trials - mean * mean) * trials / (trials - 1.0)) / s.sigma;
    };
    for (const std::size_t k : {1UL, 3UL, 4UL}) EXPECT_NEAR(ratio(sums[k]), 1.0, scatter) << k;
    for (const std::size_t k : {0UL, 2UL}) {
      EXPECT_LT(ratio(sums[k]), 1.0 + scatter) << k;
      EXPECT_GT(ratio(sums[k]), 0.35) << k;
    }
  }
}

// What a Monte Carlo of 400 trials, computed for this project by an independent solver, gives over
// the hatch's front axle for tapes of 2 mm in plan and 1.5 mm in height: 0.084 degree per 25 mm of
// slope and 4.6 mm of roll centre; 0.027 with a digital level laid along rod and arm; 0.004 with a
// gauge run.
TEST(SurveyStatistics, TheKnownFiguresOfTheDemoHatch) {
  constexpr double slope_unit = 25.0 * 180.0 / std::numbers::pi;
  Car car = demo("pip.toml");
  for (auto& axle : car.axle)
    for (auto& side : axle->side)
      for (auto& s : side.sigma_mm) s = {2.0, 2.0, 1.5};
  const auto known = [&](const std::string& reading) {
    const auto document = *parse("trammel = 1\n" + reading).value;
    const auto a = *adjust(car, read_survey(document, car)).value;
    return std::pair{
        figure(a.car, a.spread, AxleName::front, Reading::bump_steer).sigma * slope_unit,
        figure(a.car, a.spread, AxleName::front, Reading::roll_centre_height).sigma};
  };
  const auto tape = known("");
  EXPECT_NEAR(tape.first, 0.084, 0.003);  // 400 trials leave 4 %
  EXPECT_NEAR(tape.second, 4.6, 0.4);
  const auto level = known(
      "[[reading]]\nslope = [\"front.left.rod.steering.body\", "
      "\"front.left.rod.steering.upright\"]\n"
      "value = \"5.51 ± 0.1°\"\n"
      "[[reading]]\nslope = [\"front.left.arm.lower.body_front\", "
      "\"front.left.arm.lower.upright\"]\n"
      "value = \"3.29 ± 0.1°\"\n");
  EXPECT_NEAR(level.first, 0.027, 0.002);
  const auto gauge = known(
      "[[reading]]\ngauge = \"front.left\"\nbase = 300\nrows = [[0, 0.01, -0.01], [10, -0.44, "
      "-1.03], [20, -1.18, -2.25], [30, -1.89, -3.70], [40, -2.79, -5.47], [30, -1.91, -3.75], "
      "[20, -1.22, -2.27], [10, -0.49, -0.99], [0, -0.02, -0.01], [-10, 0.34, 0.78], [-20, 0.63, "
      "1.33], [-30, 0.70, 1.68], [-40, 0.69, 1.86], [-30, 0.70, 1.76], [-20, 0.64, 1.37], [-10, "
      "0.32, 0.78], [0, 0.01, 0.06]]\n");
  EXPECT_NEAR(gauge.first, 0.004, 0.001);
}

}  // namespace
}  // namespace trammel::testing
