#include "correct/reasons.h"

#include <fmt/format.h>

#include <array>

#include "base/in_units.h"

namespace trammel {
namespace {

// Three decimals: a target is missed by less than two show.
std::string finely(double rad) { return fmt::format("{:.3f}", rad / degree_rad); }

std::string of_a_wheel(const Miss& m, const InUnits& t) {
  const auto length = [&](double mm) { return shown(mm, Measure::length, t.units()); };
  const auto unit = t.unit(Measure::length);
  switch (m.of) {
    case Miss::Of::toe_change:
      return fmt::format("toe changes by {}°, wanted {}° at most", finely(m.is), finely(m.most));
    case Miss::Of::roll_centre:
      return fmt::format("roll centre at {0} {3}, wanted {1} to {2} {3}", length(m.is),
                         length(m.least), length(m.most), unit);
    case Miss::Of::camber:
      return fmt::format("camber {}°, wanted {} to {}°", finely(m.is), finely(m.least),
                         finely(m.most));
    case Miss::Of::locks:
      return "the mechanism locks within full travel and lock";
    case Miss::Of::joint_angle:
      return fmt::format(
          "joint {} reaches {}° over full travel and lock; its limit of {}° should keep {:.0f}° in "
          "hand",
          m.joint, finely(m.is), finely(m.most), joint_in_hand_rad / degree_rad);
    case Miss::Of::rim_room:
      return fmt::format(
          "joint {0} reaches {1} {4} from the axle and should keep {2} {4} to the rim, whose "
          "barrel is {3} {4} inside",
          m.joint, length(m.is), length(m.clearance_mm), length(m.most), unit);
  }
  return {};
}

}  // namespace

std::string words(const Miss& m, Units units) {
  const auto text = of_a_wheel(m, InUnits(units));
  return m.side ? fmt::format("{}: {}", word(*m.side), text) : text;
}

std::vector<std::string> words(const std::vector<Miss>& misses, Units units) {
  std::vector<std::string> all;
  all.reserve(misses.size());
  for (const auto& miss : misses) all.push_back(words(miss, units));
  return all;
}

std::string words(const RangeEnd& end, const Shelf& shelf) {
  constexpr std::array<const char*, 3> names{"x", "y", "z"};
  return fmt::format("{} in {}", shelf.choices[end.choice].option.name,
                     names[static_cast<std::size_t>(end.axis)]);
}

std::string words(const StopSign& s) {
  return fmt::format(
      "Stop: this moves a joint and leaves rod '{}' as it is{}. The wheel then steers itself by "
      "{}° "
      "over the window. Do not drive like that, not even round the block.",
      s.rod, s.side ? fmt::format(" on the {} side", word(*s.side)) : "", finely(s.toe_change_rad));
}

std::string words(const NothingToRank& why, Units units) {
  if (why.as_it_sits)
    return fmt::format("the {} axle as it sits: {}", word(why.axle), words(*why.as_it_sits, units));
  std::string text = fmt::format("no option moves a joint of the {} axle", word(why.axle));
  for (const auto& refused : why.refused)
    text += fmt::format("; '{}' is refused: {}", refused.option, words(refused));
  return text + "; expected an [[option]] with a joint of this axle";
}

}  // namespace trammel
