// The step align: every day's readings on the floor as angles, the plan for the last of them, and
// what has moved since the car was driven.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "align/floor_angles.h"
#include "align/plan.h"
#include "correct/correct.h"
#include "told/section.h"

namespace trammel {

// Toe that has moved by more than this over the first kilometres says that something slipped
// (common practice: 0.1°).
inline constexpr double moved_toe_rad = 0.1 * degree_rad;

struct MovedAngle {
  AxleName axle = AxleName::front;
  Side side = Side::left;
  bool camber = false;  // else toe
  double by_rad = 0.0, sigma_rad = 0.0;
  bool too_much = false;   // something moved
  bool as_it_was = false;  // surely; neither: the readings cannot tell
};

struct Aligning {
  std::vector<SessionFound> sessions;  // in the order of the file
  std::vector<std::string> doubts;     // about the last one
  std::optional<AlignPlan> plan;       // for the last one; none where nothing was read
  std::vector<MovedAngle> moved;       // of the last one against the one before, after driving
  // An angle was read on the last day that something is wanted of; every one of these lies where it
  // is wanted; and toe surely does (nine chances in ten).
  bool judged = false, met = false, surely = false;
  // What was turned is written down: the last day is over, and the next one is to be read.
  bool turned() const { return !sessions.empty() && !sessions.back().turned.empty(); }
  const SessionFound* now() const { return sessions.empty() ? nullptr : &sessions.back(); }
  const SessionFound* first() const { return sessions.size() < 2 ? nullptr : &sessions.front(); }
};

// `sits`: the car as measured; sessions with parts are judged on the car with the set fitted.
// `units`: of the lengths in `doubts`.
Aligning align(const Ride& sits, const Correction& correction, const Wishes& wishes,
               const AlignmentRows& rows, const Survey& survey, Units units = Units::metric);

// The chance that an angle known to ± lies where it is wanted.
double chance_met(const Wish& wish, const Estimate& angle);

Section tell(const Aligning& aligning, const Car& car, Units units);

}  // namespace trammel
