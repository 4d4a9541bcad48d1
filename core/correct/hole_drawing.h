// The map of a bracket's hole, drawn as the steel would be seen at the car.
#pragma once

#include <array>

#include "correct/beside.h"
#include "told/section.h"

namespace trammel {

// Left side, looking forward (right side: looking back; or at the plane the two axes span):
// outboard to the left of the page when across is y, up is up. The patch that holds is hatched
// inside its outline, the old hole crossed, the new one centre-punched.
Drawing hole_drawing(const Ranking& ranking, const HoleMap& map);

// Where a hole lies in that drawing (mm from its upper left corner) and back.
struct HoleFrame {
  double scale = 1.0;         // drawn over real
  double x0 = 0.0, y0 = 0.0;  // where a hole that has not moved is drawn
  double wide_mm = 0.0, high_mm = 0.0;
  std::array<double, 2> drawn(const std::array<double, 2>& moved_mm) const {
    return {x0 - scale * moved_mm[0], y0 - scale * moved_mm[1]};
  }
  std::array<double, 2> moved(const std::array<double, 2>& drawn_mm) const {
    return {(x0 - drawn_mm[0]) / scale, (y0 - drawn_mm[1]) / scale};
  }
};
HoleFrame hole_frame(const HoleMap& map);

}  // namespace trammel
