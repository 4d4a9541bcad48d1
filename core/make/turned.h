// Discs and sleeves: what their faces bear under the preload, and what is left of their walls.
#pragma once

#include <vector>

#include "make/bracket.h"

namespace trammel {

// Limits: a face is pressed to the yield of its material at most, by the preload that a torque may
// give at the most (30 % above what is expected), under a washer twice as wide as the bolt and no
// wider than the part; a wall is a quarter of the bolt or more (common practice). How thick the
// part is changes neither.
struct TurnedJudged {
  std::vector<Check> checks;  // hardest used first
  std::vector<NotJudged> unjudged;
};
TurnedJudged judged_turned(const Made& made);

// What lies on a disc's face within `reach_mm` of the middle of one of its bolt holes, less the
// hole, and nearer to it than to the next one, mm². Zero or more.
double face_round_hole_mm2(const Made& made, double hole_mm, double reach_mm);

}  // namespace trammel
