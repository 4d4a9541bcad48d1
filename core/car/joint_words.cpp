#include "car/joint_words.h"

#include <fmt/format.h>

namespace trammel {

std::string joint_words(const Layout& l, int point) {
  if (point == 0) return "hub centre";
  for (const auto& arm : l.arms) {
    if (point == arm.upright) return fmt::format("ball joint of arm '{}'", arm.name);
    if (point == arm.body_front) return fmt::format("front inner joint of arm '{}'", arm.name);
    if (point == arm.body_rear) return fmt::format("rear inner joint of arm '{}'", arm.name);
  }
  for (const auto& rod : l.rods) {
    if (point == rod.upright) return fmt::format("outer joint of rod '{}'", rod.name);
    if (point == rod.inner) return fmt::format("inner joint of rod '{}'", rod.name);
  }
  if (l.strut && point == l.strut->top) return "strut's top mount";
  if (l.strut && point == l.strut->foot) return "dot on the strut's tube";
  if (l.swing && point == l.swing->pivot_inner)
    return fmt::format("inner pivot of arm '{}'", l.swing->name);
  if (l.swing && point == l.swing->pivot_outer)
    return fmt::format("outer pivot of arm '{}'", l.swing->name);
  const auto line_end = [&](const std::optional<LineOf>& line, const char* name) -> std::string {
    if (line && point == line->top) return fmt::format("{}, top", name);
    if (line && point == line->foot) return fmt::format("{}, foot", name);
    return {};
  };
  if (auto words = line_end(l.spring, "spring"); !words.empty()) return words;
  if (auto words = line_end(l.damper, "damper"); !words.empty()) return words;
  if (l.bar && point == l.bar->pivot) return "roll bar, pivot";
  if (l.bar && point == l.bar->link_bar) return "drop link, end on the roll bar";
  if (l.bar && point == l.bar->link) return "drop link, far end";
  return l.points[static_cast<std::size_t>(point)];
}

}  // namespace trammel
