// The build sheet: every step's section in the order of the job, and the order of work.
#pragma once

#include <vector>

#include "base/answer.h"
#include "base/section.h"
#include "car/tables.h"
#include "correct/correct.h"
#include "measure/adjustment.h"

namespace trammel {

// No answer where the car does not stand in one of its states.
// `adjusted`: the car with its joints where the readings put them.
Answer<std::vector<Section>> build_sheet(const Adjusted& adjusted, const CarTables& tables,
                                         Units units, const Progress& progress = {});

}  // namespace trammel
