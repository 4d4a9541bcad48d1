// An axle at a list of positions: travel, rack, body roll. Both sides, and what the axle makes of
// them.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "travel/roll.h"

namespace trammel {

struct CornerAt {
  double travel_mm = 0.0;  // from ride height of the state
  double rack_mm = 0.0;    // car axes: positive to the left
  std::array<double, reading_count> value{};
  double toe_change_rad = 0.0, track_change_mm = 0.0,
         wheelbase_change_mm = 0.0;  // from ride height, at the same rack
  std::optional<double> steer_rad;   // positive to the left; steered wheels only
  std::optional<double> anti_dive, anti_lift, anti_squat;  // shares of 1
  std::vector<JointAngle> joints;
  std::optional<AxisLine<double>> instant_axis;  // car axes
  double operator[](Reading r) const { return value[static_cast<std::size_t>(r)]; }
};

struct AxleAt {
  double roll_centre_height_mm = 0.0;             // mean of both sides
  std::optional<double> roll_centre_sideways_mm;  // only where the two lines cross cleanly
  double track_mm = 0.0, track_change_mm = 0.0;
  std::optional<double>
      ackermann_error_rad;  // inner wheel's steer less what the outer one asks for
};

// A wheel that is not where it was asked to be, since its mechanism locks on the way, and the
// nearest travel there is. Its words: travel/reasons.h.
struct Locked {
  AxleName axle = AxleName::front;
  Side side = Side::left;
  double travel_mm = 0.0, rack_mm = 0.0, roll_rad = 0.0;  // as asked
  double nearest_travel_mm = 0.0, nearest_rack_mm = 0.0;
};

struct Position {
  double travel_mm = 0.0, rack_mm = 0.0, roll_rad = 0.0;  // as asked; travel is the axle's mean
  std::array<std::optional<CornerAt>, 2> side;            // by Side
  std::array<std::optional<Locked>, 2> locked;            // where that side has no position
  std::optional<AxleAt> axle;                             // where both sides have one
  const std::optional<CornerAt>& at(Side s) const { return side[static_cast<std::size_t>(s)]; }
};

// The largest |toe change| of one wheel among positions.
double largest_toe_change(const std::vector<Position>& positions, Side side);

struct Sweep {
  AxleName axle = AxleName::front;
  std::string state;
  AxisFrom axis_from = AxisFrom::none;
  bool toe_set = false, camber_set = false;
  Heave heave = Heave::none;  // how body roll was shared between the wheels
  Position ride;              // straight ahead at ride height
  std::vector<Position> positions;
};

struct Ask {
  std::vector<double> travel_mm;
  double rack_mm = 0.0;
  double roll_rad = 0.0;
};

// A window of travel in steps of 1 mm from its lower end, with both ends; a window of more than
// 10 m in so many equal steps.
std::vector<double> steps_over(const std::array<double, 2>& window_mm);

// Both wheels of an axle at one position: where the upright is, or why it has none. Rolled, one
// wheel without a position ends the roll for both.
struct AxleSolved {
  std::array<std::optional<Solution<double>>, 2> side;  // by Side
  std::array<std::optional<Locked>, 2> locked;
};
// Travel from ride height; rack in car axes, positive to the left. The axle must be there in the
// ride.
AxleSolved solved_at(const Ride& ride, AxleName axle, double travel_mm, double rack_mm,
                     double roll_rad);

// The axle must be there in the ride.
Sweep sweep(const Ride& ride, AxleName axle, const Ask& ask);

}  // namespace trammel
