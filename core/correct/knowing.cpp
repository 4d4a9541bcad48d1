#include "correct/knowing.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "base/in_units.h"

namespace trammel {
namespace {

// What a decision needs of bump steer, one standard uncertainty (common practice): above the first
// not even the parts can be chosen; below the second the wheel's own curve is known.
constexpr double per_25mm = std::numbers::pi / 180.0 / 25.0;
constexpr double too_little_above = 0.15 * per_25mm;
constexpr double curve_known_below = 0.02 * per_25mm;

// Cards of the axle, and how many of them hold a reading.
void count(const Car& car, const Survey& survey, Knowing& k) {
  for (const auto& station : round_of(car))
    for (const auto& card : station.cards) {
      if (card.kind == CardKind::baseline || card.kind == CardKind::floor ||
          card.spot.axle != k.axle)
        continue;
      ++k.of;
      k.taken += std::any_of(survey.readings.begin(), survey.readings.end(),
                             [&](const TakenReading& r) { return !r.set_aside && is_of(r, card); });
    }
}

}  // namespace

Knowing knowing(const Ride& sits, const Adjusted& adjusted, const Survey& survey, AxleName axle,
                Units units) {
  Knowing k;
  k.axle = axle;
  count(adjusted.car, survey, k);
  auto advices = what_next(sits, adjusted.spread, axle, nullptr, {}, NarrowWhat::bump_steer);
  const InUnits t(units);
  const auto name = capital(word(axle));
  const bool gauged = std::any_of(survey.gauges.begin(), survey.gauges.end(),
                                  [&](const auto& g) { return g.axle == axle && !g.set_aside; });
  if (advices.best.empty()) {
    k.sentence = fmt::format(
        "{}: the file states its joints without any ±, so they are taken as exact. Put sigma = 20 "
        "under [{}] and read them.",
        name, word(axle));
    return k;
  }
  const double sigma = advices.bump_steer_sigma;  // of the wheel that is known least
  const auto per = shown_unit(Measure::angle_per_length, units);
  const auto& wheel = advices.wheel_sigma;
  const auto to = [&](double s) {
    return fmt::format("± {:.{}f} {}", s * per.per_inside, s > too_little_above ? 1 : 3,
                       per.symbol);
  };
  const bool apart = !sits.car.at(axle)->right_is_mirrored && to(wheel.left) != to(wheel.right);
  const auto known = fmt::format(
      "bump steer to {}, roll centre to ± {}",
      apart ? fmt::format("{} left and {} right", to(wheel.left), to(wheel.right)) : to(sigma),
      t.mm(advices.roll_centre_sigma));
  const bool one_known = std::min(wheel.left, wheel.right) <= curve_known_below;
  const Side better = wheel.left <= wheel.right ? Side::left : Side::right;
  if (k.taken == 0 && !gauged)
    k.sentence = fmt::format("{}: nothing is read yet, every joint is a guess.", name);
  else if (sigma > too_little_above)
    k.sentence = fmt::format("{}: {} of {} cards. Too little is known for an answer yet: {}.", name,
                             k.taken, k.of, known);
  else if (sigma > curve_known_below && one_known)
    k.sentence = fmt::format(
        "{}: {} of {} cards. The {} wheel's own curve is known; of the {} one enough to choose "
        "parts "
        "by what they change, not to say what is left afterwards: {}.",
        name, k.taken, k.of, word(better), word(other_side(better)), known);
  else if (sigma > curve_known_below)
    k.sentence = fmt::format(
        "{}: {} of {} cards. Enough to choose parts by what they change, not to say what is left "
        "afterwards: {}.",
        name, k.taken, k.of, known);
  else
    k.sentence = fmt::format("{}: {} of {} cards. The wheel's own curve is known: {}.", name,
                             k.taken, k.of, known);
  // One thing to go and read: several at once are a round of their own, and a gauge run comes when
  // the joints are there.
  const bool joints_first = sigma > too_little_above;
  const auto first = std::find_if(advices.best.begin(), advices.best.end(), [&](const Advice& a) {
    if (!a.action.gauges.empty()) return a.action.gauges.size() == 1 && !joints_first;
    return a.action.readings.size() <= 2 &&
           std::all_of(a.action.readings.begin(), a.action.readings.end(),
                       [&](const auto& r) { return r.spot == a.action.readings[0].spot; });
  });
  if (first == advices.best.end()) return k;
  std::rotate(advices.best.begin(), first, first + 1);
  k.next = first_advice(advices, NarrowWhat::bump_steer, units);
  const auto& action = advices.best.front().action;
  if (!action.gauges.empty()) {
    k.gauge = true;
    k.side = action.gauges[0].side;
    return k;
  }
  for (const auto& station : round_of(adjusted.car))
    for (const auto& card : station.cards)
      if (k.card.empty() && is_of(action.readings[0], card)) k.card = card.number;
  return k;
}

}  // namespace trammel
