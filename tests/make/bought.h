// Threads and materials by what people write.
#pragma once

#include <string_view>
#include <variant>

#include "stock/material.h"
#include "stock/thread.h"

namespace trammel {

inline Thread thread(std::string_view text) { return std::get<Thread>(read_thread(text)); }
inline Material material(std::string_view text) { return std::get<Material>(read_material(text)); }

}  // namespace trammel
