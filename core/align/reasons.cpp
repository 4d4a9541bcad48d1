#include "align/reasons.h"

#include <fmt/format.h>

#include "base/in_units.h"

namespace trammel {

std::string words(Assumed what) {
  switch (what) {
    case Assumed::apart_from_day_before:
      return "What was read does not agree with the day before and the turns written down since: "
             "it "
             "is taken by itself. Was every turn written down, and every lock nut tight?";
    case Assumed::rim_as_read_once:
      return "A rim was read in one place only: a bent rim is part of its toe. Roll the car on by "
             "half a turn of the wheels and read again.";
    case Assumed::strings_parallel:
      return "String to hub was not read at all four wheels: the strings are taken as parallel to "
             "the car, to a millimetre at each end.";
  }
  return {};
}

std::string words(const NotRead& what) {
  switch (what.of) {
    case NotRead::Of::steering_ratio:
      return "The steering wheel was not straight and the file does not say how it is geared: put "
             "steering_ratio into [body] (turns of the steering wheel for one of a road wheel, "
             "often "
             "14 to 20), or hold it straight and read again. Until then only their total counts.";
    case NotRead::Of::toe:
      return fmt::format("Toe of the {} axle: strings or toe plates.", word(what.axle));
    case NotRead::Of::which_wheel:
      return fmt::format(
          "Toe plates give the {} axle's total toe alone: strings say which wheel it comes from.",
          word(what.axle));
  }
  return {};
}

std::string words(const LeftAlone& l, Units units) {
  const InUnits t(units);
  const auto of_wheel = fmt::format("{} of the {} {} wheel", capital(std::string(word(l.what))),
                                    word(l.axle), word(l.side));
  switch (l.of) {
    case LeftAlone::Of::not_as_read:
      return fmt::format(
          "The {} {} wheel does not stand as it was read at any length of its adjusters: look at "
          "the readings.",
          word(l.axle), word(l.side));
    case LeftAlone::Of::nothing_sets_it:
      return fmt::format(
          "{} is {}, wanted {} to {}{}: the file names nothing that sets it ([{}.adjust] {} = "
          "...).",
          of_wheel, t.deg(l.is_rad), t.deg(l.wanted.middle_rad - l.wanted.half_rad),
          t.deg(l.wanted.middle_rad + l.wanted.half_rad),
          l.wanted.usual && l.what != AlignWhat::toe ? ", so that both sides are alike" : "",
          word(l.axle), word(l.what));
    case LeftAlone::Of::out_of_reach:
      return fmt::format("{} is {}, wanted {}: no length of its adjuster gives that.", of_wheel,
                         t.deg(l.is_rad), t.deg(l.wanted.middle_rad));
    case LeftAlone::Of::toe_not_read:
      return fmt::format(
          "{} was not read, and what is turned there moves it by {}: read and set it afterwards.",
          of_wheel, t.deg(l.is_rad));
  }
  return {};
}

}  // namespace trammel
