// Corner weights against a rigid body on four springs, solved as such, and figures of the trade.

#include "settle/corner_weights.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "travel/springs.h"

namespace trammel::testing {
namespace {

// A rigid body on four springs at (x, y), each with its free place lifted by `lift`: heave, roll
// and pitch from three equations (Cramer), then what each load gained.
struct OnFour {
  FourWheels gained_n{};
  double heave_mm = 0.0, roll_rad = 0.0, pitch_rad = 0.0;
};
OnFour on_four(const std::array<WarpAxle, 2>& axle, const FourWheels& lift_mm) {
  const double base = 2400.0;
  double m[3][3]{}, b[3]{};
  const auto place = [&](std::size_t a, std::size_t s) {
    return std::array<double, 3>{1.0, (s == 0 ? 0.5 : -0.5) * axle[a].track_mm,
                                 a == 0 ? 0.45 * base : -0.55 * base};
  };
  for (std::size_t a = 0; a < 2; ++a)
    for (std::size_t s = 0; s < 2; ++s) {
      const auto p = place(a, s);
      for (int i = 0; i < 3; ++i) {
        for (int j = 0; j < 3; ++j) m[i][j] += axle[a].rate_n_per_mm[s] * p[i] * p[j];
        b[i] += axle[a].rate_n_per_mm[s] * p[i] * lift_mm[a][s];
      }
    }
  const auto det = [](const double(&q)[3][3]) {
    return q[0][0] * (q[1][1] * q[2][2] - q[1][2] * q[2][1]) -
           q[0][1] * (q[1][0] * q[2][2] - q[1][2] * q[2][0]) +
           q[0][2] * (q[1][0] * q[2][1] - q[1][1] * q[2][0]);
  };
  double x[3];
  for (int k = 0; k < 3; ++k) {
    double q[3][3];
    for (int i = 0; i < 3; ++i)
      for (int j = 0; j < 3; ++j) q[i][j] = j == k ? b[i] : m[i][j];
    x[k] = det(q) / det(m);
  }
  OnFour r;
  r.heave_mm = x[0];
  r.roll_rad = x[1];
  r.pitch_rad = x[2];
  for (std::size_t a = 0; a < 2; ++a)
    for (std::size_t s = 0; s < 2; ++s) {
      const auto p = place(a, s);
      r.gained_n[a][s] =
          axle[a].rate_n_per_mm[s] * (lift_mm[a][s] - x[0] * p[0] - x[1] * p[1] - x[2] * p[2]);
    }
  return r;
}

// Demo hatch, as weighed: 545 of 1060 kg.
const FourWheels hatch_kg{{{329, 315}, {200, 216}}};

TEST(CornerWeights, CrossOfTheDemoHatch) {
  EXPECT_NEAR(cross_weight(hatch_kg), 545.0 / 1060.0, 1e-15);
  EXPECT_NEAR(cross_weight({{{1, 2}, {3, 4}}}), 0.5, 1e-15);
}

// Plain arithmetic: ride rates of 24.9 and 23.1 N/mm with the tyre, on one track, give 1/Σ(1/k) =
// 5.99 N for each mm at the wheel.
TEST(CornerWeights, NewtonsPerMillimetreOfWheelHeight) {
  const WarpAxle front{1380, {24.9, 24.9}}, rear{1380, {23.1, 23.1}};
  EXPECT_NEAR(warp_couple_nmm_per_mm(front, rear, 1380) / 1380, 6.0, 0.05);
  EXPECT_NEAR(warp_couple_nmm_per_mm(front, rear, 1380) / 1380, 1.0 / (2.0 / 24.9 + 2.0 / 23.1),
              1e-12);
}

// A perch turn of 2 mm lifts the wheel's free place by 2 mm over the ratio (virtual work), so it
// moves 5.99 × 2 / 0.95 N: 1.29 kg. Six turns of one corner, or about one and a half of each of
// four, take 1.4 % off the cross weight.
TEST(CornerWeights, TurnsOfTheDemoHatch) {
  const std::array<WarpAxle, 2> axle{{{1380, {24.9, 24.9}}, {1380, {23.1, 23.1}}}};
  const auto p = perch_plan(hatch_kg, axle, {{{0.95, 0.95}, {0.95, 0.95}}});
  EXPECT_NEAR(2.0 * p.kg_per_mm, 2.0 / 0.95 / (2.0 / 24.9 + 2.0 / 23.1) / gravity_m_s2, 1e-9);
  constexpr double pitch = 2.0, about = 0.25;
  EXPECT_NEAR(p.perch_mm[0][0] / pitch, -1.5, about);  // left front and right rear down
  EXPECT_NEAR(p.perch_mm[0][1] / pitch, 1.5, about);
  EXPECT_NEAR(p.perch_mm[1][0] / pitch, 1.5, about);
  EXPECT_NEAR(p.perch_mm[1][1] / pitch, -1.5, about);
  EXPECT_NEAR(p.change_kg[0], -7.5, 1e-9);  // 545 to 530 over two corners
}

RC_GTEST_PROP(CornerWeights, ThePlanEvensTheCrossAndKeepsTheBodyWhereItIs, ()) {
  constexpr double rounding_mm = 1e-9, rounding_n = 1e-7;
  const auto drawn = [](int low, int high) { return 0.1 * *rc::gen::inRange(10 * low, 10 * high); };
  FourWheels kg{}, ratio{};
  std::array<WarpAxle, 2> axle;
  for (std::size_t a = 0; a < 2; ++a) {
    axle[a].track_mm = drawn(1200, 1600);
    for (std::size_t s = 0; s < 2; ++s) {
      kg[a][s] = drawn(150, 400);
      ratio[a][s] = 0.1 * drawn(5, 11);
      axle[a].rate_n_per_mm[s] = drawn(15, 60);
    }
  }
  const auto p = perch_plan(kg, axle, ratio);
  FourWheels lift{};
  for (std::size_t a = 0; a < 2; ++a)
    for (std::size_t s = 0; s < 2; ++s) lift[a][s] = p.perch_mm[a][s] / ratio[a][s];
  const auto body = on_four(axle, lift);
  RC_ASSERT(std::fabs(body.heave_mm) < rounding_mm);
  RC_ASSERT(std::fabs(body.roll_rad) < rounding_mm);
  RC_ASSERT(std::fabs(body.pitch_rad) < rounding_mm);
  FourWheels after = kg;
  for (std::size_t a = 0; a < 2; ++a)
    for (std::size_t s = 0; s < 2; ++s) after[a][s] += body.gained_n[a][s] / gravity_m_s2;
  RC_ASSERT(std::fabs(cross_weight(after) - 0.5) < 1e-12);
  RC_ASSERT(std::fabs(after[0][0] + after[0][1] - kg[0][0] - kg[0][1]) < rounding_n);
  // One perch alone.
  FourWheels one{};
  one[0][0] = 1.0 / ratio[0][0];
  RC_ASSERT(std::fabs(on_four(axle, one).gained_n[0][0] / gravity_m_s2 - p.kg_per_mm) < rounding_n);
}

}  // namespace
}  // namespace trammel::testing
