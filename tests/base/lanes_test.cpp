// Lanes against the same operation on each double.

#include "base/lanes.h"

#include <gtest/gtest.h>

#include <numbers>
#include <random>

#include "base/linear.h"

namespace trammel {
namespace {

constexpr double last_digit = 1e-15;

TEST(Lanes, AngleOfAgreesWithTheLibraryAllRound) {
  std::mt19937_64 random(7);
  std::uniform_real_distribution<double> uniform(-10, 10);
  double worst = 0.0;
  for (int i = 0; i < 100000; ++i) {
    Lanes x, y;
    for (std::size_t k = 0; k < lane_count; ++k) {
      x.set(k, uniform(random));
      y.set(k, i % 3 == 0 ? 1e-4 * uniform(random) : uniform(random));
    }
    const Lanes a = angle_of(y, x);
    for (std::size_t k = 0; k < lane_count; ++k)
      worst = std::max(worst, std::fabs(a[k] - std::atan2(y[k], x[k])) /
                                  std::max(1e-3, std::fabs(std::atan2(y[k], x[k]))));
  }
  EXPECT_LT(worst, last_digit);
}

TEST(Lanes, AngleOfAtTheCorners) {
  const auto one = [](double y, double x) { return angle_of(Lanes(y), Lanes(x))[0]; };
  EXPECT_DOUBLE_EQ(one(0, 1), 0);
  EXPECT_DOUBLE_EQ(one(0, -1), std::numbers::pi);
  EXPECT_DOUBLE_EQ(one(1, 0), std::numbers::pi / 2);
  EXPECT_DOUBLE_EQ(one(-1, 0), -std::numbers::pi / 2);
  EXPECT_DOUBLE_EQ(one(0, 0), 0);
  EXPECT_DOUBLE_EQ(angle_of_sine(Lanes(0.5))[3], std::asin(0.5));
}

TEST(Lanes, SelectsByLane) {
  Lanes a;
  for (std::size_t k = 0; k < lane_count; ++k) a.set(k, static_cast<double>(k) - 1.5);
  const auto below = a < Lanes(0.0);
  EXPECT_TRUE(any(below));
  EXPECT_FALSE(all(below));
  const Lanes m = magnitude(a);
  for (std::size_t k = 0; k < lane_count; ++k) EXPECT_EQ(m[k], std::fabs(a[k]));
}

TEST(Linear, SolvesAndSolvesTransposed) {
  std::mt19937_64 random(11);
  std::uniform_real_distribution<double> uniform(-1, 1);
  for (int round = 0; round < 200; ++round) {
    Matrix6<double> a;
    Six<double> b;
    for (auto& row : a)
      for (auto& x : row) x = uniform(random);
    for (auto& x : b) x = uniform(random);
    if (round % 2 == 0) a[0] = {0, 0, 1, 0, 0, 0};  // the drive's row
    const auto f = factored(a, pivot_order(a));
    const auto x = solved(f, b);
    const auto y = solved_transposed(f, b);
    for (std::size_t i = 0; i < 6; ++i) {
      double ax = -b[i], ty = -b[i];
      for (std::size_t j = 0; j < 6; ++j) {
        ax += a[i][j] * x[j];
        ty += a[j][i] * y[j];
      }
      EXPECT_NEAR(ax, 0.0, 1e-10);
      EXPECT_NEAR(ty, 0.0, 1e-10);
    }
  }
}

TEST(Linear, ASingularMatrixShowsInItsPivots) {
  Matrix6<double> a{};
  for (std::size_t i = 0; i < 5; ++i) a[i][i] = 1.0;
  EXPECT_EQ(factored(a, pivot_order(a)).smallest_pivot, 0.0);
}

}  // namespace
}  // namespace trammel
