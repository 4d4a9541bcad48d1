#include "travel/solve.h"

#include <algorithm>
#include <cmath>

#include "base/check.h"

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
  for (const auto& row : m.distance) {
    const auto v = value_of(placed, row);
    l.off[i] = v.off_mm;
    l.change[i++] = v.change;
  }
  for (const auto& row : m.plane) {
    const auto v = value_of(placed, row);
    l.off[i] = v.off_mm;
    l.change[i++] = v.change;
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

// Both velocity solutions from the factored Jacobian.
template <class T>
void find_motions(const Mechanism<T>& m, const Placed<T>& placed, Solution<T>& s) {
  Six<T> b{};
  b[0] = T(1.0);
  s.with_travel = motion_of(solved(s.factored, b));
  b[0] = T(0.0);
  bool steered = false;
  for (std::size_t i = 0; i < m.distance.size(); ++i)
    if (m.distance[i].inner.on.on == Carrier::rack) {
      steered = true;
      b[i + 1] = -change_with_rack(placed, m.distance[i]);
    }
  if (steered) s.with_rack = motion_of(solved(s.factored, b));
}

}  // namespace

PivotOrder order_at(const Mechanism<double>& m, const Pose<double>& pose, DrivenBy by) {
  const Placed<double> placed(m, pose, 0.0);
  auto l = linear_at(m, placed, {0.0, 0.0, by});
  for (auto& row : l.change)
    for (std::size_t j = 3; j < 6; ++j) row[j] /= lever_mm;
  return pivot_order(l.change);
}

template <class T>
Solution<T> solve(const Mechanism<T>& m, const Drive<T>& drive, const Pose<T>& start,
                  const PivotOrder& order) {
  check(m.row_count() == 5, "a mechanism of five rows",
        {{"rows", static_cast<double>(m.row_count())}});
  check(drive.by == DrivenBy::wheel_height || m.spring.has_value(), "a spring to drive by");
  Solution<T> s;
  s.pose = start;
  s.drive = drive;
  for (s.iterations = 1; s.iterations <= most_iterations; ++s.iterations) {
    const Placed<T> placed(m, s.pose, drive.rack_mm);
    const auto l = linear_at(m, placed, drive);
    s.factored = factored(l.change, order);
    Six<T> minus;
    for (int i = 0; i < 6; ++i) minus[i] = -l.off[i];
    const Six<T> step = solved(s.factored, minus);
    const T size = size_of(step);
    s.found = size < T(last_step_mm);
    const bool done = all(s.found);
    if (done || s.iterations == most_iterations) find_motions(m, placed, s);
    s.pose = stepped(s.pose, step);
    if (done) return s;
    // A lane (or the one car) that flies off will not come back: a mechanism is a metre or two
    // wide.
    if (!any(size < T(1e4))) break;
  }
  return s;
}

template <class T>
Solution<T> follow(const Mechanism<T>& m, const Solution<T>& from, const Drive<T>& drive) {
  const T up = drive.travel_mm - from.drive.travel_mm;
  const T out = drive.rack_mm - from.drive.rack_mm;
  const Vec3<T> shift = up * from.with_travel.velocity + out * from.with_rack.velocity;
  const Vec3<T> turn = up * from.with_travel.turning + out * from.with_rack.turning;
  return solve(m, drive, stepped(from.pose, {shift.x, shift.y, shift.z, turn.x, turn.y, turn.z}),
               from.factored.order);
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
template Solution<double> follow(const Mechanism<double>&, const Solution<double>&,
                                 const Drive<double>&);
template Solution<Lanes> follow(const Mechanism<Lanes>&, const Solution<Lanes>&,
                                const Drive<Lanes>&);

}  // namespace trammel
