// What stands beside the best: the rule of thumb, and the room a made hole has.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "car/spread.h"
#include "correct/rank.h"

namespace trammel {

// "Make the rod parallel to the arm", fitted and judged on this car.
struct RuleOfThumb {
  std::size_t choice = 0;      // the rod's option, in the shelf
  std::string rod, arm;        // members
  double move_mm = 0.0;        // along the option (its z where made to measure)
  double arm_slope_rad = 0.0;  // in the front view, rising outboard; with the set fitted
  double set_slope_rad = 0.0;  // the rod's, with the set fitted
  Candidate candidate;         // with the rod as the rule has it, all else as the set
  // Where the upright turns about in the front view with the set fitted: the rod should point
  // there.
  std::optional<double> instant_centre_y_mm, instant_centre_z_mm;
};

// None where no option moves the toe rod, or no arm or other lateral rod is there to go by.
std::optional<RuleOfThumb> rule_of_thumb(const Ride& ride, const Wishes& wishes,
                                         const Ranking& ranking, const Candidate& set);

// Every hole position of a made-to-measure joint, with the toe change it gives, all else as the
// set.
struct HoleMap {
  std::size_t choice = 0;
  std::array<int, 2> axes{1, 2};             // across, up; the second is the one drawn upwards
  std::array<std::vector<double>, 2> at_mm;  // grid
  std::vector<std::vector<double>> toe_change_rad;  // [up][across]; infinite: no position
  std::array<double, 2> hole_mm{};                  // the set's
  // From that hole along each axis until the toe change is no longer within what is wanted, or
  // the range ends.
  std::array<std::array<double, 2>, 2> holds_mm{};
  double both_ways_mm = 0.0;  // a hole anywhere within so much of it in both axes holds
  // The chance that a hole marked out there keeps the toe change within what is wanted, by what is
  // known of the joints and the scatter of drilling; [up][across]. Empty where nothing is
  // uncertain.
  std::vector<std::vector<double>> chance;
  double best_chance = 0.0;  // the largest of them
  // Where it is this high the patch is the room for drilling.
  static constexpr double good_chance = 0.9;
  bool is_room() const { return chance.empty() || best_chance >= good_chance; }
};

// The grid of a made-to-measure joint's map, nothing judged yet.
HoleMap empty_map(const Choice& made);

std::optional<HoleMap> hole_map(const Ride& ride, const Spread& spread, const Wishes& wishes,
                                const Ranking& ranking, const Candidate& set);

}  // namespace trammel
