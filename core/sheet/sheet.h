// The build sheet: every step's section in the order of the job, and the order of work.
#pragma once

#include <vector>

#include "base/answer.h"
#include "base/section.h"
#include "car/tables.h"
#include "correct/correct.h"
#include "measure/adjustment.h"
#include "prove/judge.h"

namespace trammel {

// No answer where the car does not stand in one of its states.
// `adjusted`: the car with its joints where the readings put them; `runs`: those with parts fitted
// that were judged on the way there.
Answer<std::vector<Section>> build_sheet(const Adjusted& adjusted,
                                         const std::vector<RunProof>& runs, const CarTables& tables,
                                         Units units, const Progress& progress = {});

}  // namespace trammel
