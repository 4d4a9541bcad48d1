// The two motions of a body on its axles.

#include "settle/bounce.h"

#include <gtest/gtest.h>

#include <cmath>

#include "travel/springs.h"

namespace trammel::testing {
namespace {

constexpr double inch_mm = 25.4, pound_n = 4.4482216152605;
// The worked numbers are given to four figures and found with g = 32.2 ft/s² or nearly so.
constexpr double given_hz = 0.001, given_in = 0.2;

// Gillespie, Fundamentals of Vehicle Dynamics, ch. 5, example (its inputs from memory; the outcome
// worked out again with numpy for this project): ride rates of 127 and 92.3 lb/in a side, wheel
// loads 957 and 730 lb, wheelbase 100.6 in, dynamic index 1.1.
TEST(BounceAndPitch, TheTextbooksCar) {
  const auto lb_in = [](double k) { return k * pound_n / inch_mm; };
  const auto both = bounce_and_pitch({lb_in(127), lb_in(92.3)}, {957 * pound_n, 730 * pound_n},
                                     100.6 * inch_mm, 1.1);
  EXPECT_TRUE(both[0].pitch);
  EXPECT_NEAR(both[0].frequency_hz, 1.0685, given_hz);
  EXPECT_NEAR(both[0].still_mm / inch_mm, 11.69, given_in);
  EXPECT_FALSE(both[1].pitch);
  EXPECT_NEAR(both[1].frequency_hz, 1.1304, given_hz);
  EXPECT_NEAR(std::fabs(both[1].still_mm) / inch_mm, 233.9, 233.9 * 0.02);
}

// With a dynamic index of one each axle swings by itself, about the other (exact): the frequencies
// are the axles' own.
TEST(BounceAndPitch, WithAnIndexOfOneEachAxleSwingsAboutTheOther) {
  const double front_n = 3000, rear_n = 2000, base = 2400;
  const auto both = bounce_and_pitch({25, 30}, {front_n, rear_n}, base, 1.0);
  const auto own = [](double rate, double load) {
    return std::sqrt(rate * gravity_m_s2 * 1000.0 / load) / (2.0 * 3.14159265358979);
  };
  EXPECT_NEAR(both[0].frequency_hz, own(25, front_n), 1e-9);
  EXPECT_NEAR(both[1].frequency_hz, own(30, rear_n), 1e-9);
  // About the rear axle, and about the front one.
  EXPECT_NEAR(both[0].still_mm, -base * front_n / (front_n + rear_n), 1e-6);
  EXPECT_NEAR(both[1].still_mm, base * rear_n / (front_n + rear_n), 1e-6);
}

}  // namespace
}  // namespace trammel::testing
