// A joint as one speaks of it under the car.
#pragma once

#include <string>

#include "car/layout.h"

namespace trammel {

// "ball joint of arm 'lower'"; its name in the file where nothing is said of it.
std::string joint_words(const Layout& layout, int point);

}  // namespace trammel
