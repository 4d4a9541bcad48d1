#include "sheet/front.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/in_units.h"
#include "base/words.h"
#include "correct/knowing.h"
#include "correct/reasons.h"
#include "make/reasons.h"
#include "measure/round.h"
#include "measure/tell.h"
#include "prove/reasons.h"
#include "settle/reasons.h"
#include "sheet/work.h"
#include "travel/reasons.h"
#include "travel/sensitivity.h"

namespace trammel {
namespace {

// Below it a set is not bought yet where a reading could still tell more.
constexpr double sure_to_buy = 0.9;
// What a reading has to bring to be asked for first.
constexpr double worth_reading = 0.02;
// Common practice: what a reading takes, and what a gauge run over the whole travel.
constexpr int minutes_a_reading = 3, minutes_a_run = 30;

// In which order things are to be done.
enum class Gate { read_again, measure, correct, as_found, make, settle, get, work, align, prove };

constexpr std::array<const char*, 7> step_ids{"measure", "travel", "correct", "make",
                                              "settle",  "align",  "prove"};

std::string minutes_words(const Action& action) {
  int minutes = minutes_a_reading * static_cast<int>(action.readings.size());
  minutes += minutes_a_run * static_cast<int>(action.gauges.size());
  if (minutes >= 60)
    return fmt::format("about {} hour{}", (minutes + 30) / 60, minutes >= 90 ? "s" : "");
  return minutes == 30 ? "half an hour" : fmt::format("about {} minutes", minutes);
}

std::string in_a_hundred(double chance) {
  return chance > 0.99   ? "more than 99 in 100"
         : chance < 0.01 ? "less than 1 in 100"
                         : fmt::format("{:.0f} in 100", 100.0 * chance);
}

// "front ...; rear ...": clauses that have commas of their own.
std::string in_a_row(const std::vector<std::string>& clauses) {
  std::string text;
  for (const auto& c : clauses) text += (text.empty() ? "" : "; ") + c;
  return text;
}

std::string axle_and(AxleName axle, const std::string& what) {
  return fmt::format("{}: {}", word(axle), what);
}

class Fronted {
 public:
  Fronted(Worked& worked, Units units) : w_(worked), t_(units) {
    for (std::size_t i = 0; i < step_ids.size(); ++i) front_.steps[i].id = step_ids[i];
  }

  Front made() {
    if (!w_.surveyed().value) return no_answer(w_.surveyed().why);
    measure();
    if (!w_.stances().value) return no_answer(words(w_.stances().why, t_.units()));
    travel();
    correct();
    make();
    settle();
    // What is bought and done follows the set; the floor follows what is done.
    if (any_set_) parts_and_work();
    align();
    prove();
    return in_order();
  }

 private:
  StepNow& step(std::string_view id) {
    return *std::find_if(front_.steps.begin(), front_.steps.end(),
                         [&](const StepNow& s) { return s.id == id; });
  }
  void is(std::string_view id, StepState state, std::string answer) {
    step(id).state = state;
    step(id).answer = std::move(answer);
  }
  void add(Gate gate, std::string id, std::string step_id, std::string what, std::string why,
           std::string gain = {}) {
    gated_.push_back(
        {gate,
         {std::move(id), std::move(step_id), std::move(what), std::move(why), std::move(gain)}});
  }
  Front in_order() {
    std::stable_sort(gated_.begin(), gated_.end(),
                     [](const Gated& a, const Gated& b) { return a.gate < b.gate; });
    for (auto& g : gated_) front_.todo.push_back(std::move(g.todo));
    return std::move(front_);
  }
  Front no_answer(const std::string& why) {
    add(Gate::read_again, "car.stands", "measure", "Look at the file again.", capital(why) + ".");
    for (auto& s : front_.steps)
      if (s.answer.empty()) {
        s.state = s.id == "measure" ? StepState::needs_you : StepState::waiting;
        s.answer = s.id == "measure" ? why : "waits for measure";
      }
    return in_order();
  }

  // ------------------------------------------------------------------ measure

