// Rods that are pushed, against published figures.
#include "make/column.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace trammel::testing {
namespace {

Material metal(double youngs_modulus_mpa, double yield_mpa) {
  Material m;
  m.name = "a metal of the book's";
  m.youngs_modulus_mpa = youngs_modulus_mpa;
  m.yield_mpa = yield_mpa;
  return m;
}

// R. C. Hibbeler, Mechanics of Materials, example 13.1: an A-36 tube 7.2 m long, 75 mm outer and
// 70 mm inner radius, pinned at both ends, E = 200 GPa: 228.2 kN, at 100 MPa (of 250).
TEST(Column, TubeOfTheHandbook) {
  const auto s = column_strength({150.0, 5.0, 7200.0, metal(200e3, 250.0)});
  ASSERT_TRUE(s.value) << s.why.what;
  EXPECT_TRUE(s.value->slender);
  EXPECT_NEAR(s.value->buckles_n, 228.2e3, 0.05e3);               // as printed
  EXPECT_NEAR(s.value->buckles_n / s.value->area_mm2, 100, 0.5);  // as printed
}

// The parabola takes half the yield point where Euler's curve does, with the same slope: the stress
// falls by yield / slenderness there (its derivation; Shigley, Mechanical Engineering Design).
TEST(Column, TheTwoCurvesMeet) {
  const auto m = metal(205e3, 355.0);
  const double meet = std::numbers::pi * std::sqrt(2.0 * m.youngs_modulus_mpa / m.yield_mpa);
  const auto stress = [&](double slenderness) {
    const auto s = column_strength({20.0, 10.0, 5.0 * slenderness, m});  // solid: radius d/4
    EXPECT_NEAR(s.value->slenderness, slenderness, 1e-9);
    EXPECT_EQ(s.value->slender, slenderness >= meet);
    return s.value->buckles_n / s.value->area_mm2;
  };
  constexpr double hair = 1e-4;
  EXPECT_NEAR(stress(meet + hair), 0.5 * m.yield_mpa, 1e-3);
  EXPECT_NEAR(stress(meet - hair), 0.5 * m.yield_mpa, 1e-3);
  const double slope = m.yield_mpa / meet * hair;
  EXPECT_NEAR(stress(meet - hair) - stress(meet + hair), 2.0 * slope, 1e-2 * slope);
  EXPECT_LT(stress(1.0), m.yield_mpa);
  EXPECT_NEAR(stress(1.0), m.yield_mpa, 1e-3 * m.yield_mpa);  // a washer yields
}

TEST(Column, SaysWhichSizeMakesNoSense) {
  const auto m = metal(205e3, 355.0);
  EXPECT_NE(column_strength({0.0, 2.0, 300.0, m}).why.what.find("outside"), std::string::npos);
  EXPECT_NE(column_strength({20.0, -1.0, 300.0, m}).why.what.find("wall"), std::string::npos);
  EXPECT_NE(column_strength({20.0, 2.0, std::nan(""), m}).why.what.find("length"),
            std::string::npos);
}

}  // namespace
}  // namespace trammel::testing
