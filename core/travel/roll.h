// Both wheels of an axle while the body rolls: the tyres stay on the floor, and the body finds the
// height at which the axle carries the same load (with springs) or the travels sum to zero
// (without).
#pragma once

#include <array>

#include "travel/ride.h"

namespace trammel {

// What each spring carries as measured, where corner weights say so.
struct AxleLoad {
  std::optional<std::array<double, 2>> sprung_n;  // by Side
};
AxleLoad axle_load(const Car& car, AxleName axle);

// What decides the body's height while it rolls.
enum class Heave { none, equal_travels, load_kept, load_kept_without_preload };

class Roller {
 public:
  Roller(const Axle& axle, const AxleRide& ride, double pitch_rad, const AxleLoad& load);

  Heave heave() const { return heave_; }

  // One wheel at a travel counted from ride height; rack in car axes.
  Reached wheel(Side side, double travel_mm, double rack_mm) const;

  // Both wheels with the body rolled about a mean travel.
  std::array<Reached, 2> rolled(double mean_travel_mm, double rack_mm, double roll_rad) const;

 private:
  struct Standing2 {
    double height_mm,
        per_travel;  // tyre's lowest point above the floor's direction, and its change
    double load_n, load_per_travel;
  };
  Standing2 standing(Side side, const Solution<double>& at, double roll_rad) const;

  const Axle& axle_;
  const AxleRide& ride_;
  double pitch_rad_;
  Heave heave_ = Heave::equal_travels;
  std::array<double, 2> spring_force_n_{};    // as measured
  std::array<double, 2> spring_length_mm_{};  // as measured
};

}  // namespace trammel
