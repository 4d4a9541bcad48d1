// A number with its slopes along four directions: forward differentiation, exact to rounding.
//
// The mechanism run on Duals gives the derivative of every position and reading with the joints'
// coordinates: one Newton step from a solved pose leaves the value where it is and gives its slope
// by the implicit function theorem, since that step is minus the inverse Jacobian times the change
// of the rows.
#pragma once

#include "base/lanes.h"

namespace trammel {

struct Dual {
  double value{};
  Lanes slope{0.0};

  Dual() = default;
  Dual(double x) : value(x) {}
  Dual(double x, Lanes s) : value(x), slope(s) {}

  friend Dual operator+(Dual a, Dual b) { return {a.value + b.value, a.slope + b.slope}; }
  friend Dual operator-(Dual a, Dual b) { return {a.value - b.value, a.slope - b.slope}; }
  friend Dual operator*(Dual a, Dual b) {
    return {a.value * b.value, Lanes(a.value) * b.slope + Lanes(b.value) * a.slope};
  }
  friend Dual operator/(Dual a, Dual b) {
    const double q = a.value / b.value;
    return {q, (a.slope - Lanes(q) * b.slope) / Lanes(b.value)};
  }
  friend Dual operator-(Dual a) { return {-a.value, -a.slope}; }
  Dual& operator+=(Dual b) { return *this = *this + b; }
  Dual& operator-=(Dual b) { return *this = *this - b; }
  Dual& operator*=(Dual b) { return *this = *this * b; }
  friend bool operator<(Dual a, Dual b) { return a.value < b.value; }
  friend bool operator>(Dual a, Dual b) { return a.value > b.value; }
};

template <>
struct MaskOf<Dual> {
  using type = bool;
};

inline Dual select(bool m, Dual yes, Dual no) { return m ? yes : no; }
inline Dual root(Dual x) {
  const double r = std::sqrt(x.value);
  return {r, x.slope / Lanes(2.0 * r)};
}
inline Dual magnitude(Dual x) { return x.value < 0.0 ? -x : x; }
inline Dual angle_of(Dual y, Dual x) {
  const double r2 = x.value * x.value + y.value * y.value;
  return {std::atan2(y.value, x.value),
          (Lanes(x.value / r2) * y.slope - Lanes(y.value / r2) * x.slope)};
}
inline Dual sine(Dual x) { return {std::sin(x.value), Lanes(std::cos(x.value)) * x.slope}; }
inline Dual cosine(Dual x) { return {std::cos(x.value), Lanes(-std::sin(x.value)) * x.slope}; }
inline double lane(Dual x, std::size_t) { return x.value; }

}  // namespace trammel
