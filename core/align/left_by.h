// What a day of readings and turns left behind.
#pragma once

#include "align/floor_angles.h"

namespace trammel {

// How the day left the wheels: its angles after its own rows' turns (toe_turned, camber_turned,
// caster_turned), worked out on the joints.
Carried left_by(const AlignmentRows& rows, const SessionFound& found, const Ride& stands);

}  // namespace trammel
