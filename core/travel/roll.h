// Both wheels of an axle while the body rolls: the tyres stay on the floor, and the body finds the
// height at which the axle carries the same load (with springs) or the travels sum to zero
// (without).
#pragma once

#include <array>
#include <functional>
#include <optional>

#include "travel/stop.h"

namespace trammel {

// What decides the body's height while it rolls.
enum class Heave { none, equal_travels, load_kept, load_kept_without_preload };

// What gives way to load besides the springs. The stops push at each wheel, by Side, where they are
// known; the tyres are pressed by what comes on top of the load that they stand with.
struct Giving {
  std::array<std::optional<StopLaw>, 2> stop;
  std::optional<double> tyre_rate_n_per_mm;
};

class Roller {
 public:
  // `springs`: of that axle, as measured or as they are set in this ride. Without them nothing
  // else gives either.
  Roller(const Axle& axle, const AxleRide& ride, double pitch_rad,
         std::optional<AxleSprings> springs, Giving giving = {});

  Heave heave() const;

  // One wheel at a travel counted from ride height; rack in car axes.
  Reached wheel(Side side, double travel_mm, double rack_mm) const;

  // What each wheel carries besides its spring and its stop, N by Side, of both sides as they stand
  // rolled: a roll bar, side forces.
  using Besides = std::function<std::array<double, 2>(const std::array<At<double>, 2>&)>;

  // Both wheels with the body rolled about a mean travel.
  std::array<Reached, 2> rolled(double mean_travel_mm, double rack_mm, double roll_rad,
                                const Besides& besides = {}) const;

 private:
  struct Standing2 {
    double height_mm,
        per_travel;  // tyre's lowest point above the floor's direction, and its change
    double load_n, load_per_travel;
  };
  At<double> at(Side side, const Solution<double>& solution, double roll_rad) const;
  Standing2 standing(Side side, const At<double>& at) const;

  const Axle& axle_;
  const AxleRide& ride_;
  double pitch_rad_;
  std::optional<AxleSprings> springs_;
  Giving giving_;
};

}  // namespace trammel
