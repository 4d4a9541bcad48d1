#include "wasm/desk.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "base/check.h"
#include "base/in_units.h"
#include "car/edit.h"
#include "car/survey.h"
#include "car/table_reader.h"
#include "correct/hole_drawing.h"
#include "sheet/sections.h"
#include "travel/freedom.h"
#include "wire/page_fields.h"

namespace trammel {
namespace {

using namespace wire;

constexpr int hurried_samples = 400, hurried_band = 500;
constexpr std::size_t listed_sets = 8;
constexpr double snap_mm = 0.1;  // of a hole that is dragged
constexpr std::array<const char*, 3> axis_keys{"x", "y", "z"};
constexpr std::array<const char*, 3> axis_ways{"forward", "to the left, outboard", "up"};

std::string line_of(const std::string& text, int line) {
  std::size_t from = 0;
  for (int i = 1; i < line; ++i) {
    from = text.find('\n', from);
    if (from == std::string::npos) return {};
    ++from;
  }
  auto found = text.substr(from, text.find('\n', from) - from);
  if (!found.empty() && found.back() == '\r') found.pop_back();
  return found;
}

std::vector<FaultSeen> seen(const std::vector<Fault>& faults, const std::string& text) {
  std::vector<FaultSeen> all;
  all.reserve(faults.size());
  for (const auto& f : faults)
    all.push_back({f.line, f.what, f.line > 0 ? line_of(text, f.line) : ""});
  return all;
}

DrawnPlot drawn(const Plot& plot) {
  const PlotSize size;
  auto r = readout(plot, size);
  return {plot.title,        plot_svg(plot, size), std::move(r.values),
          std::move(r.x_mm), size.width_mm,        size.height_mm,
          r.top_mm,          r.bottom_mm};
}

PageSection paged(const Section& s) {
  PageSection page{s.name, s.question, s.answer, {}};
  for (const auto& block : s.blocks)
    std::visit(
        [&](const auto& b) {
          if constexpr (std::is_same_v<std::decay_t<decltype(b)>, Plot>)
            page.blocks.emplace_back(drawn(b));
          else page.blocks.emplace_back(b);
        },
        block);
  return page;
}

// A text without its quotes, as somebody would type it; what is no plain text stays as written.
std::string typed_form(const Value& value, const std::string& written) {
  const auto* s = value.string();
  return s && as_toml(*s) == in_quotes(*s) ? *s : written;
}

// The head a value stands under and the label it goes by there.
struct Place {
  std::string group, label;
};
Place place_of(const Document& d, const std::string& path) {
  const auto steps = *steps_of(path);
  // Rows of a list are told apart by their number and, where they have one, their name.
  if (steps.size() > 1 && steps[1].index) {
    const auto row = fmt::format("{}[{}]", steps[0].key, *steps[1].index);
    const Value* name = at(d, row + ".name");
    const auto head = path.find(']') + 2;
    return {name && name->string()
                ? fmt::format("{} {}: {}", steps[0].key, *steps[1].index + 1, *name->string())
                : fmt::format("{} {}", steps[0].key, *steps[1].index + 1),
            head < path.size() ? path.substr(head) : ""};
  }
  std::string group;
  std::size_t taken = 0;
  const Value* value = &d.root;
  for (const auto& step : steps) {
    const Value* next = step.index ? nullptr : value->find(step.key);
    if (!next || !next->table() || d.text[next->begin] == '{') break;
    group += (group.empty() ? "" : ".") + key_text(step.key);
    value = next;
    ++taken;
  }
  return {group.empty() ? "the file" : group,
          taken == 0 ? path : path.substr(std::min(path.size(), group.size() + 1))};
}

std::vector<ValueGroup> values_of(const Document& d) {
  std::vector<ValueGroup> groups;
  for (const auto& leaf : leaves(d)) {
    const auto place = place_of(d, leaf.path);
    auto group = std::find_if(groups.begin(), groups.end(),
                              [&](const ValueGroup& g) { return g.title == place.group; });
    if (group == groups.end()) group = groups.insert(groups.end(), {place.group, {}});
    // Elements of a list share a row.
    auto label = place.label;
    if (label.ends_with(']')) label.erase(label.rfind('['));
    if (group->rows.empty() || group->rows.back().label != label || label == place.label)
      group->rows.push_back({label, leaf.line, {}});
    group->rows.back().cells.push_back({leaf.path, typed_form(*at(d, leaf.path), leaf.written)});
  }
  return groups;
}

std::optional<AxleName> axle_named(const std::string& name) {
  for (const AxleName a : {AxleName::front, AxleName::rear})
    if (name == word(a)) return a;
  return {};
}

std::vector<Pick> picks_of(const Shelf& shelf, const Fit& fit) {
  std::vector<Pick> picks;
  for (std::size_t i = 0; i < shelf.choices.size(); ++i)
    picks.push_back({shelf.choices[i].option->name,
                     fit.size_mm[i],
                     {fit.by_mm[i].x, fit.by_mm[i].y, fit.by_mm[i].z}});
  return picks;
}

// What is picked, on this shelf: made joints kept within their ranges, unknown options passed over.
Fit fit_from(const Shelf& shelf, const std::vector<Pick>& picks) {
  Fit fit{std::vector<double>(shelf.choices.size(), 0.0),
          std::vector<Vec3<double>>(shelf.choices.size(), {0.0, 0.0, 0.0})};
  for (std::size_t i = 0; i < shelf.choices.size(); ++i)
    for (const auto& pick : picks) {
      const auto& choice = shelf.choices[i];
      if (choice.option->name != pick.option) continue;
      if (!choice.made_to_measure()) fit.size_mm[i] = pick.size_mm;
      for (const int axis : choice.axes) {
        const auto k = static_cast<std::size_t>(axis);
        fit.by_mm[i][axis] =
            std::clamp(pick.by_mm[k], choice.range_mm[k][0], choice.range_mm[k][1]);
      }
    }
  return fit;
}

Grid figures_grid(const Ranking& r, const Candidate& c, const InUnits& t) {
  const auto& b = r.before;
  const auto& f = *c.figures;
  const auto range = [&](const std::optional<std::array<double, 2>>& x, Measure m) {
    return x ? fmt::format("{} to {}", shown((*x)[0], m, t.units()), t.said((*x)[1], m))
             : std::string("-");
  };
  return {fmt::format("{} axle with this set; toe of the worse side", capital(word(r.axle))),
          {"", "as it sits", "with it", "wanted"},
          {"", "", "", ""},
          {{"toe change", t.deg(b.toe_change_max_rad), t.deg(f.toe_change_max_rad),
            "up to " + t.deg(r.wanted.toe_change_rad)},
           {"per bump", t.slope(b.bump_steer), t.slope(f.bump_steer), "-"},
           {"roll centre", t.mm(b.roll_centre_height_mm), t.mm(f.roll_centre_height_mm),
            range(r.wanted.roll_centre_mm, Measure::length)},
           {"camber", t.deg(b.camber_rad), t.deg(f.camber_rad),
            range(r.wanted.camber_rad, Measure::angle)}}};
}

}  // namespace

// Everything a text leads to, axle by axle, worked out once.
struct Desk::Known {
  std::string text, key;
  bool hurried = false;  // its bands come from fewer drawn cars
  Document document;
  Survey survey;
  Wishes wishes;  // what was chosen is that of the text asked with last
  Jobs jobs;
  std::string why;  // why there is nothing below
  std::optional<Adjusted> adjusted;
  std::optional<Stands> stands;
  struct OfAxle {
    std::string why;  // why there is nothing to fit
    std::vector<PlottedState> today;
    std::optional<Ranking> shelf;  // nothing ranked
    std::optional<Ranking> ranked;
    std::optional<AxleCorrection> completed;
    std::string completed_for;  // the set that it is about
  };
  std::map<AxleName, OfAxle> axle;

