// How readings change with every number of a corner, against mechanisms built and solved anew with
// that number changed.

#include "travel/sensitivity.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cmath>

#include "travel/band.h"
#include "travel/random_corner.h"

namespace trammel::testing {
namespace {

// Slopes are compared per mm of a number, an angle counting by what it moves at a wheel's radius;
// what the readings are measured in is brought to mm in the same way, and what they have per mm of
// travel to a travel of 100 mm.
constexpr double lever_mm = 300.0;
constexpr double travel_unit_mm = 100.0;
// Five-point differences: steps of 0.5 mm leave (0.5 mm)^4 of fifth derivatives, each some 1/100 mm
// a time, and the rounding of positions, 1e-12 mm, times a few.
constexpr double moved_by_mm = 0.5;
constexpr double difference_part = 1e-7;

double in_mm(Measure m) {
  switch (m) {
    case Measure::length:
      return 1.0;
    case Measure::angle:
      return lever_mm;
    case Measure::angle_per_length:
      return lever_mm * travel_unit_mm;
    default:
      return travel_unit_mm;
  }
}

// One corner: its layout and numbers, and where it is read.
struct Corner {
  Layout layout;
  Numbers<double> numbers;
  Drive<double> drive;
  Ground<double> ground = ground_for(Side::left, 0.012, 0.021);  // so that nothing cancels
};

int count_of_numbers(const Layout& l) {
  return l.steered() ? rack_number(l) + 1 : travel_number(l) + 1;
}
bool is_angle(const Layout& l, int number) {
  return number == camber_number(l) || number == toe_number(l);
}

std::string number_words(const Layout& l, int i) {
  if (i == camber_number(l)) return "camber";
  if (i == toe_number(l)) return "toe";
  if (i == travel_number(l)) return "travel";
  if (i == rack_number(l)) return "rack";
  return l.points[static_cast<std::size_t>(i / 3)] + " " + "xyz"[i % 3];
}

Corner changed(Corner c, int i, double by) {
  if (i == camber_number(c.layout)) c.numbers.camber_rad += by;
  else if (i == toe_number(c.layout)) c.numbers.toe_rad += by;
  else if (i == travel_number(c.layout)) c.drive.travel_mm += by;
  else if (i == rack_number(c.layout)) c.drive.rack_mm += by;
  else c.numbers.points_mm[static_cast<std::size_t>(i / 3)][i % 3] += by;
  return c;
}

// Built anew and solved from where it was; twice, so that velocities are those of the very pose.
std::array<double, reading_count> read_anew(const Corner& c, const Solution<double>& near) {
  const auto m = build(c.layout, c.numbers);
  auto at = solve(m, c.drive, near.pose, near.factored.order);
  at = solve(m, c.drive, at.pose, near.factored.order);
  EXPECT_TRUE(at.found);
  return read_all(At<double>(c.layout, m, at, c.ground));
}

// Empty where all slopes agree, else what does not.
std::string disagreement(const Corner& c, const std::vector<int>& wanted) {
  const auto m = build(c.layout, c.numbers);
  const auto r = reach(m, solution_as_measured(m), c.drive);
  if (!r.arrived) return "does not arrive";
  const auto slopes = sensitivity(c.layout, c.numbers, r.at, c.ground, wanted);
  if (slopes.size() != wanted.size()) return "not one for each";
  for (std::size_t k = 0; k < wanted.size(); ++k) {
    const double unit = is_angle(c.layout, wanted[k]) ? 1.0 / lever_mm : 1.0;
    const auto at = [&](double steps) {
      return read_anew(changed(c, wanted[k], steps * moved_by_mm * unit), r.at);
    };
    const auto up = at(1.0), down = at(-1.0), up2 = at(2.0), down2 = at(-2.0);
    for (const auto& row : reading_table()) {
      if (!applies(row.reading, c.layout)) continue;
      const auto i = static_cast<std::size_t>(row.reading);
      const double size = in_mm(row.measure);
      const double got = slopes[k][i] * unit * size;
      const double expected =
          size * (8.0 * (up[i] - down[i]) - (up2[i] - down2[i])) / (12.0 * moved_by_mm);
      if (!(std::fabs(got - expected) <= difference_part * (1.0 + std::fabs(expected))))
        return std::string(row.key) + " with " + number_words(c.layout, wanted[k]) + ": " +
               std::to_string(got) + ", by differences " + std::to_string(expected) + ", off " +
               std::to_string((got - expected) * 1e6) + "e-6";
    }
  }
  return {};
}

// The demo cars' corners: springs, dampers, a bar, and feet on an arm.
struct NamedAxle {
  std::string name;
  Axle axle;
};
const std::vector<NamedAxle>& demo_axles() {
  static const std::vector<NamedAxle> all = [] {
    std::vector<NamedAxle> axles;
    for (const char* name : {"pip.toml", "nibbet.toml"}) {
      const auto car = demo(name);
      for (const AxleName a : {AxleName::front, AxleName::rear})
        axles.push_back({std::string(name) + " " + word(a), *car.at(a)});
    }
    return axles;
  }();
  return all;
}
std::vector<NamedAxle> every_axle() {
  auto all = demo_axles();
  for (const auto& l : all_layouts) all.push_back({l.name, *car_of(l.text).at(l.axle)});
  return all;
}

std::vector<int> all_numbers(const Layout& l) {
  std::vector<int> all;
  for (int i = 0; i < count_of_numbers(l); ++i) all.push_back(i);
  return all;
}

TEST(Sensitivity, OfEveryReadingToEveryNumber) {
  for (const auto& a : every_axle()) {
    SCOPED_TRACE(a.name);
    const auto& l = a.axle.layout;
    const double rack = l.steered() ? 11.0 : 0.0;
    for (const double travel : {0.0, -37.0})
      EXPECT_EQ(disagreement({l, a.axle.at(Side::left).numbers, {travel, rack}}, all_numbers(l)),
                "");
  }
}

// Up to six of them in any order, to be taken four at a time.
std::vector<int> some_numbers(const Layout& l) {
  std::vector<int> some;
  const int n = *rc::gen::inRange(1, 7);
  for (int k = 0; k < n; ++k) some.push_back(*rc::gen::inRange(0, count_of_numbers(l)));
  return some;
}

RC_GTEST_PROP(Sensitivity, OfRandomCornersOfEveryLayout, ()) {
  const auto c = random_corner();
  const Corner corner{c.layout(), c.numbers(), {random_travel(), random_rack(c.layout())}};
  const auto m = build(corner.layout, corner.numbers);
  RC_PRE(reach(m, solution_as_measured(m), corner.drive).arrived);
  RC_ASSERT(disagreement(corner, some_numbers(corner.layout)) == "");
}

RC_GTEST_PROP(Sensitivity, OfRandomCornersWithSpringsDampersAndBars, ()) {
  const auto& axle = demo_axles()[*rc::gen::inRange<std::size_t>(0, demo_axles().size())].axle;
  Corner corner{axle.layout, axle.at(Side::left).numbers, {}};
  for (auto& p : corner.numbers.points_mm)
    for (int axis = 0; axis < 3; ++axis) p[axis] += 0.1 * *rc::gen::inRange(-50, 51);
  corner.drive = {random_travel(), random_rack(axle.layout)};
  const auto m = build(corner.layout, corner.numbers);
  RC_PRE(reach(m, solution_as_measured(m), corner.drive).arrived);
  RC_ASSERT(disagreement(corner, some_numbers(corner.layout)) == "");
}

// ------------------------------------------------------------------ of a car's own numbers

// A car of two axles with every coordinate and angle uncertain, so that the front axle's numbers
// are some of several. The right side is the mirror image, or has numbers of its own.
enum class Right { mirrored, its_own };
Car uncertain_car(const Axle& front, Right right) {
  Car car;
  car.at(AxleName::rear) = demo_axles()[1].axle;
  car.at(front.layout.axle) = front;
  for (auto& axle : car.axle) {
    if (!axle) continue;
    axle->right_is_mirrored = right == Right::mirrored;
    auto& own = axle->at(Side::right).numbers;
    own = mirrored(axle->at(Side::left).numbers);
    if (right == Right::its_own) {
      for (std::size_t p = 0; p < own.points_mm.size(); ++p) {
        const double by = static_cast<double>(p);
        own.points_mm[p] =
            own.points_mm[p] + Vec3<double>{3.0 - by, 1.5 + 0.3 * by, -2.0 + 0.7 * by};
      }
      own.camber_rad += 0.011;
      own.toe_rad -= 0.004;
    }
    for (const Side s : {Side::left, Side::right}) {
      auto& at = axle->at(s);
      at.sigma_mm.assign(at.numbers.points_mm.size(), {1.0, 1.0, 1.0});
      at.camber_sigma_rad = at.toe_sigma_rad = 0.002;
    }
  }
  return car;
}

// The car with one of its numbers changed; the right side follows where it mirrors the left.
Axle with_changed(Axle axle, const CarNumber& n, double by) {
  auto& numbers = axle.at(n.side).numbers;
  if (n.of == CarNumber::Of::camber) numbers.camber_rad += by;
  else if (n.of == CarNumber::Of::toe) numbers.toe_rad += by;
  else numbers.points_mm[static_cast<std::size_t>(n.point)][n.axis] += by;
  if (n.both_sides) axle.at(Side::right).numbers = mirrored(axle.at(Side::left).numbers);
  return axle;
}

std::array<double, reading_count> read_side(const Axle& axle, Side side, double travel_mm) {
  const auto m = corner_mechanism(axle, side);
  const auto r = reach(m, solution_as_measured(m), {travel_mm, 0.0});
  EXPECT_TRUE(r.arrived);
  const auto at = solve(m, r.at.drive, r.at.pose, r.at.factored.order);
  return read_all(At<double>(axle.layout, m, at, {}));
}

// Slopes by number, zero where none is given; each number at most once.
std::vector<double> dense(const Slopes& slopes, std::size_t numbers) {
  std::vector<double> all(numbers, 0.0);
  for (const auto& s : slopes) {
    auto& at = all[static_cast<std::size_t>(s.unknown)];
    EXPECT_EQ(at, 0.0) << "given twice: " << s.unknown;
    at = s.per;
  }
  return all;
}

void expect_reading_slopes(const Car& car, AxleName name, Side side, double travel_mm) {
  const auto& axle = *car.at(name);
  const auto spread = stated_spread(car);
  const auto slopes = reading_slopes(axle, spread, side, travel_mm);
  int moving = 0;
  std::vector<std::vector<double>> by_reading;
  for (const auto& s : slopes) by_reading.push_back(dense(s, spread.numbers.size()));
  for (std::size_t k = 0; k < spread.numbers.size(); ++k) {
    const auto& n = spread.numbers[k];
    SCOPED_TRACE(::testing::Message() << word(n.axle) << " " << word(n.side) << " point " << n.point
                                      << " axis " << n.axis);
    const bool concerns = n.axle == name && (n.side == side || n.both_sides);
    const double unit = n.of == CarNumber::Of::coordinate ? 1.0 : 1.0 / lever_mm;
    std::array<double, reading_count> up{}, down{}, up2{}, down2{};
    if (concerns) {
      const auto at = [&](double steps) {
        return read_side(with_changed(axle, n, steps * moved_by_mm * unit), side, travel_mm);
      };
      up = at(1.0), down = at(-1.0), up2 = at(2.0), down2 = at(-2.0);
    }
    for (const auto& row : reading_table()) {
      const auto i = static_cast<std::size_t>(row.reading);
      if (!concerns || !applies(row.reading, axle.layout)) {
        EXPECT_EQ(by_reading[i][k], 0.0) << row.key;
        continue;
      }
      const double size = in_mm(row.measure);
      const double expected =
          size * (8.0 * (up[i] - down[i]) - (up2[i] - down2[i])) / (12.0 * moved_by_mm);
      EXPECT_NEAR(by_reading[i][k] * unit * size, expected,
                  difference_part * (1.0 + std::fabs(expected)))
          << row.key;
      if (std::fabs(expected) > 0.01) ++moving;
    }
  }
  EXPECT_GT(moving, 40);  // of some 30 numbers and 15 readings: this compares more than zeros
}

TEST(ReadingSlopes, OfAMirroredRightSide) {
  const auto car = uncertain_car(demo_axles()[0].axle, Right::mirrored);
  expect_reading_slopes(car, AxleName::front, Side::right, 23.0);
  expect_reading_slopes(car, AxleName::rear, Side::right, -31.0);
  // Readings of the two sides are the same functions of the same numbers.
  const auto spread = stated_spread(car);
  const auto left = reading_slopes(*car.at(AxleName::front), spread, Side::left, 23.0);
  const auto right = reading_slopes(*car.at(AxleName::front), spread, Side::right, 23.0);
  for (std::size_t i = 0; i < reading_count; ++i)
    EXPECT_EQ(dense(left[i], spread.numbers.size()), dense(right[i], spread.numbers.size()));
}

TEST(ReadingSlopes, OfARightSideOfItsOwn) {
  const auto car = uncertain_car(demo_axles()[0].axle, Right::its_own);
  for (const AxleName axle : {AxleName::front, AxleName::rear})
    for (const Side side : {Side::left, Side::right}) {
      SCOPED_TRACE(std::string(word(axle)) + " " + word(side));
      expect_reading_slopes(car, axle, side, 23.0);
    }
}

// The same numbers taken one by one, in corner axes.
TEST(ReadingSlopes, AreTheSensitivityInCarAxes) {
  const auto car = uncertain_car(demo_axles()[0].axle, Right::its_own);
  const auto& axle = *car.at(AxleName::front);
  const auto spread = stated_spread(car);
  for (const Side side : {Side::left, Side::right}) {
    const auto slopes = reading_slopes(axle, spread, side, 23.0);
    const auto m = corner_mechanism(axle, side);
    const auto r = reach(m, solution_as_measured(m), {23.0, 0.0});
    const auto each = sensitivity(axle.layout, m.numbers, r.at, {}, all_numbers(axle.layout));
    int compared = 0;
    for (const auto& row : reading_table()) {
      const auto by = dense(slopes[static_cast<std::size_t>(row.reading)], spread.numbers.size());
      for (std::size_t k = 0; k < spread.numbers.size(); ++k) {
        const auto& n = spread.numbers[k];
        if (n.axle != AxleName::front || n.side != side) continue;
        const int number = n.of == CarNumber::Of::camber ? camber_number(axle.layout)
                           : n.of == CarNumber::Of::toe  ? toe_number(axle.layout)
                                                         : coordinate_number(n.point, n.axis);
        const bool turned_round =
            side == Side::right && n.of == CarNumber::Of::coordinate && n.axis == 1;
        const double one =
            each[static_cast<std::size_t>(number)][static_cast<std::size_t>(row.reading)];
        EXPECT_EQ(by[k], turned_round ? -one : one) << row.key;
        ++compared;
      }
    }
    EXPECT_EQ(compared, static_cast<int>(reading_count) * (travel_number(axle.layout)));
  }
}

TEST(ReadingSlopes, NoneWhereTheWheelHasNoPosition) {
  const auto car = uncertain_car(demo_axles()[0].axle, Right::mirrored);
  const auto slopes =
      reading_slopes(*car.at(AxleName::front), stated_spread(car), Side::left, 5000.0);
  for (const auto& s : slopes) EXPECT_TRUE(s.empty());
}

// ------------------------------------------------------------------ what holds the upright

// Camber, toe and roll centre at a travel and (where it steers) a turn.
std::array<double, 3> of_the_wheel(const Corner& c) {
  const auto m = build(c.layout, c.numbers);
  const auto r = reach(m, solution_as_measured(m), c.drive);
  EXPECT_TRUE(r.arrived);
  const auto all = read_all(At<double>(c.layout, m, r.at, c.ground));
  return {all[static_cast<std::size_t>(Reading::camber)],
          all[static_cast<std::size_t>(Reading::toe)],
          all[static_cast<std::size_t>(Reading::roll_centre_height)] / lever_mm};
}

TEST(HoldingPoints, AreThoseThatTheWheelDependsOn) {
  // For a joint moved by 5 mm: far above the rounding of two solved positions, 1e-14 rad.
  constexpr double something = 1e-5;
  int held = 0, others = 0;
  for (const auto& a : every_axle()) {
    const auto& l = a.axle.layout;
    const Corner c{l, a.axle.at(Side::left).numbers, {35.0, l.steered() ? 8.0 : 0.0}};
    const auto before = of_the_wheel(c);
    const auto holding = holding_points(l);
    for (int p = 0; p < static_cast<int>(l.points.size()); ++p) {
      SCOPED_TRACE(a.name + " " + l.points[static_cast<std::size_t>(p)]);
      const auto times = std::count(holding.begin(), holding.end(), p);
      ASSERT_LE(times, 1);
      double most = 0.0;
      for (int axis = 0; axis < 3; ++axis) {
        const auto after = of_the_wheel(changed(c, coordinate_number(p, axis), 5.0));
        for (std::size_t k = 0; k < 3; ++k) {
          most = std::max(most, std::fabs(after[k] - before[k]));
          if (times == 0) {
            EXPECT_EQ(after[k], before[k]);  // exact: it is in none of the sums
          }
        }
      }
      if (times == 1) {
        EXPECT_GT(most, something);
      }
      ++(times == 1 ? held : others);
    }
  }
  EXPECT_GT(held, 60);
  EXPECT_GT(others, 10);
}

TEST(HoldingPoints, ByName) {
  const auto names = [](const Layout& l) {
    std::vector<std::string> all;
    for (const int p : holding_points(l)) all.push_back(l.points[static_cast<std::size_t>(p)]);
    std::sort(all.begin(), all.end());
    return all;
  };
  using Names = std::vector<std::string>;
  EXPECT_EQ(names(demo_axles()[0].axle.layout),
            (Names{"arm.lower.body_front", "arm.lower.body_rear", "arm.lower.upright",
                   "rod.steering.body", "rod.steering.upright", "strut.foot", "strut.top",
                   "wheel.centre"}));
  EXPECT_EQ(names(car_of(semi_trailing_text).at(AxleName::rear)->layout),
            (Names{"swing.arm.pivot_inner", "swing.arm.pivot_outer", "wheel.centre"}));
}

}  // namespace
}  // namespace trammel::testing
