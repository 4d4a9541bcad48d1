#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "base/in_units.h"
#include "base/words.h"
#include "correct/correct.h"
#include "correct/reasons.h"
#include "correct/tables.h"
#include "told/cautions.h"
#include "told/section_table.h"
#include "travel/tell.h"

namespace trammel {
namespace {

constexpr double as_long_mm = 0.02;  // less is no change of a rod's length
constexpr double good_chance = 0.9;  // below it, measure before metal is cut
// What a rear roll centre above the front one usually is (common practice).
constexpr double rear_above_front_mm[2] = {10.0, 40.0};

// What a chance takes for granted of a side that nobody measured.
std::string mirror_words(const AxleCorrection& c) {
  if (!c.chance_of_its_own_right || !c.to_fit()->chance) return {};
  return fmt::format(
      " That is if the right side is the left one's mirror image; with a doubt of its own: {:.0f} "
      "in 100.",
      100.0 * *c.chance_of_its_own_right);
}

std::string answer_for(const AxleCorrection& c, const InUnits& t) {
  const auto& r = c.ranking;
  const auto* best = r.best();
  const std::string axle = capital(word(r.axle));
  if (c.chosen) {
    auto text = fmt::format("{}, as chosen: {}", axle, set_words(r, *c.chosen, t.units()));
    if (c.chosen->figures) text += mirror_words(c);
    if (best && !c.chosen->equal_to_best)
      text += fmt::format(" The best found is {}", set_words(r, *best, t.units()));
    return text;
  }
  if (!best)
    return fmt::format("{}: none of the {} combinations is possible: {}.", axle,
                       r.candidates.size(),
                       r.candidates.empty() ? "" : words(r.candidates.front().why, t.units()));
  if (best->meets() || best->chance.value_or(0.0) > 0.0)
    return fmt::format("{}: fit {}{}", axle, set_words(r, *best, t.units()), mirror_words(c));
  return fmt::format("{}: nothing on the shelf meets every target; the nearest is {}, where {}.",
                     axle, fit_words(r.shelf, best->fit, t.units()),
                     listed(words(best->misses, t.units())));
}

std::string before_after(const Ride& ride, const AxleCorrection& c, const InUnits& t) {
  const auto& r = c.ranking;
  const auto& set = *c.to_fit();
  const auto& f = *set.figures;
  const bool apart = told_apart(r, set.fit);
  const auto toe_change = [&](const AxleFigures& x) {
    return wheels_words(apart, x, [&](const auto& w) { return t.deg(w.toe_change_max_rad); });
  };
  const auto slope = [&](const AxleFigures& x) {
    return wheels_words(apart, x, [&](const auto& w) { return t.slope(w.bump_steer); });
  };
  std::string text = fmt::format(
      "Over {} to {} of travel the toe of a {} wheel changes by up to {} as it sits, and then by "
      "{} "
      "(wanted: {}{}); for small bumps {} becomes {}. The roll centre goes from {} to {} above the "
      "ground{}.",
      t.signed_mm(r.wanted.window_mm[0]), t.signed_mm(r.wanted.window_mm[1]), word(r.axle),
      toe_change(r.before), toe_change(f), t.deg(r.wanted.toe_change_rad),
      r.wanted.toe_change_is_usual ? ", common practice, since the file asks for nothing" : "",
      slope(r.before), slope(f), t.mm(r.before.roll_centre_height_mm),
      t.mm(f.roll_centre_height_mm),
      r.wanted.roll_centre_mm
          ? fmt::format(" (wanted: {} to {})", t.mm((*r.wanted.roll_centre_mm)[0]),
                        t.mm((*r.wanted.roll_centre_mm)[1]))
          : "");
  const auto& axle = *ride.car.at(r.axle);
  if (r.toe_is_reset) {
    const auto& a = *axle.toe_adjuster;
    const auto turns = [&](Side side) {
      return turns_words(set.toe_rod_mm[side], a.pitch_mm, a.ends, t.units());
    };
    text +=
        fmt::format(" Toe is set back to {}: rod '{}' {}{}.",
                    wheels_words(apart && f.wheel.left.toe_rad != f.wheel.right.toe_rad, f,
                                 [&](const auto& w) { return t.deg(w.toe_rad); }),
                    axle.layout.rods[static_cast<std::size_t>(a.rod)].name, apart ? "left " : "",
                    apart ? fmt::format("{}; right {}", turns(Side::left), turns(Side::right))
                          : turns(Side::left));
  } else {
    text += fmt::format(
        " The file names no adjuster for toe ([{}.adjust] toe = ...), so it is not set "
        "back: set it before you judge the curve.",
        word(r.axle));
  }
  return text;
}

// What the uncertainties mean for the decision.
std::string sure_words(const AxleCorrection& c, const InUnits& t) {
  const auto& r = c.ranking;
  const auto& set = *c.to_fit();
  const bool apart = told_apart(r, set.fit);
  const auto between = [&](Side side) {
    const auto& w = c.sure->wheel[side];
    return fmt::format("{} and {}", t.deg(w.toe_change_low_rad), t.deg(w.toe_change_high_rad));
  };
  std::string text = fmt::format(
      "With nine chances in ten the corrected toe change lies between {}{}.", between(Side::left),
      apart ? fmt::format(" left, {} right", between(Side::right)) : "");
  std::vector<std::string> to_gauge;
  for (const Side side : each_side) {
    const auto& b = c.sure->wheel[side].bump_steer;
    if ((apart || side == Side::left) && b.corrected > 1.5 * b.corrected_after_gauge)
      to_gauge.emplace_back(apart ? word(side) : "wheel");
  }
  if (!to_gauge.empty())
    text += fmt::format(
        " What a part changes is known far better than where the car starts: run two dial gauges "
        "over the travel{} before metal is cut.",
        apart ? fmt::format(" at the {} {}", word(r.axle), listed(to_gauge)) : "");
  return text;
}

std::string equal_words(const AxleCorrection& c, const InUnits& t) {
  std::vector<std::string> sets;
  for (const auto& x : c.ranking.candidates)
    if (x.equal_to_best) sets.push_back(fit_words(c.ranking.shelf, x.fit, t.units()));
  if (sets.empty()) return {};
  const auto all = sets.size();
  if (all > 3) {
    sets.resize(3);
    sets.push_back(fmt::format("{} more", all - 3));
  }
  return fmt::format("As good by all that is known, so choose by what is at hand: {}.",
                     listed(sets, "or"));
}

std::string map_words(const AxleCorrection& c, const HoleMap& m, const InUnits& t) {
  const auto& choice = c.ranking.shelf.choices[m.choice];
  constexpr std::array<const char*, 3> names{"x", "y", "z"};
  const auto name =
      m.side ? fmt::format("{}, {}", choice.option.name, word(*m.side)) : choice.option.name;
  const bool anywhere =
      std::any_of(m.meets.begin(), m.meets.end(), [](const std::vector<bool>& line) {
        return std::find(line.begin(), line.end(), true) != line.end();
      });
  std::string text;
  if (!anywhere && !m.hole_meets)
    text = fmt::format("{}: with everything else as above no place in its range meets every target",
                       name);
  else if (!m.hole_meets)
    text = fmt::format("{}: a hole at the set's place does not meet every target", name);
  else {
    text = fmt::format("{}: with everything else as above every target is met by a hole", name);
    for (const std::size_t k : {std::size_t{1}, std::size_t{0}})
      if (m.at_mm[k].size() > 1)
        text += fmt::format("{} from {} to {} in {}", k == 1 ? "" : " and",
                            t.signed_mm(m.holds_mm[k][0]), t.signed_mm(m.holds_mm[k][1]),
                            names[static_cast<std::size_t>(m.axes[k])]);
    text += fmt::format(", and anywhere within ±{} of the set's place", t.mm(m.both_ways_mm));
  }
  text += ", if the joints are exact. ";
  if (m.guessed) text += "They are guesses: that is no room for drilling. Measure first.";
  else if (m.chance.empty())
    text +=
        "From a tape survey they are not: that is the room for drilling only once a dial gauge "
        "has been run over the travel.";
  else if (m.is_room())
    text += fmt::format(
        "By what is known of them {} have nine chances in ten to meet every target, drilling by "
        "hand included: the hatched patch of the drawing is the room for the hole.",
        m.best_chance > 0.995 ? "many places" : "some places");
  else
    text += fmt::format(
        "By what is known of them no place has nine chances in ten to meet every target; the best "
        "has {:.0f} in 100. Do not drill by this patch yet: run a dial gauge over the travel "
        "first.",
        100.0 * m.best_chance);
  return capital(text);
}

std::string height_words(const Candidate& set, const InUnits& t) {
  const auto& h = *set.height;
  const bool alike = h.perch_mm.left == h.perch_mm.right;
  const auto wind = [&](Side side) {
    return fmt::format(
        "{}{}", t.mm(std::fabs(h.perch_mm[side])),
        h.perch_turns[side] ? fmt::format(" ({:.1f} turns)", std::fabs(*h.perch_turns[side])) : "");
  };
  return fmt::format(
      "The spring stands where the part goes: with its spring platform untouched the body sinks {} "
      "and the roll centre comes to {} only. Wind the platform by {}, then everything is as above.",
      alike ? t.mm(h.body_mm.left)
            : fmt::format("{} left and {} right", t.mm(h.body_mm.left), t.mm(h.body_mm.right)),
      t.mm(h.roll_centre_height_mm),
      alike ? wind(Side::left)
            : fmt::format("{} left and {} right", wind(Side::left), wind(Side::right)));
}

std::string roll_axis_words(const Ride& ride, const Correction& correction, const InUnits& t) {
  std::array<double, 2> before{}, after{};
  for (const AxleName name : {AxleName::front, AxleName::rear}) {
    const auto i = static_cast<std::size_t>(name);
    if (!ride.car.at(name)) return {};
    if (const auto& c = correction.axle[i]; c && c->to_fit()) {
      before[i] = c->ranking.before.roll_centre_height_mm;
      after[i] = c->to_fit()->figures->roll_centre_height_mm;
    } else {
      const auto& axle = *ride.car.at(name);
      double sum = 0.0;
      for (const Side side : {Side::left, Side::right}) {
        const auto& corner = ride.at(name)->at(side);
        sum +=
            read(Reading::roll_centre_height, At<double>(axle.layout, corner.mechanism, corner.at,
                                                         ground_for(side, ride.pitch_rad, 0.0)));
      }
      before[i] = after[i] = 0.5 * sum;
    }
  }
  const double rise = after[1] - after[0];
  std::string text = fmt::format(
      "Roll axis, front to rear: from {} and {} to {} and {}. The rear then stands {} {} the "
      "front; "
      "usual is 10 to 40 mm above (common practice).",
      t.mm(before[0]), t.mm(before[1]), t.mm(after[0]), t.mm(after[1]), t.mm(std::fabs(rise)),
      rise >= 0.0 ? "above" : "below");
  const bool one_end = correction.axle[0].has_value() != correction.axle[1].has_value();
  if (rise < rear_above_front_mm[0])
    text +=
        " A front that is high against the rear takes more of the load transfer: the car pushes "
        "wide.";
  if (rise > rear_above_front_mm[1])
    text +=
        " A rear that is high against the front takes more of the load transfer: the tail comes "
        "round sooner.";
  if (one_end) text += " Only one end is corrected: the roll axis tips.";
  return text;
}

// What a set does whose rod is left alone, of both axles; empty where none was judged.
std::string rod_alone_words(const Correction& correction, const InUnits& t) {
  std::string text;
  for (const auto& c : correction.axle)
    if (c && c->rod_left_alone && c->rod_left_alone->figures)
      text += fmt::format("{} {}, with {}: toe changes by {}, against {} as it sits",
                          text.empty() ? "" : ";", word(c->ranking.axle),
                          fit_words(c->ranking.shelf, c->rod_left_alone->fit, t.units()),
                          t.deg(c->rod_left_alone->figures->worse().toe_change_max_rad),
                          t.deg(c->ranking.before.worse().toe_change_max_rad));
  if (text.empty()) return {};
  return "never fit one without the other:" + text +
         ". Do not drive like that, not even round the block.";
}

}  // namespace

std::string chance_words(double chance) {
  if (chance > 0.995) return "more than 99 chances in 100";
  if (chance > 0.945) return fmt::format("{:.0f} chances in 100", 100.0 * chance);
  if (chance < 0.05) return "less than 1 chance in 20";
  const auto tenths = std::clamp(std::lround(10.0 * chance), 1L, 9L);
  return fmt::format("{} chance{} in 10", tenths, tenths == 1 ? "" : "s");
}

std::string rule_words(const AxleCorrection& c, Units units) {
  if (!c.rule) return {};
  const InUnits t(units);
  const auto& r = *c.rule;
  // The rule is taken at the left wheel, and so are both figures.
  const auto& best = c.to_fit()->figures->wheel.left;
  const auto& f = r.candidate.figures->wheel.left;
  std::string text = fmt::format(
      "The rule of thumb, rod '{}' parallel to {}, would move it by {} where the set moves it "
      "by {}: toe{} would change by {} instead of {} ({} against {}).",
      r.rod, r.arm, t.mm(r.move_mm),
      words(c.ranking.shelf.choices[r.choice], c.to_fit()->fit, r.choice, t.units()),
      told_apart(c.ranking, c.to_fit()->fit) ? " of the left wheel" : "",
      t.deg(f.toe_change_max_rad), t.deg(best.toe_change_max_rad), t.slope(f.bump_steer),
      t.slope(best.bump_steer));
  if (r.instant_centre_y_mm && r.instant_centre_z_mm && std::fabs(*r.instant_centre_y_mm) < 2e4) {
    text += fmt::format(
        " The rod should not be parallel to the arm but point where the upright turns: {} {} the "
        "car's "
        "middle, {} high. From where it sits that is a slope of {}, the arm's is {}; and its "
        "length "
        "should be the one that belongs to that height.",
        t.mm(std::fabs(*r.instant_centre_y_mm)),
        *r.instant_centre_y_mm < 0.0 ? "beyond" : "short of", t.mm(*r.instant_centre_z_mm),
        t.deg(r.set_slope_rad), t.deg(r.arm_slope_rad));
  }
  return text;
}

std::string fit_words(const Shelf& shelf, const Fit& fit, Units units) {
  std::vector<std::string> parts;
  for (std::size_t i = 0; i < shelf.choices.size(); ++i) {
    const auto& choice = shelf.choices[i];
    if (choice.made_to_measure()) {
      parts.push_back(fmt::format("{} at {}", choice.option.name, words(choice, fit, i, units)));
    } else if (!fit.part[i].left.nothing() || !fit.part[i].right.nothing()) {
      parts.push_back(
          sides_alike(fit) || fit.part[i].left == fit.part[i].right
              ? fmt::format("{} {}", words(choice, fit, i, units), choice.option.name)
              : fmt::format("{} ({})", choice.option.name, words(choice, fit, i, units)));
    } else {
      parts.push_back(fmt::format("no {}", choice.option.name));
    }
  }
  return listed(parts);
}

std::string turn_count_words(int quarter_flats) {
  constexpr int quarters_per_flat = 4, flats_per_turn = 6;
  const int turns = quarter_flats / (quarters_per_flat * flats_per_turn);
  const int rest = quarter_flats % (quarters_per_flat * flats_per_turn);
  std::vector<std::string> parts;
  if (turns > 0) parts.push_back(fmt::format("{} turn{}", turns, turns == 1 ? "" : "s"));
  constexpr std::array<const char*, 4> part{"", "¼", "½", "¾"};
  const int flats = rest / quarters_per_flat;
  const auto* of_one = part[static_cast<std::size_t>(rest % quarters_per_flat)];
  if (rest > 0 && flats == 0) parts.push_back(fmt::format("{} flat", of_one));
  else if (rest > 0 || turns == 0)
    parts.push_back(
        fmt::format("{}{} flat{}", flats, of_one, rest == quarters_per_flat ? "" : "s"));
  return listed(parts);
}

std::string rod_turn_words(double longer_mm, double pitch_mm, int ends) {
  if (pitch_mm <= 0.0 || std::fabs(longer_mm) < as_long_mm) return "";
  // A turn of a turnbuckle moves both ends.
  const int flats = static_cast<int>(std::lround(6.0 * std::fabs(longer_mm) / (pitch_mm * ends)));
  return fmt::format("{} {}", turn_count_words(4 * flats), longer_mm > 0.0 ? "out" : "in");
}

std::string turns_words(double longer_mm, double pitch_mm, int ends, Units units) {
  if (std::fabs(longer_mm) < as_long_mm) return "stays as long as it is";
  std::string text = fmt::format("{} {} {}", shown(std::fabs(longer_mm), Measure::length, units),
                                 shown_unit(Measure::length, units).symbol,
                                 longer_mm > 0.0 ? "longer" : "shorter");
  if (const auto turns = rod_turn_words(longer_mm, pitch_mm, ends); !turns.empty())
    text += ": " + turns;
  return text;
}

std::string set_words(const Ranking& ranking, const Candidate& set, Units units) {
  const auto fits = fit_words(ranking.shelf, set.fit, units);
  if (!set.figures) return fmt::format("{}: not possible, {}.", fits, words(set.why, units));
  if (set.chance && *set.chance > 0.0)
    return fmt::format("{}: {} to meet every target{}.", fits, chance_words(*set.chance),
                       *set.chance < good_chance ? ", as well as the joints are known today" : "");
  if (ranking.guessed) return fmt::format("{}: no chance is named while joints are guesses.", fits);
  if (set.meets() && !set.chance) return fmt::format("{}. That meets every target.", fits);
  if (set.meets()) return fmt::format("{}: {} to meet every target.", fits, chance_words(0.0));
  return fmt::format("{}: {}.", fits, listed(words(set.misses, units)));
}

Section tell(const Ride& ride, const Correction& correction, Units units) {
  const InUnits t(units);
  auto s = begun(SectionId::correct);
  for (const AxleName name : {AxleName::front, AxleName::rear}) {
    const auto& c = correction.at(name);
    const auto& why = correction.why[static_cast<std::size_t>(name)];
    if (c) s.answer += (s.answer.empty() ? "" : " ") + answer_for(*c, t);
    else if (why)
      s.answer += fmt::format("{}{}: {}.", s.answer.empty() ? "" : " ", capital(word(name)),
                              words(*why, units));
  }
  for (const AxleName name : {AxleName::front, AxleName::rear}) {
    const auto& c = correction.at(name);
    if (!c) continue;
    if (const auto* set = c->to_fit()) {
      s.blocks.emplace_back(candidates_table(*c, units, true));
      s.working.emplace_back(Paragraph{before_after(ride, *c, t)});
      s.working.emplace_back(figures_table(c->ranking, *set, units));
      s.working.emplace_back(candidates_table(*c, units));
      if (const auto equal = equal_words(*c, t); !equal.empty())
        s.working.emplace_back(Paragraph{equal});
      if (c->sure && !c->ranking.guessed) {
        s.working.emplace_back(sureness_table(*c, units));
        s.working.emplace_back(Paragraph{sure_words(*c, t)});
      }
      if (set->stop) s.blocks.emplace_back(Caution{words(*set->stop)});
      std::vector<std::string> ended;
      for (const auto& end : set->range_ends) ended.push_back(words(end, c->ranking.shelf));
      if (!ended.empty())
        s.blocks.emplace_back(Paragraph{fmt::format(
            "{} ended at the end of its range: with more range the curve could be flatter.",
            capital(listed(ended)))});
      if (c->rule) s.working.emplace_back(Paragraph{rule_words(*c, units)});
      for (const auto& map : c->maps) s.working.emplace_back(Paragraph{map_words(*c, map, t)});
      if (set->height) s.working.emplace_back(Paragraph{height_words(*set, t)});
    }
    for (const auto& refused : c->ranking.shelf.refused)
      s.blocks.emplace_back(Paragraph{
          fmt::format("'{}' is refused as a correction: {}.", refused.option, words(refused))});
    for (const auto& left : c->ranking.shelf.left_out)
      s.blocks.emplace_back(Paragraph{"Left out: " + words(left, units) + "."});
  }
  if (const auto alone = rod_alone_words(correction, t); !alone.empty())
    s.blocks.emplace_back(Caution{alone});
  if (const auto axis = roll_axis_words(ride, correction, t); !axis.empty())
    s.working.emplace_back(Paragraph{axis});
  const bool exact = std::none_of(correction.axle.begin(), correction.axle.end(),
                                  [](const auto& c) { return c && c->sure; });
  if (exact)
    s.blocks.emplace_back(Paragraph{
        "How sure: the file gives its joints without ±, so the figures stand without one and no "
        "chance is named. From a tape survey they may be off by 0.08° per 25 mm (one standard "
        "uncertainty), all candidates alike: write what was measured into [[reading]] rows, or a ± "
        "at the joints, and run a dial gauge over the travel before metal is cut."});
  s.blocks.emplace_back(Caution{caution({Care::not_approved, Care::law, Care::sweep_by_hand})});
  return s;
}

}  // namespace trammel
