// What to put under the rod's end after a run: of the sizes there are, the one that keeps toe
// nearest to its value at ride height.
#pragma once

#include <optional>
#include <string>

#include "correct/rank.h"
#include "prove/judge.h"

namespace trammel {

struct NextShim {
  std::string option;
  double fitted_mm = 0.0, size_mm = 0.0;  // now, and the best on the shelf
  // Largest toe change over the wanted window with either.
  double fitted_rad = 0.0, size_rad = 0.0;
  bool stays() const { return fitted_mm == size_mm; }
  // The plain rule: bump steer at ride height over what a millimetre changes of it.
  double slope = 0.0, slope_per_mm = 0.0;  // rad per mm of travel; the same per mm of the part
  double by_mm = 0.0;                      // what that rule adds to the part
  bool shelf_ends = false;                 // the rule asks for more or less than the shelf has
  bool of_the_rows = false;                // from the rows read alone: the model does not hold
};

// `ride`: the car as it is known after all runs. None where no size on the shelf moves an end of
// the rod that sets toe. Other sizes change the curve as the model says; the curve itself is the
// sharpened model's where the run holds, and what was read where it does not.
std::optional<NextShim> next_shim(const Ride& ride, const RunSetUp& as, const RunProof& run,
                                  const Wanted& wanted);

}  // namespace trammel
