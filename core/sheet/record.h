// The record: what was done to the car, before and after, for somebody else to read and two people
// to sign.
#pragma once

#include "align/aligning.h"
#include "correct/correct.h"
#include "file/jobs.h"
#include "prove/proving.h"
#include "told/section.h"

namespace trammel {

// Where nothing was aligned or proved yet, its cells stay empty for the pen.
Section tell_record(const Car& car, const Correction& correction, const Aligning& aligning,
                    const Proving& proving, const Jobs& jobs, Units units);

}  // namespace trammel
