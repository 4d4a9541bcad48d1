// What is wrong with a text that was read; empty where nothing is.
#pragma once

#include <string>
#include <variant>

#include "base/quantity.h"

namespace trammel {

template <class Read>
std::string why_not(const Read& read) {
  if (const auto* bad = std::get_if<NotAQuantity>(&read)) return bad->why;
  return "";
}

}  // namespace trammel
