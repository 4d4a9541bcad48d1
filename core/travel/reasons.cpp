#include "travel/reasons.h"

namespace trammel {

std::string words(NoForces why) {
  switch (why) {
    case NoForces::nothing_holds_it_up:
      return "nothing holds the wheel up: the file has no spring, strut or damper here";
    case NoForces::locked_position:
      return "the wheel is in a locked position: no forces hold it there";
  }
  return {};
}

}  // namespace trammel
