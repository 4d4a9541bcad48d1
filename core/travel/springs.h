// What the springs of an axle carry, and their law: force against length.
#pragma once

#include <array>
#include <optional>

#include "travel/ride.h"

namespace trammel {

inline constexpr double gravity_m_s2 = 9.80665;  // standard (ISO 80000-3)

// What stands on each spring as measured, where corner weights say so.
struct AxleLoad {
  std::optional<std::array<double, 2>> sprung_n;  // by Side
};
AxleLoad axle_load(const Car& car, AxleName axle);

// One spring between its seats, its perch where it is: force (N, compression positive) is
// `force_n` at `length_mm` and rises by the rate per mm shorter. Below zero the spring would have
// to pull: it is loose by as much as it is longer than `loose_from_mm()`.
struct SpringLaw {
  double rate_n_per_mm = 0.0, force_n = 0.0, length_mm = 0.0;
  double force_at(double at_length_mm) const {
    return force_n + rate_n_per_mm * (length_mm - at_length_mm);
  }
  // Seat to seat where it carries nothing.
  double loose_from_mm() const { return length_mm + force_n / rate_n_per_mm; }
};

// Where the force as measured is known from. `nothing`: forces count from zero as measured, which
// leaves rates and changes right and everything absolute unknown.
enum class ForceFrom { corner_weights, free_length, nothing };

struct AxleSprings {
  std::array<SpringLaw, 2> side;  // by Side
  ForceFrom from = ForceFrom::nothing;
};

// As measured: from the load by virtual work (the load rises by what the spring gives), else from
// the free length. Nothing where the axle has no spring with a place and a rate.
std::optional<AxleSprings> springs_as_measured(const Axle& axle, const AxleLoad& load);

// How much the spring shortens per mm that the road lifts the tyre: the motion ratio that loads go
// by. By wheel travel (Reading::spring_motion_ratio) it differs by what leaning adds at the tyre.
double spring_per_rise(const At<double>& at);

// The same springs with perches wound until each carries in this ride what it carried as measured.
AxleSprings springs_in(const Axle& axle, const AxleRide& ride, double pitch_rad,
                       const AxleSprings& as_measured);

}  // namespace trammel
