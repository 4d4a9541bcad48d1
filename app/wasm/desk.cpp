#include "wasm/desk.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/in_units.h"
#include "correct/hole_drawing.h"
#include "correct/reasons.h"
#include "sheet/sections.h"
#include "sheet/worked.h"
#include "told/cautions.h"
#include "wasm/known.h"
#include "wasm/paged.h"
#include "wasm/surveyed.h"
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

}  // namespace

Desk::Desk() = default;
Desk::~Desk() = default;

Looked Desk::reply(const Look& ask) {
  Looked l;
  const Units units = ask.inch ? Units::inch : Units::metric;
  auto* k = know(known_, surveyed_, ask.text, l.faults, ask.hurry);
  if (!k) {
    if (const auto d = parse(ask.text); d.value) l.values = values_of(*d.value);
    return l;
  }
  const Value* name = at(k->document, "name");
  l.name = name && name->string() ? *name->string() : "";
  const Value* demo = at(k->document, "demo");
  l.demo = demo && std::holds_alternative<bool>(demo->is) && std::get<bool>(demo->is);
  l.values = values_of(k->document);
  l.why = k->why;
  if (!k->stands) return l;
  if (k->hurried && !ask.hurry)
    for (auto& [axle, a] : k->axle) k->draw_today(axle, false);
  std::vector<Plot> plots;
  for (auto& [axle, a] : k->axle) {
    BenchAxle bench;
    bench.axle = word(axle);
    if (a.why) bench.why = words(*a.why, units);
    auto states = a.today;
    if (a.shelf) {
      const auto& shelf = a.shelf->shelf;
      auto fit = chosen_fit(shelf, k->wishes, axle);
      bench.chosen = fit.has_value();
      for (const auto& set : ask.sets)
        if (!fit && set.axle == bench.axle) fit = fit_from(shelf, set.picks);
      const InUnits t(units);
      for (std::size_t i = 0; i < shelf.choices.size(); ++i) {
        const auto& choice = shelf.choices[i];
        BenchChoice c{choice.option.name, {}, {}};
        for (const double size : choice.sizes_mm) {
          c.sizes.push_back({size, words(choice, SizeOrPlace{size, {}}, units)});
        }
        for (const int axis : choice.axes) {
          const auto n = static_cast<std::size_t>(axis);
          const auto& r = choice.range_mm[n];
          c.ranges.push_back(
              {axis_keys[n], axis_ways[n], r[0], r[1], t.signed_mm(r[0]), t.signed_mm(r[1])});
        }
        bench.choices.push_back(std::move(c));
      }
      if (fit) bench.tried = k->tried(axle, *fit, units, ask.hurry, states);
    }
    for (auto& plot : plots_of(states, k->wanted(axle), axle, units)) plots.push_back(plot);
    l.bench.push_back(std::move(bench));
  }
  l.sections = {paged(car_section(*k->adjusted, k->wishes, k->survey, units)),
                paged(measure_section(*k->adjusted, units)),
                paged(travel_section(*k->stands, *k->adjusted, plots, units))};
  return l;
}

Ranked Desk::reply(const Rank& ask, const Progress& progress) {
  Ranked out;
  const Units units = ask.inch ? Units::inch : Units::metric;
  std::vector<FaultSeen> faults;
  auto* k = know(known_, surveyed_, ask.text, faults);
  if (!k || !k->stands) {
    out.why = k ? k->why : "the file is at fault";
    return out;
  }
  const auto& sits = k->stands->sits;
  const auto& spread = k->adjusted->spread;
  Correction correction;
  int done = 0;
  for (auto& [axle, a] : k->axle) {
    const auto i = static_cast<std::size_t>(axle);
    const double share = 1.0 / static_cast<double>(k->axle.size());
    if (!a.shelf) {
      correction.why[i] = a.why;
      ++done;
      continue;
    }
    if (!a.ranked) {
      auto ranked = rank(sits, spread, axle, k->wishes, [&](double x) {
        if (progress) progress((done + x) * share);
      });
      if (!ranked.value) {
        correction.why[i] = ranked.why;
        ++done;
        continue;
      }
      a.ranked = std::move(*ranked.value);
    }
    std::string set;
    if (const auto fit = chosen_fit(a.shelf->shelf, k->wishes, axle))
      for (const auto& pick : picks_of(a.shelf->shelf, *fit)) set += written(pick).dump();
    if (!a.completed || a.completed_for != set) {
      a.completed = completed(sits, spread, k->wishes, *a.ranked);
      a.completed_for = set;
    }
    ++done;
    const auto& c = *a.completed;
    correction.axle[i] = c;
    RankedAxle r;
    r.axle = r.set.axle = word(axle);
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
          word(axle),
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
    out.axles.push_back(std::move(r));
  }
  const auto advices = advices_for(k->stands->sits, spread, k->wishes, correction);
  for (const auto& a : advices)
    for (auto& r : out.axles)
      if (r.axle == word(a.axle)) r.next = first_advice(a, NarrowWhat::chance, units);
  out.sections.push_back(paged(next_section(advices, units)));
  const auto making = make(sits, correction, k->wishes, k->workshop);
  out.sections.push_back(
      paged(correct_section(*k->stands, *k->adjusted, correction, making, units)));
  out.sections.push_back(paged(make_section(making, *k->adjusted, units)));
  out.sections.push_back(
      paged(settle_section(settle(k->stands->sits, correction, k->wishes), *k->adjusted, units)));
  if (any_set(correction)) {
    out.sections.push_back(paged(rods_section(*k->adjusted, correction, units)));
    out.sections.push_back(paged(parts_section(*k->adjusted, correction, k->jobs, units)));
  }
  const auto aligning = k->aligning(units);
  const auto proving = prove(k->runs, sits, *k->adjusted, k->survey, k->wishes, correction);
  out.sections.push_back(paged(align_section(aligning, *k->adjusted, units)));
  if (any_set(correction) || !k->runs.empty())
    out.sections.push_back(paged(prove_section(proving, *k->adjusted, units)));
  out.sections.push_back(paged(work_section(*k->adjusted, correction, k->jobs, units)));
  out.sections.push_back(
      paged(record_section(*k->adjusted, correction, aligning, proving, k->jobs, units)));
  return out;
}

Tried Desk::reply(const Try& ask) {
  std::vector<FaultSeen> faults;
  auto* k = know(known_, surveyed_, ask.text, faults);
  const auto axle = axle_named(ask.set.axle);
  if (!k || !k->stands || !axle || !k->axle.count(*axle) || !k->axle.at(*axle).shelf) {
    Tried t;
    t.axle = ask.set.axle;
    t.sentence = "There is nothing to try this on.";
    return t;
  }
  auto& a = k->axle.at(*axle);
  const auto& shelf = a.shelf->shelf;
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
  auto states = a.today;
  auto t = k->tried(*axle, fit, ask.inch ? Units::inch : Units::metric, ask.hurry, states, true);
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
    known_.reset();  // nothing half done is kept
    surveyed_.reset();
    return failed(error.what());
  } catch (...) {
    known_.reset();
    surveyed_.reset();
    return failed("something went wrong that has no name");
  }
}

}  // namespace trammel
