// A corner of the car as it stands on the floor, and what turning its adjusters makes of its
// angles.
#pragma once

#include <array>
#include <optional>
#include <string_view>

#include "travel/adjust.h"
#include "travel/ride.h"

namespace trammel {

enum class AlignWhat { caster, camber, toe };
std::string_view word(AlignWhat what);

struct WheelAngles {
  double toe_rad = 0.0, camber_rad = 0.0;
  std::optional<double> caster_rad;
};
// What was read of a wheel.
struct AnglesRead {
  std::optional<double> toe_rad, camber_rad, caster_rad;
};

// What sets an angle of an axle's wheels, and its thread (pitch zero where the file does not say).
struct AngleSetBy {
  Adjuster adjuster;
  double pitch_mm = 0.0;
  int ends = 1;
};
std::optional<AngleSetBy> set_by(const Axle& axle, AlignWhat what);

// Angles are those of the floor: where the joints and an adjuster could not make what was read, the
// difference stays on.
class SetCorner {
 public:
  // The axle must be there in the ride, which outlives the corner.
  SetCorner(const Ride& ride, AxleName axle, Side side);
  // Stands as it was read, by its own adjusters where it has them. False where no length of them
  // gives that: then it stands as it did, the difference on top.
  bool stand_as_read(const AnglesRead& read);

  const Axle& axle() const { return *axle_; }
  WheelAngles angles() const;
  // One adjuster turned, the others left; false where the wheel has no position then.
  bool turn(const Adjuster& adjuster, double by_mm);
  // How far toe rod and camber adjuster have to go for `setting`.
  std::optional<std::array<double, 2>> needs(const WheelSetting& setting) const;
  // How far the caster's adjuster has to go, toe and camber being set to `setting` again.
  std::optional<double> caster_needs(const WheelSetting& setting, double caster_rad) const;

 private:
  WheelAngles by_joints() const;
  WheelSetting less_off(const WheelSetting& setting) const;
  bool stand(const WheelSetting& by_joints);
  const Axle* axle_;
  Mechanism<double> mechanism_;
  Solution<double> at_;
  Ground<double> ground_;
  WheelAngles off_{0.0, 0.0, 0.0};
};

}  // namespace trammel
