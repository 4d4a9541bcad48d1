#include <fmt/format.h>

#include <algorithm>

#include "base/in_units.h"
#include "correct/advice.h"
#include "told/cautions.h"
#include "told/section_table.h"

namespace trammel {
namespace {

constexpr std::size_t shown_advices = 8;
constexpr double worth_saying = 0.01;  // of a chance

}  // namespace

std::string first_advice(const Advices& a, NarrowWhat what, Units units) {
  if (a.best.empty()) return {};
  const InUnits t(units);
  const auto per = shown_unit(Measure::angle_per_length, units);
  const auto& first = a.best.front();
  const bool by_chance = what == NarrowWhat::chance && a.chance_today;
  if (what == NarrowWhat::chance && a.guessed)
    return "height and plumb mark of every joint. While they are guesses no single reading decides "
           "anything.";
  if (by_chance && first.gain < worth_saying)
    return "nothing that can be read would help the choice much.";
  if (by_chance)
    return fmt::format(
        "{}. It raises your odds, on average over what it may read, from {:.0f} to {:.0f} in 100.",
        first.action.what, 100.0 * *a.chance_today, 100.0 * *first.chance_after);
  return fmt::format(
      "{}. It narrows {} from ± {} to ± {}.", first.action.what,
      what == NarrowWhat::roll_centre ? "the roll centre" : "the bump steer",
      what == NarrowWhat::roll_centre ? shown(a.roll_centre_sigma, Measure::length, units)
                                      : fmt::format("{:.3f}", a.bump_steer_sigma * per.per_inside),
      what == NarrowWhat::roll_centre
          ? t.mm(first.roll_centre_sigma)
          : fmt::format("{:.3f} {}", first.bump_steer_sigma * per.per_inside, per.symbol));
}

Section tell(const std::vector<Advices>& axles, NarrowWhat what, Units units) {
  auto s = begun(SectionId::measure_next);
  const auto per = shown_unit(Measure::angle_per_length, units);
  const InUnits t(units);
  for (const auto& a : axles) {
    if (a.best.empty()) continue;
    const std::string axle = capital(word(a.axle));
    const auto text = fmt::format("{}: {}", axle, first_advice(a, what, units));
    s.answer += (s.answer.empty() ? "" : " ") + text;
    Grid g;
    g.title = fmt::format("{} axle: what each reading is worth", axle);
    g.heads = {"reading", "chance then", "bump steer", "roll centre"};
    g.units = {"", "%", fmt::format("± {}", per.symbol),
               fmt::format("± {}", t.unit(Measure::length))};
    g.rows.push_back({"as it is today",
                      a.chance_today ? fmt::format("{:.0f}", 100.0 * *a.chance_today) : "-",
                      fmt::format("{:.3f}", a.bump_steer_sigma * per.per_inside),
                      shown(a.roll_centre_sigma, Measure::length, units)});
    for (std::size_t i = 0; i < std::min(shown_advices, a.best.size()); ++i) {
      const auto& x = a.best[i];
      g.rows.push_back({x.action.what,
                        x.chance_after ? fmt::format("{:.0f}", 100.0 * *x.chance_after) : "-",
                        fmt::format("{:.3f}", x.bump_steer_sigma * per.per_inside),
                        shown(x.roll_centre_sigma, Measure::length, units)});
    }
    s.working.emplace_back(std::move(g));
    // How the first of each tool is taken.
    std::vector<std::string> tools;
    for (std::size_t i = 0; i < std::min(shown_advices, a.best.size()) && tools.size() < 3; ++i) {
      const auto& x = a.best[i].action;
      if (std::find(tools.begin(), tools.end(), x.tool) != tools.end()) continue;
      tools.push_back(x.tool);
      s.working.emplace_back(
          Paragraph{fmt::format("{}, with {}: {}.", capital(x.what), x.tool, x.how)});
    }
  }
  if (!s.working.empty()) {
    const std::string springs_out = "A gauge run is made with the springs out. ";
    s.blocks.emplace_back(Caution{springs_out + caution(Care::spring_out)});
    s.working.emplace_back(Caution{springs_out + gauge_run_cautions()});
  }
  if (s.answer.empty())
    s.answer =
        "Nothing in the file is uncertain: it states no ± and holds no readings, so no "
        "reading can be said to help.";
  return s;
}

}  // namespace trammel
