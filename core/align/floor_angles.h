// What a day's readings on the floor say of the wheels: toe against the car's own centreline,
// thrust angle, camber, caster and setback, each with its uncertainty.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "align/set_corner.h"
#include "file/alignment.h"
#include "file/survey.h"
#include "travel/ride.h"

namespace trammel {

// One standard uncertainty; rad or mm.
struct Estimate {
  double value = 0.0, sigma = 0.0;
};

struct WheelFound {
  std::optional<Estimate> toe_rad;  // toe-in positive, against the line midway between the wheels
  std::optional<Estimate> camber_rad;  // against the floor under this axle
  std::optional<Estimate> caster_rad;  // against the floor
  std::optional<double> arch_mm;
  std::optional<double> across_mm;  // rim, where the string was read
  std::optional<double>
      runs_out_mm;  // of the rim: half the difference of two places half a turn on
  bool by_edges = false;
};

AnglesRead angles_read(const WheelFound& wheel);

struct AxleFound {
  std::array<WheelFound, 2> side;  // by Side
  std::optional<Estimate> total_toe_rad;
  const WheelFound& at(Side s) const { return side[static_cast<std::size_t>(s)]; }
};

// What was taken for granted of a day. Its words, and those of NotRead: align/reasons.h.
enum class Assumed {
  apart_from_day_before,  // the readings do not agree with it and the turns written down since
  rim_as_read_once,       // a bent rim is part of its toe
  strings_parallel,       // string to hub was not read at all four wheels
};
// What was not read, and what for.
struct NotRead {
  enum class Of {
    steering_ratio,  // the steering wheel was not straight, and how it is geared is not said
    toe,             // of `axle`
    which_wheel,     // plates give the total toe of `axle` alone
  };
  Of of{};
  AxleName axle = AxleName::front;
};

struct SessionFound {
  std::string when;
  bool fitted = false, driven = false;
  std::array<AxleFound, 2> axle;       // by AxleName
  std::optional<Estimate> thrust_rad;  // of the rear axle, positive: it points to the right
  std::optional<Estimate>
      box_yaw_rad;                     // of the strings against the car, positive: car's nose right
  std::optional<Estimate> setback_mm;  // left front wheel ahead of the right one
  double strings_converge_rad = 0.0;   // adds to toe as it is seen against a string
  double steered_rad = 0.0;  // front wheels to the left, by the steering wheel as it was held
  bool carried = false;      // joined with what was turned after the day before
  std::vector<Assumed> assumed;
  std::vector<NotRead> wanting;
  const AxleFound& at(AxleName a) const { return axle[static_cast<std::size_t>(a)]; }
  std::vector<std::string> turned;  // wheels of which the day writes down a turn
  bool any() const;
};

// What is known of the angles from the day before and what was turned then, by wheel: front left,
// front right, rear left, rear right.
struct Carried {
  std::array<std::optional<Estimate>, 4> toe_rad, camber_rad;
};
// A wheel whose toe or camber is worse known than this is not known (rad).
inline constexpr double worst_known_rad = degree_rad;

// `stands`: the car as it was read, for tracks, wheelbase and the steering axis's inclination.
// `survey`: how the floor rises, where the session does not say. Rows that are set aside are left
// out. Toe of all wheels in one adjustment: strings and plates together, the strings' yaw taken
// from the hubs. `before`: joined with the day's readings where they agree.
SessionFound found_on_floor(const AlignmentRows& rows, const std::string& when, const Ride& stands,
                            const Survey& survey, const Carried* before = nullptr);

// Front edge farther from the string than the rear one (mm), for a wheel's toe as the car stands
// between the strings.
double edges_for(double toe_rad, double across_mm);

// "left rear toes in 0.18°; the car crabs to the right": a thrust angle in words with its full
// stop; says so where the readings cannot tell it from none.
std::string thrust_words(const SessionFound& found);
std::string setback_words(const SessionFound& found, Units units);

}  // namespace trammel
