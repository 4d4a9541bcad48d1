#include "correct/beside.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace trammel {
namespace {

constexpr int grid_up = 41, grid_across = 21;
constexpr double bisected_mm = 0.02;

struct Span {
  Vec3<double> inner, outer;
  double slope_rad() const { return std::atan2(outer.z - inner.z, outer.y - inner.y); }
};

// What one goes by under the car: the arm (its line from the hinge abreast of the ball joint), or
// the lateral rod, whose upright end is nearest in height to the toe rod's.
struct Guide {
  std::string name;
  Span span;
};
std::optional<Guide> guide_for(const Layout& layout, const CornerFitted& f, int toe_rod) {
  const Placed<double> placed(f.mechanism, f.at.pose, f.at.drive.rack_mm);
  const auto span_of = [&](std::size_t row) {
    return Span{placed.position(f.mechanism.distance[row].inner),
                placed.position(f.mechanism.distance[row].outer)};
  };
  const Span rod = span_of(static_cast<std::size_t>(rod_row(layout, toe_rod)));
  std::optional<Guide> best;
  const auto offer = [&](const std::string& name, const Span& span) {
    if (!best ||
        std::fabs(span.outer.z - rod.outer.z) < std::fabs(best->span.outer.z - rod.outer.z))
      best = {name, span};
  };
  for (std::size_t i = 0; i < layout.arms.size(); ++i) {
    const Span front = span_of(2 * i), rear = span_of(2 * i + 1);
    const auto along = rear.inner - front.inner;
    const double x = std::fabs(along.x) > 1.0 ? (front.outer.x - front.inner.x) / along.x : 0.5;
    offer("arm." + layout.arms[i].name, {front.inner + x * along, front.outer});
  }
  if (!best)
    for (int i = 0; i < static_cast<int>(layout.rods.size()); ++i) {
      const Span s = span_of(static_cast<std::size_t>(rod_row(layout, i)));
      const auto d = s.outer - s.inner;
      if (i != toe_rod && std::fabs(d.y) > 0.7 * length(d))
        offer("rod." + layout.rods[static_cast<std::size_t>(i)].name, s);
    }
  return best;
}

}  // namespace

std::optional<RuleOfThumb> rule_of_thumb(const Ride& ride, const Wishes& wishes,
                                         const Ranking& ranking, const Candidate& set) {
  const auto& axle = *ride.car.at(ranking.axle);
  if (!axle.toe_adjuster) return {};
  const auto& layout = axle.layout;
  const int toe_rod = axle.toe_adjuster->rod;
  const auto& rod = layout.rods[static_cast<std::size_t>(toe_rod)];
  const auto& choices = ranking.shelf.choices;
  const auto moves_rod = std::find_if(choices.begin(), choices.end(), [&](const Choice& c) {
    return c.option.joint == rod.upright || c.option.joint == rod.inner;
  });
  if (moves_rod == choices.end()) return {};
  RuleOfThumb rule;
  rule.choice = static_cast<std::size_t>(moves_rod - choices.begin());
  rule.rod = rod.name;
  const auto before = corner_before(ride, ranking.axle, Side::left,
                                    wishes.target[static_cast<std::size_t>(ranking.axle)]);
  const auto row = static_cast<std::size_t>(rod_row(layout, toe_rod));
  const auto rod_at = [&](const CornerFitted& f) {
    const Placed<double> placed(f.mechanism, f.at.pose, f.at.drive.rack_mm);
    return Span{placed.position(f.mechanism.distance[row].inner),
                placed.position(f.mechanism.distance[row].outer)};
  };
  // All else as the set, the rod untouched: how far must its joint go to lie parallel?
  Fit fit = set.fit;
  fit.part[rule.choice] = {};
  const bool outer = moves_rod->option.joint == rod.upright;
  const Vec3<double> along =
      moves_rod->made_to_measure() ? Vec3<double>{0, 0, 1} : moves_rod->along.left;
  const auto untouched = fitted(before, moves_of(ranking.shelf, fit, Side::left));
  if (!untouched.value) return {};
  const auto guide = guide_for(layout, *untouched.value, toe_rod);
  if (!guide) return {};
  const Span lies = rod_at(*untouched.value);
  const double slope = std::tan(guide->span.slope_rad());
  const double rise = lies.outer.z - lies.inner.z, across = lies.outer.y - lies.inner.y;
  const double per = (outer ? 1.0 : -1.0) * (along.z - slope * along.y);
  if (std::fabs(per) < 1e-6) return {};
  rule.arm = guide->name;
  rule.arm_slope_rad = guide->span.slope_rad();
  rule.move_mm = (slope * across - rise) / per;
  if (moves_rod->made_to_measure()) set_place(fit, rule.choice, rule.move_mm * along);
  else set_size(fit, rule.choice, rule.move_mm);
  rule.candidate = judged(ride, wishes, ranking, fit);
  if (!rule.candidate.figures) return {};
  const auto corrected = fitted(before, moves_of(ranking.shelf, set.fit, Side::left));
  if (!corrected.value) return {};
  const Span as_set = rod_at(*corrected.value);
  rule.set_slope_rad = as_set.slope_rad();
  // Zero velocity in the transverse plane through the rod's outer joint.
  const auto& m = corrected.value->at.with_travel;
  const auto centre = corrected.value->at.pose.centre_mm;
  const double x = as_set.outer.x - centre.x;
  if (std::fabs(m.turning.x) > 1e-7) {
    rule.instant_centre_z_mm = centre.z + (m.velocity.y + m.turning.z * x) / m.turning.x;
    rule.instant_centre_y_mm = centre.y - (m.velocity.z - m.turning.y * x) / m.turning.x;
  }
  return rule;
}

