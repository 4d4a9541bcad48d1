// The sections told of a car, each by itself or all of a stage, in the order of their table.
#pragma once

#include <vector>

#include "measure/adjustment.h"
#include "sheet/worked.h"
#include "told/section_table.h"

namespace trammel {

// The curves of every axle today, and with what is to be fitted.
std::vector<Plot> plots_with_sets(Worked& worked, Units units);

// Whether it is told of this car at all: some are about a set, or about runs with parts.
bool is_told(Worked& worked, SectionId id);
// One of them, what stands against the survey and guesses said first. `plots`: what the section
// about the travel shows. The car stands (`Worked::stances`).
Section section(Worked& worked, SectionId id, const std::vector<Plot>& plots, Units units);
// All that are told at a stage.
std::vector<Section> sections(Worked& worked, Stage stage, const std::vector<Plot>& plots,
                              Units units);

}  // namespace trammel
