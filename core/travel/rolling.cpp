#include "travel/rolling.h"

#include <cmath>
#include <vector>

#include "car/by.h"

namespace trammel {
namespace {

constexpr std::size_t index(Side s) { return static_cast<std::size_t>(s); }
constexpr std::size_t index(AxleName a) { return static_cast<std::size_t>(a); }

constexpr int most_rolling_rounds = 40;
constexpr double settled_rad = 1e-11;
constexpr double first_step_rad = 1e-3;
constexpr double most_roll_rad = 0.35;  // 20 degrees: no car gets there on its tyres
constexpr double still = 1e-6;  // rad² of twist per rad² of roll: the wheels do not turn it

// An axle as it stands in the ride, with all that its balance needs.
struct AxleParts {
  const Axle* axle;
  const AxleRide* ride;
  AxleSprings springs;
  Giving giving;
  std::optional<RollBar> bar;
  Roller roller;
  std::array<double, 2> stop_stands_n{};  // what the stops carry as the car stands, at the tyre
  bool counts_stops = false;
  std::array<double, 2> sprung_n{};  // weight that each spring carries, at the tyre
  double unsprung_kg = 0.0, sprung_kg = 0.0;
  double body_y_mm = 0.0;  // where the body's share stands, to the left
};

// A part of what a corner's wheel carries, by what brings it.
struct Brought {
  double spring_n = 0.0, links_n = 0.0, wheel_n = 0.0, stop_n = 0.0;
};

class RollingCar {
 public:
  RollingCar(const Ride& ride, const RollMasses& masses, std::vector<AxleParts>& parts,
             double side_g)
      : ride_(ride), masses_(masses), parts_(parts), a_(side_g * gravity_m_s2) {
    out_.side_g = side_g;
  }

  // The moment that would roll the body further, N·mm; nothing where a wheel has no position.
  std::optional<double> turning_over(double roll_rad) {
    out_.roll_rad = roll_rad;
    out_.overturning_nmm = out_.leaning_nmm = 0.0;
    double sum = 0.0;
    for (const AxleName name : each_axle) {
      const auto moment = axle(name, roll_rad);
      if (!moment) return {};
      sum += *moment;
    }
    return sum;
  }
  const Rolled& at_last() const { return out_; }

 private:
  Brought side_part(const AxleParts& p, Side side, const At<double>& at) const {
    const double out = side == Side::left ? a_ : -a_;  // acceleration outboard
    const double rise = dot(at.contact_velocity, at.ground.up);
    const double across = dot(at.contact_velocity, at.ground.outboard);
    const double high = dot(at.placed.centre() - at.contact, at.ground.up);
    // How the wheel's mass moves sideways against its contact point.
    const double leans =
        dot(cross(at.solution.with_travel.turning, high * at.ground.up), at.ground.outboard);
    Brought b;
    b.links_n = -0.5 * p.sprung_kg * out * across / rise;
    b.wheel_n = 0.5 * p.unsprung_kg * out * leans / rise;
    return b;
  }