namespace {

// Cars drawn, and the places where each is solved; between them its curve is taken as straight.
constexpr int map_cars = 200;
constexpr std::uint64_t map_seed = 41;
constexpr int nodes_across = 5, nodes_up = 11;

// The set with the map's hole, on the side or the sides that it is of, at a place.
Fit with_hole(const HoleMap& map, const Fit& set, double across, double up) {
  Fit fit = set;
  for (const Side side : each_side) {
    if (map.side && side != *map.side) continue;
    auto& by = fit.part[map.choice][side].by_mm;
    by[map.axes[0]] = across;
    by[map.axes[1]] = up;
  }
  return fit;
}

void give_chances(HoleMap& map, const Ride& ride, const Spread& spread, const Wishes& wishes,
                  const Ranking& ranking, const Candidate& set) {
  // Sides that differ are drawn apart even where the file gives one.
  DrawnAxle cars(ride, spread, ranking.axle, wishes.target[static_cast<std::size_t>(ranking.axle)],
                 map_seed, map.side ? RightSide::of_its_own : RightSide::as_the_file);
  if (!cars.uncertain()) return;
  std::array<std::vector<double>, 2> node;
  for (std::size_t k = 0; k < 2; ++k) {
    const auto& at = map.at_mm[k];
    const int n = at.size() < 2 ? 1 : (k == 0 ? nodes_across : nodes_up);
    for (int i = 0; i < n; ++i)
      node[k].push_back(n == 1 ? at[0] : at.front() + (at.back() - at.front()) * i / (n - 1));
  }
  const auto tolerances = cars.detail_tolerances();
  const std::size_t details = tolerances.size();
  std::vector<std::vector<int>> held(map.at_mm[1].size(), std::vector<int>(map.at_mm[0].size(), 0));
  std::vector<Lanes> at_nodes;
  for (int done = 0; done < map_cars; done += static_cast<int>(lane_count)) {
    cars.draw(ranking.shelf.choices.size());
    at_nodes.clear();
    for (const double up : node[1])
      for (const double across : node[0])
        cars.details(ranking.shelf, with_hole(map, set.fit, across, up), at_nodes);
    const auto place = [&](std::size_t k, double x) {
      const auto& n = node[k];
      if (n.size() == 1) return std::pair<std::size_t, double>{0, 0.0};
      const double s = (x - n.front()) / (n[1] - n[0]);
      const auto cell = std::min(static_cast<std::size_t>(std::max(0.0, s)), n.size() - 2);
      return std::pair{cell, s - static_cast<double>(cell)};
    };
    for (std::size_t j = 0; j < map.at_mm[1].size(); ++j)
      for (std::size_t i = 0; i < map.at_mm[0].size(); ++i) {
        const auto [ci, fi] = place(0, map.at_mm[0][i]);
        const auto [cj, fj] = place(1, map.at_mm[1][j]);
        Lanes worst(0.0);
        for (std::size_t d = 0; d < details; ++d) {
          if (std::isinf(tolerances[d].half)) continue;
          const auto of = [&](std::size_t a, std::size_t b) {
            a = std::min(a, node[0].size() - 1);
            b = std::min(b, node[1].size() - 1);
            return at_nodes[(b * node[0].size() + a) * details + d];
          };
          const Lanes low = Lanes(1.0 - fi) * of(ci, cj) + Lanes(fi) * of(ci + 1, cj);
          const Lanes high = Lanes(1.0 - fi) * of(ci, cj + 1) + Lanes(fi) * of(ci + 1, cj + 1);
          const Lanes value = Lanes(1.0 - fj) * low + Lanes(fj) * high;
          worst = larger(worst, Lanes(1.0 / tolerances[d].half) *
                                    magnitude(value - Lanes(tolerances[d].middle)));
        }
        for (std::size_t k = 0; k < lane_count; ++k) held[j][i] += worst[k] <= 1.0 ? 1 : 0;
      }
  }
  for (std::size_t j = 0; j < held.size(); ++j) {
    std::vector<double> chances;
    chances.reserve(held[j].size());
    for (std::size_t i = 0; i < held[j].size(); ++i) {
      const bool allowed = !map.limit_passed[j][i];
      chances.push_back(allowed ? static_cast<double>(held[j][i]) / map_cars : 0.0);
      map.best_chance = std::max(map.best_chance, chances.back());
    }
    map.chance.push_back(std::move(chances));
  }
}

}  // namespace

