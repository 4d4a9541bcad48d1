#include "travel/band.h"

#include <algorithm>
#include <cmath>

#include "base/check.h"
#include "car/by.h"
#include "travel/adjust.h"
#include "travel/sensitivity.h"

namespace trammel {
namespace {

constexpr double step_mm = 10.0;
constexpr double least_pivot = 1e-9;

// Samples of one quantity at one travel.
using Column = std::vector<double>;

LowMiddleHigh low_middle_high(Column& samples) {
  LowMiddleHigh b{};
  if (samples.empty()) return b;
  // The middle first: the others then lie in a half each.
  const auto at = [&](double share) {
    return samples.begin() + std::lround(share * static_cast<double>(samples.size() - 1));
  };
  const auto low = at(band_shares[0]), middle = at(band_shares[1]), high = at(band_shares[2]);
  std::nth_element(samples.begin(), middle, samples.end());
  if (low != middle) std::nth_element(samples.begin(), low, middle);
  if (high != middle) std::nth_element(middle + 1, high, samples.end());
  return {*low, *middle, *high};
}

// The readings of `of` at a solved position; where they are all angles of the wheel, only those.
class Values {
 public:
  Values(const Layout& layout, const std::vector<BandOf>& of)
      : layout_(layout),
        of_(of),
        angles_only_(std::all_of(of.begin(), of.end(), [](const BandOf& b) {
          return b.reading == Reading::toe || b.reading == Reading::camber;
        })) {}

  // One value for each of `of`.
  void at(const Mechanism<Lanes>& m, const Solution<Lanes>& s, const Ground<Lanes>& ground,
          std::vector<Lanes>& values) const {
    values.resize(of_.size());
    if (angles_only_) {
      const auto spin = spin_at(m, s);
      for (std::size_t k = 0; k < of_.size(); ++k)
        values[k] = of_[k].reading == Reading::toe ? toe_of(spin, ground) : camber_of(spin, ground);
      return;
    }
    const auto all = read_all(At<Lanes>(layout_, m, s, ground));
    for (std::size_t k = 0; k < of_.size(); ++k)
      values[k] = all[static_cast<std::size_t>(of_[k].reading)];
  }

