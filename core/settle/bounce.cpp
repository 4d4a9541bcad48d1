#include "settle/bounce.h"

#include <cmath>
#include <limits>
#include <numbers>

#include "base/check.h"
#include "travel/springs.h"

namespace trammel {

std::array<BodyMotion, 2> bounce_and_pitch(const std::array<double, 2>& rate,
                                           const std::array<double, 2>& load, double wheelbase_mm,
                                           double dynamic_index) {
  check(rate[0] > 0 && rate[1] > 0 && load[0] > 0 && load[1] > 0 && wheelbase_mm > 0 &&
            dynamic_index > 0,
        "a body stands on two sprung axles",
        {{"front_n_per_mm", rate[0]}, {"rear_n_per_mm", rate[1]}, {"wheelbase_mm", wheelbase_mm}});
  const double mass = (load[0] + load[1]) / gravity_m_s2;  // kg; N/mm are 1000 kg/s²
  const double front = wheelbase_mm * load[1] / (load[0] + load[1]), rear = wheelbase_mm - front;
  const double gyration = dynamic_index * front * rear;
  const double up = 1000.0 * (rate[0] + rate[1]) / mass;
  const double mixed = 1000.0 * (rate[1] * rear - rate[0] * front) / mass;  // mm/s² per rad
  const double turn =
      1000.0 * (rate[0] * front * front + rate[1] * rear * rear) / (mass * gyration);
  const double middle = 0.5 * (up + turn);
  const double apart = std::sqrt(0.25 * (up - turn) * (up - turn) + mixed * mixed / gyration);
  std::array<BodyMotion, 2> motions;
  for (std::size_t i = 0; i < 2; ++i) {
    const double square = i == 0 ? middle - apart : middle + apart;
    auto& m = motions[i];
    m.frequency_hz = std::sqrt(square) / (2.0 * std::numbers::pi);
    // Height per turn of the body, nose down positive: where it makes up for the turn nothing
    // moves.
    const double off = up - square;
    m.still_mm = off == 0.0 ? std::numeric_limits<double>::infinity() : -mixed / off;
    m.pitch = m.still_mm < front && m.still_mm > -rear;
  }
  return motions;
}

}  // namespace trammel
