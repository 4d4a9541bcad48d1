// Vectors and turns over T (double or Lanes), only what the mechanism needs.
#pragma once

#include "base/lanes.h"

namespace trammel {

template <class T>
struct Vec3 {
  T x{}, y{}, z{};

  friend Vec3 operator+(const Vec3& a, const Vec3& b) { return {a.x + b.x, a.y + b.y, a.z + b.z}; }
  friend Vec3 operator-(const Vec3& a, const Vec3& b) { return {a.x - b.x, a.y - b.y, a.z - b.z}; }
  friend Vec3 operator-(const Vec3& a) { return {-a.x, -a.y, -a.z}; }
  friend Vec3 operator*(T s, const Vec3& a) { return {s * a.x, s * a.y, s * a.z}; }
  friend bool operator==(const Vec3&, const Vec3&) = default;
  T& operator[](int i) { return i == 0 ? x : i == 1 ? y : z; }
  const T& operator[](int i) const { return i == 0 ? x : i == 1 ? y : z; }
};

template <class T>
T dot(const Vec3<T>& a, const Vec3<T>& b) {
  return a.x * b.x + a.y * b.y + a.z * b.z;
}
template <class T>
Vec3<T> cross(const Vec3<T>& a, const Vec3<T>& b) {
  return {a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x};
}
template <class T>
T length(const Vec3<T>& a) {
  return root(dot(a, a));
}
template <class T>
Vec3<T> unit(const Vec3<T>& a) {
  return (T(1.0) / length(a)) * a;
}
template <class T>
Vec3<T> select(const Mask<T>& m, const Vec3<T>& yes, const Vec3<T>& no) {
  return {select(m, yes.x, no.x), select(m, yes.y, no.y), select(m, yes.z, no.z)};
}
// The same in every lane.
template <class T>
Vec3<T> spread_over(const Vec3<double>& v) {
  return {T(v.x), T(v.y), T(v.z)};
}
// The same point of the other side of the car: y changes sign.
template <class T>
Vec3<T> mirrored(const Vec3<T>& a) {
  return {a.x, -a.y, a.z};
}
// Any unit vector square to `a`, |a| = 1, chosen without regard to lanes by the caller's `helper`,
// which must not be parallel to `a`.
template <class T>
Vec3<T> square_to(const Vec3<T>& a, const Vec3<T>& helper) {
  return unit(cross(a, helper));
}

// A rotation as a unit quaternion w + xi + yj + zk.
template <class T>
struct Turn {
  T w{1.0}, x{}, y{}, z{};
};

template <class T>
struct Mat3 {
  Vec3<T> row_x, row_y, row_z;
  friend Vec3<T> operator*(const Mat3& m, const Vec3<T>& v) {
    return {dot(m.row_x, v), dot(m.row_y, v), dot(m.row_z, v)};
  }
};

template <class T>
Vec3<T> transposed_times(const Mat3<T>& m, const Vec3<T>& v) {
  return v.x * m.row_x + v.y * m.row_y + v.z * m.row_z;
}

template <class T>
Mat3<T> matrix(const Turn<T>& q) {
  const T xx = q.x * q.x, yy = q.y * q.y, zz = q.z * q.z;
  const T xy = q.x * q.y, xz = q.x * q.z, yz = q.y * q.z;
  const T wx = q.w * q.x, wy = q.w * q.y, wz = q.w * q.z;
  const T one(1.0), two(2.0);
  return {{one - two * (yy + zz), two * (xy - wz), two * (xz + wy)},
          {two * (xy + wz), one - two * (xx + zz), two * (yz - wx)},
          {two * (xz - wy), two * (yz + wx), one - two * (xx + yy)}};
}

// q followed by the small rotation vector `by_rad` (about body axes). Exact to second order in
// |by_rad|, and brought back to length one to the third power of |by_rad|^2: enough for Newton,
// whose last steps are tiny.
template <class T>
Turn<T> turned(const Turn<T>& q, const Vec3<T>& by_rad) {
  const Vec3<T> h = T(0.5) * by_rad;
  Turn<T> r{q.w - h.x * q.x - h.y * q.y - h.z * q.z, q.x + h.x * q.w + h.y * q.z - h.z * q.y,
            q.y + h.y * q.w + h.z * q.x - h.x * q.z, q.z + h.z * q.w + h.x * q.y - h.y * q.x};
  // Back to length one: the series of 1/sqrt about 1, exact to the cube of what it is off.
  const T n = r.w * r.w + r.x * r.x + r.y * r.y + r.z * r.z;
  const T s = T(1.875) - n * (T(1.25) - T(0.375) * n);
  return {s * r.w, s * r.x, s * r.y, s * r.z};
}

template <class T>
Turn<T> select(const Mask<T>& m, const Turn<T>& yes, const Turn<T>& no) {
  return {select(m, yes.w, no.w), select(m, yes.x, no.x), select(m, yes.y, no.y),
          select(m, yes.z, no.z)};
}

}  // namespace trammel
