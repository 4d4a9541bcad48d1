// What was not read on the floor, taken for granted or left alone, in whole sentences.
#pragma once

#include <string>

#include "align/plan.h"
#include "base/quantity.h"

namespace trammel {

std::string words(Assumed what);
std::string words(const NotRead& what);
std::string words(const LeftAlone& left, Units units);

}  // namespace trammel
