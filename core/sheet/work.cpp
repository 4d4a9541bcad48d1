#include "sheet/work.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/words.h"
#include "told/cautions.h"

namespace trammel {
namespace {

constexpr const char* own_steps = "Your own steps";

// Pieces of a stack that add up to `size`: largest first, with a way back.
bool pieces_for(const std::vector<double>& pieces, std::size_t from, double size,
                std::vector<double>& taken, int& budget) {
  if (std::fabs(size) < 1e-6) return true;
  if (from == pieces.size() || size < 0.0 || --budget < 0) return false;
  taken.push_back(pieces[from]);
  if (pieces_for(pieces, from + 1, size - pieces[from], taken, budget)) return true;
  taken.pop_back();
  return pieces_for(pieces, from + 1, size, taken, budget);
}

std::string stack_words(std::vector<double> pieces, double size) {
  std::sort(pieces.rbegin(), pieces.rend());
  std::vector<double> taken;
  int budget = 20000;
  if (!pieces_for(pieces, 0, size, taken, budget)) return {};
  std::vector<std::string> words;
  words.reserve(taken.size());
  for (const double t : taken) words.push_back(shortest(t));
  return words.size() > 1
             ? fmt::format(" ({} mm; one turned sleeve is better than a stack)", listed(words))
             : "";
}

// Whether a row is about a step: by its id, that of both sides where each has a step of its own,
// or, typed by hand, by the beginning of its words.
bool by_id(const Job& j, const Step& s) { return j.step == s.id; }
bool by_both_sides(const Job& j, const Step& s) { return j.step == s.of_both; }
bool by_words(const Job& j, const Step& s) { return s.what.starts_with(j.step); }

void fill_in(const Job& j, Step& s) {
  s.torque = j.torque;
  s.done_by = j.done_by;
  s.checked_by = j.checked_by;
  s.done = j.done;
  s.mark = j.mark.empty() ? j.note : j.note.empty() ? j.mark : j.mark + "; " + j.note;
}

bool is_taken(const std::vector<Checklist>& work, const std::string& id) {
  for (const auto& list : work)
    for (const auto& s : list.steps)
      if (s.id == id) return true;
  return false;
}

template <class F>
void each_fitted(const Correction& correction, F f) {
  for (const auto& c : correction.axle) {
    if (!c || !c->to_fit()) continue;
    const auto& fit = c->to_fit()->fit;
    for (std::size_t i = 0; i < c->ranking.shelf.choices.size(); ++i) {
      const auto& choice = c->ranking.shelf.choices[i];
      const auto& [left, right] = fit.part[i];
      if (choice.made_to_measure() || !left.nothing() || !right.nothing()) f(*c, choice, fit, i);
    }
  }
}

}  // namespace

PartsList parts_for(const Correction& correction, const Jobs& jobs, Units units) {
  PartsList list;
  list.title = "Parts: needed, ordered, here, fitted";
  const auto state_of = [&](const std::string& part) {
    for (const auto& j : jobs.rows)
      if (j.part == part && !j.state.empty()) return j.state;
    return std::string("needed");
  };
  double thickest = 0.0;
  each_fitted(
      correction, [&](const AxleCorrection&, const Choice& choice, const Fit& fit, std::size_t i) {
        const auto& name = choice.option.name;
        const auto& [left, right] = fit.part[i];
        const bool alike = left == right;
        const auto add = [&](const std::string& what, const char* note) {
          list.parts.push_back({what, note, state_of(name), name});
        };
        if (choice.made_to_measure()) {
          if (alike) {
            add(fmt::format("2 × {}, hole moved by {}", name, words(choice, left, units)),
                "to be made; left and right are mirror images, mark them");
            return;
          }
          for (const Side side : each_side)
            add(fmt::format("1 × {}, {}, hole moved by {}", name, word(side),
                            words(choice, fit.part[i][side], units)),
                "to be made; left and right differ, mark them");
          return;
        }
        const auto stack = [&](double size) {
          const auto* any = std::get_if<AnyOf>(&choice.option.choice);
          return any ? stack_words(any->pieces_mm, size) : std::string();
        };
        for (const Side side : each_side) {
          const auto& part = fit.part[i][side];
          thickest = std::max(thickest, std::fabs(part.size_mm));
          if (part.nothing() || (alike && side == Side::right)) continue;
          add(fmt::format("{} × {} {}{}{}", alike ? 2 : 1, words(choice, part, units), name,
                          alike ? "" : fmt::format(", {}", word(side)), stack(part.size_mm)),
              alike ? "faces parallel, the pair within 0.05 mm of each other"
                    : "faces parallel; left and right differ on purpose, mark them");
        }
      });
  if (thickest > 0.0) {
    list.parts.push_back(
        {"longer bolts for every joint that gets a spacer",
         fmt::format(
             "the grip grows by the spacer (up to {}): at least two threads proud, plain shank "
             "through the last shear plane, nut clear of the shank",
             fmt::format("{} {}", shown(thickest, Measure::length, units),
                         shown_unit(Measure::length, units).symbol)),
         state_of("longer bolts"), "longer bolts"});
  }
  list.parts.push_back(
      {"new lock nuts and split pins for every steering and suspension joint touched",
       "fitted last, once", state_of("lock nuts"), "lock nuts"});
  for (const auto& j : jobs.rows) {
    if (j.part.empty()) continue;
    const bool known = std::any_of(list.parts.begin(), list.parts.end(),
                                   [&](const Part& p) { return p.key == j.part; });
    if (!known)
      list.parts.push_back({j.part, j.note, j.state.empty() ? "needed" : j.state, j.part});
  }
  return list;
}

std::vector<Checklist> order_of_work(const Car& car, const Correction& correction, const Jobs& jobs,
                                     Units units) {
  std::vector<Checklist> work;
  const auto list = [&](const char* title, const char* gate) { work.push_back({title, gate, {}}); };
  const auto step = [&](const std::string& id, std::string what, bool second = false) {
    Step s;
    s.id = id;
    for (int again = 2; is_taken(work, s.id); ++again) s.id = fmt::format("{}-{}", id, again);
    s.what = std::move(what);
    s.second_person = second;
    work.back().steps.push_back(std::move(s));
  };
  const bool struts = std::any_of(car.axle.begin(), car.axle.end(),
                                  [](const auto& a) { return a && a->layout.strut; });

  list("1. Before anything is taken apart",
       "every mark is made and photographed, every worn joint is on the parts list");
  step("note-road-test",
       "Road test noted: what it does, over which bumps, at which pressures; tyre wear at three "
       "places");
  step("feel-joints",
       "Ball joints, bushes, rack, wheel bearings felt with a bar; what is worn goes on the parts "
       "list");
  step("note-as-found",
       "As found, written down: ride height hub to arch at four corners, camber, toe, "
       "steering-wheel centre");
  step("mark-everything",
       "Paint and scribe: rod lock nuts with threads showing, cam bolts against their fences, "
       "spring "
       "perch heights, strut to upright, top mount orientation");

  list("2. Parts in hand",
       "every part is here, measured, and the left and right of a pair compared");
  step("measure-parts",
       "Spacers and brackets measured: thickness, faces parallel, holes; left and right marked");
  step("try-bolts",
       "Bolts tried with plain nuts: two threads proud, shank through the shear plane, nut not on "
       "the "
       "shank, tail clear of rim and boot");

  list("3. Apart and together, loose", "no joint is corrected while its rod is not");
  step("car-on-stands", fmt::format("Car on stands. {}", caution(Care::under_car)));
  step("springs-out", fmt::format("Springs out. {}", caution(Care::spring_out)));
  step("dampers-out", fmt::format("Dampers out. {}", caution(Care::gas_damper)));
  step("calipers-off", fmt::format("Calipers off. {}", caution(Care::brake_hose)));
  each_fitted(correction,
              [&](const AxleCorrection& c, const Choice& choice, const Fit& fit, std::size_t i) {
                const auto& [left, right] = fit.part[i];
                const auto id = as_id(choice.option.name);
                const auto& axle = word(c.ranking.axle);
                const auto both = fmt::format("fit.{}.{}", axle, id);
                if (left == right) {
                  step(both,
                       fmt::format("{}, both sides: {} fitted ({})", axle, choice.option.name,
                                   words(choice, left, units)),
                       true);
                  return;
                }
                for (const Side side : each_side)
                  if (const auto& part = fit.part[i][side]; !part.nothing()) {
                    step(fmt::format("fit.{}.{}.{}", axle, word(side), id),
                         fmt::format("{} {}: {} fitted ({})", axle, word(side), choice.option.name,
                                     words(choice, part, units)),
                         true);
                    work.back().steps.back().of_both = both;
                  }
              });
  if (struts) {
    step("strut-insert",
         "Strut insert: into the tube, around it, goes the fluid that the insert's maker asks for, "
         "as "
         "much as he says: it takes the heat to the tube and keeps rust away, and it needs room to "
         "expand. The gland nut bears on the insert, not on the tube");
    step("gland-nuts",
         "Gland nut and top nut tightened; boots and stops fitted, retain each cable and hose");
  }

  list("4. Sweep by hand, springs out", "nothing touches, nothing binds, at any travel and lock");
  step("sweep-by-hand",
       "Full droop to full bump, straight and at both locks: joints, boots, hoses, wires, rim, "
       "drive shafts");
  step("dial-gauge",
       "Dial gauge over the travel, both sides, up and down: the toe curve against the one "
       "predicted here");

  list("5. Lengths and torque", "every lock nut is tight and has its paint line");
  for (const auto& c : correction.axle) {
    if (!c || !c->to_fit() || !c->ranking.toe_is_reset) continue;
    const auto& axle = *car.at(c->ranking.axle);
    const auto& a = *axle.toe_adjuster;
    for (const Side side : {Side::left, Side::right})
      step(fmt::format("rod.{}.{}", word(c->ranking.axle), word(side)),
           fmt::format("{} {} rod '{}': {}; lock nut", word(c->ranking.axle), word(side),
                       axle.layout.rods[static_cast<std::size_t>(a.rod)].name,
                       turns_words(c->to_fit()->toe_rod_mm[side], a.pitch_mm, a.ends, units)),
           true);
    if (const auto& h = c->to_fit()->height) {
      const auto wind = [&](Side side) {
        return turns_words(std::fabs(h->perch_mm[side]), axle.spring->perch_pitch_mm.value_or(0.0),
                           1, units);
      };
      const bool alike = h->perch_mm.left == h->perch_mm.right;
      step(fmt::format("perches.{}", word(c->ranking.axle)),
           fmt::format(
               "{} spring perches wound to restore the height: {}", word(c->ranking.axle),
               alike ? wind(Side::left)
                     : fmt::format("left {}; right {}", wind(Side::left), wind(Side::right))));
    }
  }
  step("thread-engaged",
       "Threads engaged: one and a half diameters in steel, two in aluminium; inspection holes "
       "tried with "
       "a wire",
       true);
  step("on-its-wheels",
       "On its wheels, rolled and settled at ride height: rubber bushes tightened only now");
  step("torque",
       "Every touched fastener to the torque of your manual, new lock nuts and split pins, witness "
       "paint",
       true);

  list("6. On the floor", "toe, camber and heights are as wanted twice running");
  step("settle-on-floor",
       "Pressures, driver's weight, half a tank, rolled and settled; ride height at four corners");
  step("set-angles",
       "Caster, camber, rear toe and thrust, steering centred and locked, front toe; then all once "
       "more");
  step("try-drop-links", "Drop links: bolt slides out by hand at ride height, both sides");

  list("7. Before driving, and the first kilometres",
       "a second person has gone over every lock nut, split pin and wheel bolt");
  step("lock-to-lock",
       "Steering lock to lock with the weight on; brakes firm; nothing touches a tyre", true);
  step(
      "lamps-and-sensors",
      "Headlamps, steering-angle sensor, camera or radar set anew after a change of height or toe");
  step("first-5-km", "5 km slowly on an empty road, stop, look, feel the hubs; again at 30 km");
  step("after-100-km",
       "At 100 km: wheels and every touched fastener to torque, toe measured again (moved by more "
       "than "
       "0.1°: find out what moved)");

  const auto noted = [&](const Job& j, auto is) {
    bool any = false;
    for (auto& c : work)
      for (auto& s : c.steps)
        if (is(j, s)) {
          fill_in(j, s);
          any = true;
          if (is != by_both_sides) return true;
        }
    return any;
  };
  for (const auto& j : jobs.rows) {
    if (j.step.empty() || noted(j, by_id) || noted(j, by_both_sides) || noted(j, by_words))
      continue;
    if (work.back().title != own_steps) list(own_steps, "");
    step(j.step, j.step);
    fill_in(j, work.back().steps.back());
  }
  return work;
}

}  // namespace trammel
