// What could be read next: one careful reading of each kind for every joint of an axle.
#pragma once

#include <string>
#include <vector>

#include "car/spread.h"
#include "file/survey.h"

namespace trammel {

// Something to go and read: one value, several that are taken together, or gauge runs.
struct Action {
  // "level along rod 'steering' and arm 'lower', left"; no side where they are not told apart.
  std::string what;
  std::string tool, how;
  AxleName axle = AxleName::front;
  Side side = Side::left;
  int what_of = -1;         // the same thing done at the left, the right, or both: the same number
  bool both_sides = false;  // then `side` is the left one
  std::vector<TakenReading> readings;
  std::vector<GaugeRun> gauges;
};

// What one careful reading of each kind would be, for every joint of an axle; both sides where they
// are told apart.
std::vector<Action> possible_actions(const Car& car, const Spread& spread, AxleName axle);

// The work an action is, in readings.
int effort(const Action& action);

}  // namespace trammel
