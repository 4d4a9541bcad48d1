// The step correct as JSON.
#pragma once

#include <nlohmann/json.hpp>

#include "correct/correct.h"

namespace trammel {

nlohmann::ordered_json to_json(const AxleCorrection& correction);

}  // namespace trammel
