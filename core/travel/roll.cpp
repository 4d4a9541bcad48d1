#include "travel/roll.h"

#include <algorithm>
#include <cmath>

#include "car/by.h"

namespace trammel {
namespace {

constexpr double settled_mm = 1e-11;
// What a bar does to tyres that give is not in the slopes: there a round comes nearer by a part
// only.
constexpr int most_roll_rounds = 200;
constexpr double roll_step_rad = 0.02;

}  // namespace

Roller::Roller(const Axle& axle, const AxleRide& ride, double pitch_rad,
               std::optional<AxleSprings> springs, Giving giving)
    : axle_(axle), ride_(ride), pitch_rad_(pitch_rad), springs_(springs), giving_(giving) {}

Heave Roller::heave() const {
  if (!springs_) return Heave::equal_travels;
  return springs_->from == ForceFrom::nothing ? Heave::load_kept_without_preload : Heave::load_kept;
}

Reached Roller::wheel(Side side, double travel_mm, double rack_mm) const {
  const auto& corner = ride_.at(side);
  return reach(corner.mechanism, corner.at,
               {ride_.ride_travel_mm + travel_mm, side == Side::left ? rack_mm : -rack_mm});
}

At<double> Roller::at(Side side, const Solution<double>& s, double roll_rad) const {
  return {axle_.layout, ride_.at(side).mechanism, s, ground_for(side, pitch_rad_, roll_rad)};
}

Roller::Standing2 Roller::standing(Side side, const At<double>& at) const {
  Standing2 r{};
  r.height_mm = dot(at.contact, at.ground.up);
  // The lowest point moves on the tyre as the wheel leans; only its height counts, and that of a
  // point of the upright at the same place changes alike to first order.
  r.per_travel = dot(at.contact_velocity, at.ground.up);
  if (springs_) {
    const auto& law = springs_->side[static_cast<std::size_t>(side)];
    const double ratio = read(Reading::spring_motion_ratio, at);
    r.load_n = law.force_at(read(Reading::spring_length, at)) * ratio / r.per_travel;
    r.load_per_travel = law.rate_n_per_mm * ratio * ratio / r.per_travel;
    if (const auto& stop = giving_.stop[static_cast<std::size_t>(side)]) {
      const double along = shortens_per_travel(at, stop->line), length = length_now(at, stop->line);
      r.load_n += stop->force_at(length) * along / r.per_travel;
      r.load_per_travel += stop->rate_at(length) * along * along / r.per_travel;
    }
  }
  return r;
}

std::array<Reached, 2> Roller::rolled(double mean_travel_mm, double rack_mm, double roll_rad,
                                      const Besides& besides) const {
  std::array<Reached, 2> at;
  std::array<double, 2> travel{mean_travel_mm, mean_travel_mm};
  for (const Side side : each_side) {
    const auto i = static_cast<std::size_t>(side);
    at[i] = wheel(side, travel[i], rack_mm);
    if (!at[i].arrived) return at;
  }
  std::array<double, 2> stands_n{};  // what each wheel's spring and stop carry before it rolls
  for (const Side side : each_side) {
    const auto i = static_cast<std::size_t>(side);
    stands_n[i] = standing(side, this->at(side, at[i].at, 0.0)).load_n;
  }
  const double load = stands_n[0] + stands_n[1];
  const double tyre_per_n = springs_ && giving_.tyre_rate_n_per_mm
                                ? 1.0 / *giving_.tyre_rate_n_per_mm
                                : 0.0;  // mm that a tyre is pressed
  // Height of each tyre as it stood before roll: unequal sides stand on the same floor then.
  const int steps = std::max(1, static_cast<int>(std::ceil(std::fabs(roll_rad) / roll_step_rad)));
  for (int step = 1; step <= steps; ++step) {
    const double roll = roll_rad * step / steps;
    for (int round = 0;; ++round) {
      if (round == most_roll_rounds) {
        at[0].arrived = at[1].arrived = false;
        return at;
      }
      const std::array<At<double>, 2> seen{this->at(Side::left, at[0].at, roll),
                                           this->at(Side::right, at[1].at, roll)};
      const auto l = standing(Side::left, seen[0]);
      const auto r = standing(Side::right, seen[1]);
      // Two equations: both tyres on one floor, and the axle's load (or the sum of travels) kept.
      double off_floor = l.height_mm - r.height_mm;
      double a = 1.0, b = 1.0, off_sum = travel[0] + travel[1] - 2.0 * mean_travel_mm;
      if (springs_) {
        a = l.load_per_travel;
        b = r.load_per_travel;
        const auto more = besides ? besides(seen) : std::array<double, 2>{};
        off_sum = l.load_n + more[0] + r.load_n + more[1] - load;
        // A tyre that carries more is pressed: its wheel comes that much nearer to the floor.
        off_floor +=
            tyre_per_n * ((l.load_n + more[0] - stands_n[0]) - (r.load_n + more[1] - stands_n[1]));
      }
      const double l_rises = l.per_travel + tyre_per_n * l.load_per_travel,
                   r_rises = r.per_travel + tyre_per_n * r.load_per_travel;
      // [ l' -r' ] [dl]   [-off_floor]
      // [ a   b  ] [dr] = [-off_sum  ]
      const double det = l_rises * b + r_rises * a;
      const double dl = (-off_floor * b - off_sum * r_rises) / det;
      const double dr = (off_floor * a - off_sum * l_rises) / det;
      travel[0] += dl;
      travel[1] += dr;
      for (const Side side : each_side) {
        const auto i = static_cast<std::size_t>(side);
        const auto& corner = ride_.at(side);
        at[i] = reach(corner.mechanism, at[i].at,
                      {ride_.ride_travel_mm + travel[i], side == Side::left ? rack_mm : -rack_mm});
        if (!at[i].arrived) return at;
      }
      if (std::max(std::fabs(dl), std::fabs(dr)) < settled_mm) break;
      if (round > 20 && std::max(std::fabs(dl), std::fabs(dr)) < 100.0 * settled_mm) break;
    }
  }
  return at;
}

}  // namespace trammel
