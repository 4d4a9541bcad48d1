// What must hold for any car: lengths kept, mirror images, frames, derivatives, lanes.

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "travel/adjust.h"
#include "travel/random_corner.h"

namespace trammel::testing {
namespace {

constexpr double solved_mm = 1e-9;      // what solve promises of every row
constexpr double same_rad = 1e-11;      // two ways to the same position: Newton's 1e-12 mm at 0.3 m
constexpr double velocity_part = 1e-6;  // velocities are good to 3e-8; derivatives of them to this

Reached at_travel(const Mechanism<double>& m, double travel, double rack) {
  return reach(m, solution_as_measured(m), {travel, rack});
}

RC_GTEST_PROP(Properties, ResidualsStayBelowANanometre, ()) {
  const auto c = random_corner();
  const auto m = build(c.layout(), c.numbers());
  const auto r = at_travel(m, random_travel(), random_rack(c.layout()));
  RC_PRE(r.arrived);
  RC_ASSERT(residual_mm(m, r.at) < solved_mm);
  // Lengths, measured outside the solver's own rows.
  const Placed<double> placed(m, r.at.pose, r.at.drive.rack_mm);
  for (const auto& row : m.distance)
    RC_ASSERT(std::fabs(length(placed.position(row.outer) - placed.position(row.inner)) -
                        row.length_mm) < solved_mm);
}

RC_GTEST_PROP(Properties, ThereAndBackIsTheStart, ()) {
  const auto c = random_corner();
  const auto m = build(c.layout(), c.numbers());
  const auto start = solution_as_measured(m);
  const auto r = reach(m, start, {random_travel(), random_rack(c.layout())});
  RC_PRE(r.arrived);
  const auto back = reach(m, r.at, {0.0, 0.0});
  RC_ASSERT(back.arrived);
  RC_ASSERT(length(back.at.pose.centre_mm - start.pose.centre_mm) < solved_mm);
  RC_ASSERT(std::fabs(back.at.pose.turn.w) > 1.0 - 1e-15);
}

RC_GTEST_PROP(Properties, AMirroredCarGivesMirroredReadings, ()) {
  const auto c = random_corner();
  const double travel = random_travel(), rack = random_rack(c.layout());
  // The right corner is built from the right side's own coordinates.
  Car car;
  car.at(c.layout().axle) = c.axle;
  const auto left = at_travel(corner_mechanism(c.axle, Side::left), travel, rack);
  const auto right = at_travel(corner_mechanism(c.axle, Side::right), travel, rack);
  RC_PRE(left.arrived && right.arrived);
  const auto ml = corner_mechanism(c.axle, Side::left), mr = corner_mechanism(c.axle, Side::right);
  const At<double> l(c.layout(), ml, left.at, ground_for(Side::left, 0.01, 0.02));
  const At<double> r(c.layout(), mr, right.at, ground_for(Side::right, 0.01, -0.02));
  for (const auto& row : reading_table())
    if (applies(row.reading, c.layout())) RC_ASSERT(read(row.reading, l) == read(row.reading, r));
}

// Moving the whole car forward changes nothing but positions along it; turning it about the
// vertical turns toe by the same angle and leaves camber, travel and the spring alone.
RC_GTEST_PROP(Properties, AShiftedOrTurnedFrameChangesNothingElse, ()) {
  const auto c = random_corner();
  const double travel = random_travel();
  const auto m = build(c.layout(), c.numbers());
  const auto here = at_travel(m, travel, 0.0);
  RC_PRE(here.arrived);
  const At<double> a(c.layout(), m, here.at, {});

  auto shifted = c.numbers();
  const Vec3<double> by{0.1 * *rc::gen::inRange(-30000, 30000), 0.0, 0.0};
  for (auto& p : shifted.points_mm) p = p + by;
  const auto ms = build(c.layout(), shifted);
  const auto there = at_travel(ms, travel, 0.0);
  RC_ASSERT(there.arrived);
  const At<double> s(c.layout(), ms, there.at, {});
  for (const auto& row : reading_table())
    if (applies(row.reading, c.layout()) && row.reading != Reading::contact_forward) {
      const double x = read(row.reading, a), y = read(row.reading, s);
      RC_ASSERT(std::fabs(x - y) < 1e-7 * (1.0 + std::fabs(x)));
    }

  const double angle = 0.01 * *rc::gen::inRange(-30, 31);
  const double cs = std::cos(angle), sn = std::sin(angle);
  auto turned = c.numbers();
  for (auto& p : turned.points_mm) p = {cs * p.x - sn * p.y, sn * p.x + cs * p.y, p.z};
  turned.toe_rad -= angle;  // turning to the left is toe-out of a left wheel
  const auto mt = build(c.layout(), turned);
  const auto round = at_travel(mt, travel, 0.0);
  RC_ASSERT(round.arrived);
  const At<double> t(c.layout(), mt, round.at, {});
  RC_ASSERT(std::fabs(read(Reading::camber, t) - read(Reading::camber, a)) < same_rad);
  RC_ASSERT(std::fabs(read(Reading::toe, t) - (read(Reading::toe, a) - angle)) < same_rad);
  RC_ASSERT(std::fabs(read(Reading::bump_steer, t) - read(Reading::bump_steer, a)) < 1e-10);
}

// Rows against central differences of themselves.
RC_GTEST_PROP(Jacobians, EveryRow, ()) {
  const auto c = random_corner();
  const auto m = build(c.layout(), c.numbers());
  const auto r = at_travel(m, random_travel(), random_rack(c.layout()));
  RC_PRE(r.arrived);
  const auto& pose = r.at.pose;
  const double rack = r.at.drive.rack_mm;
  const auto moved_by = [&](int axis, double h) {
    Vec3<double> shift{}, turn{};
    (axis < 3 ? shift : turn)[axis % 3] = axis < 3 ? h : h / 300.0;
    return Pose<double>{pose.centre_mm + shift, trammel::turned(pose.turn, turn)};
  };
  const auto compare = [&](const auto& row) {
    const auto v = value_of(Placed<double>(m, pose, rack), row);
    for (int axis = 0; axis < 6; ++axis) {
      constexpr double h = 1e-3;
      const double up = value_of(Placed<double>(m, moved_by(axis, h), rack), row).off_mm;
      const double down = value_of(Placed<double>(m, moved_by(axis, -h), rack), row).off_mm;
      const double unit = axis < 3 ? 1.0 : 300.0;
      RC_ASSERT(std::fabs((up - down) / (2 * h) - v.change[static_cast<std::size_t>(axis)] / unit) <
                1e-7);
    }
  };
  for (const auto& row : m.distance) {
    compare(row);
    const double up = value_of(Placed<double>(m, pose, rack + 1e-3), row).off_mm;
    const double down = value_of(Placed<double>(m, pose, rack - 1e-3), row).off_mm;
    RC_ASSERT(std::fabs((up - down) / 2e-3 - change_with_rack(Placed<double>(m, pose, rack), row)) <
              1e-7);
  }
  for (const auto& row : m.plane) compare(row);
}

// Rates of readings with travel, against differences of solved positions.
RC_GTEST_PROP(Jacobians, ReadingsPerTravel, ()) {
  const auto c = random_corner();
  const auto m = build(c.layout(), c.numbers());
  const auto mid = at_travel(m, random_travel(), random_rack(c.layout()));
  RC_PRE(mid.arrived);
  constexpr double h = 0.05;
  const auto at = [&](double by) {
    return reach(m, mid.at, {mid.at.drive.travel_mm + by, mid.at.drive.rack_mm});
  };
  const auto up = at(h), down = at(-h);
  RC_PRE(up.arrived && down.arrived);
  const At<double> a(c.layout(), m, mid.at, {}), u(c.layout(), m, up.at, {}),
      d(c.layout(), m, down.at, {});
  const auto rate = [&](Reading r) { return (read(r, u) - read(r, d)) / (2 * h); };
  RC_ASSERT(std::fabs(rate(Reading::toe) - read(Reading::bump_steer, a)) < 1e-9);
  RC_ASSERT(std::fabs(rate(Reading::camber) - read(Reading::camber_gain, a)) < 1e-9);
  const auto moved = (1.0 / (2 * h)) * (up.at.pose.centre_mm - down.at.pose.centre_mm);
  RC_ASSERT(length(moved - mid.at.with_travel.velocity) < velocity_part);
}

RC_GTEST_PROP(Jacobians, PositionsPerRack, ()) {
  const auto c = random_corner();
  RC_PRE(c.layout().steered());
  const auto m = build(c.layout(), c.numbers());
  const auto mid = at_travel(m, random_travel(), random_rack(c.layout()));
  RC_PRE(mid.arrived);
  constexpr double h = 0.05;
  const auto up = reach(m, mid.at, {mid.at.drive.travel_mm, mid.at.drive.rack_mm + h});
  const auto down = reach(m, mid.at, {mid.at.drive.travel_mm, mid.at.drive.rack_mm - h});
  RC_PRE(up.arrived && down.arrived);
  const auto moved = (1.0 / (2 * h)) * (up.at.pose.centre_mm - down.at.pose.centre_mm);
  RC_ASSERT(length(moved - mid.at.with_rack.velocity) < velocity_part);
}

// The upright's motion per mm of an adjuster, against solving with the adjuster moved.
RC_GTEST_PROP(Jacobians, MotionByAnAdjuster, ()) {
  const auto c = random_corner();
  const auto m = build(c.layout(), c.numbers());
  const auto mid = at_travel(m, random_travel(), 0.0);
  RC_PRE(mid.arrived);
  std::vector<Adjuster> adjusters;
  for (std::size_t i = 0; i < c.layout().rods.size(); ++i)
    adjusters.push_back({RodLength{static_cast<int>(i)}, {}});
  const Vec3<double> along = unit(Vec3<double>{0.3, 1.0, -0.4});
  for (int p = 1; p < static_cast<int>(c.layout().points.size()); ++p) {
    const auto& name = c.layout().points[static_cast<std::size_t>(p)];
    // The body joints of an arm that carries a rod turn its hinge, and with it what it carries:
    // that part is not in the derivative.
    const bool carries =
        c.layout().rods.size() == 1 && c.layout().rods[0].inner_on.on == Carrier::arm;
    if (carries && name.starts_with("arm.lower.body")) continue;
    adjusters.push_back({{}, JointShift{p, along}});
  }
  constexpr double h = 0.02;
  for (const auto& adjuster : adjusters) {
    const auto by = [&](double mm) {
      const auto changed = adjusted(c.layout(), m, adjuster, mm);
      return solve(changed, mid.at.drive, mid.at.pose, mid.at.factored.order);
    };
    const auto up = by(h), down = by(-h);
    RC_ASSERT(up.found && down.found);
    const auto moved = (1.0 / (2 * h)) * (up.pose.centre_mm - down.pose.centre_mm);
    RC_ASSERT(length(moved - motion_by(c.layout(), m, mid.at, adjuster).velocity) < 1e-5);
  }
}

// After setting, toe is as asked, and the wheel's height is what it was.
RC_GTEST_PROP(Adjust, ToeIsSetAsAsked, ()) {
  auto c = random_corner();
  RC_PRE(!c.layout().rods.empty());
  if (!c.axle.toe_adjuster)
    c.axle.toe_adjuster = ToeAdjuster{static_cast<int>(c.layout().rods.size()) - 1, true, 0.0, 1};
  const auto m = build(c.layout(), c.numbers());
  const auto start = at_travel(m, random_travel(), 0.0);
  RC_PRE(start.arrived);
  const double toe = 0.01 * *rc::gen::inRange(-5, 6);
  const auto ground = ground_for(Side::left, 0.01, 0.0);
  const auto set = set_wheel(c.axle, m, start.at, ground, {toe, {}});
  RC_ASSERT(set.value.has_value());
  const At<double> at(c.layout(), set.value->mechanism, set.value->at, ground);
  RC_ASSERT(std::fabs(read(Reading::toe, at) - toe) < 1e-11);
  RC_ASSERT(residual_mm(set.value->mechanism, set.value->at) < solved_mm);
  RC_ASSERT(std::fabs(set.value->at.pose.centre_mm.z - start.at.pose.centre_mm.z) < solved_mm);
}

// Four cars in lanes give what each gives alone.
RC_GTEST_PROP(Lanes, FourCarsAtOnceAreFourCars, ()) {
  const auto c = random_corner();
  Numbers<Lanes> together;
  together.points_mm.resize(c.numbers().points_mm.size());
  std::vector<Numbers<double>> alone(lane_count, c.numbers());
  for (std::size_t k = 0; k < lane_count; ++k)
    for (std::size_t i = 0; i < alone[k].points_mm.size(); ++i)
      for (int axis = 0; axis < 3; ++axis) {
        alone[k].points_mm[i][axis] += 0.1 * *rc::gen::inRange(-20, 21);
        together.points_mm[i][axis].set(k, alone[k].points_mm[i][axis]);
      }
  for (std::size_t k = 0; k < lane_count; ++k) {
    together.camber_rad.set(k, alone[k].camber_rad);
    together.toe_rad.set(k, alone[k].toe_rad);
  }
  const auto m = build(c.layout(), together);
  const auto m0 = build(c.layout(), alone[0]);
  const auto order = solution_as_measured(m0).factored.order;
  auto s = solve(m, {}, pose_as_measured(m), order);
  const double step = *rc::gen::elementOf(std::vector<double>{5.0, -5.0});
  for (int i = 1; i <= 6; ++i) {
    s = follow(m, s, {trammel::Lanes(i * step), trammel::Lanes(0.0)});
    RC_ASSERT(all(s.found));
  }
  const auto together_read = read_all(At<trammel::Lanes>(c.layout(), m, s, {}));
  for (std::size_t k = 0; k < lane_count; ++k) {
    const auto mk = build(c.layout(), alone[k]);
    const auto r = at_travel(mk, 6 * step, 0.0);
    RC_ASSERT(r.arrived);
    const auto read_alone = read_all(At<double>(c.layout(), mk, r.at, {}));
    for (const auto& row : reading_table()) {
      const auto i = static_cast<std::size_t>(row.reading);
      // Two sweeps end their Newton at different distances below 1e-5 mm: that is 3e-8 of a
      // velocity, and a roll centre is a velocity times half a track.
      const double same = row.measure == Measure::length ? 3e-5 : 1e-7;
      RC_ASSERT(std::fabs(together_read[i][k] - read_alone[i]) < same);
    }
  }
}

}  // namespace
}  // namespace trammel::testing