  std::optional<double> axle(AxleName name, double roll) {
    auto& p = parts_[index(name)];
    auto& r = out_.axle[index(name)];
    const auto besides = [&](const std::array<At<double>, 2>& at) {
      auto n = p.bar ? p.bar->loads_n(at) : std::array<double, 2>{};
      for (const Side side : each_side) {
        const auto b = side_part(p, side, at[index(side)]);
        n[index(side)] += b.links_n + b.wheel_n;
      }
      return n;
    };
    const auto reached = p.roller.rolled(0.0, 0.0, roll, besides);
    if (!reached[0].arrived || !reached[1].arrived) return {};
    const std::array<At<double>, 2> at{
        At<double>(p.axle->layout, p.ride->at(Side::left).mechanism, reached[0].at,
                   ground_for(Side::left, ride_.pitch_rad, roll)),
        At<double>(p.axle->layout, p.ride->at(Side::right).mechanism, reached[1].at,
                   ground_for(Side::right, ride_.pitch_rad, roll))};
    const auto bar = p.bar ? p.bar->loads_n(at) : std::array<double, 2>{};
    std::array<Brought, 2> brought;
    r.track_mm = r.roll_centre_height_mm = 0.0;
    r.tyres_give = p.giving.tyre_rate_n_per_mm.has_value();
    double high = 0.0, floor = 0.0;
    std::array<double, 2> aside{};  // of the contact points, to the left
    for (const Side side : each_side) {
      const auto i = index(side);
      const auto& here = at[i];
      brought[i] = side_part(p, side, here);
      r.stop_n[i] = stop_at_tyre_n(p.giving.stop[i], here);
      brought[i].stop_n = r.stop_n[i] - p.stop_stands_n[i];
      brought[i].spring_n =
          p.springs.side[i].force_at(read(Reading::spring_length, here)) * spring_per_rise(here) +
          bar[i] - (p.sprung_n[i] - p.stop_stands_n[i]);
      const double more_n =
          brought[i].spring_n + brought[i].links_n + brought[i].wheel_n + brought[i].stop_n;
      r.on_tyre_n[i] = masses_.wheel_n[index(name)][i] + more_n;
      const double pressed_mm =
          p.giving.tyre_rate_n_per_mm ? more_n / *p.giving.tyre_rate_n_per_mm : 0.0;
      if (p.counts_stops && !p.giving.stop[i])
        if (const auto touch = stop_touch_mm(*p.axle, side))
          r.stop_unknown[i] = length_now(here, *stop_line(p.axle->layout)) < *touch;
      r.travel_mm[i] = reached[i].at.drive.travel_mm - p.ride->ride_travel_mm;
      const double half = dot(here.contact, here.ground.outboard);
      aside[i] = side == Side::left ? half : -half;
      r.track_mm += half;
      r.roll_centre_height_mm += 0.5 * read(Reading::roll_centre_height, here);
      floor += 0.5 * (dot(here.contact, here.ground.up) + pressed_mm);
      high += 0.5 * (dot(here.placed.centre() - here.contact, here.ground.up) - pressed_mm);
    }
    const auto across = [&](double Brought::*what) {
      return 0.5 * (brought[1].*what - brought[0].*what);
    };
    r.transfer = {across(&Brought::links_n), across(&Brought::spring_n), across(&Brought::wheel_n),
                  across(&Brought::stop_n)};
    // Moments about the line along the car in the floor under the body's middle.
    const auto ground = ground_for(Side::left, ride_.pitch_rad, roll);
    const Vec3<double> body{0.5 * (at[0].contact.x + at[1].contact.x), p.body_y_mm,
                            masses_.sprung_height_mm};
    const double body_high = dot(body, ground.up) - floor;
    const double body_aside = dot(body, ground.outboard);
    const double turning = a_ * (p.sprung_kg * body_high + p.unsprung_kg * high);
    double leaning = -(p.sprung_n[0] + p.sprung_n[1]) * body_aside;
    for (std::size_t i = 0; i < 2; ++i) leaning += p.sprung_n[i] * aside[i];
    out_.overturning_nmm += turning;
    out_.leaning_nmm += leaning;
    return turning + leaning - r.transfer.total_n() * r.track_mm;
  }

