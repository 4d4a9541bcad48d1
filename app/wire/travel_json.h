// The step travel as JSON. Keys are the readings' own; a key that does not apply is absent.
#pragma once

#include <nlohmann/json.hpp>

#include "travel/band.h"
#include "travel/sweep.h"

namespace trammel {

nlohmann::ordered_json to_json(const Sweep& sweep, const Bands& bands, Side side,
                               const Layout& layout);

}  // namespace trammel
