// The step measure as JSON.
#pragma once

#include <nlohmann/json.hpp>

#include "measure/adjustment.h"

namespace trammel {

nlohmann::ordered_json to_json(const Adjusted& adjusted);

}  // namespace trammel
