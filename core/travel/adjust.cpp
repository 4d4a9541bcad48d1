#include "travel/adjust.h"

#include <array>
#include <cmath>

#include "base/check.h"

namespace trammel {
namespace {

constexpr double set_to_rad = 1e-12;
constexpr double most_per_step_mm = 15.0;
constexpr int most_steps = 40;
constexpr double does_not_move = 1e-14;  // rad/mm, or its square where two are set together

}  // namespace

template <class T>
WheelRates<T> wheel_rates(const Vec3<T>& spin, const Ground<T>& g, const Motion<T>& motion) {
  const auto rate = cross(motion.turning, spin);
  const T x = dot(spin, g.forward), y = dot(spin, g.outboard), z = dot(spin, g.up);
  return {(dot(rate, g.forward) * y - x * dot(rate, g.outboard)) / (x * x + y * y),
          -(dot(rate, g.up) / root(T(1.0) - z * z))};
}

template <class T>
Mechanism<T> adjusted(const Layout& layout, const Mechanism<T>& mechanism, const Adjuster& adjuster,
                      T by_mm) {
  if (adjuster.joint)
    return moved(mechanism, adjuster.joint->point, by_mm * spread_over<T>(adjuster.joint->along));
  check(adjuster.rod.has_value(), "an adjuster that is a rod or a joint");
  auto m = mechanism;
  m.distance[static_cast<std::size_t>(rod_row(layout, adjuster.rod->rod))].length_mm += by_mm;
  return m;
}

template <class T>
Motion<T> motion_by(const Layout& layout, const Mechanism<T>& m, const Solution<T>& at,
                    const Adjuster& adjuster) {
  const Placed<T> placed(m, at.pose, at.drive.rack_mm);
  Six<T> b{};  // minus the change of each row
  for (auto& x : b) x = T(0.0);
  if (adjuster.rod) {
    const auto i = static_cast<std::size_t>(rod_row(layout, adjuster.rod->rod));
    const auto& row = m.distance[i];
    const auto span = placed.position(row.outer) - placed.position(row.inner);
    b[i + 1] = T(0.5) * (dot(span, span) / (row.length_mm * row.length_mm) + T(1.0));
  } else {
    const int point = adjuster.joint->point;
    const Vec3<T> along = spread_over<T>(adjuster.joint->along);
    std::size_t i = 1;
    for (const auto& row : m.distance) {
      const auto g =
          (T(1.0) / row.length_mm) * (placed.position(row.outer) - placed.position(row.inner));
      const auto along_of = [&](const Anchor<T>& a) {
        return dot(g, placed.direction(a.on, on_carrier(m, a.on, along)));
      };
      if (row.outer.point == point) b[i] -= along_of(row.outer);
      if (row.inner.point == point) b[i] += along_of(row.inner);
      if (row.inner.on.on == Carrier::arm) {
        // The ball joint of the arm that carries it: the arm turns with it.
        const auto& ball = m.distance[2 * static_cast<std::size_t>(row.inner.on.arm)].outer;
        if (ball.point == point)
          b[i] += dot(g, placed.velocity_on_arm(row.inner, placed.direction(ball.on, along)));
      }
      ++i;
    }
    for (const auto& row : m.plane) {
      const auto normal = row.plane_on_upright ? placed.turn() * row.normal : row.normal;
      const auto on_upright = placed.turn() * along;
      if (row.point_point == point) b[i] -= dot(normal, row.plane_on_upright ? along : on_upright);
      if (row.plane_point == point) b[i] += dot(normal, row.plane_on_upright ? on_upright : along);
      ++i;
    }
  }
  return motion_of(solved(at.factored, b));
}

template <class T>
SetWheel<T> wheel_set(const Axle& axle, const Mechanism<T>& mechanism, const Solution<T>& start,
                      const Ground<T>& ground, const WheelSetting& setting) {
  struct Wanted {
    Adjuster adjuster;
    bool toe = false;
    double value = 0.0;
    T by_mm{};
  };
  std::array<Wanted, 2> wanted;
  std::size_t n = 0;
  if (setting.toe_rad) {
    check(axle.toe_adjuster.has_value(), "a rod that sets toe");
    wanted[n++] = {{RodLength{axle.toe_adjuster->rod}, {}}, true, *setting.toe_rad, T(0.0)};
  }
  if (setting.camber_rad) {
    check(axle.camber_adjuster.has_value(), "something that sets camber");
    const auto& c = *axle.camber_adjuster;
    Adjuster adjuster;
    if (c.rod >= 0) adjuster.rod = RodLength{c.rod};
    else adjuster.joint = JointShift{c.joint, c.along};
    wanted[n++] = {adjuster, false, *setting.camber_rad, T(0.0)};
  }
  const auto& layout = axle.layout;
  SetWheel<T> set{mechanism, start, T(0.0), T(0.0), {}};
  if (n == 0) {
    set.set = start.found;
    return set;
  }
  Mask<T> lost = !start.found;
  for (int step = 0; step < most_steps; ++step) {
    const auto spin = spin_at(set.mechanism, set.at);
    std::array<T, 2> off{T(0.0), T(0.0)}, by{T(0.0), T(0.0)};
    T worst(0.0);
    for (std::size_t i = 0; i < n; ++i) {
      off[i] =
          T(wanted[i].value) - (wanted[i].toe ? toe_of(spin, ground) : camber_of(spin, ground));
      worst = larger(worst, magnitude(off[i]));
    }
    const Mask<T> close = worst < T(set_to_rad);
    set.set = close & !lost;
    if (all(set.set | lost)) return set;
    std::array<std::array<T, 2>, 2> a{{{T(1.0), T(0.0)}, {T(0.0), T(1.0)}}};
    for (std::size_t j = 0; j < n; ++j) {
      const auto r =
          wheel_rates(spin, ground, motion_by(layout, set.mechanism, set.at, wanted[j].adjuster));
      for (std::size_t i = 0; i < n; ++i) a[i][j] = wanted[i].toe ? r.toe : r.camber;
    }
    const T det = a[0][0] * a[1][1] - a[0][1] * a[1][0];
    const Mask<T> moves = magnitude(det) > T(does_not_move);
    by = {(a[1][1] * off[0] - a[0][1] * off[1]) / det, (a[0][0] * off[1] - a[1][0] * off[0]) / det};
    const T most = larger(magnitude(by[0]), magnitude(by[1]));
    const Mask<T> finite = most < T(1e9);
    lost = lost | !(moves & finite);
    const T scale = select(most > T(most_per_step_mm), T(most_per_step_mm) / most, T(1.0));
    for (std::size_t i = 0; i < n; ++i) {
      const T step_mm = select(lost, T(0.0), scale * by[i]);
      wanted[i].by_mm += step_mm;
      set.mechanism = adjusted(layout, set.mechanism, wanted[i].adjuster, step_mm);
      (wanted[i].toe ? set.toe_rod_mm : set.camber_by_mm) = wanted[i].by_mm;
    }
    set.at = solve(set.mechanism, set.at.drive, set.at.pose, start.factored.order);
    lost = lost | !set.at.found;
  }
  return set;
}

Answer<SetWheel<double>, CannotSet> set_wheel(const Axle& axle, const Mechanism<double>& mechanism,
                                              const Solution<double>& start,
                                              const Ground<double>& ground,
                                              const WheelSetting& setting) {
  auto from = start;
  from.factored.order = order_at(mechanism, start.pose, start.drive.by);
  auto set = wheel_set(axle, mechanism, from, ground, setting);
  if (set.set) return {std::move(set), {}};
  return {{}, {axle.layout.axle}};
}

template WheelRates<double> wheel_rates(const Vec3<double>&, const Ground<double>&,
                                        const Motion<double>&);
template Mechanism<double> adjusted(const Layout&, const Mechanism<double>&, const Adjuster&,
                                    double);
template Motion<double> motion_by(const Layout&, const Mechanism<double>&, const Solution<double>&,
                                  const Adjuster&);
template SetWheel<double> wheel_set(const Axle&, const Mechanism<double>&, const Solution<double>&,
                                    const Ground<double>&, const WheelSetting&);
template WheelRates<Lanes> wheel_rates(const Vec3<Lanes>&, const Ground<Lanes>&,
                                       const Motion<Lanes>&);
template Mechanism<Lanes> adjusted(const Layout&, const Mechanism<Lanes>&, const Adjuster&, Lanes);
template Motion<Lanes> motion_by(const Layout&, const Mechanism<Lanes>&, const Solution<Lanes>&,
                                 const Adjuster&);
template SetWheel<Lanes> wheel_set(const Axle&, const Mechanism<Lanes>&, const Solution<Lanes>&,
                                   const Ground<Lanes>&, const WheelSetting&);

}  // namespace trammel
