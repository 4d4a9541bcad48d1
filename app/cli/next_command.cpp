// `trammel next`, and `trammel CAR`: what to do now.
#include <iostream>

#include "cli/commands.h"
#include "cli/opened_car.h"
#include "sheet/front.h"
#include "told/text.h"
#include "wire/front_json.h"

namespace trammel {

int run_next(const CommonWords& words) {
  auto file = load(words.file);
  if (!file) return bad_input;
  const ProgressLine progress;
  Worked worked(std::move(*file), {}, progress.teller("both axles"));
  const auto front = front_of(worked, words.units);
  progress.clear();
  if (words.json) {
    std::cout << to_json(front).dump(2) << "\n";
    return 0;
  }
  std::cout << name_line(worked.file().car) << as_text(tell(front));
  return 0;
}

}  // namespace trammel
