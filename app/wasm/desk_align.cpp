// The cards of alignment.
#include <fmt/format.h>

#include <algorithm>

#include "align/floor_cards.h"
#include "base/in_units.h"
#include "wasm/desk.h"
#include "wasm/known.h"
#include "wasm/paged.h"
#include "wasm/surveyed.h"

namespace trammel {

using namespace wire;

namespace {

// A day by its readings alone, on the car as it sits: what looks odd about it.
std::vector<std::string> doubts_of(const Document& document, const SurveyedText& s,
                                   const std::string& when, Units units) {
  if (!s.adjusted) return {};
  const auto sits = ride(s.adjusted->car, nullptr);
  if (!sits.value) return {};
  // The days after it say nothing of it.
  auto rows = read_alignment(document, s.adjusted->car);
  const auto days = rows.sessions();
  const auto after = std::find(days.begin(), days.end(), when);
  std::erase_if(rows.rows, [&](const AlignmentRow& r) {
    return std::find(days.begin(), after, r.when) == after && r.when != when;
  });
  return align(*sits.value, {}, read_wishes(document, s.adjusted->car), rows, s.survey, units)
      .doubts;
}

}  // namespace

FloorRoundShown Desk::reply(const ShowFloorRound& ask) {
  FloorRoundShown out;
  std::vector<FaultSeen> faults;
  const auto* s = survey_of(surveyed_, ask.text, faults);
  if (!s) {
    out.why = why_of(faults);
    return out;
  }
  const auto rows = read_alignment(s->document, s->car);
  for (const auto& when : rows.sessions())
    out.days.push_back({when, rows.fitted(when), rows.driven(when)});
  for (const auto& station : floor_round_of(s->car)) {
    StationListed listed{station.name, station.intro, station.caution, {}};
    for (const auto& card : station.cards) {
      const auto taken = taken_on(rows, card, ask.when);
      const auto count = std::count_if(taken.begin(), taken.end(),
                                       [](const AlignmentRow* r) { return !r->set_aside; });
      listed.cards.push_back({card.number, card.what, static_cast<int>(count), false});
    }
    out.stations.push_back(std::move(listed));
  }
  return out;
}

CardShown Desk::reply(const ShowFloorCard& ask) {
  CardShown out;
  std::vector<FaultSeen> faults;
  const auto units = units_of(ask.inch);
  const auto* s = survey_of(surveyed_, ask.text, faults);
  if (!s) {
    out.why = why_of(faults);
    return out;
  }
  const auto round = floor_round_of(s->car);
  const auto* card = floor_card(round, ask.number);
  if (!card) {
    out.why = fmt::format("the round has no card {}", ask.number);
    return out;
  }
  for (const auto& station : round)
    if (floor_card({station}, card->number)) {
      out.station = station.name;
      out.caution = station.caution;
    }
  out.number = card->number;
  out.what = capital(card->what);
  out.how = card->how;
  out.care = card->care;
  out.drawing = floor_drawing(s->car, *card);
  out.fields = shown_fields(card->fields);
  if (card->sigma > 0.0)
    out.sigma = card->fields[0].kind == Kind::angle ? InUnits(units).deg(card->sigma)
                                                    : InUnits(units).mm(card->sigma);
  const auto rows = read_alignment(s->document, s->car);
  for (const auto* r : taken_on(rows, *card, ask.when))
    out.taken.push_back({r->name, row_words(*r, *card, units), "", r->set_aside, r->named});
  return out;
}

CardEntered Desk::reply(const EnterFloorCard& ask) {
  CardEntered out;
  out.text = ask.text;
  const auto* s = survey_of(surveyed_, ask.text, out.faults);
  if (!s) return out;
  const auto round = floor_round_of(s->car);
  const auto* card = floor_card(round, ask.number);
  if (!card) {
    out.faults.push_back({0, fmt::format("the round has no card {}", ask.number), ""});
    return out;
  }
  const auto after = changed(
      s->document,
      entered(s->document, *card, {ask.when, ask.fitted, ask.driven}, {ask.values, ask.sigma}));
  out.faults = after.faults;
  if (!out.faults.empty()) return out;
  if (!ask.sure) {
    const auto before = doubts_of(s->document, *s, ask.when, units_of(ask.inch));
    for (auto& d : doubts_of(*parse(after.text).value, *s, ask.when, units_of(ask.inch)))
      if (std::find(before.begin(), before.end(), d) == before.end()) out.asks.push_back(d);
    if (!out.asks.empty()) return out;
  }
  out.text = after.text;
  return out;
}

Changed Desk::reply(const TurnAsPlanned& ask) {
  std::vector<FaultSeen> faults;
  // What is fitted is what the ranking says: it is at hand unless the text has changed.
  const auto ranked = reply(Rank{ask.text, false});
  if (!ranked.why.empty()) return {ask.text, {{0, ranked.why, ""}}};
  const auto& k = *known_;
  return changed(k.document, turned_as_planned(k.document, k.aligning()));
}

}  // namespace trammel
