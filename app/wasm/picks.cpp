#include "wasm/picks.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/in_units.h"
#include "car/table_reader.h"

namespace trammel {

std::vector<Chosen> chosen_of(const wire::AxleSet& set, const Wishes& wishes) {
  std::vector<Chosen> all;
  for (const auto& pick : set.picks)
    for (std::size_t k = 0; k < wishes.options.size(); ++k)
      if (wishes.options[k].name == pick.option)
        all.push_back({k, pick.size_mm, {pick.by_mm[0], pick.by_mm[1], pick.by_mm[2]}});
  return all;
}

std::optional<std::vector<Chosen>> to_be_fitted(AxleName axle, const Wishes& wishes,
                                                const std::vector<wire::AxleSet>& shown) {
  std::optional<std::vector<Chosen>> fitted = wishes.chosen[static_cast<std::size_t>(axle)];
  for (const auto& set : shown)
    if (!fitted && set.axle == word(axle)) fitted = chosen_of(set, wishes);
  if (fitted)
    std::erase_if(*fitted,
                  [](const Chosen& c) { return c.size_mm == 0.0 && length(c.by_mm) == 0.0; });
  return fitted;
}

std::string fitted_words(const std::vector<Chosen>& fitted, const Wishes& wishes, Units units) {
  const InUnits t(units);
  std::vector<std::string> parts;
  for (const auto& c : fitted) {
    const auto& option = wishes.options[c.option];
    if (!std::holds_alternative<MadeToMeasure>(option.choice)) {
      parts.push_back(fmt::format("{} {}", t.mm(c.size_mm), option.name));
      continue;
    }
    std::string place;
    for (int i = 0; i < 3; ++i)
      if (c.by_mm[i] != 0.0)
        place +=
            fmt::format("{}{} {}", place.empty() ? "" : ", ", "xyz"[i], t.signed_mm(c.by_mm[i]));
    parts.push_back(fmt::format("{} at {}", option.name, place));
  }
  return parts.empty() ? "nothing" : listed(parts);
}

}  // namespace trammel
