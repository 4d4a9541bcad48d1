#include "make/lathe.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "stock/fit.h"

namespace trammel {
namespace {

constexpr double exact_mm = 1e-12;
constexpr double second_order_mm = 1e-3;  // a disc's edge is not where its centre's shift says

// What a dial reads as a disc whose centre lies off turns under it: with jaw n under the dial, the
// height of the disc's edge there.
std::array<double, 4> readings(double radius_mm, double towards_1, double towards_2,
                               TouchedSurface surface) {
  std::array<double, 4> r{};
  for (std::size_t jaw = 0; jaw < 4; ++jaw) {
    const double angle = 0.5 * std::numbers::pi * static_cast<double>(jaw);
    const double along = towards_1 * std::cos(angle) + towards_2 * std::sin(angle);
    const double across = towards_2 * std::cos(angle) - towards_1 * std::sin(angle);
    const double edge = along + std::sqrt(radius_mm * radius_mm - across * across);
    // Outside, a higher edge pushes the plunger in; in a bore a farther wall lets it out.
    r[jaw] = surface == TouchedSurface::outside ? edge - radius_mm : radius_mm - edge;
  }
  return r;
}

// The swing is twice the offset: 0.05 gives 0.10 (common practice).
TEST(Lathe, SwingAndOffset) {
  EXPECT_NEAR(tir_from_offset_mm(0.05), 0.10, exact_mm);
  EXPECT_NEAR(offset_from_tir_mm(6.0), 3.0, exact_mm);
  EXPECT_NEAR(offset_from_tir_mm(tir_from_offset_mm(-0.7)), 0.7, exact_mm);
}

TEST(Lathe, FindsWhereTheWorkSitsAndWhichJawsToMove) {
  for (const auto surface : {TouchedSurface::outside, TouchedSurface::bore}) {
    const auto c = four_jaw(readings(30, 0.15, -0.08, surface), surface);
    ASSERT_TRUE(c.value) << c.why;
    EXPECT_NEAR(c.value->towards_1_mm, 0.15, second_order_mm);
    EXPECT_NEAR(c.value->towards_2_mm, -0.08, second_order_mm);
    EXPECT_NEAR(c.value->tir_mm, 2 * std::hypot(0.15, 0.08), second_order_mm);
    EXPECT_LT(c.value->out_of_round_mm, second_order_mm);
    ASSERT_EQ(c.value->moves.size(), 2u);
    // It sits towards jaw 1: back towards 3, which is slackened first.
    EXPECT_EQ(c.value->moves[0].slacken, 3);
    EXPECT_EQ(c.value->moves[0].tighten, 1);
    EXPECT_NEAR(c.value->moves[0].by_mm, 0.15, second_order_mm);
    EXPECT_EQ(c.value->moves[1].slacken, 2);
    EXPECT_EQ(c.value->moves[1].tighten, 4);
    EXPECT_NEAR(c.value->moves[1].by_mm, 0.08, second_order_mm);
  }
}

TEST(Lathe, MovesBringItWhereItIsWanted) {
  for (const double wanted : {0.0, 3.0, -1.5}) {
    const auto c = four_jaw(readings(30, 0.4, 0.3, TouchedSurface::outside),
                            TouchedSurface::outside, wanted, 0.0);
    ASSERT_TRUE(c.value);
    double at_1 = 0.4, at_2 = 0.3;
    for (const auto& m : c.value->moves) {
      // The work goes towards the jaw that is slackened.
      if (m.slacken == 1) at_1 += m.by_mm;
      if (m.slacken == 3) at_1 -= m.by_mm;
      if (m.slacken == 2) at_2 += m.by_mm;
      if (m.slacken == 4) at_2 -= m.by_mm;
    }
    EXPECT_NEAR(at_1, wanted, second_order_mm);
    EXPECT_NEAR(at_2, 0, second_order_mm);
  }
}

TEST(Lathe, OnePairAtATime) {
  const auto m = jaw_pair(2, 0.30, 0.10, TouchedSurface::outside);
  ASSERT_TRUE(m.value);
  EXPECT_EQ(m.value->slacken, 4);
  EXPECT_EQ(m.value->tighten, 2);
  EXPECT_NEAR(m.value->by_mm, 0.10, exact_mm);  // half of what the two readings differ by
  EXPECT_EQ(jaw_pair(2, 0.30, 0.10, TouchedSurface::bore).value->slacken, 2);
  EXPECT_FALSE(jaw_pair(3, 0.3, 0.1, TouchedSurface::outside).value);
  EXPECT_FALSE(jaw_pair(1, std::nan(""), 0.1, TouchedSurface::outside).value);
}

TEST(Lathe, LeavesWhatIsGood) {
  // A swing of 0.04 is what the register that it serves may be off by in its fit: 20 H7/g6 has a
  // largest clearance of 0.041 (ISO 286-2), and the dial shows whole hundredths.
  const auto fit = limits(20.0, HoleShaftFit{{true, 'h', 7}, {false, 'g', 6}});
  ASSERT_TRUE(fit.value) << fit.why;
  EXPECT_NEAR(fit.value->clearance_max_mm, 0.041, exact_mm);
  const auto c = four_jaw({0.02, 0, -0.02, 0}, TouchedSurface::outside);
  EXPECT_TRUE(c.value->moves.empty()) << c.value->words;
  EXPECT_NEAR(c.value->tir_mm, 0.04, exact_mm);
  EXPECT_EQ(four_jaw({0.03, 0, -0.03, 0}, TouchedSurface::outside).value->moves.size(), 1u);
}

TEST(Lathe, OutOfRoundIsNotAnOffset) {
  const auto c = four_jaw({0.1, 0, 0.1, 0}, TouchedSurface::outside);
  EXPECT_TRUE(c.value->moves.empty());
  EXPECT_NEAR(c.value->out_of_round_mm, 0.1, exact_mm);
  EXPECT_NE(c.value->words.find("not round"), std::string::npos) << c.value->words;
  // A round disc far off centre is not called out of round.
  const auto far_off =
      four_jaw(readings(30, 3, 0, TouchedSurface::outside), TouchedSurface::outside);
  EXPECT_EQ(far_off.value->words.find("not round"), std::string::npos) << far_off.value->words;
  EXPECT_FALSE(four_jaw({0, 0, 0, std::nan("")}, TouchedSurface::outside).value);
  EXPECT_FALSE(four_jaw({0, 0, 0, 0}, TouchedSurface::outside, HUGE_VAL).value);
  EXPECT_FALSE(four_jaw({0, 0, 0, 0}, TouchedSurface::outside, 0, -0.1).value);
}

// 3 mm off centre: a swing of 6.0, a dial of 10 mm or more (common practice).
TEST(Lathe, Eccentric) {
  const auto e = eccentric_set_up(3.0);
  ASSERT_TRUE(e.value);
  EXPECT_NEAR(e.value->tir_mm, 6.0, exact_mm);
  EXPECT_NEAR(e.value->tir_tolerance_mm, 0.10, exact_mm);
  EXPECT_EQ(e.value->dial_range_mm, 10);
  EXPECT_EQ(eccentric_set_up(0.5).value->dial_range_mm, 3);
  EXPECT_EQ(eccentric_set_up(24).value->dial_range_mm, 50);
  EXPECT_FALSE(eccentric_set_up(25).value);
  EXPECT_NE(eccentric_set_up(25).why.find("gauge block of 50.00 mm"), std::string::npos);
  EXPECT_FALSE(eccentric_set_up(0).value);
  EXPECT_FALSE(eccentric_set_up(-3).value);
  EXPECT_FALSE(eccentric_set_up(3, 0).value);
  EXPECT_FALSE(eccentric_set_up(3, 3).value);
  EXPECT_FALSE(eccentric_set_up(std::nan("")).value);
}

}  // namespace
}  // namespace trammel
