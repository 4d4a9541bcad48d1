// The drop link between a roll bar's lever and the wheel: its angle to the lever, and its length
// that leaves the bar free.
#pragma once

#include <numbers>
#include <optional>

#include "travel/readings.h"

namespace trammel {

// What a link's angle to the bar's lever should keep to at ride height (common
// practice).
inline constexpr double link_least_rad = 80.0 * std::numbers::pi / 180.0,
                        link_most_rad = 100.0 * std::numbers::pi / 180.0;
// Nearer to a line than this the lever may go over to the other side (common practice).
inline constexpr double link_over_centre_rad = 20.0 * std::numbers::pi / 180.0;

struct LinkAt {
  double angle_rad = 0.0;  // between link and lever at their joint
  double turn_rad = 0.0;   // of the lever against as measured
  double length_mm = 0.0;  // of the link
  // The length with which link and lever stand square here; none where the lever is longer than
  // the way to the link's other joint.
  std::optional<double> square_mm;
};
// Nothing where the layout has no bar with a lever.
std::optional<LinkAt> link_at(const At<double>& at);

// How long the link has to be here for the lever to stand at `turn_rad`: with the other side's
// turn, what leaves the bar free of twist.
std::optional<double> link_length_mm(const At<double>& at, double turn_rad);

}  // namespace trammel
