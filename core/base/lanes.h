// A lane of doubles: the same mechanism of several cars side by side in one register.
//
// The numeric core is written once, over a type T that is `double` or `Lanes`. Comparisons give a
// Mask (bool for double); `select`, `all` and `any` are the only ways to decide by one, so that the
// same source has no branch that lanes could disagree about.
#pragma once

#include <cmath>
#include <cstddef>
#include <cstdint>

namespace trammel {

inline constexpr std::size_t lane_count = 4;

struct Mask4 {
  using Bits = std::int64_t __attribute__((vector_size(32)));
  Bits bits{};
  bool operator[](std::size_t i) const { return bits[i] != 0; }
  friend Mask4 operator&(Mask4 a, Mask4 b) { return {a.bits & b.bits}; }
  friend Mask4 operator|(Mask4 a, Mask4 b) { return {a.bits | b.bits}; }
  friend Mask4 operator!(Mask4 a) { return {~a.bits}; }
};

struct Lanes {
  using Vector = double __attribute__((vector_size(32)));
  Vector v;  // like a double: Lanes x; is not set, Lanes x{} is zero

  Lanes() = default;
  Lanes(Vector x) : v(x) {}
  Lanes(double x) : v(spread(x)) {}

  double operator[](std::size_t i) const { return v[i]; }
  void set(std::size_t i, double x) { v[i] = x; }

  friend Lanes operator+(Lanes a, Lanes b) { return a.v + b.v; }
  friend Lanes operator-(Lanes a, Lanes b) { return a.v - b.v; }
  friend Lanes operator*(Lanes a, Lanes b) { return a.v * b.v; }
  friend Lanes operator/(Lanes a, Lanes b) { return a.v / b.v; }
  friend Lanes operator-(Lanes a) { return -a.v; }
  Lanes& operator+=(Lanes b) { return *this = *this + b; }
  Lanes& operator-=(Lanes b) { return *this = *this - b; }
  Lanes& operator*=(Lanes b) { return *this = *this * b; }
  friend Mask4 operator<(Lanes a, Lanes b) { return {a.v < b.v}; }
  friend Mask4 operator<=(Lanes a, Lanes b) { return {a.v <= b.v}; }
  friend Mask4 operator>(Lanes a, Lanes b) { return {a.v > b.v}; }

 private:
  static Vector spread(double x) {
#ifdef __wasm_simd128__
    // clang 14 loads and spreads in one instruction, and then forgets that it has to come before
    // the next store to that place. A number in a register is only spread.
    if (!__builtin_constant_p(x)) asm("" : "+r"(x));
#endif
    return Vector{x, x, x, x};
  }
};

template <class T>
struct MaskOf;
template <>
struct MaskOf<double> {
  using type = bool;
};
template <>
struct MaskOf<Lanes> {
  using type = Mask4;
};
template <class T>
using Mask = typename MaskOf<T>::type;

inline bool all(bool m) { return m; }
inline bool any(bool m) { return m; }
inline bool all(Mask4 m) { return (m.bits[0] & m.bits[1] & m.bits[2] & m.bits[3]) != 0; }
inline bool any(Mask4 m) { return (m.bits[0] | m.bits[1] | m.bits[2] | m.bits[3]) != 0; }

inline double select(bool m, double yes, double no) { return m ? yes : no; }
inline Lanes select(Mask4 m, Lanes yes, Lanes no) { return m.bits ? yes.v : no.v; }

inline double root(double x) { return std::sqrt(x); }
inline Lanes root(Lanes x) {
  Lanes r;
  for (std::size_t i = 0; i < lane_count; ++i) r.v[i] = __builtin_sqrt(x.v[i]);
  return r;
}
inline double magnitude(double x) { return std::fabs(x); }
inline Lanes magnitude(Lanes x) {
  constexpr std::int64_t rest = 0x7fffffffffffffff;  // all but the sign
  return (Lanes::Vector)((Mask4::Bits)x.v & Mask4::Bits{rest, rest, rest, rest});
}
template <class T>
T larger(T a, T b) {
  return select(a < b, b, a);
}

// Angle of the direction (x, y) against +x, in rad, in (-pi, pi]; (0, 0) gives 0.
inline double angle_of(double y, double x) { return std::atan2(y, x); }
Lanes angle_of(Lanes y, Lanes x);
// The same of `n` directions, side by side.
void angles_of(const Lanes* y, const Lanes* x, Lanes* angle, std::size_t n);

// Angle whose sine is s, |s| <= 1, in rad.
inline double angle_of_sine(double s) { return std::asin(s); }
inline Lanes angle_of_sine(Lanes s) { return angle_of(s, root(Lanes(1.0) - s * s)); }

inline double lane(double x, std::size_t) { return x; }
inline double lane(Lanes x, std::size_t i) { return x[i]; }
inline bool lane(bool m, std::size_t) { return m; }
inline bool lane(Mask4 m, std::size_t i) { return m[i]; }

}  // namespace trammel