HoleMap empty_map(const Choice& made) {
  HoleMap map;
  // The last two axes that may move: height upwards, and what lies across it.
  map.axes = {made.axes.size() > 1 ? made.axes[made.axes.size() - 2] : (made.axes[0] == 1 ? 2 : 1),
              made.axes.back()};
  for (std::size_t k = 0; k < 2; ++k) {
    const auto& range = made.range_mm[static_cast<std::size_t>(map.axes[k])];
    const int n = range[1] > range[0] ? (k == 0 ? grid_across : grid_up) : 1;
    for (int i = 0; i < n; ++i)
      map.at_mm[k].push_back(n == 1 ? range[0] : range[0] + (range[1] - range[0]) * i / (n - 1));
  }
  return map;
}

namespace {

HoleMap hole_map(const Ride& ride, const Spread& spread, const Wishes& wishes,
                 const Ranking& ranking, const Candidate& set, std::size_t choice,
                 std::optional<Side> side) {
  HoleMap map = empty_map(ranking.shelf.choices[choice]);
  map.choice = choice;
  map.side = side;
  map.guessed = ranking.guessed;
  const SetJudge judge(ride, ranking.axle, wishes);
  const auto used = [&](double across, double up) {
    return judge.used(ranking.shelf, with_hole(map, set.fit, across, up));
  };
  std::array<std::array<double, 2>, 2> range{};
  for (std::size_t k = 0; k < 2; ++k) {
    range[k] = {map.at_mm[k].front(), map.at_mm[k].back()};
    map.hole_mm[k] = set.fit.part[choice][side.value_or(Side::left)].by_mm[map.axes[k]];
  }
  for (const double up : map.at_mm[1]) {
    map.toe_change_rad.emplace_back();
    map.meets.emplace_back();
    map.limit_passed.emplace_back();
    for (const double across : map.at_mm[0]) {
      const auto u = used(across, up);
      map.toe_change_rad.back().push_back(u ? u->toe_change_max_rad
                                            : std::numeric_limits<double>::infinity());
      map.meets.back().push_back(u && u->holds());
      map.limit_passed.back().push_back(!u || u->passed > 0.0);
    }
  }
  if (!map.guessed) give_chances(map, ride, spread, wishes, ranking, set);
  const auto holds = [&](double across, double up) {
    const auto u = used(map.hole_mm[0] + across, map.hole_mm[1] + up);
    return u && u->holds();
  };
  map.hole_meets = holds(0.0, 0.0);
  if (!map.hole_meets) {
    for (std::size_t k = 0; k < 2; ++k) map.holds_mm[k] = {map.hole_mm[k], map.hole_mm[k]};
    return map;
  }
  // The last distance that holds, by halving between one that does and one that does not.
  const auto farthest = [](double limit, const auto& good) {
    if (limit <= 0.0) return 0.0;
    double low = 0.0, high = limit;
    for (double d = std::min(0.5, limit); d < limit && good(d); d *= 2.0) low = d;
    if (good(limit) && low * 2.0 >= limit) return limit;
    high = std::min(limit, std::max(0.5, 2.0 * low));
    while (high - low > bisected_mm) {
      const double mid = 0.5 * (low + high);
      (good(mid) ? low : high) = mid;
    }
    return low;
  };
  double smallest_room = 1e9;
  for (std::size_t k = 0; k < 2; ++k) {
    const auto along = [&](double sign) {
      return [&, sign](double d) { return k == 0 ? holds(sign * d, 0.0) : holds(0.0, sign * d); };
    };
    const double down = std::max(0.0, map.hole_mm[k] - range[k][0]);
    const double up = std::max(0.0, range[k][1] - map.hole_mm[k]);
    map.holds_mm[k] = {map.hole_mm[k] - farthest(down, along(-1.0)),
                       map.hole_mm[k] + farthest(up, along(1.0))};
    if (range[k][1] > range[k][0]) smallest_room = std::min(smallest_room, std::max(down, up));
  }
  map.both_ways_mm = farthest(smallest_room, [&](double d) {
    for (const double a : {-d, 0.0, d})
      for (const double b : {-d, 0.0, d})
        if (!holds(map.at_mm[0].size() > 1 ? a : 0.0, map.at_mm[1].size() > 1 ? b : 0.0))
          return false;
    return true;
  });
  return map;
}

}  // namespace

std::vector<HoleMap> hole_maps(const Ride& ride, const Spread& spread, const Wishes& wishes,
                               const Ranking& ranking, const Candidate& set) {
  const auto& choices = ranking.shelf.choices;
  const auto made = std::find_if(choices.begin(), choices.end(),
                                 [](const Choice& c) { return c.made_to_measure(); });
  if (made == choices.end()) return {};
  const auto choice = static_cast<std::size_t>(made - choices.begin());
  const auto map_of = [&](std::optional<Side> side) {
    return hole_map(ride, spread, wishes, ranking, set, choice, side);
  };
  if (sides_alike(set.fit)) return {map_of({})};
  return {map_of(Side::left), map_of(Side::right)};
}

}  // namespace trammel
