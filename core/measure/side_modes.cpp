#include "measure/side_modes.h"

#include <cmath>
#include <set>

namespace trammel {
namespace {

constexpr double hardly_checked = 0.01;     // redundancy of a tie: the other side was not read
constexpr double hardly_moves = 0.05;       // mm per mm of rack
constexpr double least_of_the_ties = 0.02;  // of their own weight, that an offset would show

// Joints of arms and rods that a subframe carries, or the body.
std::set<int> on_the_body(const Layout& l, bool with_rack) {
  std::set<int> points;
  for (const auto& arm : l.arms) points.insert({arm.body_front, arm.body_rear});
  for (const auto& rod : l.rods)
    if (rod.inner_on.on == Carrier::body || (with_rack && rod.steered())) points.insert(rod.inner);
  if (l.swing) points.insert({l.swing->pivot_inner, l.swing->pivot_outer});
  return points;
}

}  // namespace

std::optional<SideMode> worst_side_mode(const Network& net, const Car& car, const SurveyFit& fit) {
  const auto tests = row_tests(fit.rows, fit.held.covariance);
  std::optional<SideMode> worst;
  // `share`: by how much a tie is off for each mm of the mode, in mm.
  const auto look = [&](SideMode mode, const auto& share) {
    Slopes together;
    double own = 0.0, off = 0.0;
    std::set<int> joints;
    for (std::size_t i = 0; i < fit.rows.size(); ++i) {
      const auto& s = fit.sources[i];
      if (s.of != RowSource::Of::symmetry || tests[i].redundancy < hardly_checked) continue;
      const auto& n = *net.unknowns()[static_cast<std::size_t>(s.index)].of_car;
      if (n.axle != mode.axle) continue;
      const double per = share(n) / s.sigma;
      if (per == 0.0) continue;
      for (const auto& slope : fit.rows[i].slopes)
        together.push_back({slope.unknown, per * slope.per});
      own += per * per;
      off += per * fit.rows[i].off;
      mode.ties.push_back(s.index);
      joints.insert(n.point);
    }
    mode.joints = static_cast<int>(joints.size());
    if (mode.joints < 2) return;
    const double shows = own - product(together, fit.held.covariance, together);
    if (!(shows > least_of_the_ties * own)) return;
    mode.by_mm = off / shows;
    mode.sigma_mm = 1.0 / std::sqrt(shows);
    mode.normalised = off / std::sqrt(shows);
    if (!worst || std::fabs(mode.normalised) > std::fabs(worst->normalised))
      worst = std::move(mode);
  };
  for (const AxleName a : {AxleName::front, AxleName::rear}) {
    if (!car.at(a) || !net.sides_apart(a)) continue;
    const auto& layout = car.at(a)->layout;
    SideMode mode;
    mode.axle = a;
    for (mode.axis = 0; mode.axis < 3; ++mode.axis) {
      const auto points = on_the_body(layout, mode.axis != 1);
      look(mode, [&](const CarNumber& n) {
        return n.axis == mode.axis && points.contains(n.point) ? 1.0 : 0.0;
      });
    }
    if (!layout.steered() || net.finds_rack()) continue;
    mode.of = SideMode::Of::rack;
    mode.axis = 1;
    look(mode, [&](const CarNumber& n) {
      const double moves = net.rack_motion(a, n.point)[n.axis];
      return std::fabs(moves) > hardly_moves ? 2.0 * moves : 0.0;
    });
  }
  return worst;
}

}  // namespace trammel
