// The build sheet: every step's section in the order of the job, and the order of work.
#pragma once

#include <vector>

#include "base/answer.h"
#include "sheet/worked.h"
#include "told/section.h"

namespace trammel {

// No answer where the car does not stand in one of its states. `worked`: standing as measured.
Answer<std::vector<Section>> build_sheet(Worked& worked, Units units);

}  // namespace trammel
