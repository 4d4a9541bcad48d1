// Where a made-to-measure joint belongs: the place in its range with the smallest toe change.
#pragma once

#include <array>
#include <vector>

#include "correct/shelf.h"

namespace trammel {

// What a place is judged by: smaller is better; infinite where there is no position.
double toe_change_of(const CornerBefore& before, const Shelf& shelf, const Fit& fit,
                     const std::array<double, 2>& window_mm);

// `start` with its made-to-measure joints moved to where the largest |toe change| over the window
// is smallest. Minimax steps on exact derivatives from a coarse grid's best places, then a search
// by halving steps down to 1e-4 mm: never worse than `start` or any place of the grid. One side's
// curve counts (the right one mirrors it, or is judged afterwards).
Fit optimised(const CornerBefore& before, const Shelf& shelf, const Fit& start,
              const std::array<double, 2>& window_mm);

}  // namespace trammel
