// What holds a wheel, with joints where they usually are: somewhere for readings to begin from.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "base/vec.h"
#include "car/layout.h"

namespace trammel {

// What can hold a wheel. The first two of the last three move both wheels at once and are refused;
// `unknown` is an axle that nobody could tell yet.
enum class Holder {
  strut_arm,
  strut_rods,
  two_arms,
  five_rods,
  strut_three_rods,
  swing_arm,
  twist_beam,
  solid_axle,
  unknown
};

// What was seen of it besides.
enum class RodPlace { behind, ahead };  // of the steering or toe rod, against the wheel's centre
enum class SpringStands { unknown, round_strut, lower_arm, upper_arm, upright };
enum class BarHangs { none, upright, lower_arm };

struct SeenAxle {
  AxleName axle = AxleName::front;
  Holder holder = Holder::unknown;
  RodPlace rod = RodPlace::behind;
  bool toe_rod_on_arm = false;
  SpringStands spring = SpringStands::unknown;
  BarHangs bar = BarHangs::none;
};

struct AxleSizes {
  double x_mm = 0.0;  // of the wheel's centre, ahead of the front axle line
  double half_track_mm = 710.0;
  double hub_mm = 290.0;         // the hub's centre above the floor
  double rim_radius_mm = 190.5;  // half the rim's nominal diameter
  double tyre_half_wide_mm = 95.0;
};

// A member with its joints under the keys that a car file has for them. Left side, car axes.
struct HeldBy {
  enum class Kind { arm, rod, strut, swing, spring, bar };
  Kind kind = Kind::arm;
  std::string name;   // in the file; empty for a strut, spring or bar
  std::string words;  // for a beginner
  std::vector<std::pair<std::string, Vec3<double>>> joints;
  bool steered = false;
  std::string on;  // the member that an end stands on
};

struct HeldWheel {
  SeenAxle seen;
  AxleSizes sizes;
  Vec3<double> centre_mm;
  std::vector<HeldBy> members;
  const HeldBy* find(HeldBy::Kind kind, std::string_view name) const {
    for (const auto& m : members)
      if (m.kind == kind && m.name == name) return &m;
    return nullptr;
  }
};

// Joints from invented proportions that are common practice for such an axle, scaled by its sizes;
// rounded to 1 mm. No members for what is refused or unknown.
HeldWheel held_wheel(const SeenAxle& seen, const AxleSizes& sizes);

}  // namespace trammel
