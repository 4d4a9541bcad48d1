#include "wasm/picks.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/in_units.h"
#include "base/words.h"

namespace trammel {

std::vector<wire::Pick> picks_of(const Shelf& shelf, const Fit& fit) {
  std::vector<wire::Pick> picks;
  const auto place = [](const Vec3<double>& by) { return std::array<double, 3>{by.x, by.y, by.z}; };
  for (std::size_t i = 0; i < shelf.choices.size(); ++i) {
    const auto& [left, right] = fit.part[i];
    wire::Pick pick{shelf.choices[i].option.name, left.size_mm, place(left.by_mm), {}};
    if (!(left == right)) pick.right = wire::PickOfSide{right.size_mm, place(right.by_mm)};
    picks.push_back(std::move(pick));
  }
  return picks;
}

Fit fit_from(const Shelf& shelf, const std::vector<wire::Pick>& picks) {
  Fit fit = nothing_fitted(shelf);
  for (std::size_t i = 0; i < shelf.choices.size(); ++i)
    for (const auto& pick : picks) {
      const auto& choice = shelf.choices[i];
      if (choice.option.name != pick.option) continue;
      const auto take = [&](Side side, double size_mm, const std::array<double, 3>& by_mm) {
        auto& part = fit.part[i][side];
        if (!choice.made_to_measure()) part.size_mm = size_mm;
        for (const int axis : choice.axes) {
          const auto k = static_cast<std::size_t>(axis);
          part.by_mm[axis] = std::clamp(by_mm[k], choice.range_mm[k][0], choice.range_mm[k][1]);
        }
      };
      take(Side::left, pick.size_mm, pick.by_mm);
      if (pick.right) take(Side::right, pick.right->size_mm, pick.right->by_mm);
      else take(Side::right, pick.size_mm, pick.by_mm);
    }
  return fit;
}

std::vector<Chosen> chosen_of(const wire::AxleSet& set, const Wishes& wishes) {
  std::vector<Chosen> all;
  for (const auto& pick : set.picks)
    for (std::size_t k = 0; k < wishes.options.size(); ++k)
      if (wishes.options[k].name == pick.option) {
        const auto part = [](double size_mm, const std::array<double, 3>& by) {
          return SizeOrPlace{size_mm, {by[0], by[1], by[2]}};
        };
        const auto left = part(pick.size_mm, pick.by_mm);
        all.push_back(
            {k, {left, pick.right ? part(pick.right->size_mm, pick.right->by_mm) : left}});
      }
  return all;
}

std::optional<std::vector<Chosen>> to_be_fitted(AxleName axle, const Wishes& wishes,
                                                const std::vector<wire::AxleSet>& shown) {
  std::optional<std::vector<Chosen>> fitted = wishes.chosen[static_cast<std::size_t>(axle)];
  for (const auto& set : shown)
    if (!fitted && set.axle == word(axle)) fitted = chosen_of(set, wishes);
  if (fitted)
    std::erase_if(*fitted,
                  [](const Chosen& c) { return c.part.left.nothing() && c.part.right.nothing(); });
  return fitted;
}

std::string fitted_words(const std::vector<Chosen>& fitted, const Wishes& wishes, Units units) {
  const InUnits t(units);
  std::vector<std::string> parts;
  for (const auto& c : fitted) {
    const auto& option = wishes.options[c.option];
    const bool made = std::holds_alternative<MadeToMeasure>(option.choice);
    const auto words = [&](const SizeOrPlace& part) {
      if (!made) return t.mm(part.size_mm);
      std::string place;
      for (int i = 0; i < 3; ++i)
        if (part.by_mm[i] != 0.0)
          place += fmt::format("{}{} {}", place.empty() ? "" : ", ", "xyz"[i],
                               t.signed_mm(part.by_mm[i]));
      return place.empty() ? std::string("its old place") : place;
    };
    const auto& [left, right] = c.part;
    const auto said =
        left == right ? words(left) : fmt::format("left {}, right {}", words(left), words(right));
    parts.push_back(left == right && !made ? fmt::format("{} {}", said, option.name)
                    : made                 ? fmt::format("{} at {}", option.name, said)
                                           : fmt::format("{} ({})", option.name, said));
  }
  return parts.empty() ? "nothing" : listed(parts);
}

}  // namespace trammel
