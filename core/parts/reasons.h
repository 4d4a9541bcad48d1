// Why parts are not possible, not on the shelf or not tried, in words. No full stop, no capital.
#pragma once

#include <string>

#include "base/quantity.h"
#include "parts/shelf.h"

namespace trammel {

// "left side: with these parts the mechanism locks within -30 to 30 mm of travel"
std::string words(const NotPossible& why, Units units);
// What follows "refused: ".
std::string words(const Refused& refused);
// What follows "Left out: ".
std::string words(const NotTried& left_out, Units units);

}  // namespace trammel
