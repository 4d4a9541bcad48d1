// Forces against virtual work, taken by differences of solved positions: nothing of the transposed
// solve is in it.

#include "travel/forces.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "travel/random_corner.h"
#include "travel/reasons.h"

namespace trammel::testing {
namespace {

// Central differences of 0.01 mm at positions good to 1e-12 mm leave some 1e-6 of the slope by the
// third derivative (members are hundreds of mm long) and 1e-10 by rounding.
constexpr double step_mm = 0.01, difference = 2e-6;
constexpr double rounding_n = 1e-6;  // of loads of some thousand N, by elimination

struct Sprung {
  Axle axle;
  Mechanism<double> mechanism;
  Solution<double> at;
  Ground<double> ground;
  At<double> seen() const { return {axle.layout, mechanism, at, ground}; }
};

Sprung sprung(const NamedText& l) {
  Sprung s{*car_of(with_spring(l)).at(l.axle), {}, {}, {}};
  auto& numbers = s.axle.at(Side::left).numbers;
  const auto by = [](int tenths) { return 0.1 * *rc::gen::inRange(-tenths, tenths + 1); };
  for (auto& p : numbers.points_mm) p = p + Vec3<double>{by(150), by(150), by(150)};
  s.mechanism = build(s.axle.layout, numbers);
  const double rack = random_rack(s.axle.layout), travel = random_travel();
  s.at = reach(s.mechanism, solution_as_measured(s.mechanism), {travel, rack}).at;
  return s;
}

Load random_load() {
  const auto n = [] { return 10.0 * *rc::gen::inRange(-800, 801); };
  return {{n(), n(), n()}, {n(), 0.0, 0.0}, 1.0 * *rc::gen::inRange(0, 40)};
}

// Where the load does its work: how far the contact, behind it by the trail, and the centre move
// along the load.
double work_nmm(const At<double>& before, const At<double>& after, const Load& load) {
  const auto& g = before.ground;
  const auto in_body = [&](const Vec3<double>& v) {
    return v.x * g.forward + v.y * g.outboard + v.z * g.up;
  };
  // The point of the upright that the road pushes at, carried along.
  const Vec3<double> ahead = unit(cross(before.spin, g.up));
  const Vec3<double> pushed = before.contact - load.trail_mm * ahead;
  const Anchor<double> point{
      {Carrier::upright, -1},
      transposed_times(before.placed.turn(), pushed - before.placed.centre())};
  return dot(in_body(load.at_contact_n), after.placed.position(point) - pushed) +
         dot(in_body(load.at_centre_n), after.placed.centre() - before.placed.centre());
}

// The same position found anew with the support held at `support_mm` in a mechanism whose lengths
// may differ by a little.
Solution<double> held_at(const Mechanism<double>& m, const Sprung& s, double support_mm) {
  const Drive<double> drive{support_mm, s.at.drive.rack_mm, DrivenBy::spring_length};
  const auto order = order_at(m, s.at.pose, DrivenBy::spring_length);
  const auto found = solve(m, drive, s.at.pose, order);
  EXPECT_TRUE(found.found);
  return found;
}

// N of work per mm of `change`, by differences.
template <class Change>
double by_differences(const Sprung& s, const Load& load, Change change) {
  Mechanism<double> m = s.mechanism;
  // The support is what holds the wheel up, whatever line that is.
  const auto support = support_of(s.axle.layout);
  m.spring = support == Support::spring ? m.spring : m.strut;
  const double length =
      length_of(Placed<double>(m, s.at.pose, s.at.drive.rack_mm), *m.spring).off_mm;
  const auto works = [&](double by) {
    auto changed = m;
    const double held = length + change(changed, by);
    const auto at = held_at(changed, s, held);
    const At<double> after(s.axle.layout, changed, at, s.ground);
    return work_nmm(s.seen(), after, load);
  };
  return (works(step_mm) - works(-step_mm)) / (2.0 * step_mm);
}

RC_GTEST_PROP(Forces, DoTheWorkOfTheLoadWhateverChangesLength, ()) {
  for (const auto& l : all_layouts) {
    const auto s = sprung(l);
    const auto load = random_load();
    const auto f = forces(s.seen(), load);
    RC_ASSERT(f.value);
    const double size = 1.0 + length(load.at_contact_n) + length(load.at_centre_n);
    const auto& m = s.mechanism;
    for (std::size_t i = 0; i < m.distance.size(); ++i) {
      const double by = by_differences(s, load, [&](Mechanism<double>& changed, double d) {
        changed.distance[i].length_mm += d;
        return 0.0;
      });
      const std::size_t legs = 2 * f.value->arm.size();
      const double tension = i < legs ? f.value->arm[i / 2].leg_n[i % 2] : f.value->rod_n[i - legs];
      // A member that grows against its tension takes up what the load gives.
      RC_ASSERT(std::fabs(tension - by) < difference * size * 20.0);
    }
    const double by = by_differences(s, load, [](Mechanism<double>&, double d) { return d; });
    RC_ASSERT(std::fabs(f.value->support_n + by) < difference * size * 20.0);
  }
}

// What hangs on the body holds the whole load: sums of forces and of moments are zero.
RC_GTEST_PROP(Forces, OnTheBodyTheyAddUpToTheLoad, ()) {
  for (const auto& l : all_layouts) {
    const auto s = sprung(l);
    const auto load = random_load();
    const auto at = s.seen();
    const auto answer = forces(at, load);
    RC_ASSERT(answer.value);
    const auto& f = *answer.value;
    Vec3<double> sum{}, moment{};
    const auto push = [&](const Vec3<double>& where, const Vec3<double>& force) {
      sum = sum + force;
      moment = moment + cross(where, force);
    };
    const auto& m = s.mechanism;
    for (std::size_t i = 0; i < f.arm.size(); ++i)
      for (std::size_t k = 0; k < 2; ++k)
        push(at.placed.position(m.distance[2 * i + k].inner), f.arm[i].body_n[k]);
    for (std::size_t i = 0; i < f.rod_n.size(); ++i) {
      const auto& row = m.distance[2 * f.arm.size() + i];
      if (row.inner.on.on == Carrier::arm) continue;  // the arm hands it on
      const auto inner = at.placed.position(row.inner);
      push(inner, f.rod_n[i] * unit(at.placed.position(row.outer) - inner));
    }
    if (f.strut) push(at.placed.position(m.strut->top), -f.strut->side_n);
    if (f.swing_n) {
      const auto& p = m.numbers.points_mm;
      push(p[static_cast<std::size_t>(s.axle.layout.swing->pivot_inner)], (*f.swing_n)[0]);
      push(p[static_cast<std::size_t>(s.axle.layout.swing->pivot_outer)], (*f.swing_n)[1]);
    }
    const auto& support = m.spring ? *m.spring : *m.strut;
    const auto top = at.placed.position(support.top);
    push(top, f.support_n * unit(top - at.placed.position(support.foot)));
    const auto& g = s.ground;
    const auto in_body = [&](const Vec3<double>& v) {
      return v.x * g.forward + v.y * g.outboard + v.z * g.up;
    };
    const Vec3<double> ahead = unit(cross(at.spin, g.up));
    push(at.contact - load.trail_mm * ahead, -in_body(load.at_contact_n));
    push(at.placed.centre(), -in_body(load.at_centre_n));
    const double size = 1.0 + length(load.at_contact_n) + length(load.at_centre_n);
    RC_ASSERT(length(sum) < rounding_n * size);
    RC_ASSERT(length(moment) < rounding_n * size * 3000.0);
  }
}

// An upright on level parallel arms under a side force alone: statics of the plane, by hand.
// Heights of the arms 200 and 400 mm, the wheel's centre at 300, the push at the floor.
TEST(Forces, LevelArmsShareASideForceByTheirHeights) {
  const auto car = car_of(R"(
trammel = 1
[front.wheel]
centre = [0, 700, 300]
[front.arm.lower]
body_front = [150, 330, 200]
body_rear  = [-150, 330, 200]
upright    = [0, 680, 200]
[front.arm.upper]
body_front = [150, 330, 400]
body_rear  = [-150, 330, 400]
upright    = [0, 680, 400]
[front.rod.steering]
body    = [-120, 330, 260]
upright = [-120, 680, 260]
steered = true
[front.spring]
top  = [0, 500, 700]
foot = [0, 500, 200]
on   = "arm.lower"
)");
  const auto& axle = *car.at(AxleName::front);
  const auto m = build(axle.layout, axle.at(Side::left).numbers);
  const auto solution = solution_as_measured(m);
  const At<double> at(axle.layout, m, solution, {});
  const auto side = forces(at, {{0.0, -1000.0, 0.0}, {}, 0.0});
  ASSERT_TRUE(side.value) << words(side.why);
  // Moments about the upper joint: lower 1000 * 400 / 200; the rest above.
  const auto ball_y = [&](std::size_t i) { return side.value->arm[i].ball_n.y; };
  EXPECT_NEAR(ball_y(0), 2000.0, rounding_n);
  EXPECT_NEAR(ball_y(1), -1000.0, rounding_n);
  EXPECT_NEAR(side.value->rod_n[0], 0.0, rounding_n);
  EXPECT_NEAR(side.value->support_n, 0.0, rounding_n);
  // Up: the arm is a lever of 350 mm with the spring at 170.
  const auto up = forces(at, {{0.0, 0.0, 3500.0}, {}, 0.0});
  ASSERT_TRUE(up.value) << words(up.why);
  EXPECT_NEAR(up.value->support_n, 3500.0 * 350.0 / 170.0, rounding_n * 10);
  EXPECT_NEAR(up.value->arm[0].ball_n.z, -3500.0, rounding_n * 10);
  const auto& body = up.value->arm[0].body_n;
  EXPECT_NEAR(body[0].z + body[1].z, 3500.0 - 3500.0 * 350.0 / 170.0, rounding_n * 10);
  EXPECT_NEAR(body[0].z, body[1].z, rounding_n * 10);
  // A trail of 30 mm behind the contact turns the wheel against the rod, 120 mm behind.
  const auto trailed = forces(at, {{0.0, -1000.0, 0.0}, {}, 30.0});
  ASSERT_TRUE(trailed.value) << words(trailed.why);
  EXPECT_NEAR(trailed.value->rod_n[0], -1000.0 * 30.0 / 120.0, rounding_n);
}

TEST(Forces, NothingIsHeldWhereNothingHoldsTheWheelUp) {
  const auto car = car_of(wishbone_text);
  const auto& axle = *car.at(AxleName::front);
  const auto m = build(axle.layout, axle.at(Side::left).numbers);
  const auto solution = solution_as_measured(m);
  const auto none = forces({axle.layout, m, solution, {}}, {{0, 0, 1000}, {}, 0});
  EXPECT_FALSE(none.value);
  EXPECT_EQ(none.why, NoForces::nothing_holds_it_up);
}

}  // namespace
}  // namespace trammel::testing
