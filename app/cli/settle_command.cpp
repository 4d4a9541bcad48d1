// `trammel settle`: told, or as JSON.
#include <iostream>

#include "cli/commands.h"
#include "cli/opened_car.h"
#include "settle/settling.h"
#include "sheet/sections.h"
#include "wire/settle_json.h"

namespace trammel {

int run_settle(const SettleWords& words) {
  int status = 0;
  const auto opened = standing_car(words.common, words.state, "both axles", status);
  if (!opened) return status;
  auto& worked = *opened->worked;
  const auto& settling = worked.settling();
  if (words.common.json) {
    std::cout << to_json(settling).dump(2) << "\n";
    return 0;
  }
  std::cout << name_line(worked.car())
            << told(section(worked, SectionId::settle, {}, words.common.units), words.common);
  return 0;
}

}  // namespace trammel
