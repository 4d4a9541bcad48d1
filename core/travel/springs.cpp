#include "travel/springs.h"

#include "car/by.h"

namespace trammel {
namespace {}  // namespace

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

double spring_per_rise(const At<double>& at) {
  return read(Reading::spring_motion_ratio, at) / dot(at.contact_velocity, at.ground.up);
}

std::optional<AxleSprings> springs_as_measured(const Axle& axle, const AxleLoad& load) {
  if (!axle.spring || !axle.spring->rate_n_per_mm || !axle.layout.spring) return {};
  AxleSprings springs;
  if (load.sprung_n) springs.from = ForceFrom::corner_weights;
  else if (axle.spring->free_length_mm) springs.from = ForceFrom::free_length;
  for (const Side side : each_side) {
    const auto i = static_cast<std::size_t>(side);
    const auto m = corner_mechanism(axle, side);
    const auto as_measured = solution_as_measured(m);
    const At<double> at(axle.layout, m, as_measured, {});
    auto& law = springs.side[i];
    law.rate_n_per_mm = *axle.spring->rate_n_per_mm;
    law.length_mm = read(Reading::spring_length, at);
    if (springs.from == ForceFrom::corner_weights)
      law.force_n = (*load.sprung_n)[i] / spring_per_rise(at);
    else if (springs.from == ForceFrom::free_length)
      law.force_n = law.rate_n_per_mm * (*axle.spring->free_length_mm - law.length_mm);
  }
  return springs;
}

AxleSprings springs_in(const Axle& axle, const AxleRide& ride, double pitch_rad,
                       const AxleSprings& as_measured) {
  AxleSprings springs = as_measured;
  for (const Side side : each_side) {
    const auto i = static_cast<std::size_t>(side);
    const auto before = corner_mechanism(axle, side);
    const auto start = solution_as_measured(before);
    const double load_n =
        as_measured.side[i].force_n * spring_per_rise(At<double>(axle.layout, before, start, {}));
    const auto& corner = ride.at(side);
    const At<double> at(axle.layout, corner.mechanism, corner.at, ground_for(side, pitch_rad, 0.0));
    springs.side[i].length_mm = read(Reading::spring_length, at);
    springs.side[i].force_n = load_n / spring_per_rise(at);
  }
  return springs;
}

}  // namespace trammel
