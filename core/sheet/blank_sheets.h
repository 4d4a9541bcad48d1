// Sheets to write on at the car: the survey's cards with their numbers and drawings, in the order
// in which they are typed afterwards.
#pragma once

#include <vector>

#include "base/quantity.h"
#include "car/car.h"
#include "told/section.h"

namespace trammel {

// A section for each station of the round (see measure/round.h) and one for the gauge runs.
std::vector<Section> blank_sheets(const Car& car, Units units);

}  // namespace trammel
