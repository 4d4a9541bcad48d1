// The tables that a set of parts is decided by, wheel by wheel.
#pragma once

#include "correct/correct.h"
#include "told/section.h"

namespace trammel {

// Whether the wheels have to be told apart: each side has its own numbers, or its own parts.
bool told_apart(const Ranking& ranking, const Fit& fit);

// What a set does to each wheel and to the axle, as it sits and with it: the targets first, with
// what is wanted, then the side effects. The candidate has figures.
Grid figures_table(const Ranking& ranking, const Candidate& set, Units units);

// One standard uncertainty of each wheel's own figures.
Grid sureness_table(const AxleCorrection& correction, Units units);

// The best of the ranking; what was chosen first.
// `brief`: a few of them, by what one chooses.
Grid candidates_table(const AxleCorrection& correction, Units units, bool brief = false);

// "0.12°", or "0.12° left and 0.15° right": one figure of both wheels.
template <class Words>
std::string wheels_words(bool apart, const AxleFigures& figures, Words words) {
  auto left = words(figures.wheel.left);
  const auto right = words(figures.wheel.right);
  if (!apart || left == right) return left;
  return left + " left and " + right + " right";
}

}  // namespace trammel