  // "FL10, front left: floor to the ball joint" of a reading, by its card where it has one.
  std::string place_of(std::size_t reading) const {
    const auto& r = w_.file().tables.survey.readings[reading];
    for (const auto& station : round_)
      for (const auto& card : station.cards)
        if (is_of(r, card))
          return fmt::format("{}, {}, {}", card.number, corner_words(r.spot.axle, r.spot.side),
                             card.what);
    return w_.adjusted().readings[reading].where;
  }

  void measure() {
    const auto& a = w_.adjusted();
    round_ = round_of(w_.file().car);
    std::size_t slips = a.asked.size();
    for (std::size_t i = 0; i < a.asked.size(); ++i)
      add(Gate::read_again, fmt::format("measure.asked.{}", i + 1), "measure",
          "Look again before you go on.", words(a.asked[i], t_.units()));
    for (std::size_t i = 0; i < a.readings.size(); ++i) {
      const auto& r = a.readings[i];
      if (!r.left_out) continue;
      ++slips;
      add(Gate::read_again, "measure.again." + as_id(r.name), "measure",
          fmt::format("Read {} again ({}).", r.name, place_of(i)),
          fmt::format("{} was read; all others together say {}, so it is left out until then.",
                      reading_value(r.kind, r.value, t_.units()),
                      reading_value(r.kind, r.value - r.disagrees, t_.units())),
          r.slip ? fmt::format("Perhaps {}: then it would be {}.", r.slip->what,
                               reading_value(r.kind, r.slip->value, t_.units()))
                 : "");
    }
    for (std::size_t i = 0; i < a.groups.size(); ++i) {
      ++slips;
      std::vector<std::string> names;
      for (const auto r : a.groups[i].readings) names.push_back(a.readings[r].name);
      add(Gate::read_again, fmt::format("measure.either.{}", as_id(names.front())), "measure",
          fmt::format("Read {} again: one of them is misread.", listed(names)),
          fmt::format("The readings cannot tell which; {} would.", a.groups[i].decides));
    }
    for (const auto& g : a.gauges)
      if (g.left_out) {
        ++slips;
        add(Gate::read_again, "measure.run." + as_id(g.name), "measure",
            fmt::format("Make the gauge run '{}' again ({} rows).", g.name, g.rows),
            "It contradicts the rest of the survey.");
      }
    for (const auto& m : a.sides) {
      ++slips;
      add(Gate::read_again, "measure.sides." + as_id(m.what), "measure",
          fmt::format("Measure both sides again: {} differ by {}.", m.what, t_.mm(m.by_mm)),
          "That is more than sides taken as alike should: a bent arm, a shifted subframe or a "
          "misread value.");
    }
    const auto guess = guess_words(a, t_.units());
    if (!guess.empty()) {
      for (const AxleName axle : each_axle) {
        if (!w_.car().at(axle) || !guessed(axle)) continue;
        const auto& sits = w_.stances();
        const auto k = sits.value
                           ? knowing(sits.value->sits, a, w_.file().tables.survey, axle, t_.units())
                           : Knowing{};
        add(Gate::measure, fmt::format("measure.{}", word(axle)), "measure",
            fmt::format("Measure the {} axle, card by card{} ({} of {} cards read).", word(axle),
                        k.card.empty() ? "" : ": begin with " + k.card, k.taken, k.of),
            "Its joints are guesses yet: no part can be chosen by them.",
            k.next.empty() ? "" : "Most is won by " + k.next);
      }
    }
    is("measure", slips > 0 || !guess.empty() ? StepState::needs_you : StepState::done,
       slips > 0        ? fmt::format("{} to read again",
                               slips == 1 ? "1 reading" : fmt::format("{} readings", slips))
              : !guess.empty() ? guess
                        : known_words(a));
    if (guess.empty() && slips == 0 && a.taken == 0) step("measure").state = StepState::not_begun;
  }

  bool guessed(AxleName axle) {
    return joints_are_guesses(w_.car().at(axle)->layout, w_.adjusted().spread);
  }

