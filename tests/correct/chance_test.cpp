// Chances against the same cars judged one by one, and what follows from them.

#include "correct/chance.h"

#include <cmath>
#include <numbers>

#include "base/quantity.h"
#include "cars.h"
#include "correct/advice.h"
#include "correct/correct.h"
#include "correct/reasons.h"
#include "measure/adjustment.h"

namespace trammel::testing {
namespace {

constexpr double slope_unit = 25.0 / degree_rad;

struct Job {
  Document document;
  Car car;
  Wishes wishes;
  Ride stands;
  Spread spread;
};
// The demo hatch with tapes of 2 mm in plan and 1.5 mm in height, and what `more` adds.
Job job(const std::string& more = "") {
  Job j;
  const auto text = demo_text("pip.toml") + more;
  j.document = *parse(text).value;
  j.car = car_of(text);
  for (auto& axle : j.car.axle)
    for (auto& side : axle->side)
      for (auto& s : side.sigma_mm) s = {2.0, 2.0, 1.5};
  const auto a = *adjust(j.car, read_survey(j.document, j.car)).value;
  j.car = a.car;
  j.spread = a.spread;
  j.wishes = read_wishes(j.document, j.car);
  j.stands = *ride(j.car, nullptr).value;
  return j;
}
const std::string gauge_run =
    "\n[[reading]]\ngauge = \"front.left\"\nbase = 300\nrows = [[0, 0.01, -0.01], [10, -0.44, "
    "-1.03], [20, -1.18, -2.25], [30, -1.89, -3.70], [40, -2.79, -5.47], [30, -1.91, -3.75], "
    "[20, -1.22, -2.27], [10, -0.49, -0.99], [0, -0.02, -0.01], [-10, 0.34, 0.78], [-20, 0.63, "
    "1.33], [-30, 0.70, 1.68], [-40, 0.69, 1.86], [-30, 0.70, 1.76], [-20, 0.64, 1.37], [-10, "
    "0.32, 0.78], [0, 0.01, 0.06]]\n";

const Target& front_target(const Job& j) { return j.wishes.target[0]; }

// The hatch's front axle with one drawn car's numbers, parts fitted, judged alone.
double share_alone(const Job& j, const Numbers<Lanes>& numbers, std::size_t lane_no,
                   const Shelf& shelf, const Fit& fit) {
  const auto before = corner_before(j.stands, AxleName::front, Side::left, front_target(j));
  Numbers<double> n = j.car.at(AxleName::front)->at(Side::left).numbers;
  for (std::size_t p = 0; p < n.points_mm.size(); ++p)
    for (int axis = 0; axis < 3; ++axis) n.points_mm[p][axis] = numbers.points_mm[p][axis][lane_no];
  auto one = before;
  one.mechanism = build(j.car.at(AxleName::front)->layout, n);
  one.at = solution_as_measured(one.mechanism);
  const auto f = fitted(one, moves_of(shelf, fit, Side::left));
  EXPECT_TRUE(f.value) << words(f.why, Units::metric);
  const auto curve = curve_over(one, *f.value, wanted_of(front_target(j)).window_mm);
  const At<double> at(j.car.at(AxleName::front)->layout, f.value->mechanism, f.value->at,
                      one.ground);
  const double toe = curve.value->toe_change_max_rad, camber = read(Reading::camber, at);
  return shares_used(wanted_of(front_target(j)), {toe, toe}, read(Reading::roll_centre_height, at),
                     {camber, camber})
      .largest();
}

TEST(Chance, IsThatOfTheSameCarsJudgedOneByOne) {
  const auto j = job();
  const auto ranking = *rank(j.stands, {}, AxleName::front, j.wishes).value;
  DrawnAxle cars(j.stands, j.spread, AxleName::front, front_target(j), 1);
  const auto spread = axle_spread(j.spread, AxleName::front);
  Sampler sampler(17);
  for (int block = 0; block < 6; ++block) {
    const auto normals = four_normals(sampler, spread.numbers.size());
    cars.place(normals, ranking.shelf.choices.size());  // parts exactly to size
    const auto sides = drawn(*j.car.at(AxleName::front), spread, normals);
    for (const std::size_t c : {0UL, 1UL, 5UL, 20UL}) {
      const auto& fit = ranking.candidates[c].fit;
      const auto share = cars.share(cars.with(ranking.shelf, fit));
      for (std::size_t k = 0; k < lane_count; ++k)
        // The curve is looked at every 4.5 mm instead of at its true extremum.
        EXPECT_NEAR(share[k], share_alone(j, sides[0], k, ranking.shelf, fit),
                    0.004 + 0.002 * share[k]);
    }
  }
}

// What is told early of a car is what is told of it when everything is worked out: each of the
// shelf's sets on the same drawn cars, left and right alike and each in doubt by itself.
TEST(Chance, WhoMeetsEveryTargetIsWhoseShareIsAtMostOne) {
  const auto j = job();
  const auto ranking = *rank(j.stands, {}, AxleName::front, j.wishes).value;
  for (const auto right : {RightSide::as_the_file, RightSide::of_its_own}) {
    DrawnAxle cars(j.stands, j.spread, AxleName::front, front_target(j), 20261130, right);
    int met = 0, missed = 0;
    for (int draw = 0; draw < 25; ++draw) {
      cars.draw(ranking.shelf.choices.size());
      for (std::size_t c = 0; c < ranking.candidates.size(); c += 3) {
        const auto& fit = ranking.candidates[c].fit;
        const Lanes share = cars.share(cars.with(ranking.shelf, fit));
        const Mask4 meets = cars.meets(ranking.shelf, fit);
        for (std::size_t k = 0; k < lane_count; ++k) {
          EXPECT_EQ(meets[k], share[k] <= 1.0) << c << ", car " << k << ": " << share[k];
          ++(meets[k] ? met : missed);
        }
      }
    }
    EXPECT_GT(met, 20);
    EXPECT_GT(missed, 20);
  }
}

TEST(Chance, RanksAndIsLiftedByAGaugeRun) {
  const auto j = job();
  const auto r = *rank(j.stands, j.spread, AxleName::front, j.wishes).value;
  ASSERT_EQ(r.candidates.size(), 84U);
  for (std::size_t i = 0; i < r.candidates.size(); ++i) {
    const auto& c = r.candidates[i];
    ASSERT_TRUE(c.chance);
    EXPECT_GE(*c.chance, 0.0);
    EXPECT_LE(*c.chance, 1.0);
    EXPECT_LE(*c.chance, i > 0 ? *r.candidates[i - 1].chance : 1.0);
    EXPECT_TRUE(!c.at_a_limit || *c.chance == 0.0);
  }
  EXPECT_FALSE(r.candidates[0].equal_to_best);
  EXPECT_EQ(r.candidates[0].chance_samples, 2000);  // the leader's is counted on fresh cars
  // Tapes alone: nobody can promise much, and neighbours cannot be told apart or nearly so.
  EXPECT_GT(*r.best()->chance, 0.2);
  EXPECT_LT(*r.best()->chance, 0.7);
  // A run with two dials lifts it.
  const auto gauged = job(gauge_run);
  const auto after = *rank(gauged.stands, gauged.spread, AxleName::front, gauged.wishes).value;
  EXPECT_GT(*after.best()->chance, *r.best()->chance + 0.2);
  // Exact joints have no chances.
  const auto exact = *rank(j.stands, {}, AxleName::front, j.wishes).value;
  for (const auto& c : exact.candidates) EXPECT_FALSE(c.chance);
}

TEST(Chance, EqualByMcNemarsTest) {
  std::vector<bool> a(100, true), b(100, true);
  EXPECT_TRUE(equal_chances(a, b));
  // 4 against 0 of the pairs that differ: 4 * 4 = 16 = 4 * 4, just within two standard errors.
  for (int i = 0; i < 4; ++i) b[static_cast<std::size_t>(i)] = false;
  EXPECT_TRUE(equal_chances(a, b));
  b[4] = false;
  EXPECT_FALSE(equal_chances(a, b));
  EXPECT_FALSE(equal_chances(b, a));
  // 30 against 25: not told apart.
  for (std::size_t i = 0; i < 100; ++i) {
    a[i] = i < 30;
    b[i] = i >= 30 && i < 55;
  }
  EXPECT_TRUE(equal_chances(a, b));
}

// With joints all but exact the chance of a hole is that of the drill's own error: sure well within
// the patch, hopeless well outside it.
TEST(Chance, OfAHoleFollowsItsPatch) {
  auto j = job();
  j.spread.covariance = Matrix(j.spread.covariance.rows, j.spread.covariance.columns);
  for (int i = 0; i < j.spread.covariance.rows; ++i) j.spread.covariance(i, i) = 1e-8;
  const auto r = *rank(j.stands, {}, AxleName::rear, j.wishes).value;
  const auto map = hole_maps(j.stands, j.spread, j.wishes, r, *r.best()).front();
  ASSERT_EQ(map.chance.size(), map.toe_change_rad.size());
  // 0.3 mm of drilling is 0.01 degree per 25 mm, 0.02 over the window; three of those.
  constexpr double drilled = 0.06 * degree_rad;
  int within = 0, outside = 0;
  for (std::size_t k = 0; k < map.chance.size(); ++k)
    for (std::size_t i = 0; i < map.chance[k].size(); ++i) {
      const double off = map.toe_change_rad[k][i] - r.wanted.toe_change_rad;
      if (off < -drilled + 0.02 * degree_rad) {
        EXPECT_GT(map.chance[k][i], 0.95);
        ++within;
      } else if (off > drilled) {
        EXPECT_LT(map.chance[k][i], 0.05);
        ++outside;
      }
    }
  EXPECT_GT(within, 10);
  EXPECT_GT(outside, 100);
  EXPECT_TRUE(map.is_room());
  // With tapes alone there is no room to speak of, and the map says so.
  const auto tapes = job();
  const auto ranked = *rank(tapes.stands, tapes.spread, AxleName::rear, tapes.wishes).value;
  const auto vague =
      hole_maps(tapes.stands, tapes.spread, tapes.wishes, ranked, *ranked.best()).front();
  EXPECT_FALSE(vague.is_room());
  EXPECT_GT(vague.best_chance, 0.2);
}

// The figures of the demo hatch's front axle that must be told apart: how sure the slope is as it
// sits, with the parts and in its change, and the change of the roll centre; to first order, by an
// independent solver (tests/reference/corner_by_itself.py cars/pip.toml front
// --part arm.lower.upright=0,0,-30 --part rod.steering.upright=0,0,-32.5 --sigma 2,2,1.5).
TEST(Chance, TellsTheFourFiguresApart) {
  const auto j = job();
  const auto r = *rank(j.stands, {}, AxleName::front, j.wishes).value;
  DrawnAxle cars(j.stands, j.spread, AxleName::front, front_target(j), 5);
  Fit fit = r.best()->fit;
  const auto s = sureness(cars, r.shelf, fit, 2000);
  ASSERT_EQ(fit.part[0].left.size_mm, 30);
  ASSERT_EQ(fit.part[1].left.size_mm, 32.5);
  // Four standard errors of a standard deviation of 2000 samples, which is 6 %, and 2 % for what
  // the first order leaves out.
  constexpr double sampled = 0.08;
  const auto expect = [&](double is, double want) { EXPECT_NEAR(is, want, sampled * want); };
  expect(s.wheel.left.bump_steer.as_it_sits * slope_unit, 0.08364);
  expect(s.wheel.left.bump_steer.corrected * slope_unit, 0.08189);
  expect(s.wheel.left.bump_steer.change * slope_unit, 0.01153);
  expect(s.roll_centre.as_it_sits, 4.800);
  expect(s.roll_centre.corrected, 4.244);
  expect(s.roll_centre.change, 0.8641);
  // A run with two dials of 0.01 mm over 300 mm (common practice: a few thousandths of a degree).
  EXPECT_GT(s.wheel.left.bump_steer.as_it_sits_after_gauge * slope_unit, 0.002);
  EXPECT_LT(s.wheel.left.bump_steer.as_it_sits_after_gauge * slope_unit, 0.005);
  EXPECT_LT(s.wheel.left.bump_steer.corrected_after_gauge * slope_unit, 0.014);
  EXPECT_GT(s.wheel.left.bump_steer.corrected_after_gauge,
            s.wheel.left.bump_steer.as_it_sits_after_gauge);
  EXPECT_LT(s.wheel.left.toe_change_low_rad, s.wheel.left.toe_change_high_rad);
}

// ------------------------------------------------------------------ what to measure next

const Advice& named(const Advices& a, const std::string& what) {
  for (const auto& x : a.best)
    if (x.action.what.find(what) != std::string::npos) return x;
  ADD_FAILURE() << "no reading " << what;
  return a.best.front();
}

TEST(Advice, ALevelBeatsTenTapesAndAGaugeRunBeatsBoth) {
  const auto j = job();
  for (const AxleName axle : {AxleName::front, AxleName::rear}) {
    const auto& target = j.wishes.target[static_cast<std::size_t>(axle)];
    // At the front by chance, at the rear by how far the bump steer is narrowed.
    const bool front = axle == AxleName::front;
    const auto r = *rank(j.stands, {}, axle, j.wishes).value;
    const auto a =
        what_next(j.stands, j.spread, axle, front ? &r : nullptr, target, NarrowWhat::chance);
    const auto& level =
        named(a, axle == AxleName::front ? "level along rod 'steering' and arm 'lower'"
                                         : "level along rod 'toe' and rod 'lateral'");
    const auto& tapes = named(a, "of these tapes");
    const auto& gauge = named(a, "gauge run with two dials");
    EXPECT_EQ(level.chance_after.has_value(), front);
    if (front) {
      EXPECT_GT(*level.chance_after, *tapes.chance_after + 0.2);
      EXPECT_GT(*gauge.chance_after, *level.chance_after + 0.05);
    }
    EXPECT_LT(level.bump_steer_sigma, 0.5 * tapes.bump_steer_sigma);
    EXPECT_LT(gauge.bump_steer_sigma, 0.5 * level.bump_steer_sigma);
    EXPECT_NE(a.best.front().action.what.find("gauge run"), std::string::npos);
    // Sums of knowing more: no reading widens anything.
    for (const auto& x : a.best) {
      EXPECT_GE(x.gain, 0.0);
      EXPECT_LE(x.bump_steer_sigma, a.bump_steer_sigma * (1.0 + 1e-9));
      EXPECT_LE(x.roll_centre_sigma, a.roll_centre_sigma * (1.0 + 1e-9));
    }
  }
}

// What it promises of a gauge run is what the adjustment then has.
TEST(Advice, PromisesWhatTheAdjustmentGives) {
  const auto j = job(), gauged = job(gauge_run);
  const auto a = what_next(j.stands, j.spread, AxleName::front, nullptr, front_target(j),
                           NarrowWhat::bump_steer);
  EXPECT_FALSE(a.chance_today);
  const auto g = reading_slopes(*gauged.car.at(AxleName::front), gauged.spread, Side::left,
                                0.0)[static_cast<std::size_t>(Reading::bump_steer)];
  const double then = std::sqrt(product(g, gauged.spread.covariance, g));
  EXPECT_NEAR(named(a, "gauge run with two dials").bump_steer_sigma / then, 1.0, 0.05);
  EXPECT_NEAR(a.bump_steer_sigma * slope_unit, 0.084, 0.003);
}

// With one candidate nothing can be chosen: on average no reading changes its chance.
TEST(Advice, OnAverageAReadingDoesNotChangeTheChanceOfAFixedChoice) {
  const auto j = job();
  auto r = *rank(j.stands, {}, AxleName::front, j.wishes).value;
  r.candidates.resize(1);
  const auto a =
      what_next(j.stands, j.spread, AxleName::front, &r, front_target(j), NarrowWhat::chance);
  // 240 outcomes of a chance that then is near 0 or 1: four standard errors are 0.13.
  for (const auto& x : a.best) EXPECT_LT(x.gain, 0.13) << x.action.what;
}

TEST(Advice, RollCentreAsksForOtherReadings) {
  const auto j = job();
  const auto slope = what_next(j.stands, j.spread, AxleName::front, nullptr, front_target(j),
                               NarrowWhat::bump_steer);
  const auto roll = what_next(j.stands, j.spread, AxleName::front, nullptr, front_target(j),
                              NarrowWhat::roll_centre);
  EXPECT_NE(slope.best.front().action.what.find("gauge run"), std::string::npos);
  EXPECT_NE(roll.best.front().action.what.find("level along"), std::string::npos);
  // Nothing uncertain, nothing to say.
  EXPECT_TRUE(
      what_next(j.stands, {}, AxleName::front, nullptr, front_target(j), NarrowWhat::bump_steer)
          .best.empty());
}

}  // namespace
}  // namespace trammel::testing
