// Positions, angles and roll centre of every layout against an independent engine.
#include "reference/simbody_corner.h"

#include <gtest/gtest.h>

#include <cmath>
#include <string>
#include <vector>

#include "cars.h"
#include "travel/readings.h"

namespace trammel::testing {
namespace {

// A thousandth of what any measuring arm resolves, and far above rounding in either program.
constexpr double position_tolerance_mm = 1e-6;
constexpr double angle_tolerance_rad = 1e-9;
// Half track times a ratio of velocities: what is off in a position comes in some hundred times.
constexpr double roll_centre_tolerance_mm = 1e-4;

// The engine's own errors must be well below what it is to judge. It is asked for the first, where
// rounding may stop it (a coordinate of 2.5 m carries 5e-13 mm), and believed below the second.
constexpr double engine_asked_mm = 1e-11;
constexpr double engine_believed_mm = 1e-9;
// Short enough that its Newton stays on the branch it came from.
constexpr double engine_step_mm = 2.5;

// The points of a layout that the upright carries, the wheel centre first.
std::vector<int> points_on_upright(const Layout& layout) {
  std::vector<int> points{0};
  for (const auto& arm : layout.arms) points.push_back(arm.upright);
  for (const auto& rod : layout.rods) points.push_back(rod.upright);
  if (layout.strut) points.push_back(layout.strut->foot);
  if (layout.swing) {
    points.push_back(layout.swing->pivot_inner);
    points.push_back(layout.swing->pivot_outer);
  }
  return points;
}

class AgainstSimbody : public ::testing::TestWithParam<NamedText> {};

TEST_P(AgainstSimbody, PositionsAnglesAndRollCentreAgree) {
  const Car car = car_of(GetParam().text);
  const Axle& axle = *car.at(GetParam().axle);
  const Layout& layout = axle.layout;
  const auto& numbers = axle.at(Side::left).numbers;
  const auto mechanism = build(layout, numbers);
  const auto as_measured = solution_as_measured(mechanism);
  ASSERT_TRUE(as_measured.found);
  SimbodyCorner engine(layout, numbers, engine_asked_mm);

  std::vector<double> racks_mm{0.0};
  if (layout.steered()) racks_mm = {-30.0, 0.0, 30.0};
  for (const double rack_mm : racks_mm)
    for (const double travel_mm : {-60.0, -40.0, -20.0, 0.0, 20.0, 40.0, 60.0}) {
      SCOPED_TRACE("travel " + std::to_string(travel_mm) + ", rack " + std::to_string(rack_mm));
      const auto reached = reach(mechanism, as_measured, {travel_mm, rack_mm});
      ASSERT_TRUE(reached.arrived);
      const At<double> at(layout, mechanism, reached.at, Ground<double>{});
      engine.drive(travel_mm, rack_mm, engine_step_mm);
      ASSERT_LT(engine.error_mm(), engine_believed_mm);

      const auto expect_near = [&](const Anchor<double>& joint, const Vec3<double>& theirs) {
        EXPECT_LT(length(at.placed.position(joint) - theirs), position_tolerance_mm)
            << layout.points[static_cast<std::size_t>(joint.point)];
      };
      for (const int point : points_on_upright(layout)) {
        const auto from_centre =
            numbers.points_mm[static_cast<std::size_t>(point)] - numbers.points_mm[0];
        expect_near({{Carrier::upright, -1}, from_centre, point}, engine.on_upright_now(point));
      }
      for (const auto& joint : engine.on_arms())
        for (const auto& row : mechanism.distance)
          if (row.inner.point == joint.point) expect_near(row.inner, engine.on_arm_now(joint));

      const auto spin = engine.spin();
      EXPECT_NEAR(read(Reading::camber, at), std::asin(-spin.z), angle_tolerance_rad);
      EXPECT_NEAR(read(Reading::toe, at), std::atan2(spin.x, spin.y), angle_tolerance_rad);
      ASSERT_LT(engine.raise(), engine_believed_mm);
      EXPECT_NEAR(read(Reading::roll_centre_height, at), engine.roll_centre_height_mm(),
                  roll_centre_tolerance_mm);
    }
}

INSTANTIATE_TEST_SUITE_P(Layouts, AgainstSimbody, ::testing::ValuesIn(all_layouts),
                         [](const auto& layout) { return std::string(layout.param.name); });

}  // namespace
}  // namespace trammel::testing
