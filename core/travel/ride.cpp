#include "travel/ride.h"

#include <cmath>

#include "car/by.h"
#include "travel/adjust.h"

namespace trammel {
namespace {

constexpr int most_rounds = 50;
constexpr double pitch_settled_rad = 1e-14;

struct PlanePoint {
  double x = 0.0, z = 0.0;
};

// The mean contact point of an axle's two tyres, in body axes.
PlanePoint contact_of(const Axle& axle, const AxleRide& r, double pitch) {
  PlanePoint p;
  for (const Side side : each_side) {
    const auto& corner = r.at(side);
    const At<double> at(axle.layout, corner.mechanism, corner.at, ground_for(side, pitch, 0.0));
    p.x += 0.5 * at.contact.x;
    p.z += 0.5 * at.contact.z;
  }
  return p;
}

}  // namespace

Ground<double> ground_for(Side side, double pitch, double roll) {
  const Vec3<double> forward{std::cos(pitch), 0.0, std::sin(pitch)};
  const Vec3<double> left{0.0, 1.0, 0.0};
  const Vec3<double> up = cross(forward, left);
  const double c = std::cos(roll), s = std::sin(roll);
  // The body turns left side up; seen from it, the floor's up leans to the left.
  const Vec3<double> rolled_up = c * up + s * left;
  const Vec3<double> rolled_left = c * left - s * up;
  if (side == Side::left) return {forward, rolled_left, rolled_up};
  return {mirrored(forward), -mirrored(rolled_left), mirrored(rolled_up)};
}

Mechanism<double> corner_mechanism(const Axle& axle, Side side) {
  const auto& numbers = axle.at(side).numbers;
  return build(axle.layout, side == Side::left ? numbers : mirrored(numbers));
}

Answer<Ride, NotStanding> ride(const Car& car, const RideState* state) {
  Ride r;
  r.car = car;
  if (state) r.state = state->name;
  // Each corner at its height first: that does not depend on the floor.
  for (const AxleName name : each_axle) {
    const auto& axle = car.at(name);
    if (!axle) continue;
    AxleRide a;
    a.ride_travel_mm = state ? -state->at(name).height_mm : 0.0;
    for (const Side side : each_side) {
      auto& corner = a.side[static_cast<std::size_t>(side)];
      corner.mechanism = corner_mechanism(*axle, side);
      const auto start = solution_as_measured(corner.mechanism);
      const auto reached = reach(corner.mechanism, start, {a.ride_travel_mm, 0.0});
      if (!start.found || !reached.arrived)
        return {{},
                {NotStanding::Of::locks, r.state, name, side, std::fabs(reached.at.drive.travel_mm),
                 a.ride_travel_mm > 0.0}};
      corner.at = reached.at;
    }
    r.axle[static_cast<std::size_t>(name)] = std::move(a);
  }
  // Then floor and settings together: the floor hangs on the contact points, these on camber, and
  // camber and toe are set against the floor.
  const auto at_height = r.axle;
  for (int round = 0; round < most_rounds; ++round) {
    for (const AxleName name : each_axle) {
      if (!r.at(name) || !state) continue;
      const auto& wanted = state->at(name);
      auto& a = *r.axle[static_cast<std::size_t>(name)];
      a.toe_set = wanted.toe_rad.has_value();
      a.camber_set = wanted.camber_rad.has_value();
      if (!a.toe_set && !a.camber_set) continue;
      for (const Side side : each_side) {
        const auto i = static_cast<std::size_t>(side);
        const auto& from = (*at_height[static_cast<std::size_t>(name)]).side[i];
        auto set =
            set_wheel(*car.at(name), from.mechanism, from.at, ground_for(side, r.pitch_rad, 0.0),
                      {wanted.toe_rad, wanted.camber_rad});
        if (!set.value) return {{}, {NotStanding::Of::cannot_set, r.state, set.why.axle}};
        a.side[i] = {std::move(set.value->mechanism), set.value->at, set.value->toe_rod_mm};
      }
    }
    if (!r.axle[0] || !r.axle[1]) break;
    const auto f = contact_of(*car.axle[0], *r.axle[0], r.pitch_rad);
    const auto b = contact_of(*car.axle[1], *r.axle[1], r.pitch_rad);
    const double pitch = std::atan2(f.z - b.z, f.x - b.x);
    const double change = std::fabs(pitch - r.pitch_rad);
    r.pitch_rad = pitch;
    if (change < pitch_settled_rad) break;
  }
  return {std::move(r), {}};
}

}  // namespace trammel
