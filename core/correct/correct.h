// The step correct: for each axle the ranking and what stands beside it; front and rear together.
#pragma once

#include <array>
#include <optional>
#include <string>

#include "base/section.h"
#include "correct/beside.h"
#include "correct/chance.h"

namespace trammel {

struct AxleCorrection {
  Ranking ranking;
  std::optional<RuleOfThumb> rule;
  std::optional<HoleMap> map;
  // The best set with the toe rod left alone: what the stop sign is about. None where the best
  // leaves everything else alone.
  std::optional<Candidate> rod_left_alone;
  std::optional<Surenesses> sure;  // of the best; none where nothing is uncertain
};

Answer<AxleCorrection> correct_axle(const Ride& ride, const Spread& spread, AxleName axle,
                                    const Wishes& wishes, const Progress& progress = {});

struct Correction {
  std::array<std::optional<AxleCorrection>, 2> axle;  // by AxleName
  std::array<std::string, 2> why;                     // where an axle has none
  const std::optional<AxleCorrection>& at(AxleName a) const {
    return axle[static_cast<std::size_t>(a)];
  }
};

Correction correct(const Ride& ride, const Spread& spread, const Wishes& wishes,
                   const Progress& progress = {});

// The car standing with the best sets fitted and its adjusters set; an axle without one stays as it
// is.
Ride with_parts(Ride ride, const Correction& correction, const Wishes& wishes);

// Bands of an axle with its best set fitted. Empty where it has none or nothing is uncertain.
Bands corrected_bands(const Ride& ride, const Spread& spread, const Correction& correction,
                      const Wishes& wishes, AxleName axle, const BandAsk& ask);

// "25 mm ball-joint spacer and 30 mm rod-end stack", what a candidate fits.
std::string fit_words(const Shelf& shelf, const Fit& fit, Units units);
// "1.8 mm shorter: 1 turn and 1 flat in", for a rod length to set with an adjuster.
std::string turns_words(double longer_mm, double pitch_mm, int ends, Units units);

Section tell(const Ride& ride, const Correction& correction, Units units);

}  // namespace trammel
