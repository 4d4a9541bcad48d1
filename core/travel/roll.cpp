#include "travel/roll.h"

#include <algorithm>
#include <cmath>

namespace trammel {
namespace {

constexpr double gravity_m_s2 = 9.80665;
constexpr double settled_mm = 1e-11;
constexpr int most_rounds = 60;
constexpr double roll_step_rad = 0.02;
constexpr std::array<Side, 2> both_sides{Side::left, Side::right};

}  // namespace

AxleLoad axle_load(const Car& car, AxleName axle) {
  if (!car.body.corner_kg) return {};
  const auto a = static_cast<std::size_t>(axle);
  AxleLoad load;
  load.sprung_n.emplace();
  for (std::size_t s = 0; s < 2; ++s)
    (*load.sprung_n)[s] =
        ((*car.body.corner_kg)[a][s] - 0.5 * car.body.unsprung_axle_kg[a]) * gravity_m_s2;
  return load;
}

Roller::Roller(const Axle& axle, const AxleRide& ride, double pitch_rad, const AxleLoad& load)
    : axle_(axle), ride_(ride), pitch_rad_(pitch_rad) {
  if (!axle.spring || !axle.spring->rate_n_per_mm || !axle.layout.spring) return;
  heave_ = Heave::load_kept;
  for (const Side side : both_sides) {
    const auto i = static_cast<std::size_t>(side);
    const auto m = corner_mechanism(axle, side);
    const auto as_measured = solution_as_measured(m);
    const At<double> at(axle.layout, m, as_measured, {});
    spring_length_mm_[i] = read(Reading::spring_length, at);
    if (load.sprung_n) {
      // Virtual work: the load rises by what the spring gives.
      spring_force_n_[i] = (*load.sprung_n)[i] * dot(at.contact_velocity, at.ground.up) /
                           read(Reading::spring_motion_ratio, at);
    } else if (axle.spring->free_length_mm) {
      spring_force_n_[i] =
          *axle.spring->rate_n_per_mm * (*axle.spring->free_length_mm - spring_length_mm_[i]);
    } else {
      heave_ = Heave::load_kept_without_preload;
    }
  }
}

Reached Roller::wheel(Side side, double travel_mm, double rack_mm) const {
  const auto& corner = ride_.at(side);
  return reach(corner.mechanism, corner.at,
               {ride_.ride_travel_mm + travel_mm, side == Side::left ? rack_mm : -rack_mm});
}

Roller::Standing2 Roller::standing(Side side, const Solution<double>& s, double roll_rad) const {
  const auto& corner = ride_.at(side);
  const At<double> at(axle_.layout, corner.mechanism, s, ground_for(side, pitch_rad_, roll_rad));
  Standing2 r{};
  r.height_mm = dot(at.contact, at.ground.up);
  // The lowest point moves on the tyre as the wheel leans; only its height counts, and that of a
  // point of the upright at the same place changes alike to first order.
  r.per_travel = dot(at.contact_velocity, at.ground.up);
  if (heave_ != Heave::equal_travels) {
    const double rate = *axle_.spring->rate_n_per_mm;
    const double ratio = read(Reading::spring_motion_ratio, at);
    const auto i = static_cast<std::size_t>(side);
    const double force =
        spring_force_n_[i] + rate * (spring_length_mm_[i] - read(Reading::spring_length, at));
    r.load_n = force * ratio / r.per_travel;
    r.load_per_travel = rate * ratio * ratio / r.per_travel;
  }
  return r;
}

std::array<Reached, 2> Roller::rolled(double mean_travel_mm, double rack_mm,
                                      double roll_rad) const {
  std::array<Reached, 2> at;
  std::array<double, 2> travel{mean_travel_mm, mean_travel_mm};
  for (const Side side : both_sides) {
    const auto i = static_cast<std::size_t>(side);
    at[i] = wheel(side, travel[i], rack_mm);
    if (!at[i].arrived) return at;
  }
  double load = 0.0;
  for (const Side side : both_sides)
    load += standing(side, at[static_cast<std::size_t>(side)].at, 0.0).load_n;
  // Height of each tyre as it stood before roll: unequal sides stand on the same floor then.
  const int steps = std::max(1, static_cast<int>(std::ceil(std::fabs(roll_rad) / roll_step_rad)));
  for (int step = 1; step <= steps; ++step) {
    const double roll = roll_rad * step / steps;
    for (int round = 0;; ++round) {
      if (round == most_rounds) {
        at[0].arrived = at[1].arrived = false;
        return at;
      }
      const auto l = standing(Side::left, at[0].at, roll);
      const auto r = standing(Side::right, at[1].at, roll);
      // Two equations: both tyres on one floor, and the axle's load (or the sum of travels) kept.
      const double off_floor = l.height_mm - r.height_mm;
      double a = 1.0, b = 1.0, off_sum = travel[0] + travel[1] - 2.0 * mean_travel_mm;
      if (heave_ != Heave::equal_travels) {
        a = l.load_per_travel;
        b = r.load_per_travel;
        off_sum = l.load_n + r.load_n - load;
      }
      // [ l' -r' ] [dl]   [-off_floor]
      // [ a   b  ] [dr] = [-off_sum  ]
      const double det = l.per_travel * b + r.per_travel * a;
      const double dl = (-off_floor * b - off_sum * r.per_travel) / det;
      const double dr = (off_floor * a - off_sum * l.per_travel) / det;
      travel[0] += dl;
      travel[1] += dr;
      for (const Side side : both_sides) {
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
