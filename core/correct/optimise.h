// Where a made-to-measure joint belongs: the place in its range that serves every target best.
#pragma once

#include "correct/set_judge.h"

namespace trammel {

// Made-to-measure axes that a search takes at once, each side's counted where they differ by side.
inline constexpr std::size_t most_axes_searched = most_made_directions;

// `start` with its made-to-measure joints moved to where its merit is best (see SetJudge): toe
// change of both wheels, roll centre, camber, joint limits and rim room. Minimax steps on the
// change of each from a coarse grid's best places, then a search by halving steps down to 1e-4 mm:
// never worse than `start` or any place of the grid. Both sides get the same place.
Fit optimised(const SetJudge& judge, const Shelf& shelf, const Fit& start);

// The same with a place of its own for each side, from `start`. None where that is more axes than a
// search takes.
std::optional<Fit> optimised_by_side(const SetJudge& judge, const Shelf& shelf, const Fit& start);

}  // namespace trammel
