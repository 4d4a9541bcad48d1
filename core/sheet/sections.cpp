#include "sheet/sections.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/in_units.h"
#include "correct/advice.h"
#include "correct/hole_drawing.h"
#include "file/tell.h"
#include "make/tell.h"
#include "measure/tell.h"
#include "prove/proving.h"
#include "settle/settling.h"
#include "sheet/record.h"
#include "sheet/work.h"
#include "told/cautions.h"
#include "travel/tell.h"

namespace trammel {
namespace {

Section named(const char* name, Section section) {
  section.name = name;
  return section;
}

}  // namespace

Section car_section(const Adjusted& adjusted, const Wishes& wishes, const Survey& survey,
                    Units units) {
  return named("Car", tell(adjusted.car, wishes, survey, units));
}

Section measure_section(const Adjusted& adjusted, Units units) {
  return named("Measure", tell(adjusted, units, false));
}

Section next_section(const std::vector<Advices>& advices, Units units) {
  return named("Measure next", tell(advices, NarrowWhat::chance, units));
}

Section travel_section(const Stands& standing, const Adjusted& adjusted,
                       const std::vector<Plot>& plots, Units units) {
  auto s = named("Travel", tell(adjusted.car, standing.axles, adjusted.spread, units));
  for (const auto& plot : plots) s.blocks.emplace_back(plot);
  return guess_first(std::move(s), adjusted, units);
}

Section correct_section(const Stands& standing, const Adjusted& adjusted,
                        const Correction& correction, const Making& making, Units units) {
  auto told = tell(standing.sits, correction, units);
  if (any_set(correction)) told.answer += " " + strength_words(making, units);
  auto s = named("Correct", doubt_first(std::move(told), adjusted));
  for (const auto& c : correction.axle)
    if (c && !c->maps.empty()) {
      for (const auto& map : c->maps) s.blocks.emplace_back(hole_drawing(c->ranking, map));
      s.blocks.emplace_back(Caution{caution(Care::hole_edge)});
    }
  return guess_first(std::move(s), adjusted, units);
}

Section make_section(const Making& making, const Adjusted& adjusted, Units units) {
  return guess_first(doubt_first(tell(making, adjusted.car.demo, units), adjusted), adjusted,
                     units);
}

Section settle_section(const Settling& settling, const Adjusted& adjusted, Units units) {
  return guess_first(doubt_first(tell(settling, units), adjusted), adjusted, units);
}

Section align_section(const Aligning& aligning, const Adjusted& adjusted, Units units) {
  return guess_first(doubt_first(tell(aligning, adjusted.car, units), adjusted), adjusted, units);
}

bool any_set(const Correction& correction) {
  return std::any_of(correction.axle.begin(), correction.axle.end(),
                     [](const auto& c) { return c && c->to_fit(); });
}

Section rods_section(const Adjusted& adjusted, const Correction& correction, Units units) {
  const Car& car = adjusted.car;
  Section s;
  s.name = "Rods";
  s.question = "How long do the rods become, and what do I turn?";
  Grid g;
  g.heads = {"rod", "side", "change", "turn the adjuster"};
  g.units = {"", "", "", ""};
  bool any = false;
  for (const auto& c : correction.axle) {
    if (!c || !c->to_fit() || !c->ranking.toe_is_reset) continue;
    any = true;
    const auto& axle = *car.at(c->ranking.axle);
    const auto& a = *axle.toe_adjuster;
    for (const Side side : {Side::left, Side::right}) {
      const double by = c->to_fit()->toe_rod_mm[side];
      auto turns = rod_turn_words(by, a.pitch_mm, a.ends);
      if (turns.empty()) turns = turns_words(by, a.pitch_mm, a.ends, units);
      g.rows.push_back({fmt::format("{} '{}'", word(c->ranking.axle),
                                    axle.layout.rods[static_cast<std::size_t>(a.rod)].name),
                        word(side),
                        fmt::format("{} {}", shown_signed(by, Measure::length, units),
                                    shown_unit(Measure::length, units).symbol),
                        std::move(turns)});
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
  return guess_first(std::move(s), adjusted, units);
}

Section parts_section(const Adjusted& adjusted, const Correction& correction, const Jobs& jobs,
                      Units units) {
  Section s;
  s.name = "Parts";
  s.question = "What do I need?";
  auto list = parts_for(correction, jobs, units);
  const auto here = std::count_if(list.parts.begin(), list.parts.end(), [](const Part& p) {
    return p.state == "here" || p.state == "fitted";
  });
  s.answer = fmt::format("{} kinds of part, {} of them here.", list.parts.size(), here);
  s.blocks.emplace_back(std::move(list));
  return guess_first(std::move(s), adjusted, units);
}

Section prove_section(const Proving& proving, const Adjusted& adjusted, Units units) {
  return guess_first(doubt_first(tell(proving, adjusted.car, units), adjusted), adjusted, units);
}

Section record_section(const Adjusted& adjusted, const Correction& correction,
                       const Aligning& aligning, const Proving& proving, const Jobs& jobs,
                       Units units) {
  return guess_first(
      doubt_first(tell_record(adjusted.car, correction, aligning, proving, jobs, units), adjusted),
      adjusted, units);
}

Section work_section(const Adjusted& adjusted, const Correction& correction, const Jobs& jobs,
                     Units units) {
  Section work;
  work.name = "Work";
  work.question = "In which order, and where do I stop?";
  work.answer = "Seven parts; after each a gate that stays shut until its sentence is true.";
  work.blocks.emplace_back(Caution{caution({Care::not_approved, Care::law, Care::torque})});
  for (auto& list : order_of_work(adjusted.car, correction, jobs, units))
    work.blocks.emplace_back(std::move(list));
  work.blocks.emplace_back(Caution{caution({Care::forged, Care::rod_with_joint, Care::curve_off})});
  return guess_first(std::move(work), adjusted, units);
}

}  // namespace trammel
