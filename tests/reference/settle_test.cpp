// Springs at the wheel against an independent engine: its positions, by differences.

#include <cmath>

#include "cars.h"
#include "reference/simbody_corner.h"
#include "settle/wheel_rate.h"

namespace trammel::testing {
namespace {

// Differences over a quarter of a mm either way leave h²/6 of a third derivative, some 1e-7
// (members are some 100 mm long), and 1e-10 by what the engine leaves of its joints. Second
// differences: 1e-7 by the fourth derivative and 1e-11/h².
constexpr double step_mm = 0.25, difference = 1e-6, second_difference = 1e-6;

class SpringsAgainstSimbody : public ::testing::TestWithParam<NamedText> {};

TEST_P(SpringsAgainstSimbody, RatioAndItsChange) {
  const Car car = car_of(with_spring(GetParam()));
  const Axle& axle = *car.at(GetParam().axle);
  const auto& layout = axle.layout;
  const auto& numbers = axle.at(Side::left).numbers;
  // A strut without a spring of its own is taken as one.
  const int top = layout.spring ? layout.spring->top : layout.strut->top;
  const int foot = layout.spring ? layout.spring->foot : layout.strut->foot;
  Axle sprung = axle;
  if (!layout.spring) sprung.layout.spring = LineOf{top, foot, {Carrier::upright, -1}};
  CornerRide corner;
  corner.mechanism = build(sprung.layout, numbers);
  corner.at = solution_as_measured(corner.mechanism);
  SimbodyCorner engine(layout, numbers, 1e-11);
  const auto point = [&](int p) { return numbers.points_mm[static_cast<std::size_t>(p)]; };
  const auto on = sprung.layout.spring->foot_on;
  const auto engine_length = [&](double travel) {
    engine.drive(travel, 0.0, 2.5);
    const auto at = on.on == Carrier::arm
                        ? engine.on_arm_now(static_cast<std::size_t>(on.arm), point(foot))
                        : engine.on_upright_now(foot);
    return length(at - point(top));
  };
  for (const double travel : {-40.0, 0.0, 35.0}) {
    SCOPED_TRACE(travel);
    const double below = engine_length(travel - step_mm), here = engine_length(travel),
                 above = engine_length(travel + step_mm);
    const auto r = reach(corner.mechanism, corner.at, {travel, 0.0});
    const At<double> at(sprung.layout, corner.mechanism, r.at, {});
    EXPECT_NEAR(length_now(at, TravelLine::spring), here, 1e-8);
    const double ratio = (below - above) / (2.0 * step_mm);
    EXPECT_NEAR(read(Reading::spring_motion_ratio, at), ratio, difference);
    // k r² + F dr/dz by the rise of the tyre: from the engine's lengths and the core's own tyre.
    const double rate = 40.0, force = 3500.0;
    const auto w = wheel_rate(sprung, corner, {}, {rate, force, here}, travel);
    ASSERT_TRUE(w);
    EXPECT_NEAR(w->ratio, ratio, difference);
    const double bent = -(below - 2.0 * here + above) / (step_mm * step_mm);
    const auto rise_at = [&](double t) {
      const auto s = reach(corner.mechanism, corner.at, {t, 0.0});
      return At<double>(sprung.layout, corner.mechanism, s.at, {}).contact_velocity.z;
    };
    const double rise = rise_at(travel);
    const double bent_rise =
        (rise_at(travel + step_mm) - rise_at(travel - step_mm)) / (2 * step_mm);
    EXPECT_NEAR(w->by_ratio_n_per_mm,
                force * (bent / rise - ratio * bent_rise / (rise * rise)) / rise,
                force * second_difference);
    EXPECT_NEAR(w->by_spring_n_per_mm, rate * ratio * ratio / (rise * rise), rate * difference);
  }
}

INSTANTIATE_TEST_SUITE_P(Layouts, SpringsAgainstSimbody, ::testing::ValuesIn(all_layouts),
                         [](const auto& layout) { return std::string(layout.param.name); });

}  // namespace
}  // namespace trammel::testing
