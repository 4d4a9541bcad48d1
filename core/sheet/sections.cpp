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
#include "sheet/front.h"
#include "sheet/record.h"
#include "sheet/work.h"
#include "told/cautions.h"
#include "travel/tell.h"

namespace trammel {
namespace {

// Whether there is a set to fit on either axle: what rods and parts are about.
bool any_set(const Correction& correction) {
  return std::any_of(correction.axle.begin(), correction.axle.end(),
                     [](const auto& c) { return c && c->to_fit(); });
}

Section travel_section(Worked& worked, const std::vector<Plot>& plots, Units units) {
  auto s = tell(worked.car(), worked.stances().value->axles, worked.adjusted().spread, units);
  for (const auto& plot : plots) s.blocks.emplace_back(plot);
  return s;
}

Section correct_section(Worked& worked, Units units) {
  const auto& correction = worked.correction();
  auto s = tell(worked.stances().value->sits, correction, units);
  if (any_set(correction)) s.answer += " " + strength_words(worked.making(), units);
  for (const auto& c : correction.axle)
    if (c && !c->maps.empty()) {
      for (const auto& map : c->maps) s.blocks.emplace_back(hole_drawing(c->ranking, map));
      s.blocks.emplace_back(Caution{caution(Care::hole_edge)});
    }
  return s;
}

Section rods_section(const Car& car, const Correction& correction, Units units) {
  auto s = begun(SectionId::rods);
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
  return s;
}

Section parts_section(const Correction& correction, const Jobs& jobs, Units units) {
  auto s = begun(SectionId::parts);
  auto list = parts_for(correction, jobs, units);
  const auto here = std::count_if(list.parts.begin(), list.parts.end(), [](const Part& p) {
    return p.state == "here" || p.state == "fitted";
  });
  s.answer = fmt::format("{} kinds of part, {} of them here.", list.parts.size(), here);
  s.blocks.emplace_back(std::move(list));
  return s;
}

Section work_section(const Car& car, const Correction& correction, const Jobs& jobs, Units units) {
  auto s = begun(SectionId::work);
  s.answer = "Seven parts; after each a gate that stays shut until its sentence is true.";
  s.blocks.emplace_back(Caution{caution({Care::not_approved, Care::law, Care::torque})});
  for (auto& list : order_of_work(car, correction, jobs, units))
    s.blocks.emplace_back(std::move(list));
  s.blocks.emplace_back(Caution{caution({Care::forged, Care::rod_with_joint, Care::curve_off})});
  return s;
}

// As its step tells it, whatever stands against the survey.
Section plain(Worked& worked, SectionId id, const std::vector<Plot>& plots, Units units) {
  const auto& tables = worked.file().tables;
  switch (id) {
    case SectionId::front:
      return tell(front_of(worked, units));
    case SectionId::car:
      return tell(worked.car(), tables.wishes, tables.survey, units);
    case SectionId::measure:
      return tell(worked.adjusted(), units, false);
    case SectionId::measure_next:
      return tell(worked.advices(), NarrowWhat::chance, units);
    case SectionId::travel:
      return travel_section(worked, plots, units);
    case SectionId::correct:
      return correct_section(worked, units);
    case SectionId::make:
      return tell(worked.making(), worked.car().demo, units);
    case SectionId::settle:
      return tell(worked.settling(), units);
    case SectionId::rods:
      return rods_section(worked.car(), worked.correction(), units);
    case SectionId::parts:
      return parts_section(worked.correction(), tables.jobs, units);
    case SectionId::align:
      return tell(worked.aligning(units), worked.car(), units);
    case SectionId::prove:
      return tell(worked.proving(), worked.car(), units);
    case SectionId::work:
      return work_section(worked.car(), worked.correction(), tables.jobs, units);
    case SectionId::record:
      break;
  }
  return tell_record(worked.car(), worked.correction(), worked.aligning(units), worked.proving(),
                     tables.jobs, units);
}

// What a section's answer hangs on, and so what is said before it.
enum class RestsOn { nothing, joints, doubts_and_joints };
RestsOn rests_on(SectionId id) {
  switch (id) {
    case SectionId::front:
    case SectionId::car:
    case SectionId::measure:
    case SectionId::measure_next:
      return RestsOn::nothing;
    case SectionId::travel:
    case SectionId::rods:
    case SectionId::parts:
    case SectionId::work:
      return RestsOn::joints;
    default:
      return RestsOn::doubts_and_joints;
  }
}

}  // namespace

std::vector<Plot> plots_with_sets(Worked& worked, Units units) {
  std::vector<Plot> plots;
  const auto& stands = *worked.stances().value;
  const auto& wishes = worked.wishes();
  for (const auto& o : stands.axles) {
    auto curves = worked.today(o.axle);
    const auto& c = worked.correction().at(o.axle);
    if (c && c->to_fit())
      curves.push_back(
          plotted_with_set(stands, worked.adjusted().spread, wishes, c->ranking, c->to_fit()->fit));
    for (auto& plot : plots_of(curves, wanted_of(wishes.target[static_cast<std::size_t>(o.axle)]),
                               o.axle, units))
      plots.push_back(std::move(plot));
  }
  return plots;
}

bool is_told(Worked& worked, SectionId id) {
  const auto of = row_of(id).told_of;
  if (of == ToldOf::every_car) return true;
  return any_set(worked.correction()) ||
         (of == ToldOf::a_set_or_run && !worked.surveyed().value->runs.empty());
}

Section section(Worked& worked, SectionId id, const std::vector<Plot>& plots, Units units) {
  auto s = plain(worked, id, plots, units);
  const auto rests = rests_on(id);
  if (rests == RestsOn::doubts_and_joints) s = doubt_first(std::move(s), worked.adjusted());
  return rests == RestsOn::nothing ? s : guess_first(std::move(s), worked.adjusted(), units);
}

std::vector<Section> sections(Worked& worked, Stage stage, const std::vector<Plot>& plots,
                              Units units) {
  std::vector<Section> all;
  for (const auto& row : section_table)
    if (row.stage == stage && is_told(worked, row.id))
      all.push_back(section(worked, row.id, plots, units));
  return all;
}

}  // namespace trammel
