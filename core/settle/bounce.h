// How the body swings on its springs over bumps: the two motions of a rigid body on two axles.
#pragma once

#include <array>

namespace trammel {

// One motion: its frequency and the place that stands still, from the centre of gravity, forward
// positive; far away (over the wheelbase) where the body goes up and down, between the axles where
// it pitches. Both rates alike about the centre of gravity: up and down has no such place, and
// `still_mm` is infinite.
struct BodyMotion {
  double frequency_hz = 0.0;
  double still_mm = 0.0;
  bool pitch = false;  // the still place lies between the axles
};

// `rate_n_per_mm`: of an axle, tyres included; `load_n`: the sprung weight on it; front, rear. The
// body's radius of gyration squared is `dynamic_index` times front lever times rear lever (0.8 to
// 1.1 on cars, common practice). Slower motion first, undamped (Gillespie, Fundamentals of Vehicle
// Dynamics, ch. 5, from memory). Every number above zero, or our bug.
std::array<BodyMotion, 2> bounce_and_pitch(const std::array<double, 2>& rate_n_per_mm,
                                           const std::array<double, 2>& load_n, double wheelbase_mm,
                                           double dynamic_index);

// Taken where nobody has measured it.
inline constexpr double usual_dynamic_index = 0.9;

}  // namespace trammel
