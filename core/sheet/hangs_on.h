// What a car's geometry hangs on, of all that its file says.
#pragma once

#include <string>

#include "file/document.h"

namespace trammel {

// Every value of the file that joints, targets or the shelf hang on, with its path: where two texts
// give the same, so do adjustment and ranking. Left out are the car's name, jobs, what is made and
// bolted, the days on the floor, and what was chosen, unless a run was taken with it.
std::string geometry_of(const Document& document);

}  // namespace trammel
