// The step measure as JSON.
#pragma once

#include <nlohmann/json.hpp>

#include "correct/advice.h"
#include "measure/adjustment.h"

namespace trammel {

nlohmann::ordered_json to_json(const Adjusted& adjusted);
nlohmann::ordered_json to_json(const std::vector<Advices>& advices);

}  // namespace trammel
