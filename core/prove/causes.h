// Why a run does not fit what is predicted: single causes, each with what it would do to the rows,
// how large it would have to be, and how much better the run fits with it.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "prove/run_sums.h"

namespace trammel {

struct Cause {
  enum class Kind {
    joint,        // a joint that holds the upright stands elsewhere: something is bent or shifted
    part_size,    // an option fitted with another size of its shelf, or left out (size 0)
    no_parts,     // nothing fitted at all
    signs,        // dials' signs turned round, or the dials exchanged
    travel_sign,  // bump written as droop
    travel_zero,  // zeroed at another height
    hook,         // toe leaves the curve towards one end of the travel
    row,          // one row misread
  };
  Kind kind = Kind::joint;
  std::string joint;       // "rod.steering.upright"
  int axis = 0;            // of a joint, body axes
  std::string option;      // of a part
  double size_mm = 0.0;    // it would have
  double fitted_mm = 0.0;  // it is said to have
  // Which dials, of `signs` and `row`; with two dials and nothing more they cannot be told apart.
  enum class Of { two, front, rear, low, both_upper, exchanged, all };
  Of of = Of::two;
  double by = 0.0;       // joint, travel_zero, row: mm; hook: rad at the end
  double sigma = 0.0;    // of that; zero where it is one of a few sizes
  double from_mm = 0.0;  // hook: travel from which toe leaves the curve; row: its travel
  std::size_t row = 0;
  double better = 0.0;    // by how much chi-square falls with it
  bool explains = false;  // the run holds with it
  // Ten times as large as such a thing is by the run's own ±: a height that is set to half a
  // millimetre is not off by 18.
  bool too_large = false;
};

std::string_view word(Cause::Kind kind);  // "travel zero"

struct Causes {
  // Best first: those that the run cannot tell from the best one (test values within 1, or
  // signatures correlated over 0.9, and the run holds with each where it holds with any).
  std::vector<Cause> likely;
  // As good as those by the rows, and too large to be as likely.
  std::vector<Cause> less_likely;
  bool any_explains = false;
};

// Of a run that failed. `as`: as it is said to have been put up.
Causes causes_of(const Ride& ride, const RunSetUp& as, const GaugeRun& run, const RunModel& model,
                 const RunSums& sums);

}  // namespace trammel
