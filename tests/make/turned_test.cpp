// Discs and sleeves against handbooks and plain arithmetic.

#include "make/turned.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "make/bought.h"
#include "make/reasons.h"

namespace trammel::testing {
namespace {

const Check& check_of(const TurnedJudged& t, const std::string& what) {
  for (const auto& c : t.checks)
    if (what_gives(c).find(what) != std::string::npos) return c;
  ADD_FAILURE() << "no check of " << what;
  static const Check none{};
  return none;
}

Made sleeve(double outside) {
  Made m;
  m.kind = MadeKind::sleeve;
  m.material = material("C45");
  m.outside_mm = outside;
  m.bolt = {thread("M12x1.75"), BoltClass::class_10_9};
  return m;
}
Made disc() {
  Made m;
  m.kind = MadeKind::disc;
  m.material = material("C45");
  m.outside_mm = 74;
  m.bore_mm = 30;
  m.holes = HoleCircle{3, 56};
  m.bolt = {thread("M10x1.25"), BoltClass::class_10_9};
  return m;
}

// M12x1.75 of 10.9: 52.5 kN, 68.2 kN where the torque gave 30 % more, on a ring of 24 outside and
// 12.1 inside, 337.4 mm²: 202 MPa of the 305 of C45 (plain arithmetic).
TEST(Turned, ASleeveIsPressedByThePreloadThatATorqueMayGive) {
  const auto t = judged_turned(sleeve(24));
  const auto& face = check_of(t, "pressed");
  EXPECT_NEAR(face.value,
              1.3 * 0.75 * 84.267 * 830 / (std::numbers::pi / 4 * (24 * 24 - 12.1 * 12.1)), 0.1);
  EXPECT_EQ(face.limit, 305.0);
  EXPECT_LE(face.used, 1.0);
  EXPECT_TRUE(t.unjudged.empty());
  // A washer as wide as two bolts presses no more than its own ring.
  EXPECT_EQ(check_of(judged_turned(sleeve(60)), "pressed").value, face.value);
  // 17 outside: 2.45 mm of wall where three are wanted, and more than its steel bears.
  const auto thin = judged_turned(sleeve(17));
  EXPECT_GT(check_of(thin, "wall").used, 1.0);
  EXPECT_NEAR(check_of(thin, "wall").value, 2.45, 1e-9);
  EXPECT_EQ(check_of(thin, "wall").limit, 3.0);
  EXPECT_GT(check_of(thin, "pressed").used, 1.0);
  // Aluminium is softer.
  auto soft = sleeve(20);
  soft.material = material("6082-T6");
  EXPECT_GT(check_of(judged_turned(soft), "pressed").used, 1.0);
}

// The ring of a whole washer where nothing is cut off; where disc and bore cut it the segments are
// missing (r² acos(h/r) - h √(r² - h²) of straight edges; those of the disc are nearly straight).
TEST(Turned, TheFaceRoundABoltHole) {
  auto m = disc();
  m.outside_mm = 400;
  m.holes = HoleCircle{3, 200};
  const double whole = std::numbers::pi / 4 * (20 * 20 - 10.2 * 10.2);
  EXPECT_NEAR(face_round_hole_mm2(m, 10.2, 10), whole, 1e-3 * whole);
  m.outside_mm = 218;  // 9 mm from the hole's centre
  const auto segment = [](double r, double h) {
    return r * r * std::acos(h / r) - h * std::sqrt(r * r - h * h);
  };
  EXPECT_NEAR(face_round_hole_mm2(m, 10.2, 10), whole - segment(10, 9), 1.0);
  m.outside_mm = 400;
  m.bore_mm = 184;  // 8 mm from it
  EXPECT_NEAR(face_round_hole_mm2(m, 10.2, 10), whole - segment(10, 8), 1.0);
}

TEST(Turned, ADiscIsJudgedByItsFaceAndItsWalls) {
  const auto t = judged_turned(disc());
  EXPECT_LE(t.checks.front().used, 1.0) << what_gives(t.checks.front());
  EXPECT_NEAR(check_of(t, "outside a bolt hole").value, 37 - 28 - 5.1, 1e-9);
  EXPECT_NEAR(check_of(t, "inside a bolt hole").value, 28 - 5.1 - 15, 1e-9);
  auto narrow = disc();
  narrow.outside_mm = 70;
  EXPECT_GT(check_of(judged_turned(narrow), "outside a bolt hole").used, 1.0);
  // Without its holes nobody knows what presses it: said with the key.
  auto blank = disc();
  blank.holes.reset();
  blank.bore_mm.reset();
  const auto unknown = judged_turned(blank);
  ASSERT_EQ(unknown.unjudged.size(), 1U);
  EXPECT_EQ(unknown.unjudged[0].of, NotJudged::Of::bolts_pressing);
}

// EN 10025-2: S275 over 16 up to 40 mm has 265 MPa, S355 345. MIL-HDBK-5J (from memory): 4130 above
// 4.76 mm 483 and 621 MPa.
TEST(Materials, AreWeakerWhereTheyAreThick) {
  EXPECT_EQ(in_section(material("S275"), 16).yield_mpa, 275);
  EXPECT_EQ(in_section(material("S275"), 20).yield_mpa, 265);
  EXPECT_EQ(in_section(material("S355"), 20).yield_mpa, 345);
  EXPECT_EQ(in_section(material("4130"), 4.76).yield_mpa, 517);
  EXPECT_EQ(in_section(material("4130"), 5).yield_mpa, 483);
  EXPECT_EQ(in_section(material("4130"), 5).tensile_mpa, 621);
}

}  // namespace
}  // namespace trammel::testing
