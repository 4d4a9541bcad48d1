// What a wheel does at ride height and over the window of travel, and what its axle does.
#pragma once

#include <optional>

#include "car/by.h"

namespace trammel {

struct WheelFigures {
  double toe_change_max_rad = 0.0, toe_change_rms_rad = 0.0;  // over the window
  double bump_steer = 0.0;                                    // rad per mm of travel
  double camber_rad = 0.0, camber_gain = 0.0, toe_rad = 0.0, half_track_mm = 0.0;
  // Where the axle steers.
  std::optional<double> caster_rad, steering_axis_inclination_rad, scrub_radius_mm, caster_trail_mm;
};

struct AxleFigures {
  // Where the file gives one side only, the right wheel's are the left one's.
  BySide<WheelFigures> wheel;
  double roll_centre_height_mm = 0.0, track_mm = 0.0;
  // The one whose toe changes more; the left one where they are alike.
  Side worse_side() const {
    return wheel.right.toe_change_max_rad > wheel.left.toe_change_max_rad ? Side::right
                                                                          : Side::left;
  }
  const WheelFigures& worse() const { return wheel[worse_side()]; }
};

}  // namespace trammel
