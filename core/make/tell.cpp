#include "make/tell.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/in_units.h"
#include "base/words.h"
#include "make/drawing_svg.h"
#include "make/part_drawings.h"
#include "make/reasons.h"
#include "told/section_table.h"

namespace trammel {
namespace {

std::string force_text(double n, Measure m, bool signed_pull, Units units) {
  if (m == Measure::torque) return shown(n, m, units);
  // Forces to two or three figures: nothing of them is surer.
  const double step = std::fabs(n) > 2000.0 ? 100.0 : 10.0;
  const double rounded = step * std::round(n / step);
  return signed_pull ? shown_signed(rounded, m, units) : shown(rounded, m, units);
}

// What one part bears at most, pulled and pushed, and in which case.
Grid worst_grid(AxleName name, const AxleForces& a, Units units) {
  Grid g;
  g.title = fmt::format("{} axle, per corner: what each part bears at most, shock factors included",
                        capital(word(name)));
  g.heads = {"part", "tension", "worst load case", "compression, or magnitude", "worst load case"};
  g.units = {"", "", "", "", ""};
  for (const auto& p : a.parts) {
    std::optional<std::size_t> pull, push;
    for (std::size_t k = 0; k < p.by_case.size(); ++k) {
      const double v = p.by_case[k].value_or(0.0);
      if (p.signed_pull && v > 0.0 && (!pull || v > *p.by_case[*pull])) pull = k;
      if (p.signed_pull ? v < 0.0 && (!push || v < *p.by_case[*push])
                        : v > 0.0 && (!push || v > *p.by_case[*push]))
        push = k;
    }
    if (!pull && !push) continue;
    const auto cell = [&](const std::optional<std::size_t>& k) {
      return k ? fmt::format("{}\u00a0{}",
                             force_text(std::fabs(*p.by_case[*k]), p.measure, false, units),
                             shown_unit(p.measure, units).symbol)
               : std::string();
    };
    const auto in = [&](const std::optional<std::size_t>& k) {
      return k ? a.loads.cases[*k].name : std::string();
    };
    g.rows.push_back({p.part, cell(pull), in(pull), cell(push), in(push)});
  }
  return g;
}

// Every case: a row a case, a column a part; of what pulls and pushes, pull is positive.
Grid case_grid(AxleName name, const AxleForces& a, Units units) {
  Grid g;
  g.title = fmt::format("{} axle, every load case: tension positive, compression negative",
                        capital(word(name)));
  g.heads = {"case", "shock"};
  g.units = {"", ""};
  std::vector<const PartForce*> shown_parts;
  for (const auto& p : a.parts) {
    if (p.leg) continue;  // its ball joint and bushes say it
    if (std::none_of(p.by_case.begin(), p.by_case.end(),
                     [](const auto& v) { return v.has_value(); }))
      continue;
    shown_parts.push_back(&p);
    g.heads.push_back(p.part);
    g.units.emplace_back(shown_unit(p.measure, units).symbol);
  }
  for (std::size_t k = 0; k < a.loads.cases.size(); ++k) {
    std::vector<std::string> row{a.loads.cases[k].name,
                                 fmt::format("{:g}", a.loads.cases[k].shock)};
    for (const auto* p : shown_parts)
      row.push_back(p->by_case[k] ? force_text(*p->by_case[k], p->measure, p->signed_pull, units)
                                  : "");
    g.rows.push_back(std::move(row));
  }
  return g;
}

std::string figure(double v, Check::In in, Units units) {
  switch (in) {
    case Check::In::mm:
      return InUnits(units).mm(v);
    case Check::In::n:
      return fmt::format("{} {}", force_text(v, Measure::force, false, units),
                         shown_unit(Measure::force, units).symbol);
    case Check::In::mpa:
      return fmt::format("{:.0f} MPa", v);
    case Check::In::nothing:
      break;
  }
  return "";
}

// "141 of 178 MPa, 79 %": what is allowed stands after its factor; "8 mm, 12 at least".
std::string of_allowed(const Check& c, Units units) {
  if (c.in == Check::In::nothing) return "never";
  if (c.at_least)
    return fmt::format("{}, at least {}", figure(c.value, c.in, units),
                       figure(c.limit, c.in, units));
  if (c.in == Check::In::mpa)
    return fmt::format("{:.0f} of {:.0f} MPa, {:.0f} %", c.value, c.limit, 100.0 * c.used);
  return fmt::format("{} of {}, {:.0f} %", figure(c.value, c.in, units),
                     figure(c.limit, c.in, units), 100.0 * c.used);
}

Grid check_grid(const std::string& name, const std::vector<Check>& checks, Units units) {
  Grid g;
  g.title = fmt::format(
      "{}: failure modes, most loaded first; what is allowed has its factor taken off", name);
  g.heads = {"failure mode", "has, of what is allowed", "serves", "worst load case", "what helps"};
  g.units = {"", "", "", "", ""};
  for (const auto& c : checks)
    g.rows.push_back({what_gives(c), of_allowed(c, units), c.used > 1.0 ? "NO" : "yes", c.by,
                      std::string(what_helps(c.of))});
  return g;
}

// "It does not serve: ...", "It serves", "Not judged: ...", each a sentence with its full stop.
std::string sentence(const ThingJudged& judged, Units units, const char* it = "It") {
  const auto j = in_words(judged, units);
  const auto joined = [](const auto& list, auto word) {
    std::string text;
    for (const auto& one : list) text += (text.empty() ? "" : "; ") + word(one);
    return text;
  };
  std::string text;
  if (!j.fails.empty())
    text += fmt::format("{} does not serve: {}.", it,
                        joined(j.fails, [](const std::string& w) { return w; }));
  if (!j.unjudged.empty())
    text += fmt::format("{}{} is not judged: {}.", text.empty() ? "" : " ", it,
                        joined(j.unjudged, [](const Unjudged& u) { return words(u); }));
  if (text.empty()) text = fmt::format("{} serves.", it);
  return text;
}

// What stands on what, and what it adds to it.
std::string stands_words(const StoodOn& s, Units units) {
  const InUnits t(units);
  if (s.by.empty())
    return fmt::format("What it adds to {} is not known either: have that inspected as well.",
                       words(s.on));
  const auto moment = [&](double nmm) { return t.said(nmm, Measure::torque); };
  return fmt::format(
      "It stands on {}: there the worst load ({}) turns by {}{}. Whether that bears it is not "
      "judged "
      "here: have it inspected, have it crack-tested before it goes in and again after the first "
      "season; less stack asks less of it.",
      words(s.on), s.by, moment(s.now_nmm),
      s.as_built_nmm
          ? fmt::format(", as built by {}: {} more", moment(*s.as_built_nmm), moment(s.added_nmm))
          : std::string(", all of it more than as built"));
}

Grid inspection_grid(const PartToMake& p) {
  Grid g;
  g.title = fmt::format("{}: measured on the finished parts", p.name());
  g.heads = {"what", "wanted", "left", "right"};
  g.units = {"", "", "", ""};
  g.to_fill = true;
  for (const auto& i : inspection_of(p)) g.rows.push_back({i.what, i.wanted, "", ""});
  return g;
}

void lathe_words(const PartToMake& p, Section& s) {
  const auto& m = p.made;
  std::string text = fmt::format(
      "In the lathe: {} in one setting where you can. In a "
      "four-jaw chuck read the dial at the four jaws: its full indicator reading is twice the "
      "offset; move "
      "half "
      "of what opposite jaws differ by, until that reading is 0.04 mm (1.5 thou) or less.",
      m.spigot ? "face, bore and register" : "face and bore");
  if (m.spigot)
    if (const auto fit = limits(m.spigot->diameter_mm, m.spigot->fit); fit.value)
      text += fmt::format(" {}. Plating takes its thickness on both faces: allow for it.",
                          capital(fit.value->words));
  s.working.emplace_back(Paragraph{std::move(text)});
}

void tell_part(const PartToMake& p, bool demo, Units units, Section& s) {
  const InUnits t(units);
  const auto& m = p.made;
  if (p.nothing) {
    s.working.emplace_back(
        Paragraph{fmt::format("{}: nothing to make; {}.", capital(p.name()), words(*p.nothing))});
    return;
  }
  std::string text;
  const std::vector<Check>* checks = nullptr;
  if (p.plate) {
    text = fmt::format(
        "{}: a {} of {}{}; its hole lies {} {} and {} across from the old one{}. ",
        capital(p.name()), words(m.kind), m.material.name,
        p.plate->plate ? fmt::format(", {} thick", t.mm(p.plate->plate->thickness_mm)) : "",
        t.mm(std::fabs(p.hole_mm[1])), p.hole_mm[1] < 0.0 ? "down" : "up",
        t.signed_mm(p.hole_mm[0]),
        std::fabs(p.aside_mm) > 0.05
            ? fmt::format(", and {} along it by a spacer", t.signed_mm(p.aside_mm))
            : "");
    if (p.plate->plate) checks = &p.plate->plate->checks;
  } else {
    text = fmt::format(
        "{}: a {} of {}, {} thick, {} outside. Left and right alike within 0.05 mm (2 thou). ",
        capital(p.name()), words(m.kind), m.material.name, t.mm(p.thickness_mm),
        t.mm(m.outside_mm));
    checks = &p.turned->checks;
  }
  text += sentence(p.judged, units);
  if (p.plate && p.plate->why != PlateChoice::Why::none) {
    text += " " + capital(why_words(*p.plate, units));
    if (!text.ends_with('.')) text += '.';
  }
  if (checks && p.judged.verdict() == Serving::serves) {
    const auto& hardest = checks->front();
    text += fmt::format(" Most loaded: {} ({}{}).", what_gives(hardest), of_allowed(hardest, units),
                        hardest.by.empty() ? "" : ", " + hardest.by);
  }
  if (p.weld) text += " " + sentence(*p.weld, units, "Its weld");
  if (p.plate)
    text += p.room_mm
                ? fmt::format(" Drilled within {} the toe change stays within what is wanted.",
                              t.mm(*p.room_mm))
                : " Not for cutting yet: what is known of the joints is no room for drilling. "
                  "Measure first.";
  if (!p.corrects_rod && !p.plate)
    text +=
        " Never fit it without its rod corrected: alone it makes the wheel steer itself more than "
        "lowering did.";
  if (p.stands_on) text += " " + stands_words(*p.stands_on, units);
  s.working.emplace_back(Paragraph{std::move(text)});
  if (checks) s.working.emplace_back(check_grid(p.name(), *checks, units));
  if (!p.plate) lathe_words(p, s);
  const auto drawing = part_drawing(p, demo);
  if (!drawing.value) {
    s.working.emplace_back(Paragraph{fmt::format("No drawing: {}.", drawing.why)});
    return;
  }
  const auto svg = drawing_svg(*drawing.value, units == Units::inch ? Paper::letter : Paper::a4);
  if (svg.value)
    s.working.emplace_back(Drawing{
        p.side ? fmt::format("{}: the drawing", capital(p.name()))
               : fmt::format("{}, left: the drawing", capital(p.name())),
        p.side
            ? "Printed at 100 % its bar is 100 mm long: measure it. The other side has a drawing "
              "of its own."
            : "Printed at 100 % its bar is 100 mm long: measure it. The right one is its mirror "
              "image.",
        *svg.value, true, units == Units::inch});
  else s.working.emplace_back(Paragraph{fmt::format("No drawing: {}.", svg.why)});
  s.working.emplace_back(inspection_grid(p));
}

std::string bolt_words(const BoltJoint& j, const Bolt& bolt) {
  return fmt::format("{} × {:g}{}", j.thread.name, bolt.length_mm,
                     bolt.form == BoltForm::full_thread ? ", thread to the head" : "");
}

void tell_bolts(const std::vector<BoltToFit>& bolts, Units units, Section& s) {
  if (bolts.empty()) return;
  Grid g;
  g.title = "Bolts";
  g.heads = {
      "where", "take", "class", "stack", "beyond the nut", "fitted now", "torque, an estimate"};
  g.units = {"", "", "", "", "", "", ""};
  const InUnits t(units);
  std::vector<std::string> said;
  for (const auto& b : bolts) {
    const auto& f = b.fastener;
    if (b.why) {
      said.push_back(fmt::format("{}: {}", capital(f.name), sentence(b.judged, units)));
      continue;
    }
    const auto& take = b.taken;
    const auto now = [&]() -> std::string {
      if (!b.now) return "";
      if (b.now->passes) return fmt::format("{}: long enough", t.mm(b.now->bolt.length_mm));
      for (const auto& test : b.now->tests)
        if (!test.passes && !test.advice)
          return fmt::format("{}: {}", t.mm(b.now->bolt.length_mm),
                             words(b.joint, *b.now, test, units));
      return "";
    }();
    g.rows.push_back(
        {f.number > 1 ? fmt::format("{} × {}", f.number, f.name) : f.name,
         b.next.take ? bolt_words(b.joint, *b.next.take) : "none",
         std::string(name(b.joint.bolt_class)), take ? t.mm(take->stack_mm) : "",
         take ? t.mm(take->beyond_mm) : "", now,
         fmt::format("{} (± 30 % of preload)", t.said(b.torque.torque_nmm, Measure::torque))});
    said.push_back(fmt::format("{}: {}", capital(f.name), words(b.joint, b.next, units)));
    if (take)
      for (const auto& test : take->tests)
        if (!test.passes)
          said.back() += fmt::format(" Look: {}.", words(b.joint, *take, test, units));
    if (b.slip) said.back() += fmt::format(" {}", capital(words(*b.slip, units)));
    if (!said.back().ends_with('.')) said.back() += '.';
    said.back() += " " + sentence(b.judged, units, f.number > 1 ? "The joint" : "It");
    if (const auto a = advice(b.joint.bolt_class); !a.empty())
      said.back() += fmt::format(" {}.", capital(std::string(a)));
  }
  s.working.emplace_back(std::move(g));
  for (auto& one : said) s.working.emplace_back(Paragraph{std::move(one)});
  s.working.emplace_back(Paragraph{
      "Torque: the manual of the car or of the joint's maker comes first; the figure here is K·d·F "
      "with K 0.20 for dry zinc and three quarters of the proof load. New lock nuts last, once; "
      "split pins new; a washer under what is turned; under rod ends a safety washer wider than "
      "the "
      "housing's bore on the open side; never split washers, never a stack of washers as a spacer "
      "(common practice)."});
  s.working.emplace_back(Caution{
      "bolts and nuts that the manual says are used once (stretched, with locking paint, deformed "
      "nuts) are never used twice: buy them new before the work, and use old ones for trying "
      "only."});
}

void tell_rod_ends(const std::vector<RodEndSeen>& ends, Units units, Section& s) {
  if (ends.empty()) return;
  const InUnits t(units);
  Grid g;
  g.title = "Rod ends";
  g.heads = {"joint", "tilt asked", "tilt it has", "worst force", "thread in", "needs"};
  g.units = {"", "", "", "", "", ""};
  std::vector<std::string> said;
  for (const auto& e : ends) {
    g.rows.push_back(
        {e.name, t.deg(e.asked_rad), e.limit_rad ? t.deg(*e.limit_rad) : "not said",
         e.worst_n > 0.0
             ? fmt::format("{} {}, {}", force_text(e.worst_n, Measure::force, false, units),
                           shown_unit(Measure::force, units).symbol, e.worst_case)
             : "not known",
         e.end.engaged_mm ? t.mm(*e.end.engaged_mm) : "not said",
         e.engagement ? t.mm(e.engagement->needed_mm) : ""});
    std::string text = capital(e.name) + ": ";
    if (e.limit_rad && e.asked_rad > *e.limit_rad)
      text += fmt::format(
          "it binds: over all travel and lock {} is asked of it (at {} of travel) and it has {}; "
          "turn its bolt to halve what it asks, or take cones and a smaller bolt",
          t.deg(e.asked_rad), t.signed_mm(e.at_travel_mm), t.deg(*e.limit_rad));
    else if (e.limit_rad && e.asked_rad > *e.limit_rad - joint_in_hand_rad)
      text += fmt::format("its tilt leaves less than 3° in hand ({} of {})", t.deg(e.asked_rad),
                          t.deg(*e.limit_rad));
    else if (e.limit_rad)
      text += fmt::format("tilts {} of {}", t.deg(e.asked_rad), t.deg(*e.limit_rad));
    else text += fmt::format("is asked to tilt {}", t.deg(e.asked_rad));
    if (e.locks) text += "; the mechanism locks within full travel and lock";
    text += ".";
    if (e.engagement) {
      if (e.end.engaged_mm && *e.end.engaged_mm + 1e-6 < e.engagement->needed_mm)
        text += fmt::format(" Too little thread: {} of {}.", t.mm(*e.end.engaged_mm),
                            t.mm(e.engagement->needed_mm));
      text +=
          fmt::format(" {}", capital(words(*e.engagement, e.end.thread, e.end.into.group, units)));
      if (!text.ends_with('.')) text += '.';
    }
    if (e.rating) text += fmt::format(" {}.", capital(words(*e.rating, units)));
    if (e.rod)
      text += fmt::format(
          " Its rod, {} long and straight, bows out at {}; {} push it: {:.1f} times, {:.0f} "
          "wanted.",
          t.mm(e.rod->length_mm), t.said(e.rod->strength.buckles_n, Measure::force),
          t.said(e.rod->push_n, Measure::force), e.rod->factor(), bowing_in_hand);
    if (e.single) text += fmt::format(" {}.", capital(words(*e.single, units)));
    if (e.pin)
      text +=
          fmt::format(" Between two tabs its bolt is bent by {}: {:.0f} of {:.0f} MPa.",
                      t.said(e.pin->moment_nmm, Measure::torque), e.pin->plain_shank_mpa,
                      strength(e.end.bolt.thread, e.end.bolt.bolt_class).yield_mpa / yield_in_hand);
    text += " " + sentence(e.judged, units);
    said.push_back(std::move(text));
  }
  s.working.emplace_back(std::move(g));
  for (auto& one : said) {
    for (std::size_t at; (at = one.find("..")) != std::string::npos;) one.erase(at, 1);
    s.working.emplace_back(Paragraph{std::move(one)});
  }
}

// What came of each thing, what does not serve first.
Grid verdict_grid(std::vector<Judgement> all) {
  const auto place = [](const Judgement& j) {
    return j.verdict() == Serving::does_not_serve ? 0 : j.verdict() == Serving::not_judged ? 1 : 2;
  };
  std::stable_sort(all.begin(), all.end(),
                   [&](const Judgement& a, const Judgement& b) { return place(a) < place(b); });
  Grid g;
  g.in_words = true;
  g.heads = {"part", "verdict", "because"};
  g.units = {"", "", ""};
  for (const auto& j : all) {
    std::vector<std::string> because = j.fails;
    if (because.empty())
      for (const auto& u : j.unjudged) because.push_back(words(u));
    g.rows.push_back({j.of,
                      j.verdict() == Serving::serves           ? "OK"
                      : j.verdict() == Serving::does_not_serve ? "not OK"
                                                               : std::string(words(j.verdict())),
                      listed(because)});
  }
  return g;
}

// The shop's cautions in a line each, of what this set takes; each in full stands in the working.
std::string shop_care(const Making& m) {
  const auto made = [&](auto which) {
    return std::any_of(m.parts.begin(), m.parts.end(),
                       [&](const PartToMake& p) { return !p.nothing && which(p); });
  };
  std::string text;
  const auto add = [&](const char* words) {
    text += (text.empty() ? "" : " ") + std::string(words);
  };
  if (made([](const PartToMake& p) { return !p.plate; }))
    add("Lathe: key out of the chuck, work off centre turned slowly, no gloves. A tapered stud "
        "holds "
        "by its seat: never drill it out, never pack it. Never mix makers across an axle.");
  if (made([](const PartToMake&) { return true; }))
    add("Drill and grinder: work clamped, guard on, eyes covered.");
  if (made([](const PartToMake& p) { return p.made.weld.has_value(); }))
    add("Weld only metal that is known to take it, never a forged, cast or steering part; battery "
        "off.");
  if (!m.bolts.empty()) add("What the manual says is used once is bought new.");
  if (!m.rod_ends.empty())
    add("A rod end that lets go takes the wheel with it: jam nut tight, safety washer on the open "
        "side.");
  return text;
}

}  // namespace

std::string strength_words(const Making& making, AxleName axle, Units units) {
  Making of = making;
  std::erase_if(of.parts, [&](const PartToMake& p) { return p.option.axle != axle; });
  std::erase_if(of.bolts, [&](const BoltToFit& b) { return b.fastener.axle != axle; });
  std::erase_if(of.rod_ends, [&](const RodEndSeen& e) { return e.end.axle != axle; });
  return strength_words(of, units);
}

std::string strength_words(const Making& making, Units units) {
  const auto all = making.judged();
  if (all.empty())
    return "Whether bolts, rod ends and parts are strong enough is not judged: the file has no "
           "[[rod_end]], [[fastener]] or [[make]] row yet.";
  const bool fails = std::any_of(
      all.begin(), all.end(), [](const auto& j) { return j.verdict() == Serving::does_not_serve; });
  return fails ? fmt::format(
                     "Not as strong as it has to be yet: {} Look at make before anything is bought "
                     "or fitted.",
                     tally(in_words(all, units)))
               : fmt::format("Strength: {}", tally(in_words(all, units)));
}

Section tell(const Making& m, bool demo, Units units) {
  auto s = begun(SectionId::make);
  const auto to_make = std::count_if(m.parts.begin(), m.parts.end(), [](const PartToMake& p) {
    return !p.nothing && p.side != Side::right;
  });
  if (m.parts.empty() && m.bolts.empty() && m.rod_ends.empty())
    s.answer =
        "What each member bears is below. Name your parts, bolts and rod ends in the file "
        "([[make]], "
        "[[fastener]], [[rod_end]]) and they are drawn and judged here.";
  else
    s.answer = fmt::format("{} part{} to make for each side. {}", to_make, to_make == 1 ? "" : "s",
                           tally(in_words(m.judged(), units)));
  const auto made = [&](auto which) {
    return std::any_of(m.parts.begin(), m.parts.end(),
                       [&](const PartToMake& p) { return !p.nothing && which(p); });
  };
  s.blocks.emplace_back(Caution{fmt::format(
      "a calculated part is not an approved part; the forces are those of rigid links under loads "
      "of common practice. Local law, the maker's manual and a licensed inspection come first.{}",
      made([](const PartToMake& p) { return p.not_for_cutting(); })
          ? " A part that does not serve, or whose hole is not known well enough, says so on its "
            "drawing, its template and in its cutting file: do not cut it."
          : "")});
  if (const auto care = shop_care(m); !care.empty()) s.blocks.emplace_back(Caution{care});
  if (auto g = verdict_grid(in_words(m.judged(), units)); !g.rows.empty())
    s.blocks.emplace_back(std::move(g));
  if (made([](const PartToMake& p) { return !p.plate; })) {
    s.working.emplace_back(Caution{
        "lathe: the key comes out of the chuck before anything turns. What sits off centre is out "
        "of "
        "balance: turn it slowly, turn the chuck round by hand first. No gloves, no loose sleeves, "
        "eyes covered."});
    s.working.emplace_back(Caution{
        "a tapered stud holds by its seat: the same taper in stud and hole, touching round the "
        "whole "
        "ring (try it with blue), the nut drawing the taper and not the thread's end. A hole worn "
        "oval is scrap. Never drill a taper out for a plain bolt held at one end only, and never "
        "pack "
        "a taper with shim."});
    s.working.emplace_back(
        Caution{"parts of two makers differ where they look alike: try disc, flange and register "
                "of each side "
                "together on the bench, and never mix makers across an axle."});
  }
  if (made([](const PartToMake&) { return true; }))
    s.working.emplace_back(Caution{
        "drill: clamp the work, a drill that bites spins it; step up in sizes and ream the last. "
        "Grinder: guard on, eyes and ears covered, sparks away from tank, brake fluid and glass; a "
        "disc "
        "for cutting is never leant on sideways."});
  if (made([](const PartToMake& p) { return p.made.weld.has_value(); }))
    s.working.emplace_back(Caution{
        "weld only plate and tube that is known to take it; never a forged, cast or steering part, "
        "a "
        "spring, or near a seal. Battery off, earth beside the weld, never through a bearing or "
        "the "
        "rack. A crack may show a day or two later: look with dye before the part is used."});
  if (!m.rod_ends.empty())
    s.working.emplace_back(
        Caution{"a rod end that lets go takes the wheel with it: jam nut tight and marked, safety "
                "washer on "
                "the open side, new ones as soon as they have play; inspectors may refuse unsealed "
                "joints on "
                "the road."});
  for (const AxleName name : {AxleName::front, AxleName::rear}) {
    const auto& a = m.axle[static_cast<std::size_t>(name)];
    if (!a) continue;
    if (!a->parts.empty() && !a->loads.cases.empty())
      if (auto g = worst_grid(name, *a, units); !g.rows.empty()) {
        s.working.emplace_back(std::move(g));
        s.working.emplace_back(case_grid(name, *a, units));
      }
    std::string text;
    if (a->why) text += fmt::format("{} axle: {}. ", capital(word(name)), words(*a->why));
    std::vector<std::string> wanting, granted;
    for (const auto& one : a->loads.wanting) wanting.push_back(words(one));
    for (const auto& one : a->loads.taken_for_granted) granted.push_back(words(one, units));
    if (!wanting.empty())
      text += fmt::format("{} axle: to say more, the file needs {}. ", capital(word(name)),
                          listed(wanting));
    if (!granted.empty())
      text += fmt::format("{} axle: taken for granted: {}.", capital(word(name)), listed(granted));
    if (!text.empty()) s.working.emplace_back(Paragraph{std::move(text)});
  }
  for (const auto& p : m.parts) tell_part(p, demo, units, s);
  tell_bolts(m.bolts, units, s);
  tell_rod_ends(m.rod_ends, units, s);
  return s;
}

}  // namespace trammel
