#include "wasm/desk.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/in_units.h"
#include "base/words.h"
#include "correct/hole_drawing.h"
#include "correct/reasons.h"
#include "correct/tables.h"
#include "sheet/sections.h"
#include "told/cautions.h"
#include "travel/freedom.h"
#include "travel/reasons.h"
#include "wasm/paged.h"
#include "wasm/picks.h"
#include "wasm/values.h"
#include "wire/page_fields.h"

namespace trammel {
namespace {

using namespace wire;

constexpr std::size_t listed_sets = 8;
constexpr double snap_mm = 0.1;  // of a hole that is dragged
constexpr std::array<const char*, 3> axis_keys{"x", "y", "z"};
constexpr std::array<const char*, 3> axis_ways{"forward", "to the left, outboard", "up"};

std::optional<AxleName> axle_named(const std::string& name) {
  for (const AxleName a : {AxleName::front, AxleName::rear})
    if (name == word(a)) return a;
  return {};
}

// Enough for a hand that moves.
constexpr int hurried_samples = 400, hurried_band = 500;

Wanted wanted_on(const Worked& worked, AxleName axle) {
  return wanted_of(worked.wishes().target[static_cast<std::size_t>(axle)]);
}

BenchChoice on_bench(const Choice& choice, Units units) {
  const InUnits t(units);
  BenchChoice c{choice.option.name, {}, {}};
  for (const double size : choice.sizes_mm)
    c.sizes.push_back({size, words(choice, SizeOrPlace{size, {}}, units)});
  for (const int axis : choice.axes) {
    const auto n = static_cast<std::size_t>(axis);
    const auto& r = choice.range_mm[n];
    c.ranges.push_back(
        {axis_keys[n], axis_ways[n], r[0], r[1], t.signed_mm(r[0]), t.signed_mm(r[1])});
  }
  return c;
}

RankedAxle ranked_axle(const AxleCorrection& c, Units units) {
  RankedAxle r;
  r.axle = r.set.axle = word(c.ranking.axle);
  r.rule = rule_words(c, units);
  if (const auto* fit = c.to_fit()) r.set.picks = picks_of(c.ranking.shelf, fit->fit);
  for (const auto& x : c.ranking.candidates) {
    if (r.best.size() == listed_sets || !x.figures) break;
    r.best.push_back(
        {fit_words(c.ranking.shelf, x.fit, units),
         x.stop      ? "STOP"
         : x.meets() ? "meets"
                     : "misses",
         x.chance ? fmt::format("{}{:.0f}", x.equal_to_best ? "= " : "", 100.0 * *x.chance) : "",
         picks_of(c.ranking.shelf, x.fit)});
  }
  for (const auto& map : c.maps) {
    auto d = hole_drawing(c.ranking, map);
    const auto frame = hole_frame(map);
    // A hand's breadth around the range, so that its ends can be reached.
    constexpr double around_mm = 4.0;
    const auto& across = map.at_mm[0];
    const auto& up = map.at_mm[1];
    const auto corner = frame.drawn({across.back(), up.back()});
    const auto opposite = frame.drawn({across.front(), up.front()});
    r.maps.push_back(BenchMap{
        word(c.ranking.axle),
        c.ranking.shelf.choices[map.choice].option.name,
        map.side ? word(*map.side) : "",
        d.title,
        d.text,
        caution(Care::hole_edge),
        d.svg,
        frame.wide_mm,
        frame.high_mm,
        {corner[0] - around_mm, corner[1] - around_mm, opposite[0] - corner[0] + 2.0 * around_mm,
         opposite[1] - corner[1] + 2.0 * around_mm}});
  }
  return r;
}

}  // namespace

Desk::Desk() = default;
Desk::~Desk() = default;

Worked* Desk::worked(const std::string& text, std::vector<FaultSeen>& faults) {
  if (worked_ && worked_->file().document.text == text) return worked_.get();
  auto read = read_car_file(text);
  if (!read.value) {
    faults = seen(read.faults, text);
    return nullptr;
  }
  if (worked_) worked_->retake(std::move(*read.value));
  else worked_ = std::make_unique<Worked>(std::move(*read.value));
  return worked_.get();
}

std::string Desk::why_nothing_stands(Worked* worked, const char* at_fault, Units units) {
  if (!worked) return at_fault;
  if (!worked->surveyed().value) return worked->surveyed().why;
  return worked->stances().value ? "" : words(worked->stances().why, units);
}

Tried Desk::tried(Worked& worked, AxleName name, const Fit& fit, Units units, bool hurry,
                  std::vector<PlottedState>& states, bool toe_alone) {
  const auto& stands = *worked.stances().value;
  const auto& spread = worked.adjusted().spread;
  const auto& wishes = worked.wishes();
  const auto& r = *worked.shelf(name).value;
  const auto c = trammel::tried(stands.sits, spread, wishes, r, fit,
                                hurry ? hurried_samples : samples_for_leaders);
  Tried t;
  t.axle = word(name);
  t.sentence = capital(set_words(r, c, units));
  if (c.stop) t.stop = words(*c.stop);
  t.good = !c.stop && !r.guessed && (c.chance ? *c.chance >= HoleMap::good_chance : c.meets());
  t.picks = picks_of(r.shelf, fit);
  if (!c.figures) return t;
  if (!c.misses.empty() && c.chance.value_or(0.0) > 0.0)
    t.sentence += " As the joints are taken to be: " + listed(words(c.misses, units)) + ".";
  t.figures = figures_table(r, c, units);
  states.push_back(plotted_with_set(stands, spread, wishes, r, fit,
                                    hurry ? hurried_band : plotted_samples, toe_alone));
  for (const auto& plot : plots_of(states, wanted_on(worked, name), name, units, true))
    t.plots.push_back(drawn(plot));
  return t;
}

Looked Desk::reply(const Look& ask) {
  Looked l;
  const Units units = units_of(ask.inch);
  auto* worked = this->worked(ask.text, l.faults);
  if (!worked) {
    if (const auto d = parse(ask.text); d.value) l.values = values_of(*d.value);
    return l;
  }
  l.name = worked->file().car.name;
  l.demo = worked->file().car.demo;
  l.values = values_of(worked->file().document);
  l.why = why_nothing_stands(worked, "", units);
  if (!l.why.empty()) return l;
  std::vector<Plot> plots;
  for (const AxleName axle : each_axle) {
    if (!worked->car().at(axle)) continue;
    BenchAxle bench;
    bench.axle = word(axle);
    auto states = worked->today(axle, ask.hurry ? hurried_band : plotted_samples);
    if (const auto& r = worked->shelf(axle); r.value) {
      const auto& shelf = r.value->shelf;
      auto fit = chosen_fit(shelf, worked->wishes(), axle);
      bench.chosen = fit.has_value();
      for (const auto& set : ask.sets)
        if (!fit && set.axle == bench.axle) fit = fit_from(shelf, set.picks);
      for (const auto& choice : shelf.choices) bench.choices.push_back(on_bench(choice, units));
      if (fit) bench.tried = tried(*worked, axle, *fit, units, ask.hurry, states);
    } else {
      bench.why = words(r.why, units);
    }
    for (auto& plot : plots_of(states, wanted_on(*worked, axle), axle, units))
      plots.push_back(std::move(plot));
    l.bench.push_back(std::move(bench));
  }
  for (const auto& s : sections(*worked, Stage::surveyed, plots, units))
    l.sections.push_back(paged(s));
  return l;
}

Ranked Desk::reply(const Rank& ask, const Progress& progress) {
  Ranked out;
  const Units units = units_of(ask.inch);
  std::vector<FaultSeen> faults;
  auto* worked = this->worked(ask.text, faults);
  if (out.why = why_nothing_stands(worked, "the file is at fault", units); !out.why.empty())
    return out;
  worked->watch(progress);
  const auto& correction = worked->correction();
  worked->watch({});
  for (const auto& c : correction.axle)
    if (c) out.axles.push_back(ranked_axle(*c, units));
  for (const auto& a : worked->advices())
    for (auto& r : out.axles)
      if (r.axle == word(a.axle)) r.next = first_advice(a, NarrowWhat::chance, units);
  for (const auto& s : sections(*worked, Stage::ranked, {}, units))
    out.sections.push_back(paged(s));
  return out;
}

Tried Desk::reply(const Try& ask) {
  std::vector<FaultSeen> faults;
  auto* worked = this->worked(ask.text, faults);
  const auto axle = axle_named(ask.set.axle);
  if (!why_nothing_stands(worked, "the file is at fault", units_of(ask.inch)).empty() || !axle ||
      !worked->car().at(*axle) || !worked->shelf(*axle).value) {
    Tried t;
    t.axle = ask.set.axle;
    t.sentence = "There is nothing to try this on.";
    return t;
  }
  const auto& shelf = worked->shelf(*axle).value->shelf;
  Fit fit = fit_from(shelf, ask.set.picks);
  const auto moves = [&](Side side) { return ask.side.empty() || ask.side == word(side); };
  const Side shown_side = ask.side == word(Side::right) ? Side::right : Side::left;
  // A place on the map's drawing: the map's frame needs its ranges alone.
  std::vector<std::array<double, 2>> hole;
  for (std::size_t i = 0; i < shelf.choices.size(); ++i) {
    const auto& choice = shelf.choices[i];
    if (!choice.made_to_measure() || (!ask.moved.empty() && choice.option.name != ask.moved))
      continue;
    const auto frame_map = empty_map(choice);
    const auto frame = hole_frame(frame_map);
    if (!ask.hole.empty()) {
      const auto moved = frame.moved(ask.hole.front());
      for (const Side side : each_side)
        for (std::size_t n = 0; n < 2 && moves(side); ++n)
          fit.part[i][side].by_mm[frame_map.axes[n]] = snap_mm * std::round(moved[n] / snap_mm);
      fit = fit_from(shelf, picks_of(shelf, fit));
    }
    const auto& by = fit.part[i][shown_side].by_mm;
    hole.push_back(frame.drawn({by[frame_map.axes[0]], by[frame_map.axes[1]]}));
    break;
  }
  auto states = worked->today(*axle, ask.hurry ? hurried_band : plotted_samples);
  auto t = tried(*worked, *axle, fit, units_of(ask.inch), ask.hurry, states, true);
  t.hole = std::move(hole);
  return t;
}

std::string Desk::answer(const std::string& request, const Progress& progress) {
  const auto failed = [](const std::string& why) { return Json{{"failed", why}}.dump(); };
  try {
    const auto json = Json::parse(request, nullptr, false);
    if (!json.is_object() || !json.contains("kind") || !json["kind"].is_string())
      return failed("the request is no object with a kind");
    const auto kind = json["kind"].get<std::string>();
    std::string out;
    const auto serve = [&](auto ask) {
      using R = decltype(ask);
      if (!out.empty() || kind != Fields<R>::kind) return;
      std::string why;
      if (!read(json, ask, why)) {
        out = failed(kind + ": " + why);
        return;
      }
      Json j;
      if constexpr (std::is_same_v<R, Rank>) j["reply"] = written(reply(ask, progress));
      else j["reply"] = written(reply(ask));
      out = j.dump(-1, ' ', false, Json::error_handler_t::replace);
    };
    serve(Look{});
    serve(Rank{});
    serve(Try{});
    serve(Change{});
    serve(Choose{});
    serve(Note{});
    serve(ShowRound{});
    serve(ShowCard{});
    serve(EnterCard{});
    serve(SetAside{});
    serve(ShowGauge{});
    serve(EnterGauge{});
    serve(ShowBlank{});
    serve(Start{});
    serve(Draw{});
    serve(Joints{});
    serve(Nudge{});
    serve(DrawPart{});
    serve(ShowFloorRound{});
    serve(ShowFloorCard{});
    serve(EnterFloorCard{});
    serve(TurnAsPlanned{});
    return out.empty() ? failed("'" + kind + "' is no kind of request") : out;
  } catch (const std::exception& error) {
    worked_.reset();  // nothing half done is kept
    return failed(error.what());
  } catch (...) {
    worked_.reset();
    return failed("something went wrong that has no name");
  }
}

}  // namespace trammel
