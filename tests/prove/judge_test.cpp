// Runs judged against what was predicted, and the car sharpened by them.
#include "prove/judge.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <numbers>

#include "prove/runs.h"
#include "travel/random_corner.h"

namespace trammel::testing {
namespace {

constexpr double degree = std::numbers::pi / 180.0;
// Of chi-square of a run that the model made itself: what Newton and the tangents leave, squared
// over the dials' 0.04 mm.
constexpr double no_chi_square = 1e-12;

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

// What a joint of a corner is off, and the run read at the car with that error.
struct Planted {
  const char* joint;
  int axis;
  double by_mm;
};
GaugeRun run_with(const FromFile& f, const Planted& planted) {
  auto run = blank_run(AxleName::front, Side::left);
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
        EXPECT_NEAR(c.by, p.by_mm, 0.15 * std::fabs(p.by_mm));
      }
    // Nothing is taken from it.
    EXPECT_EQ(j.adjusted.spread.covariance.data, f.adjusted.spread.covariance.data);
    EXPECT_FALSE(j.adjusted.remarks.empty());
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
  EXPECT_NEAR(kind(row, Cause::Kind::row)->by, 0.5, 0.02);

  auto hooked = run;
  read_exactly(hooked, f.car, f.wishes, *hooked.with);
  for (auto& r : hooked.rows)
    if (r.travel_mm > 25.0) r.rear_mm += 0.06 * (r.travel_mm - 25.0);
  const auto hook = best(hooked);
  const auto at_end = kind(hook, Cause::Kind::hook);
  ASSERT_NE(at_end, hook.end());
  EXPECT_GT(at_end->from_mm, 0.0);
}

// Play: what the wheel does going up and coming down differs, and the run still holds.
TEST(Judge, PlayIsLooseEvenWhereTheCurveHolds) {
  const FromFile f(pip_known_to("1.5"));
  auto run = blank_run(AxleName::front, Side::left);
  run.with = f.chosen({{"ball-joint spacer", 25.0}, {"rod-end stack", 27.5}});
  read_exactly(run, f.car, f.wishes, *run.with);
  const auto direction = directions(run);
  const double play = 0.12 * degree;
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
  auto run = blank_run(AxleName::front, Side::left);
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

// Of a random car, with random rows: no variance grows, none falls below zero, and the covariance
// stays one.
RC_GTEST_PROP(Judge, NoUncertaintyGrowsOrFallsBelowZero, ()) {
  const auto corner = random_corner();
  Car car;
  auto& axle = car.at(corner.layout().axle);
  axle = corner.axle;
  for (const Side side : {Side::left, Side::right})
    axle->at(side).sigma_mm.assign(corner.layout().points.size(), {1.5, 1.5, 1.5});
  Adjusted known;
  known.car = car;
  known.spread = stated_spread(car);
  const Wishes wishes;
  Survey survey;
  auto run = blank_run(corner.layout().axle,
                       *rc::gen::inRange(0, 2) == 0 ? Side::left : Side::right, 20.0);
  for (auto& row : run.rows) row.rear_mm = 0.001 * *rc::gen::inRange(-200, 201);
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
