#include "sheet/curves.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/in_units.h"

namespace trammel {
namespace {

constexpr double plotted_mm = 60.0;  // travel either way
constexpr double plot_step_mm = 3.0;
constexpr double box_half_mm = 2.0;  // how wide a box at ride height is drawn

const std::vector<BandOf> plotted_readings{
    {Reading::toe, false}, {Reading::camber, false}, {Reading::roll_centre_height, false}};

// `apart`: the right wheel has curves of its own.
BandAsk band_ask(int samples, bool apart, bool toe_alone = false) {
  auto readings = plotted_readings;
  if (toe_alone) readings.resize(1);
  return {plotted_travels(), std::move(readings), 0.0, samples, 1, !apart, apart};
}

// The toe change is counted from ride height, as corrected where that is drawn.
std::optional<WantedBox> wanted_box(Reading reading, Side side,
                                    const std::vector<PlottedState>& states, const Wanted& wanted) {
  constexpr std::array<double, 2> at_ride{-box_half_mm, box_half_mm};
  switch (reading) {
    case Reading::toe: {
      const auto& ride = states.back().sweep.ride.at(side);
      if (!ride) return {};
      const double toe = (*ride)[Reading::toe];
      return WantedBox{wanted.window_mm,
                       {toe - wanted.toe_change_rad, toe + wanted.toe_change_rad}};
    }
    case Reading::camber:
      if (wanted.camber_rad) return WantedBox{at_ride, *wanted.camber_rad};
      return {};
    default:
      if (wanted.roll_centre_mm) return WantedBox{at_ride, *wanted.roll_centre_mm};
      return {};
  }
}

}  // namespace

Answer<Stands, NotStanding> stands_of(const Car& car, const Wishes& wishes) {
  std::array<std::array<double, 2>, 2> windows{};
  for (std::size_t i = 0; i < 2; ++i)
    windows[i] = wishes.target[i].window_mm.value_or(usual_window_mm);
  auto axles = overview(car, windows);
  if (!axles.value) return {{}, axles.why};
  auto sits = ride(car, nullptr);
  if (!sits.value) return {{}, sits.why};
  Stands s{std::move(*axles.value), std::move(*sits.value), {}};
  const RideState* built = nullptr;
  for (const auto& state : car.states)
    if (state.axle[0].height_mm + state.axle[1].height_mm > 0.0 &&
        (!built || state.axle[0].height_mm > built->axle[0].height_mm))
      built = &state;
  if (built)
    if (auto r = ride(car, built); r.value) s.before = std::move(*r.value);
  return {std::move(s), {}};
}

std::vector<double> plotted_travels() {
  std::vector<double> travels;
  for (int i = -static_cast<int>(plotted_mm / plot_step_mm); i * plot_step_mm <= plotted_mm; ++i)
    travels.push_back(i * plot_step_mm);
  return travels;
}

std::vector<PlottedState> plotted_today(const Stands& standing, const Spread& spread, AxleName axle,
                                        int samples) {
  std::vector<PlottedState> states;
  const bool apart = !standing.sits.car.at(axle)->right_is_mirrored;
  const Ask ask{plotted_travels(), 0.0, 0.0};
  if (standing.before)
    states.push_back({state_words(standing.before->state),
                      Stroke::thin_dashed,
                      sweep(*standing.before, axle, ask),
                      {},
                      apart});
  states.push_back({"as it sits", Stroke::plain, sweep(standing.sits, axle, ask),
                    bands(standing.sits, spread, axle, band_ask(samples, apart)), apart});
  return states;
}

PlottedState plotted_with_set(const Stands& standing, const Spread& spread, const Wishes& wishes,
                              const Ranking& ranking, const Fit& fit, int samples, bool toe_alone) {
  const auto corrected = with_set(standing.sits, ranking, fit, wishes);
  const bool apart = ranking.sides_apart || !sides_alike(fit);
  return {"as corrected", Stroke::heavy,
          sweep(corrected, ranking.axle, {plotted_travels(), 0.0, 0.0}),
          bands_with_set(standing.sits, spread, ranking, fit, wishes,
                         band_ask(samples, apart, toe_alone)),
          apart};
}

namespace {

struct Shown {
  const char* head;
  Measure measure;
  std::size_t band;          // among plotted_readings
  std::optional<Side> side;  // none: of the axle
};

// One state's line and band.
Series series_of(const PlottedState& c, const Shown& shown, double per_mm, double per_value) {
  const Reading reading = plotted_readings[shown.band].reading;
  Series s{c.name, c.stroke, {}, {}};
  const Side side = shown.side.value_or(Side::left);
  // The right wheel of a state that has none of its own does as the left one.
  const auto& own = c.bands.side[static_cast<std::size_t>(c.apart ? side : Side::left)];
  const auto* band = shown.band < own.size() ? &own[shown.band] : nullptr;
  if (!shown.side && !c.bands.roll_centre_height_mm.empty()) band = &c.bands.roll_centre_height_mm;
  for (std::size_t i = 0; band && i < c.bands.travel_mm.size(); ++i) {
    const auto& b = (*band)[i];
    s.band.push_back({c.bands.travel_mm[i] * per_mm, b.front() * per_value, b.back() * per_value});
  }
  for (const auto& p : c.sweep.positions) {
    const auto& corner = p.at(side);
    if (!corner || (!shown.side && !p.axle)) continue;
    const double value = shown.side ? (*corner)[reading] : p.axle->roll_centre_height_mm;
    s.points.push_back({corner->travel_mm * per_mm, value * per_value});
  }
  return s;
}

}  // namespace

std::vector<Plot> plots_of(const std::vector<PlottedState>& states, const Wanted& wanted,
                           AxleName axle, Units units, bool toe_alone) {
  const bool apart =
      std::any_of(states.begin(), states.end(), [](const PlottedState& s) { return s.apart; });
  std::vector<Shown> readings;
  for (const Side side : each_side)
    if (apart || side == Side::left) readings.push_back({"toe-in", Measure::angle, 0, side});
  for (const Side side : each_side)
    if (!toe_alone && (apart || side == Side::left))
      readings.push_back({"camber", Measure::angle, 1, side});
  if (!toe_alone) readings.push_back({"roll centre height", Measure::length, 2, {}});
  const auto length = shown_unit(Measure::length, units);
  std::vector<Plot> plots;
  for (const auto& r : readings) {
    const Reading reading = plotted_readings[r.band].reading;
    const auto unit = shown_unit(r.measure, units);
    Plot plot;
    plot.title = fmt::format("{} axle: {}{}", capital(word(axle)), r.head,
                             r.side ? fmt::format(" of the {} wheel", word(*r.side)) : "");
    plot.x_head = "wheel travel, bump to the right";
    plot.x_unit = length.symbol;
    plot.x_decimals = length.decimals;
    plot.y_head = r.head;
    plot.y_unit = unit.symbol;
    plot.y_decimals = unit.decimals;
    const auto scaled = [](const std::array<double, 2>& range, double by) {
      return std::array<double, 2>{range[0] * by, range[1] * by};
    };
    plot.window = scaled(wanted.window_mm, length.per_inside);
    if (const auto box = wanted_box(reading, r.side.value_or(Side::left), states, wanted))
      plot.wanted = {scaled(box->x, length.per_inside), scaled(box->y, unit.per_inside)};
    for (const auto& c : states)
      plot.series.push_back(series_of(c, r, length.per_inside, unit.per_inside));
    plots.push_back(std::move(plot));
  }
  return plots;
}

}  // namespace trammel
