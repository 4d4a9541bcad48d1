#include "align/caster_sweep.h"

#include <cmath>

namespace trammel {
namespace {

// k · n = tan(caster) · x - tan(inclination) · y - z.
struct Spin {
  double x, y, z;
};
Spin spin_of(const Steered& s) {
  const double c = std::cos(s.camber_rad);
  return {std::sin(s.out_rad) * c, std::cos(s.out_rad) * c, std::sin(s.camber_rad)};
}

}  // namespace

double caster_of(const Steered& out, const Steered& in, double inclination_rad) {
  const auto a = spin_of(out), b = spin_of(in);
  return std::atan((a.z - b.z + std::tan(inclination_rad) * (a.y - b.y)) / (a.x - b.x));
}

SteeringAxis axis_of(const Steered& out, const Steered& in, const Steered& straight) {
  const auto a = spin_of(out), b = spin_of(in), s = spin_of(straight);
  // Two equations for the two tangents, each position against straight ahead.
  const double ax = a.x - s.x, ay = a.y - s.y, az = a.z - s.z;
  const double bx = b.x - s.x, by = b.y - s.y, bz = b.z - s.z;
  const double determinant = -ax * by + ay * bx;
  return {std::atan((-az * by + ay * bz) / determinant),
          std::atan((ax * bz - az * bx) / determinant)};
}

double camber_turned(const SteeringAxis& axis, const Steered& known, double out_rad) {
  const double t = std::tan(axis.caster_rad), s = std::tan(axis.inclination_rad);
  const auto k = spin_of(known);
  const double same = t * k.x - s * k.y - k.z;
  // a cos(camber) - sin(camber) = same.
  const double a = t * std::sin(out_rad) - s * std::cos(out_rad);
  return std::atan(a) - std::asin(same / std::sqrt(1.0 + a * a));
}

}  // namespace trammel
