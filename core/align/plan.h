// What to turn, which way and how far, in an order in which no step spoils the one before.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "align/floor_angles.h"
#include "align/set_corner.h"
#include "file/wishes.h"

namespace trammel {

// What is wanted of an angle: a middle, and how far from it is still right.
struct Wish {
  double middle_rad = 0.0, half_rad = 0.0;
  bool usual = false;  // the file does not say: common practice
  bool met(double rad) const {
    return rad >= middle_rad - half_rad && rad <= middle_rad + half_rad;
  }
};

// Of an axle's total toe.
inline Wish both_wheels(const Wish& wheel) {
  return {2.0 * wheel.middle_rad, 2.0 * wheel.half_rad, wheel.usual};
}

// Common practice for a light car on the road, per wheel.
inline constexpr Wish usual_front_toe{0.04 * degree_rad, 0.05 * degree_rad, true};
inline constexpr Wish usual_rear_toe{0.12 * degree_rad, 0.06 * degree_rad, true};
inline constexpr double usual_toe_half_rad = 0.05 * degree_rad;  // about a single wanted value
inline constexpr double usual_thrust_rad = 0.08 * degree_rad;
inline constexpr double alike_camber_rad = 0.3 * degree_rad;  // left against right
inline constexpr double alike_caster_rad = 0.5 * degree_rad;

struct AlignStep {
  AxleName axle = AxleName::front;
  Side side = Side::left;
  AlignWhat what = AlignWhat::toe;
  std::string adjuster;  // "rod 'steering'", "joint 'strut.top'"
  bool turns_rod = false;
  // What is turned: mm that the rod becomes longer, or the joint moves along its line; in whole
  // quarters of a flat where the file gives the thread.
  double by_mm = 0.0;
  Vec3<double> along{0.0, 0.0, 0.0};  // of a joint: unit, corner axes (outboard positive)
  std::optional<int> quarter_flats;   // with the sign of by_mm
  WheelAngles before, after;          // by the model, with every step before this one done
};

// Out of what is wanted, and nothing is turned. Its words: align/reasons.h.
struct LeftAlone {
  enum class Of {
    not_as_read,      // no length of its adjusters makes the wheel stand as it was read
    nothing_sets_it,  // nothing that the file names
    out_of_reach,     // no length of its adjuster gives what is wanted
    toe_not_read,     // and what is turned there moves it by `is_rad`
  };
  Of of{};
  AxleName axle = AxleName::front;
  Side side = Side::left;
  AlignWhat what = AlignWhat::toe;
  double is_rad = 0.0;
  Wish wanted{};
};

struct WheelPlan {
  bool set = false;       // something of it is turned
  WheelAngles now, then;  // as read; as the model says after all steps
  bool caster_known = false, camber_known = false, toe_known = false;
};

struct AxlePlan {
  std::array<WheelPlan, 2> side;  // by Side
  std::array<Wish, 2> toe;        // by Side: against the car's own centreline
  Wish wanted_toe;                // per wheel, steering straight
  std::optional<Wish> camber, caster;
  const WheelPlan& at(Side s) const { return side[static_cast<std::size_t>(s)]; }
};

struct AlignPlan {
  std::array<std::optional<AxlePlan>, 2> axle;  // by AxleName
  std::vector<AlignStep> steps;                 // in their order
  std::vector<LeftAlone> left_alone;
  std::optional<double> thrust_then_rad;
  std::optional<double> steering_then_rad;  // how far the road wheels point left when held straight
  bool done() const { return steps.empty() && left_alone.empty(); }
};

// Caster, then camber, then rear toe and thrust, then front toe about the rear axle's own line so
// that the steering wheel ends straight. A wheel is turned where it is off by more than a third of
// what is allowed; the others stay. `stands`: the car as it was read, with its parts. What the
// session does not tell of a wheel is left alone.
AlignPlan plan_alignment(const Ride& stands, const SessionFound& found, const Wishes& wishes);

}  // namespace trammel
