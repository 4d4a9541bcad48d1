// A straight rod that is pushed: from which force on it bows out.
#pragma once

#include <string>

#include "base/answer.h"
#include "make/no_sense.h"
#include "stock/material.h"

namespace trammel {

// Round, a joint at each end.
struct Column {
  double outside_mm = 0.0, wall_mm = 0.0;  // wall of half the outside or more: solid
  double length_mm = 0.0;                  // from joint to joint
  Material material;
};

struct ColumnStrength {
  double area_mm2 = 0.0;
  double slenderness = 0.0;  // length over radius of gyration
  bool slender = false;  // bows before it yields anywhere: Euler's; else J. B. Johnson's parabola
  double buckles_n = 0.0;
};
// Euler's π² E I / l² where that stays below half the yield point, J. B. Johnson's parabola
// A Re (1 - Re λ² / (4 π² E)) for stouter ones; they meet there. No value, and why, where a size
// makes no sense.
Answer<ColumnStrength, NoSense> column_strength(const Column& column);

// Against the worst push in work: three times as much or more (common practice, for a rod that is
// straight; one that is bent bends further from the first newton on and is not judged by this).
inline constexpr double bowing_in_hand = 3.0;

}  // namespace trammel
