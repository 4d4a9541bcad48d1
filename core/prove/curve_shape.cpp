#include "prove/curve_shape.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <numbers>
#include <set>

namespace trammel {
namespace {

constexpr double shows = 3.0;  // times its uncertainty
// Less than this over the run nobody feels or sets (common practice).
constexpr double least_rad = 0.015 * std::numbers::pi / 180.0;
constexpr double twists = 0.4;  // of slope and bend at the ends: below it a twist is a small one

using Dense = Eigen::MatrixXd;
using Column = Eigen::VectorXd;

struct Solved {
  Column x;  // slope, bend, twist as far as they are in it, then the zero and up against down
  Dense covariance;
};

Solved solved(const GaugeRun& run, int degree) {
  const auto n = static_cast<Eigen::Index>(run.rows.size());
  const auto direction = directions(run);
  const bool both = goes_both_ways(run);
  Dense a(n, degree + (both ? 2 : 1));
  Column y(n);
  for (Eigen::Index i = 0; i < n; ++i) {
    const auto& row = run.rows[static_cast<std::size_t>(i)];
    double power = 1.0;
    for (int k = 0; k < degree; ++k) a(i, k) = power *= row.travel_mm;
    a(i, degree) = 1.0;
    if (both) a(i, degree + 1) = 0.5 * direction[static_cast<std::size_t>(i)];
    y(i) = std::atan((row.rear_mm - row.front_mm) / run.base_mm);
  }
  // Columns of like size: powers of a travel differ by a hundred thousand.
  const Column size = a.colwise().norm().transpose().cwiseMax(1e-300);
  const Dense scaled = a * size.cwiseInverse().asDiagonal();
  const Eigen::CompleteOrthogonalDecomposition<Dense> of(scaled);
  const Dense inverse = of.pseudoInverse();
  const double sigma = std::sqrt(2.0) * run.sigma_mm / run.base_mm;
  Solved s;
  s.x = size.cwiseInverse().asDiagonal() * (inverse * y);
  s.covariance = size.cwiseInverse().asDiagonal() *
                 (sigma * sigma * inverse * inverse.transpose()) * size.cwiseInverse().asDiagonal();
  s.covariance(0, 0) += run.drag_rad_per_mm * run.drag_rad_per_mm;
  return s;
}

}  // namespace

std::string_view word(CurveShape shape) {
  switch (shape) {
    case CurveShape::flat:
      return "flat";
    case CurveShape::straight_out:
      return "straight, toe-out in bump";
    case CurveShape::straight_in:
      return "straight, toe-in in bump";
    case CurveShape::arch:
      return "toe-out at both ends";
    case CurveShape::trough:
      return "toe-in at both ends";
    case CurveShape::s:
      break;
  }
  return "bends both ways";
}

CurveFit curve_fit(const GaugeRun& run) {
  std::set<double> travels;
  for (const auto& row : run.rows) travels.insert(row.travel_mm);
  const int most = std::clamp(static_cast<int>(travels.size()) - 2, 1, 3);
  // The highest term that shows stays, and everything below it.
  int degree = most;
  auto s = solved(run, degree);
  while (degree > 1 &&
         std::fabs(s.x(degree - 1)) < shows * std::sqrt(s.covariance(degree - 1, degree - 1)))
    s = solved(run, --degree);
  CurveFit f;
  const auto sigma = [&](int k) { return std::sqrt(std::max(0.0, s.covariance(k, k))); };
  f.slope = s.x(0);
  f.slope_sigma = sigma(0);
  if (degree > 1) {
    f.bend = s.x(1);
    f.bend_sigma = sigma(1);
  }
  if (degree > 2) {
    f.twist = s.x(2);
    f.twist_sigma = sigma(2);
  }
  f.travel_mm = {*travels.begin(), *travels.rbegin()};
  const auto sigma_at = [&](double t) {
    Column g = Column::Zero(s.x.size());
    double power = 1.0;
    for (int k = 0; k < degree; ++k) g(k) = power *= t;
    return std::sqrt(std::max(0.0, g.dot(s.covariance * g)));
  };
  for (std::size_t e = 0; e < 2; ++e) {
    f.end_rad[e] = f.at(f.travel_mm[e]);
    f.end_sigma_rad[e] = sigma_at(f.travel_mm[e]);
  }
  // A curve that bends back may end where it began.
  const bool seen = std::any_of(travels.begin(), travels.end(), [&](double t) {
    return std::fabs(f.at(t)) > std::max(least_rad, shows * sigma_at(t));
  });
  const double reach = std::max(std::fabs(f.travel_mm[0]), std::fabs(f.travel_mm[1]));
  const double by_slope = std::fabs(f.slope) * reach, by_bend = std::fabs(f.bend) * reach * reach,
               by_twist = std::fabs(f.twist) * reach * reach * reach;
  if (!seen) return f;
  if (f.slope * f.twist < 0.0 && by_twist > twists * by_slope && by_twist > twists * by_bend)
    f.shape = CurveShape::s;
  else if (by_bend > by_slope) f.shape = f.bend < 0.0 ? CurveShape::arch : CurveShape::trough;
  else f.shape = f.slope < 0.0 ? CurveShape::straight_out : CurveShape::straight_in;
  return f;
}

}  // namespace trammel