  void draw_today(AxleName name, bool hurry) {
    axle[name].today =
        plotted_today(*stands, adjusted->spread, name, hurry ? hurried_band : plotted_samples);
    hurried = hurry;
  }

  Wanted wanted(AxleName name) const {
    return wanted_of(wishes.target[static_cast<std::size_t>(name)]);
  }

  // `states`: gets the curve of the set beside those of today.
  // `toe_alone`: only the plot of toe is wanted of them.
  Tried tried(AxleName name, const Fit& fit, Units units, bool hurry,
              std::vector<PlottedState>& states, bool toe_alone = false) const {
    const auto& a = axle.at(name);
    const auto& r = *a.shelf;
    const auto c = trammel::tried(stands->sits, adjusted->spread, wishes, r, fit,
                                  hurry ? hurried_samples : samples_for_leaders);
    Tried t;
    t.axle = word(name);
    t.sentence = capital(set_words(r, c, units));
    t.stop = c.stop;
    t.good = c.stop.empty() && (c.chance ? *c.chance >= HoleMap::good_chance : c.meets());
    t.picks = picks_of(r.shelf, fit);
    if (!c.figures) return t;
    if (!c.misses.empty() && c.chance.value_or(0.0) > 0.0)
      t.sentence += " As the joints are taken to be: " + listed(c.misses) + ".";
    t.figures = figures_grid(r, c, InUnits(units));
    states.push_back(plotted_with_set(*stands, adjusted->spread, wishes, r, fit,
                                      hurry ? hurried_band : plotted_samples, toe_alone));
    t.plot = drawn(plots_of(states, wanted(name), name, units).front());
    return t;
  }
};

Desk::Desk() = default;
Desk::~Desk() = default;

Desk::Known* Desk::known(const std::string& text, std::vector<FaultSeen>& faults, bool hurry) {
  if (known_ && known_->text == text) return known_.get();
  auto document = parse(text);
  if (!document.value) {
    faults = seen(document.faults, text);
    return nullptr;
  }
  // What the geometry hangs on.
  std::string key;
  for (const auto& leaf : leaves(*document.value)) {
    const bool aside = leaf.path == "name" || leaf.path.starts_with("job[") ||
                       leaf.path.starts_with("front.chosen") ||
                       leaf.path.starts_with("rear.chosen");
    if (!aside) key += leaf.path + "=" + leaf.written + "\n";
  }
  auto car = read_car(*document.value);
  if (!car.value) {
    faults = seen(car.faults, text);
    return nullptr;
  }
  auto wishes = read_wishes(*document.value, *car.value);
  if (known_ && known_->key == key) {
    // The shelf points to the options, which are the same: only what was chosen is taken over.
    known_->wishes.chosen = std::move(wishes.chosen);
    known_->jobs = read_jobs(*document.value);
    known_->document = std::move(*document.value);
    known_->text = text;
    if (known_->adjusted) known_->adjusted->car.name = car.value->name;
    return known_.get();
  }
  known_ = std::make_unique<Known>();
  auto& k = *known_;
  k.text = text;
  k.key = std::move(key);
  k.wishes = std::move(wishes);
  k.survey = read_survey(*document.value, *car.value);
  k.jobs = read_jobs(*document.value);
  k.document = std::move(*document.value);
  auto adjusted = adjust(*car.value, k.survey);
  if (!adjusted.value) {
    k.why = adjusted.why;
    return &k;
  }
  k.adjusted = std::move(*adjusted.value);
  auto stands = stands_of(k.adjusted->car, k.wishes);
  if (!stands.value) {
    k.why = stands.why;
    return &k;
  }
  k.stands = std::move(*stands.value);
  for (const AxleName name : {AxleName::front, AxleName::rear}) {
    if (!k.adjusted->car.at(name)) continue;
    auto& a = k.axle[name];
    k.draw_today(name, hurry);
    auto shelf = unranked(k.stands->sits, name, k.wishes);
    if (shelf.value) a.shelf = std::move(*shelf.value);
    else a.why = shelf.why;
  }
  return &k;
}

Looked Desk::reply(const Look& ask) {
  Looked l;
  const Units units = ask.inch ? Units::inch : Units::metric;
  auto* k = known(ask.text, l.faults, ask.hurry);
  if (!k) {
    if (const auto d = parse(ask.text); d.value) l.values = values_of(*d.value);
    return l;
  }
  const Value* name = at(k->document, "name");
  l.name = name && name->string() ? *name->string() : "";
  const Value* demo = at(k->document, "demo");
  l.demo = demo && std::holds_alternative<bool>(demo->is) && std::get<bool>(demo->is);
  l.has_readings = !k->survey.empty();
  l.values = values_of(k->document);
  l.why = k->why;
  if (!k->stands) return l;
  if (k->hurried && !ask.hurry)
    for (auto& [axle, a] : k->axle) k->draw_today(axle, false);
  std::vector<Plot> plots;
  for (auto& [axle, a] : k->axle) {
    BenchAxle bench;
    bench.axle = word(axle);
    bench.why = a.why;
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
        BenchChoice c{
            choice.option->name,
            fmt::format("{}.{}", word(axle),
                        k->adjusted->car.at(axle)
                            ->layout.points[static_cast<std::size_t>(choice.option->joint)]),
            {},
            {}};
        for (const double size : choice.sizes_mm) {
          Fit one{std::vector<double>(shelf.choices.size(), size), {}};
          c.sizes.push_back({size, words(choice, one, i, units)});
        }
        for (const int axis : choice.axes) {
          const auto n = static_cast<std::size_t>(axis);
          const auto& r = choice.range_mm[n];
          c.ranges.push_back({axis_keys[n], axis_ways[n], r[0], r[1], t.signed_mm(r[0]),
                              t.signed_mm(r[1]),
                              fit ? t.signed_mm(fit->by_mm[i][axis]) : std::string()});
        }
        bench.choices.push_back(std::move(c));
      }
      if (fit) {
        bench.tried = k->tried(axle, *fit, units, ask.hurry, states);
      }
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
  auto* k = known(ask.text, faults);
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
           !x.stop.empty() ? "STOP"
           : x.meets()     ? "meets"
                           : "misses",
           x.chance ? fmt::format("{}{:.0f}", x.equal_to_best ? "= " : "", 100.0 * *x.chance) : "",
           picks_of(c.ranking.shelf, x.fit)});
    }
    if (c.map) {
      auto d = hole_drawing(c.ranking, *c.map);
      const auto frame = hole_frame(*c.map);
      // A hand's breadth around the range, so that its ends can be reached.
      constexpr double around_mm = 4.0;
      const auto& across = c.map->at_mm[0];
      const auto& up = c.map->at_mm[1];
      const auto corner = frame.drawn({across.back(), up.back()});
      const auto opposite = frame.drawn({across.front(), up.front()});
      r.map = BenchMap{
          word(axle),
          c.ranking.shelf.choices[c.map->choice].option->name,
          d.title,
          d.text,
          d.svg,
          frame.wide_mm,
          frame.high_mm,
          {axis_keys[static_cast<std::size_t>(c.map->axes[0])],
           axis_keys[static_cast<std::size_t>(c.map->axes[1])]},
          {corner[0] - around_mm, corner[1] - around_mm, opposite[0] - corner[0] + 2.0 * around_mm,
           opposite[1] - corner[1] + 2.0 * around_mm}};
    }
    out.axles.push_back(std::move(r));
  }
  const auto advices = advices_for(*k->stands, spread, k->wishes, correction);
  for (const auto& a : advices)
    for (auto& r : out.axles)
      if (r.axle == word(a.axle)) r.next = first_advice(a, NarrowWhat::chance, units);
  out.sections.push_back(paged(next_section(advices, units)));
  out.sections.push_back(paged(correct_section(*k->stands, *k->adjusted, correction, units)));
  if (any_set(correction)) {
    out.sections.push_back(paged(rods_section(k->adjusted->car, correction, units)));
    out.sections.push_back(paged(parts_section(correction, k->jobs, units)));
  }
  out.sections.push_back(paged(work_section(k->adjusted->car, correction, k->jobs, units)));
  return out;
}

