// What may have happened when a value disagrees: the slips of tape, level and pencil.
#pragma once

#include <optional>

#include "measure/adjustment.h"
#include "measure/network.h"

namespace trammel {

// `expected` is what all other readings say this one should be, give or take `sigma`. None where no
// known slip explains the difference.
std::optional<Slip> likely_slip(const Network& network, const std::vector<double>& x,
                                const Car& car, const Survey& survey, const TakenReading& reading,
                                double expected, double sigma);

}  // namespace trammel
