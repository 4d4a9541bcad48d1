// While a survey grows: what can be answered already, how surely, and which reading brings most.
#pragma once

#include <string>

#include "correct/advice.h"
#include "measure/adjustment.h"
#include "measure/round.h"

namespace trammel {

struct Knowing {
  AxleName axle = AxleName::front;
  int taken = 0, of = 0;   // cards of the axle's corners
  std::string sentence;    // what can be answered, and how surely
  std::string next;        // what would bring most; empty where nothing is uncertain
  std::string card;        // number of the card that takes it; empty where it has none of its own
  bool gauge = false;      // it is a gauge run
  Side side = Side::left;  // of that run
};

// `sits`: the car as adjusted. Judged by bump steer, since that hangs most on what is measured.
Knowing knowing(const Ride& sits, const Adjusted& adjusted, const Survey& survey, AxleName axle,
                Units units);

}  // namespace trammel
