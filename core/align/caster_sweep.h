// Caster from the camber that a wheel shows turned out and in: exact, for any two angles.
#pragma once

#include "file/alignment.h"

namespace trammel {

// The wheel's spin axis keeps its angle to the steering axis while the wheel is steered: with the
// axis k = (-tan caster, -tan inclination, 1) and the spin n of section 3 of the sign conventions,
// k · n is the same in every position. No small angles are taken for granted.
struct Steered {
  double camber_rad = 0.0;
  double out_rad = 0.0;  // front edge turned outboard from the car's centre plane, positive
};

// From two positions and the steering axis's inclination (rad). Degenerate where both positions are
// one: not a number.
double caster_of(const Steered& out, const Steered& in, double inclination_rad);

struct SteeringAxis {
  double caster_rad = 0.0, inclination_rad = 0.0;
};
// From three positions; the inclination hangs on small differences and is worth little.
SteeringAxis axis_of(const Steered& out, const Steered& in, const Steered& straight);

// The camber (rad) of a wheel turned out by `out_rad`, of which the axis and one position are
// known.
double camber_turned(const SteeringAxis& axis, const Steered& known, double out_rad);

}  // namespace trammel
