#include "correct/correct.h"

#include <cmath>

#include "travel/sensitivity.h"

namespace trammel {
namespace {

constexpr std::uint64_t sureness_seed = 700;
constexpr int sureness_samples = 2000;

constexpr std::uint64_t own_right_seed = 701;
constexpr double same_mm = 1e-6;

bool same_fit(const Fit& a, const Fit& b) {
  for (std::size_t i = 0; i < a.part.size(); ++i)
    for (const Side side : each_side) {
      const auto &x = a.part[i][side], &y = b.part[i][side];
      if (std::fabs(x.size_mm - y.size_mm) > same_mm || length(x.by_mm - y.by_mm) > same_mm)
        return false;
    }
  return true;
}

}  // namespace

AxleCorrection completed(const Ride& ride, const Spread& spread, const Wishes& wishes,
                         Ranking ranking) {
  const AxleName axle = ranking.axle;
  AxleCorrection c;
  c.ranking = std::move(ranking);
  if (const auto fit = chosen_fit(c.ranking.shelf, wishes, axle))
    c.chosen = tried(ride, spread, wishes, c.ranking, *fit);
  if (c.chosen)
    for (const auto& x : c.ranking.candidates)
      if ((&x == c.ranking.best() || x.equal_to_best) && same_fit(x.fit, c.chosen->fit))
        c.chosen->equal_to_best = true;
  const auto* set = c.to_fit();
  if (!set) return c;
  c.rule = rule_of_thumb(ride, wishes, c.ranking, *set);
  c.maps = hole_maps(ride, spread, wishes, c.ranking, *set);
  const auto& described = *ride.car.at(axle);
  if (described.toe_adjuster) {
    const auto& rod = described.layout.rods[static_cast<std::size_t>(described.toe_adjuster->rod)];
    Fit alone = set->fit;
    for (std::size_t i = 0; i < c.ranking.shelf.choices.size(); ++i) {
      const int joint = c.ranking.shelf.choices[i].option.joint;
      if (joint != rod.inner && joint != rod.upright) continue;
      alone.part[i] = {};
    }
    auto candidate = judged(ride, wishes, c.ranking, alone);
    if (candidate.stop) c.rod_left_alone = std::move(candidate);
  }
  const auto& target = wishes.target[static_cast<std::size_t>(axle)];
  DrawnAxle cars(ride, spread, axle, target, sureness_seed);
  if (cars.uncertain()) c.sure = sureness(cars, c.ranking.shelf, set->fit, sureness_samples);
  if (set->chance && described.right_is_mirrored) {
    DrawnAxle apart(ride, spread, axle, target, own_right_seed, RightSide::of_its_own);
    c.chance_of_its_own_right =
        set->at_a_limit ? 0.0
                        : static_cast<double>(
                              met(apart, c.ranking.shelf, {set->fit}, sureness_samples).front()) /
                              sureness_samples;
  }
  return c;
}

Answer<AxleCorrection, NothingToRank> correct_axle(const Ride& ride, const Spread& spread,
                                                   AxleName axle, const Wishes& wishes,
                                                   const Progress& progress) {
  auto ranking = rank(ride, spread, axle, wishes, progress);
  if (!ranking.value) return {{}, ranking.why};
  return {completed(ride, spread, wishes, std::move(*ranking.value)), {}};
}

Correction correct(const Ride& ride, const Spread& spread, const Wishes& wishes,
                   const Progress& progress) {
  Correction correction;
  for (const AxleName name : {AxleName::front, AxleName::rear}) {
    if (!ride.car.at(name)) continue;
    const auto i = static_cast<std::size_t>(name);
    auto c = correct_axle(ride, spread, name, wishes, progress);
    if (c.value) correction.axle[i] = std::move(*c.value);
    else correction.why[i] = c.why;
  }
  return correction;
}

Ride with_set(Ride ride, const Ranking& ranking, const Fit& fit, const Wishes& wishes) {
  const auto i = static_cast<std::size_t>(ranking.axle);
  const Ride before = ride;
  for (const Side side : {Side::left, Side::right}) {
    auto f = fitted(corner_before(before, ranking.axle, side, wishes.target[i]),
                    moves_of(ranking.shelf, fit, side));
    if (!f.value) continue;
    ride.axle[i]->side[static_cast<std::size_t>(side)] = {std::move(f.value->mechanism),
                                                          f.value->at, f.value->toe_rod_mm};
  }
  ride.axle[i]->toe_set = ranking.toe_is_reset;
  ride.state = "corrected";
  return ride;
}

Ride with_parts(Ride ride, const Correction& correction, const Wishes& wishes) {
  for (const auto& c : correction.axle)
    if (c && c->to_fit()) ride = with_set(std::move(ride), c->ranking, c->to_fit()->fit, wishes);
  ride.state = "corrected";
  return ride;
}

Bands bands_with_set(const Ride& ride, const Spread& spread, const Ranking& ranking, const Fit& fit,
                     const Wishes& wishes, const BandAsk& ask) {
  const auto name = ranking.axle;
  const auto& target = wishes.target[static_cast<std::size_t>(name)];
  const auto& axle = *ride.car.at(name);
  return bands(ride, spread, name, ask,
               [&](Side side, const Numbers<Lanes>& numbers, const PivotOrder& order) {
                 const auto before = stand_drawn(ride, name, side, numbers, order);
                 std::vector<PartMove<Lanes>> moves;
                 for (const auto& m : moves_of(ranking.shelf, fit, side))
                   moves.push_back({m.point, {m.by_mm.x, m.by_mm.y, m.by_mm.z}});
                 auto f = fit_parts(axle, before.mechanism, before.at,
                                    ground_as<Lanes>(ground_for(side, ride.pitch_rad, 0.0)),
                                    corner_before(ride, name, side, target).setting, moves);
                 return DrawnCorner{std::move(f.mechanism), f.at, f.set & before.stands};
               });
}

}  // namespace trammel
