// Ride states, body roll, steering axes, axle readings: definitions of ISO 8855 and of the docs,
// checked by constructions of their own.

#include "travel/ride.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "base/quantity.h"
#include "cars.h"
#include "travel/reasons.h"
#include "travel/sweep.h"

namespace trammel::testing {
namespace {

Sweep swept(const Car& car, const RideState* state, AxleName axle, const Ask& ask) {
  const auto r = ride(car, state);
  EXPECT_TRUE(r.value) << words(r.why, Units::metric);
  return sweep(*r.value, axle, ask);
}
const CornerAt& left_of(const Position& p) { return *p.side[0]; }
const CornerAt& right_of(const Position& p) { return *p.side[1]; }

TEST(Ride, AStateCountsItsTravelFromItsOwnHeight) {
  const Car car = demo("pip-as-built.toml");
  RideState lower = *car.state("lowered");
  for (auto& a : lower.axle) a.toe_rad.reset();
  // Level lowering and no reset: the same wheel as 40 mm of bump as measured.
  const auto there = swept(car, &lower, AxleName::front, {{0, 10}, 0, 0});
  const auto bump = swept(car, nullptr, AxleName::front, {{40, 50}, 0, 0});
  for (std::size_t i = 0; i < 2; ++i) {
    const auto& a = left_of(there.positions[i]);
    const auto& b = left_of(bump.positions[i]);
    // The floor of a state goes through both axles' contact points, whose heights differ a little
    // by camber: a pitch of some 1e-6 rad.
    EXPECT_NEAR(a[Reading::toe], b[Reading::toe], 1e-6);
    EXPECT_NEAR(a[Reading::roll_centre_height], b[Reading::roll_centre_height], 0.01);
    EXPECT_NEAR(a.travel_mm, b.travel_mm - 40, 1e-12);
  }
  EXPECT_FALSE(there.toe_set);
}

TEST(Ride, ToeSetInAStateIsAsSaidThere) {
  const Car car = demo("pip.toml");
  const auto r = ride(car, car.state("as_built"));
  ASSERT_TRUE(r.value);
  for (const AxleName axle : {AxleName::front, AxleName::rear}) {
    const auto s = sweep(*r.value, axle, {{0}, 0, 0});
    const double want = axle == AxleName::front ? 0.0 : 0.1 * degree_rad;
    EXPECT_NEAR(left_of(s.ride)[Reading::toe], want, 1e-11);
    EXPECT_NEAR(right_of(s.ride)[Reading::toe], want, 1e-11);
    EXPECT_TRUE(s.toe_set);
  }
}

TEST(Ride, ToeAndCamberAreSetTogether) {
  Car car = car_of(std::string(strut_text) +
                   "[front.adjust]\ncamber = { joint = \"front.strut.top\", along = [0, 1, 0] }\n"
                   "[state.set]\nfront = { height = 10, toe = 0.2, camber = -1.5 }\n");
  const auto s = swept(car, car.state("set"), AxleName::front, {{0}, 0, 0});
  EXPECT_NEAR(left_of(s.ride)[Reading::toe], 0.2 * degree_rad, 1e-11);
  EXPECT_NEAR(left_of(s.ride)[Reading::camber], -1.5 * degree_rad, 1e-11);
  EXPECT_TRUE(s.camber_set);
}

// Nose down: the floor rises forward in body axes, and caster against the floor falls by the angle.
TEST(Ride, PitchTiltsTheFloor) {
  const Car car = car_of(demo_text("pip-as-built.toml") + "[state.rake]\nfront = -40\nrear = 0\n");
  const auto r = ride(car, car.state("rake"));
  ASSERT_TRUE(r.value);
  EXPECT_NEAR(r.value->pitch_rad, std::atan(40.0 / 2370.0), 5e-5);  // contact points move a little
  const auto s = sweep(*r.value, AxleName::front, {{0}, 0, 0});
  // The same corner read against a level floor.
  const auto& corner = r.value->at(AxleName::front)->at(Side::left);
  const At<double> level(car.at(AxleName::front)->layout, corner.mechanism, corner.at, {});
  const At<double> floor(car.at(AxleName::front)->layout, corner.mechanism, corner.at,
                         ground_for(Side::left, r.value->pitch_rad, 0));
  EXPECT_NEAR(read(Reading::caster, level) - read(Reading::caster, floor), r.value->pitch_rad,
              1e-9);
  EXPECT_DOUBLE_EQ(left_of(s.ride)[Reading::caster], read(Reading::caster, floor));
  // Both contact points lie on the floor.
  const auto up = ground_for(Side::left, r.value->pitch_rad, 0).up;
  const auto& rear = r.value->at(AxleName::rear)->at(Side::left);
  const At<double> back(car.at(AxleName::rear)->layout, rear.mechanism, rear.at,
                        ground_for(Side::left, r.value->pitch_rad, 0));
  EXPECT_NEAR(dot(up, floor.contact), dot(up, back.contact), 1e-9);
}

TEST(Ride, NoPositionAtThatHeightIsSaid) {
  const Car car = car_of(std::string(semi_trailing_text) + "[state.sky]\nrear = -450\n");
  const auto r = ride(car, car.state("sky"));
  EXPECT_FALSE(r.value);
  EXPECT_EQ(r.why.of, NotStanding::Of::locks);
  EXPECT_EQ(r.why.axle, AxleName::rear);
  EXPECT_EQ(r.why.side, Side::left);
  EXPECT_TRUE(r.why.above);
  const auto said = words(r.why, Units::metric);
  EXPECT_NE(said.find("in state 'sky' the rear left wheel has no position"), std::string::npos)
      << said;
  NotStanding at = r.why;
  at.by_mm = 254.0;
  EXPECT_TRUE(words(at, Units::metric).ends_with("locks 254.0 mm above the height as measured"));
  EXPECT_TRUE(words(at, Units::inch).ends_with("locks 10.000 in above the height as measured"));
}

TEST(Ride, ALockedWheelIsToldInTheUnitsAskedFor) {
  const Locked l{AxleName::front, Side::right, 127.0, -25.4, 0.0, 101.6, -20.32};
  EXPECT_EQ(
      words(l, Units::metric),
      "the front right wheel has no position at travel 127.0 mm, rack -25.4 mm: its mechanism "
      "locks on the way; the nearest travel that has one is 101.6 mm with the rack at -20.3 mm");
  EXPECT_EQ(
      words(l, Units::inch),
      "the front right wheel has no position at travel 5.000 in, rack -1.000 in: its mechanism "
      "locks on the way; the nearest travel that has one is 4.000 in with the rack at -0.800 "
      "in");
}

TEST(Roll, BothTyresStayOnTheFloor) {
  for (const auto& l : all_layouts) {
    const Car car = car_of(l.text);
    const auto r = ride(car, nullptr);
    for (const double roll : {-3.0 * degree_rad, 2.0 * degree_rad}) {
      const auto s = sweep(*r.value, l.axle, {{0}, 0, roll});
      ASSERT_TRUE(s.positions[0].side[0]) << l.name;
      const auto& left = left_of(s.positions[0]);
      const auto& right = right_of(s.positions[0]);
      EXPECT_EQ(s.heave, Heave::equal_travels);
      EXPECT_NEAR(left.travel_mm + right.travel_mm, 0.0, 1e-9);
      // Left side up: the left wheel drops. Rigid body geometry gives it to first order.
      const double half = 0.5 * s.positions[0].axle->track_mm;
      EXPECT_NEAR(left.travel_mm, -half * std::tan(roll), 0.05 * half * std::fabs(roll)) << l.name;
      // The tyres' lowest points, solved again from those travels, are level along the floor.
      std::array<double, 2> height{};
      for (const Side side : {Side::left, Side::right}) {
        const auto m = corner_mechanism(*car.at(l.axle), side);
        const double travel = side == Side::left ? left.travel_mm : right.travel_mm;
        const auto at = reach(m, solution_as_measured(m), {travel, 0.0});
        const auto ground = ground_for(side, 0.0, roll);
        height[static_cast<std::size_t>(side)] =
            dot(At<double>(car.at(l.axle)->layout, m, at.at, ground).contact, ground.up);
      }
      EXPECT_NEAR(height[0], height[1], 1e-9) << l.name;
    }
  }
}

TEST(Roll, RightAndLeftAreMirrorImages) {
  const Car car = demo("pip-as-built.toml");
  const auto a = swept(car, nullptr, AxleName::front, {{0}, 0, 2 * degree_rad});
  const auto b = swept(car, nullptr, AxleName::front, {{0}, 0, -2 * degree_rad});
  EXPECT_NEAR(left_of(a.positions[0])[Reading::camber], right_of(b.positions[0])[Reading::camber],
              1e-12);
  EXPECT_NEAR(left_of(a.positions[0]).travel_mm, right_of(b.positions[0]).travel_mm, 1e-9);
  // A leaning body takes its wheels along: the left wheel, outside of a right turn, leans out.
  EXPECT_GT(right_of(a.positions[0])[Reading::camber] - right_of(a.ride)[Reading::camber], 0.0);
}

TEST(Roll, SpringsKeepTheAxlesLoad) {
  const Car car = demo("pip.toml");
  const auto s = swept(car, nullptr, AxleName::front, {{0}, 0, 3 * degree_rad});
  EXPECT_EQ(s.heave, Heave::load_kept);
  // Load by virtual work on each side from lengths and motion ratios alone.
  const auto& axle = *car.at(AxleName::front);
  const auto force_sum = [&](const Position& p, double roll) {
    double sum = 0.0;
    for (const Side side : {Side::left, Side::right}) {
      const auto i = static_cast<std::size_t>(side);
      const auto m = corner_mechanism(axle, side);
      const auto start = solution_as_measured(m);
      const At<double> at0(axle.layout, m, start, {});
      const double sprung =
          ((*car.body.corner_kg)[0][i] - 0.5 * car.body.unsprung_axle_kg[0]) * 9.80665;
      const double force0 =
          sprung * at0.contact_velocity.z / read(Reading::spring_motion_ratio, at0);
      const auto now = reach(m, start, {p.side[i]->travel_mm, 0});
      const At<double> at(axle.layout, m, now.at, ground_for(side, 0, roll));
      const double force =
          force0 + *axle.spring->rate_n_per_mm *
                       (read(Reading::spring_length, at0) - read(Reading::spring_length, at));
      sum +=
          force * read(Reading::spring_motion_ratio, at) / dot(at.contact_velocity, at.ground.up);
    }
    return sum;
  };
  EXPECT_NEAR(force_sum(s.positions[0], 3 * degree_rad), force_sum(s.ride, 0),
              1e-3);  // 3e-8 of 5600 N, twice
  const auto no_preload =
      swept(demo("pip-as-built.toml"), nullptr, AxleName::front, {{0}, 0, degree_rad});
  EXPECT_EQ(no_preload.heave, Heave::load_kept_without_preload);
}

TEST(Axle, RollCentreOfUnequalSidesIsTheMean) {
  const Car car =
      car_of(std::string(wishbone_text) + "[front.right.arm.lower]\nupright = [6, -668, 176]\n");
  const auto s = swept(car, nullptr, AxleName::front, {{0, 20}, 0, 0});
  for (const auto& p : s.positions) {
    const double l = left_of(p)[Reading::roll_centre_height],
                 r = right_of(p)[Reading::roll_centre_height];
    EXPECT_NE(l, r);
    EXPECT_DOUBLE_EQ(p.axle->roll_centre_height_mm, 0.5 * (l + r));
    // Where the lines from both contact points meet: the same height from either.
    ASSERT_TRUE(p.axle->roll_centre_sideways_mm);
    const double y = *p.axle->roll_centre_sideways_mm;
    const double from_left =
        l / left_of(p)[Reading::half_track] * (left_of(p)[Reading::half_track] - y);
    const double from_right =
        r / right_of(p)[Reading::half_track] * (right_of(p)[Reading::half_track] + y);
    EXPECT_NEAR(from_left, from_right, 1e-9);
  }
}

// Counted in an int, the steps of a window of 1e12 mm came out below zero: none, and no change.
TEST(Axle, AWindowHasItsStepsHoweverWideItIs) {
  EXPECT_EQ(steps_over({-2.5, 1.0}), (std::vector<double>{-2.5, -1.5, -0.5, 0.5, 1.0}));
  EXPECT_EQ(steps_over({0.0, 0.0}), (std::vector<double>{0.0}));
  for (const double to : {9995.0, 1e5, 1e12, 1e300}) {
    const auto steps = steps_over({-5.0, to});
    ASSERT_EQ(steps.size(), 10001U) << to;
    EXPECT_EQ(steps.front(), -5.0);
    EXPECT_EQ(steps.back(), to);
    for (std::size_t i = 1; i < steps.size(); ++i) ASSERT_GT(steps[i], steps[i - 1]) << to;
  }
}

TEST(Axle, NearlyParallelLinesMeetNowhere) {
  // At ride height 8 mm under the ground, half a track of 699 mm: the slopes sum to 0.023. A few mm
  // lower in its travel the roll centre passes through the ground, and the lines are parallel:
  // tests/reference/corner_by_itself.py has it 0.0453 mm above the ground there.
  const auto s = swept(demo("pip.toml"), nullptr, AxleName::front, {{0, -3.5}, 0, 0});
  EXPECT_TRUE(s.positions[0].axle->roll_centre_sideways_mm);
  EXPECT_NEAR(s.positions[1].axle->roll_centre_height_mm, 0.0453, 1e-3);
  EXPECT_FALSE(s.positions[1].axle->roll_centre_sideways_mm);
}

// Parallel steering, both wheels alike, is the whole Ackermann difference short: the exact relation
// is cot(outer) - cot(inner) = track / wheelbase.
TEST(Axle, AckermannErrorByTheCotangentRule) {
  const Car car = demo("nibbet.toml");
  for (const double rack : {15.0, -15.0}) {
    const auto s = swept(car, nullptr, AxleName::front, {{0}, rack, 0});
    const auto& p = s.positions[0];
    ASSERT_TRUE(p.axle->ackermann_error_rad);
    const double l = *left_of(p).steer_rad, r = *right_of(p).steer_rad;
    const bool left_turn = l + r > 0;
    const double outer = std::fabs(left_turn ? r : l), inner = std::fabs(left_turn ? l : r);
    // Contact points swing a few mm about the steering axis, so track and wheelbase are theirs.
    const double base = *car.wheelbase_mm();
    const double ideal = std::atan(1.0 / (1.0 / std::tan(outer) - p.axle->track_mm / base));
    EXPECT_NEAR(*p.axle->ackermann_error_rad, inner - ideal, 0.05 * degree_rad);
  }
  EXPECT_FALSE(
      swept(car, nullptr, AxleName::front, {{0}, 0, 0}).positions[0].axle->ackermann_error_rad);
}

TEST(SteeringAxis, RunsThroughTheUprightEndsOfBothArms) {
  const Car car = car_of(wishbone_text);
  const auto s = swept(car, nullptr, AxleName::front, {{0}, 0, 0});
  EXPECT_EQ(s.axis_from, AxisFrom::two_arms);
  const Vec3<double> lower{6, 668, 168}, upper{-14, 640, 402};
  const auto k = upper - lower;
  const auto& c = left_of(s.ride);
  EXPECT_NEAR(c[Reading::caster], std::atan2(-k.x, k.z), 1e-12);
  EXPECT_NEAR(c[Reading::steering_axis_inclination], std::atan2(-k.y, k.z), 1e-12);
  const double up = -lower.z / k.z;
  const Vec3<double> ground = lower + up * k;
  const double camber = -0.7 * degree_rad, toe = 0.1 * degree_rad;
  const double radius = 278 / std::cos(camber);
  // Straight below the centre in the wheel's plane: outboard by R sin(-camber), square to the
  // heading.
  const Vec3<double> contact{2 - radius * std::sin(camber) * std::sin(toe),
                             705 - radius * std::sin(camber) * std::cos(toe), 0};
  const Vec3<double> out{std::sin(toe), std::cos(toe), 0},
      forward{std::cos(toe), -std::sin(toe), 0};
  EXPECT_NEAR(c[Reading::scrub_radius], dot(contact - ground, out), 1e-9);
  EXPECT_NEAR(c[Reading::caster_trail], dot(ground - contact, forward), 1e-9);
}

TEST(SteeringAxis, AStrutsRunsThroughItsTop) {
  const Car car = car_of(strut_text);
  const auto s = swept(car, nullptr, AxleName::front, {{0}, 0, 0});
  EXPECT_EQ(s.axis_from, AxisFrom::arm_and_strut_top);
  const Vec3<double> k = Vec3<double>{-20, 545, 820} - Vec3<double>{5, 655, 178};
  EXPECT_NEAR(left_of(s.ride)[Reading::caster], std::atan2(-k.x, k.z), 1e-12);
}

// Five rods with no fixed points: where rods share their joints on the upright, the screw axis has
// to run through both of them (they are fixed points when the spring, on the upright at one, is
// held).
TEST(SteeringAxis, FiveRodsWithSharedJointsTurnAboutThem) {
  const std::string text = R"(
trammel = 1
[front.wheel]
centre = [0, 745, 320]
[front.rod.lower_front]
body    = [180, 420, 215]
upright = [5, 690, 190]
[front.rod.lower_rear]
body    = [-210, 400, 225]
upright = [5, 690, 190]
[front.rod.upper_front]
body    = [90, 470, 560]
upright = [-10, 650, 575]
[front.rod.upper_rear]
body    = [-130, 480, 555]
upright = [-10, 650, 575]
[front.rod.steering]
body    = [-140, 410, 290]
upright = [-135, 680, 280]
steered = true
[front.spring]
top  = [0, 500, 700]
foot = [5, 690, 190]
)";
  const Car car = car_of(text);
  const auto s = swept(car, nullptr, AxleName::front, {{0}, 0, 0});
  EXPECT_EQ(s.axis_from, AxisFrom::spring_held);
  const Vec3<double> k = Vec3<double>{-10, 650, 575} - Vec3<double>{5, 690, 190};
  EXPECT_NEAR(left_of(s.ride)[Reading::caster], std::atan2(-k.x, k.z), 1e-7);
  EXPECT_NEAR(left_of(s.ride)[Reading::steering_axis_inclination], std::atan2(-k.y, k.z), 1e-7);
  // Without the spring the wheel's height is held instead, and the output says so.
  const Car bare = car_of(text.substr(0, text.find("[front.spring]")));
  const auto held = swept(bare, nullptr, AxleName::front, {{0}, 0, 0});
  EXPECT_EQ(held.axis_from, AxisFrom::wheel_height_held);
}

TEST(SteeringAxis, WithoutASteeredRodThereIsNone) {
  const auto s = swept(car_of(three_rod_strut_text), nullptr, AxleName::rear, {{0}, 0, 0});
  EXPECT_EQ(s.axis_from, AxisFrom::none);
  EXPECT_FALSE(applies(Reading::caster, car_of(three_rod_strut_text).at(AxleName::rear)->layout));
}

// Motion ratios and the bar's lever against differences of lengths and of the closed form.
TEST(Lines, MotionRatiosAreSlopesOfLengths) {
  const Car car = demo("nibbet-as-built.toml");
  const auto s = swept(car, nullptr, AxleName::front, {{19.95, 20, 20.05}, 0, 0});
  const auto& down = left_of(s.positions[0]);
  const auto& mid = left_of(s.positions[1]);
  const auto& up = left_of(s.positions[2]);
  const auto slope = [&](Reading r) { return (up[r] - down[r]) / 0.1; };
  EXPECT_NEAR(mid[Reading::spring_motion_ratio], -slope(Reading::spring_length), 1e-6);
  EXPECT_NEAR(mid[Reading::damper_motion_ratio], -slope(Reading::damper_length), 1e-6);
  EXPECT_NEAR(mid[Reading::bar_motion_ratio], slope(Reading::bar_turn), 1e-8);
  EXPECT_NEAR(left_of(s.ride)[Reading::bar_turn], 0.0, 1e-12);
}

TEST(Lines, TheDropLinkKeepsItsLength) {
  const Car car = demo("pip-as-built.toml");
  const auto& axle = *car.at(AxleName::front);
  const auto m = corner_mechanism(axle, Side::left);
  const Vec3<double> pivot{-190, 566, 208}, end{40, 566, 206}, link{32, 588, 430};
  for (const double travel : {-50.0, 25.0, 50.0}) {
    const auto r = reach(m, solution_as_measured(m), {travel, 0});
    const At<double> at(axle.layout, m, r.at, {});
    const double turn = read(Reading::bar_turn, at);
    const auto lever = end - pivot;
    const Vec3<double> now{pivot.x + std::cos(turn) * lever.x + std::sin(turn) * lever.z,
                           pivot.y + lever.y,
                           pivot.z - std::sin(turn) * lever.x + std::cos(turn) * lever.z};
    EXPECT_NEAR(length(at.placed.position(m.bar->link) - now), length(link - end), 1e-9) << travel;
  }
}

// A toe link on the arm moves with the arm: the arm's own joints keep all their distances.
TEST(Arms, ARodOnAnArmMovesWithIt) {
  const Car car = car_of(toe_link_on_arm_text);
  const auto m = corner_mechanism(*car.at(AxleName::rear), Side::left);
  const Vec3<double> front{-2150, 320, 200}, rear{-2440, 310, 190}, ball{-2290, 670, 165},
      on{-2400, 420, 185};
  for (const double travel : {-60.0, 60.0}) {
    const auto r = reach(m, solution_as_measured(m), {travel, 0});
    const Placed<double> placed(m, r.at.pose, 0);
    const auto here = placed.position(m.distance[4].inner),
               b = placed.position(m.distance[0].outer);
    EXPECT_NEAR(length(here - front), length(on - front), 1e-9);
    EXPECT_NEAR(length(here - rear), length(on - rear), 1e-9);
    EXPECT_NEAR(length(here - b), length(on - ball), 1e-9);
  }
}

// Anti-dive by the side view's instant centre: 100 * share * (L/h) * tan(alpha), here from the
// twist. The formula's worked example is a kit-car page quoting Adams, Chassis Engineering: bias 60
// %, wheelbase 2550, height 600, 25 % wanted: 5.6 degrees.
TEST(SideView, AntiDiveOfAKnownAngle) {
  const double alpha = std::atan(0.25 / (0.6 * 2550.0 / 600.0));
  EXPECT_NEAR(alpha / degree_rad, 5.5993, 5e-5);
  // A leading swing arm whose pivot lies that angle above the contact point, behind it.
  const double reach_x = 1000.0;
  const std::string text =
      "trammel = 1\n[body]\nwheelbase = 2550\ncentre_of_gravity_height = 600\n"
      "brake_front = 0.6\n[front.wheel]\ncentre = [0, 700, 300]\n[front.swing.arm]\n"
      "pivot_inner = [-1000, 200, " +
      std::to_string(reach_x * std::tan(alpha)) + "]\npivot_outer = [-1000, 600, " +
      std::to_string(reach_x * std::tan(alpha)) + "]\n";
  const auto s = swept(car_of(text), nullptr, AxleName::front, {{0}, 0, 0});
  EXPECT_NEAR(*left_of(s.ride).anti_dive, 0.25, 1e-6);
}

}  // namespace
}  // namespace trammel::testing
