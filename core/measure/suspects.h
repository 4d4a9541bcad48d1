// Which readings look misread: the sums done again and again without the worst.
#pragma once

#include <vector>

#include "measure/adjustment.h"
#include "measure/fit.h"
#include "measure/side_modes.h"

namespace trammel {

struct Suspects {
  SurveyFit fit;                        // without what is left out
  std::vector<bool> suspect, left_out;  // by reading
  std::vector<SuspectGroup> groups;
  std::vector<std::vector<std::string>> gauge_rows;  // left out, by run, in words
  std::vector<bool> runs;                            // left out as a whole
  std::vector<SideMode> sides;                       // many joints at once: no longer tied
  bool too_many = false;                             // more than one reading in four disagrees
};

// The worst reading is left out and the sums done again, until none disagrees (Baarda 1968: data
// snooping). Where it cannot be told from others, or hardly anything checks it, all of them are
// named and stay in, with a ± as large as what they disagree by, so that they draw nothing else
// after them; of those, what the file itself speaks against as well is left out. Where all joints
// of a side disagree together, it is the sides that are not alike, and no reading is to blame. A
// gauge run of which row after row disagrees is left out as a whole. `gross`:
// readings that are left out before anything else. No answer where the sums do not settle without
// what was left out.
Answer<Suspects> find_suspects(const Network& network, const Car& car, const Survey& survey,
                               const SurveyFit& fit, const std::vector<std::size_t>& gross);

// Redundancy below which nothing would show a slip.
inline constexpr double unchecked_below = 0.1;

}  // namespace trammel
