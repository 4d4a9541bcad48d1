// Conversions: 1 in = 25.4 mm and 1 lb = 0.45359237 kg exactly (international yard and pound,
// 1959), standard gravity 9.80665 m/s2 (3rd CGPM, 1901).

#include <gtest/gtest.h>

#include <numbers>

#include "base/quantity.h"
#include "base/why_not.h"

namespace trammel {
namespace {

double value_of(std::string_view text, Kind kind) {
  const auto q = read_quantity(text, kind);
  if (const auto* bad = std::get_if<NotAQuantity>(&q)) {
    ADD_FAILURE() << text << " " << bad->why;
    return -1e99;
  }
  return std::get<Quantity>(q).value;
}

TEST(Quantity, Lengths) {
  EXPECT_DOUBLE_EQ(value_of("12.5", Kind::length), 12.5);
  EXPECT_DOUBLE_EQ(value_of("12.5 mm", Kind::length), 12.5);
  EXPECT_DOUBLE_EQ(value_of("12.5mm", Kind::length), 12.5);
  EXPECT_DOUBLE_EQ(value_of("-3 mm", Kind::length), -3);
  EXPECT_DOUBLE_EQ(value_of("−3 mm", Kind::length), -3);  // the typographer's minus
  EXPECT_DOUBLE_EQ(value_of("1/2 in", Kind::length), 12.7);
  EXPECT_DOUBLE_EQ(value_of("2 3/8 in", Kind::length), 60.325);
  EXPECT_DOUBLE_EQ(value_of("2 3/8\"", Kind::length), 60.325);
  EXPECT_DOUBLE_EQ(value_of("-2 3/8 in", Kind::length), -60.325);
  EXPECT_DOUBLE_EQ(value_of("8-13/16 in", Kind::length),
                   223.8375);  // as drawings in inches have it
  EXPECT_FALSE(std::holds_alternative<Quantity>(read_quantity("8.5-1/2 in", Kind::length)));
  EXPECT_FALSE(std::holds_alternative<Quantity>(read_quantity("8-13 in", Kind::length)));
  EXPECT_DOUBLE_EQ(value_of("15 thou", Kind::length), 0.381);
  EXPECT_DOUBLE_EQ(value_of("1.5 cm", Kind::length), 15);
  EXPECT_DOUBLE_EQ(value_of("0.3 m", Kind::length), 300);
  EXPECT_DOUBLE_EQ(value_of("1e2 mm", Kind::length), 100);
}

TEST(Quantity, Angles) {
  EXPECT_NEAR(value_of("0.5", Kind::angle), 0.5 * degree_rad, 1e-15);
  EXPECT_NEAR(value_of("0°30'", Kind::angle), 0.5 * degree_rad, 1e-15);
  EXPECT_NEAR(value_of("-0°12'", Kind::angle), -0.2 * degree_rad, 1e-15);
  EXPECT_NEAR(value_of("1°15'36\"", Kind::angle), 1.26 * degree_rad, 1e-15);
  EXPECT_NEAR(value_of("30'", Kind::angle), 0.5 * degree_rad, 1e-15);
  EXPECT_NEAR(value_of("-1.5°", Kind::angle), -1.5 * degree_rad, 1e-15);
  EXPECT_NEAR(value_of("0.01 rad", Kind::angle), 0.01, 1e-15);
}

TEST(Quantity, EverythingElse) {
  EXPECT_DOUBLE_EQ(value_of("705 lb", Kind::mass), 705 * 0.45359237);
  EXPECT_NEAR(value_of("100 lb/in", Kind::spring_rate), 17.5127, 5e-5);  // 4.448222 N / 25.4 mm
  EXPECT_NEAR(value_of("1 kgf/mm", Kind::spring_rate), 9.80665, 1e-12);
  EXPECT_DOUBLE_EQ(value_of("45 N·m", Kind::torque), 45000);
  EXPECT_NEAR(value_of("33 lb·ft", Kind::torque), 33 * 1355.8179, 0.01);
  EXPECT_DOUBLE_EQ(value_of("45", Kind::torque), 45000);
  EXPECT_NEAR(value_of("240", Kind::roll_rate), 240e3 / degree_rad, 1e-6);
  EXPECT_DOUBLE_EQ(value_of("4 kN", Kind::force), 4000);
  EXPECT_DOUBLE_EQ(value_of("60 %", Kind::ratio), 0.6);
}

TEST(Quantity, Uncertainties) {
  for (const char* text : {"188 ± 2 mm", "188 mm ± 2 mm", "188±2", "188 +/- 2 mm", "188 ± 2"}) {
    const auto q = read_quantity(text, Kind::length);
    ASSERT_TRUE(std::holds_alternative<Quantity>(q)) << text;
    EXPECT_DOUBLE_EQ(std::get<Quantity>(q).value, 188) << text;
    EXPECT_DOUBLE_EQ(*std::get<Quantity>(q).sigma, 2) << text;
  }
  const auto inch = std::get<Quantity>(read_quantity("7 3/8 ± 1/16 in", Kind::length));
  EXPECT_DOUBLE_EQ(inch.value, 7.375 * 25.4);
  EXPECT_DOUBLE_EQ(*inch.sigma, 25.4 / 16);
  EXPECT_NE(why_not(read_quantity("188 ± 0 mm", Kind::length)), "");
  EXPECT_NE(why_not(read_quantity("188 ± -2 mm", Kind::length)), "");
  EXPECT_NE(why_not(read_quantity("188 ± mm", Kind::length)), "");
}

TEST(Quantity, SaysWhatIsWrongAndWhatWasExpected) {
  EXPECT_EQ(why_not(read_quantity("12 deg", Kind::length)),
            "'12 deg' is an angle, expected a length such as 12.5 mm or \"2 3/8 in\"");
  EXPECT_NE(why_not(read_quantity("12,5 mm", Kind::length)).find("comma"), std::string::npos);
  EXPECT_NE(why_not(read_quantity("0°75'", Kind::angle)).find("60 minutes"), std::string::npos);
  EXPECT_NE(why_not(read_quantity("12 parsec", Kind::length)).find("'parsec'"), std::string::npos);
  // Eighths are read in inches; the unit of either number serves both.
  EXPECT_EQ(why_not(read_quantity("11 1/8", Kind::length)),
            "'11 1/8' is a fraction without a unit (inches? then write \"11 1/8 in\"), expected a "
            "length such as 12.5 mm or \"2 3/8 in\"");
  for (const char* text : {"1/2", "-11 1/8", "8-13/16", "11 1/8 ± 1", "11 1/8 ± 1/16"})
    EXPECT_NE(why_not(read_quantity(text, Kind::length)).find("fraction without a unit"),
              std::string::npos)
        << text;
  EXPECT_EQ(why_not(read_quantity("11 1/8 ± 1/16 in", Kind::length)), "");
  EXPECT_EQ(why_not(read_quantity("283 ± 1/2", Kind::length)), "");
  EXPECT_EQ(why_not(read_quantity("1/2", Kind::ratio)), "");
  for (const char* text : {"", " ", "mm", "1/0 in", "nan", "inf", "1e999", "1 2", "--1", "12 mm mm",
                           "1.2.3", "± 2", "1/2/3 in", "0x10"})
    EXPECT_NE(why_not(read_quantity(text, Kind::length)), "") << text;
}

TEST(Quantity, ALengthIsMovedInItsOwnUnitAndKeepsItsDoubt) {
  const auto moved = [](const char* text, double by) {
    return moved_length(text, by).value_or("no length");
  };
  EXPECT_EQ(moved("188 ± 2 mm", 0.5), "188.5 ± 2 mm");
  EXPECT_EQ(moved("-128 +/- 1.5 mm", 0.5), "-127.5 +/- 1.5 mm");
  EXPECT_EQ(moved("178", -0.5), "177.5");
  EXPECT_EQ(moved("7 3/8 ± 1/16 in", 0.5 * 25.4), "7.875 ± 1/16 in");
  EXPECT_EQ(moved("1/2 in", -0.25 * 25.4), "0.25 in");
  EXPECT_EQ(moved("12.5 cm", 5.0), "13 cm");
  EXPECT_EQ(moved("0.5 mm", -0.5), "0 mm");
  EXPECT_EQ(moved("3 kg", 1.0), "no length");
  EXPECT_EQ(moved("", 1.0), "no length");
  // Beyond what a number can be there is none.
  EXPECT_EQ(moved("1e308", 1e308), "no length");
  EXPECT_EQ(moved("1e305 mm", 1e304), "no length");
}

TEST(Quantity, ShowsWhatMeansSomething) {
  EXPECT_EQ(shown(-0.04, Measure::length, Units::metric), "0.0");
  EXPECT_EQ(shown(-0.06, Measure::length, Units::metric), "-0.1");
  EXPECT_EQ(shown(25.4, Measure::length, Units::inch), "1.000");
  EXPECT_EQ(shown_signed(2.0, Measure::length, Units::metric), "+2.0");
  EXPECT_EQ(shown_signed(0.0, Measure::length, Units::metric), "0.0");
  EXPECT_EQ(shortest(0.1), "0.1");
}

}  // namespace
}  // namespace trammel
