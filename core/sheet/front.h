// The front: what to do now, and where the job stands, step by step. What `trammel next` prints.
#pragma once

#include <array>
#include <string>
#include <string_view>
#include <vector>

#include "sheet/worked.h"
#include "told/section_table.h"

namespace trammel {

// One thing to do. `what` with its number, `why` its reason, each a sentence; `gain` what it
// brings, or empty.
struct Todo {
  std::string id;    // the same as long as it is the same thing, whatever its figures and units
  std::string step;  // of the job
  std::string what, why, gain;
};

enum class StepState {
  done,
  waiting,    // for another step
  needs_you,  // something is to be done
  not_begun,
};
std::string_view word(StepState state);   // "needs_you", as JSON has it
std::string_view words(StepState state);  // "needs you"

// A step of the job, and its answer in a clause.
struct StepNow {
  std::string id;  // "measure"
  StepState state = StepState::not_begun;
  std::string answer;
};

struct Front {
  // In the order of the job and its gates: slips to read again, guesses to measure, a set to settle
  // on, what does not serve or was not judged, what to get, the next step of the work, what to
  // turn, which wheel to run. Empty: nothing is left.
  std::vector<Todo> todo;
  std::array<StepNow, 7> steps;
};

// A car whose readings do not settle, or that does not stand, is told that, and nothing else.
Front front_of(Worked& worked, Units units);

// The first thing to do, the two after it, then every step's state and answer.
Section tell(const Front& front);

}  // namespace trammel
