#include "wasm/known.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/in_units.h"
#include "base/words.h"
#include "correct/reasons.h"
#include "correct/tables.h"
#include "file/edit.h"
#include "travel/freedom.h"
#include "travel/reasons.h"
#include "wasm/paged.h"

namespace trammel {

using namespace wire;

namespace {

// Enough for a hand that moves.
constexpr int hurried_samples = 400, hurried_band = 500;

}  // namespace

std::vector<Pick> picks_of(const Shelf& shelf, const Fit& fit) {
  std::vector<Pick> picks;
  const auto place = [](const Vec3<double>& by) { return std::array<double, 3>{by.x, by.y, by.z}; };
  for (std::size_t i = 0; i < shelf.choices.size(); ++i) {
    const auto& [left, right] = fit.part[i];
    Pick pick{shelf.choices[i].option.name, left.size_mm, place(left.by_mm), {}};
    if (!(left == right)) pick.right = PickOfSide{right.size_mm, place(right.by_mm)};
    picks.push_back(std::move(pick));
  }
  return picks;
}

// What is picked, on this shelf: made joints kept within their ranges, unknown options passed over.
Fit fit_from(const Shelf& shelf, const std::vector<Pick>& picks) {
  Fit fit = nothing_fitted(shelf);
  for (std::size_t i = 0; i < shelf.choices.size(); ++i)
    for (const auto& pick : picks) {
      const auto& choice = shelf.choices[i];
      if (choice.option.name != pick.option) continue;
      const auto take = [&](Side side, double size_mm, const std::array<double, 3>& by_mm) {
        auto& part = fit.part[i][side];
        if (!choice.made_to_measure()) part.size_mm = size_mm;
        for (const int axis : choice.axes) {
          const auto k = static_cast<std::size_t>(axis);
          part.by_mm[axis] = std::clamp(by_mm[k], choice.range_mm[k][0], choice.range_mm[k][1]);
        }
      };
      take(Side::left, pick.size_mm, pick.by_mm);
      if (pick.right) take(Side::right, pick.right->size_mm, pick.right->by_mm);
      else take(Side::right, pick.size_mm, pick.by_mm);
    }
  return fit;
}

void Known::draw_today(AxleName name, bool hurry) {
  axle[name].today =
      plotted_today(*stands, adjusted->spread, name, hurry ? hurried_band : plotted_samples);
  hurried = hurry;
}

Tried Known::tried(AxleName name, const Fit& fit, Units units, bool hurry,
                   std::vector<PlottedState>& states, bool toe_alone) const {
  const auto& a = axle.at(name);
  const auto& r = *a.shelf;
  const auto c = trammel::tried(stands->sits, adjusted->spread, wishes, r, fit,
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
  states.push_back(plotted_with_set(*stands, adjusted->spread, wishes, r, fit,
                                    hurry ? hurried_band : plotted_samples, toe_alone));
  for (const auto& plot : plots_of(states, wanted(name), name, units, true))
    t.plots.push_back(drawn(plot));
  return t;
}

Correction Known::correction() const {
  Correction c;
  for (const auto& [name, a] : axle)
    if (a.completed) c.axle[static_cast<std::size_t>(name)] = *a.completed;
  return c;
}

Aligning Known::aligning(Units units) const {
  return align(stands->sits, correction(), wishes, read_alignment(document, adjusted->car), survey,
               units);
}

Known* know(std::unique_ptr<Known>& known, std::unique_ptr<SurveyedText>& surveyed,
            const std::string& text, std::vector<FaultSeen>& faults, bool hurry) {
  if (known && known->text == text) return known.get();
  const auto* s = survey_of(surveyed, text, faults);
  if (!s) return nullptr;
  auto wishes = read_wishes(s->document, s->car);
  const bool same = known && known->key == s->key;
  if (!same) known = std::make_unique<Known>();
  auto& k = *known;
  const auto why = k.why;
  static_cast<SurveyedText&>(k) = *s;
  k.jobs = read_jobs(s->document);
  k.workshop = read_workshop(s->document, s->car, wishes);
  if (same) {
    // The shelf points to the options, which are the same: only what was chosen is taken over.
    k.wishes.chosen = std::move(wishes.chosen);
    k.why = why;
    return &k;
  }
  k.wishes = std::move(wishes);
  if (!k.adjusted) return &k;
  auto stands = stands_of(k.adjusted->car, k.wishes);
  if (!stands.value) {
    k.why = words(stands.why, Units::metric);
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

}  // namespace trammel
