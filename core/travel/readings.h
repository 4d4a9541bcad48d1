// What is read off one corner at a solved position.
//
// Readings stand in one table: key, what it is measured in, label. The key of JSON, the columns of
// tables and the curves come from it. ISO 8855 signs; the corner's own axes (outboard positive), so
// left and right read alike.
#pragma once

#include <array>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/quantity.h"
#include "travel/solve.h"

namespace trammel {

enum class Reading {
  camber,
  toe,
  bump_steer,
  camber_gain,
  half_track,
  roll_centre_height,
  caster,
  steering_axis_inclination,
  scrub_radius,
  caster_trail,
  contact_forward,
  contact_side_view,
  centre_side_view,
  spring_length,
  spring_motion_ratio,
  damper_length,
  damper_motion_ratio,
  strut_length,
  bar_turn,
  bar_motion_ratio,
};
inline constexpr std::size_t reading_count = 20;

struct ReadingInfo {
  Reading reading;
  std::string_view key;  // snake case, metric unit at the end
  Measure measure;
  std::string_view label;
};

std::span<const ReadingInfo> reading_table();
const ReadingInfo& info(Reading reading);
// Whether this layout has it at all; absent keys are absent from every output.
bool applies(Reading reading, const Layout& layout);

// The value of a reading in the unit its key names: degrees for rad, percent for a share.
double in_key_unit(double inside, Measure measure);

// Directions of the floor in corner axes: unit, square to each other, forward x outboard = up.
template <class T>
struct Ground {
  Vec3<T> forward{T(1.0), T(0.0), T(0.0)};
  Vec3<T> outboard{T(0.0), T(1.0), T(0.0)};
  Vec3<T> up{T(0.0), T(0.0), T(1.0)};
};

// What the steering axis was taken from.
enum class AxisFrom { none, two_arms, arm_and_strut_top, spring_held, wheel_height_held };
AxisFrom axis_from(const Layout& layout);
std::string_view words(AxisFrom from);  // "the upright ends of both arms"

template <class T>
struct AxisLine {
  Vec3<T> point, direction;  // direction: unit, leaning up
};

// A solved corner with what its readings share.
template <class T>
struct At {
  At(const Layout& layout, const Mechanism<T>& mechanism, const Solution<T>& solution,
     const Ground<T>& ground);

  const Layout& layout;
  const Mechanism<T>& mechanism;
  const Solution<T>& solution;
  Ground<T> ground;
  Placed<T> placed;
  Vec3<T> spin;              // outboard
  Vec3<T> contact;           // under the tyre
  Vec3<T> contact_velocity;  // as a point of the upright, per mm of travel
  AxisLine<T> axis;          // where the corner steers
};

// One reading of read_all: where several are wanted, take all at once.
template <class T>
T read(Reading reading, const At<T>& at);

// Every reading that applies, in the order of the table; the others are left zero.
template <class T>
std::array<T, reading_count> read_all(const At<T>& at);

// A joint's angle: how far its member stands out of the plane square to the joint's stud or bolt,
// which is taken as vertical as measured; in rad, positive when the member's far end is higher.
// For a strut's top mount: how far the strut has tipped against as measured.
struct JointAngle {
  std::string joint;
  double angle_rad;
};
std::vector<JointAngle> joint_angles(const At<double>& at);

// The axis about which the upright turns, at this instant, as the wheel rises (a screw, in
// general): its point nearest the wheel centre. No turning, no axis.
std::optional<AxisLine<double>> instant_axis(const At<double>& at);

}  // namespace trammel
