// The map of a bracket's hole, drawn as the steel would be seen at the car.
#pragma once

#include "base/section.h"
#include "correct/beside.h"

namespace trammel {

// Left side, looking forward (or at the plane the two axes span): outboard to the left of the page
// when across is y, up is up. The patch that holds is hatched inside its outline, the old hole
// crossed, the new one centre-punched.
Drawing hole_drawing(const Ranking& ranking, const HoleMap& map);

}  // namespace trammel
