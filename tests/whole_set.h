// Sets that only grow surer with their size are small in ./test and whole in ./test --long.
#pragma once

#include <cstdlib>

namespace trammel::testing {

inline bool whole_set() { return std::getenv("TRAMMEL_WHOLE_SETS") != nullptr; }

}  // namespace trammel::testing
