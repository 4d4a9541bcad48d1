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
Mechanism<double> adjusted(const Layout& layout, const Mechanism<double>& mechanism,
                           const Adjuster& adjuster, double by_mm);

// The upright's motion per mm of an adjuster, drive held: the implicit function theorem on the
// rows.
Motion<double> motion_by(const Layout& layout, const Mechanism<double>& mechanism,
                         const Solution<double>& at, const Adjuster& adjuster);

// How fast toe and camber change when the upright moves.
struct WheelRates {
  double toe, camber;
};
WheelRates wheel_rates(const At<double>& at, const Motion<double>& motion);

struct WheelSetting {
  std::optional<double> toe_rad, camber_rad;
};

struct SetWheel {
  Mechanism<double> mechanism;
  Solution<double> at;
  double toe_rod_mm = 0.0;    // how much longer the toe rod became
  double camber_by_mm = 0.0;  // how far the camber adjuster moved
};

// Both adjusters together, wheel height held, to 1e-12 rad. No answer where no length gives it.
Answer<SetWheel> set_wheel(const Axle& axle, const Mechanism<double>& mechanism,
                           const Solution<double>& at, const Ground<double>& ground,
                           const WheelSetting& setting);

}  // namespace trammel