  // How well the joints that are known at all are known.
  std::string known_words(const Adjusted& a) const {
    double least = 0.0, most = 0.0;
    for (const auto& p : a.points) {
      const double s = std::max({p.sigma_mm.x, p.sigma_mm.y, p.sigma_mm.z});
      if (s == 0.0) continue;
      least = least == 0.0 ? s : std::min(least, s);
      most = std::max(most, s);
    }
    if (most == 0.0) return "no reading in the file: joints taken as it says, exact";
    return a.taken == 0
               ? fmt::format("no reading in the file: joints good to {} by its ±", t_.mm(most))
               : fmt::format("joints good to {} to {}", t_.mm(least), t_.mm(most));
  }

  // ------------------------------------------------------------------ travel

  void travel() {
    std::vector<std::string> parts;
    for (const AxleName axle : each_axle) {
      if (!w_.car().at(axle)) continue;
      const auto& shelf = w_.shelf(axle);
      if (!shelf.value) continue;
      const auto& b = shelf.value->before;
      const auto& wheel = b.wheel[b.worse_side()];
      parts.push_back(fmt::format("{} toe changes by {} where {} is wanted", word(axle),
                                  t_.deg(std::fabs(wheel.toe_change_max_rad)),
                                  t_.deg(shelf.value->wanted.toe_change_rad)));
    }
    const bool any = std::any_of(each_axle.begin(), each_axle.end(),
                                 [&](AxleName a) { return w_.car().at(a) && guessed(a); });
    is("travel", any ? StepState::waiting : StepState::done,
       any             ? "waits for measure"
       : parts.empty() ? "curves of every wheel stand"
                       : "as it sits " + in_a_row(parts));
  }

  // ------------------------------------------------------------------ correct

  void correct() {
    std::vector<std::string> parts;
    bool needs = false, waits = false, any = false;
    for (const AxleName axle : each_axle) {
      if (!w_.car().at(axle)) continue;
      const auto& c = w_.correction().at(axle);
      if (!c) {
        const auto& why = w_.correction().why[static_cast<std::size_t>(axle)];
        if (why) parts.push_back(axle_and(axle, words(*why, t_.units())));
        continue;
      }
      any = true;
      if (c->ranking.guessed) {
        waits = true;
        continue;
      }
      const auto* set = c->to_fit();
      if (!set) {
        needs = true;
        parts.push_back(axle_and(axle, "nothing on the shelf is possible"));
        add(Gate::correct, fmt::format("correct.{}.shelf", word(axle)), "correct",
            fmt::format("Widen the {} shelf: none of its {} combinations is possible.", word(axle),
                        c->ranking.candidates.size()),
            c->ranking.candidates.empty()
                ? "It holds nothing."
                : capital(words(c->ranking.candidates.front().why, t_.units())) + ".");
        continue;
      }
      any_set_ = true;
      const auto fits = fit_words(c->ranking.shelf, set->fit, t_.units());
      const auto chance = set->chance    ? in_a_hundred(*set->chance)
                          : set->meets() ? "meets every target"
                                         : "misses";
      parts.push_back(axle_and(
          axle, fmt::format("{} ({}{})", fits, chance, c->chosen ? "" : ", not settled on")));
      if (set->stop) {
        needs = true;
        add(Gate::correct, fmt::format("correct.{}.stop", word(axle)), "correct",
            fmt::format("Do not fit the {} set as it stands: {}.", word(axle), fits),
            capital(words(*set->stop)));
        continue;
      }
      advise(axle, *set);
      if (c->chosen) continue;
      needs = true;
      if (set->chance.value_or(set->meets() ? 1.0 : 0.0) >= sure_to_buy)
        add(Gate::correct, fmt::format("correct.{}.choose", word(axle)), "correct",
            fmt::format("Settle on the {} set: {}.", word(axle), fits),
            fmt::format("{} to meet every target; what is bought, made and proved follows what "
                        "stands in [{}.chosen].",
                        capital(chance), word(axle)));
      else
        add(Gate::correct, fmt::format("correct.{}.choose", word(axle)), "correct",
            fmt::format("Do not buy for the {} axle yet: the best set is {}.", word(axle), fits),
            set->misses.empty() || set->chance.value_or(0.0) > 0.0
                ? fmt::format("By today's readings it has {} to meet every target.", chance)
                : fmt::format("It misses: {}.", listed(words(set->misses, t_.units()))));
    }
    if (waits && parts.empty()) is("correct", StepState::waiting, "waits for measure");
    else if (!any)
      is("correct", StepState::not_begun,
         parts.empty() ? "nothing on the shelf yet: no [[option]]" : in_a_row(parts));
    else is("correct", needs ? StepState::needs_you : StepState::done, in_a_row(parts));
  }

