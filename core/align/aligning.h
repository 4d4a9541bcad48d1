// The step align: every day's readings on the floor as angles, the plan for the last of them, and
// what has moved since the car was driven.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "align/floor_angles.h"
#include "align/plan.h"
#include "base/section.h"
#include "correct/correct.h"

namespace trammel {

// Toe that has moved by more than this over the first kilometres says that something slipped
// (common practice: 0.1°).
inline constexpr double moved_toe_rad = 0.1 * degree_rad;

struct MovedAngle {
  AxleName axle = AxleName::front;
  Side side = Side::left;
  bool camber = false;  // else toe
  double by_rad = 0.0, sigma_rad = 0.0;
  bool too_much = false;
};

struct Aligning {
  std::vector<SessionFound> sessions;  // in the order of the file
  std::vector<std::string> doubts;     // about the last one
  std::optional<AlignPlan> plan;       // for the last one; none where nothing was read
  std::vector<MovedAngle> moved;       // of the last one against the one before, after driving
  // Every angle that was read on the last day lies where it is wanted, and its toe surely (nine
  // chances in ten) does.
  bool met = false, surely = false;
  const SessionFound* now() const { return sessions.empty() ? nullptr : &sessions.back(); }
  const SessionFound* before() const { return sessions.size() < 2 ? nullptr : &sessions.front(); }
};

// `sits`: the car as measured; sessions with parts are judged on the car with the set fitted.
Aligning align(const Ride& sits, const Correction& correction, const Wishes& wishes,
               const AlignmentRows& rows, const Survey& survey);

// The chance that an angle known to ± lies where it is wanted.
double chance_met(const Wish& wish, const Estimate& angle);

Section tell(const Aligning& aligning, const Car& car, Units units);

}  // namespace trammel
