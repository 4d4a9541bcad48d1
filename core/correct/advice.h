// What to measure next: every reading that could be taken, by how much the best candidate's chance
// may be expected to gain from it, or by how far it narrows a named figure.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "correct/actions.h"
#include "correct/rank.h"
#include "measure/network.h"
#include "told/section.h"

namespace trammel {

struct Advice {
  Action action;
  // Chance of whichever candidate would be best after it, on average over what it may read; none
  // where nothing can be changed.
  std::optional<double> chance_after;
  double gain = 0.0;  // of that chance
  // Standard uncertainty, after it, of the bump steer of the wheel that is known least as the car
  // sits, and of the axle's roll centre.
  double bump_steer_sigma = 0.0, roll_centre_sigma = 0.0;
};

struct Advices {
  AxleName axle = AxleName::front;
  bool guessed = false;  // joints are guesses: no chance is named
  std::optional<double> chance_today;
  double bump_steer_sigma = 0.0, roll_centre_sigma = 0.0;  // today
  BySide<double> wheel_sigma{};                            // today, of each wheel's bump steer
  std::vector<Advice> best;                                // first: most to gain
};

enum class NarrowWhat { chance, bump_steer, roll_centre };

// Sorted by `what`. `ranking` may be null: then the chance is unknown and bump steer decides. Empty
// where nothing of the axle is uncertain.
Advices what_next(const Ride& ride, const Spread& spread, AxleName axle, const Ranking* ranking,
                  const Target& target, NarrowWhat what);

// The first of them in a sentence; empty where there is none.
std::string first_advice(const Advices& advices, NarrowWhat what, Units units);

Section tell(const std::vector<Advices>& axles, NarrowWhat what, Units units);

}  // namespace trammel
