// The loads that a corner is judged by: the usual ones from the car's weights, with figures that
// the owner may change, and the owner's own.
//
// The usual figures are common practice for a light car: 1.1 g round a bend and 1 g of braking with
// a shock factor of two, three times the wheel's load over a bump, and of a kerb and of a pothole
// shares of the car's weight (on a car of 1,060 kg a kerb pushes 9 kN sideways in front and 7.5
// behind).
#pragma once

#include <string>
#include <vector>

#include "base/answer.h"
#include "file/workshop.h"
#include "travel/forces.h"

namespace trammel {

struct LoadCase {
  std::string name;
  Load load;                   // of the harder loaded side, without shock
  double shock = 1.0;          // what every force of it is multiplied by
  bool often = false;          // comes again and again: what counts for fatigue
  double steered_rod_n = 0.0;  // in the steered rod alone, either way; then there is no `load`
};

struct LoadCases {
  std::vector<LoadCase> cases;
  std::vector<std::string> taken_for_granted;  // what the file leaves open, in words
  std::vector<std::string> wanting;            // what to weigh or measure for what is left out
};

// Of one axle. Without corner weights only the owner's own loads that say how hard the road pushes
// up, and parking against a kerb.
LoadCases load_cases(const Car& car, AxleName axle, const std::vector<OwnLoad>& own);

}  // namespace trammel
