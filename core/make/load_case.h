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

// What the file leaves open, and what is taken instead.
struct TakenForGranted {
  enum class Of {
    centre_of_gravity,  // so many mm above the floor
    nothing_forward,    // no weight thrown forward by the brakes: the wheelbase is not known
    braking_in_front,   // so large a share of it
  };
  Of of{};
  double value = 0.0;
};
// What to weigh or to write down for what is left out: 'up' of a load, or the corner weights.
struct LoadsWanting {
  std::string up_of{};  // a load's name; empty: the corner weights
};

struct LoadCases {
  std::vector<LoadCase> cases;
  std::vector<TakenForGranted> taken_for_granted;
  std::vector<LoadsWanting> wanting;
};

// Of one axle. Without corner weights only the owner's own loads that say how hard the road pushes
// up, and parking against a kerb.
LoadCases load_cases(const Car& car, AxleName axle, const std::vector<OwnLoad>& own);

}  // namespace trammel
