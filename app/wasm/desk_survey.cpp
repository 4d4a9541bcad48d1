// The survey's cards and gauge runs.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "base/in_units.h"
#include "correct/knowing.h"
#include "measure/card_drawing.h"
#include "measure/entry.h"
#include "measure/gauge_progress.h"
#include "measure/tell.h"
#include "sheet/blank_sheets.h"
#include "sheet/curves.h"
#include "told/cautions.h"
#include "wasm/desk.h"
#include "wasm/paged.h"
#include "wasm/picks.h"

namespace trammel {

using namespace wire;

namespace {

struct CornerAt {
  AxleName axle;
  Side side;
};
std::vector<CornerAt> corners_of(const Car& car) {
  std::vector<CornerAt> all;
  for (const AxleName a : {AxleName::front, AxleName::rear})
    if (car.at(a))
      for (const Side s : {Side::left, Side::right}) all.push_back({a, s});
  return all;
}
std::optional<CornerAt> corner_named(const Car& car, const std::string& words) {
  for (const auto& c : corners_of(car))
    if (corner_words(c.axle, c.side) == words) return c;
  return {};
}

// Every joint that holds a wheel, by the name a reading gives it.
std::vector<std::pair<std::string, Spot>> joints_of(const Car& car) {
  std::vector<std::pair<std::string, Spot>> all;
  for (const auto& c : corners_of(car))
    for (std::size_t i = 0; i < car.at(c.axle)->layout.points.size(); ++i) {
      Spot s;
      s.axle = c.axle;
      s.side = c.side;
      s.index = static_cast<int>(i);
      all.emplace_back(spot_words(s, car, {}), s);
    }
  return all;
}

constexpr std::array free_kinds{
    std::pair{"height", CardKind::height}, std::pair{"mark", CardKind::mark},
    std::pair{"slope", CardKind::slope}, std::pair{"distance", CardKind::distance}};

// The card that is asked for: of the round, or made for two joints.
std::optional<Card> card_of(const Car& car, const std::string& number, const std::string& kind,
                            const std::string& from, const std::string& to) {
  if (!number.empty()) {
    const auto round = round_of(car);
    const auto* card = card_numbered(round, number);
    return card ? std::optional(*card) : std::nullopt;
  }
  std::optional<Spot> a, b;
  for (const auto& [name, spot] : joints_of(car)) {
    if (name == from) a = spot;
    if (name == to) b = spot;
  }
  for (const auto& [word, is] : free_kinds) {
    if (kind != word || !a) continue;
    const bool two = is == CardKind::slope || is == CardKind::distance;
    if (two && (!b || *a == *b)) return {};
    auto card = free_card(car, is, *a, b.value_or(Spot{}));
    card.number = "X";
    // The round may have it after all.
    for (const auto& station : round_of(car))
      for (const auto& c : station.cards)
        if (c.kind == card.kind && c.spot == card.spot && (!two || c.other == card.other)) return c;
    return card;
  }
  return {};
}

// The run that goes on: by its name, else the last of a corner, as it sits or with parts fitted.
const GaugeRun* run_of(const Survey& survey, const std::string& name,
                       const std::optional<CornerAt>& corner, bool with_parts) {
  const GaugeRun* found = nullptr;
  for (const auto* runs : {&survey.gauges, &survey.after, &survey.begun})
    for (const auto& run : *runs) {
      const bool here = corner && run.axle == corner->axle && run.side == corner->side &&
                        run.with.has_value() == with_parts;
      if (name.empty() ? here && (!found || run.line > found->line) : run.name == name)
        found = &run;
    }
  return found;
}

constexpr const char* nothing_settled =
    "nothing says which parts are fitted: settle on a set under Correct first";

std::string doubt_of(const Adjusted& adjusted, std::size_t reading, Units units) {
  if (adjusted.readings[reading].left_out) return suspect_words(adjusted.readings[reading], units);
  for (const auto& g : adjusted.groups)
    if (std::find(g.readings.begin(), g.readings.end(), reading) != g.readings.end())
      return group_words(adjusted, g, units);
  return {};
}

// What a card holds already, row by row of the file.
std::vector<TakenShown> taken_by(Worked& worked, const Card& card, Units units) {
  const auto& survey = worked.file().tables.survey;
  const auto& surveyed = worked.surveyed();
  std::vector<TakenShown> all;
  std::map<int, std::size_t> by_line;
  for (std::size_t i = 0; i < survey.readings.size(); ++i) {
    const auto& r = survey.readings[i];
    if (!is_of(r, card)) continue;
    auto value = reading_value(r.kind, r.value, units);
    if (card.kind == CardKind::mark) value = fmt::format("{} {}", word(r.kind), value);
    if (!r.sigma_is_usual) value += " ± " + reading_value(r.kind, r.sigma, units);
    const auto [it, fresh] = by_line.emplace(r.line, all.size());
    if (fresh) all.push_back({r.row, value, "", r.set_aside, r.named});
    else all[it->second].shown += ", " + value;
    auto& row = all[it->second];
    if (surveyed.value && row.doubt.empty())
      row.doubt = doubt_of(surveyed.value->adjusted, i, units);
  }
  if (card.kind == CardKind::baseline && survey.baseline_mm.value != 0.0)
    all.push_back({"", InUnits(units).mm(survey.baseline_mm.value), "", false, false});
  for (const auto& f : survey.floor)
    if (card.kind == CardKind::floor && std::fabs(f.x_mm - card.at_mm[0]) < 1.0 &&
        std::fabs(f.y_mm - card.at_mm[1]) < 1.0)
      all.push_back({"", InUnits(units).signed_mm(f.height_mm), "", false, false});
  return all;
}

// Why there is no such card.
std::string no_card(const std::string& number, const std::string& from, const std::string& to) {
  if (!number.empty()) return fmt::format("the round has no card {}", number);
  if (from.empty()) return "choose the joint that it is taken from";
  return from == to ? "choose two different joints" : "choose the joint that it is taken to";
}

}  // namespace

RoundShown Desk::reply(const ShowRound& ask) {
  RoundShown out;
  std::vector<FaultSeen> faults;
  const auto units = units_of(ask.inch);
  auto* worked = this->worked(ask.text, faults);
  if (!worked) {
    out.why = why_of(faults);
    return out;
  }
  const auto& file = worked->file();
  const auto& survey = file.tables.survey;
  const auto round = round_of(file.car);
  for (const auto& station : round) {
    StationListed listed{station.name, station.intro, station.caution, {}};
    for (const auto& card : station.cards) {
      const auto taken = taken_by(*worked, card, units);
      const bool doubted = std::any_of(taken.begin(), taken.end(),
                                       [](const TakenShown& t) { return !t.doubt.empty(); });
      const auto count = std::count_if(taken.begin(), taken.end(),
                                       [](const TakenShown& t) { return !t.set_aside; });
      listed.cards.push_back({card.number, card.what, static_cast<int>(count), doubted});
    }
    out.stations.push_back(std::move(listed));
  }
  for (const auto* runs : {&survey.gauges, &survey.after, &survey.begun})
    for (const auto& run : *runs)
      out.runs.push_back({run.name, word(run.axle), word(run.side),
                          static_cast<int>(run.rows.size()), run.with.has_value()});
  for (const auto& c : corners_of(file.car)) out.corners.push_back(corner_words(c.axle, c.side));
  for (const auto& [path, spot] : joints_of(file.car))
    out.joints.push_back(
        {path, fmt::format("{}, {}", corner_words(spot.axle, spot.side),
                           joint_words(file.car.at(spot.axle)->layout, spot.index))});
  if (!worked->surveyed().value) {
    out.misread.push_back({worked->surveyed().why, ""});
    return out;
  }
  const auto& adjusted = worked->adjusted();
  const auto card_of_reading = [&](std::size_t i) {
    for (const auto& station : round)
      for (const auto& card : station.cards)
        if (is_of(survey.readings[i], card)) return card.number;
    return std::string();
  };
  for (std::size_t i = 0; i < adjusted.readings.size(); ++i)
    if (adjusted.readings[i].left_out)
      out.misread.push_back({suspect_words(adjusted.readings[i], units), card_of_reading(i)});
  for (const auto& g : adjusted.groups)
    out.misread.push_back({group_words(adjusted, g, units), card_of_reading(g.readings.front())});
  if (!ask.known) return out;
  const auto& stances = worked->stances();
  if (!stances.value) return out;
  for (const AxleName a : {AxleName::front, AxleName::rear}) {
    if (!file.car.at(a)) continue;
    const auto k = knowing(stances.value->sits, adjusted, survey, a, units);
    out.known.push_back(
        {word(a), k.sentence, k.next, k.card, k.gauge ? corner_words(a, k.side) : ""});
  }
  return out;
}

CardShown Desk::reply(const ShowCard& ask) {
  CardShown out;
  std::vector<FaultSeen> faults;
  const auto units = units_of(ask.inch);
  auto* worked = this->worked(ask.text, faults);
  const auto card = worked ? card_of(worked->file().car, ask.number, ask.reading, ask.from, ask.to)
                           : std::nullopt;
  if (!card) {
    out.why = worked ? no_card(ask.number, ask.from, ask.to) : why_of(faults);
    return out;
  }
  out.number = card->number;
  for (const auto& station : round_of(worked->file().car))
    if (card_numbered({station}, card->number)) {
      out.station = station.name;
      out.caution = station.caution;
    }
  if (out.caution.empty()) out.caution = caution(Care::before_lying);
  out.what = capital(card->what);
  out.how = card->how;
  out.care = card->care;
  out.drawing = card_drawing(worked->file().car, *card);
  out.fields = shown_fields(card->fields);
  if (card->kind != CardKind::baseline && card->kind != CardKind::floor)
    out.sigma = card->fields[0].kind == Kind::angle ? InUnits(units).deg(card->sigma)
                                                    : InUnits(units).mm(card->sigma);
  out.taken = taken_by(*worked, *card, units);
  return out;
}

CardEntered Desk::reply(const EnterCard& ask) {
  CardEntered out;
  out.text = ask.text;
  auto* worked = this->worked(ask.text, out.faults);
  if (!worked) return out;
  const auto& [before, car, tables] = worked->file();
  const auto card = card_of(car, ask.number, ask.reading, ask.from, ask.to);
  if (!card) {
    out.faults.push_back({0, no_card(ask.number, ask.from, ask.to), ""});
    return out;
  }
  const auto after = changed(before, entered(before, car, *card, {ask.values, ask.sigma}));
  out.faults = after.faults;
  if (!out.faults.empty()) return out;
  if (!ask.sure && worked->surveyed().value) {
    const auto document = parse(after.text);
    const auto survey = read_survey(*document.value, car);
    out.asks = surprises(tables.survey, survey, worked->adjusted(), units_of(ask.inch));
    if (!out.asks.empty()) return out;
  }
  out.text = after.text;
  return out;
}

Changed Desk::reply(const SetAside& ask) {
  const auto before = parse(ask.text);
  if (!before.value) return {ask.text, seen(before.faults, ask.text)};
  return changed(*before.value, set_aside(*before.value, ask.name, ask.aside));
}

GaugeShown Desk::reply(const ShowGauge& ask) {
  GaugeShown out;
  std::vector<FaultSeen> faults;
  const auto units = units_of(ask.inch);
  auto* worked = this->worked(ask.text, faults);
  if (!worked) {
    out.why = why_of(faults);
    return out;
  }
  const auto& [document, car, tables] = worked->file();
  const auto corner = corner_named(car, ask.corner);
  const auto* run = ask.fresh ? nullptr : run_of(tables.survey, ask.name, corner, ask.with_parts);
  if (run ? run->with.has_value() : ask.with_parts) {
    const auto& wishes = tables.wishes;
    const auto fitted = run      ? run->with
                        : corner ? to_be_fitted(corner->axle, wishes, ask.sets)
                                 : std::nullopt;
    if (!fitted) {
      out.why = nothing_settled;
      return out;
    }
    out.fitted = fitted_words(*fitted, wishes, units);
  }
  const auto progress = gauge_progress(run ? *run : GaugeRun{}, units);
  out.sentence = progress.sentence;
  out.care = progress.care;
  out.caution = gauge_run_cautions();
  if (progress.next_mm)
    out.next_mm = units == Units::inch ? fmt::format("{} in", shortest(*progress.next_mm / 25.4))
                                       : shortest(std::round(*progress.next_mm * 1e3) / 1e3);
  if (!run) return out;
  out.name = run->name;
  out.third_dial = run->drop_mm.has_value();
  const auto dial = [&](double mm) {
    return units == Units::inch ? fmt::format("{:+.1f} thou", mm / 0.0254)
                                : fmt::format("{:+.2f}", mm);
  };
  for (const auto& r : run->rows) {
    std::vector<std::string> row{InUnits(units).signed_mm(r.travel_mm), dial(r.front_mm),
                                 dial(r.rear_mm)};
    if (r.low_mm) row.push_back(dial(*r.low_mm));
    out.rows.push_back(std::move(row));
  }
  if (run->rows.size() > 1) out.curve = drawn(progress.curve);
  return out;
}

Changed Desk::reply(const EnterGauge& ask) {
  std::vector<FaultSeen> faults;
  auto* worked = this->worked(ask.text, faults);
  if (!worked) return {ask.text, faults};
  const auto& [document, car, tables] = worked->file();
  TypedGauge typed;
  typed.name = ask.name;
  typed.base = ask.base;
  typed.drop = ask.drop;
  typed.row = {ask.travel, ask.front, ask.rear, ask.low};
  if (const auto corner = corner_named(car, ask.corner)) {
    typed.axle = corner->axle;
    typed.side = corner->side;
  } else if (ask.name.empty()) {
    return {ask.text, {{0, "the car has no corner '" + ask.corner + "'", ""}}};
  }
  if (ask.with_parts && ask.name.empty()) {
    const auto& wishes = tables.wishes;
    const auto fitted = to_be_fitted(typed.axle, wishes, ask.sets);
    if (!fitted) return {ask.text, {{0, nothing_settled, ""}}};
    typed.with = chosen_toml(*fitted, wishes.options);
  }
  return changed(document, entered(document, typed));
}

BlankShown Desk::reply(const ShowBlank& ask) {
  BlankShown out;
  std::vector<FaultSeen> faults;
  auto* worked = this->worked(ask.text, faults);
  if (!worked) {
    out.why = why_of(faults);
    return out;
  }
  for (const auto& section : blank_sheets(worked->file().car, units_of(ask.inch)))
    out.sections.push_back(paged(section));
  return out;
}

}  // namespace trammel
