// The curves of an axle over its travel: as it stood, as it sits, as corrected.
#pragma once

#include <optional>
#include <vector>

#include "base/answer.h"
#include "correct/correct.h"
#include "measure/adjustment.h"
#include "told/section.h"
#include "travel/tell.h"

namespace trammel {

// How the car stands, worked out once for every section that needs it.
struct Stands {
  std::vector<AxleOverview> axles;
  Ride sits;
  std::optional<Ride> before;  // in the state that stood highest, where one stood higher than today
};
// No answer where the car does not stand in one of its states.
Answer<Stands, NotStanding> stands_of(const Car& car, const Wishes& wishes);

// One line of the plots and its band, at plotted_travels().
struct PlottedState {
  std::string name;
  Stroke stroke = Stroke::plain;
  Sweep sweep;
  Bands bands;         // empty: nothing is uncertain
  bool apart = false;  // the right wheel has a curve of its own
};
std::vector<double> plotted_travels();

inline constexpr int plotted_samples = 1000;
// As it stood and as it sits. `samples` of its band.
std::vector<PlottedState> plotted_today(const Stands& standing, const Spread& spread, AxleName axle,
                                        int samples = plotted_samples);
// As corrected, with a set fitted. `toe_alone`: no band of the others.
PlottedState plotted_with_set(const Stands& standing, const Spread& spread, const Wishes& wishes,
                              const Ranking& ranking, const Fit& fit, int samples = plotted_samples,
                              bool toe_alone = false);

// Toe and camber of each wheel, of the left one where the right is its mirror image, and the axle's
// roll centre; what is wanted drawn in.
std::vector<Plot> plots_of(const std::vector<PlottedState>& states, const Wanted& wanted,
                           AxleName axle, Units units, bool toe_alone = false);

}  // namespace trammel
