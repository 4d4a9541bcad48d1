// Why there is no answer about where a wheel goes or what it carries, in words. No full stop, no
// capital.
#pragma once

#include <string>

#include "travel/forces.h"

namespace trammel {

std::string words(NoForces why);

}  // namespace trammel
