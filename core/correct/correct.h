// The step correct: for each axle the ranking and what stands beside it; front and rear together.
#pragma once

#include <array>
#include <optional>
#include <string>

#include "correct/beside.h"
#include "correct/chance.h"
#include "told/section.h"

namespace trammel {

struct AxleCorrection {
  Ranking ranking;
  std::optional<Candidate> chosen;  // what the file settles on, judged like the others
  // What is to be fitted, and what everything below is about: what was chosen where that is
  // possible, else the best. Null where neither is.
  const Candidate* to_fit() const { return chosen && chosen->figures ? &*chosen : ranking.best(); }
  std::optional<RuleOfThumb> rule;
  std::vector<HoleMap> maps;  // of a made-to-measure hole: of both sides, or one a side
  // The chance of the set where the right side is only taken to be the left one's mirror image,
  // were it as much in doubt by itself. None where each side is given, or nothing is uncertain.
  std::optional<double> chance_of_its_own_right;
  // The set with the toe rod left alone: what the stop sign is about. None where the set leaves
  // everything else alone.
  std::optional<Candidate> rod_left_alone;
  std::optional<Surenesses> sure;  // of the set; none where nothing is uncertain
};

// A ranking with what was chosen and what stands beside the set.
AxleCorrection completed(const Ride& ride, const Spread& spread, const Wishes& wishes,
                         Ranking ranking);

Answer<AxleCorrection, NothingToRank> correct_axle(const Ride& ride, const Spread& spread,
                                                   AxleName axle, const Wishes& wishes,
                                                   const Progress& progress = {});

struct Correction {
  std::array<std::optional<AxleCorrection>, 2> axle;  // by AxleName
  std::array<std::optional<NothingToRank>, 2> why;    // where an axle has none
  const std::optional<AxleCorrection>& at(AxleName a) const {
    return axle[static_cast<std::size_t>(a)];
  }
};

Correction correct(const Ride& ride, const Spread& spread, const Wishes& wishes,
                   const Progress& progress = {});

// The car standing with a set fitted to one axle and its adjusters set; a side that it is not
// possible on stays as it is.
Ride with_set(Ride ride, const Ranking& ranking, const Fit& fit, const Wishes& wishes);
// The same of every axle that has a set to fit.
Ride with_parts(Ride ride, const Correction& correction, const Wishes& wishes);

// Bands of an axle with a set fitted. Empty where nothing is uncertain.
Bands bands_with_set(const Ride& ride, const Spread& spread, const Ranking& ranking, const Fit& fit,
                     const Wishes& wishes, const BandAsk& ask);

// "25 mm ball-joint spacer and 30 mm rod-end stack", what a candidate fits.
std::string fit_words(const Shelf& shelf, const Fit& fit, Units units);
// "9 chances in 10", as finely as the samples tell.
std::string chance_words(double chance);
// "25 mm ball-joint spacer and ...: 9 chances in 10 to meet every target." with its full stop.
std::string set_words(const Ranking& ranking, const Candidate& set, Units units);
// What "rod parallel to the arm" would give and why it differs; empty where no such rule applies.
std::string rule_words(const AxleCorrection& correction, Units units);
// "1 turn and 2½ flats", of turning by so many quarters of a flat; six flats to a turn.
std::string turn_count_words(int quarter_flats);
// "1 turn and 1 flat in", of an adjuster that sets a rod's length; empty where the file gives no
// thread, or it stays as long as it is.
std::string rod_turn_words(double longer_mm, double pitch_mm, int ends);
// "1.8 mm shorter: 1 turn and 1 flat in", the length with it.
std::string turns_words(double longer_mm, double pitch_mm, int ends, Units units);

Section tell(const Ride& ride, const Correction& correction, Units units);

}  // namespace trammel
