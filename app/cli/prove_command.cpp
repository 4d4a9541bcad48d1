// `trammel prove`: told, or as JSON.
#include <iostream>

#include "cli/commands.h"
#include "cli/opened_car.h"
#include "prove/proving.h"
#include "sheet/sections.h"
#include "wire/prove_json.h"

namespace trammel {

int run_prove(const CommonWords& words) {
  int status = 0;
  const auto opened = standing_car(words, "", "both axles", status);
  if (!opened) return status;
  auto& worked = *opened->worked;
  const auto& proving = worked.proving();
  if (words.json) {
    std::cout << to_json(proving, worked.wishes()).dump(2) << "\n";
    return 0;
  }
  std::cout << name_line(worked.car())
            << told(section(worked, SectionId::prove, {}, words.units), words);
  return 0;
}

}  // namespace trammel
