#include "parts/corner.h"

#include <algorithm>
#include <cmath>
#include <type_traits>

#include "base/check.h"
#include "travel/sweep.h"

namespace trammel {
namespace {

constexpr double coarse_mm = 5.0;        // the cubic between is off by some 1e-6 degrees
constexpr double longest_move_mm = 8.0;  // parts are moved in steps that Newton follows safely

double middle(const std::array<double, 2>& range) { return 0.5 * (range[0] + range[1]); }

// The extremum of the cubic through two values and slopes a distance h apart, if it lies between.
std::optional<double> cubic_extremum(double y0, double s0, double y1, double s1, double h) {
  // y = y0 + s0 t + b t^2 + a t^3
  const double a = (s0 + s1 - 2.0 * (y1 - y0) / h) / (h * h);
  const double b = (3.0 * (y1 - y0) / h - 2.0 * s0 - s1) / h;
  const double root = b * b - 3.0 * a * s0;
  if (!(root >= 0.0)) return {};
  const double q = -(b + std::copysign(std::sqrt(root), b));
  for (const double t : {q / (3.0 * a), s0 / q})
    if (std::isfinite(t) && t >= 0.0 && t <= h) return y0 + t * (s0 + t * (b + t * a));
  return {};
}

Answer<Curve, NotPossible> curve_at(const CornerBefore& before, const CornerFitted& corner,
                                    const std::array<double, 2>& window_mm,
                                    const std::vector<double>& travels) {
  check(window_mm[0] <= 0.0 && window_mm[1] >= 0.0, "a window that holds ride height",
        {{"from", window_mm[0]}, {"to", window_mm[1]}});
  const auto positions = positions_over(corner, travels);
  if (positions.empty()) return {{}, {NotPossible::Of::locks, before.axle->layout.axle, window_mm}};
  struct Point {
    double toe, slope;
  };
  const auto read_at = [&](const Solution<double>& s) {
    const At<double> at(before.axle->layout, corner.mechanism, s, before.ground);
    return Point{read(Reading::toe, at), read(Reading::bump_steer, at)};
  };
  const double at_ride = read_at(corner.at).toe;
  Curve c;
  double squares = 0.0;
  std::optional<Point> last;
  for (std::size_t i = 0; i < positions.size(); ++i) {
    const Point p = read_at(positions[i]);
    squares += (p.toe - at_ride) * (p.toe - at_ride);
    c.toe_change_max_rad = std::max(c.toe_change_max_rad, std::fabs(p.toe - at_ride));
    if (last && (last->slope > 0.0) != (p.slope > 0.0))
      if (const auto peak =
              cubic_extremum(last->toe, last->slope, p.toe, p.slope, travels[i] - travels[i - 1]))
        c.toe_change_max_rad = std::max(c.toe_change_max_rad, std::fabs(*peak - at_ride));
    last = p;
  }
  c.toe_change_rms_rad = std::sqrt(squares / static_cast<double>(positions.size()));
  return {c, {}};
}

}  // namespace

CornerBefore corner_before(const Ride& ride, AxleName name, Side side, const Target& target) {
  const auto& axle = *ride.car.at(name);
  const auto& ridden = ride.at(name)->at(side);
  CornerBefore c{
      &axle,         side, ridden.mechanism, ridden.at, ground_for(side, ride.pitch_rad, 0.0),
      WheelSetting{}};
  if (axle.toe_adjuster && axle.toe_adjuster->stated)
    c.setting.toe_rad =
        target.toe_rad ? middle(*target.toe_rad)
                       : read(Reading::toe, At<double>(axle.layout, c.mechanism, c.at, c.ground));
  if (axle.camber_adjuster && target.camber_rad) c.setting.camber_rad = middle(*target.camber_rad);
  return c;
}

template <class T>
CornerWithParts<T> fit_parts(const Axle& axle, const Mechanism<T>& mechanism, const Solution<T>& at,
                             const Ground<T>& ground, const WheelSetting& setting,
                             const std::vector<PartMove<T>>& moves) {
  CornerWithParts<T> f{mechanism, at, T(0.0), T(0.0), {}};
  Mask<T> found = at.found;
  double farthest = 0.0;
  for (const auto& m : moves) farthest = std::max(farthest, lane(length(m.by_mm), 0));
  const int steps = std::max(1, static_cast<int>(std::ceil(farthest / longest_move_mm)));
  for (int i = 0; i < steps && farthest > 0.0; ++i) {
    for (const auto& m : moves)
      f.mechanism = moved(std::move(f.mechanism), m.point, T(1.0 / steps) * m.by_mm);
    // Of one car the order is found anew; lanes keep the one of the car they are drawn about.
    PivotOrder order = f.at.factored.order;
    if constexpr (std::is_same_v<T, double>)
      order = order_at(f.mechanism, f.at.pose, f.at.drive.by);
    f.at = solve(f.mechanism, f.at.drive, f.at.pose, order);
    found = found & f.at.found;
  }
  // A position that comes back after the way to it was lost is another one.
  f.at.found = found;
  f.set = found;
  if (!any(found) || (!setting.toe_rad && !setting.camber_rad)) return f;
  f = wheel_set(axle, f.mechanism, f.at, ground, setting);
  f.set = f.set & found;
  return f;
}
template CornerWithParts<double> fit_parts(const Axle&, const Mechanism<double>&,
                                           const Solution<double>&, const Ground<double>&,
                                           const WheelSetting&,
                                           const std::vector<PartMove<double>>&);
template CornerWithParts<Lanes> fit_parts(const Axle&, const Mechanism<Lanes>&,
                                          const Solution<Lanes>&, const Ground<Lanes>&,
                                          const WheelSetting&, const std::vector<PartMove<Lanes>>&);

Answer<CornerFitted, NotPossible> fitted(const CornerBefore& before,
                                         const std::vector<PartMove<double>>& moves) {
  auto f =
      fit_parts(*before.axle, before.mechanism, before.at, before.ground, before.setting, moves);
  if (f.set) return {std::move(f), {}};
  return {{},
          {f.at.found ? NotPossible::Of::adjusters_too_short : NotPossible::Of::no_position,
           before.axle->layout.axle}};
}

std::vector<Solution<double>> positions_over(const CornerFitted& corner,
                                             const std::vector<double>& travels_mm) {
  std::vector<std::size_t> order(travels_mm.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
  std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return std::fabs(travels_mm[a]) < std::fabs(travels_mm[b]);
  });
  std::vector<Solution<double>> found(travels_mm.size());
  std::array<Solution<double>, 2> last{corner.at, corner.at};  // above ride height, below it
  for (const std::size_t i : order) {
    auto& from = last[travels_mm[i] < 0.0 ? 1 : 0];
    const double travel = corner.at.drive.travel_mm + travels_mm[i];
    const auto r = reach(corner.mechanism, from, {travel, corner.at.drive.rack_mm});
    if (!r.arrived) return {};
    found[i] = from = r.at;
  }
  return found;
}

Answer<Curve, NotPossible> curve_over(const CornerBefore& before, const CornerFitted& corner,
                                      const std::array<double, 2>& window_mm) {
  return curve_at(before, corner, window_mm, steps_over(window_mm));
}

Answer<Curve, NotPossible> coarse_curve_over(const CornerBefore& before, const CornerFitted& corner,
                                             const std::array<double, 2>& window_mm) {
  const double wide = window_mm[1] - window_mm[0];
  const int n = std::max(1, static_cast<int>(std::ceil(wide / coarse_mm)));
  std::vector<double> travels;
  for (int i = 0; i <= n; ++i) travels.push_back(window_mm[0] + wide * i / n);
  return curve_at(before, corner, window_mm, travels);
}

}  // namespace trammel
