// A gauge run while it is being taken: where the jack goes next, and what the dials say so far.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/quantity.h"
#include "file/survey.h"
#include "told/section.h"

namespace trammel {

struct GaugeProgress {
  // Travel of the next row, in the steps taken so far: up to `end_mm`, down to -`end_mm`, back to
  // zero; none once that is done.
  std::optional<double> next_mm;
  std::string sentence;  // toe at the ends, slope, up against down
  std::string care;      // what does not look right; empty where nothing does
  // Toe against travel, up and down each by itself, with zero where the run began.
  Plot curve;
};

inline constexpr double gauge_end_mm = 40.0;
inline constexpr double gauge_step_mm = 10.0;
inline constexpr double usual_base_mm = 300.0;  // between the dials
// Back at zero the dials should show what they began with (common practice).
inline constexpr double gauge_returns_mm = 0.05;

// The travels of a whole run: up in steps, down through ride height, and back to it.
std::vector<double> gauge_travels(double up_mm, double down_mm);

// `rows` may be empty: then the run begins at zero. Toe by the difference of the dials over their
// base, toe-in positive.
GaugeProgress gauge_progress(const GaugeRun& run, Units units);

}  // namespace trammel
