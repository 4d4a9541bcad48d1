// How both dials of a gauge walk together as the wheel goes up and down: what a slip of the whole
// run shows in, since the sums of a run with two dials use their difference alone.
#pragma once

#include <vector>

#include "measure/questions.h"

namespace trammel {

// Runs that walk against what the joints say and would agree with it otherwise: travel counted the
// other way, the dials' signs turned, the dials exchanged, the other wheel. A run of which the sums
// have no use is judged by toe as well. Nothing is asked where the joints are too vague to tell.
std::vector<Question> questions_of_walk(const Survey& survey, const Adjusted& adjusted);

}  // namespace trammel
