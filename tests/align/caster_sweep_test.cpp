// Caster by sweep and toe by string against closed forms and tables.

#include "align/caster_sweep.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "align/floor_angles.h"

namespace trammel::testing {
namespace {

constexpr double tabulated_deg = 6e-5;  // four digits printed, the fifth rounded
constexpr double exact_rad = 1e-12;     // of the arithmetic

// The table of camber at 20 degrees out and in: exact geometry (turning matrix and closed form
// agree to 1e-12), own derivation after the swing method of January, SAE 850219.
struct SwingRow {
  double caster_deg, inclination_deg, straight_deg;  // true
  double out_deg, in_deg;                            // camber at 20 degrees
};
constexpr SwingRow swing_rows[] = {
    {5, 0, 0, 1.7139, -1.7139},     {5, 12, 0, 2.4586, -0.9781},  {5, 12, -1, 1.450382, -1.974379},
    {3, 10, -0.5, 1.1376, -0.9168}, {8, 14, -2, 1.6117, -3.8670}, {10, 15, -3, 1.3648, -5.4759},
};

TEST(CasterSweep, GivesTheTabulatedCamberAndTheCasterBack) {
  for (const auto& row : swing_rows) {
    const SteeringAxis axis{row.caster_deg * degree_rad, row.inclination_deg * degree_rad};
    const Steered straight{row.straight_deg * degree_rad, 0.0};
    const double turn = 20.0 * degree_rad;
    const double out = camber_turned(axis, straight, turn);
    const double in = camber_turned(axis, straight, -turn);
    EXPECT_NEAR(out / degree_rad, row.out_deg, tabulated_deg) << row.caster_deg;
    EXPECT_NEAR(in / degree_rad, row.in_deg, tabulated_deg) << row.caster_deg;
    EXPECT_NEAR(caster_of({out, turn}, {in, -turn}, axis.inclination_rad), axis.caster_rad,
                exact_rad);
    const auto back = axis_of({out, turn}, {in, -turn}, straight);
    EXPECT_NEAR(back.caster_rad, axis.caster_rad, 1e-11);
    EXPECT_NEAR(back.inclination_rad, axis.inclination_rad, 1e-10);
  }
}

// The rule of the trade, difference over 2 sin 20°, is within a tenth of a degree of the exact
// value for the same rows; "times 1.5" is 2.6 % high (same source).
TEST(CasterSweep, TheRuleOfThumbIsNearAndNotTheSame) {
  for (const auto& row : swing_rows) {
    const double difference = row.out_deg - row.in_deg;
    const double rule = difference / (2.0 * std::sin(20.0 * degree_rad));
    EXPECT_NEAR(rule, row.caster_deg, 0.1);
    EXPECT_NEAR(1.5 * difference / rule, 1.026, 0.001);
  }
}

// Unequal angles: the rule is off by what the inclination adds, 0.105 degrees of caster for one
// degree of inequality (inclination 12°; arithmetic for small angles), the exact inverse is not.
TEST(CasterSweep, UnequalAnglesCostNothing) {
  const SteeringAxis axis{5.0 * degree_rad, 12.0 * degree_rad};
  const Steered straight{-1.0 * degree_rad, 0.0};
  const double out = camber_turned(axis, straight, 20.5 * degree_rad);
  const double in = camber_turned(axis, straight, -19.5 * degree_rad);
  EXPECT_NEAR(caster_of({out, 20.5 * degree_rad}, {in, -19.5 * degree_rad}, axis.inclination_rad),
              axis.caster_rad, exact_rad);
  const double as_if_equal =
      caster_of({out, 20.0 * degree_rad}, {in, -20.0 * degree_rad}, axis.inclination_rad);
  const double small_angles = axis.inclination_rad *
                              (std::cos(19.5 * degree_rad) - std::cos(20.5 * degree_rad)) /
                              (2.0 * std::sin(20.0 * degree_rad));
  EXPECT_NEAR(small_angles / degree_rad, 0.105, 0.0005);
  const double next_term = axis.inclination_rad * axis.inclination_rad / 3.0;  // of a tangent
  EXPECT_NEAR((as_if_equal - axis.caster_rad) / small_angles, 1.0, next_term);
}

RC_GTEST_PROP(CasterSweep, IsItsOwnInverse, ()) {
  const auto by = [](int from, int to) { return 0.01 * *rc::gen::inRange(100 * from, 100 * to); };
  const SteeringAxis axis{by(-4, 12) * degree_rad, by(0, 18) * degree_rad};
  const Steered straight{by(-5, 3) * degree_rad, by(-1, 1) * degree_rad};
  const double out = by(8, 30) * degree_rad, in = -by(8, 30) * degree_rad;
  const double camber_out = camber_turned(axis, straight, out);
  const double camber_in = camber_turned(axis, straight, in);
  RC_ASSERT(std::fabs(caster_of({camber_out, out}, {camber_in, in}, axis.inclination_rad) -
                      axis.caster_rad) < 1e-11);
  const auto back = axis_of({camber_out, out}, {camber_in, in}, straight);
  RC_ASSERT(std::fabs(back.caster_rad - axis.caster_rad) < 1e-9);
  RC_ASSERT(std::fabs(back.inclination_rad - axis.inclination_rad) < 1e-8);
}

// Toe of a wheel by the difference of its edges over the diameter: asin(difference / diameter)
// (arithmetic; degrees for 1, 2 and 3 mm on 381, 406.4, 431.8 and 457.2 mm).
TEST(ToeByString, TheTableOfMillimetres) {
  constexpr double diameters[] = {381.0, 406.4, 431.8, 457.2};
  constexpr double degrees[3][4] = {{0.15038, 0.14098, 0.13269, 0.12532},
                                    {0.30077, 0.28197, 0.26538, 0.25064},
                                    {0.45115, 0.42295, 0.39807, 0.37596}};
  for (int mm = 1; mm <= 3; ++mm)
    for (int i = 0; i < 4; ++i)
      EXPECT_NEAR(edges_for(degrees[mm - 1][i] * degree_rad, diameters[i]), mm, 1e-4);
}

}  // namespace
}  // namespace trammel::testing
