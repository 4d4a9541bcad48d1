#include "sheet/sheet.h"

#include <algorithm>

#include "sheet/sections.h"
#include "travel/reasons.h"

namespace trammel {

Answer<std::vector<Section>> build_sheet(Worked& worked, Units units) {
  if (!worked.stances().value) return {{}, words(worked.stances().why, units)};
  const auto plots = plots_with_sets(worked, units);
  std::vector<Section> sheet;
  for (const auto& row : section_table)
    if (is_told(worked, row.id)) sheet.push_back(section(worked, row.id, plots, units));
  return {std::move(sheet), {}};
}

}  // namespace trammel