Tried Desk::reply(const Try& ask) {
  std::vector<FaultSeen> faults;
  auto* k = known(ask.text, faults);
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
  // A place on the map's drawing: the map's frame needs its ranges alone.
  std::vector<std::array<double, 2>> hole;
  for (std::size_t i = 0; i < shelf.choices.size(); ++i) {
    const auto& choice = shelf.choices[i];
    if (!choice.made_to_measure() || (!ask.moved.empty() && choice.option->name != ask.moved))
      continue;
    const auto frame_map = empty_map(choice);
    const auto frame = hole_frame(frame_map);
    if (!ask.hole.empty()) {
      auto picks = picks_of(shelf, fit);
      const auto moved = frame.moved(ask.hole.front());
      for (std::size_t n = 0; n < 2; ++n)
        picks[i].by_mm[static_cast<std::size_t>(frame_map.axes[n])] =
            snap_mm * std::round(moved[n] / snap_mm);
      fit = fit_from(shelf, picks);
    }
    hole.push_back(frame.drawn({fit.by_mm[i][frame_map.axes[0]], fit.by_mm[i][frame_map.axes[1]]}));
    break;
  }
  auto states = a.today;
  auto t = k->tried(*axle, fit, ask.inch ? Units::inch : Units::metric, ask.hurry, states, true);
  t.hole = std::move(hole);
  return t;
}

