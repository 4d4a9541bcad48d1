// The cards of alignment.
#include <fmt/format.h>

#include <algorithm>

#include "align/floor_cards.h"
#include "base/in_units.h"
#include "wasm/desk.h"
#include "wasm/paged.h"

namespace trammel {

using namespace wire;

namespace {

// A day by its readings alone, on the car as it sits: what looks odd about it.
std::vector<std::string> doubts_of(const Document& document, Worked& worked,
                                   const std::string& when, Units units) {
  if (!worked.surveyed().value) return {};
  const auto& sits = worked.stands();
  if (!sits.value) return {};
  // The days after it say nothing of it.
  auto rows = read_alignment(document, worked.car());
  const auto days = rows.sessions();
  const auto after = std::find(days.begin(), days.end(), when);
  std::erase_if(rows.rows, [&](const AlignmentRow& r) {
    return std::find(days.begin(), after, r.when) == after && r.when != when;
  });
  return align(*sits.value, {}, worked.wishes(), rows, worked.file().tables.survey, units).doubts;
}

}  // namespace

FloorRoundShown Desk::reply(const ShowFloorRound& ask) {
  FloorRoundShown out;
  std::vector<FaultSeen> faults;
  auto* worked = this->worked(ask.text, faults);
  if (!worked) {
    out.why = why_of(faults);
    return out;
  }
  const auto& rows = worked->file().tables.alignment;
  for (const auto& when : rows.sessions())
    out.days.push_back({when, rows.fitted(when), rows.driven(when)});
  for (const auto& station : floor_round_of(worked->file().car)) {
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
  auto* worked = this->worked(ask.text, faults);
  if (!worked) {
    out.why = why_of(faults);
    return out;
  }
  const auto round = floor_round_of(worked->file().car);
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
  out.drawing = floor_drawing(worked->file().car, *card);
  out.fields = shown_fields(card->fields);
  if (card->sigma > 0.0)
    out.sigma = card->fields[0].kind == Kind::angle ? InUnits(units).deg(card->sigma)
                                                    : InUnits(units).mm(card->sigma);
  const auto& rows = worked->file().tables.alignment;
  for (const auto* r : taken_on(rows, *card, ask.when))
    out.taken.push_back({r->name, row_words(*r, *card, units), "", r->set_aside, r->named});
  return out;
}

CardEntered Desk::reply(const EnterFloorCard& ask) {
  CardEntered out;
  out.text = ask.text;
  auto* worked = this->worked(ask.text, out.faults);
  if (!worked) return out;
  const auto& document = worked->file().document;
  const auto round = floor_round_of(worked->file().car);
  const auto* card = floor_card(round, ask.number);
  if (!card) {
    out.faults.push_back({0, fmt::format("the round has no card {}", ask.number), ""});
    return out;
  }
  const auto after = changed(document, entered(document, *card, {ask.when, ask.fitted, ask.driven},
                                               {ask.values, ask.sigma}));
  out.faults = after.faults;
  if (!out.faults.empty()) return out;
  if (!ask.sure) {
    const auto before = doubts_of(document, *worked, ask.when, units_of(ask.inch));
    for (auto& d : doubts_of(*parse(after.text).value, *worked, ask.when, units_of(ask.inch)))
      if (std::find(before.begin(), before.end(), d) == before.end()) out.asks.push_back(d);
    if (!out.asks.empty()) return out;
  }
  out.text = after.text;
  return out;
}

Changed Desk::reply(const TurnAsPlanned& ask) {
  std::vector<FaultSeen> faults;
  auto* worked = this->worked(ask.text, faults);
  if (auto why = why_nothing_stands(worked, "the file is at fault", Units::metric); !why.empty())
    return {ask.text, {{0, std::move(why), ""}}};
  const auto& document = worked->file().document;
  return changed(document, turned_as_planned(document, worked->aligning(Units::metric)));
}

}  // namespace trammel
