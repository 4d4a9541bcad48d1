// Dual numbers: every operation's value against the same on doubles, its slopes against differences
// of them and, where the sum is short, against the slope written out.

#include "base/dual.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <vector>

#include "base/vec.h"

namespace trammel {
namespace {

// Five-point differences at step 1e-3: a 1e-12 (h^4) part of the fifth derivative, and rounding of
// 1e-16 / 1e-3; both grow with the slopes here, which stay below 1e3.
constexpr double step = 1e-3;
constexpr double difference_part = 1e-9;
constexpr double few_ulp = 1e-15;  // of a slope written out: the same sums in another order

// Four ways through the plane of (x, y): each argument alone, and two across.
constexpr std::array<std::array<double, 2>, lane_count> ways{
    {{1.0, 0.0}, {0.0, 1.0}, {0.7, -1.3}, {-2.0, 0.4}}};

Dual along_ways(double value, std::size_t argument) {
  Dual d(value);
  for (std::size_t k = 0; k < lane_count; ++k) d.slope.set(k, ways[k][argument]);
  return d;
}

struct Place {
  double x, y;
};
// All signs, sizes apart, none where an operation below has a pole or a kink within the steps.
const std::vector<Place> places{{0.5, 1.25},    {-0.75, 2.0}, {1.5, -0.25},
                                {-2.5, -0.125}, {3.0, 0.02},  {-0.05, -4.0}};

// One function over doubles and over Duals.
template <class F>
void expect_slopes(const char* name, const F& f, const std::vector<Place>& at = places) {
  for (const auto& p : at) {
    SCOPED_TRACE(name);
    SCOPED_TRACE(::testing::Message() << "at " << p.x << ", " << p.y);
    const Dual d = f(along_ways(p.x, 0), along_ways(p.y, 1));
    EXPECT_DOUBLE_EQ(d.value, f(p.x, p.y));
    for (std::size_t k = 0; k < lane_count; ++k) {
      const auto on = [&](double t) { return f(p.x + t * ways[k][0], p.y + t * ways[k][1]); };
      const double wanted =
          (8.0 * (on(step) - on(-step)) - (on(2.0 * step) - on(-2.0 * step))) / (12.0 * step);
      EXPECT_NEAR(d.slope[k], wanted, difference_part * std::max(1.0, std::fabs(wanted))) << k;
    }
  }
}

// What Dual's own names are for doubles.
double sine(double x) { return std::sin(x); }
double cosine(double x) { return std::cos(x); }

TEST(Dual, SumsProductsAndQuotients) {
  expect_slopes("sum", [](auto x, auto y) { return x + y; });
  expect_slopes("difference", [](auto x, auto y) { return x - y; });
  expect_slopes("product", [](auto x, auto y) { return x * y; });
  expect_slopes("quotient", [](auto x, auto y) { return x / y; }, {{0.5, 1.25}, {-2.5, -1.5}});
  expect_slopes("negation", [](auto x, auto y) { return -x + (-y); });
  expect_slopes("with numbers", [](auto x, auto y) { return 2.5 - 3.0 * x + y * 0.25 - 1.0 / y; },
                {{0.5, 1.25}, {-2.5, -1.5}});
}

TEST(Dual, InPlace) {
  expect_slopes("+=", [](auto x, auto y) { return x += y; });
  expect_slopes("-=", [](auto x, auto y) { return x -= y; });
  expect_slopes("*=", [](auto x, auto y) { return x *= y; });
  // The same number on both sides.
  expect_slopes("+= itself", [](auto x, auto) { return x += x; });
  expect_slopes("*= itself", [](auto x, auto) { return x *= x; });
  // What comes back is the number itself.
  Dual d = along_ways(3.0, 0);
  Dual& same = d += 1.0;
  EXPECT_EQ(&same, &d);
  EXPECT_EQ(d.value, 4.0);
}

TEST(Dual, RootsSinesAndMagnitudes) {
  expect_slopes("root", [](auto x, auto) { return root(x); }, {{0.5, 0.0}, {9.0, 0.0}});
  expect_slopes("sine", [](auto x, auto) { return sine(x); });
  expect_slopes("cosine", [](auto x, auto) { return cosine(x); });
  expect_slopes("magnitude", [](auto x, auto) { return magnitude(x); });
}

// The point (x, y) turned once round, off the axes and on them; atan2 jumps across the negative
// x-axis and nowhere else, so there the slope is written out.
TEST(Dual, AngleOfInEveryQuadrant) {
  std::vector<Place> round;
  for (int degrees = -170; degrees <= 170; degrees += 10) {
    const double a = degrees * std::numbers::pi / 180.0;
    for (const double r : {1.0, 2.5, 40.0}) round.push_back({r * std::cos(a), r * std::sin(a)});
  }
  expect_slopes(
      "angle_of", [](auto x, auto y) { return angle_of(y, x); }, round);
  for (const Place p : {Place{-2.0, 0.0}, Place{2.0, 0.0}, Place{0.0, 2.0}, Place{0.0, -2.0}}) {
    const Dual d = angle_of(along_ways(p.y, 1), along_ways(p.x, 0));
    EXPECT_DOUBLE_EQ(d.value, std::atan2(p.y, p.x));
    for (std::size_t k = 0; k < lane_count; ++k)
      EXPECT_DOUBLE_EQ(d.slope[k], (p.x * ways[k][1] - p.y * ways[k][0]) / 4.0);
  }
}

// Slopes in closed form, through each argument alone.
TEST(Dual, SlopesWrittenOut) {
  for (const auto& p : places) {
    const Dual x = along_ways(p.x, 0), y = along_ways(p.y, 1);
    const auto expect = [&](const Dual& d, double by_x, double by_y) {
      EXPECT_NEAR(d.slope[0], by_x, few_ulp * std::fabs(by_x));
      EXPECT_NEAR(d.slope[1], by_y, few_ulp * std::fabs(by_y));
    };
    expect(x + y, 1.0, 1.0);
    expect(x - y, 1.0, -1.0);
    expect(x * y, p.y, p.x);
    expect(x / y, 1.0 / p.y, -p.x / (p.y * p.y));
    expect(-x, -1.0, 0.0);
    expect(sine(x), std::cos(p.x), 0.0);
    expect(cosine(y), 0.0, -std::sin(p.y));
    expect(root(x * x), p.x < 0.0 ? -1.0 : 1.0, 0.0);
  }
}

// A Dual made of a number alone, or of nothing, has no slope.
TEST(Dual, NumbersHaveNoSlope) {
  for (const Dual d : {Dual(), Dual(2.0), Dual(2.0) * Dual(3.0), root(Dual(2.0)), sine(Dual(2.0)),
                       angle_of(Dual(1.0), Dual(2.0)), Dual(1.0) / Dual(3.0)})
    for (std::size_t k = 0; k < lane_count; ++k) EXPECT_EQ(d.slope[k], 0.0);
  EXPECT_EQ(Dual().value, 0.0);
}

TEST(Dual, MagnitudeBelowZeroTurnsTheSlope) {
  const Dual below = magnitude(along_ways(-3.0, 0)), above = magnitude(along_ways(3.0, 0));
  EXPECT_EQ(below.value, 3.0);
  EXPECT_EQ(above.value, 3.0);
  for (std::size_t k = 0; k < lane_count; ++k) {
    EXPECT_EQ(below.slope[k], -ways[k][0]);
    EXPECT_EQ(above.slope[k], ways[k][0]);
  }
}

// Order and choice go by the value alone; what is chosen keeps its own slope.
TEST(Dual, ComparesAndSelectsByValue) {
  const Dual low = along_ways(-1.0, 0), high = along_ways(2.0, 1);
  EXPECT_TRUE(low < high);
  EXPECT_FALSE(high < low);
  EXPECT_TRUE(high > low);
  EXPECT_FALSE(low > high);
  EXPECT_FALSE(low < low);
  EXPECT_FALSE(low > low);
  const Dual yes = select(low < high, low, high), no = select(low > high, low, high);
  const Dual most = larger(low, high);
  EXPECT_EQ(yes.value, -1.0);
  EXPECT_EQ(no.value, 2.0);
  EXPECT_EQ(most.value, 2.0);
  for (std::size_t k = 0; k < lane_count; ++k) {
    EXPECT_EQ(yes.slope[k], ways[k][0]);
    EXPECT_EQ(no.slope[k], ways[k][1]);
    EXPECT_EQ(most.slope[k], ways[k][1]);
    EXPECT_EQ(lane(high, k), 2.0);
  }
}

// What the mechanism makes of them: lengths, unit vectors, turns.
TEST(Dual, Vectors) {
  const auto v = [](auto x, auto y) {
    using T = decltype(x);
    return Vec3<T>{x * y, y - T(0.5) * x, T(1.5) + x};
  };
  expect_slopes("length", [&](auto x, auto y) { return length(v(x, y)); });
  expect_slopes("unit", [&](auto x, auto y) { return unit(v(x, y)).y; });
  expect_slopes("cross", [&](auto x, auto y) {
    using T = decltype(x);
    return cross(v(x, y), Vec3<T>{T(1.0), x, y}).z;
  });
  expect_slopes("turned", [&](auto x, auto y) {
    using T = decltype(x);
    const T a = T(0.01) * x, b = T(0.01) * y;
    return (matrix(turned(Turn<T>{}, Vec3<T>{a, b, a * b})) * Vec3<T>{T(1.0), T(-2.0), T(30.0)}).x;
  });
}

}  // namespace
}  // namespace trammel