namespace {

// What an edit came to: the new text, or what it would have brought about.
Changed changed(const Document& before, const Read<Document>& after) {
  if (!after.value) return {before.text, seen(after.faults, before.text)};
  if (const auto faults = new_faults(before, *after.value); !faults.empty())
    return {before.text, seen(faults, after.value->text)};
  return {after.value->text, {}};
}

}  // namespace

Changed Desk::reply(const Change& ask) {
  const auto before = parse(ask.text);
  if (!before.value) return {ask.text, seen(before.faults, ask.text)};
  return changed(*before.value, edit(*before.value, ask.path, as_toml(ask.typed)));
}

Changed Desk::reply(const Choose& ask) {
  const auto before = parse(ask.text);
  if (!before.value) return {ask.text, seen(before.faults, ask.text)};
  const auto table = ask.set.axle + ".chosen";
  if (ask.none) return changed(*before.value, without_table(*before.value, table));
  const auto car = read_car(*before.value);
  if (!car.value) return {ask.text, seen(car.faults, ask.text)};
  const auto wishes = read_wishes(*before.value, *car.value);
  Read<Document> after{*before.value, {}};
  for (const auto& pick : ask.set.picks) {
    const auto option = std::find_if(wishes.options.begin(), wishes.options.end(),
                                     [&](const Option& o) { return o.name == pick.option; });
    if (option == wishes.options.end()) continue;
    std::string toml = shortest(pick.size_mm);
    if (const auto* made = std::get_if<MadeToMeasure>(&option->choice)) {
      toml.clear();
      for (std::size_t i = 0; i < 3; ++i)
        if (made->range_mm[i])
          toml += fmt::format("{}{} = {}", toml.empty() ? "{ " : ", ", axis_keys[i],
                              shortest(std::round(pick.by_mm[i] * 100.0) / 100.0));
      toml += " }";
    }
    after = put(*after.value, table + "." + key_text(pick.option), toml);
    if (!after.value) break;
  }
  return changed(*before.value, after);
}

Changed Desk::reply(const Note& ask) {
  const auto before = parse(ask.text);
  if (!before.value) return {ask.text, seen(before.faults, ask.text)};
  const bool step = !ask.step.empty();
  const auto& about = step ? ask.step : ask.part;
  const auto value = as_toml(ask.typed);
  const Value* rows = before.value->root.find("job");
  if (rows && rows->array())
    for (std::size_t i = 0; i < rows->array()->size(); ++i) {
      const Value* named = (*rows->array())[i].find(step ? "step" : "part");
      if (named && named->string() && !named->string()->empty() &&
          (step ? about.starts_with(*named->string()) : about == *named->string()))
        return changed(*before.value,
                       put(*before.value, fmt::format("job[{}].{}", i, ask.key), value));
    }
  return changed(*before.value,
                 add_row(*before.value, "job",
                         {{step ? "step" : "part", in_quotes(about)}, {ask.key, value}}));
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
    return out.empty() ? failed("'" + kind + "' is no kind of request") : out;
  } catch (const std::exception& error) {
    known_.reset();  // nothing half done is kept
    return failed(error.what());
  } catch (...) {
    known_.reset();
    return failed("something went wrong that has no name");
  }
}

}  // namespace trammel
