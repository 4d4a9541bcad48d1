#include "travel/stop.h"

#include <algorithm>

namespace trammel {

const Line<double>* line_of(const Mechanism<double>& m, TravelLine kind) {
  const auto& line = kind == TravelLine::spring   ? m.spring
                     : kind == TravelLine::damper ? m.damper
                                                  : m.strut;
  return line ? &*line : nullptr;
}

double length_now(const At<double>& at, TravelLine kind) {
  return length_of(at.placed, *line_of(at.mechanism, kind)).off_mm;
}

double shortens_per_travel(const At<double>& at, TravelLine kind) {
  return -along(length_of(at.placed, *line_of(at.mechanism, kind)).change, at.solution.with_travel);
}

std::optional<TravelLine> stop_line(const Layout& l) {
  if (l.damper) return TravelLine::damper;
  if (l.strut) return TravelLine::strut;
  if (l.spring) return TravelLine::spring;
  return {};
}

namespace {

template <class F>
auto as_measured(const Axle& axle, Side side, F f) {
  const auto m = corner_mechanism(axle, side);
  const auto s = solution_as_measured(m);
  return f(At<double>(axle.layout, m, s, {}));
}

}  // namespace

std::optional<double> stop_touch_mm(const Axle& axle, Side side) {
  const auto line = stop_line(axle.layout);
  if (!line || !axle.stop) return {};
  if (axle.stop->gap_mm)
    return as_measured(axle, side, [&](const At<double>& at) { return length_now(at, *line); }) -
           *axle.stop->gap_mm;
  if (*line == TravelLine::damper && axle.damper && axle.damper->closed_mm &&
      axle.stop->free_length_mm)
    return *axle.damper->closed_mm + *axle.stop->free_length_mm;
  return {};
}

double StopLaw::force_at(double length_mm) const {
  const double x = touch_mm - length_mm;
  if (x <= 0.0) return 0.0;
  const double soft = std::min(x, stiff_from * room_mm);
  return rate_n_per_mm * soft / (1.0 - soft / room_mm) + (x - soft) * rate_at(length_mm);
}

double StopLaw::rate_at(double length_mm) const {
  const double x = touch_mm - length_mm;
  if (x <= 0.0) return 0.0;
  const double left = 1.0 - std::min(x / room_mm, stiff_from);
  return rate_n_per_mm / (left * left);
}

double stop_at_tyre_n(const std::optional<StopLaw>& stop, const At<double>& at) {
  if (!stop) return 0.0;
  return stop->force_at(length_now(at, stop->line)) * shortens_per_travel(at, stop->line) /
         dot(at.contact_velocity, at.ground.up);
}

std::optional<StopLaw> stop_law(const Axle& axle, Side side) {
  const auto touch = stop_touch_mm(axle, side);
  if (!touch || !axle.stop->free_length_mm || !axle.stop->solid_length_mm) return {};
  StopLaw law;
  law.line = *stop_line(axle.layout);
  law.touch_mm = *touch;
  law.room_mm = *axle.stop->free_length_mm - *axle.stop->solid_length_mm;
  if (axle.stop->rate_n_per_mm) {
    law.rate_n_per_mm = *axle.stop->rate_n_per_mm;
    return law;
  }
  if (!axle.layout.spring || !axle.spring || !axle.spring->rate_n_per_mm) return {};
  const double spring_over_stop = as_measured(axle, side, [&](const At<double>& at) {
    return shortens_per_travel(at, TravelLine::spring) / shortens_per_travel(at, law.line);
  });
  law.rate_n_per_mm = *axle.spring->rate_n_per_mm * spring_over_stop * spring_over_stop;
  law.rate_is_usual = true;
  return law;
}

}  // namespace trammel