  const Ride& ride_;
  const RollMasses& masses_;
  std::vector<AxleParts>& parts_;
  double a_;
  Rolled out_;
};

}  // namespace

std::optional<RollBar> RollBar::of(const Axle& axle) {
  if (!axle.bar_rate_nmm_per_rad) return {};
  RollBar bar;
  bar.by_levers_ = axle.layout.bar.has_value();
  bar.rate_ = 1.0;
  const std::array<Mechanism<double>, 2> m{corner_mechanism(axle, Side::left),
                                           corner_mechanism(axle, Side::right)};
  const std::array<Solution<double>, 2> start{solution_as_measured(m[0]),
                                              solution_as_measured(m[1])};
  const std::array<At<double>, 2> at{At<double>(axle.layout, m[0], start[0], {}),
                                     At<double>(axle.layout, m[1], start[1], {})};
  bar.track_mm_ = at[0].contact.y + at[1].contact.y;
  const double per_rad = bar.roll_rate_nmm_per_rad(at);
  if (!(per_rad > still)) return {};
  bar.rate_ = *axle.bar_rate_nmm_per_rad / per_rad;
  return bar;
}

RollBar::End RollBar::end(const At<double>& at) const {
  if (by_levers_) return {read(Reading::bar_turn, at), read(Reading::bar_motion_ratio, at)};
  return {(at.placed.centre().z - at.mechanism.centre_mm.z) / track_mm_, 1.0 / track_mm_};
}

double RollBar::twist_rad(const std::array<At<double>, 2>& at) const {
  return end(at[0]).turn_rad - end(at[1]).turn_rad;
}

void RollBar::set_free(const std::array<At<double>, 2>& at) { free_twist_rad_ = twist_rad(at); }

std::array<double, 2> RollBar::loads_n(const std::array<At<double>, 2>& at) const {
  const double torque = rate_ * (twist_rad(at) - free_twist_rad_);
  const auto per_rise = [&](const At<double>& a) {
    return end(a).per_travel / dot(a.contact_velocity, a.ground.up);
  };
  return {torque * per_rise(at[0]), -torque * per_rise(at[1])};
}

double RollBar::roll_rate_nmm_per_rad(const std::array<At<double>, 2>& at) const {
  double per_roll = 0.0;
  for (const auto& a : at)
    per_roll += end(a).per_travel * dot(a.contact, a.ground.outboard) /
                dot(a.contact_velocity, a.ground.up);
  return rate_ * per_roll * per_roll;
}

Answer<RollMasses, NoBalance> roll_masses(const Car& car) {
  using Missing = NoBalance::Missing;
  std::vector<Missing> missing;
  if (!car.body.corner_kg) missing.push_back({Missing::Of::corner_weights});
  if (!car.body.centre_of_gravity_height_mm) missing.push_back({Missing::Of::centre_of_gravity});
  if (!missing.empty()) return {{}, {NoBalance::Of::missing, std::move(missing)}};
  RollMasses m;
  double all_kg = 0.0, unsprung_kg = 0.0, unsprung_moment = 0.0;
  for (const AxleName name : each_axle) {
    const auto a = index(name);
    m.unsprung_kg[a] = car.body.unsprung_axle_kg[a];
    for (const Side side : each_side) {
      const double kg = (*car.body.corner_kg)[a][index(side)];
      m.wheel_n[a][index(side)] = kg * gravity_m_s2;
      all_kg += kg;
      if (const auto& axle = car.at(name)) {
        unsprung_kg += 0.5 * m.unsprung_kg[a];
        unsprung_moment += 0.5 * m.unsprung_kg[a] * axle->at(side).numbers.points_mm[0].z;
      }
    }
  }
  if (!(all_kg > unsprung_kg))
    return {{}, {NoBalance::Of::missing, {{Missing::Of::lighter_unsprung}}}};
  m.sprung_height_mm =
      (all_kg * *car.body.centre_of_gravity_height_mm - unsprung_moment) / (all_kg - unsprung_kg);
  return {m, {}};
}

std::array<At<double>, 2> both_at(const Ride& ride, AxleName name) {
  const auto at = [&](Side side) {
    const auto& corner = ride.at(name)->at(side);
    return At<double>(ride.car.at(name)->layout, corner.mechanism, corner.at,
                      ground_for(side, ride.pitch_rad, 0.0));
  };
  return {at(Side::left), at(Side::right)};
}

Transfer transfer_by_sums(double sprung_n, double roll_centre_mm, double rate_nmm_per_rad,
                          double roll_rad, double unsprung_n, double unsprung_height_mm,
                          double side_g, double track_mm) {
  return {side_g * sprung_n * roll_centre_mm / track_mm, rate_nmm_per_rad * roll_rad / track_mm,
          side_g * unsprung_n * unsprung_height_mm / track_mm};
}

Answer<Rolled, NoBalance> roll_at(const Ride& ride, double side_g, RollWith with) {
  using Missing = NoBalance::Missing;
  const auto masses = roll_masses(ride.car);
  std::vector<Missing> missing;
  if (!masses.value) missing = masses.why.missing;
  std::vector<AxleParts> parts;
  parts.reserve(2);
  for (const AxleName name : each_axle) {
    const auto& axle = ride.car.at(name);
    if (!axle || !ride.at(name)) {
      missing.push_back({Missing::Of::axle, name});
      continue;
    }
    const auto springs = springs_as_measured(*axle, axle_load(ride.car, name));
    if (!springs) {
      missing.push_back({Missing::Of::spring, name});
      continue;
    }
    if (!masses.value) continue;
    auto now = springs_in(*axle, *ride.at(name), ride.pitch_rad, *springs);
    const auto at = both_at(ride, name);
    const double unsprung_kg = masses.value->unsprung_kg[index(name)];
    Giving giving;
    if (with.tyres) giving.tyre_rate_n_per_mm = axle->tyre_rate_n_per_mm;
    std::array<double, 2> sprung_n{}, stop_stands_n{};
    for (const Side side : each_side) {
      const auto i = index(side);
      sprung_n[i] = masses.value->wheel_n[index(name)][i] - 0.5 * unsprung_kg * gravity_m_s2;
      if (!with.stops) continue;
      giving.stop[i] = stop_law(*axle, side);
      stop_stands_n[i] = stop_at_tyre_n(giving.stop[i], at[i]);
      if (stop_stands_n[i] >= sprung_n[i])
        return {{}, {NoBalance::Of::stop_overloaded, {}, name, side}};
      now.side[i].force_n -= stop_stands_n[i] / spring_per_rise(at[i]);
    }
    AxleParts p{&*axle,
                &*ride.at(name),
                now,
                giving,
                RollBar::of(*axle),
                Roller(*axle, *ride.at(name), ride.pitch_rad, now, giving),
                stop_stands_n,
                with.stops,
                sprung_n,
                unsprung_kg,
                0.0,
                0.0};
    if (p.bar) p.bar->set_free(at);
    double moment = 0.0;
    for (const Side side : each_side) {
      const auto i = index(side);
      p.sprung_kg += p.sprung_n[i] / gravity_m_s2;
      moment += p.sprung_n[i] * dot(at[i].contact, at[i].ground.outboard) * (outboard_sign(side));
    }
    p.body_y_mm = moment / (p.sprung_n[0] + p.sprung_n[1]);
    parts.push_back(p);
  }
  if (!missing.empty()) return {{}, {NoBalance::Of::missing, std::move(missing)}};

  RollingCar car(ride, *masses.value, parts, side_g);
  // Newton with the slope of the last two tries: the moment falls evenly as the springs take it up.
  NoBalance no_position{NoBalance::Of::no_position};
  no_position.side_g = side_g;
  double before = 0.0;
  auto off_before = car.turning_over(before);
  double roll = side_g < 0.0 ? -first_step_rad : first_step_rad;
  for (int round = 0; round < most_rolling_rounds; ++round) {
    const auto off = car.turning_over(roll);
    if (!off || !off_before) return {{}, no_position};
    const double slope = (*off - *off_before) / (roll - before);
    if (!(slope < 0.0)) return {{}, {NoBalance::Of::falls_over}};
    const double next = roll - *off / slope;
    if (!(std::fabs(next) < most_roll_rad)) return {{}, no_position};
    if (std::fabs(next - roll) < settled_rad) return {car.at_last(), {}};
    before = roll;
    off_before = off;
    roll = next;
  }
  return {car.at_last(), {}};
}

}  // namespace trammel
