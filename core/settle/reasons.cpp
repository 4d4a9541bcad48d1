#include "settle/reasons.h"

#include <fmt/format.h>

namespace trammel {
namespace {

std::string loose_words(const Unwell& u, const InUnits& t) {
  std::string by;
  if (u.by != Unwell::By::either) {
    const bool by_length = u.by == Unwell::By::free_length;
    by =
        fmt::format(" by its {} ({} by its {})", by_length ? "free length" : "weight",
                    u.other_mm > 0.0 ? whole_mm(u.other_mm, t)
                                     : fmt::format("still pressed by {}", whole_mm(-u.other_mm, t)),
                    by_length ? "weight" : "free length");
  }
  return fmt::format(
      "the {} one is loose by {} at full droop{}: fit a helper spring or limit the droop",
      word(u.side), whole_mm(u.is_mm, t), by);
}

}  // namespace

std::string whole_mm(double mm, const InUnits& t) {
  return t.units() == Units::inch ? t.mm(mm) : fmt::format("{:.0f}\u00a0mm", mm);
}

std::string words(const Sprung& l) {
  return fmt::format("{} {}", word(l.axle),
                     l.of == Sprung::Of::spring      ? "spring"
                     : l.of == Sprung::Of::bump_stop ? "bump stop"
                                                     : "drop links");
}

std::string words(const Unwell& u, Units units) {
  const InUnits t(units);
  switch (u.of) {
    case Unwell::Of::loose:
      return loose_words(u, t);
    case Unwell::Of::coils_solid:
      return fmt::format(
          "the coils of the {} one are solid {} before the stop is: the spring ends the travel, "
          "steel on steel",
          word(u.side), t.mm(u.is_mm));
    case Unwell::Of::coils_close:
      return fmt::format(
          "with the stop solid only {} are left before the coils of the {} one touch, {} wanted "
          "(common practice)",
          t.mm(u.is_mm), word(u.side), whole_mm(before_bind_mm, t));
    case Unwell::Of::free_length:
      return fmt::format(
          "weight and rate make the {} one {} long when free, the file says {}: one of the three, "
          "or where its seats are, is wrong",
          word(u.side), t.mm(u.is_mm), t.mm(u.other_mm));
    case Unwell::Of::pressed:
      return fmt::format("the {} one is pressed at ride height: the car rides on it", word(u.side));
    case Unwell::Of::little_gap:
      return fmt::format("{} of clearance at ride height on the {}, {} at least (common practice)",
                         t.mm(u.is_mm), word(u.side), whole_mm(gap_least_mm, t));
    case Unwell::Of::metal_to_metal:
      return "the damper closes before it is solid: metal meets metal";
    case Unwell::Of::over_centre:
      return fmt::format(
          "lever and {} link come near one line over the travel: the bar may go over centre and "
          "lock",
          word(u.side));
  }
  return {};
}

Unjudged unjudged(const SprungNotJudged& n, Units /*units*/) {
  const auto key = [&](std::string_view what) { return fmt::format("[{}.{}", word(n.axle), what); };
  constexpr const char *droop = "whether it stays in its seats at full droop",
                       *coils = "whether its coils touch before the stop is solid",
                       *load = "whether its free length and its load agree";
  using Of = SprungNotJudged::Of;
  switch (n.of) {
    case Of::droop_of_placed:
      return {droop, key("spring] free_length, or corner_weights under [body]")};
    case Of::droop_of_unplaced:
      return {droop, key("spring] top, foot, rate and free_length")};
    case Of::droop_taken:
      return {droop, fmt::format("[{0}.damper] open, or [{0}.stop] droop", word(n.axle))};
    case Of::coils:
      return {coils, key("spring] solid_length, or wire and coils")};
    case Of::coils_and_stop:
      return {coils, fmt::format("[{0}.stop] gap, free_length and solid_length, and [{0}.spring] "
                                 "solid_length",
                                 word(n.axle))};
    case Of::load:
      return {load, fmt::format("corner_weights under [body], and [{}.spring] rate", word(n.axle))};
    case Of::free_length:
      return {load, key("spring] free_length")};
    case Of::gap:
      return {"its clearance at ride height", key("stop] gap")};
    case Of::solid_stop:
      return {"where it is solid", key("stop] free_length and solid_length")};
    case Of::closed_damper:
      return {"whether it is solid before the damper closes", key("damper] closed")};
    case Of::links:
      return {"their angle over the travel", key("roll_bar] pivot, link_bar and link")};
  }
  return {};
}

std::string words(const Settling::Wanting& w) {
  const auto of_axle = [&](std::string_view what) {
    return fmt::format("[{}.{}", word(w.axle), what);
  };
  using Of = Settling::Wanting::Of;
  switch (w.of) {
    case Of::corner_weights:
      return "corner_weights under [body], driver in, from four scales or a weighbridge axle by "
             "axle: for static spring force, frequency, roll and cross weight";
    case Of::unsprung:
      return "unsprung under [body], what wheels, brakes and half of the arms weigh (bathroom "
             "scales): until then all of the weight is taken to stand on the springs";
    case Of::centre_of_gravity:
      return "centre_of_gravity_height under [body]: for roll, load transfer and anti-dive";
    case Of::spring_ends:
      return of_axle(
          "spring] with top and foot, where the spring sits: for its ratio, rate and captivity");
    case Of::spring_rate:
      return of_axle(
          "spring] rate, from its marking or a scale under a press: for wheel rate and roll");
    case Of::free_length:
      return of_axle("spring] free_length, the spring on the bench: whether it stays captive");
    case Of::tyre_rate:
      return of_axle(
          "wheel] tyre_rate, about 150 to 250 N/mm by size and pressure (common practice)");
    case Of::damper:
      return of_axle("damper] with open and closed length: for where the travel ends");
    case Of::damper_lengths:
      return of_axle("damper] open and closed, measured off the car: for where the travel ends");
    case Of::stop_gap:
      return of_axle(
          "stop] gap, from a cable tie pushed up the damper's rod: how soon the stop is touched");
    case Of::stop_lengths:
      return of_axle(
          "stop] free_length and solid_length (about 0.4 of it): where the stop is solid");
    case Of::stop_rate:
      return of_axle(
          "stop] rate, N/mm as the rubber is first pressed on a scale: what it gives in a bend");
    case Of::bar_rate:
      return of_axle("roll_bar] rate: until then the axle is taken to have no bar");
  }
  return {};
}

}  // namespace trammel
