#include "travel/solve.h"

#include <algorithm>
#include <cmath>
#include <type_traits>

#include "base/check.h"
#include "base/dual.h"

namespace trammel {
namespace {

constexpr double lever_mm = 300.0;     // turns one rad into mm, for step sizes
constexpr double last_step_mm = 1e-5;  // see solve.h
constexpr int most_iterations = 20;
constexpr double longest_step_mm = 10.0;
constexpr double shortest_step_mm = 1e-3;
constexpr double most_turn_per_step = 0.35;  // rad
constexpr double least_pivot = 1e-9;

template <class T>
struct Linear {
  Six<T> off;
  Six<T> rack;  // what rack travel asks of each row
  Matrix6<T> change;
};

template <class T>
Linear<T> linear_at(const Mechanism<T>& m, const Placed<T>& placed, const Drive<T>& drive) {
  Linear<T> l;
  if (drive.by == DrivenBy::wheel_height) {
    l.off[0] = placed.centre().z - m.centre_mm.z - drive.travel_mm;
    l.change[0] = {T(0.0), T(0.0), T(1.0), T(0.0), T(0.0), T(0.0)};
  } else {
    const auto v = length_of(placed, *m.spring);
    l.off[0] = v.off_mm - drive.travel_mm;
    l.change[0] = v.change;
  }
  std::size_t i = 1;
  l.rack[0] = T(0.0);
  for (const auto& row : m.distance) {
    value_of(placed, row, l.off[i], l.change[i]);
    l.rack[i] = row.inner.on.on == Carrier::rack ? l.change[i][1] : T(0.0);
    ++i;
  }
  for (const auto& row : m.plane) {
    value_of(placed, row, l.off[i], l.change[i]);
    l.rack[i] = T(0.0);
    ++i;
  }
  return l;
}

template <class T>
Pose<T> stepped(const Pose<T>& pose, const Six<T>& by) {
  return {pose.centre_mm + Vec3<T>{by[0], by[1], by[2]},
          turned(pose.turn, Vec3<T>{by[3], by[4], by[5]})};
}

template <class T>
T size_of(const Six<T>& step) {
  T s(0.0);
  for (int i = 0; i < 3; ++i) s = larger(s, magnitude(step[i]));
  for (int i = 3; i < 6; ++i) s = larger(s, T(lever_mm) * magnitude(step[i]));
  return s;
}

// The step and both velocity solutions from the factored Jacobian: of one car side by side in one
// register.
Six<double> step_and_motions(Solution<double>& s, const Linear<double>& l) {
  Six<Lanes> b;
  for (std::size_t i = 0; i < 6; ++i)
    b[i] = Lanes::Vector{-l.off[i], i == 0 ? 1.0 : 0.0, l.rack[i], 0.0};
  const Six<Lanes> x = solved(s.factored, b);
  Six<double> step, travel, rack;
  for (std::size_t i = 0; i < 6; ++i) {
    step[i] = x[i][0];
    travel[i] = x[i][1];
    rack[i] = x[i][2];
  }
  s.with_travel = motion_of(travel);
  s.with_rack = motion_of(rack);
  return step;
}

}  // namespace

PivotOrder order_at(const Mechanism<double>& m, const Pose<double>& pose, DrivenBy by) {
  const Placed<double> placed(m, pose, 0.0);
  auto l = linear_at(m, placed, {0.0, 0.0, by});
  for (auto& row : l.change)
    for (std::size_t j = 3; j < 6; ++j) row[j] /= lever_mm;
  return pivot_order(l.change, by == DrivenBy::wheel_height);
}

template <class T>
void solve_into(Solution<T>& s, const Mechanism<T>& m, const Drive<T>& drive,
                const Pose<T>& start) {
  check(m.row_count() == 5, "a mechanism of five rows",
        {{"rows", static_cast<double>(m.row_count())}});
  check(drive.by == DrivenBy::wheel_height || m.spring.has_value(), "a spring to drive by");
  check(drive.by != DrivenBy::wheel_height ||
            (s.factored.order.row[0] == 0 && s.factored.order.column[0] == 2),
        "an order of elimination that begins with the wheel's height");
  s.pose = start;
  s.drive = drive;
  for (s.iterations = 1; s.iterations <= most_iterations; ++s.iterations) {
    const Placed<T> placed(m, s.pose, drive.rack_mm);
    const auto l = linear_at(m, placed, drive);
    if (drive.by == DrivenBy::wheel_height) factor<true>(s.factored, l.change);
    else factor<false>(s.factored, l.change);
    Six<T> step;
    if constexpr (std::is_same_v<T, double>) {
      step = step_and_motions(s, l);
    } else {
      Six<T> minus;
      for (int i = 0; i < 6; ++i) minus[i] = -l.off[i];
      step = solved(s.factored, minus);
    }
    const T size = size_of(step);
    s.found = size < T(last_step_mm);
    const bool done = all(s.found);
    if constexpr (!std::is_same_v<T, double>) {
      if (done || s.iterations == most_iterations) {
        Six<T> b{};
        b[0] = T(1.0);
        s.with_travel = motion_of(solved(s.factored, b));
        if (m.steered) s.with_rack = motion_of(solved(s.factored, l.rack));
      }
    }
    s.pose = stepped(s.pose, step);
    if (done) return;
    // A lane (or the one car) that flies off will not come back: a mechanism is a metre or two
    // wide.
    if (!any(size < T(1e4))) break;
  }
}

template <class T>
Solution<T> solve(const Mechanism<T>& m, const Drive<T>& drive, const Pose<T>& start,
                  const PivotOrder& order) {
  Solution<T> s;
  s.factored.order = order;
  solve_into(s, m, drive, start);
  return s;
}

// How a turn changes when the upright turns.
template <class T>
Turn<T> rate_of(const Turn<T>& q, const Vec3<T>& turning) {
  const Vec3<T> h = T(0.5) * turning;
  return {-h.x * q.x - h.y * q.y - h.z * q.z, h.x * q.w + h.y * q.z - h.z * q.y,
          h.y * q.w + h.z * q.x - h.x * q.z, h.z * q.w + h.x * q.y - h.y * q.x};
}

// The cubic through two positions and their velocities, carried on.
template <class T>
Pose<T> carried_on(const Solution<T>& from, T by_mm) {
  const auto& p0 = from.before;
  const T d = from.drive.travel_mm - p0.travel_mm;
  const T s = T(1.0) + by_mm / d;
  const T s2 = s * s, s3 = s2 * s;
  const T a = T(2.0) * s3 - T(3.0) * s2 + T(1.0);
  const T b = d * (s3 - T(2.0) * s2 + s), c = d * (s3 - s2);
  const auto q0 = rate_of(p0.pose.turn, p0.with_travel.turning);
  const auto& q1 = from.pose.turn;
  const auto q1r = rate_of(q1, from.with_travel.turning);
  const auto on = [&](T x0, T x1, T v0, T v1) { return x1 + (a * (x0 - x1) + (b * v0 + c * v1)); };
  Pose<T> r;
  r.centre_mm =
      from.pose.centre_mm + (a * (p0.pose.centre_mm - from.pose.centre_mm) +
                             (b * p0.with_travel.velocity + c * from.with_travel.velocity));
  r.turn = {on(p0.pose.turn.w, q1.w, q0.w, q1r.w), on(p0.pose.turn.x, q1.x, q0.x, q1r.x),
            on(p0.pose.turn.y, q1.y, q0.y, q1r.y), on(p0.pose.turn.z, q1.z, q0.z, q1r.z)};
  r.turn = turned(r.turn, Vec3<T>{});
  return r;
}

// The quintic through three positions and their velocities, carried on.
template <class T>
Pose<T> carried_far(const Solution<T>& from, T to_mm) {
  const auto &p0 = from.earlier, &p1 = from.before;
  const T t0 = p0.travel_mm, t1 = p1.travel_mm, t2 = from.drive.travel_mm;
  const T i01 = T(1.0) / (t0 - t1), i02 = T(1.0) / (t0 - t2), i12 = T(1.0) / (t1 - t2);
  const T d0 = to_mm - t0, d1 = to_mm - t1, d2 = to_mm - t2;
  const T l0 = d1 * d2 * (i01 * i02), l1 = -(d0 * d2) * (i01 * i12), l2 = d0 * d1 * (i02 * i12);
  const T w0 = l0 * l0, w1 = l1 * l1, w2 = l2 * l2;
  const T a0 = (T(1.0) - T(2.0) * d0 * (i01 + i02)) * w0;
  const T a1 = (T(1.0) - T(2.0) * d1 * (i12 - i01)) * w1;
  const T b0 = d0 * w0, b1 = d1 * w1, b2 = d2 * w2;
  const auto q0 = rate_of(p0.pose.turn, p0.with_travel.turning);
  const auto q1 = rate_of(p1.pose.turn, p1.with_travel.turning);
  const auto q2 = rate_of(from.pose.turn, from.with_travel.turning);
  const auto on = [&](T x0, T x1, T x2, T v0, T v1, T v2) {
    return x2 + ((a0 * (x0 - x2) + a1 * (x1 - x2)) + (b0 * v0 + b1 * v1 + b2 * v2));
  };
  const auto& c = from.pose.centre_mm;
  const auto& v = from.with_travel.velocity;
  const auto &c0 = p0.pose.centre_mm, &c1 = p1.pose.centre_mm, &v0 = p0.with_travel.velocity,
             &v1 = p1.with_travel.velocity;
  const auto &r0 = p0.pose.turn, &r1 = p1.pose.turn, &r2 = from.pose.turn;
  return {
      {on(c0.x, c1.x, c.x, v0.x, v1.x, v.x), on(c0.y, c1.y, c.y, v0.y, v1.y, v.y),
       on(c0.z, c1.z, c.z, v0.z, v1.z, v.z)},
      turned(
          Turn<T>{on(r0.w, r1.w, r2.w, q0.w, q1.w, q2.w), on(r0.x, r1.x, r2.x, q0.x, q1.x, q2.x),
                  on(r0.y, r1.y, r2.y, q0.y, q1.y, q2.y), on(r0.z, r1.z, r2.z, q0.z, q1.z, q2.z)},
          Vec3<T>{})};
}

template <class T>
__attribute__((flatten)) void advance(const Mechanism<T>& m, Solution<T>& s,
                                      const Drive<T>& drive) {
  const T up = drive.travel_mm - s.drive.travel_mm;
  const T out = drive.rack_mm - s.drive.rack_mm;
  const bool straight =
      s.passed > 0 && all(!(magnitude(out) > T(0.0))) &&
      all(!(magnitude(s.drive.rack_mm - s.before.rack_mm) > T(0.0))) &&
      all(magnitude(up) < T(1.5) * magnitude(s.drive.travel_mm - s.before.travel_mm));
  Pose<T> start;
  if (straight) {
    const T first = s.before.travel_mm - s.earlier.travel_mm,
            second = s.drive.travel_mm - s.before.travel_mm;
    if (s.passed > 1 && all(T(0.5) * magnitude(second) < magnitude(first)) &&
        all(T(0.5) * magnitude(second) < magnitude(first + second)))
      start = carried_far(s, drive.travel_mm);
    else start = carried_on(s, up);
  } else {
    const Vec3<T> shift = up * s.with_travel.velocity + out * s.with_rack.velocity;
    const Vec3<T> turn = up * s.with_travel.turning + out * s.with_rack.turning;
    start = stepped(s.pose, {shift.x, shift.y, shift.z, turn.x, turn.y, turn.z});
  }
  s.earlier = s.before;
  s.before = {s.pose, s.with_travel, s.drive.travel_mm, s.drive.rack_mm};
  ++s.passed;
  solve_into(s, m, drive, start);
}

template <class T>
Solution<T> follow(const Mechanism<T>& m, const Solution<T>& from, const Drive<T>& drive) {
  Solution<T> s = from;
  advance(m, s, drive);
  return s;
}

double residual_mm(const Mechanism<double>& m, const Solution<double>& at) {
  const Placed<double> placed(m, at.pose, at.drive.rack_mm);
  double worst = 0.0;
  for (const double off : linear_at(m, placed, at.drive).off)
    worst = std::max(worst, std::fabs(off));
  return worst;
}

Solution<double> solution_as_measured(const Mechanism<double>& m, DrivenBy by) {
  const auto pose = pose_as_measured(m);
  Drive<double> drive{0.0, 0.0, by};
  if (by == DrivenBy::spring_length) {
    check(m.spring.has_value(), "a spring to drive by");
    drive.travel_mm = length_of(Placed<double>(m, pose, 0.0), *m.spring).off_mm;
  }
  return solve(m, drive, pose, order_at(m, pose, by));
}

Reached reach(const Mechanism<double>& m, const Solution<double>& from,
              const Drive<double>& drive) {
  const double up = drive.travel_mm - from.drive.travel_mm;
  const double out = drive.rack_mm - from.drive.rack_mm;
  const double way = std::max(std::fabs(up), std::fabs(out));
  Reached reached{from, true};
  if (way == 0.0) return reached;
  double done = 0.0, step = std::min(1.0, longest_step_mm / way);
  while (done < 1.0) {
    const double next = std::min(1.0, done + step);
    const Drive<double> to{from.drive.travel_mm + next * up, from.drive.rack_mm + next * out,
                           drive.by};
    Solution<double> s = follow(m, reached.at, next == 1.0 ? drive : to);
    const auto turn_of = [](const Solution<double>& a, const Solution<double>& b) {
      const auto& p = a.pose.turn;
      const auto& q = b.pose.turn;
      const double c = std::fabs(p.w * q.w + p.x * q.x + p.y * q.y + p.z * q.z);
      return 2.0 * std::acos(std::min(1.0, c));
    };
    bool good = s.found && s.factored.smallest_pivot > least_pivot &&
                turn_of(reached.at, s) < most_turn_per_step;
    if (good) {
      // The same order of elimination gives comparable determinants; then the order is renewed.
      good = (s.factored.determinant > 0.0) == (reached.at.factored.determinant > 0.0);
    }
    if (good) {
      if (s.factored.smallest_pivot < 0.02) {
        Solution<double> again = solve(m, s.drive, s.pose, order_at(m, s.pose, drive.by));
        if (again.found) s = again;
      }
      reached.at = s;
      done = next;
      step = std::min(2.0 * step, longest_step_mm / way);
    } else {
      step *= 0.5;
      if (step * way < shortest_step_mm) {
        reached.arrived = false;
        return reached;
      }
    }
  }
  return reached;
}

template Solution<double> solve(const Mechanism<double>&, const Drive<double>&, const Pose<double>&,
                                const PivotOrder&);
template Solution<Lanes> solve(const Mechanism<Lanes>&, const Drive<Lanes>&, const Pose<Lanes>&,
                               const PivotOrder&);
template Solution<Dual> solve(const Mechanism<Dual>&, const Drive<Dual>&, const Pose<Dual>&,
                              const PivotOrder&);
template void advance(const Mechanism<double>&, Solution<double>&, const Drive<double>&);
template void advance(const Mechanism<Lanes>&, Solution<Lanes>&, const Drive<Lanes>&);
template Solution<double> follow(const Mechanism<double>&, const Solution<double>&,
                                 const Drive<double>&);
template Solution<Lanes> follow(const Mechanism<Lanes>&, const Solution<Lanes>&,
                                const Drive<Lanes>&);

}  // namespace trammel
