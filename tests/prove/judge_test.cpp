// Runs judged against what was predicted, and the car sharpened by them.
#include "prove/judge.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <numbers>

#include "base/quantity.h"
#include "prove/runs.h"
#include "travel/random_corner.h"

namespace trammel::testing {
namespace {

// Of chi-square of a run that the model made itself: what Newton and the tangents leave, squared
// over the dials' 0.04 mm.
constexpr double no_chi_square = 1e-12;
// Of a variance: what rounding leaves of its square's sums.
constexpr double no_doubt = 1e-7;
// A dial by itself carries a zero of millimetres, which is taken out to fifteen digits.
constexpr double no_chi_square_by_places = 1e-9;

// The demo hatch with every front coordinate good to so many mm.
std::string pip_known_to(const std::string& mm) {
  auto text = demo_text("pip.toml");
  const auto at = text.find("sigma = 2");
  return text.replace(at, 9, "sigma = " + mm);
}

RunsJudged judged(const FromFile& f, GaugeRun run) {
  Survey survey = f.survey;
  survey.after = {std::move(run)};
  return judge_runs(f.adjusted, survey, f.wishes);
}

TEST(Judge, ARunAsPredictedHoldsToTheLastDigit) {
  const FromFile f(pip_known_to("1.5"));
  auto run = blank_run(AxleName::front, Side::left);
  run.with = f.chosen({{"ball-joint spacer", 25.0}, {"rod-end stack", 27.5}});
  read_exactly(run, f.car, f.wishes, *run.with);
  const auto j = judged(f, run);
  ASSERT_EQ(j.runs.size(), 1U);
  EXPECT_LT(j.runs[0].test.chi_square, no_chi_square);
  EXPECT_EQ(j.runs[0].test.degrees, 15);  // 17 rows less the dials' zero and up against down
  EXPECT_TRUE(j.runs[0].holds());
  ASSERT_TRUE(j.runs[0].window);
  // The car stays where it was, and what is left uncertain of it is less.
  EXPECT_NEAR(length(j.adjusted.car.at(AxleName::front)->at(Side::left).numbers.points_mm[1] -
                     f.car.at(AxleName::front)->at(Side::left).numbers.points_mm[1]),
              0.0, 1e-6);
}

// A low dial gives a row more for each row, and one zero more; dials by themselves one for each.
TEST(Judge, AThirdDialHoldsToTheLastDigitToo) {
  const FromFile f(pip_known_to("1.5"));
  auto two = blank_run(AxleName::front, Side::left);
  two.with = f.chosen({{"ball-joint spacer", 25.0}, {"rod-end stack", 27.5}});
  struct Way {
    GaugeRun run;
    int degrees;
  };
  for (auto& [run, degrees] :
       {Way{two, 17 - 2}, Way{with_low_dial(two), 2 * 17 - 3}, Way{by_places(two), 2 * 17 - 3},
        Way{by_places(with_low_dial(two)), 3 * 17 - 4}}) {
    auto read = run;
    read_exactly(read, f.car, f.wishes, *read.with);
    const auto j = judged(f, read);
    const auto& r = j.runs[0];
    EXPECT_LT(r.test.chi_square, run.places ? no_chi_square_by_places : no_chi_square);
    EXPECT_EQ(r.test.degrees, degrees);
    const bool more = run.drop_mm || run.places;
    ASSERT_EQ(r.toe_test.has_value(), more);
    ASSERT_EQ(r.roll_centre.has_value(), more);
    if (more) {
      EXPECT_EQ(r.toe_test->degrees, 17 - 2);
      // The car is known better, and stays where it was.
      EXPECT_NEAR(*r.roll_centre->mm, r.roll_centre->predicted_mm, 1e-6);
      EXPECT_LT(*r.roll_centre->sigma_mm, r.roll_centre->predicted_sigma_mm);
    }
    EXPECT_EQ(r.rows.size(), 17U);
    EXPECT_EQ(r.camber_rows.size(), run.drop_mm ? 17U : 0U);
  }
}

// A row that is off draws a little on the estimate of up against down: far below a dial's step.
constexpr double by_play_rad = 2e-6;

// Camber as the dials have it is that of the wheel: swept by the set that is judged, at each
// travel.
TEST(Judge, CamberRowsAreTheWheels) {
  const FromFile f(pip_known_to("1.5"));
  auto run = with_low_dial(blank_run(AxleName::front, Side::right), 180.0);
  run.with = f.chosen({{"ball-joint spacer", 25.0}, {"rod-end stack", 27.5}});
  const auto stands = *ride(f.car, nullptr).value;
  const auto as = run_set_up(stands, f.wishes, f.survey, run, *run.with);
  auto before = corner_before(stands, as.axle, as.side, {});
  before.setting = as.setting;
  const auto corner = *fitted(before, moves_of(as.shelf, as.fit, as.side)).value;
  const auto positions = positions_over(corner, travels_of(run));
  const auto camber = [&](std::size_t i) {
    return camber_of(spin_at(corner.mechanism, positions[i]), before.ground);
  };
  for (const bool places : {false, true}) {
    if (places) run = by_places(run);
    read_exactly(run, f.car, f.wishes, *run.with);
    const auto r = judged(f, run).runs[0];
    ASSERT_EQ(r.camber_rows.size(), run.rows.size());
    for (std::size_t i = 0; i < run.rows.size(); ++i) {
      EXPECT_NEAR(r.camber_rows[i].predicted_rad, camber(i) - camber(0), 1e-9);
      EXPECT_NEAR(r.camber_rows[i].read_rad, camber(i) - camber(0), 1e-9);
    }
    // Half a millimetre at the low dial is so much of camber: the top comes in as the bottom goes
    // out.
    auto slipped = run;
    *slipped.rows[4].low_mm += 0.5;
    const auto s = judged(f, slipped).runs[0];
    EXPECT_NEAR(s.camber_rows[4].read_rad - r.camber_rows[4].read_rad, -0.5 / 180.0,
                0.02 * 0.5 / 180.0);
    EXPECT_NEAR(s.rows[4].read_rad, r.rows[4].read_rad, by_play_rad);
    EXPECT_FALSE(s.holds());
    EXPECT_TRUE(s.but_toe_holds());
    const auto& likely = s.causes.likely;
    ASSERT_FALSE(likely.empty());
    EXPECT_EQ(likely[0].kind, Cause::Kind::row);
    EXPECT_EQ(likely[0].of, Cause::Of::low);
    EXPECT_EQ(likely[0].row, 4U);
    EXPECT_NEAR(likely[0].by, 0.5, 1e-6);  // every other row was read exactly
  }
}

constexpr double usual_zero_mm = 0.5;  // where a run does not say how well it was zeroed

// What a joint of a corner is off, and the run read at the car with that error.
struct Planted {
  const char* joint;
  int axis;
  double by_mm;
};
GaugeRun run_with(const FromFile& f, const Planted& planted,
                  GaugeRun run = blank_run(AxleName::front, Side::left)) {
  run.with = f.chosen({{"ball-joint spacer", 25.0}, {"rod-end stack", 27.5}});
  Car truth = f.car;
  auto& axle = *truth.at(AxleName::front);
  const auto p = static_cast<std::size_t>(axle.layout.point(planted.joint));
  axle.at(Side::left).numbers.points_mm[p][planted.axis] += planted.by_mm;
  axle.right_is_mirrored = false;
  read_exactly(run, truth, f.wishes, *run.with);
  return run;
}
bool names(const Causes& causes, const std::string& joint) {
  return std::any_of(causes.likely.begin(), causes.likely.end(),
                     [&](const Cause& c) { return c.joint == joint; });
}

// Joints known to a millimetre, and one that was bent by more: the run fails, and the joint is
// among what would explain it, by what it was bent.
TEST(Judge, TheBentJointIsNamed) {
  const FromFile f(pip_known_to("0.3"));
  for (const Planted& p : {Planted{"rod.steering.upright", 2, 4.0},
                           {"rod.steering.body", 2, -4.0},
                           {"arm.lower.upright", 2, 5.0},
                           {"arm.lower.body_front", 2, 6.0}}) {
    const auto j = judged(f, run_with(f, p));
    const auto& r = j.runs[0];
    EXPECT_FALSE(r.holds()) << p.joint << " " << r.test.chi_square;
    EXPECT_EQ(r.verdict, Verdict::wrong);
    EXPECT_TRUE(r.causes.any_explains) << p.joint;
    EXPECT_TRUE(names(r.causes, p.joint)) << p.joint;
    for (const auto& c : r.causes.likely)
      if (c.joint == p.joint && c.axis == p.axis) {
        // Nothing but the curve of the wheel's path keeps it from its size: 5 mm on arms and rods
        // of 300 mm and more.
        EXPECT_NEAR(c.by, p.by_mm, 5.0 / 300.0 * std::fabs(p.by_mm));
      }
    // Nothing is taken from it.
    EXPECT_EQ(j.adjusted.spread.covariance.data, f.adjusted.spread.covariance.data);
    EXPECT_FALSE(j.adjusted.remarks.empty());
  }
}

// Bump written as droop: the toe curve of the demo hatch bends, so it is not its own mirror image,
// and the turned travel is named.
TEST(Judge, ATravelWithItsSignTurnedIsNamed) {
  const FromFile f(pip_known_to("0.1"));
  auto run = run_with(f, {"rod.steering.body", 2, 0.0});
  for (auto& row : run.rows) row.travel_mm = -row.travel_mm;
  const auto r = judged(f, run).runs[0];
  ASSERT_FALSE(r.holds());
  bool named = false;
  for (const auto& c : r.causes.likely)
    named = named || (c.kind == Cause::Kind::travel_sign && c.explains);
  EXPECT_TRUE(named);
  // Read as it was it holds, and nothing is named.
  for (auto& row : run.rows) row.travel_mm = -row.travel_mm;
  EXPECT_TRUE(judged(f, run).runs[0].holds());
}

// A run is zeroed where hub to arch is set to, good to half a millimetre. By its slope a bent joint
// looks like a zero that is off by a centimetre or two: that is named apart, for its size.
TEST(Judge, AZeroTooFarOffIsNotOfferedAsEquallyLikely) {
  const FromFile f(pip_known_to("0.1"));
  int apart = 0;
  for (const double by : {-3.0, -2.0, -1.5, 1.5, 2.0, 3.0}) {
    const auto r = judged(f, run_with(f, {"rod.steering.body", 2, by})).runs[0];
    ASSERT_FALSE(r.holds()) << by;
    EXPECT_TRUE(names(r.causes, "rod.steering.body")) << by;
    for (const auto& c : r.causes.likely) {
      EXPECT_FALSE(c.too_large) << by << " " << c.by;
    }
    for (const auto& c : r.causes.less_likely) {
      EXPECT_EQ(c.kind, Cause::Kind::travel_zero);
      EXPECT_GT(std::fabs(c.by), 10.0 * usual_zero_mm);
      ++apart;
    }
  }
  EXPECT_GT(apart, 0);
}

// A strut that was bent after the run as it sits leans the wheel and hardly steers it: two dials
// pass over it, a third one does not, and names the joint. Dials read to their hundredth and hub to
// arch to 0.2 mm; 3 mm at the strut are 0.1 mm at the low dial.
TEST(Judge, AThirdDialFindsWhatHardlySteers) {
  auto two = blank_run(AxleName::front, Side::left);
  two.sigma_mm = 0.01;
  two.zero_sigma_mm = 0.2;
  for (const Planted& p : {Planted{"strut.top", 1, 3.0}, Planted{"strut.foot", 1, -3.0}}) {
    const auto by = [&](const GaugeRun& dials) {
      FromFile f(demo_text("pip.toml"));
      auto sits = dials;
      sits.with.reset();
      sits.toe_rad = f.car.at(sits.axle)->at(sits.side).numbers.toe_rad;  // nothing was turned
      read_exactly(sits, f.car, f.wishes, {});
      f.survey.gauges = {sits};
      f.adjusted = std::move(*adjust(f.car, f.survey).value);
      return judged(f, run_with(f, p, dials)).runs[0];
    };
    EXPECT_TRUE(by(two).holds()) << p.joint;
    EXPECT_TRUE(by(by_places(two)).holds()) << p.joint;
    for (const auto& dials : {with_low_dial(two), by_places(with_low_dial(two))}) {
      const auto r = by(dials);
      EXPECT_FALSE(r.holds()) << p.joint << " " << r.test.chi_square;
      EXPECT_TRUE(r.but_toe_holds());
      EXPECT_EQ(r.verdict, Verdict::wrong);
      EXPECT_TRUE(r.causes.any_explains);
      EXPECT_TRUE(names(r.causes, p.joint)) << p.joint;
    }
  }
}

TEST(Judge, WrongShimsTurnedDialsAndALostZeroAreNamed) {
  const FromFile f(pip_known_to("0.3"));
  auto run = blank_run(AxleName::front, Side::left);
  run.with = f.chosen({{"ball-joint spacer", 25.0}, {"rod-end stack", 27.5}});
  const auto best = [&](const GaugeRun& g) { return judged(f, g).runs[0].causes.likely; };
  const auto kind = [](const std::vector<Cause>& all, Cause::Kind k) {
    return std::find_if(all.begin(), all.end(), [&](const Cause& c) { return c.kind == k; });
  };

  auto wrong_shim = run;
  read_exactly(wrong_shim, f.car, f.wishes,
               f.chosen({{"ball-joint spacer", 25.0}, {"rod-end stack", 20.0}}));
  const auto shim = best(wrong_shim);
  const auto part = kind(shim, Cause::Kind::part_size);
  ASSERT_NE(part, shim.end());
  EXPECT_EQ(part->option, "rod-end stack");
  EXPECT_EQ(part->size_mm, 20.0);

  auto left_out = run;
  read_exactly(left_out, f.car, f.wishes, f.chosen({{"ball-joint spacer", 25.0}}));
  const auto none = best(left_out);
  ASSERT_FALSE(none.empty());
  const auto gone = kind(none, Cause::Kind::part_size);
  ASSERT_NE(gone, none.end());
  EXPECT_EQ(gone->option, "rod-end stack");
  EXPECT_EQ(gone->size_mm, 0.0);

  auto turned = run;
  run.with = f.chosen({{"ball-joint spacer", 25.0}, {"rod-end stack", 20.0}});
  turned.with = run.with;
  read_exactly(turned, f.car, f.wishes, *turned.with);
  for (auto& row : turned.rows) row.rear_mm = -row.rear_mm;
  const auto signs = best(turned);
  EXPECT_NE(kind(signs, Cause::Kind::signs), signs.end());

  auto slipped = run;
  read_exactly(slipped, f.car, f.wishes, *slipped.with);
  slipped.rows[3].rear_mm += 0.5;
  const auto row = best(slipped);
  ASSERT_NE(kind(row, Cause::Kind::row), row.end());
  EXPECT_EQ(kind(row, Cause::Kind::row)->row, 3U);
  EXPECT_NEAR(kind(row, Cause::Kind::row)->by, 0.5, 1e-6);

  auto hooked = run;
  read_exactly(hooked, f.car, f.wishes, *hooked.with);
  for (auto& r : hooked.rows)
    if (r.travel_mm > 25.0) r.rear_mm += 0.06 * (r.travel_mm - 25.0);
  const auto hook = best(hooked);
  const auto at_end = kind(hook, Cause::Kind::hook);
  ASSERT_NE(at_end, hook.end());
  EXPECT_GT(at_end->from_mm, 0.0);
}

// With a third dial it is told apart which dial was turned round or exchanged.
TEST(Judge, TheTurnedDialIsNamed) {
  const FromFile f(pip_known_to("0.3"));
  auto two = blank_run(AxleName::front, Side::left);
  two.with = f.chosen({{"ball-joint spacer", 25.0}, {"rod-end stack", 20.0}});
  for (const bool places : {false, true}) {
    auto run = with_low_dial(places ? by_places(two) : two);
    read_exactly(run, f.car, f.wishes, *run.with);
    // What they show besides walks with the track: it leaves the differences alone.
    for (auto& row : run.rows) {
      if (places) break;
      for (double* dial : {&row.front_mm, &row.rear_mm, &*row.low_mm})
        *dial += 0.02 * row.travel_mm;
    }
    ASSERT_TRUE(judged(f, run).runs[0].holds());
    struct Turn {
      Cause::Of of;
      bool swapped;
      double upper, low;
    };
    for (const Turn& turn :
         {Turn{Cause::Of::both_upper, false, -1.0, 1.0}, Turn{Cause::Of::low, false, 1.0, -1.0},
          Turn{Cause::Of::all, false, -1.0, -1.0}, Turn{Cause::Of::exchanged, true, 1.0, 1.0}}) {
      auto turned = run;
      for (auto& row : turned.rows) {
        if (turn.swapped) std::swap(row.front_mm, row.rear_mm);
        row.front_mm *= turn.upper;
        row.rear_mm *= turn.upper;
        *row.low_mm *= turn.low;
      }
      const auto r = judged(f, turned).runs[0];
      EXPECT_FALSE(r.holds());
      const auto& likely = r.causes.likely;
      const auto signs = std::find_if(likely.begin(), likely.end(),
                                      [](const Cause& c) { return c.kind == Cause::Kind::signs; });
      ASSERT_NE(signs, likely.end());
      EXPECT_EQ(signs->of, turn.of);
      EXPECT_TRUE(signs->explains);
    }
  }
}

// Play: what the wheel does going up and coming down differs, and the run still holds.
TEST(Judge, PlayIsLooseEvenWhereTheCurveHolds) {
  const FromFile f(pip_known_to("1.5"));
  auto run = blank_run(AxleName::front, Side::left);
  run.with = f.chosen({{"ball-joint spacer", 25.0}, {"rod-end stack", 27.5}});
  read_exactly(run, f.car, f.wishes, *run.with);
  const auto direction = directions(run);
  const double play = 0.12 * degree_rad;
  for (std::size_t i = 0; i < run.rows.size(); ++i)
    run.rows[i].rear_mm += 0.5 * play * direction[i] * run.base_mm;
  const auto r = judged(f, run).runs[0];
  EXPECT_TRUE(r.holds());
  EXPECT_TRUE(r.loose);
  ASSERT_TRUE(r.play);
  EXPECT_NEAR(r.play->rad, play, 1e-5);
  EXPECT_EQ(r.verdict, Verdict::wrong);
}

// A run with nothing fitted is a run as it sits: what is known afterwards must be what one
// adjustment of everything together gives.
TEST(Judge, SharpenedIsWhatOneAdjustmentGives) {
  const FromFile f(pip_known_to("1.5"));
  const auto two = blank_run(AxleName::front, Side::left);
  for (auto run : {two, with_low_dial(two), by_places(two), by_places(with_low_dial(two))}) {
    run.toe_rad = f.car.at(AxleName::front)->at(Side::left).numbers.toe_rad;
    run.toe_sigma_rad = 0.0;  // the car's own toe is exact, and nothing was turned
    Car truth = f.car;
    truth.at(AxleName::front)->at(Side::left).numbers.points_mm[5].z += 0.8;
    truth.at(AxleName::front)->right_is_mirrored = false;
    read_exactly(run, truth, f.wishes, {});
    const auto one_by_one = judged(f, run).adjusted;

    Survey survey = f.survey;
    survey.gauges = {run};
    survey.gauges[0].with.reset();
    const auto together = *adjust(f.car, survey).value;
    // The same unknowns, in the same order.
    ASSERT_EQ(one_by_one.spread.numbers.size(), together.spread.numbers.size());
    const int n = static_cast<int>(together.spread.numbers.size());
    double far = 0.0, moved = 0.0;
    for (int i = 0; i < n; ++i)
      for (int k = 0; k < n; ++k)
        far = std::max(
            far, std::fabs(one_by_one.spread.covariance(i, k) - together.spread.covariance(i, k)));
    for (std::size_t p = 0; p < one_by_one.points.size(); ++p)
      moved = std::max(moved, length(one_by_one.points[p].at_mm - together.points[p].at_mm));
    EXPECT_LT(far, 1e-4);    // mm²: of 2.25 before
    EXPECT_LT(moved, 1e-3);  // mm
  }
}

// Every joint of a random corner known to 1.5 mm.
Car uncertain_car_of(const RandomCorner& corner) {
  Car car;
  auto& axle = car.at(corner.layout().axle);
  axle = corner.axle;
  for (const Side side : {Side::left, Side::right})
    axle->at(side).sigma_mm.assign(corner.layout().points.size(), {1.5, 1.5, 1.5});
  return car;
}

// Of a random car, with random rows: no variance grows, none falls below zero, and the covariance
// stays one.
RC_GTEST_PROP(Judge, NoUncertaintyGrowsOrFallsBelowZero, ()) {
  const auto corner = random_corner();
  const Car car = uncertain_car_of(corner);
  Adjusted known;
  known.car = car;
  known.spread = stated_spread(car);
  const Wishes wishes;
  Survey survey;
  auto run = blank_run(corner.layout().axle,
                       *rc::gen::inRange(0, 2) == 0 ? Side::left : Side::right, 20.0);
  if (*rc::gen::inRange(0, 2) == 1) run = with_low_dial(run);
  if (*rc::gen::inRange(0, 2) == 1) run = by_places(run);
  for (auto& row : run.rows) {
    row.rear_mm = 0.001 * *rc::gen::inRange(-200, 201);
    if (row.low_mm) row.low_mm = 0.001 * *rc::gen::inRange(-200, 201);
  }
  run.sigma_mm = 0.001 * *rc::gen::inRange(5, 300);
  survey.after = {run};
  const auto stands = ride(car, nullptr);
  RC_ASSERT(stands.value.has_value());
  const auto as = run_set_up(*stands.value, wishes, survey, run, {});
  const auto model = run_model(*stands.value, as, travels_of(run));
  RC_PRE(model.value.has_value());
  const auto sums = run_sums(run, *model.value, corner.layout(), known.spread, 0.0);
  const auto u = updated(sums);
  const auto factor = factor_of(u.covariance);
  for (int i = 0; i < u.covariance.rows; ++i) {
    RC_ASSERT(u.covariance(i, i) >= 0.0);
    RC_ASSERT(u.covariance(i, i) <= sums.covariance(i, i) * (1.0 + 1e-9));
    for (int k = 0; k < u.covariance.rows; ++k) {
      RC_ASSERT(u.covariance(i, k) == u.covariance(k, i));
      // Nothing of it lies in a direction without uncertainty: the factor gives all of it back.
      double again = 0.0;
      for (int l = 0; l < factor.columns; ++l) again += factor(i, l) * factor(k, l);
      RC_ASSERT(std::fabs(again - u.covariance(i, k)) <=
                1e-9 * std::sqrt(sums.covariance(i, i) * sums.covariance(k, k)));
    }
  }
  // The short form says the same.
  for (int i = 0; i < u.covariance.rows; ++i) {
    double shorter = sums.covariance(i, i);
    std::vector<double> h(static_cast<std::size_t>(sums.per.rows));
    for (int r = 0; r < sums.per.rows; ++r)
      for (int k = 0; k < sums.per.columns; ++k)
        h[static_cast<std::size_t>(r)] += sums.per(r, k) * sums.covariance(k, i);
    shorter -= weighed(sums.weight, h, h);
    RC_ASSERT(std::fabs(shorter - u.covariance(i, i)) <= 1e-8 * sums.covariance(i, i) + 1e-18);
  }
}

// Of a random car: whatever a third dial is read for takes doubt away and adds none, and so does
// taking each dial by itself.
RC_GTEST_PROP(Judge, AThirdDialNeverAddsDoubt, ()) {
  const auto corner = random_corner();
  const Car car = uncertain_car_of(corner);
  const auto spread = stated_spread(car);
  auto two = blank_run(corner.layout().axle,
                       *rc::gen::inRange(0, 2) == 0 ? Side::left : Side::right, 20.0);
  two.sigma_mm = 0.001 * *rc::gen::inRange(5, 300);
  const double drop_mm = *rc::gen::inRange(50, 350);
  const auto stands = ride(car, nullptr);
  RC_ASSERT(stands.value.has_value());
  const auto left_of = [&](const GaugeRun& run) -> std::optional<Matrix> {
    const auto as = run_set_up(*stands.value, {}, {}, run, {});
    const auto model = run_model(*stands.value, as, travels_of(run));
    if (!model.value) return {};
    return updated(run_sums(run, *model.value, corner.layout(), spread, 0.0)).covariance;
  };
  const auto by_two = left_of(two);
  RC_PRE(by_two.has_value());
  const auto by_three = left_of(with_low_dial(two, drop_mm));
  const auto by_each = left_of(by_places(with_low_dial(two, drop_mm)));
  RC_ASSERT(by_three.has_value());
  RC_ASSERT(by_each.has_value());
  // The zero of travel and the backlash are unknowns of every run, the same ones.
  RC_ASSERT(by_three->rows == by_two->rows);
  for (int i = 0; i < by_two->rows; ++i) {
    RC_ASSERT((*by_three)(i, i) <= (*by_two)(i, i) * (1.0 + no_doubt));
    RC_ASSERT((*by_each)(i, i) <= (*by_three)(i, i) * (1.0 + no_doubt));
  }
}

// With nothing uncertain in the file only the dials count, and nothing of the car moves.
TEST(Judge, WithoutAnyPlusMinusOnlyTheDialsCount) {
  FromFile f(demo_text("pip.toml"));
  f.adjusted.spread = {};
  auto run = blank_run(AxleName::front, Side::right);
  run.with = f.chosen({{"ball-joint spacer", 25.0}, {"rod-end stack", 27.5}});
  read_exactly(run, f.car, f.wishes, *run.with);
  const auto j = judged(f, run);
  EXPECT_TRUE(j.runs[0].only_dials);
  EXPECT_LT(j.runs[0].test.chi_square, no_chi_square);
  ASSERT_EQ(j.adjusted.points.size(), f.adjusted.points.size());
  for (std::size_t i = 0; i < f.adjusted.points.size(); ++i)
    EXPECT_LT(length(j.adjusted.points[i].at_mm - f.adjusted.points[i].at_mm), 1e-6)
        << f.adjusted.points[i].name;
}

}  // namespace
}  // namespace trammel::testing
