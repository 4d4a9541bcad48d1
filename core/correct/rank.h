// Every combination of what is on the shelf, judged against what is wanted, best first.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "correct/chance.h"

namespace trammel {

struct Ranking {
  AxleName axle = AxleName::front;
  Wanted wanted;
  Shelf shelf;
  AxleFigures before;  // as it sits, nothing fitted, nothing reset
  bool toe_is_reset = false;
  bool sides_apart = false;           // each side is described by its own numbers
  bool guessed = false;               // joints are guesses: no chance is named
  std::vector<Candidate> candidates;  // best first; the impossible last
  const Candidate* best() const {
    return !candidates.empty() && candidates.front().figures ? &candidates.front() : nullptr;
  }
};

// Why there is nothing to rank on an axle: it is not possible as it sits, or no option moves a
// joint of it. Its words: correct/reasons.h.
struct NothingToRank {
  AxleName axle = AxleName::front;
  std::optional<NotPossible> as_it_sits{};
  std::vector<Refused> refused{};  // else: the options that there are
};

// By chance where the spread leaves something uncertain and no joint is a guess, else by the share
// of the tolerance used. Both sides get the same parts; where they differ beyond what is not known
// of them, sizes and holes that differ by side are tried too, at the toe rod alone (unlike ball
// joints would tilt the axle), and kept where they are clearly better. No answer where nothing on
// the shelf moves anything, or the car has no position in its window.
Answer<Ranking, NothingToRank> rank(const Ride& ride, const Spread& spread, AxleName axle,
                                    const Wishes& wishes, const Progress& progress = {});

// An axle's shelf and what is wanted of it, nothing ranked yet. No answer as of rank.
Answer<Ranking, NothingToRank> unranked(const Ride& ride, const Spread& spread, AxleName axle,
                                        const Wishes& wishes);

// One candidate, judged: for what stands beside the ranking.
Candidate judged(const Ride& ride, const Wishes& wishes, const Ranking& ranking, const Fit& fit);
// The same with its chance, counted on the cars that the ranking's leaders were counted on; as many
// of them as `samples`. `ranking` may be without candidates.
inline constexpr int samples_for_leaders = 2000;
Candidate tried(const Ride& ride, const Spread& spread, const Wishes& wishes,
                const Ranking& ranking, const Fit& fit, int samples = samples_for_leaders);

// What is named, on this shelf: an option that is not, or is refused, is left as it is.
Fit fit_of(const Shelf& shelf, const std::vector<Chosen>& chosen);
// What the file settles on, on this shelf; none where it settles on nothing.
std::optional<Fit> chosen_fit(const Shelf& shelf, const Wishes& wishes, AxleName axle);

// "25 mm" or "y -1.5, z -17.2 mm" for a choice of a fit; "left 17.5 mm, right 12.5 mm" where the
// sides differ.
std::string words(const Choice& choice, const Fit& fit, std::size_t index, Units units);
// The same of one side, without the unit where that stands at the head of a column.
std::string words(const Choice& choice, const SizeOrPlace& part, Units units,
                  bool with_unit = true);

}  // namespace trammel
