#include "travel/reasons.h"

#include <fmt/format.h>

#include <vector>

#include "base/words.h"

namespace trammel {
namespace {

std::string missing_words(const NoBalance::Missing& m) {
  using Of = NoBalance::Missing::Of;
  switch (m.of) {
    case Of::corner_weights:
      return "corner_weights under [body] (scales, or a weighbridge axle by axle)";
    case Of::centre_of_gravity:
      return "centre_of_gravity_height under [body]";
    case Of::lighter_unsprung:
      return "unsprung weights below the corner weights";
    case Of::axle:
      return fmt::format("the {} axle", word(m.axle));
    case Of::spring:
      return fmt::format("[{}.spring] with its rate and its two ends", word(m.axle));
  }
  return {};
}

// "12.5 mm"
std::string travel_words(double mm, Units units) {
  return fmt::format("{} {}", shown(mm, Measure::length, units),
                     shown_unit(Measure::length, units).symbol);
}

}  // namespace

std::string words(const CannotSet& why) {
  return fmt::format("the {} wheels cannot be set as asked: no length of the adjuster reaches it",
                     word(why.axle));
}

std::string words(const NotStanding& why, Units units) {
  switch (why.of) {
    case NotStanding::Of::locks:
      return fmt::format(
          "in state '{}' the {} {} wheel has no position: its mechanism locks {} {} the height as "
          "measured",
          why.state, word(why.axle), word(why.side), travel_words(why.by_mm, units),
          why.above ? "above" : "below");
    case NotStanding::Of::cannot_set:
      return fmt::format("in state '{}' {}", why.state, words(CannotSet{why.axle}));
    case NotStanding::Of::no_state:
      return fmt::format("'{}' is no state of the car", why.state);
    case NotStanding::Of::said:
      return why.words;
  }
  return {};
}

std::string words(const Locked& l, Units units) {
  const auto mm = [&](double x) { return travel_words(x, units); };
  std::string text = fmt::format(
      "the {} {} wheel has no position at travel {}{}{}: its mechanism locks on the way; the "
      "nearest travel that has one is {}",
      word(l.axle), word(l.side), mm(l.travel_mm),
      l.rack_mm != 0.0 ? fmt::format(", rack {}", mm(l.rack_mm)) : "",
      l.roll_rad != 0.0 ? fmt::format(", roll {}°", shown(l.roll_rad, Measure::angle, units)) : "",
      mm(l.nearest_travel_mm));
  if (l.rack_mm != 0.0) text += fmt::format(" with the rack at {}", mm(l.nearest_rack_mm));
  return text;
}

std::string words(NoForces why) {
  switch (why) {
    case NoForces::nothing_holds_it_up:
      return "nothing holds the wheel up: the file has no spring, strut or damper here";
    case NoForces::locked_position:
      return "the wheel is in a locked position: no forces hold it there";
  }
  return {};
}

std::string words(const NoBalance& why) {
  switch (why.of) {
    case NoBalance::Of::missing: {
      std::vector<std::string> all;
      for (const auto& one : why.missing) all.push_back(missing_words(one));
      return "needs " + listed(all);
    }
    case NoBalance::Of::stop_overloaded:
      return fmt::format(
          "the {0} {1} bump stop, pressed as [{0}.stop] says, would carry more than stands on its "
          "wheel: its gap or its lengths are wrong",
          word(why.axle), word(why.side));
    case NoBalance::Of::no_position:
      return fmt::format("at {:.2f} g the body finds no balance that every wheel can follow",
                         why.side_g);
    case NoBalance::Of::falls_over:
      return "the springs and bars give less than the body's weight takes as it leans: it falls "
             "over";
  }
  return {};
}

}  // namespace trammel
