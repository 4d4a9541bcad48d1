// `trammel prove`: told, or as JSON.
#include <iostream>

#include "cli/commands.h"
#include "cli/known_car.h"
#include "prove/proving.h"
#include "wire/prove_json.h"

namespace trammel {

int run_prove(const CommonWords& words) {
  int status = 0;
  const auto fitted = corrected_car(words.file, "", status);
  if (!fitted) return status;
  const auto& known = fitted->known;
  const auto proving = prove(known.runs, fitted->stands, known.adjusted, known.survey, known.wishes,
                             fitted->correction);
  if (words.json) {
    std::cout << to_json(proving, known.wishes).dump(2) << "\n";
    return 0;
  }
  if (!known.car().name.empty()) std::cout << known.car().name << "\n\n";
  std::cout << told(tell(proving, known.car(), words.units), known, words.units);
  return 0;
}

}  // namespace trammel
