#include "travel/adjust.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "base/check.h"

namespace trammel {
namespace {

constexpr double set_to_rad = 1e-12;
constexpr double most_per_step_mm = 15.0;
constexpr int most_steps = 40;

}  // namespace

WheelRates wheel_rates(const At<double>& at, const Motion<double>& motion) {
  const auto& g = at.ground;
  const auto rate = cross(motion.turning, at.spin);
  const double x = dot(at.spin, g.forward), y = dot(at.spin, g.outboard), z = dot(at.spin, g.up);
  return {(dot(rate, g.forward) * y - x * dot(rate, g.outboard)) / (x * x + y * y),
          -dot(rate, g.up) / std::sqrt(1.0 - z * z)};
}

Mechanism<double> adjusted(const Layout& layout, const Mechanism<double>& mechanism,
                           const Adjuster& adjuster, double by_mm) {
  if (adjuster.joint) return moved(mechanism, adjuster.joint->point, by_mm * adjuster.joint->along);
  check(adjuster.rod.has_value(), "an adjuster that is a rod or a joint");
  auto m = mechanism;
  m.distance[static_cast<std::size_t>(rod_row(layout, adjuster.rod->rod))].length_mm += by_mm;
  return m;
}

Motion<double> motion_by(const Layout& layout, const Mechanism<double>& m,
                         const Solution<double>& at, const Adjuster& adjuster) {
  const Placed<double> placed(m, at.pose, at.drive.rack_mm);
  Six<double> b{};  // minus the change of each row
  if (adjuster.rod) {
    const auto i = static_cast<std::size_t>(rod_row(layout, adjuster.rod->rod));
    const auto& row = m.distance[i];
    const auto span = placed.position(row.outer) - placed.position(row.inner);
    b[i + 1] = 0.5 * (dot(span, span) / (row.length_mm * row.length_mm) + 1.0);
  } else {
    const auto& shift = *adjuster.joint;
    std::size_t i = 1;
    for (const auto& row : m.distance) {
      const auto g =
          (1.0 / row.length_mm) * (placed.position(row.outer) - placed.position(row.inner));
      const auto along_of = [&](const Anchor<double>& a) {
        return dot(g, placed.direction(a.on, on_carrier(m, a.on, shift.along)));
      };
      if (row.outer.point == shift.point) b[i] -= along_of(row.outer);
      if (row.inner.point == shift.point) b[i] += along_of(row.inner);
      if (row.inner.on.on == Carrier::arm) {
        // The ball joint of the arm that carries it: the arm turns with it.
        const auto& ball = m.distance[2 * static_cast<std::size_t>(row.inner.on.arm)].outer;
        if (ball.point == shift.point)
          b[i] += dot(g, placed.velocity_on_arm(row.inner, placed.direction(ball.on, shift.along)));
      }
      ++i;
    }
    for (const auto& row : m.plane) {
      const auto normal = row.plane_on_upright ? placed.turn() * row.normal : row.normal;
      const auto on_upright = placed.turn() * shift.along;
      if (row.point_point == shift.point)
        b[i] -= dot(normal, row.plane_on_upright ? shift.along : on_upright);
      if (row.plane_point == shift.point)
        b[i] += dot(normal, row.plane_on_upright ? on_upright : shift.along);
      ++i;
    }
  }
  return motion_of(solved(at.factored, b));
}

Answer<SetWheel> set_wheel(const Axle& axle, const Mechanism<double>& mechanism,
                           const Solution<double>& start, const Ground<double>& ground,
                           const WheelSetting& setting) {
  struct Wanted {
    Adjuster adjuster;
    Reading reading;
    double value, by_mm;
  };
  std::vector<Wanted> wanted;
  if (setting.toe_rad) {
    check(axle.toe_adjuster.has_value(), "a rod that sets toe");
    wanted.push_back(
        {{RodLength{axle.toe_adjuster->rod}, {}}, Reading::toe, *setting.toe_rad, 0.0});
  }
  if (setting.camber_rad) {
    check(axle.camber_adjuster.has_value(), "something that sets camber");
    const auto& c = *axle.camber_adjuster;
    Adjuster adjuster;
    if (c.rod >= 0) adjuster.rod = RodLength{c.rod};
    else adjuster.joint = JointShift{c.joint, c.along};
    wanted.push_back({adjuster, Reading::camber, *setting.camber_rad, 0.0});
  }
  const auto& layout = axle.layout;
  SetWheel set{mechanism, start, 0.0, 0.0};
  const auto why = [&](const char* what) {
    return Answer<SetWheel>{
        {}, fmt::format("the {} wheels cannot be set as asked: {}", word(layout.axle), what)};
  };
  for (int step = 0; step < most_steps; ++step) {
    const At<double> at(layout, set.mechanism, set.at, ground);
    std::array<double, 2> off{}, by{};
    double worst = 0.0;
    for (std::size_t i = 0; i < wanted.size(); ++i) {
      off[i] = wanted[i].value - read(wanted[i].reading, at);
      worst = std::max(worst, std::fabs(off[i]));
    }
    if (worst < set_to_rad) return {std::move(set), {}};
    std::array<std::array<double, 2>, 2> a{{{1.0, 0.0}, {0.0, 1.0}}};
    for (std::size_t j = 0; j < wanted.size(); ++j) {
      const auto r = wheel_rates(at, motion_by(layout, set.mechanism, set.at, wanted[j].adjuster));
      for (std::size_t i = 0; i < wanted.size(); ++i)
        a[i][j] = wanted[i].reading == Reading::toe ? r.toe : r.camber;
    }
    const double det = a[0][0] * a[1][1] - a[0][1] * a[1][0];
    if (!(std::fabs(det) > 1e-14)) return why("the adjuster does not move what it should set");
    by = {(a[1][1] * off[0] - a[0][1] * off[1]) / det, (a[0][0] * off[1] - a[1][0] * off[0]) / det};
    const double most = std::max(std::fabs(by[0]), std::fabs(by[1]));
    if (!std::isfinite(most)) return why("the adjuster does not move what it should set");
    const double scale = most > most_per_step_mm ? most_per_step_mm / most : 1.0;
    for (std::size_t i = 0; i < wanted.size(); ++i) {
      wanted[i].by_mm += scale * by[i];
      set.mechanism = adjusted(layout, set.mechanism, wanted[i].adjuster, scale * by[i]);
      (wanted[i].reading == Reading::toe ? set.toe_rod_mm : set.camber_by_mm) = wanted[i].by_mm;
    }
    set.at = solve(set.mechanism, set.at.drive, set.at.pose,
                   order_at(set.mechanism, set.at.pose, set.at.drive.by));
    if (!set.at.found) return why("no length of the adjuster reaches it");
  }
  return why("no length of the adjuster reaches it");
}

}  // namespace trammel
