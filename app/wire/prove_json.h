// The step prove as JSON.
#pragma once

#include <nlohmann/json.hpp>

#include "prove/proving.h"

namespace trammel {

// `wishes`: what the runs' `with` points into.
nlohmann::ordered_json to_json(const Proving& proving, const Wishes& wishes);

}  // namespace trammel
