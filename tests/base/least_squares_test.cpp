// Survey nets with published adjustments, and what the engine promises where nothing is published.
// Tables give a residual as adjusted less observed, which is Row.off times the reading's standard
// uncertainty.

#include "base/least_squares.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <tuple>
#include <utility>

#include "base/statistics.h"

namespace trammel {
namespace {

constexpr double six_decimals = 6e-7;   // half of the last printed digit, and rounding
constexpr double four_decimals = 6e-5;  // the same
// Residuals and what follows from them carry the square root of the rounding in the sum of squares.
constexpr double solved = 1e-7;
constexpr double rounding = 1e-12;

// Trilateration (Ghilani & Wolf, Adjustment Computations, ch. 14, the worksheet's example 14.2):
// one point from its distances to three known ones, in feet. The data are the book's; its printed
// result was not at hand, so the results are an independent recomputation from these data.
struct Measured {
  double x, y, distance;
};
constexpr Measured trilateration[] = {
    {865.40, 4527.15, 6049.00}, {2432.55, 2047.25, 4736.83}, {2865.22, 27.15, 5446.49}};

bool trilateration_rows(const std::vector<double>& at, std::vector<Row>& rows) {
  rows.clear();
  for (const auto& m : trilateration) {
    const double dx = at[0] - m.x, dy = at[1] - m.y, d = std::hypot(dx, dy);
    if (d == 0.0) return false;
    rows.push_back({d - m.distance, {{0, dx / d}, {1, dy / d}}});
  }
  return true;
}

const std::vector<double> the_books_start = {6865, 3780}, far_side = {-3000, 0};

void expect_true_trilateration(const LeastSquares& fit) {
  EXPECT_EQ(fit.ended, Ended::settled);
  EXPECT_NEAR(fit.x[0], 6861.316788, six_decimals);
  EXPECT_NEAR(fit.x[1], 3727.818566, six_decimals);
}

TEST(LeastSquares, Trilateration) {
  const auto fit = least_squares(trilateration_rows, the_books_start);
  expect_true_trilateration(fit);
  ASSERT_EQ(fit.rows.size(), 3U);
  const double residuals[] = {-0.037373, 0.076793, -0.047366};
  const double adjusted[] = {6048.962627, 4736.906793, 5446.442634};
  for (std::size_t i = 0; i < 3; ++i) {
    EXPECT_NEAR(fit.rows[i].off, residuals[i], six_decimals) << i;
    EXPECT_NEAR(fit.rows[i].off + trilateration[i].distance, adjusted[i], six_decimals) << i;
  }
  const double s0 = std::sqrt(fit.sum_of_squares / 1.0);  // three distances less two unknowns
  EXPECT_NEAR(s0, 0.0976594, 6e-8);
  const Held h = held(fit.rows, 2);
  EXPECT_EQ(h.rank, 2);
  EXPECT_TRUE(h.free.empty());
  EXPECT_NEAR(h.covariance(0, 0), 0.630189, six_decimals);
  EXPECT_NEAR(h.covariance(0, 1), -0.728354, six_decimals);
  EXPECT_NEAR(h.covariance(1, 0), -0.728354, six_decimals);
  EXPECT_NEAR(h.covariance(1, 1), 2.494689, six_decimals);
  EXPECT_NEAR(s0 * std::sqrt(h.covariance(0, 0)), 0.077526, six_decimals);
  EXPECT_NEAR(s0 * std::sqrt(h.covariance(1, 1)), 0.154249, six_decimals);
}

// Beyond the known points lies a second minimum: (-2237.9, -367.6), S0 = 665.8.
TEST(LeastSquares, AFalseMinimumIsToldFromTheTrueOne) {
  for (const auto& starts :
       {std::vector{the_books_start, far_side}, std::vector{far_side, the_books_start}}) {
    const auto all = least_squares_from(trilateration_rows, starts);
    expect_true_trilateration(all.best);
    EXPECT_EQ(starts[all.from], the_books_start);
    ASSERT_EQ(all.elsewhere.size(), 1U);
    const auto& other = all.elsewhere[0];
    EXPECT_EQ(other.ended, Ended::settled);
    EXPECT_NEAR(other.x[0], -2237.9, 0.06);  // one decimal printed
    EXPECT_NEAR(other.x[1], -367.6, 0.06);
    EXPECT_NEAR(std::sqrt(other.sum_of_squares), 665.8, 0.06);
  }
}

TEST(LeastSquares, TheSameMinimumTwiceIsNotElsewhere) {
  const auto all = least_squares_from(trilateration_rows, {the_books_start, {7000, 3000}});
  expect_true_trilateration(all.best);
  EXPECT_TRUE(all.elsewhere.empty());
}

// Height differences with their standard uncertainties. An end below zero is the benchmark.
struct Levelled {
  int from, to;
  double rise, sigma;
};
constexpr int benchmark = -1;

Rows level_rows(std::vector<Levelled> net, double benchmark_height) {
  return [net = std::move(net), benchmark_height](const std::vector<double>& heights,
                                                  std::vector<Row>& rows) {
    rows.clear();
    for (const auto& l : net) {
      Row row{-l.rise / l.sigma, {}};
      for (const auto& [end, sign] : {std::pair{l.from, -1.0}, std::pair{l.to, 1.0}}) {
        if (end == benchmark) {
          row.off += sign * benchmark_height / l.sigma;
        } else {
          row.off += sign * heights[static_cast<std::size_t>(end)] / l.sigma;
          row.slopes.push_back({end, sign / l.sigma});
        }
      }
      rows.push_back(std::move(row));
    }
    return true;
  };
}

// Weighted level net (Ghilani & Wolf ch. 12, the worksheet's example 12.1), in metres. The data are
// the book's, its adjusted heights remembered to four decimals; further digits and the tests'
// columns are an independent recomputation.
enum { b, c, d, a };
constexpr double height_of_a = 437.596;
std::vector<Levelled> weighted_net(int end_a) {
  return {{end_a, b, 10.509, 0.006}, {b, c, 5.360, 0.004},  {c, d, -8.523, 0.005},
          {d, end_a, -7.348, 0.003}, {b, d, -3.167, 0.004}, {end_a, c, 15.881, 0.012}};
}

void expect_weighted_net(const LeastSquares& fit, const Held& h) {
  struct Published {
    double residual, redundancy, w;
  };
  constexpr Published published[] = {
      {0.003712, 0.654869, 0.7644}, {-0.000244, 0.329448, -0.1063}, {-0.001862, 0.509175, -0.5220},
      {0.000395, 0.187705, 0.3037}, {0.001894, 0.432621, 0.7197},   {-0.008532, 0.886182, -0.7553}};
  EXPECT_EQ(fit.ended, Ended::settled);
  const auto net = weighted_net(benchmark);
  const auto tests = row_tests(fit.rows, h.covariance);
  ASSERT_EQ(tests.size(), net.size());
  double redundancy = 0.0;
  for (std::size_t i = 0; i < net.size(); ++i) {
    EXPECT_NEAR(fit.rows[i].off * net[i].sigma, published[i].residual, six_decimals) << i;
    EXPECT_NEAR(tests[i].redundancy, published[i].redundancy, six_decimals) << i;
    EXPECT_NEAR(tests[i].normalised_residual, published[i].w, four_decimals) << i;
    redundancy += tests[i].redundancy;
  }
  EXPECT_NEAR(redundancy, 3.0, rounding);  // six readings less three heights
  EXPECT_NEAR(fit.sum_of_squares, 1.272123, six_decimals);
}

TEST(LeastSquares, WeightedLevelNet) {
  const auto fit = least_squares(level_rows(weighted_net(benchmark), height_of_a), {0, 0, 0});
  const Held h = held(fit.rows, 3);
  EXPECT_EQ(h.rank, 3);
  EXPECT_TRUE(h.free.empty());
  expect_weighted_net(fit, h);
  const double s0 = std::sqrt(fit.sum_of_squares / 3.0);
  EXPECT_NEAR(s0, 0.651184, six_decimals);
  const double heights[] = {448.108712, 453.468468, 444.943605};
  const double a_priori[] = {0.003525, 0.004048, 0.002704};
  const double a_posteriori[] = {0.002295, 0.002636, 0.001761};
  for (const int i : {b, c, d}) {
    const auto k = static_cast<std::size_t>(i);
    const double deviation = std::sqrt(h.covariance(i, i));
    EXPECT_NEAR(fit.x[k], heights[k], six_decimals);
    EXPECT_NEAR(deviation, a_priori[k], six_decimals);
    EXPECT_NEAR(s0 * deviation, a_posteriori[k], six_decimals);
  }
  // Between the two-sided 95 % limits 0.2158 and 9.3484: as good as its uncertainties say.
  const double above = chi_square_above(fit.sum_of_squares, 3.0);
  EXPECT_GT(above, 0.025);
  EXPECT_LT(above, 0.975);
}

// Without its benchmark the same net may rise as a whole. Residuals and tests do not notice.
TEST(LeastSquares, ALevelNetWithoutItsBenchmark) {
  const std::vector<double> start = {449, 454, 446, 437};
  const auto fit = least_squares(level_rows(weighted_net(a), 0.0), start);
  const Held h = held(fit.rows, 4);
  EXPECT_EQ(h.rank, 3);
  ASSERT_EQ(h.free.size(), 1U);
  // In scaled unknowns; divided by the lengths of their columns, all heights move alike.
  double length[4] = {};
  for (const auto& row : fit.rows)
    for (const auto& s : row.slopes) length[s.unknown] = std::hypot(length[s.unknown], s.per);
  const auto& free = h.free[0];
  ASSERT_EQ(free.size(), 4U);
  for (const auto& s : free)
    EXPECT_NEAR(s.per / length[s.unknown] / (free[0].per / length[free[0].unknown]), 1.0, rounding);
  EXPECT_TRUE(std::is_sorted(free.begin(), free.end(), [](const Slope& x, const Slope& y) {
    return std::fabs(x.per) > std::fabs(y.per);
  }));
  expect_weighted_net(fit, h);
  // Heights against A, and the uncertainty of one, as with the benchmark.
  EXPECT_NEAR(fit.x[b] - fit.x[a], 448.108712 - height_of_a, six_decimals);
  EXPECT_NEAR(fit.x[c] - fit.x[a], 453.468468 - height_of_a, six_decimals);
  EXPECT_NEAR(fit.x[d] - fit.x[a], 444.943605 - height_of_a, six_decimals);
  const Slopes b_over_a = {{b, 1.0}, {a, -1.0}};
  EXPECT_NEAR(std::sqrt(product(b_over_a, h.covariance, b_over_a)), 0.003525, six_decimals);
  // The net as a whole stays where it started: steps keep off the free direction.
  double rise = 0.0;
  for (std::size_t i = 0; i < 4; ++i) rise += (fit.x[i] - start[i]) * length[i] * length[i];
  EXPECT_NEAR(rise / (length[a] * length[a]), 0.0, solved);
}

// An unknown that no row mentions keeps its start to the last bit and is named.
TEST(LeastSquares, AnUnknownThatNothingHoldsStays) {
  const auto fit =
      least_squares(level_rows(weighted_net(benchmark), height_of_a), {0, 0, 0, 12.25});
  EXPECT_EQ(fit.x[3], 12.25);
  EXPECT_NEAR(fit.x[b], 448.108712, six_decimals);
  const Held h = held(fit.rows, 4);
  EXPECT_EQ(h.rank, 3);
  ASSERT_EQ(h.free.size(), 1U);
  ASSERT_EQ(h.free[0].size(), 1U);
  EXPECT_EQ(h.free[0][0].unknown, 3);
  EXPECT_NEAR(h.free[0][0].per, 1.0, rounding);
  EXPECT_NEAR(h.covariance(3, 3), 0.0, rounding);
  expect_weighted_net(fit, h);
}

// Two separate free directions come out separately, each with the unknowns it moves.
TEST(LeastSquares, FreeDirectionsAreKeptApart) {
  const std::vector<Levelled> nets = {{0, 1, 1.0, 0.01}, {2, 3, 2.0, 0.01}, {3, 4, 1.5, 0.01}};
  const auto fit = least_squares(level_rows(nets, 0.0), {0, 0, 0, 0, 0});
  const Held h = held(fit.rows, 5);
  EXPECT_EQ(h.rank, 3);
  ASSERT_EQ(h.free.size(), 2U);
  std::vector<std::vector<int>> moved;
  for (const auto& direction : h.free) {
    moved.emplace_back();
    for (const auto& s : direction) moved.back().push_back(s.unknown);
    std::sort(moved.back().begin(), moved.back().end());
  }
  std::sort(moved.begin(), moved.end());
  EXPECT_EQ(moved, (std::vector<std::vector<int>>{{0, 1}, {2, 3, 4}}));
}

// One reading of a sum leaves two directions free, each led by an unknown that the other lacks.
TEST(LeastSquares, FreeDirectionsAreLedByTheirOwnUnknowns) {
  const Held h = held({{0.0, {{0, 1.0}, {1, 1.0}, {2, 1.0}}}}, 3);
  EXPECT_EQ(h.rank, 1);
  ASSERT_EQ(h.free.size(), 2U);
  std::vector<int> alone;
  for (const auto& direction : h.free) {
    ASSERT_EQ(direction.size(), 2U);
    EXPECT_NEAR(direction[0].per + direction[1].per, 0.0, rounding);  // the sum stays
    for (const auto& s : direction) alone.push_back(s.unknown);
  }
  std::sort(alone.begin(), alone.end());
  alone.erase(std::unique(alone.begin(), alone.end()), alone.end());
  EXPECT_EQ(alone, (std::vector<int>{0, 1, 2}));
}

// Own: of u = x1 - x0 the sum of squares 1 + 0.2 u^2 + 0.16 u^4. A step leaves about 0.8 of u and
// wins more than foretold, so the damping soon falls to where the equations are solved from the
// rows themselves; there too the mean of both, which nothing holds, stays.
TEST(LeastSquares, LittleDampingStillKeepsOffTheFreeDirection) {
  const Rows rows_at = [](const std::vector<double>& x, std::vector<Row>& rows) {
    const double u = x[1] - x[0], slope = -0.8 * u;
    rows = {{u, {{0, -1.0}, {1, 1.0}}}, {1.0 - 0.4 * u * u, {{0, -slope}, {1, slope}}}};
    return true;
  };
  const auto fit = least_squares(rows_at, {1.0, 2.0});
  EXPECT_EQ(fit.ended, Ended::settled);
  EXPECT_GT(fit.steps, 20);
  EXPECT_NEAR(fit.x[1] - fit.x[0], 0.0, 1e-6);  // the root of rounding, over that of 0.2
  // Each step strays by the residual's rounding over the damping; in standard uncertainties.
  constexpr double strays = 1e-3;
  EXPECT_NEAR(fit.x[1] + fit.x[0], 3.0, strays);
  EXPECT_EQ(held(fit.rows, 2).rank, 1);
}

// Levelling both ways round a loop (the sample report of GNU Gama, general geodetic adjustment;
// each difference with a standard uncertainty of 5.0 mm, the fixed point at 1000 m).
TEST(LeastSquares, LevellingBothWaysRoundALoop) {
  enum { h4, h3, h2 };
  constexpr double sigma_mm = 5.0, metre = 1000.0;
  std::vector<Levelled> loop;
  for (const auto& [from, to, rise] :
       {std::tuple{benchmark, int{h4}, -1.225}, std::tuple{int{h4}, int{h3}, -0.848},
        std::tuple{int{h3}, int{h2}, 1.342}, std::tuple{int{h2}, benchmark, 0.720},
        std::tuple{benchmark, int{h2}, -0.724}, std::tuple{int{h2}, int{h3}, -1.335},
        std::tuple{int{h3}, int{h4}, 0.842}, std::tuple{int{h4}, benchmark, 1.231}})
    loop.push_back({from, to, rise * metre, sigma_mm});
  const auto fit = least_squares(level_rows(loop, 1000.0 * metre), {0, 0, 0});
  EXPECT_EQ(fit.ended, Ended::settled);
  EXPECT_NEAR(fit.x[h4] / metre, 998.77513, 6e-6);  // five decimals printed
  EXPECT_NEAR(fit.x[h3] / metre, 997.93325, 6e-6);
  EXPECT_NEAR(fit.x[h2] / metre, 999.27487, 6e-6);
  const double pvv = fit.sum_of_squares * sigma_mm * sigma_mm;
  EXPECT_NEAR(pvv, 146.625, 6e-4);
  EXPECT_NEAR(std::sqrt(pvv / 5.0), 5.42, 6e-3);
  const Held h = held(fit.rows, 3);
  EXPECT_EQ(h.rank, 3);
  // The report prints 3.1, 3.5 and 3.1 mm: sqrt(3/8) and sqrt(1/2) of 5 mm, from the loop's shape.
  EXPECT_NEAR(std::sqrt(h.covariance(h4, h4)), sigma_mm * std::sqrt(0.375), rounding);
  EXPECT_NEAR(std::sqrt(h.covariance(h3, h3)), sigma_mm * std::sqrt(0.5), rounding);
  EXPECT_NEAR(std::sqrt(h.covariance(h2, h2)), sigma_mm * std::sqrt(0.375), rounding);
  const auto tests = row_tests(fit.rows, h.covariance);
  ASSERT_EQ(tests.size(), 8U);
  for (const auto& t : tests) EXPECT_NEAR(t.redundancy, 0.625, rounding);
  const auto largest =
      std::max_element(tests.begin(), tests.end(), [](const RowTest& x, const RowTest& y) {
        return std::fabs(x.normalised_residual) < std::fabs(y.normalised_residual);
      });
  EXPECT_EQ(largest - tests.begin(), 5);
  EXPECT_NEAR(std::fabs(largest->normalised_residual), 1.6760, four_decimals);  // printed 1.68
}

// Own: what follows from one value read two or three times.
TEST(LeastSquares, RepeatsOfAValue) {
  const auto read = [](std::vector<double> values) {
    return [values = std::move(values)](const std::vector<double>& x, std::vector<Row>& rows) {
      rows.clear();
      for (const double v : values) rows.push_back({x[0] - v, {{0, 1.0}}});
      return true;
    };
  };
  const auto twice = least_squares(read({3.0, 5.0}), {0.0});
  EXPECT_NEAR(twice.x[0], 4.0, solved);
  const Matrix of_two = held(twice.rows, 1).covariance;
  EXPECT_NEAR(of_two(0, 0), 0.5, rounding);
  // Which of two is wrong cannot be told.
  EXPECT_NEAR(std::fabs(test_correlation(twice.rows[0], twice.rows[1], of_two)), 1.0, rounding);
  // Nor where one is read twice as well as the other.
  const std::vector<Row> unequal = {{1.0, {{0, 1.0}}}, {-1.0, {{0, 2.0}}}};
  const Matrix of_unequal = held(unequal, 1).covariance;
  EXPECT_NEAR(std::fabs(test_correlation(unequal[0], unequal[1], of_unequal)), 1.0, rounding);
  EXPECT_NEAR(std::fabs(test_correlation(unequal[1], unequal[0], of_unequal)), 1.0, rounding);
  // Which of three, it can: of an error 2/3 shows in its own residual and -1/3 in each other.
  const auto thrice = least_squares(read({3.0, 5.0, 4.0}), {0.0});
  const Matrix of_three = held(thrice.rows, 1).covariance;
  EXPECT_NEAR(test_correlation(thrice.rows[0], thrice.rows[1], of_three), -0.5, rounding);
  // A single reading is checked by nothing.
  const auto once = least_squares(read({3.0}), {0.0});
  const Matrix of_one = held(once.rows, 1).covariance;
  const auto tests = row_tests(once.rows, of_one);
  ASSERT_EQ(tests.size(), 1U);
  EXPECT_NEAR(tests[0].redundancy, 0.0, rounding);
  EXPECT_EQ(tests[0].normalised_residual, 0.0);
}

// Baarda's w of a gross error: it grows by the root of the reading's redundancy per standard
// uncertainty, and is the largest of all.
TEST(LeastSquares, AGrossErrorStandsOut) {
  auto net = weighted_net(benchmark);
  const auto tested = [&] {
    const auto fit = least_squares(level_rows(net, height_of_a), {0, 0, 0});
    return row_tests(fit.rows, held(fit.rows, 3).covariance);
  };
  const auto before = tested();
  constexpr double sigmas = 20.0;
  net[4].rise += sigmas * net[4].sigma;
  const auto after = tested();
  EXPECT_NEAR(after[4].normalised_residual - before[4].normalised_residual,
              -sigmas * std::sqrt(before[4].redundancy), solved);
  for (std::size_t i = 0; i < after.size(); ++i)
    if (i != 4) {
      EXPECT_LT(std::fabs(after[i].normalised_residual), std::fabs(after[4].normalised_residual));
    }
}

// ln x = 0: the full step from 100 lands below zero, where there is no logarithm.
TEST(LeastSquares, StepsBackFromWhereThereIsNoValue) {
  int refused = 0;
  const Rows logarithm = [&](const std::vector<double>& x, std::vector<Row>& rows) {
    rows.clear();
    if (x[0] <= 0.0) {
      ++refused;
      return false;
    }
    rows.push_back({std::log(x[0]), {{0, 1.0 / x[0]}}});
    return true;
  };
  const auto fit = least_squares(logarithm, {100.0});
  EXPECT_GT(refused, 0);
  EXPECT_EQ(fit.ended, Ended::settled);
  EXPECT_NEAR(fit.x[0], 1.0, solved);
  ASSERT_EQ(fit.rows.size(), 1U);
  EXPECT_EQ(fit.rows[0].off, std::log(fit.x[0]));
}

// Rows that are not numbers are no value either, whatever the function says.
TEST(LeastSquares, StepsBackFromRowsThatAreNotNumbers) {
  const Rows logarithm = [](const std::vector<double>& x, std::vector<Row>& rows) {
    rows = {{std::log(x[0]), {{0, 1.0 / x[0]}}}};
    return true;
  };
  const auto fit = least_squares(logarithm, {100.0});
  EXPECT_EQ(fit.ended, Ended::settled);
  EXPECT_NEAR(fit.x[0], 1.0, solved);
  EXPECT_EQ(least_squares(logarithm, {-1.0}).ended, Ended::no_start);
  EXPECT_EQ(least_squares(logarithm, {0.0}).ended, Ended::no_start);
}

TEST(LeastSquares, NoStart) {
  const Rows never = [](const std::vector<double>&, std::vector<Row>&) { return false; };
  const auto fit = least_squares(never, {1.5});
  EXPECT_EQ(fit.ended, Ended::no_start);
  EXPECT_EQ(fit.x, std::vector<double>{1.5});
  EXPECT_EQ(fit.steps, 0);
  const auto none = least_squares_from(never, {{1.0}, {2.0}});
  EXPECT_EQ(none.best.ended, Ended::no_start);
  EXPECT_TRUE(none.elsewhere.empty());
  // A start without a value does not spoil the others, though its sum of squares reads zero.
  const Rows above_zero = [](const std::vector<double>& x, std::vector<Row>& rows) {
    rows = {{x[0] - 3.0, {{0, 1.0}}}, {x[0] - 5.0, {{0, 1.0}}}};
    return x[0] > 0.0;
  };
  const auto some = least_squares_from(above_zero, {{-1.0}, {1.0}});
  EXPECT_EQ(some.best.ended, Ended::settled);
  EXPECT_EQ(some.from, 1U);
  EXPECT_NEAR(some.best.x[0], 4.0, solved);
  EXPECT_TRUE(some.elsewhere.empty());
}

TEST(LeastSquares, SaysWhenItIsStillMoving) {
  const auto fit = least_squares(trilateration_rows, far_side, 1);
  EXPECT_EQ(fit.ended, Ended::too_many_steps);
  EXPECT_EQ(fit.steps, 1);
}

// A coarser end is reached in fewer steps and leaves no more of the sum of squares than it says.
TEST(LeastSquares, EndsWhereItIsAskedTo) {
  constexpr double coarse = 1e-3;
  const auto fine = least_squares(trilateration_rows, the_books_start);
  const auto soon = least_squares(trilateration_rows, the_books_start, 200, coarse);
  EXPECT_EQ(soon.ended, Ended::settled);
  EXPECT_LT(soon.steps, fine.steps);
  EXPECT_LT(soon.sum_of_squares, fine.sum_of_squares * (1.0 + 2.0 * coarse));
  const auto from = least_squares_from(trilateration_rows, {the_books_start}, 200, coarse);
  EXPECT_EQ(from.best.steps, soon.steps);
}

// Held, but on normal equations that are singular to rounding: there the rows themselves must give
// the covariance. With columns (1, 1) and (1, 1 + e) it is [1 + (1+e)^2, -(2+e); -(2+e), 2] / e^2.
TEST(LeastSquares, BadlyConditionedCovariance) {
  constexpr double e = 0x1p-17;
  const std::vector<Row> rows = {{0.0, {{0, 1.0}, {1, 1.0}}}, {0.0, {{0, 1.0}, {1, 1.0 + e}}}};
  const Held h = held(rows, 2);
  EXPECT_EQ(h.rank, 2);
  EXPECT_TRUE(h.free.empty());
  constexpr double lost = 1e-9;  // rounding times the rows' condition, 4 / e
  EXPECT_NEAR(h.covariance(0, 0) * e * e / (1.0 + (1.0 + e) * (1.0 + e)), 1.0, lost);
  EXPECT_NEAR(h.covariance(0, 1) * e * e / (2.0 + e), -1.0, lost);
  EXPECT_NEAR(h.covariance(1, 1) * e * e / 2.0, 1.0, lost);
}

}  // namespace
}  // namespace trammel