  // A reading that lifts the chance of the set, where that is not sure enough.
  void advise(AxleName axle, const Candidate& set) {
    if (!set.chance || *set.chance >= sure_to_buy) return;
    for (const auto& a : w_.advices()) {
      if (a.axle != axle || a.guessed || a.best.empty()) continue;
      const auto& best = a.best.front();
      if (!best.chance_after || best.gain < worth_reading) continue;
      add(Gate::measure, fmt::format("measure.{}.narrow", word(axle)), "measure",
          fmt::format("Measure at the {}: {} ({}).", word(axle), best.action.what,
                      minutes_words(best.action)),
          fmt::format("By today's readings the best set has {} to meet every target.",
                      in_a_hundred(*set.chance)),
          fmt::format("It raises your odds from {:.0f} to {:.0f} in 100.", 100.0 * *a.chance_today,
                      100.0 * *best.chance_after));
    }
  }

  // ------------------------------------------------------------------ make, settle

  // A line for each thing that fails, and for each that a key would let be judged.
  struct Counts {
    std::size_t good = 0, bad = 0, open = 0;
  };
  Counts judged(const std::vector<Judgement>& all, Gate gate, const char* of) {
    Counts n;
    std::vector<std::string> looked_at;
    for (const auto& j : all) {
      n.good += j.verdict() == Serving::serves ? 1 : 0;
      n.bad += j.verdict() == Serving::does_not_serve ? 1 : 0;
      n.open += j.verdict() == Serving::not_judged ? 1 : 0;
    }
    for (const auto& j : all)
      if (j.verdict() == Serving::does_not_serve)
        add(gate, fmt::format("{}.{}", of, as_id(j.of)), of,
            fmt::format("Change {}: it is not OK yet.", j.of), capital(listed(j.fails)) + ".");
    for (const auto& j : all) {
      if (j.verdict() != Serving::not_judged) continue;
      std::vector<std::string> what, keys;
      for (const auto& u : j.unjudged) {
        if (u.key.empty()) continue;
        what.push_back(u.what);
        keys.push_back(u.key);
      }
      if (keys.empty()) {
        looked_at.push_back(j.of);
        continue;
      }
      add(gate, fmt::format("{}.judge.{}", of, as_id(j.of)), of,
          fmt::format("Say of {}: {}.", j.of, listed(keys)),
          fmt::format("Without it this is not judged: {}.", listed(what)));
    }
    if (!looked_at.empty())
      add(gate, fmt::format("{}.inspect", of), of,
          fmt::format("Have {} inspected ({} place{}).", listed(looked_at), looked_at.size(),
                      looked_at.size() == 1 ? "" : "s"),
          "Whether they bear what is added to them no sum here can tell.");
    return n;
  }
  static std::string count_words(const Counts& n) {
    std::vector<std::string> parts;
    if (n.bad > 0) parts.push_back(fmt::format("{} not OK", n.bad));
    parts.push_back(fmt::format("{} judged and OK", n.good));
    if (n.open > 0) parts.push_back(fmt::format("{} not judged", n.open));
    return listed(parts);
  }

  void make() {
    if (!any_set_) {
      is("make", StepState::waiting, "waits for a set to fit");
      return;
    }
    const auto all = in_words(w_.making().judged(), t_.units());
    if (all.empty()) {
      is("make", StepState::not_begun, "no part, bolt or rod end is named yet");
      add(Gate::make, "make.name", "make",
          "Name what is made and bolted: [[make]], [[fastener]], [[rod_end]].",
          "Until then nobody has judged whether bolts, rod ends and parts bear their loads.");
      return;
    }
    const auto n = judged(all, Gate::make, "make");
    is("make", n.bad + n.open > 0 ? StepState::needs_you : StepState::done, count_words(n));
  }

