#include "correct/correct.h"

#include "travel/sensitivity.h"

namespace trammel {
namespace {

constexpr std::uint64_t sureness_seed = 700;
constexpr int sureness_samples = 2000;

}  // namespace

Answer<AxleCorrection> correct_axle(const Ride& ride, const Spread& spread, AxleName axle,
                                    const Wishes& wishes, const Progress& progress) {
  auto ranking = rank(ride, spread, axle, wishes, progress);
  if (!ranking.value) return {{}, ranking.why};
  AxleCorrection c;
  c.ranking = std::move(*ranking.value);
  c.rule = rule_of_thumb(ride, wishes, c.ranking);
  c.map = hole_map(ride, spread, wishes, c.ranking);
  const auto& described = *ride.car.at(axle);
  if (const auto* best = c.ranking.best(); best && described.toe_adjuster) {
    const auto& rod = described.layout.rods[static_cast<std::size_t>(described.toe_adjuster->rod)];
    Fit alone = best->fit;
    for (std::size_t i = 0; i < c.ranking.shelf.choices.size(); ++i) {
      const int joint = c.ranking.shelf.choices[i].option->joint;
      if (joint != rod.inner && joint != rod.upright) continue;
      alone.size_mm[i] = 0.0;
      alone.by_mm[i] = {};
    }
    auto candidate = judged(ride, wishes, c.ranking, alone);
    if (!candidate.stop.empty()) c.rod_left_alone = std::move(candidate);
  }
  if (const auto* best = c.ranking.best()) {
    DrawnAxle cars(ride, spread, axle, wishes.target[static_cast<std::size_t>(axle)],
                   sureness_seed);
    if (cars.uncertain()) c.sure = sureness(cars, c.ranking.shelf, best->fit, sureness_samples);
  }
  return {std::move(c), {}};
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

Ride with_parts(Ride ride, const Correction& correction, const Wishes& wishes) {
  const Ride before = ride;
  for (const AxleName name : {AxleName::front, AxleName::rear}) {
    const auto i = static_cast<std::size_t>(name);
    const auto& c = correction.axle[i];
    if (!c || !c->ranking.best() || !ride.axle[i]) continue;
    for (const Side side : {Side::left, Side::right}) {
      auto f = fitted(corner_before(before, name, side, wishes.target[i]),
                      moves_of(c->ranking.shelf, c->ranking.best()->fit, side));
      if (!f.value) continue;
      ride.axle[i]->side[static_cast<std::size_t>(side)] = {std::move(f.value->mechanism),
                                                            f.value->at, f.value->toe_rod_mm};
    }
    ride.axle[i]->toe_set = c->ranking.toe_is_reset;
  }
  ride.state = "corrected";
  return ride;
}

Bands corrected_bands(const Ride& ride, const Spread& spread, const Correction& correction,
                      const Wishes& wishes, AxleName name, const BandAsk& ask) {
  const auto& c = correction.at(name);
  if (!c || !c->ranking.best()) return {};
  const auto& target = wishes.target[static_cast<std::size_t>(name)];
  const auto& axle = *ride.car.at(name);
  return bands(ride, spread, name, ask,
               [&](Side side, const Numbers<Lanes>& numbers, const PivotOrder& order) {
                 const auto before = stand_drawn(ride, name, side, numbers, order);
                 std::vector<PartMove<Lanes>> moves;
                 for (const auto& m : moves_of(c->ranking.shelf, c->ranking.best()->fit, side))
                   moves.push_back({m.point, {m.by_mm.x, m.by_mm.y, m.by_mm.z}});
                 auto f = fit_parts(axle, before.mechanism, before.at,
                                    ground_as<Lanes>(ground_for(side, ride.pitch_rad, 0.0)),
                                    corner_before(ride, name, side, target).setting, moves);
                 return DrawnCorner{std::move(f.mechanism), f.at, f.set & before.stands};
               });
}

}  // namespace trammel
