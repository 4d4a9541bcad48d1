// Where the upright is: Newton on its pose with the analytic Jacobian.
#pragma once

#include <optional>
#include <string>

#include "travel/rows.h"

namespace trammel {

// What drives the mechanism: the wheel centre's height, or a line (the spring) held at a length.
enum class DrivenBy { wheel_height, spring_length };

template <class T>
struct Drive {
  T travel_mm{};  // wheel centre's z against as measured; or, for spring_length, that length
  T rack_mm{};    // of this corner's own axes: positive outboard
  DrivenBy by = DrivenBy::wheel_height;
};

// A position and how it was moving there: what the next one is guessed from.
template <class T>
struct Passed {
  Pose<T> pose;
  Motion<T> with_travel;
  T travel_mm{}, rack_mm{};
};

// A solved pose with what every reading needs.
template <class T>
struct Solution {
  Pose<T> pose;
  Drive<T> drive;
  Factored<T> factored;   // of the Jacobian, within 1e-5 mm of the pose
  Motion<T> with_travel;  // per mm of drive.travel_mm, rack held
  Motion<T> with_rack;    // per mm of rack, drive held
  Mask<T> found{};        // false: no position; pose is the last try
  int iterations = 0;
  Passed<T> before, earlier;  // the two that it was reached through
  int passed = 0;             // how many of them there are, and more
};

// The order of elimination that suits the mechanism at `pose`.
PivotOrder order_at(const Mechanism<double>& mechanism, const Pose<double>& pose, DrivenBy by);

template <class T>
Pose<T> pose_as_measured(const Mechanism<T>& mechanism) {
  return {mechanism.centre_mm, {}};
}

// Newton from `start`, at most 20 steps. Ends when the last step was below 1e-5 mm (turning counted
// at 300 mm), which leaves the rows within 1e-12 mm: Newton's error is the square of its step over
// twice a member's length. Needs a mechanism of exactly five rows.
template <class T>
Solution<T> solve(const Mechanism<T>& mechanism, const Drive<T>& drive, const Pose<T>& start,
                  const PivotOrder& order);

// The next position from a solved one: its velocity solution starts Newton.
template <class T>
Solution<T> follow(const Mechanism<T>& mechanism, const Solution<T>& from, const Drive<T>& drive);

// The same in place. The first guess is the cubic or quintic through the last positions and their
// velocities where travel alone goes on in steps of about one size, else the velocity solution.
template <class T>
void advance(const Mechanism<T>& m, Solution<T>& s, const Drive<T>& drive);

// The largest |row| in mm at a solution, the drive among them.
double residual_mm(const Mechanism<double>& mechanism, const Solution<double>& at);

// As measured: where every sweep starts. Always found for a mechanism that freedom_faults passes.
Solution<double> solution_as_measured(const Mechanism<double>& mechanism,
                                      DrivenBy by = DrivenBy::wheel_height);

// A position, or the nearest on the way to it that there is.
struct Reached {
  Solution<double> at;
  bool arrived = false;  // false: the mechanism locks; `at` is the last position before it
};

// From a solved position to `drive` in steps that stay on the same branch of the mechanism: each at
// most 10 mm, halved wherever Newton, the sign of the determinant or the size of the motion says
// that a locked position lies between.
Reached reach(const Mechanism<double>& mechanism, const Solution<double>& from,
              const Drive<double>& drive);

}  // namespace trammel