  void settle() {
    const auto all = in_words(trammel::judge(w_.settling()), t_.units());
    if (all.empty()) {
      is("settle", StepState::not_begun, "no spring, stop or drop link is described");
      return;
    }
    const auto n = judged(all, Gate::settle, "settle");
    is("settle", n.bad + n.open > 0 ? StepState::needs_you : StepState::done, count_words(n));
  }

  // ------------------------------------------------------------------ parts and work

  void parts_and_work() {
    const auto& jobs = w_.file().tables.jobs;
    const auto parts = parts_for(w_.correction(), jobs, t_.units());
    std::vector<std::string> needed, ordered;
    for (const auto& p : parts.parts) {
      if (p.state == "needed") needed.push_back(p.what);
      if (p.state == "ordered") ordered.push_back(p.what);
    }
    if (!needed.empty())
      add(Gate::get, "work.get", "make",
          fmt::format("Get or make {} part{}: {}.", needed.size(), needed.size() == 1 ? "" : "s",
                      listed(needed)),
          "The car is not taken apart before every part is here and measured.");
    else if (!ordered.empty())
      add(Gate::get, "work.wait", "make",
          fmt::format("Wait for {} part{}: {}.", ordered.size(), ordered.size() == 1 ? "" : "s",
                      listed(ordered)),
          "The car is not taken apart before every part is here and measured.");
    for (const auto& list : order_of_work(w_.car(), w_.correction(), jobs, t_.units())) {
      const auto open = std::count_if(list.steps.begin(), list.steps.end(),
                                      [](const Step& s) { return !s.done; });
      if (open == 0) continue;
      const auto& next = *std::find_if(list.steps.begin(), list.steps.end(),
                                       [](const Step& s) { return !s.done; });
      add(Gate::work, "work." + next.id, "work", next.what + (next.what.ends_with('.') ? "" : "."),
          list.gate.empty() ? fmt::format("It stands open among your own steps.")
                            : fmt::format("Part {}, {} of {} to do. Its gate: {}.", list.title,
                                          open, list.steps.size(), list.gate));
      break;
    }
  }

  // ------------------------------------------------------------------ align, prove

  void align() {
    const auto& a = w_.aligning(t_.units());
    if (!a.now()) {
      is("align", StepState::not_begun, "nothing is read on the floor yet");
      add(Gate::as_found, "align.as-found", "align",
          "Read the car as found on the floor: heights, camber, toe at 4 wheels.",
          "Once it is apart nobody can say how it stood.");
      return;
    }
    for (std::size_t i = 0; i < a.doubts.size(); ++i)
      add(Gate::align, fmt::format("align.asked.{}", i + 1), "align",
          "Look again at the floor readings.", a.doubts[i]);
    if (std::any_of(a.moved.begin(), a.moved.end(), [](const auto& m) { return m.too_much; })) {
      is("align", StepState::needs_you, "something has moved since the car was set");
      add(Gate::align, "align.moved", "align", "Find what has moved since the car was set.",
          "Something slipped or bent: the car is not driven before that is found.");
      return;
    }
    if (a.turned()) {
      is("align", StepState::needs_you, "turned as planned; to be read once more");
      add(Gate::align, "align.again", "align",
          "Roll the car and read everything on the floor once more.",
          fmt::format("What was turned on '{}' is written down; whether it came out is not.",
                      a.now()->when));
      return;
    }
    const auto& steps = a.plan->steps;
    if (steps.empty()) {
      is("align", a.met ? StepState::done : StepState::needs_you,
         a.met ? a.surely ? "everything read is where it is wanted"
                          : "where it is wanted, not all of it surely"
               : "something is not where it is wanted, and nothing in the file sets it");
      return;
    }
    std::vector<std::string> turns;
    turns.reserve(steps.size());
    for (const auto& s : steps)
      turns.push_back(fmt::format("{} {} {}", word(s.axle), word(s.side), turn_words(s)));
    is("align", StepState::needs_you,
       fmt::format("{} thing{} to turn", steps.size(), steps.size() == 1 ? "" : "s"));
    add(Gate::align, "align.turn", "align", fmt::format("Turn, in this order: {}.", listed(turns)),
        fmt::format("By '{}' {}.", a.now()->when,
                    a.met ? "all is where it is wanted, and this brings it nearer"
                          : "that brings every angle to where it is wanted"));
  }
  std::string turn_words(const AlignStep& s) const {
    const char* const way = s.by_mm > 0.0 ? "out" : "in";
    if (s.turns_rod && s.quarter_flats)
      return fmt::format("{} {}", turn_count_words(std::abs(*s.quarter_flats)), way);
    return fmt::format("{} {} by {}", word(s.what), s.adjuster, t_.signed_mm(s.by_mm));
  }

