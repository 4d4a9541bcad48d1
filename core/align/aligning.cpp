#include "align/aligning.h"

#include <algorithm>
#include <cmath>

#include "align/doubts.h"
#include "align/left_by.h"
#include "base/statistics.h"

namespace trammel {
namespace {

constexpr double surely_above = 0.9;
constexpr double surely_sigmas = 1.645;  // nine in ten

// `was`: by wheel, the day before and what was turned then.
std::vector<MovedAngle> moved_since(const Carried& was, const SessionFound& now) {
  std::vector<MovedAngle> all;
  for (const AxleName a : {AxleName::front, AxleName::rear})
    for (const Side s : {Side::left, Side::right}) {
      const auto w = 2 * static_cast<std::size_t>(a) + static_cast<std::size_t>(s);
      const auto& is = now.at(a).at(s);
      const auto put = [&](const std::optional<Estimate>& x, const std::optional<Estimate>& y,
                           bool camber) {
        if (!x || !y) return;
        MovedAngle m;
        m.axle = a;
        m.side = s;
        m.camber = camber;
        m.by_rad = y->value - x->value;
        m.sigma_rad = std::hypot(x->sigma, y->sigma);
        m.too_much = std::fabs(m.by_rad) > std::max(moved_toe_rad, 2.0 * m.sigma_rad);
        m.as_it_was = std::fabs(m.by_rad) + surely_sigmas * m.sigma_rad < 2.0 * moved_toe_rad;
        all.push_back(m);
      };
      put(was.toe_rad[w], is.toe_rad, false);
      put(was.camber_rad[w], is.camber_rad, true);
    }
  return all;
}

void judge(Aligning& a) {
  a.met = a.surely = true;
  const auto& found = a.sessions.back();
  const auto put = [&](const std::optional<Estimate>& is, const std::optional<Wish>& wish,
                       bool toe) {
    if (!is || !wish) return;
    a.judged = true;
    a.met = a.met && wish->met(is->value);
    if (toe) a.surely = a.surely && chance_met(*wish, *is) > surely_above;
  };
  for (const AxleName name : {AxleName::front, AxleName::rear}) {
    const auto& plan = a.plan->axle[static_cast<std::size_t>(name)];
    if (!plan) continue;
    bool single = false;
    for (const Side s : {Side::left, Side::right}) {
      const auto& w = found.at(name).at(s);
      single = single || w.toe_rad;
      put(w.toe_rad, plan->toe[static_cast<std::size_t>(s)], true);
      put(w.camber_rad, plan->camber, false);
      put(w.caster_rad, plan->caster, false);
    }
    if (!single) put(found.at(name).total_toe_rad, both_wheels(plan->wanted_toe), true);
  }
  if (found.thrust_rad) a.met = a.met && std::fabs(found.thrust_rad->value) <= usual_thrust_rad;
  a.met = a.met && a.judged;
  a.surely = a.surely && a.met;
}

}  // namespace

double chance_met(const Wish& wish, const Estimate& angle) {
  return normal_below((wish.middle_rad + wish.half_rad - angle.value) / angle.sigma) -
         normal_below((wish.middle_rad - wish.half_rad - angle.value) / angle.sigma);
}

Aligning align(const Ride& sits, const Correction& correction, const Wishes& wishes,
               const AlignmentRows& rows, const Survey& survey, Units units) {
  Aligning a;
  std::optional<Ride> fitted;
  const auto stands = [&](bool with) -> const Ride& {
    if (!with) return sits;
    if (!fitted) fitted = with_parts(sits, correction, wishes);
    return *fitted;
  };
  for (const auto& when : rows.sessions()) {
    const bool with = rows.fitted(when);
    // What was turned after the day before, unless the car was apart or driven since.
    std::optional<Carried> before;
    if (!a.sessions.empty() && a.sessions.back().fitted == with && !rows.driven(when) &&
        !a.sessions.back().turned.empty())
      before = left_by(rows, a.sessions.back(), stands(with));
    auto found = found_on_floor(rows, when, stands(with), survey, before ? &*before : nullptr);
    if (found.any()) a.sessions.push_back(std::move(found));
  }
  if (a.sessions.empty()) return a;
  const auto& now = a.sessions.back();
  // The day before, its own turns done; not where the car was apart since.
  const auto* before = a.sessions.size() > 1 ? &a.sessions[a.sessions.size() - 2] : nullptr;
  if (before && before->fitted != now.fitted) before = nullptr;
  const auto was =
      before ? std::optional(left_by(rows, *before, stands(before->fitted))) : std::nullopt;
  a.doubts = doubts(rows, now, was ? &*was : nullptr, stands(now.fitted), units);
  a.plan = plan_alignment(stands(now.fitted), now, wishes);
  if (now.driven && was) a.moved = moved_since(*was, now);
  judge(a);
  return a;
}

}  // namespace trammel
