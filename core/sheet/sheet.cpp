#include "sheet/sheet.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "car/table_reader.h"
#include "car/tell.h"
#include "correct/advice.h"
#include "correct/hole_drawing.h"
#include "measure/tell.h"
#include "sheet/work.h"
#include "travel/tell.h"

namespace trammel {
namespace {

constexpr double plotted_mm = 60.0;  // travel either way
constexpr double plot_step_mm = 3.0;

struct PlottedState {
  std::string name;
  Stroke stroke;
  Sweep sweep;
  Bands bands;  // of plotted_readings, at the same travels; empty: nothing is uncertain
};
const std::vector<BandOf> plotted_readings{
    {Reading::toe, false}, {Reading::camber, false}, {Reading::roll_centre_height, false}};
constexpr int plotted_samples = 1000;

// As built, as it sits, as corrected: the same three readings of each.
void add_plots(std::vector<Block>& blocks, AxleName name, const std::vector<PlottedState>& curves,
               const std::array<double, 2>& window_mm, Units units) {
  struct Shown {
    const char* head;
    Measure measure;
    double (*pick)(const CornerAt&);
  };
  constexpr std::array<Shown, 3> readings{
      Shown{"toe-in", Measure::angle, [](const CornerAt& c) { return c[Reading::toe]; }},
      Shown{"camber", Measure::angle, [](const CornerAt& c) { return c[Reading::camber]; }},
      Shown{"roll centre height", Measure::length,
            [](const CornerAt& c) { return c[Reading::roll_centre_height]; }}};
  const auto length = shown_unit(Measure::length, units);
  for (std::size_t k = 0; k < readings.size(); ++k) {
    const auto& r = readings[k];
    const auto unit = shown_unit(r.measure, units);
    Plot plot;
    plot.title = fmt::format("{} axle: {} of the left wheel",
                             name == AxleName::front ? "Front" : "Rear", r.head);
    plot.x_head = "wheel travel, bump to the right";
    plot.x_unit = length.symbol;
    plot.y_head = r.head;
    plot.y_unit = unit.symbol;
    plot.window = {{window_mm[0] * length.per_inside, window_mm[1] * length.per_inside}};
    for (const auto& c : curves) {
      Series s{c.name, c.stroke, {}, {}};
      for (std::size_t i = 0; i < c.bands.travel_mm.size(); ++i) {
        const auto& b = c.bands.side[0][k][i];
        s.band.push_back({c.bands.travel_mm[i] * length.per_inside, b.front() * unit.per_inside,
                          b.back() * unit.per_inside});
      }
      for (const auto& p : c.sweep.positions)
        if (const auto& corner = p.side[0])
          s.points.push_back(
              {corner->travel_mm * length.per_inside, r.pick(*corner) * unit.per_inside});
      plot.series.push_back(std::move(s));
    }
    blocks.emplace_back(std::move(plot));
  }
}

std::vector<double> plotted_travels() {
  std::vector<double> travels;
  for (int i = -static_cast<int>(plotted_mm / plot_step_mm); i * plot_step_mm <= plotted_mm; ++i)
    travels.push_back(i * plot_step_mm);
  return travels;
}

Section rods_section(const Car& car, const Correction& correction, Units units) {
  Section s;
  s.question = "How long do the rods become, and what do I turn?";
  Grid g;
  g.heads = {"rod", "side", "change", "turn the adjuster"};
  g.units = {"", "", "", ""};
  bool any = false;
  for (const auto& c : correction.axle) {
    if (!c || !c->ranking.best() || !c->ranking.toe_is_reset) continue;
    any = true;
    const auto& axle = *car.at(c->ranking.axle);
    const auto& a = *axle.toe_adjuster;
    for (const Side side : {Side::left, Side::right}) {
      const double by = c->ranking.best()->toe_rod_mm[static_cast<std::size_t>(side)];
      auto turns = turns_words(by, a.pitch_mm, a.ends, units);
      const auto colon = turns.find(": ");
      g.rows.push_back({fmt::format("{} '{}'", word(c->ranking.axle),
                                    axle.layout.rods[static_cast<std::size_t>(a.rod)].name),
                        word(side),
                        fmt::format("{} {}", shown_signed(by, Measure::length, units),
                                    shown_unit(Measure::length, units).symbol),
                        colon == std::string::npos ? turns : turns.substr(colon + 2)});
    }
  }
  if (!any) {
    s.answer = "Nothing is set back: the file names no adjuster of toe.";
    return s;
  }
  s.answer = "Set these first, by the marks; the strings on the floor have the last word.";
  s.blocks.emplace_back(std::move(g));
  s.blocks.emplace_back(Paragraph{
      "Out: the rod becomes longer. A turn counts for each threaded end the file names; six "
      "flats to a turn. Count the threads that stay engaged: never fewer than one and a half "
      "diameters in steel."});
  return s;
}

}  // namespace

Answer<std::vector<Section>> build_sheet(const Adjusted& adjusted, const Survey& survey,
                                         const Wishes& wishes, const Jobs& jobs, Units units,
                                         const Progress& progress) {
  const Car& car = adjusted.car;
  const Spread& spread = adjusted.spread;
  std::array<std::array<double, 2>, 2> windows{};
  for (std::size_t i = 0; i < 2; ++i)
    windows[i] = wishes.target[i].window_mm.value_or(usual_window_mm);
  const auto axles = overview(car, windows);
  if (!axles.value) return {{}, axles.why};
  const auto sits = ride(car, nullptr);
  if (!sits.value) return {{}, sits.why};
  const auto correction = correct(*sits.value, spread, wishes, progress);
  const auto corrected = with_parts(*sits.value, correction, wishes);
  const bool any = std::any_of(correction.axle.begin(), correction.axle.end(),
                               [](const auto& c) { return c && c->ranking.best(); });

  // The state that stood highest, if it stood higher than today.
  const RideState* built = nullptr;
  for (const auto& s : car.states)
    if (s.axle[0].height_mm + s.axle[1].height_mm > 0.0 &&
        (!built || s.axle[0].height_mm > built->axle[0].height_mm))
      built = &s;
  std::optional<Ride> before;
  if (built)
    if (auto r = ride(car, built); r.value) before = std::move(*r.value);

  std::vector<Section> sheet;
  sheet.push_back(tell(car, wishes, survey, units));
  sheet.push_back(tell(adjusted, units, false));
  std::vector<Advices> advices;
  for (const AxleName name : {AxleName::front, AxleName::rear}) {
    const auto& c = correction.at(name);
    if (car.at(name))
      advices.push_back(what_next(*sits.value, spread, name, c ? &c->ranking : nullptr,
                                  wishes.target[static_cast<std::size_t>(name)],
                                  NarrowWhat::chance));
  }
  sheet.push_back(tell(advices, NarrowWhat::chance, units));
  sheet.push_back(tell(car, *axles.value, spread, units));
  const auto travels = plotted_travels();
  const BandAsk plotted{travels, plotted_readings, 0.0, plotted_samples, 1};
  for (const auto& o : *axles.value) {
    std::vector<PlottedState> curves;
    if (before)
      curves.push_back({state_words(before->state),
                        Stroke::thin_dashed,
                        sweep(*before, o.axle, {travels, 0.0, 0.0}),
                        {}});
    curves.push_back({"as it sits", Stroke::plain, sweep(*sits.value, o.axle, {travels, 0.0, 0.0}),
                      bands(*sits.value, spread, o.axle, plotted)});
    if (correction.at(o.axle) && correction.at(o.axle)->ranking.best())
      curves.push_back({"as corrected", Stroke::heavy,
                        sweep(corrected, o.axle, {travels, 0.0, 0.0}),
                        corrected_bands(*sits.value, spread, correction, wishes, o.axle, plotted)});
    add_plots(sheet.back().blocks, o.axle, curves, o.window_mm, units);
  }
  sheet.push_back(doubt_first(tell(*sits.value, correction, units), adjusted));
  for (const auto& c : correction.axle)
    if (c && c->map) sheet.back().blocks.emplace_back(hole_drawing(c->ranking, *c->map));
  if (any) {
    sheet.push_back(rods_section(car, correction, units));
    Section parts;
    parts.question = "What do I need?";
    auto list = parts_for(correction, jobs, units);
    const auto here = std::count_if(list.parts.begin(), list.parts.end(), [](const Part& p) {
      return p.state == "here" || p.state == "fitted";
    });
    parts.answer = fmt::format("{} kinds of part, {} of them here.", list.parts.size(), here);
    parts.blocks.emplace_back(std::move(list));
    sheet.push_back(std::move(parts));
  }
  Section work;
  work.question = "In which order, and where do I stop?";
  work.answer = "Seven parts; after each a gate that stays shut until its sentence is true.";
  work.blocks.emplace_back(
      Caution{"this is not an approval. Steering and suspension faults kill: have the work "
              "inspected; local law, "
              "the maker's manual and a licensed inspection come first. Torque comes from your "
              "manual only."});
  for (auto& list : order_of_work(car, correction, jobs, units))
    work.blocks.emplace_back(std::move(list));
  work.blocks.emplace_back(
      Caution{"never weld or heat forged, cast or steering parts. Never drive with a ball joint "
              "corrected and its "
              "rod not. Stop if the measured toe curve and the predicted one differ by more than "
              "0.1° per 25 mm: "
              "something is bent, loose or measured wrong."});
  sheet.push_back(std::move(work));
  return {std::move(sheet), {}};
}

}  // namespace trammel
