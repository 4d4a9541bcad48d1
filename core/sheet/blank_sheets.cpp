#include "sheet/blank_sheets.h"

#include <fmt/format.h>

#include <algorithm>

#include "align/floor_cards.h"
#include "base/in_units.h"
#include "measure/card_drawing.h"
#include "measure/gauge_progress.h"
#include "measure/round.h"
#include "told/cautions.h"

namespace trammel {
namespace {

constexpr double legend_mm = 44.0;  // four drawings side by side on A4 or Letter

// One drawing of each kind of card, so that it is plain how the tape lies.
Drawing legend(const Car& car, const Station& station) {
  Drawing all{"How each is taken", "", ""};
  std::vector<CardKind> shown;
  for (const auto& card : station.cards) {
    if (std::find(shown.begin(), shown.end(), card.kind) != shown.end()) continue;
    shown.push_back(card.kind);
    all.svg += card_drawing(car, card, legend_mm, card.number).svg;
    all.text += fmt::format("{}{}: {} ", all.text.empty() ? "" : " ", card.number, card.how);
  }
  return all;
}

// A line for every value, in the order of the cards.
template <class AnyStation>
Grid lines(const AnyStation& station, const char* again) {
  Grid g;
  g.heads = {"card", "what", "reading", again, "±, hidden or odd"};
  g.units = {"", "", "", "", ""};
  g.to_fill = true;
  for (const auto& card : station.cards)
    for (std::size_t i = 0; i < card.fields.size(); ++i) {
      const auto& f = card.fields[i];
      g.rows.push_back({i == 0 ? card.number : "",
                        card.fields.size() == 1 ? capital(card.what)
                        : i == 0                ? capital(card.what) + ": " + f.label
                                                : f.label,
                        "", "", ""});
    }
  return g;
}

// The floor with string and level: one sheet for a day.
Section floor_sheet(const Car& car) {
  Section s;
  s.name = s.question = "On the floor";
  s.answer =
      "Day ..............................  as found [ ]  parts in [ ]  after driving [ ]     "
      "Pressures "
      "......  ......  ......  ......";
  const auto round = floor_round_of(car);
  for (const auto& station : round) s.blocks.emplace_back(Caution{station.caution});
  Drawing how{"How each is read", "", ""};
  std::vector<FloorReading> shown;
  for (const auto& station : round)
    for (const auto& card : station.cards) {
      if (std::find(shown.begin(), shown.end(), card.reading) != shown.end()) continue;
      shown.push_back(card.reading);
      how.svg += floor_drawing(car, card, legend_mm, card.number).svg;
      how.text += fmt::format("{}{}: {}", how.text.empty() ? "" : " ", card.number, card.how);
    }
  s.blocks.emplace_back(std::move(how));
  for (const auto& station : round) {
    auto g = lines(station, "second day");
    g.title = station.name;
    s.blocks.emplace_back(std::move(g));
  }
  return s;
}

Section gauge_sheet(const Car& car, Units units) {
  Section s;
  s.name = "Gauge runs";
  s.question = "Gauge runs";
  s.answer =
      "Up, down and back, both dials at each step, in the order in which they are taken; outward "
      "counts up. Base ......  Third dial lower by ......  Hub to arch at zero ......";
  s.blocks.emplace_back(
      Caution{gauge_run_cautions() + " Left slack: ........................................"});
  GaugeRun run;
  run.base_mm = 300.0;
  std::vector<double> travels;
  while (const auto next = gauge_progress(run, units).next_mm) {
    run.rows.push_back({*next, 0.0, 0.0, {}});
    travels.push_back(*next);
  }
  for (const AxleName a : {AxleName::front, AxleName::rear}) {
    if (!car.at(a)) continue;
    for (const Side side : {Side::left, Side::right}) {
      Grid g;
      g.title = capital(corner_words(a, side));
      g.heads = {"travel", "front dial", "rear dial", "low dial"};
      g.units = {std::string(InUnits(units).unit(Measure::length)), "", "", ""};
      g.to_fill = true;
      for (const double t : travels)
        g.rows.push_back({shown_signed(t, Measure::length, units), "", "", ""});
      s.blocks.emplace_back(std::move(g));
    }
  }
  return s;
}

}  // namespace

std::vector<Section> blank_sheets(const Car& car, Units units) {
  std::vector<Section> sheets;
  for (const auto& station : round_of(car)) {
    Section s;
    s.name = station.name;
    s.question = station.name;
    s.answer = station.intro;
    s.blocks.emplace_back(Caution{station.caution});
    const auto height = std::find_if(station.cards.begin(), station.cards.end(),
                                     [](const Card& c) { return c.kind == CardKind::height; });
    if (height != station.cards.end())
      s.blocks.emplace_back(
          corner_drawing(car, height->spot.axle, height->spot.side, station.cards));
    s.blocks.emplace_back(legend(car, station));
    s.blocks.emplace_back(lines(station, "read again"));
    sheets.push_back(std::move(s));
  }
  sheets.push_back(gauge_sheet(car, units));
  sheets.push_back(floor_sheet(car));
  return sheets;
}

}  // namespace trammel
