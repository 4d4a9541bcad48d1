// What `make` says.
#pragma once

#include <string>

#include "make/making.h"
#include "told/section.h"

namespace trammel {

// Whether the set to be fitted is as strong as it has to be, in a sentence or two: stands with the
// set wherever one is told.
std::string strength_words(const Making& making, Units units);
// The same of one axle.
std::string strength_words(const Making& making, AxleName axle, Units units);

// `demo`: of an invented car, marked on every drawing.
Section tell(const Making& making, bool demo, Units units);

}  // namespace trammel
