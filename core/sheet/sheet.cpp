#include "sheet/sheet.h"

#include "sheet/sections.h"

namespace trammel {

Answer<std::vector<Section>> build_sheet(const Adjusted& adjusted,
                                         const std::vector<RunProof>& runs, const CarTables& tables,
                                         Units units, const Progress& progress) {
  const auto& [survey, wishes, workshop, alignment, jobs] = tables;
  const Car& car = adjusted.car;
  const Spread& spread = adjusted.spread;
  const auto stands = stands_of(car, wishes);
  if (!stands.value) return {{}, stands.why};
  const auto correction = correct(stands.value->sits, spread, wishes, progress);
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
  const auto making = make(stands.value->sits, correction, wishes, workshop);
  std::vector<Section> sheet{
      car_section(adjusted, wishes, survey, units),
      measure_section(adjusted, units),
      next_section(advices_for(*stands.value, spread, wishes, correction), units),
      travel_section(*stands.value, adjusted, plots, units),
      correct_section(*stands.value, adjusted, correction, making, units),
      make_section(making, adjusted, units),
      settle_section(*stands.value, adjusted, correction, wishes, units)};
  if (any_set(correction)) {
    sheet.push_back(rods_section(adjusted, correction, units));
    sheet.push_back(parts_section(adjusted, correction, jobs, units));
  }
  const auto& sits = stands.value->sits;
  const auto aligning = align(sits, correction, wishes, alignment, survey, units);
  const auto proving = prove(runs, sits, adjusted, survey, wishes, correction);
  sheet.push_back(align_section(aligning, adjusted, units));
  if (any_set(correction) || !runs.empty())
    sheet.push_back(prove_section(proving, adjusted, units));
  sheet.push_back(work_section(adjusted, correction, jobs, units));
  sheet.push_back(record_section(adjusted, correction, aligning, proving, jobs, units));
  return {std::move(sheet), {}};
}

}  // namespace trammel
