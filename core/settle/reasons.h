// What is not well with springs, stops and drop links, what of them was not judged, and what to
// weigh or measure to say more, in words. No full stop.
#pragma once

#include <string>

#include "base/in_units.h"
#include "settle/settling.h"
#include "travel/reasons.h"

namespace trammel {

// Whole millimetres; inches as they are shown anywhere.
std::string whole_mm(double mm, const InUnits& units);
// "front bump stop"
std::string words(const Sprung& of);
std::string words(const Unwell& unwell, Units units);
Unjudged unjudged(const SprungNotJudged& of, Units units);
std::string words(const Settling::Wanting& wanting);

}  // namespace trammel
