// The step settle as JSON.
#pragma once

#include <nlohmann/json.hpp>

#include "settle/settling.h"

namespace trammel {

nlohmann::ordered_json to_json(const Settling& settling);

}  // namespace trammel