 private:
  const Layout& layout_;
  const std::vector<BandOf>& of_;
  bool angles_only_;
};

}  // namespace

void reach_drawn(const Mechanism<Lanes>& m, Solution<Lanes>& at, double travel_mm, double rack_mm,
                 Mask4& stands) {
  const double from = at.drive.travel_mm[0], rack_from = at.drive.rack_mm[0];
  const double up = travel_mm - from, out = rack_mm - rack_from;
  const double way = std::max(std::fabs(up), std::fabs(out));
  if (way == 0.0) return;
  const int steps = std::max(1, static_cast<int>(std::ceil(way / step_mm)));
  for (int i = 1; i <= steps; ++i) {
    const Lanes before = at.factored.determinant;
    advance(m, at,
            Drive<Lanes>{Lanes(from + up * i / steps), Lanes(rack_from + out * i / steps),
                         at.drive.by});
    // A locked position passed between two steps shows by the sign, one that is near by the pivot.
    stands = stands & at.found & (before * at.factored.determinant > Lanes(0.0)) &
             (at.factored.smallest_pivot > Lanes(least_pivot));
  }
}

PivotOrder drawn_order(const Axle& axle, Side side) {
  const auto mean = corner_mechanism(axle, side);
  return order_at(mean, pose_as_measured(mean), DrivenBy::wheel_height);
}

DrawnCorner stand_drawn(const Ride& ride, AxleName name, Side side, const Numbers<Lanes>& numbers,
                        const PivotOrder& order) {
  const auto& axle = *ride.car.at(name);
  const auto& ridden = *ride.at(name);
  DrawnCorner c;
  c.mechanism = build(axle.layout, numbers);
  c.at = solve(c.mechanism, Drive<Lanes>{}, pose_as_measured(c.mechanism), order);
  c.stands = c.at.found;
  reach_drawn(c.mechanism, c.at, ridden.ride_travel_mm, 0.0, c.stands);
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

Bands bands(const Ride& ride, const Spread& spread, AxleName name, const BandAsk& ask) {
  return bands(ride, spread, name, ask,
               [&](Side side, const Numbers<Lanes>& numbers, const PivotOrder& order) {
                 return stand_drawn(ride, name, side, numbers, order);
               });
}

Bands bands(const Ride& ride, const Spread& spread, AxleName name, const BandAsk& ask,
            const StandDrawn& stand) {
  const auto& travel_mm = ask.travel_mm;
  const auto& of = ask.of;
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
  // Turned steering, the two sides differ.
  const bool mirror = axle.right_is_mirrored && ask.rack_mm == 0.0 && !ask.sides_apart;
  const bool one = mirror || ask.left_alone;
  const std::size_t sides = one ? 1 : 2, places = travel_mm.size();
  // The axle's roll centre is the mean of its sides'.
  const auto rolls = std::find_if(of.begin(), of.end(), [](const BandOf& x) {
    return x.reading == Reading::roll_centre_height && !x.change;
  });
  const auto roll = static_cast<std::size_t>(rolls - of.begin());
  std::array<std::vector<Column>, 2> columns;  // [side][what x travel]
  for (std::size_t s = 0; s < sides; ++s) columns[s].assign(of.size() * places, {});
  for (std::size_t s = 0; s < sides; ++s)
    for (auto& c : columns[s]) c.reserve(static_cast<std::size_t>(ask.samples) + lane_count);
  std::vector<Column> axle_roll(rolls == of.end() || one ? 0 : places);
  const Values read(axle.layout, of);
  std::array<PivotOrder, 2> pivots;
  std::array<Ground<Lanes>, 2> ground;
  for (std::size_t s = 0; s < sides; ++s) {
    pivots[s] = drawn_order(axle, each_side[s]);
    ground[s] = ground_as<Lanes>(ground_for(each_side[s], ride.pitch_rad, 0.0));
  }
  Sampler sampler(ask.seed);
  std::vector<Lanes> at_ride, here;
  std::array<std::vector<Lanes>, 2> values;
  for (int done = 0; done < ask.samples; done += static_cast<int>(lane_count)) {
    const auto cars = drawn(axle, part, four_normals(sampler, part.numbers.size()));
    Mask4 stands = !Mask4{};
    for (std::size_t s = 0; s < sides; ++s) {
      auto corner = stand(each_side[s], cars[s], pivots[s]);
      stands = stands & corner.stands;
      const double rack = s == 0 ? ask.rack_mm : -ask.rack_mm;
      // A change counts from ride height, the rack where it is.
      if (rack != 0.0)
        reach_drawn(corner.mechanism, corner.at, ride.at(name)->ride_travel_mm, rack, stands);
      read.at(corner.mechanism, corner.at, ground[s], at_ride);
      std::array<Solution<Lanes>, 2> last{corner.at, corner.at};  // above ride height, below it
      values[s].resize(of.size() * places);
      for (const std::size_t i : order) {
        auto& at = last[travel_mm[i] < 0.0 ? 1 : 0];
        reach_drawn(corner.mechanism, at, ride.at(name)->ride_travel_mm + travel_mm[i], rack,
                    stands);
        read.at(corner.mechanism, at, ground[s], here);
        for (std::size_t k = 0; k < of.size(); ++k)
          values[s][k * places + i] = of[k].change ? here[k] - at_ride[k] : here[k];
      }
    }
    b.samples += static_cast<int>(lane_count);
    for (std::size_t n = 0; n < lane_count; ++n) {
      if (!stands[n]) {
        ++b.lost;
        continue;
      }
      for (std::size_t s = 0; s < sides; ++s)
        for (std::size_t j = 0; j < values[s].size(); ++j) columns[s][j].push_back(values[s][j][n]);
      for (std::size_t i = 0; i < axle_roll.size(); ++i)
        axle_roll[i].push_back(0.5 *
                               (values[0][roll * places + i][n] + values[1][roll * places + i][n]));
    }
  }
  for (std::size_t s = 0; s < sides; ++s)
    for (std::size_t k = 0; k < of.size(); ++k) {
      std::vector<LowMiddleHigh> band;
      band.reserve(places);
      for (std::size_t i = 0; i < places; ++i)
        band.push_back(low_middle_high(columns[s][k * places + i]));
      b.side[s].push_back(std::move(band));
    }
  if (mirror) b.side[1] = b.side[0];
  if (rolls != of.end() && mirror) b.roll_centre_height_mm = b.side[0][roll];
  for (auto& column : axle_roll) b.roll_centre_height_mm.push_back(low_middle_high(column));
  return b;
}

std::array<Slopes, reading_count> reading_slopes(const Axle& axle, const Spread& spread, Side side,
                                                 double travel_mm) {
  std::array<Slopes, reading_count> slopes;
  std::vector<int> wanted;
  std::vector<std::size_t> of;
  std::vector<double> sign;
  for (std::size_t i = 0; i < spread.numbers.size(); ++i) {
    const auto n = number_of_corner(axle.layout, side, spread.numbers[i]);
    if (!n) continue;
    wanted.push_back(n->number);
    of.push_back(i);
    sign.push_back(n->sign);
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
