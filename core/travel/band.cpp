#include "travel/band.h"

#include <algorithm>
#include <cmath>

#include "base/check.h"
#include "travel/adjust.h"
#include "travel/sensitivity.h"

namespace trammel {
namespace {

constexpr double step_mm = 10.0;
constexpr std::array<Side, 2> both_sides{Side::left, Side::right};

// Samples of one quantity at one travel.
using Column = std::vector<double>;

LowMiddleHigh low_middle_high(Column& samples) {
  LowMiddleHigh b{};
  if (samples.empty()) return b;
  for (std::size_t i = 0; i < b.size(); ++i) b[i] = quantile(samples, band_shares[i]);
  return b;
}

}  // namespace

void reach_drawn(const Mechanism<Lanes>& m, Solution<Lanes>& at, double travel_mm, Mask4& stands) {
  const double from = at.drive.travel_mm[0], way = travel_mm - from;
  const int steps = std::max(1, static_cast<int>(std::ceil(std::fabs(way) / step_mm)));
  if (way == 0.0) return;
  for (int i = 1; i <= steps; ++i) {
    advance(m, at, Drive<Lanes>{Lanes(from + way * i / steps), at.drive.rack_mm, at.drive.by});
    stands = stands & at.found;
  }
}

DrawnCorner stand_drawn(const Ride& ride, AxleName name, Side side, const Numbers<Lanes>& numbers) {
  const auto& axle = *ride.car.at(name);
  const auto& ridden = *ride.at(name);
  DrawnCorner c;
  c.mechanism = build(axle.layout, numbers);
  const auto mean = corner_mechanism(axle, side);
  const auto order = order_at(mean, pose_as_measured(mean), DrivenBy::wheel_height);
  c.at = solve(c.mechanism, Drive<Lanes>{}, pose_as_measured(c.mechanism), order);
  c.stands = c.at.found;
  reach_drawn(c.mechanism, c.at, ridden.ride_travel_mm, c.stands);
  const auto* state = ride.car.state(ride.state);
  if (state && (ridden.toe_set || ridden.camber_set)) {
    const auto& wanted = state->at(name);
    auto set =
        wheel_set(axle, c.mechanism, c.at, ground_as<Lanes>(ground_for(side, ride.pitch_rad, 0.0)),
                  {wanted.toe_rad, wanted.camber_rad});
    c.mechanism = std::move(set.mechanism);
    c.at = set.at;
    c.stands = c.stands & set.set;
  }
  return c;
}

Bands bands(const Ride& ride, const Spread& spread, AxleName name,
            const std::vector<double>& travel_mm, const std::vector<BandOf>& of, int samples,
            std::uint64_t seed) {
  check(ride.car.at(name).has_value() && ride.at(name).has_value(), "an axle that is described");
  const auto& axle = *ride.car.at(name);
  Bands b;
  const auto part = axle_spread(spread, name);
  if (part.numbers.empty()) return b;
  b.travel_mm = travel_mm;
  std::vector<std::size_t> order(travel_mm.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
  std::sort(order.begin(), order.end(), [&](std::size_t i, std::size_t j) {
    return std::fabs(travel_mm[i]) < std::fabs(travel_mm[j]);
  });
  const bool mirror = axle.right_is_mirrored;
  const std::size_t sides = mirror ? 1 : 2;
  std::array<std::vector<std::vector<Column>>, 2> columns;
  for (std::size_t s = 0; s < sides; ++s)
    columns[s].assign(of.size(), std::vector<Column>(travel_mm.size()));
  std::vector<Column> roll(travel_mm.size());
  Sampler sampler(seed);
  std::vector<Lanes> height(travel_mm.size());
  for (int done = 0; done < samples; done += static_cast<int>(lane_count)) {
    const auto cars = drawn(axle, part, four_normals(sampler, part.numbers.size()));
    Mask4 stands = !Mask4{};
    std::array<std::vector<std::vector<Lanes>>, 2> values;
    for (std::size_t s = 0; s < sides; ++s) {
      const Side side = both_sides[s];
      const auto ground = ground_as<Lanes>(ground_for(side, ride.pitch_rad, 0.0));
      auto corner = stand_drawn(ride, name, side, cars[s]);
      stands = stands & corner.stands;
      const auto at_ride = read_all(At<Lanes>(axle.layout, corner.mechanism, corner.at, ground));
      std::array<Solution<Lanes>, 2> last{corner.at, corner.at};  // above ride height, below it
      values[s].assign(of.size(), std::vector<Lanes>(travel_mm.size()));
      for (const std::size_t i : order) {
        auto& at = last[travel_mm[i] < 0.0 ? 1 : 0];
        reach_drawn(corner.mechanism, at, ride.at(name)->ride_travel_mm + travel_mm[i], stands);
        const auto all = read_all(At<Lanes>(axle.layout, corner.mechanism, at, ground));
        for (std::size_t k = 0; k < of.size(); ++k) {
          const auto r = static_cast<std::size_t>(of[k].reading);
          values[s][k][i] = of[k].change ? all[r] - at_ride[r] : all[r];
        }
        const auto rc = all[static_cast<std::size_t>(Reading::roll_centre_height)];
        height[i] = s == 0 ? rc : Lanes(0.5) * (height[i] + rc);
      }
    }
    for (std::size_t lane_no = 0; lane_no < lane_count; ++lane_no) {
      ++b.samples;
      if (!stands[lane_no]) {
        ++b.lost;
        continue;
      }
      for (std::size_t i = 0; i < travel_mm.size(); ++i) {
        for (std::size_t s = 0; s < sides; ++s)
          for (std::size_t k = 0; k < of.size(); ++k)
            columns[s][k][i].push_back(values[s][k][i][lane_no]);
        roll[i].push_back(height[i][lane_no]);
      }
    }
  }
  for (std::size_t s = 0; s < sides; ++s)
    for (auto& what : columns[s]) {
      std::vector<LowMiddleHigh> band;
      band.reserve(what.size());
      for (auto& column : what) band.push_back(low_middle_high(column));
      b.side[s].push_back(std::move(band));
    }
  if (mirror) b.side[1] = b.side[0];
  b.roll_centre_height_mm.reserve(roll.size());
  for (auto& column : roll) b.roll_centre_height_mm.push_back(low_middle_high(column));
  return b;
}

std::array<Slopes, reading_count> reading_slopes(const Axle& axle, const Spread& spread, Side side,
                                                 double travel_mm) {
  std::array<Slopes, reading_count> slopes;
  std::vector<int> wanted;
  std::vector<std::size_t> of;
  std::vector<double> sign;
  for (std::size_t i = 0; i < spread.numbers.size(); ++i) {
    const auto& n = spread.numbers[i];
    if (n.axle != axle.layout.axle || (n.side != side && !n.both_sides)) continue;
    const bool coordinate = n.of == CarNumber::Of::coordinate;
    wanted.push_back(n.of == CarNumber::Of::camber ? camber_number(axle.layout)
                     : n.of == CarNumber::Of::toe  ? toe_number(axle.layout)
                                                   : coordinate_number(n.point, n.axis));
    of.push_back(i);
    // Corner axes are the left side's; a number of the right side's own runs the other way in y.
    sign.push_back(coordinate && n.axis == 1 && n.side == Side::right ? -1.0 : 1.0);
  }
  const auto m = corner_mechanism(axle, side);
  const auto r = reach(m, solution_as_measured(m), {travel_mm, 0.0});
  if (!r.arrived) return slopes;
  const auto per = sensitivity(axle.layout, m.numbers, r.at, {}, wanted);
  for (std::size_t k = 0; k < of.size(); ++k)
    for (std::size_t j = 0; j < reading_count; ++j)
      if (const double p = sign[k] * per[k][j]; p != 0.0)
        slopes[j].push_back({static_cast<int>(of[k]), p});
  return slopes;
}

}  // namespace trammel
