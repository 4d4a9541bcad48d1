// Setting work up in a four-jaw chuck with a dial indicator: true, or off centre by what is wanted.
//
// Jaws are numbered 1 to 4 in the order in which they pass the dial. The dial stands still and
// reads more where its plunger is pushed in.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "base/answer.h"

namespace trammel {

// The dial's full swing over a turn (total indicator reading) is twice the offset of the axis.
// Both directions take any number; a negative one counts as its size.
double offset_from_tir_mm(double tir_mm);
double tir_from_offset_mm(double offset_mm);

enum class TouchedSurface { outside, bore };

struct JawMove {
  int slacken = 0, tighten = 0;  // jaws, 1 to 4
  double by_mm = 0.0;            // of the work, above zero
  std::string words;             // "slacken jaw 3, tighten jaw 1: 0.05 mm"
};

struct ChuckSetting {
  // How far the work's centre lies from the spindle's: towards jaw 1 (below zero: 3) and jaw 2 (4).
  double towards_1_mm = 0.0, towards_2_mm = 0.0;
  double offset_mm = 0.0, tir_mm = 0.0;
  std::vector<JawMove> moves;  // at most two; none where it is true within `good_mm`
  // Half the difference of the two pairs' sums: the work is not round there. Told in words up to
  // an offset of 0.5 mm; beyond it a round disc shows some too.
  double out_of_round_mm = 0.0;
  std::string words;
};

// From the dial's readings with jaw 1, 2, 3, 4 under it. `wanted` is how far off centre the work
// shall sit towards jaw 1: 0 to run true. A pair that is within `good_mm` of what is wanted stays:
// 0.02 mm, half of what the dial then shows as swing. That swing, 0.04 mm, is the largest clearance
// of the register it serves (20 H7/g6, 0.041): parts that may lie that far apart in their fit gain
// nothing from a truer chuck.
// No value, and why, where a reading is no number or `good_mm` is below zero.
Answer<ChuckSetting> four_jaw(const std::array<double, 4>& readings_mm, TouchedSurface surface,
                              double wanted_mm = 0.0, double good_mm = 0.02);

// One pair of jaws, the first of them numbered `jaw` (1 or 2), the other opposite to it.
Answer<JawMove> jaw_pair(int jaw, double at_it_mm, double opposite_mm, TouchedSurface surface,
                         double wanted_mm = 0.0);

// To turn an eccentric: the swing to set, and the dial that can show it.
struct EccentricSetUp {
  double offset_mm = 0.0, tir_mm = 0.0;
  double tir_tolerance_mm = 0.0;  // either way, for the tolerance asked of the offset
  double dial_range_mm = 0.0;  // the smallest usual range that holds the swing and 1 mm at each end
  std::string words;
};
// Offset above zero, tolerance above zero and below the offset. No value, and why, otherwise, and
// where no usual dial is long enough: then a gauge block helps.
Answer<EccentricSetUp> eccentric_set_up(double offset_mm, double tolerance_mm = 0.05);

}  // namespace trammel
