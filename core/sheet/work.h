// The order of work for what was chosen, with its stop gates, and the parts it takes.
#pragma once

#include "correct/correct.h"
#include "file/jobs.h"
#include "told/section.h"

namespace trammel {

// Parts of both axles; their state from the [[job]] rows.
PartsList parts_for(const Correction& correction, const Jobs& jobs, Units units);

// Checklists in order. A [[job]] row fills in the step whose id it has, or whose words it begins;
// the others stand in a list of their own at the end.
std::vector<Checklist> order_of_work(const Car& car, const Correction& correction, const Jobs& jobs,
                                     Units units);

}  // namespace trammel
