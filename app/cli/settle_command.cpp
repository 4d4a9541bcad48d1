// `trammel settle`: told, or as JSON.
#include <iostream>

#include "cli/commands.h"
#include "cli/known_car.h"
#include "settle/settling.h"
#include "wire/settle_json.h"

namespace trammel {

int run_settle(const SettleWords& words) {
  int status = 0;
  const auto fitted = corrected_car(words.common.file, words.state, status);
  if (!fitted) return status;
  const auto settling = settle(fitted->stands, fitted->correction, fitted->known.wishes);
  if (words.common.json) {
    std::cout << to_json(settling).dump(2) << "\n";
    return 0;
  }
  const auto& name = fitted->known.car().name;
  if (!name.empty()) std::cout << name << "\n\n";
  std::cout << told(tell(settling, words.common.units), fitted->known, words.common.units);
  return 0;
}

}  // namespace trammel
