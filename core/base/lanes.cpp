#include "base/lanes.h"

#include <numbers>

namespace trammel {

// atan(t)/t as a polynomial in t^2 on |t| <= tan(pi/8): interpolation at Chebyshev nodes, computed
// with 60 digits; its own error is below 5e-20. Two half-angle steps bring every angle into range.
Lanes angle_of(Lanes y, Lanes x) {
  static constexpr double coefficient[] = {
      1.0,
      -0.33333333333333326,
      0.19999999999997015,
      -0.14285714285329706,
      0.11111111085322088,
      -0.09090908059030459,
      0.07692281099921489,
      -0.06666205259739774,
      0.05876834002319731,
      -0.052173125594086316,
      0.044995006697646826,
      -0.03338782312896798,
      0.015113763707864538,
  };
  const Lanes zero(0.0), one(1.0);
  const Lanes ax = magnitude(x);
  const Lanes r = root(x * x + y * y);
  const Lanes below = r + ax;
  const Lanes half = y / select(below > zero, below, one);
  const Lanes t = half / (one + root(one + half * half));
  const Lanes z = t * t;
  Lanes p = coefficient[12];
  for (int i = 11; i >= 0; --i) p = p * z + Lanes(coefficient[i]);
  const Lanes a = Lanes(4.0) * t * p;
  const Lanes pi(std::numbers::pi);
  return select(x < zero, select(y < zero, -pi, pi) - a, a);
}

}  // namespace trammel
