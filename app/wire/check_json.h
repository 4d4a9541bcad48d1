// A car file that holds together, as JSON.
#pragma once

#include <nlohmann/json.hpp>

#include "car/car.h"

namespace trammel {

nlohmann::ordered_json to_json(const Car& car);

}  // namespace trammel
