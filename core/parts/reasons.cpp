#include "parts/reasons.h"

#include <fmt/format.h>

#include "base/in_units.h"
#include "travel/reasons.h"

namespace trammel {
namespace {

std::string_view carrier_word(Moves moves) {
  return moves == Moves::upright ? "upright" : moves == Moves::body ? "body" : "arm";
}

std::string of_a_wheel(const NotPossible& why, const InUnits& t) {
  switch (why.of) {
    case NotPossible::Of::no_position:
      return "with these parts the wheel has no position at ride height: the members do not reach";
    case NotPossible::Of::adjusters_too_short:
      return words(CannotSet{why.axle});
    case NotPossible::Of::locks:
      return fmt::format("with these parts the mechanism locks within {} to {} {} of travel",
                         t.as_given(why.window_mm[0]), t.as_given(why.window_mm[1]),
                         t.unit(Measure::length));
  }
  return {};
}

}  // namespace

std::string words(const NotPossible& why, Units units) {
  const auto text = of_a_wheel(why, InUnits(units));
  return why.side ? fmt::format("{} side: {}", word(*why.side), text) : text;
}

std::string words(const Refused& r) {
  switch (r.of) {
    case Refused::Of::beside_its_joint:
      return "a part between a member and its joint leaves the joint where it is on the upright: "
             "it moves neither the roll centre nor the instant centre, and corrects nothing";
    case Refused::Of::other_carrier:
      return fmt::format("the joint {} is on the {}, not on the {}", r.joint,
                         carrier_word(r.carrier), carrier_word(r.asked));
    case Refused::Of::holds_nothing:
      return fmt::format("{} holds nothing: moving it does not move the wheel", r.joint);
    case Refused::Of::no_steering_axis:
      return "'along' is the steering axis, and this axle does not steer";
    case Refused::Of::no_sizes:
      return "its list of sizes is empty";
  }
  return {};
}

std::string words(const NotTried& l, Units units) {
  const InUnits t(units);
  switch (l.of) {
    case NotTried::Of::tall_stacks:
      return fmt::format("'{}': {} pieces make too many stacks; those up to {} {} were tried",
                         l.option, l.pieces, t.as_given(l.up_to_mm), t.unit(Measure::length));
    case NotTried::Of::combinations:
      return fmt::format(
          "{:.0f} combinations are too many: {:.0f} of them were tried, every second size of the "
          "longest lists left out",
          l.all, l.tried);
  }
  return {};
}

}  // namespace trammel
