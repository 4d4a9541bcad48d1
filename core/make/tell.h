// What `make` says.
#pragma once

#include "base/section.h"
#include "make/making.h"

namespace trammel {

// `demo`: of an invented car, marked on every drawing.
Section tell(const Making& making, bool demo, Units units);

// What is done about a part in few words, for a list: "fails: plate bent and twisted", "serves".
std::string verdict(const PartToMake& part);

}  // namespace trammel
