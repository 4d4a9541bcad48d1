// What a spring makes of itself at the wheel: rate, frequency, and where on the way it is used up.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "travel/stop.h"

namespace trammel {

// The load that the road puts on a tyre rises by `n_per_mm()` per mm that the tyre is lifted:
// k r² + F dr/dz, with r the spring's shortening per rise of the tyre and F its force there
// (virtual work, differentiated; checks of energy differences bear it out). The second term is
// what a ratio that changes makes of a spring that is already pressed.
struct WheelRate {
  double travel_mm = 0.0;  // from ride height
  double ratio = 0.0;      // spring travel per wheel travel
  double force_n = 0.0;    // of the spring
  double by_spring_n_per_mm = 0.0, by_ratio_n_per_mm = 0.0;
  double n_per_mm() const { return by_spring_n_per_mm + by_ratio_n_per_mm; }
};

// Nothing where the wheel has no position at that travel, or half a step beside it. A loose spring
// gives no rate.
std::optional<WheelRate> wheel_rate(const Axle& axle, const CornerRide& corner,
                                    const Ground<double>& ground, const SpringLaw& law,
                                    double travel_mm);

// Two rates one after the other: a wheel on its tyre (N/mm, both above zero).
double in_series(double a_n_per_mm, double b_n_per_mm);
// The natural frequency of a mass on a rate, undamped, Hz. Any vibration text:
// sqrt(k/m)/2π. Zero for a mass or rate that is not above zero.
double frequency_hz(double n_per_mm, double kg);
// The same from how far the weight presses a spring of even rate: sqrt(g/δ)/2π.
double frequency_of_deflection_hz(double mm);

// The travel from ride height at which a line has a length. Nothing where no position within
// 250 mm has it.
std::optional<double> travel_where(const Axle& axle, const CornerRide& corner, TravelLine kind,
                                   double length_mm);

}  // namespace trammel
