// The car as a value: what was measured, and how it stood at other times.
#pragma once

#include <array>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "car/layout.h"

namespace trammel {

// Standard uncertainty of each coordinate that carries one; zero where none is stated.
using Sigmas = std::vector<Vec3<double>>;

struct CornerMeasured {
  Numbers<double> numbers;  // car axes: the right side has y below zero
  Sigmas sigma_mm;
  double camber_sigma_rad = 0.0, toe_sigma_rad = 0.0;
};

struct Rim {
  std::optional<double> diameter_mm, width_mm, offset_mm, barrel_radius_mm, clearance_mm;
};

struct SpringData {
  std::optional<double> rate_n_per_mm, free_length_mm, perch_pitch_mm;
  std::optional<double> solid_length_mm;  // all coils touching: as stated, or coils times wire
};
struct DamperData {
  std::optional<double> open_mm, closed_mm;
};
struct StopData {
  // The gap stands along the damper (else the strut, else the spring), as measured.
  std::optional<double> gap_mm, free_length_mm, solid_length_mm;
  std::optional<double> rate_n_per_mm;      // of the rubber as it is first touched
  std::optional<double> bump_mm, droop_mm;  // full wheel travel up and down from as measured
};
// How far a joint may swing out of the plane square to its stud or bolt.
struct JointLimit {
  int point = -1;
  double limit_rad = 0.0;
};
// How far a joint's housing, bolts and nut reach from its centre.
struct Housing {
  int point = -1;
  double radius_mm = 0.0;
};

struct ToeAdjuster {
  int rod = -1;
  bool stated = false;    // the file has it; else it is the rod one would turn
  double pitch_mm = 0.0;  // zero where the file does not say
  int ends = 1;
};
// What sets camber or caster: a rod of adjustable length, or a joint that moves along a line.
struct AngleAdjuster {
  int rod = -1;
  int joint = -1;
  Vec3<double> along{0, 1, 0};  // unit, left-hand side; used with `joint`
  double pitch_mm = 0.0;
  int ends = 1;
};

struct Axle {
  Layout layout;
  std::array<CornerMeasured, 2> side;  // by Side
  bool right_is_mirrored = true;
  bool camber_given = false, toe_given = false;
  Rim rim;
  std::optional<double> tyre_rate_n_per_mm;
  std::array<std::optional<double>, 2> arch_mm;  // by Side: hub centre up to the arch, as measured
  std::optional<SpringData> spring;
  std::optional<DamperData> damper;
  std::optional<StopData> stop;
  std::vector<JointLimit> joint_limits;
  std::vector<Housing> housings;
  std::optional<double> rack_travel_mm;  // each way
  std::optional<double> bar_rate_nmm_per_rad;
  std::optional<ToeAdjuster> toe_adjuster;
  std::optional<AngleAdjuster> camber_adjuster, caster_adjuster;

  const CornerMeasured& at(Side s) const { return side[static_cast<std::size_t>(s)]; }
  CornerMeasured& at(Side s) { return side[static_cast<std::size_t>(s)]; }
};

// One axle of a ride state: how much higher the body stood than as measured, and whether the wheels
// were set there.
struct AxleState {
  double height_mm = 0.0;
  std::optional<double> toe_rad, camber_rad;
};
struct RideState {
  std::string name;
  std::array<AxleState, 2> axle;  // by AxleName
  int line = 0;
  const AxleState& at(AxleName a) const { return axle[static_cast<std::size_t>(a)]; }
};

enum class DrivenAxle { front, rear, all };

struct Body {
  std::optional<double> wheelbase_mm, centre_of_gravity_height_mm, brake_front;
  std::optional<DrivenAxle> drive;
  std::optional<double> steering_ratio;  // turn of the steering wheel by turn of a road wheel
  std::optional<std::array<std::array<double, 2>, 2>> corner_kg;  // by AxleName, Side
  std::array<double, 2> unsprung_axle_kg{0.0, 0.0};
};

struct Car {
  std::string name;
  bool demo = false;                        // an invented car, marked as such wherever it is shown
  std::array<std::optional<Axle>, 2> axle;  // by AxleName
  Body body;
  std::vector<RideState> states;

  const std::optional<Axle>& at(AxleName a) const { return axle[static_cast<std::size_t>(a)]; }
  std::optional<Axle>& at(AxleName a) { return axle[static_cast<std::size_t>(a)]; }
  const RideState* state(std::string_view named) const {
    for (const auto& s : states)
      if (s.name == named) return &s;
    return nullptr;
  }
  // From the file, else from the wheel centres as measured; nothing where only one axle is known.
  std::optional<double> wheelbase_mm() const;
};

}  // namespace trammel
