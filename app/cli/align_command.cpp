// `trammel align`: told, or as JSON.
#include <iostream>

#include "align/aligning.h"
#include "cli/commands.h"
#include "cli/known_car.h"
#include "wire/align_json.h"

namespace trammel {

int run_align(const AlignWords& words) {
  int status = 0;
  const auto fitted = corrected_car(words.common.file, words.state, status);
  if (!fitted) return status;
  const auto& known = fitted->known;
  const auto& car = known.car();
  const auto aligning =
      align(fitted->stands, fitted->correction, known.wishes, read_alignment(known.document, car),
            known.survey, words.common.units);
  if (words.common.json) {
    std::cout << to_json(aligning).dump(2) << "\n";
    return 0;
  }
  if (!car.name.empty()) std::cout << car.name << "\n\n";
  std::cout << told(tell(aligning, car, words.common.units), known, words.common.units);
  return 0;
}

}  // namespace trammel
