#include "prove/reasons.h"

#include "parts/reasons.h"
#include "travel/reasons.h"

namespace trammel {

std::string words(const NoRun& why, Units units) {
  if (why.not_standing) return words(*why.not_standing, units);
  if (why.not_possible) return words(*why.not_possible, units);
  return "with these parts the mechanism locks within the travel of the run";
}

}  // namespace trammel
