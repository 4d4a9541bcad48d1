#include "file/tell.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/words.h"
#include "told/section_table.h"

namespace trammel {
namespace {

std::string layout_words(const Layout& l) {
  std::vector<std::string> members;
  for (const auto& arm : l.arms) members.push_back(fmt::format("arm '{}' (2)", arm.name));
  for (const auto& rod : l.rods) {
    std::string where = rod.steered() ? ", steered" : "";
    if (rod.inner_on.on == Carrier::arm)
      where = fmt::format(", on arm '{}'", l.arms[static_cast<std::size_t>(rod.inner_on.arm)].name);
    members.push_back(fmt::format("rod '{}' (1{})", rod.name, where));
  }
  if (l.strut) members.emplace_back("strut (2)");
  if (l.swing) members.push_back(fmt::format("swing arm '{}' (5)", l.swing->name));
  return listed(members);
}

std::string holding_words(const Layout& l) {
  const auto arms = l.arms.size(), rods = l.rods.size();
  if (l.swing) {
    return "trailing or semi-trailing arm";
  }
  if (l.strut && arms == 1 && rods == 1) return "strut";
  if (l.strut && arms == 0 && rods == 3) return "strut with three rods";
  if (arms == 2 && rods == 1) return "double wishbone";
  if (arms == 0 && rods == 5) return "five rods";
  return "a layout of its own";
}

}  // namespace

Section tell(const Car& car, const Wishes& wishes, const Survey& survey, Units units) {
  auto s = begun(SectionId::car);
  std::vector<std::string> axles;
  for (const auto& axle : car.axle)
    if (axle)
      axles.push_back(fmt::format("{} {}", word(axle->layout.axle), holding_words(axle->layout)));
  s.answer = fmt::format("{}: {}. Every member adds up, nothing is at fault.",
                         car.name.empty() ? "A car without a name" : car.name, listed(axles));
  for (const auto& axle : car.axle) {
    if (!axle) continue;
    const auto& l = axle->layout;
    std::string text =
        fmt::format("{} axle: {}. Five equations hold each upright and leave its travel. ",
                    l.axle == AxleName::front ? "Front" : "Rear", layout_words(l));
    const bool right_read =
        std::any_of(survey.readings.begin(), survey.readings.end(), [&](const TakenReading& r) {
          return r.spot.of != Spot::Of::datum && r.spot.axle == l.axle &&
                 r.spot.side == Side::right;
        });
    text += right_read
                ? "The right side begins as the mirror image of the left, or as given; it was "
                  "measured by itself."
            : axle->right_is_mirrored ? "The right side is the mirror image of the left."
                                      : "The right side is given where it differs from the left.";
    if (!axle->camber_given) text += " No camber is given: taken as 0°.";
    if (!axle->toe_given) text += " No toe is given: taken as 0°.";
    if (axle->toe_adjuster)
      text += fmt::format(" Toe is set by rod '{}'.",
                          l.rods[static_cast<std::size_t>(axle->toe_adjuster->rod)].name);
    const auto sigma = [](const Vec3<double>& v) { return v.x > 0.0 || v.y > 0.0 || v.z > 0.0; };
    std::size_t uncertain = 0;
    for (const auto& v : axle->at(Side::left).sigma_mm) uncertain += sigma(v) ? 1 : 0;
    text +=
        fmt::format(" {} joints and the wheel centre, {} with an uncertainty.", l.points.size() - 1,
                    uncertain == l.points.size() ? "all"
                    : uncertain == 0             ? "none"
                                                 : std::to_string(uncertain));
    s.blocks.emplace_back(Paragraph{text});
  }
  if (!car.states.empty()) {
    std::vector<std::string> states;
    for (const auto& state : car.states) {
      std::vector<std::string> heights;
      for (const AxleName a : {AxleName::front, AxleName::rear})
        if (car.at(a))
          heights.push_back(fmt::format("{} {} {}{}", word(a),
                                        shown_signed(state.at(a).height_mm, Measure::length, units),
                                        shown_unit(Measure::length, units).symbol,
                                        state.at(a).toe_rad ? " with its toe set there" : ""));
      states.push_back(fmt::format("{} ({})", state.name, listed(heights)));
    }
    s.blocks.emplace_back(
        Paragraph{"Ride states, body height against as measured: " + listed(states) + "."});
  }
  if (!wishes.options.empty()) {
    std::vector<std::string> options;
    for (const auto& o : wishes.options) {
      const auto& points = car.at(o.axle)->layout.points;
      options.push_back(fmt::format("{} (moves {}.{})", o.name, word(o.axle),
                                    points[static_cast<std::size_t>(o.joint)]));
    }
    s.blocks.emplace_back(Paragraph{"What can be changed: " + listed(options) + "."});
  }
  if (!survey.empty())
    s.blocks.emplace_back(
        Paragraph{fmt::format("What was measured: {} reading{} and {} gauge run{}. The step "
                              "measure says what they make of "
                              "the joints.",
                              survey.readings.size(), survey.readings.size() == 1 ? "" : "s",
                              survey.gauges.size(), survey.gauges.size() == 1 ? "" : "s")});
  if (!survey.after.empty())
    s.blocks.emplace_back(Paragraph{fmt::format(
        "With parts fitted: {} gauge run{}. The step prove judges {}.", survey.after.size(),
        survey.after.size() == 1 ? "" : "s", survey.after.size() == 1 ? "it" : "them")});
  return s;
}

}  // namespace trammel
