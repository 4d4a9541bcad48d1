#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "base/cautions.h"
#include "base/in_units.h"
#include "car/table_reader.h"
#include "correct/correct.h"
#include "travel/tell.h"

namespace trammel {
namespace {

constexpr std::size_t shown_candidates = 8;
constexpr double good_chance = 0.9;  // below it, measure before metal is cut
// What a rear roll centre above the front one usually is (common practice).
constexpr double rear_above_front_mm[2] = {10.0, 40.0};

std::string answer_for(const AxleCorrection& c, const InUnits& t) {
  const auto& r = c.ranking;
  const auto* best = r.best();
  const std::string axle = capital(word(r.axle));
  if (c.chosen) {
    auto text = fmt::format("{}, as chosen: {}", axle, set_words(r, *c.chosen, t.units()));
    if (best && !c.chosen->equal_to_best)
      text += fmt::format(" The best found is {}", set_words(r, *best, t.units()));
    return text;
  }
  if (!best)
    return fmt::format("{}: none of the {} combinations is possible: {}.", axle,
                       r.candidates.size(), r.candidates.empty() ? "" : r.candidates.front().why);
  if (best->meets() || best->chance.value_or(0.0) > 0.0)
    return fmt::format("{}: fit {}", axle, set_words(r, *best, t.units()));
  return fmt::format("{}: nothing on the shelf meets every target; the nearest is {}, where {}.",
                     axle, fit_words(r.shelf, best->fit, t.units()), listed(best->misses));
}

std::string before_after(const Ride& ride, const AxleCorrection& c, const InUnits& t) {
  const auto& r = c.ranking;
  const auto& f = *c.to_fit()->figures;
  std::string text = fmt::format(
      "Over {} to {} of travel the toe of a {} wheel changes by up to {} as it sits and {} then "
      "(wanted: {}{}); for small bumps {} becomes {}. The roll centre goes from {} to {} above the "
      "ground{}.",
      t.signed_mm(r.wanted.window_mm[0]), t.signed_mm(r.wanted.window_mm[1]), word(r.axle),
      t.deg(r.before.toe_change_max_rad), t.deg(f.toe_change_max_rad),
      t.deg(r.wanted.toe_change_rad),
      r.wanted.toe_change_is_usual ? ", common practice, since the file asks for nothing" : "",
      t.slope(r.before.bump_steer), t.slope(f.bump_steer), t.mm(r.before.roll_centre_height_mm),
      t.mm(f.roll_centre_height_mm),
      r.wanted.roll_centre_mm
          ? fmt::format(" (wanted: {} to {})", t.mm((*r.wanted.roll_centre_mm)[0]),
                        t.mm((*r.wanted.roll_centre_mm)[1]))
          : "");
  const auto& axle = *ride.car.at(r.axle);
  if (r.toe_is_reset) {
    const auto& a = *axle.toe_adjuster;
    text += fmt::format(" Toe is set back to {}: rod '{}' {}.", t.deg(f.toe_rad),
                        axle.layout.rods[static_cast<std::size_t>(a.rod)].name,
                        turns_words(c.to_fit()->toe_rod_mm[0], a.pitch_mm, a.ends, t.units()));
    if (!axle.right_is_mirrored)
      text += fmt::format(" On the right: {}.",
                          turns_words(c.to_fit()->toe_rod_mm[1], a.pitch_mm, a.ends, t.units()));
  } else {
    text += fmt::format(
        " The file names no adjuster for toe ([{}.adjust] toe = ...), so it is not set "
        "back: set it before you judge the curve.",
        word(r.axle));
  }
  return text;
}

Grid candidate_grid(const AxleCorrection& c, const InUnits& t) {
  const auto& r = c.ranking;
  Grid g;
  const auto possible = static_cast<std::size_t>(std::count_if(
      r.candidates.begin(), r.candidates.end(), [](const Candidate& x) { return x.figures; }));
  const auto meet = std::count_if(r.candidates.begin(), r.candidates.end(),
                                  [](const Candidate& x) { return x.meets(); });
  g.title = fmt::format("{} axle: the best {} of {} combinations, {} of them meet every target",
                        capital(word(r.axle)), std::min(shown_candidates, possible),
                        r.candidates.size(), meet);
  const auto unit = std::string(shown_unit(Measure::length, t.units()).symbol);
  g.heads = {""};
  g.units = {""};
  for (const auto& choice : r.shelf.choices) {
    g.heads.push_back(choice.option->name);
    g.units.push_back(unit);
  }
  for (const char* head : {"toe change", "per bump", "roll centre", "camber"})
    g.heads.emplace_back(head);
  g.units.insert(
      g.units.end(),
      {"°", std::string(shown_unit(Measure::angle_per_length, t.units()).symbol), unit, "°"});
  g.heads.emplace_back("toe rod");
  g.units.push_back(unit);
  const bool chances = r.candidates.front().chance.has_value();
  if (chances) {
    g.heads.emplace_back("chance");
    g.units.emplace_back("%");
  }
  const auto add = [&](const Candidate& x, std::string said) {
    std::vector<std::string> row{std::move(said)};
    for (std::size_t k = 0; k < r.shelf.choices.size(); ++k) {
      auto w = words(r.shelf.choices[k], x.fit, k, t.units());
      w.resize(w.size() - unit.size() - 1);
      row.push_back(std::move(w));
    }
    const auto& f = *x.figures;
    row.push_back(shown(f.toe_change_max_rad, Measure::angle, t.units()));
    row.push_back(shown(f.bump_steer, Measure::angle_per_length, t.units()));
    row.push_back(shown(f.roll_centre_height_mm, Measure::length, t.units()));
    row.push_back(shown(f.camber_rad, Measure::angle, t.units()));
    row.push_back(shown_signed(x.toe_rod_mm[0], Measure::length, t.units()));
    if (chances)
      row.push_back(
          fmt::format("{}{:.0f}", x.equal_to_best ? "= " : "", 100.0 * x.chance.value_or(0)));
    g.rows.push_back(std::move(row));
  };
  const auto verdict = [](const Candidate& x) {
    return !x.stop.empty() ? "STOP" : x.meets() ? "meets" : "misses";
  };
  if (c.chosen && c.chosen->figures) add(*c.chosen, fmt::format("chosen: {}", verdict(*c.chosen)));
  for (std::size_t i = 0; i < std::min(shown_candidates, possible); ++i)
    add(r.candidates[i], verdict(r.candidates[i]));
  return g;
}

// Which figures are known how well, and what that means for the decision.
std::string sure_words(const AxleCorrection& c, const InUnits& t) {
  const auto& r = c.ranking;
  const auto& b = c.sure->bump_steer;
  const auto& f = *c.to_fit()->figures;
  const auto slope = [&](double value, double sigma) {
    return t.with_sigma(value, sigma, Measure::angle_per_length);
  };
  const auto off = [&](double sigma) {
    return fmt::format("± {:.3f}",
                       sigma * shown_unit(Measure::angle_per_length, t.units()).per_inside);
  };
  std::string text = fmt::format(
      "How sure: bump steer as it sits is {}, the change by the parts {}, and corrected {}. The "
      "roll "
      "centre changes by {}. With nine chances in ten the corrected toe change lies between {} and "
      "{}.",
      slope(r.before.bump_steer, b.as_it_sits), slope(f.bump_steer - r.before.bump_steer, b.change),
      slope(f.bump_steer, b.corrected),
      t.with_sigma(f.roll_centre_height_mm - r.before.roll_centre_height_mm,
                   c.sure->roll_centre.change, Measure::length),
      t.deg(c.sure->toe_change_low_rad), t.deg(c.sure->toe_change_high_rad));
  if (b.corrected > 1.5 * b.corrected_after_gauge)
    text += fmt::format(
        " A run with two dial gauges would leave {} of the first and {} of the last: what a part "
        "changes is known far better than where the car starts, so measure that before metal is "
        "cut.",
        off(b.as_it_sits_after_gauge), off(b.corrected_after_gauge));
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

std::string map_words(const AxleCorrection& c, const InUnits& t) {
  const auto& m = *c.map;
  const auto& choice = c.ranking.shelf.choices[m.choice];
  constexpr std::array<const char*, 3> names{"x", "y", "z"};
  if (!(m.holds_mm[1][1] > m.holds_mm[1][0]) && !(m.holds_mm[0][1] > m.holds_mm[0][0]))
    return fmt::format("{}: no place in its range keeps the toe change within what is wanted.",
                       capital(choice.option->name));
  std::string text =
      fmt::format("{}: with everything else as above, a hole holds", choice.option->name);
  for (const std::size_t k : {std::size_t{1}, std::size_t{0}})
    if (m.at_mm[k].size() > 1)
      text +=
          fmt::format("{} from {} to {} in {}", k == 1 ? "" : " and", t.signed_mm(m.holds_mm[k][0]),
                      t.signed_mm(m.holds_mm[k][1]), names[static_cast<std::size_t>(m.axes[k])]);
  text += fmt::format(", and anywhere within ±{} of the set's place, if the joints are exact. ",
                      t.mm(m.both_ways_mm));
  if (m.chance.empty())
    text +=
        "From a tape survey they are not: that is the room for drilling only once a dial gauge "
        "has been run over the travel.";
  else if (m.is_room())
    text += fmt::format(
        "By what is known of them {} have nine chances in ten to hold, drilling by hand included: "
        "the hatched patch of the drawing is the room for the hole.",
        m.best_chance > 0.995 ? "many places" : "some places");
  else
    text += fmt::format(
        "By what is known of them no place has nine chances in ten to hold; the best has {:.0f} in "
        "100. So that patch is not your tolerance: run a dial gauge over the travel before you "
        "drill.",
        100.0 * m.best_chance);
  return capital(text);
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
  const auto& best = *c.to_fit()->figures;
  const auto& f = *r.candidate.figures;
  std::string text = fmt::format(
      "The rule of thumb, rod '{}' parallel to {}, would move it by {} where the set moves it "
      "by "
      "{}: toe would change by {} instead of {} ({} against {}).",
      r.rod, r.arm, t.mm(r.move_mm),
      words(c.ranking.shelf.choices[r.choice], c.to_fit()->fit, r.choice, t.units()),
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
      parts.push_back(fmt::format("{} at {}", choice.option->name, words(choice, fit, i, units)));
    } else if (fit.size_mm[i] != 0.0) {
      parts.push_back(fmt::format("{} {}", words(choice, fit, i, units), choice.option->name));
    } else {
      parts.push_back(fmt::format("no {}", choice.option->name));
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

std::string turns_words(double longer_mm, double pitch_mm, int ends, Units units) {
  if (std::fabs(longer_mm) < 0.02) return "stays as long as it is";
  std::string text = fmt::format("{} {} {}", shown(std::fabs(longer_mm), Measure::length, units),
                                 shown_unit(Measure::length, units).symbol,
                                 longer_mm > 0.0 ? "longer" : "shorter");
  if (pitch_mm > 0.0) {
    // A turn of a turnbuckle moves both ends.
    const int flats = static_cast<int>(std::lround(6.0 * std::fabs(longer_mm) / (pitch_mm * ends)));
    text += fmt::format(": {} {}", turn_count_words(4 * flats), longer_mm > 0.0 ? "out" : "in");
  }
  return text;
}

std::string set_words(const Ranking& ranking, const Candidate& set, Units units) {
  const auto fits = fit_words(ranking.shelf, set.fit, units);
  if (!set.figures) return fmt::format("{}: not possible, {}.", fits, set.why);
  if (set.chance && *set.chance > 0.0)
    return fmt::format("{}: {} to meet every target{}.", fits, chance_words(*set.chance),
                       *set.chance < good_chance ? ", as well as the joints are known today" : "");
  if (set.meets() && !set.chance) return fmt::format("{}. That meets every target.", fits);
  if (set.meets()) return fmt::format("{}: {} to meet every target.", fits, chance_words(0.0));
  return fmt::format("{}: {}.", fits, listed(set.misses));
}

Section tell(const Ride& ride, const Correction& correction, Units units) {
  const InUnits t(units);
  Section s;
  s.question = "Which spacers, and how far must the bracket move the joint?";
  for (const AxleName name : {AxleName::front, AxleName::rear}) {
    const auto& c = correction.at(name);
    const auto& why = correction.why[static_cast<std::size_t>(name)];
    if (c) s.answer += (s.answer.empty() ? "" : " ") + answer_for(*c, t);
    else if (!why.empty())
      s.answer +=
          (s.answer.empty() ? "" : " ") + capital(std::string(word(name))) + ": " + why + ".";
  }
  for (const AxleName name : {AxleName::front, AxleName::rear}) {
    const auto& c = correction.at(name);
    if (!c) continue;
    if (const auto* set = c->to_fit()) {
      s.blocks.emplace_back(Paragraph{before_after(ride, *c, t)});
      s.blocks.emplace_back(candidate_grid(*c, t));
      if (const auto equal = equal_words(*c, t); !equal.empty())
        s.blocks.emplace_back(Paragraph{equal});
      if (c->sure) s.blocks.emplace_back(Paragraph{sure_words(*c, t)});
      if (!set->stop.empty()) s.blocks.emplace_back(Caution{set->stop});
      if (!set->range_ends.empty())
        s.blocks.emplace_back(Paragraph{fmt::format(
            "{} ended at the end of its range: with more range the curve could be flatter.",
            capital(listed(set->range_ends)))});
      if (c->rod_left_alone && c->rod_left_alone->figures)
        s.blocks.emplace_back(
            Caution{fmt::format("never fit one without the other. With {} the toe of a {} wheel "
                                "changes by {}, against {} "
                                "as it sits: worse than lowering was. Do not drive like that, not "
                                "even round the block.",
                                fit_words(c->ranking.shelf, c->rod_left_alone->fit, units),
                                word(name), t.deg(c->rod_left_alone->figures->toe_change_max_rad),
                                t.deg(c->ranking.before.toe_change_max_rad))});
      if (c->rule) s.blocks.emplace_back(Paragraph{rule_words(*c, units)});
      if (c->map) s.blocks.emplace_back(Paragraph{map_words(*c, t)});
      if (const auto& h = set->height)
        s.blocks.emplace_back(Paragraph{fmt::format(
            "The spring stands where the part goes: with its perch untouched the body sinks {} and "
            "the "
            "roll centre comes to {} only. Wind the perch by {}{}, then everything is as above.",
            t.mm(h->body_mm), t.mm(h->roll_centre_height_mm), t.mm(std::fabs(h->perch_mm)),
            h->perch_turns ? fmt::format(" ({:.1f} turns)", std::fabs(*h->perch_turns)) : "")});
    }
    for (const auto& refused : c->ranking.shelf.refused)
      s.blocks.emplace_back(Paragraph{
          fmt::format("'{}' is refused as a correction: {}.", refused.option, refused.why)});
    for (const auto& left : c->ranking.shelf.left_out)
      s.blocks.emplace_back(Paragraph{"Left out: " + left + "."});
  }
  if (const auto axis = roll_axis_words(ride, correction, t); !axis.empty())
    s.blocks.emplace_back(Paragraph{axis});
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
