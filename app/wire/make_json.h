// The step make as JSON.
#pragma once

#include <nlohmann/json.hpp>

#include "make/making.h"

namespace trammel {

nlohmann::ordered_json to_json(const Making& making);

}  // namespace trammel
