// The front as JSON: what to do now, and every step's state.
#pragma once

#include <nlohmann/json.hpp>

#include "sheet/front.h"

namespace trammel {

nlohmann::ordered_json to_json(const Front& front);

}  // namespace trammel
