// What `make` says.
#pragma once

#include "base/section.h"
#include "make/making.h"

namespace trammel {

// `demo`: of an invented car, marked on every drawing.
Section tell(const Making& making, bool demo, Units units);

}  // namespace trammel
