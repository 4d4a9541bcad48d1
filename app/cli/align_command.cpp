// `trammel align`: told, or as JSON.
#include <iostream>

#include "align/aligning.h"
#include "cli/commands.h"
#include "cli/opened_car.h"
#include "sheet/sections.h"
#include "wire/align_json.h"

namespace trammel {

int run_align(const AlignWords& words) {
  int status = 0;
  const auto opened = standing_car(words.common, words.state, "both axles", status);
  if (!opened) return status;
  auto& worked = *opened->worked;
  const auto& aligning = worked.aligning(words.common.units);
  if (words.common.json) {
    std::cout << to_json(aligning).dump(2) << "\n";
    return 0;
  }
  std::cout << name_line(worked.car())
            << told(section(worked, SectionId::align, {}, words.common.units), words.common);
  return 0;
}

}  // namespace trammel
