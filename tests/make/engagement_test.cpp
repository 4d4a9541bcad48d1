#include "make/engagement.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "make/bought.h"
#include "make/reasons.h"

namespace trammel {
namespace {

constexpr double printed_mm = 0.0006;

// Common practice, as Machinery's Handbook is quoted.
TEST(Engagement, RuleOfThumb) {
  const auto t = thread("M10x1.25");
  EXPECT_EQ(engagement(t, BoltClass::class_8_8, material("S275")).rule_mm, 10.0);
  EXPECT_EQ(engagement(t, BoltClass::class_8_8, material("cast iron")).rule_mm, 15.0);
  EXPECT_EQ(engagement(t, BoltClass::class_8_8, material("6082-T6")).rule_mm, 20.0);
}

// FED-STD-H28/2B as in Machinery's Handbook 24th ed., thread stress area, formula 1, written with
// n = 1/P as printed there; M10×1.5 at 6g/6H (ISO 965-1, from memory) gives 7.447 mm.
TEST(Engagement, EqualStrength) {
  const auto m10 = thread("M10");
  Material as_strong = material("S275");
  as_strong.tensile_mpa = 800;  // as the bolt of class 8.8
  const auto e = engagement(m10, BoltClass::class_8_8, as_strong);
  EXPECT_NEAR(e.equal_strength_mm, 7.447, printed_mm);
  EXPECT_NEAR(e.j, 155.75 / 214.80, 1e-4);
  for (const auto& t : usual_threads()) {
    const auto l = limits_of_size(t);
    const double n = 1.0 / t.pitch_mm;
    const double le = 2 * stress_area_mm2(t) /
                      (std::numbers::pi * l.nut_minor_max_mm *
                       (0.5 + 0.57735 * n * (l.pitch_min_mm - l.nut_minor_max_mm)));
    const auto strong_hole = engagement(t, l, as_strong.tensile_mpa, as_strong);
    EXPECT_NEAR(strong_hole.equal_strength_mm / le, 1, 1e-5) << t.name;
  }
}

TEST(Engagement, AWeakHoleNeedsJTimesAsMuch) {
  const auto t = thread("M10x1.25");
  const auto strong = engagement(t, BoltClass::class_8_8, material("4130"));
  const auto weak = engagement(t, BoltClass::class_10_9, material("6082-T6"));
  ASSERT_GT(weak.j, 1.0);
  const auto at_limit = engagement(t, limits_of_size(t), 1.0, material("6082-T6"));
  EXPECT_NEAR(weak.equal_strength_mm, weak.j * at_limit.equal_strength_mm, 1e-9);
  EXPECT_LT(strong.equal_strength_mm, weak.equal_strength_mm);
}

// By its meaning: at the equal-strength length the thread holds what the bolt does.
TEST(Engagement, AtEqualStrengthTheStripLoadIsTheBoltsUltimate) {
  for (const auto& hole : materials())
    for (const auto c : {BoltClass::class_8_8, BoltClass::class_10_9}) {
      const auto t = thread("M12x1.25");
      const auto e = engagement(t, c, hole);
      const auto load = strip_load_n(t, c, hole, e.equal_strength_mm);
      ASSERT_TRUE(load.value);
      EXPECT_NEAR(*load.value / ultimate_load_n(t, c), 1.0, 1e-9) << hole.name;
    }
}

TEST(Engagement, RefusesNoLength) {
  const auto t = thread("M10");
  for (const double bad : {0.0, -3.0, std::nan("")}) {
    const auto load = strip_load_n(t, BoltClass::class_8_8, material("S275"), bad);
    EXPECT_FALSE(load.value);
    EXPECT_EQ(load.why.of, NoSense::Of::not_above_zero);
  }
}

TEST(Engagement, Words) {
  const auto iron = material("cast iron");
  const auto e = engagement(thread("M10x1.25"), BoltClass::class_10_9, iron);
  const auto text = words(e, iron, Units::metric);
  EXPECT_TRUE(text.starts_with("1.5 d in EN-GJS-400-15 by rule of thumb: 15 mm; ")) << text;
  const auto inch = words(e, iron, Units::inch);
  EXPECT_TRUE(inch.starts_with("1.5 d in EN-GJS-400-15 by rule of thumb: 0.591 in; ")) << inch;
}

}  // namespace
}  // namespace trammel
