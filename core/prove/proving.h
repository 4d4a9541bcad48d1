// The step prove: what the runs with parts fitted say of each axle, what to fit next, and, where
// there is no such run yet, what one is expected to read.
#pragma once

#include <array>
#include <optional>
#include <vector>

#include "correct/correct.h"
#include "prove/judge.h"
#include "prove/next_shim.h"
#include "told/section.h"

namespace trammel {

struct CornerProved {
  Side side = Side::left;
  std::size_t run = 0;  // the last one of the corner, among the runs
  RunSetUp as;
  std::optional<NextShim> next;
};

struct AxleProved {
  AxleName axle = AxleName::front;
  std::vector<CornerProved> corners;  // those with a run
  // Of the axle: the worst of them; none while a wheel has not been run with parts.
  std::optional<Verdict> verdict;
  std::size_t unfinished = 0;    // runs with parts that are too short to say anything
  bool other_set = false;        // run with other parts than are to be fitted
  bool slopes_opposite = false;  // left and right, beyond their uncertainty
  // What was fitted, judged against every target as the car is known now; and the best set where
  // that is clearly another one.
  std::optional<Candidate> as_fitted, best_now;
  // Where a wheel has not been run: what is to be fitted, and what its run is expected to read, by
  // that wheel's own joints.
  std::optional<RunSetUp> to_fit;
  std::vector<ExpectedRun> expected;
  const CornerProved* corner(Side side) const {
    for (const auto& c : corners)
      if (c.side == side) return &c;
    return nullptr;
  }
};

struct Proving {
  std::vector<RunProof> runs;
  std::array<std::optional<AxleProved>, 2> axle;  // by AxleName; none: nothing to prove there
};

// `ride`, `adjusted` and `correction` are about the car as it is known after the runs; `wishes`
// outlives what comes back.
Proving prove(const std::vector<RunProof>& runs, const Ride& ride, const Adjusted& adjusted,
              const Survey& survey, const Wishes& wishes, const Correction& correction);

Section tell(const Proving& proving, const Car& car, Units units);

}  // namespace trammel
