#include "sheet/sheet.h"

#include "sheet/sections.h"
#include "travel/reasons.h"

namespace trammel {

Answer<std::vector<Section>> build_sheet(Worked& worked, Units units) {
  const auto& [survey, wishes, workshop, alignment, jobs] = worked.file().tables;
  const auto& stands = worked.stances();
  if (!stands.value) return {{}, words(stands.why, units)};
  const auto& adjusted = worked.adjusted();
  const Spread& spread = adjusted.spread;
  const auto& correction = worked.correction();
  std::vector<Plot> plots;
  for (const auto& o : stands.value->axles) {
    auto curves = plotted_today(*stands.value, spread, o.axle);
    const auto& c = correction.at(o.axle);
    if (c && c->to_fit())
      curves.push_back(
          plotted_with_set(*stands.value, spread, wishes, c->ranking, c->to_fit()->fit));
    for (auto& plot : plots_of(curves, wanted_of(wishes.target[static_cast<std::size_t>(o.axle)]),
                               o.axle, units))
      plots.push_back(std::move(plot));
  }
  std::vector<Section> sheet{
      car_section(adjusted, wishes, survey, units),
      measure_section(adjusted, units),
      next_section(worked.advices(), units),
      travel_section(*stands.value, adjusted, plots, units),
      correct_section(*stands.value, adjusted, correction, worked.making(), units),
      make_section(worked.making(), adjusted, units),
      settle_section(worked.settling(), adjusted, units)};
  if (any_set(correction)) {
    sheet.push_back(rods_section(adjusted, correction, units));
    sheet.push_back(parts_section(adjusted, correction, jobs, units));
  }
  const auto& aligning = worked.aligning(units);
  const auto& proving = worked.proving();
  sheet.push_back(align_section(aligning, adjusted, units));
  if (any_set(correction) || !worked.surveyed().value->runs.empty())
    sheet.push_back(prove_section(proving, adjusted, units));
  sheet.push_back(work_section(adjusted, correction, jobs, units));
  sheet.push_back(record_section(adjusted, correction, aligning, proving, jobs, units));
  return {std::move(sheet), {}};
}

}  // namespace trammel
