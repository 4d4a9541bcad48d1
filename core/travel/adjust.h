// Setting a wheel: the toe rod and the camber adjuster get the length that gives what is asked.
#pragma once

#include <optional>

#include "base/answer.h"
#include "car/car.h"
#include "travel/readings.h"

namespace trammel {

// Something of a mechanism that can be changed by a number of mm.
struct RodLength {
  int rod = -1;  // in the layout
};
struct JointShift {
  int point = -1;  // in the layout
  Vec3<double> along;
};
struct Adjuster {
  std::optional<RodLength> rod;
  std::optional<JointShift> joint;
};

// The mechanism with an adjuster moved by `by_mm` (a rod: longer).
template <class T>
Mechanism<T> adjusted(const Layout& layout, const Mechanism<T>& mechanism, const Adjuster& adjuster,
                      T by_mm);

// The upright's motion per mm of an adjuster, drive held: the implicit function theorem on the
// rows.
template <class T>
Motion<T> motion_by(const Layout& layout, const Mechanism<T>& mechanism, const Solution<T>& at,
                    const Adjuster& adjuster);

// Toe and camber of a wheel whose spin axis is `spin`, and how fast they change when the upright
// moves.
template <class T>
T toe_of(const Vec3<T>& spin, const Ground<T>& ground) {
  return angle_of(dot(spin, ground.forward), dot(spin, ground.outboard));
}
template <class T>
T camber_of(const Vec3<T>& spin, const Ground<T>& ground) {
  const T up = dot(spin, ground.up);
  return angle_of(-up, root(T(1.0) - up * up));
}
template <class T>
struct WheelRates {
  T toe{}, camber{};
};
template <class T>
WheelRates<T> wheel_rates(const Vec3<T>& spin, const Ground<T>& ground, const Motion<T>& motion);
// The spin axis at a solved position.
template <class T>
Vec3<T> spin_at(const Mechanism<T>& mechanism, const Solution<T>& at) {
  return matrix(at.pose.turn) * mechanism.wheel.spin;
}

struct WheelSetting {
  std::optional<double> toe_rad, camber_rad;
};

template <class T>
struct SetWheel {
  Mechanism<T> mechanism;
  Solution<T> at;
  T toe_rod_mm{};    // how much longer the toe rod became
  T camber_by_mm{};  // how far the camber adjuster moved
  Mask<T> set{};     // false: no length of the adjusters gives it
};

// Both adjusters together, wheel height held, to 1e-12 rad.
template <class T>
SetWheel<T> wheel_set(const Axle& axle, const Mechanism<T>& mechanism, const Solution<T>& at,
                      const Ground<T>& ground, const WheelSetting& setting);

// No length of its adjusters gives what a wheel is to be set to. Its words: travel/reasons.h.
struct CannotSet {
  AxleName axle = AxleName::front;
};

// The same of one car.
Answer<SetWheel<double>, CannotSet> set_wheel(const Axle& axle, const Mechanism<double>& mechanism,
                                              const Solution<double>& at,
                                              const Ground<double>& ground,
                                              const WheelSetting& setting);

}  // namespace trammel
