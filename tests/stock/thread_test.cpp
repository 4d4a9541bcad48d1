#include "stock/thread.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "base/why_not.h"
#include "stock/thread_read.h"

namespace trammel {
namespace {

using testing::thread;
using testing::three_figures;

constexpr double printed_mm = 0.0006;   // tables print three decimals
constexpr double printed_in = 0.00006;  // tables print four
constexpr double same = 1e-9;           // the same sum done otherwise
constexpr double inch_mm = 25.4;

TEST(Thread, ReadsWhatPeopleWrite) {
  for (const auto* text : {"M10x1.25", "M10 × 1.25", "m10X1.25", " M10*1.25 ", "M 10 x 1.25"}) {
    EXPECT_EQ(thread(text).name, "M10×1.25") << text;
    EXPECT_EQ(thread(text).pitch_mm, 1.25) << text;
    EXPECT_FALSE(thread(text).inch);
  }
  EXPECT_EQ(thread("M10").name,
            "M10×1.5");  // a metric thread without its pitch is coarse: ISO 965-1
  EXPECT_EQ(thread("M12").pitch_mm, 1.75);
  EXPECT_EQ(thread("M14x1.25").pitch_mm, 1.25);  // ISO 261, though not among those of ISO 262
  for (const auto* text : {"3/8-24 UNF", "3/8-24", "3/8 24 unf", "3/8\"-24", "3/8 in - 24 UNF",
                           "3/8 UNF", "0.375-24", "3/8x24", "3/8–24 UNF"}) {
    EXPECT_EQ(thread(text).name, "3/8-24 UNF") << text;
    EXPECT_DOUBLE_EQ(thread(text).diameter_mm, 0.375 * inch_mm);
    EXPECT_DOUBLE_EQ(thread(text).pitch_mm, inch_mm / 24);
    EXPECT_TRUE(thread(text).inch);
  }
  EXPECT_EQ(thread("7/16-20 unf").name, "7/16-20 UNF");
  EXPECT_EQ(thread("1/2-13").name, "1/2-13 UNC");
}

TEST(Thread, NamesOfAllUsualThreadsReadBack) {
  const auto all = usual_threads();
  EXPECT_EQ(all.size(), 36u);  // ISO 262: 20 from M5 to M20; eight inch sizes, two series
  for (const auto& t : all) EXPECT_EQ(thread(t.name), t) << t.name;
}

TEST(Thread, RefusesWithWhatIsThereInstead) {
  EXPECT_EQ(why_not(read_thread("M12x1.3")),
            "'M12x1.3' is no standard thread: M12 has a pitch of 1.25, 1.5 or 1.75");
  EXPECT_EQ(why_not(read_thread("M6x1.25")),
            "'M6x1.25' is no standard thread: M6 has a pitch of 1");
  EXPECT_EQ(
      why_not(read_thread("M11")),
      "'M11' has a diameter that is not known here: M5, M6, M8, M10, M12, M14, M16, M18 or M20");
  EXPECT_EQ(why_not(read_thread("M10x1,25")),
            "'M10x1,25' has a comma: write decimals with a point");
  EXPECT_EQ(why_not(read_thread("1/2")),
            "'1/2' lacks its threads per inch: 1/2-20 UNF or 1/2-13 UNC");
  EXPECT_EQ(why_not(read_thread("1/2-18")),
            "'1/2-18' is no standard thread: 1/2-20 UNF or 1/2-13 UNC");
  EXPECT_EQ(why_not(read_thread("3/8-24 UNC")),
            "'3/8-24 UNC' names the other series: 3/8-24 UNF or 3/8-16 UNC");
  for (const auto* text :
       {"", "M", "Mx1", "10x1.25", "M10x", "M10x1.25x60", "M-10", "M10x-1", "3/0-24", "1/3-20",
        "bolt", "M1e1", "M10 1.25", "M10x1.2.5", "/8-24", "M0x0"})
    EXPECT_NE(why_not(read_thread(text)), "") << text;
}

// ISO 724 (d2, D1) and ISO 68-1 (d3); stress areas ISO 898-1 tables 4 to 7.
TEST(Thread, MetricBasicSizesAndStressAreas) {
  struct Row {
    const char* name;
    double d2, d1, d3, exact, tabulated;
  };
  for (const Row& r :
       {Row{"M6", 5.350, 4.917, 4.773, 20.123, 20.1}, Row{"M8", 7.188, 6.647, 6.466, 36.609, 36.6},
        Row{"M8x1", 7.350, 6.917, 6.773, 39.167, 39.2},
        Row{"M10", 9.026, 8.376, 8.160, 57.990, 58.0},
        Row{"M10x1.25", 9.188, 8.647, 8.466, 61.199, 61.2},
        Row{"M10x1", 9.350, 8.917, 8.773, 64.494, 64.5},
        Row{"M12", 10.863, 10.106, 9.853, 84.267, 84.3},
        Row{"M12x1.5", 11.026, 10.376, 10.160, 88.126, 88.1},
        Row{"M12x1.25", 11.188, 10.647, 10.466, 92.072, 92.1},
        Row{"M14", 12.701, 11.835, 11.546, 115.439, 115},
        Row{"M14x1.5", 13.026, 12.376, 12.160, 124.546, 125},
        Row{"M16", 14.701, 13.835, 13.546, 156.668, 157},
        Row{"M16x1.5", 15.026, 14.376, 14.160, 167.248, 167}}) {
    const auto t = thread(r.name);
    const auto b = basic_diameters(t);
    EXPECT_NEAR(b.pitch_mm, r.d2, printed_mm) << r.name;
    EXPECT_NEAR(b.minor_mm, r.d1, printed_mm) << r.name;
    EXPECT_NEAR(b.root_mm, r.d3, printed_mm) << r.name;
    EXPECT_NEAR(stress_area_mm2(t), r.exact, printed_mm) << r.name;
    EXPECT_NEAR(stress_area_mm2(t), r.tabulated, three_figures * r.tabulated) << r.name;
  }
}

// ASME B1.1, as in Machinery's Handbook. The table prints 0.1599 for 1/2-20, the formula gives
// 0.15995: a ten thousandth is allowed.
TEST(Thread, UnifiedBasicSizesAndStressAreas) {
  struct Row {
    const char* name;
    double d2_in, d1_in, area_in2;
  };
  for (const Row& r :
       {Row{"3/8-24", 0.3479, 0.3299, 0.0878}, Row{"7/16-20", 0.4050, 0.3834, 0.1187},
        Row{"1/2-20", 0.4675, 0.4459, 0.1599}, Row{"9/16-18", 0.5264, 0.5024, 0.203},
        Row{"5/8-18", 0.5889, 0.5649, 0.256}, Row{"3/8-16", 0.3344, 0.3073, 0.0775}}) {
    const auto t = thread(r.name);
    const auto b = basic_diameters(t);
    EXPECT_NEAR(b.pitch_mm / inch_mm, r.d2_in, printed_in) << r.name;
    EXPECT_NEAR(b.minor_mm / inch_mm, r.d1_in, printed_in) << r.name;
    EXPECT_NEAR(stress_area_mm2(t) / (inch_mm * inch_mm), r.area_in2, 1e-4) << r.name;
  }
}

// ISO 965-2 prints these limits (from memory).
TEST(Thread, MetricLimits) {
  struct Row {
    const char* name;
    double d_max, d_min, d2_max, d2_min, nut_d2_max, nut_d1_max;
  };
  for (const Row& r : {Row{"M6", 5.974, 5.794, 5.324, 5.212, 5.500, 5.153},
                       Row{"M8", 7.972, 7.760, 7.160, 7.042, 7.348, 6.912},
                       Row{"M10", 9.968, 9.732, 8.994, 8.862, 9.206, 8.676},
                       Row{"M10x1.25", 9.972, 9.760, 9.160, 9.042, 9.348, 8.912},
                       Row{"M12", 11.966, 11.701, 10.829, 10.679, 11.063, 10.441},
                       Row{"M12x1.25", 11.972, 11.760, 11.160, 11.028, 11.368, 10.912},
                       Row{"M12x1.5", 11.968, 11.732, 10.994, 10.854, 11.216, 10.676},
                       Row{"M16", 15.962, 15.682, 14.663, 14.503, 14.913, 14.210},
                       Row{"M20", 19.958, 19.623, 18.334, 18.164, 18.600, 17.744},
                       Row{"M5", 4.976, 4.826, 4.456, 4.361, 4.605, 4.334}}) {
    const auto l = limits_of_size(thread(r.name));
    EXPECT_NEAR(l.major_max_mm, r.d_max, printed_mm) << r.name;
    EXPECT_NEAR(l.major_min_mm, r.d_min, printed_mm) << r.name;
    EXPECT_NEAR(l.pitch_max_mm, r.d2_max, printed_mm) << r.name;
    EXPECT_NEAR(l.pitch_min_mm, r.d2_min, printed_mm) << r.name;
    EXPECT_NEAR(l.nut_pitch_max_mm, r.nut_d2_max, printed_mm) << r.name;
    EXPECT_NEAR(l.nut_minor_max_mm, r.nut_d1_max, printed_mm) << r.name;
  }
}

// The tolerances of ISO 965-1 come from formulas, rounded to preferred numbers: no row of ours may
// be further from them than such a rounding.
TEST(Thread, MetricTolerancesLieNearTheirFormulas) {
  // Steps of the R 40 series are 6 %; half a step, and the standard sometimes takes the next one.
  constexpr double rounded_by = 0.045;
  constexpr double rounded_twice = 0.06;  // the nut's is 1.32 times the bolt's rounded one
  const struct { double over, to; } ranges[] = {{2.8, 5.6}, {5.6, 11.2}, {11.2, 22.4}};
  for (const auto& t : usual_threads()) {
    if (t.inch) continue;
    const auto l = limits_of_size(t);
    const double p = t.pitch_mm;
    double d = 0.0;
    for (const auto& r : ranges)
      if (t.diameter_mm > r.over && t.diameter_mm <= r.to) d = std::sqrt(r.over * r.to);
    const double td = 180 * std::cbrt(p * p) - 3.15 / std::sqrt(p);
    const double td1 = p < 1 ? 433 * p - 190 * std::pow(p, 1.22) : 230 * std::pow(p, 0.7);
    const double td2 = 90 * std::pow(p, 0.4) * std::pow(d, 0.1);
    EXPECT_NEAR(1e3 * (t.diameter_mm - l.major_max_mm), 15 + 11 * p, 1.5) << t.name;
    EXPECT_NEAR(1e3 * (l.major_max_mm - l.major_min_mm) / td, 1, rounded_by) << t.name;
    EXPECT_NEAR(1e3 * (l.nut_minor_max_mm - l.nut_minor_min_mm) / td1, 1, rounded_by) << t.name;
    EXPECT_NEAR(1e3 * (l.pitch_max_mm - l.pitch_min_mm) / td2, 1, rounded_by) << t.name;
    EXPECT_NEAR(1e3 * (l.nut_pitch_max_mm - l.nut_pitch_min_mm) / (1.32 * td2), 1, rounded_twice)
        << t.name;
  }
}

// ASME B1.1 table of limits (from memory); minor diameters of nuts are printed with three decimals.
TEST(Thread, UnifiedLimits) {
  struct Row {
    const char* name;
    double d_max, d_min, d2_max, d2_min, nut_d2_max, nut_d1_max;
  };
  constexpr double last_digit_in = 0.00011, third_decimal_in = 0.0006;
  for (const Row& r : {Row{"1/2-20", .4987, .4906, .4662, .4619, .4731, .457},
                       Row{"3/8-24", .3739, .3667, .3468, .3430, .3528, .340},
                       Row{"3/8-16", .3737, .3643, .3331, .3287, .3401, .321},
                       Row{"1/4-20", .2489, .2408, .2164, .2127, .2224, .207}}) {
    const auto l = limits_of_size(thread(r.name));
    EXPECT_NEAR(l.major_max_mm / inch_mm, r.d_max, last_digit_in) << r.name;
    EXPECT_NEAR(l.major_min_mm / inch_mm, r.d_min, last_digit_in) << r.name;
    EXPECT_NEAR(l.pitch_max_mm / inch_mm, r.d2_max, last_digit_in) << r.name;
    EXPECT_NEAR(l.pitch_min_mm / inch_mm, r.d2_min, last_digit_in) << r.name;
    EXPECT_NEAR(l.nut_pitch_max_mm / inch_mm, r.nut_d2_max, last_digit_in) << r.name;
    EXPECT_NEAR(l.nut_minor_max_mm / inch_mm, r.nut_d1_max, third_decimal_in) << r.name;
  }
}

TEST(Thread, StripAreas) {
  const auto m10 = thread("M10");
  // At basic sizes the formulas are ¾·π·D1 and ⅞·π·d exactly.
  const auto basic = strip_areas(m10, basic_limits(m10));
  EXPECT_NEAR(basic.bolt_mm2_per_mm, 0.75 * std::numbers::pi * basic_diameters(m10).minor_mm, same);
  EXPECT_NEAR(basic.nut_mm2_per_mm, 0.875 * std::numbers::pi * 10.0, same);
  EXPECT_NEAR(basic.bolt_mm2_per_mm, 19.7360, printed_mm);
  EXPECT_NEAR(basic.nut_mm2_per_mm, 27.4889, printed_mm);
  // FED-STD-H28/2B at the limits 6g and 6H, 10 mm of engagement: worked from ISO 965-1 (from
  // memory).
  constexpr double printed_area = 0.006;
  EXPECT_NEAR(10.0 * strip_areas(m10).bolt_mm2_per_mm, 155.75, printed_area);
  EXPECT_NEAR(10.0 * strip_areas(m10).nut_mm2_per_mm, 214.80, printed_area);
}

}  // namespace
}  // namespace trammel
