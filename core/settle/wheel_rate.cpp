#include "settle/wheel_rate.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace trammel {
namespace {

// Half the step that the ratio's change is taken over: the third derivative leaves (0.5/300)²/6 of
// it, since members are some hundred mm long; positions are good to 1e-12 mm.
constexpr double half_step_mm = 0.5;
constexpr double far_mm = 250.0, found_mm = 1e-9, flat = 1e-6;
constexpr int most_rounds = 40;

}  // namespace

std::optional<WheelRate> wheel_rate(const Axle& axle, const CornerRide& corner,
                                    const Ground<double>& ground, const SpringLaw& law,
                                    double travel_mm) {
  const auto reached = [&](double by_mm) {
    return reach(corner.mechanism, corner.at,
                 {corner.at.drive.travel_mm + travel_mm + by_mm, corner.at.drive.rack_mm});
  };
  const auto here = reached(0.0), below = reached(-half_step_mm), above = reached(half_step_mm);
  if (!here.arrived || !below.arrived || !above.arrived) return {};
  const auto at = [&](const Reached& r) {
    return At<double>(axle.layout, corner.mechanism, r.at, ground);
  };
  const At<double> now = at(here);
  const double per_rise = spring_per_rise(now);
  const double rise = dot(now.contact_velocity, ground.up);
  WheelRate w;
  w.travel_mm = travel_mm;
  w.ratio = read(Reading::spring_motion_ratio, now);
  w.force_n = std::max(0.0, law.force_at(read(Reading::spring_length, now)));
  if (w.force_n == 0.0 && law.force_n > 0.0) return w;
  w.by_spring_n_per_mm = law.rate_n_per_mm * per_rise * per_rise;
  w.by_ratio_n_per_mm = w.force_n * (spring_per_rise(at(above)) - spring_per_rise(at(below))) /
                        (2.0 * half_step_mm) / rise;
  return w;
}

double in_series(double a, double b) { return a * b / (a + b); }

double frequency_hz(double n_per_mm, double kg) {
  if (!(n_per_mm > 0.0) || !(kg > 0.0)) return 0.0;
  return std::sqrt(1000.0 * n_per_mm / kg) / (2.0 * std::numbers::pi);
}

double frequency_of_deflection_hz(double mm) { return frequency_hz(gravity_m_s2 / mm, 1.0); }

std::optional<double> travel_where(const Axle& axle, const CornerRide& corner, TravelLine kind,
                                   double length_mm) {
  const auto* line = line_of(corner.mechanism, kind);
  if (!line) return {};
  auto at = corner.at;
  for (int round = 0; round < most_rounds; ++round) {
    const At<double> seen(axle.layout, corner.mechanism, at, {});
    const auto now = length_of(seen.placed, *line);
    const double per_travel = along(now.change, at.with_travel);
    if (std::fabs(per_travel) < flat) return {};
    const double step = (length_mm - now.off_mm) / per_travel;
    const double travel = at.drive.travel_mm + step - corner.at.drive.travel_mm;
    if (!(std::fabs(travel) < far_mm)) return {};
    if (std::fabs(step) < found_mm) return travel;
    const auto next =
        reach(corner.mechanism, at, {at.drive.travel_mm + step, corner.at.drive.rack_mm});
    if (!next.arrived) return {};
    at = next.at;
  }
  return {};
}

}  // namespace trammel
