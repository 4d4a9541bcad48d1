// What a set misses, why it must not be driven so and why there is nothing to rank, in words.
#pragma once

#include <string>
#include <vector>

#include "correct/rank.h"
#include "parts/reasons.h"

namespace trammel {

// "left: toe changes by 0.215°, wanted 0.120° at most"
std::string words(const Miss& miss, Units units);
std::vector<std::string> words(const std::vector<Miss>& misses, Units units);
// "toe-link bracket in z"
std::string words(const RangeEnd& end, const Shelf& shelf);
// Whole sentences, as a caution has them.
std::string words(const StopSign& stop);
std::string words(const NothingToRank& why, Units units);

}  // namespace trammel
