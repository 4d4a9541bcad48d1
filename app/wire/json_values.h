// What the answers for other programs have in common: a place, and an angle in degrees.
#pragma once

#include <nlohmann/json.hpp>

#include "base/vec.h"
#include "travel/readings.h"

namespace trammel {

using Json = nlohmann::ordered_json;

inline double degrees(double rad) { return in_key_unit(rad, Measure::angle); }

inline Json list(const Vec3<double>& v) { return Json::array({v.x, v.y, v.z}); }

}  // namespace trammel
