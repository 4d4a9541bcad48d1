// Why there is no answer about where a wheel goes, what it carries and how the car stands, in
// words. No full stop, no capital.
#pragma once

#include <string>

#include "base/quantity.h"
#include "travel/adjust.h"
#include "travel/forces.h"
#include "travel/rolling.h"
#include "travel/sweep.h"

namespace trammel {

std::string words(const CannotSet& why);
std::string words(const NotStanding& why, Units units);
std::string words(const Locked& locked, Units units);
std::string words(NoForces why);
std::string words(const NoBalance& why);

}  // namespace trammel
