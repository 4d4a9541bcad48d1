// Every combination of what is on the shelf, judged against what is wanted, best first.
#pragma once

#include <array>
#include <functional>
#include <numbers>
#include <optional>
#include <string>
#include <vector>

#include "car/spread.h"
#include "correct/shelf.h"

namespace trammel {

// What is asked of an axle, with the usual figures where the file is silent.
struct Wanted {
  std::array<double, 2> window_mm;
  double toe_change_rad;
  bool toe_change_is_usual = false;  // the file does not say: common practice
  std::optional<std::array<double, 2>> roll_centre_mm, camber_rad;
};
Wanted wanted_of(const Target& target);
// A target as a middle and how far from it still meets it; none is asked where `half` is infinite.
struct Tolerance {
  double middle = 0.0, half = 0.0;
};
Tolerance toe_change_tolerance(const Wanted& wanted);
Tolerance roll_centre_tolerance(const Wanted& wanted);
Tolerance camber_tolerance(const Wanted& wanted);
// The largest share of any target's tolerance that is used: up to 1 meets them all.
double share_used(const Wanted& wanted, double toe_change_max_rad, double roll_centre_height_mm,
                  double camber_rad);

// The axle at ride height: left corner, or the worse of both where they differ.
struct AxleFigures {
  double toe_change_max_rad = 0.0, toe_change_rms_rad = 0.0, bump_steer = 0.0;
  double roll_centre_height_mm = 0.0, half_track_mm = 0.0;
  double camber_rad = 0.0, camber_gain = 0.0, toe_rad = 0.0;
  std::optional<double> caster_rad, steering_axis_inclination_rad, scrub_radius_mm, caster_trail_mm;
};

// The body sinks when a joint moves under an arm that the spring stands on, until its perch is
// wound.
struct HeightLost {
  double body_mm = 0.0;                // how much lower it stands with the perch untouched
  double roll_centre_height_mm = 0.0;  // there
  double perch_mm = 0.0;               // how far the perch has to be wound to restore the height
  std::optional<double> perch_turns;
};

struct Candidate {
  Fit fit;
  std::optional<AxleFigures> figures;  // none: not possible, `why` says so
  std::string why;
  std::array<double, 2> toe_rod_mm{};    // by Side: how much longer the toe rod
  std::array<double, 2> camber_by_mm{};  // how far the camber adjuster
  std::vector<std::string> misses;       // the targets and limits not met, in words
  double share = 0.0;                    // largest share of a tolerance used; up to 1 meets all
  bool at_a_limit = false;               // a joint's limit, the rim or a lock is among the misses
  std::optional<double> chance;          // to meet every target; none where nothing is uncertain
  int chance_samples = 0;                // it was counted over
  bool equal_to_best = false;            // its chance cannot be told from the best one's
  std::vector<std::string> range_ends;  // made-to-measure axes that ended at the end of their range
  std::string stop;                     // the stop sign, where one belongs
  std::optional<HeightLost> height;
  bool meets() const { return figures && misses.empty(); }
};

struct Ranking {
  AxleName axle = AxleName::front;
  Wanted wanted;
  Shelf shelf;
  AxleFigures before;  // as it sits, nothing fitted, nothing reset
  bool toe_is_reset = false;
  std::vector<Candidate> candidates;  // best first; the impossible last
  const Candidate* best() const {
    return !candidates.empty() && candidates.front().figures ? &candidates.front() : nullptr;
  }
};

// Called now and then with the share done, 0 to 1.
using Progress = std::function<void(double)>;

// By chance where the spread leaves something uncertain, else by the share of the tolerance used.
// No answer where nothing on the shelf moves anything, or the car has no position in its window.
Answer<Ranking> rank(const Ride& ride, const Spread& spread, AxleName axle, const Wishes& wishes,
                     const Progress& progress = {});

// An axle's shelf and what is wanted of it, nothing ranked yet. No answer as of rank.
Answer<Ranking> unranked(const Ride& ride, AxleName axle, const Wishes& wishes);

// Tilt left over at a joint's limit (common practice: 3°).
inline constexpr double joint_in_hand_rad = 3.0 * std::numbers::pi / 180.0;

// One candidate, judged: for what stands beside the ranking.
Candidate judged(const Ride& ride, const Wishes& wishes, const Ranking& ranking, const Fit& fit);
// The same with its chance, counted on the cars that the ranking's leaders were counted on; as many
// of them as `samples`. `ranking` may be without candidates.
inline constexpr int samples_for_leaders = 2000;
Candidate tried(const Ride& ride, const Spread& spread, const Wishes& wishes,
                const Ranking& ranking, const Fit& fit, int samples = samples_for_leaders);

// What is named, on this shelf: an option that is not, or is refused, is left as it is.
Fit fit_of(const Shelf& shelf, const Wishes& wishes, const std::vector<Chosen>& chosen);
// What the file settles on, on this shelf; none where it settles on nothing.
std::optional<Fit> chosen_fit(const Shelf& shelf, const Wishes& wishes, AxleName axle);

// "25 mm" or "y -1.5, z -17.2 mm" for a choice of a fit.
std::string words(const Choice& choice, const Fit& fit, std::size_t index, Units units);

}  // namespace trammel
