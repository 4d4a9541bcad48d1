// The sections of the build sheet, each by itself, in the order of the job.
#pragma once

#include <optional>
#include <vector>

#include "align/aligning.h"
#include "correct/advice.h"
#include "correct/correct.h"
#include "file/jobs.h"
#include "make/making.h"
#include "measure/adjustment.h"
#include "prove/proving.h"
#include "settle/settling.h"
#include "sheet/curves.h"
#include "told/section.h"

namespace trammel {

Section car_section(const Adjusted& adjusted, const Wishes& wishes, const Survey& survey,
                    Units units);
Section measure_section(const Adjusted& adjusted, Units units);
// `advices`: by axle, front first.
Section next_section(const std::vector<Advices>& advices, Units units);
// `plots`: of plots_of, axle by axle.
Section travel_section(const Stands& standing, const Adjusted& adjusted,
                       const std::vector<Plot>& plots, Units units);
// `making`: of the sets to be fitted.
Section correct_section(const Stands& standing, const Adjusted& adjusted,
                        const Correction& correction, const Making& making, Units units);
Section make_section(const Making& making, const Adjusted& adjusted, Units units);
Section settle_section(const Settling& settling, const Adjusted& adjusted, Units units);
Section align_section(const Aligning& aligning, const Adjusted& adjusted, Units units);
// Whether there is a set to fit on either axle: what the next two are about.
bool any_set(const Correction& correction);
Section rods_section(const Adjusted& adjusted, const Correction& correction, Units units);
Section parts_section(const Adjusted& adjusted, const Correction& correction, const Jobs& jobs,
                      Units units);
// `runs`: those with parts fitted, judged on the way to `adjusted`.
Section prove_section(const Proving& proving, const Adjusted& adjusted, Units units);
// Before and after, for two people to sign.
Section record_section(const Adjusted& adjusted, const Correction& correction,
                       const Aligning& aligning, const Proving& proving, const Jobs& jobs,
                       Units units);
Section work_section(const Adjusted& adjusted, const Correction& correction, const Jobs& jobs,
                     Units units);

}  // namespace trammel
