// Readings of a day on the floor that look like a slip of the hand: asked about, never changed.
#pragma once

#include <string>
#include <vector>

#include "align/floor_angles.h"

namespace trammel {

// What is asked, in sentences; empty where nothing looks odd. Looked for: edges as degrees or with
// front and rear exchanged, hub and rim that do not go together, strings that run across the car,
// left and right exchanged or one wheel's row typed for the other, camber typed as a length or
// without its sign, against the file by ten of its ±, out and in of a sweep exchanged, readings of
// one thing that contradict each other or are one reading typed twice, a day whose name is nearly
// another day's, a floor that is steeper than a garage's. `before`: how the day before left the
// wheels, or nothing: then the file says how they stood.
std::vector<std::string> doubts(const AlignmentRows& rows, const SessionFound& found,
                                const Carried* before, const Ride& stands, Units units);

}  // namespace trammel
