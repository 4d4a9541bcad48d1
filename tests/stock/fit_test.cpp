#include "stock/fit.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "base/why_not.h"

namespace trammel {
namespace {

constexpr double exact_mm = 1e-9;  // tables are whole microns

HoleShaftFit fit(std::string_view text) {
  const auto f = read_fit(text);
  if (const auto* bad = std::get_if<NotAQuantity>(&f)) {
    ADD_FAILURE() << bad->why;
    return {};
  }
  return std::get<HoleShaftFit>(f);
}

// ISO 286-1 table 1, with the traps where the formula rounds to another value: IT6 3-6 is 8
// (formula 7), IT7 6-10 is 15 (14), IT7 10-18 is 18 (17).
TEST(IsoFit, ToleranceGrades) {
  struct Row {
    double size;
    int it[5];
  };
  for (const Row& r :
       {Row{5, {5, 8, 12, 18, 30}}, Row{8, {6, 9, 15, 22, 36}}, Row{15, {8, 11, 18, 27, 43}},
        Row{25, {9, 13, 21, 33, 52}}, Row{40, {11, 16, 25, 39, 62}}, Row{70, {13, 19, 30, 46, 74}},
        Row{100, {15, 22, 35, 54, 87}}})
    for (int g = 5; g <= 9; ++g)
      EXPECT_NEAR(*tolerance_mm(r.size, g).value, r.it[g - 5] * 1e-3, exact_mm)
          << r.size << " IT" << g;
}

// Over ... up to and including: 30 mm belongs to 18-30, 10 mm to 6-10 (ISO 286-1).
TEST(IsoFit, BandsHoldTheirUpperEnd) {
  EXPECT_NEAR(*tolerance_mm(30, 7).value, 0.021, exact_mm);
  EXPECT_NEAR(*tolerance_mm(30.001, 7).value, 0.025, exact_mm);
  EXPECT_NEAR(*tolerance_mm(10, 7).value, 0.015, exact_mm);
  EXPECT_NEAR(*tolerance_mm(3, 7).value, 0.010, exact_mm);
  EXPECT_NEAR(*tolerance_mm(120, 11).value, 0.220, exact_mm);
}

// The tolerance unit i = 0.45 D^(1/3) + 0.001 D (ISO 286-1:1988 annex A): no row may be further
// from 7, 10, 16, 25, 40, 64, 100 i than the standard's rounding goes.
TEST(IsoFit, TablesLieNearTheirFormulas) {
  const double ends[] = {3, 6, 10, 18, 30, 50, 80, 120};
  const double units[] = {7, 10, 16, 25, 40, 64, 100};
  for (int b = 0; b < 7; ++b) {
    const double d = std::sqrt(ends[b] * ends[b + 1]), size = ends[b + 1];
    const double i = 0.45 * std::cbrt(d) + 0.001 * d;
    for (int g = 5; g <= 11; ++g)
      EXPECT_NEAR(*tolerance_mm(size, g).value * 1e3, units[g - 5] * i,
                  std::max(0.9, 0.03 * units[g - 5] * i))
          << size << " IT" << g;
    // Shafts of ISO 286-1: e 11 D^0.41, f 5.5 D^0.41, g 2.5 D^0.34, n 5 D^0.34.
    const auto es = [&](char letter) {
      return -1e3 * deviations(size, {false, letter, 6}).value->upper_mm;
    };
    EXPECT_NEAR(es('e'), 11 * std::pow(d, 0.41), 1.2) << size;
    EXPECT_NEAR(es('f'), 5.5 * std::pow(d, 0.41), 1.2) << size;
    EXPECT_NEAR(es('g'), 2.5 * std::pow(d, 0.34), 0.9) << size;
    EXPECT_NEAR(1e3 * deviations(size, {false, 'n', 6}).value->lower_mm, 5 * std::pow(d, 0.34), 1.0)
        << size;
  }
}

// ISO 286-2 but where another source is named.
TEST(IsoFit, PublishedFits) {
  struct Row {
    double size;
    const char* fit;
    double hole_max, shaft_min, shaft_max, least, most;
    FitKind kind;
  };
  using enum FitKind;
  for (const Row& r : {
           Row{25, "H7/g6", 25.021, 24.980, 24.993, .007, .041, clearance},
           Row{25, "H7/h6", 25.021, 24.987, 25.000, 0, .034, clearance},
           Row{25, "H7/p6", 25.021, 25.022, 25.035, -.035, -.001, interference},  // from memory
           Row{40, "H7/g6", 40.025, 39.975, 39.991, .009, .050, clearance},       // from memory
           Row{40, "H7/h6", 40.025, 39.984, 40.000, 0, .041, clearance},          // from memory
           Row{40, "H7/p6", 40.025, 40.026, 40.042, -.042, -.001, interference},  // from memory
           Row{20, "H6/e7", 20.013, 19.939, 19.960, .040, .074, clearance},  // Bhandari, ex. 3.1
           Row{20, "H7/s6", 20.021, 20.035, 20.048, -.048, -.014, interference},  // ibid., ex. 3.2
           Row{25, "H7/k6", 25.021, 25.002, 25.015, -.015, .019, transition},     // from memory
           Row{25, "H7/n6", 25.021, 25.015, 25.028, -.028, .006, transition},     // from memory
           Row{60, "H7/s6", 60.030, 60.053, 60.072, -.072, -.023, interference},  // from memory
           Row{25, "H8/f7", 25.033, 24.959, 24.980, .020, .074, clearance},       // from memory
       }) {
    const auto f = limits(r.size, fit(r.fit));
    ASSERT_TRUE(f.value) << f.why;
    EXPECT_NEAR(r.size + f.value->bore.upper_mm, r.hole_max, exact_mm) << r.fit;
    EXPECT_NEAR(f.value->bore.lower_mm, 0, exact_mm) << r.fit;
    EXPECT_NEAR(r.size + f.value->spigot.lower_mm, r.shaft_min, exact_mm) << r.fit;
    EXPECT_NEAR(r.size + f.value->spigot.upper_mm, r.shaft_max, exact_mm) << r.fit;
    EXPECT_NEAR(f.value->clearance_min_mm, r.least, exact_mm) << r.fit;
    EXPECT_NEAR(f.value->clearance_max_mm, r.most, exact_mm) << r.fit;
    EXPECT_EQ(f.value->kind, r.kind) << r.fit;
  }
  const auto h7 = limits(25.0, "H7");
  ASSERT_TRUE(h7.value);
  EXPECT_NEAR(h7.value->least_mm, 25.000, exact_mm);
  EXPECT_NEAR(h7.value->most_mm, 25.021, exact_mm);
  // k of a coarse grade starts at zero (ISO 286-1).
  EXPECT_NEAR(limits(25.0, "k8").value->least_mm, 25.000, exact_mm);
}

TEST(IsoFit, Words) {
  EXPECT_EQ(limits(20, fit("H7/g6")).value->words,
            "20 H7/g6: bore +0 ... +0.021, spigot -0.020 ... -0.007, clearance 0.007 to 0.041 mm");
  EXPECT_EQ(limits(20, fit("H7/h6")).value->words,
            "20 H7/h6: bore +0 ... +0.021, spigot -0.013 ... 0, clearance 0 to 0.034 mm");
  EXPECT_EQ(
      limits(20, fit("H7/p6")).value->words,
      "20 H7/p6: bore +0 ... +0.021, spigot +0.022 ... +0.035, interference 0.001 to 0.035 mm");
  EXPECT_EQ(limits(20, fit("H7/k6")).value->words,
            "20 H7/k6: bore +0 ... +0.021, spigot +0.002 ... +0.015, between 0.015 mm interference "
            "and 0.019 mm clearance");
}

TEST(IsoFit, ReadsAndRefuses) {
  EXPECT_EQ(fit(" H7 / g6 "), fit("H7/g6"));
  EXPECT_EQ(name(fit("H11/h11").hole), "H11");
  EXPECT_EQ(name(fit("H11/h11").shaft), "h11");
  EXPECT_EQ(
      why_not(read_fit("g6/H7")),
      "'g6/H7' is no fit: the hole with its capital comes first, then the shaft, as in H7/g6");
  EXPECT_EQ(why_not(read_fit("N7/h6")),
            "'N7' is a hole that is not known here, expected H5 to H11");
  EXPECT_EQ(why_not(read_fit("H7/m6")),
            "'m6' is a shaft that is not known here, expected e, f, g, h, k, n, p or s");
  EXPECT_EQ(why_not(read_fit("H7/g4")),
            "'g4' has a grade that is not known here, expected g5 to g9");
  for (const auto* text : {"", "/", "H7", "H7/", "H/g", "H7/h12", "H6.5/g6", "H-7/g6", "7H/6g",
                           "H7/h6/h6", "h7/h6", "H7/H6", "H7/g1e9"})
    EXPECT_NE(why_not(read_fit(text)), "") << text;
}

TEST(IsoFit, RefusesSizesOutsideOfTheTables) {
  for (const double bad : {0.0, -20.0, 120.001, std::nan(""), HUGE_VAL}) {
    EXPECT_FALSE(limits(bad, fit("H7/g6")).value) << bad;
    EXPECT_FALSE(limits(bad, fit("H7/g6")).why.empty());
    EXPECT_FALSE(limits(bad, "H7").value) << bad;
    EXPECT_FALSE(tolerance_mm(bad, 7).value) << bad;
  }
  EXPECT_FALSE(tolerance_mm(20, 4).value);
  EXPECT_FALSE(tolerance_mm(20, 12).value);
  EXPECT_FALSE(limits(20.0, "X7").value);
}

}  // namespace
}  // namespace trammel
