#include "travel/sensitivity.h"

#include <algorithm>

#include "base/check.h"

namespace trammel {
namespace {

Vec3<Dual> dual(const Vec3<double>& v) { return {v.x, v.y, v.z}; }
Turn<Dual> dual(const Turn<double>& q) { return {q.w, q.x, q.y, q.z}; }

}  // namespace

DualCorner dual_corner(const Layout& layout, const Numbers<double>& numbers,
                       const Solution<double>& at, std::span<const int> four, bool rates) {
  check(four.size() <= lane_count, "four numbers at a time",
        {{"numbers", static_cast<double>(four.size())}});
  Numbers<Dual> n;
  n.points_mm.reserve(numbers.points_mm.size());
  for (const auto& p : numbers.points_mm) n.points_mm.push_back(dual(p));
  n.camber_rad = numbers.camber_rad;
  n.toe_rad = numbers.toe_rad;
  Drive<Dual> drive{at.drive.travel_mm, at.drive.rack_mm, at.drive.by};
  for (std::size_t k = 0; k < four.size(); ++k) {
    const int i = four[k];
    auto& x = i == camber_number(layout)   ? n.camber_rad
              : i == toe_number(layout)    ? n.toe_rad
              : i == travel_number(layout) ? drive.travel_mm
              : i == rack_number(layout)   ? drive.rack_mm
                                           : n.points_mm[static_cast<std::size_t>(i / 3)][i % 3];
    x.slope.set(k, 1.0);
  }
  DualCorner c;
  c.mechanism = build(layout, n);
  const Pose<Dual> start{dual(at.pose.centre_mm), dual(at.pose.turn)};
  c.at = solve(c.mechanism, drive, start, at.factored.order);
  // The first step gives the pose its slopes; rates are taken where the pose has them.
  if (rates) c.at = solve(c.mechanism, drive, c.at.pose, at.factored.order);
  return c;
}

std::vector<std::array<double, reading_count>> sensitivity(const Layout& layout,
                                                           const Numbers<double>& numbers,
                                                           const Solution<double>& at,
                                                           const Ground<double>& ground,
                                                           const std::vector<int>& wanted) {
  std::vector<std::array<double, reading_count>> all(wanted.size());
  for (std::size_t i = 0; i < wanted.size(); i += lane_count) {
    const std::size_t n = std::min(lane_count, wanted.size() - i);
    const auto c = dual_corner(layout, numbers, at, std::span(wanted).subspan(i, n), true);
    const auto values = read_all(At<Dual>(layout, c.mechanism, c.at, ground_as<Dual>(ground)));
    for (std::size_t k = 0; k < n; ++k)
      for (std::size_t r = 0; r < reading_count; ++r) all[i + k][r] = values[r].slope[k];
  }
  return all;
}

std::optional<NumberOfCorner> number_of_corner(const Layout& layout, Side side,
                                               const CarNumber& n) {
  if (n.axle != layout.axle || (n.side != side && !n.both_sides)) return {};
  if (n.of == CarNumber::Of::camber) return NumberOfCorner{camber_number(layout), 1.0};
  if (n.of == CarNumber::Of::toe) return NumberOfCorner{toe_number(layout), 1.0};
  return NumberOfCorner{coordinate_number(n.point, n.axis),
                        n.axis == 1 && n.side == Side::right ? -1.0 : 1.0};
}

std::vector<int> holding_points(const Layout& layout) {
  std::vector<int> points{0};
  const auto add = [&](std::initializer_list<int> more) {
    for (const int p : more)
      if (std::find(points.begin(), points.end(), p) == points.end()) points.push_back(p);
  };
  for (const auto& arm : layout.arms) add({arm.body_front, arm.body_rear, arm.upright});
  for (const auto& rod : layout.rods) add({rod.inner, rod.upright});
  if (layout.strut) add({layout.strut->top, layout.strut->foot});
  if (layout.swing) add({layout.swing->pivot_inner, layout.swing->pivot_outer});
  return points;
}

bool joints_are_guesses(const Layout& layout, const Spread& spread) {
  const auto holding = holding_points(layout);
  for (std::size_t i = 0; i < spread.numbers.size(); ++i) {
    const auto& n = spread.numbers[i];
    const int k = static_cast<int>(i);
    if (n.axle == layout.axle && n.of == CarNumber::Of::coordinate &&
        spread.covariance(k, k) >= guessed_mm * guessed_mm &&
        std::find(holding.begin(), holding.end(), n.point) != holding.end())
      return true;
  }
  return false;
}

}  // namespace trammel
