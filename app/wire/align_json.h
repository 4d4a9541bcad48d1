// The step align as JSON.
#pragma once

#include <nlohmann/json.hpp>

#include "align/aligning.h"

namespace trammel {

nlohmann::ordered_json to_json(const Aligning& aligning);

}  // namespace trammel
