// What to put under the rod's end, or where to move its hole, after a run: of the sizes there are,
// or of the places within a made part's range, what keeps toe nearest to its value at ride height.
#pragma once

#include <optional>
#include <string>

#include "correct/rank.h"
#include "prove/judge.h"

namespace trammel {

struct NextShim {
  std::size_t choice = 0;  // on the shelf of the set-up
  std::string option;
  bool made = false;  // to measure: a hole that moves, in half millimetres
  Fit fitted, next;   // as it is, and with the best of that choice; the other choices stay
  bool changes = false;
  // Largest toe change over the wanted window with either.
  double fitted_rad = 0.0, next_rad = 0.0;
  // The plain rule: bump steer at ride height over what a millimetre changes of it.
  double slope = 0.0, slope_per_mm = 0.0;  // rad per mm of travel; the same per mm of the part
  int axis = 0;              // of a made part: the one that changes most, of its range
  double by_mm = 0.0;        // what that rule adds to the part
  bool shelf_ends = false;   // the rule asks for more or less than the shelf or the range has
  bool of_the_rows = false;  // from the rows read alone: the model does not hold
};

// `ride`: the car as it is known after all runs. None where no option moves an end of the rod that
// sets toe; one that is fitted comes before one that is not, and sizes before a made part. What
// else is fitted changes the curve as the model says; the curve itself is the sharpened model's
// where the run holds, and what was read where it does not. A hole is sought downhill from where it
// is, along the axes of its range, and moved along no axis that gains nothing worth measuring.
std::optional<NextShim> next_shim(const Ride& ride, const RunSetUp& as, const RunProof& run,
                                  const Wanted& wanted);

}  // namespace trammel
