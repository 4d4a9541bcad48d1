// The strut corner in a general solver, for comparison.
#pragma once

#include <ceres/tiny_solver.h>
#include <ceres/tiny_solver_autodiff_function.h>

#include "travel/mechanism.h"

namespace trammel::testing {

// General solvers go on until their equations hold as far as this.
inline constexpr double peer_tolerance_mm = 1e-9;

// The strut corner for Ceres' TinySolver, a general least squares solver with automatic
// derivatives: wheel centre, and the upright's turn as a Gibbs vector (axis times the tangent of
// half the angle), which needs no trigonometry.
struct StrutRows {
  Vec3<double> centre, arm[2], ball, rod, rod_end, foot, top, square[2];
  double arm_mm[2], rod_mm, height_mm = 0.0;

  explicit StrutRows(const Mechanism<double>& m)
      : centre(m.centre_mm),
        arm{m.distance[0].inner.at, m.distance[1].inner.at},
        ball(m.distance[0].outer.at),
        rod(m.distance[2].inner.at),
        rod_end(m.distance[2].outer.at),
        foot(m.plane[0].through),
        top(m.plane[0].point),
        square{m.plane[0].normal, m.plane[1].normal},
        arm_mm{m.distance[0].length_mm, m.distance[1].length_mm},
        rod_mm(m.distance[2].length_mm) {}

  template <class T>
  bool operator()(const T* x, T* off) const {
    const T &a = x[3], &b = x[4], &c = x[5];
    const T s = 2.0 / (1.0 + a * a + b * b + c * c);
    const auto turned = [&](const Vec3<double>& v, T* out) {
      const T u0 = b * v.z - c * v.y, u1 = c * v.x - a * v.z, u2 = a * v.y - b * v.x;
      out[0] = v.x + s * (u0 + b * u2 - c * u1);
      out[1] = v.y + s * (u1 + c * u0 - a * u2);
      out[2] = v.z + s * (u2 + a * u1 - b * u0);
    };
    const auto distance = [&](const Vec3<double>& inner, const T* lever, double mm) {
      const T dx = x[0] + lever[0] - inner.x, dy = x[1] + lever[1] - inner.y,
              dz = x[2] + lever[2] - inner.z;
      return (dx * dx + dy * dy + dz * dz - mm * mm) * (0.5 / mm);
    };
    T lever[3];
    off[0] = x[2] - height_mm;
    turned(ball, lever);
    off[1] = distance(arm[0], lever, arm_mm[0]);
    off[2] = distance(arm[1], lever, arm_mm[1]);
    turned(rod_end, lever);
    off[3] = distance(rod, lever, rod_mm);
    for (int i = 0; i < 2; ++i) {
      turned(square[i], lever);
      off[4 + i] = lever[0] * (top.x - x[0]) + lever[1] * (top.y - x[1]) +
                   lever[2] * (top.z - x[2]) - dot(square[i], foot);
    }
    return true;
  }
};

class TinyStrut {
 public:
  explicit TinyStrut(const Mechanism<double>& m) : rows_(m) {
    x_ << m.centre_mm.x, m.centre_mm.y, m.centre_mm.z, 0.0, 0.0, 0.0;
    // The start is near: no damping, and only the equations decide that it is done.
    solver_.options.initial_trust_region_radius = 1e12;
    solver_.options.cost_threshold = 0.5 * peer_tolerance_mm * peer_tolerance_mm;
    solver_.options.gradient_tolerance = 0.0;
    solver_.options.parameter_tolerance = 0.0;
    solver_.options.function_tolerance = 0.0;
  }
  bool put(double travel_mm) {
    rows_.height_mm = rows_.centre.z + travel_mm;
    return solver_.Solve(function_, &x_).status == Solver::COST_TOO_SMALL;
  }
  Vec3<double> centre() const { return {x_[0], x_[1], x_[2]}; }

 private:
  using Function = ceres::TinySolverAutoDiffFunction<StrutRows, 6, 6>;
  using Solver = ceres::TinySolver<Function>;
  StrutRows rows_;
  Function function_{rows_};
  Solver solver_;
  Solver::Parameters x_;
};

}  // namespace trammel::testing
