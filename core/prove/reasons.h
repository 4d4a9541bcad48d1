// Why a run cannot be judged or predicted, in words. No full stop, no capital.
#pragma once

#include <string>

#include "base/quantity.h"
#include "prove/run_model.h"

namespace trammel {

std::string words(const NoRun& why, Units units);

}  // namespace trammel