  void prove() {
    std::vector<std::string> parts;
    bool any = false, open = false;
    if (!any_set_ && w_.proving().runs.empty()) {
      is("prove", StepState::waiting, "waits for a set to fit");
      return;
    }
    for (const auto& a : w_.proving().axle) {
      if (!a) continue;
      any = true;
      for (const Side side : each_side) {
        const auto wheel = fmt::format("{} {}", word(a->axle), word(side));
        const auto* c = a->corner(side);
        if (!c) {
          open = true;
          parts.push_back(wheel + " not run");
          add(Gate::prove, fmt::format("prove.{}.{}", word(a->axle), word(side)), "prove",
              fmt::format("Run two dials at the {} wheel, up and down over the travel (half an "
                          "hour).",
                          wheel),
              "Nothing says yet that this wheel does what was predicted.");
          continue;
        }
        const auto& run = w_.proving().runs[c->run];
        parts.push_back(fmt::format("{} {}", wheel, word(run.verdict)));
        if (run.verdict == Verdict::passed) continue;
        open = true;
        add(Gate::prove, fmt::format("prove.{}.{}", word(a->axle), word(side)), "prove",
            run.verdict == Verdict::wrong
                ? fmt::format("Find what is wrong at the {} wheel before it is driven.", wheel)
                : fmt::format("Run the {} wheel again, or fit the next shim.", wheel),
            run.verdict == Verdict::wrong ? "It does not do what was predicted, or is loose."
            : !run.why ? "It does what was predicted, and toe is not surely within what is wanted."
                       : capital(words(*run.why, t_.units())) + ".");
      }
    }
    if (!any) is("prove", StepState::waiting, "waits for a set to fit");
    else
      is("prove",
         !open                       ? StepState::done
         : w_.proving().runs.empty() ? StepState::not_begun
                                     : StepState::needs_you,
         listed(parts));
  }

  struct Gated {
    Gate gate;
    Todo todo;
  };

  Worked& w_;
  InUnits t_;
  Front front_;
  std::vector<Gated> gated_;
  std::vector<Station> round_;
  bool any_set_ = false;
};

std::string sentence(const Todo& t) {
  std::string text = t.what;
  for (const auto* more : {&t.why, &t.gain})
    if (!more->empty()) text += " " + *more;
  return text;
}

constexpr std::size_t told_after = 2;  // things to do after the first one

}  // namespace

std::string_view word(StepState s) {
  switch (s) {
    case StepState::done:
      return "done";
    case StepState::waiting:
      return "waiting";
    case StepState::needs_you:
      return "needs_you";
    case StepState::not_begun:
      break;
  }
  return "not_begun";
}
std::string_view words(StepState s) {
  switch (s) {
    case StepState::needs_you:
      return "needs you";
    case StepState::not_begun:
      return "not begun";
    default:
      return word(s);
  }
}

Front front_of(Worked& worked, Units units) { return Fronted(worked, units).made(); }

Section tell(const Front& front) {
  auto s = begun(SectionId::front);
  s.answer = front.todo.empty() ? "Nothing is left to do: sign the record, both names and the day."
                                : sentence(front.todo.front());
  std::string then;
  for (std::size_t i = 1; i < std::min(front.todo.size(), told_after + 1); ++i)
    s.blocks.emplace_back(
        Paragraph{fmt::format("{} {}", i == 1 ? "Then:" : "And:", front.todo[i].what)});
  Grid g;
  g.in_words = true;
  g.heads = {"step", "", "answer"};
  g.units = {"", "", ""};
  for (const auto& step : front.steps)
    g.rows.push_back({step.id, std::string(words(step.state)), step.answer});
  s.blocks.emplace_back(std::move(g));
  return s;
}

}  // namespace trammel
