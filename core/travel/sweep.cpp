#include "travel/sweep.h"

#include <algorithm>
#include <cmath>

#include "base/check.h"
#include "car/by.h"

namespace trammel {
namespace {

constexpr double clean_crossing = 0.02;     // sum of slopes; flatter lines meet anywhere
constexpr double most_steps = 10000.0;      // of a window
constexpr double least_steer_rad = 0.0175;  // one degree: below it Ackermann says nothing

class Sweeper {
 public:
  Sweeper(const Ride& ride, AxleName name)
      : ride_(ride),
        name_(name),
        axle_(*ride.car.at(name)),
        axle_ride_(*ride.at(name)),
        roller_(axle_, axle_ride_, ride.pitch_rad,
                springs_as_measured(axle_, axle_load(ride.car, name))) {}

  Sweep swept(const Ask& ask) {
    Sweep s;
    s.axle = name_;
    s.state = ride_.state;
    s.axis_from = axis_from(axle_.layout);
    s.toe_set = axle_ride_.toe_set;
    s.camber_set = axle_ride_.camber_set;
    if (ask.roll_rad != 0.0) s.heave = roller_.heave();
    s.ride = position(0.0, 0.0, 0.0);
    ride_position_ = s.ride;
    reference_ = s.ride;
    refer(s.ride);
    // At a rack of its own the change counts from ride height with the rack there.
    if (ask.rack_mm != 0.0) reference_ = position(0.0, ask.rack_mm, 0.0);
    for (const double travel : ask.travel_mm) {
      s.positions.push_back(position(travel, ask.rack_mm, ask.roll_rad));
      refer(s.positions.back());
    }
    return s;
  }

  AxleSolved solved(double travel, double rack, double roll) const {
    AxleSolved s;
    std::array<Reached, 2> reached;
    if (roll == 0.0) {
      for (const Side side : each_side) reached[index(side)] = roller_.wheel(side, travel, rack);
    } else {
      reached = roller_.rolled(travel, rack, roll);
    }
    if (roll != 0.0 && !(reached[0].arrived && reached[1].arrived)) {
      // One body: where one wheel ends the roll, it ends for both.
      const Side ends = reached[0].arrived ? Side::right : Side::left;
      const auto l = locked(ends, reached[index(ends)].at, travel, rack, roll);
      s.locked = {l, l};
      return s;
    }
    for (const Side side : each_side) {
      const auto& r = reached[index(side)];
      if (r.arrived) s.side[index(side)] = r.at;
      else s.locked[index(side)] = locked(side, r.at, travel, rack, roll);
    }
    return s;
  }

 private:
  Position position(double travel, double rack, double roll) {
    Position p;
    p.travel_mm = travel;
    p.rack_mm = rack;
    p.roll_rad = roll;
    const auto s = solved(travel, rack, roll);
    p.locked = s.locked;
    for (const Side side : each_side) {
      if (!s.side[index(side)]) continue;
      auto c = corner(side, *s.side[index(side)], roll);
      c.rack_mm = rack;
      if (roll == 0.0) c.travel_mm = travel;  // as asked, free of rounding
      p.side[index(side)] = std::move(c);
    }
    if (p.side[0] && p.side[1]) p.axle = axle_at(p);
    return p;
  }

  static std::size_t index(Side s) { return static_cast<std::size_t>(s); }

  Locked locked(Side side, const Solution<double>& last, double travel, double rack,
                double roll) const {
    return {name_,
            side,
            travel,
            rack,
            roll,
            last.drive.travel_mm - axle_ride_.ride_travel_mm,
            side == Side::left ? last.drive.rack_mm : -last.drive.rack_mm};
  }

  CornerAt corner(Side side, const Solution<double>& solution, double roll) const {
    const auto& ridden = axle_ride_.at(side);
    const At<double> at(axle_.layout, ridden.mechanism, solution,
                        ground_for(side, ride_.pitch_rad, roll));
    CornerAt c;
    c.travel_mm = solution.drive.travel_mm - axle_ride_.ride_travel_mm;
    c.rack_mm = side == Side::left ? solution.drive.rack_mm : -solution.drive.rack_mm;
    c.value = read_all(at);
    c.joints = joint_angles(at);
    c.instant_axis = instant_axis(at);
    if (side == Side::right && c.instant_axis) {
      c.instant_axis->point = mirrored(c.instant_axis->point);
      c.instant_axis->direction = mirrored(c.instant_axis->direction);
    }
    if (axle_.layout.steered())
      c.steer_rad = side == Side::left ? -c[Reading::toe] : c[Reading::toe];
    resist(c);
    return c;
  }

  // Shares of dive, lift and squat taken by the geometry. Outboard brakes act at the contact point
  // of an upright that the wheel is locked to; driving torque comes through a half shaft, so it
  // acts at the wheel centre (Gillespie, ch. 7, from memory; checks: anti = share * (L/h) * tan).
  void resist(CornerAt& c) const {
    const auto& body = ride_.car.body;
    const auto wheelbase = ride_.car.wheelbase_mm();
    if (!body.centre_of_gravity_height_mm || !wheelbase) return;
    const double lever = *wheelbase / *body.centre_of_gravity_height_mm;
    const double contact = std::tan(c[Reading::contact_side_view]);
    const double centre = std::tan(c[Reading::centre_side_view]);
    const bool front = name_ == AxleName::front;
    if (body.brake_front) {
      if (front) c.anti_dive = *body.brake_front * lever * contact;
      else c.anti_lift = -(1.0 - *body.brake_front) * lever * contact;
    }
    if (body.drive && !front && *body.drive == DrivenAxle::rear) c.anti_squat = -lever * centre;
  }

  AxleAt axle_at(const Position& p) const {
    const auto& l = *p.side[0];
    const auto& r = *p.side[1];
    AxleAt a;
    a.roll_centre_height_mm =
        0.5 * (l[Reading::roll_centre_height] + r[Reading::roll_centre_height]);
    a.track_mm = l[Reading::half_track] + r[Reading::half_track];
    const double slope_l = l[Reading::roll_centre_height] / l[Reading::half_track];
    const double slope_r = r[Reading::roll_centre_height] / r[Reading::half_track];
    if (std::fabs(slope_l + slope_r) > clean_crossing)
      a.roll_centre_sideways_mm =
          (slope_l * l[Reading::half_track] - slope_r * r[Reading::half_track]) /
          (slope_l + slope_r);
    a.ackermann_error_rad = ackermann(l, r);
    return a;
  }

  // Where the outer wheel's axle meets the rear axle's line is the centre of the turn; the inner
  // wheel should point square to it too (ISO 8855 cl. 7.1.9).
  std::optional<double> ackermann(const CornerAt& l, const CornerAt& r) const {
    const auto wheelbase = ride_.car.wheelbase_mm();
    if (name_ != AxleName::front || !l.steer_rad || !r.steer_rad || !wheelbase) return {};
    const double mean = 0.5 * (*l.steer_rad + *r.steer_rad);
    if (std::fabs(mean) < least_steer_rad) return {};
    const auto& wheel = *ride_position_;
    const double rear = 0.5 * ((*wheel.side[0])[Reading::contact_forward] +
                               (*wheel.side[1])[Reading::contact_forward]) -
                        *wheelbase;
    const bool left_turn = mean > 0.0;
    const CornerAt& outer = left_turn ? r : l;
    const CornerAt& inner = left_turn ? l : r;
    const double sign = left_turn ? 1.0 : -1.0;  // mirror a right turn into a left one
    const double across = outer[Reading::half_track] + inner[Reading::half_track];
    const double outer_steer = sign * *outer.steer_rad;
    if (!(outer_steer > 0.0)) return {};
    const double to_centre =
        (outer[Reading::contact_forward] - rear) / std::tan(outer_steer) - across;
    if (!(to_centre > 0.0)) return {};
    const double ideal = std::atan2(inner[Reading::contact_forward] - rear, to_centre);
    return sign * *inner.steer_rad - ideal;
  }

  // Changes count from ride height, the rack where it is.
  void refer(Position& p) const {
    const auto& ride = *reference_;
    for (const Side side : each_side) {
      auto& c = p.side[index(side)];
      const auto& c0 = ride.side[index(side)];
      if (!c || !c0) continue;
      c->toe_change_rad = (*c)[Reading::toe] - (*c0)[Reading::toe];
      c->track_change_mm = (*c)[Reading::half_track] - (*c0)[Reading::half_track];
      c->wheelbase_change_mm = (*c)[Reading::contact_forward] - (*c0)[Reading::contact_forward];
    }
    if (p.axle && ride.axle) p.axle->track_change_mm = p.axle->track_mm - ride.axle->track_mm;
  }

  const Ride& ride_;
  AxleName name_;
  const Axle& axle_;
  const AxleRide& axle_ride_;
  Roller roller_;
  std::optional<Position> ride_position_, reference_;
};

}  // namespace

std::vector<double> steps_over(const std::array<double, 2>& window_mm) {
  const double wide = window_mm[1] - window_mm[0];
  check(std::isfinite(wide), "a window with ends", {{"from", window_mm[0]}, {"to", window_mm[1]}});
  // Counted as a double: a wide window has more steps than an int can say.
  const double whole = std::clamp(std::ceil(wide - 1e-9), 0.0, most_steps);
  const double step = wide > most_steps ? wide / most_steps : 1.0;
  std::vector<double> travels(static_cast<std::size_t>(whole));
  for (std::size_t i = 0; i < travels.size(); ++i)
    travels[i] = window_mm[0] + static_cast<double>(i) * step;
  travels.push_back(window_mm[1]);
  return travels;
}

double largest_toe_change(const std::vector<Position>& positions, Side side) {
  double worst = 0.0;
  for (const auto& p : positions)
    if (const auto& c = p.at(side)) worst = std::max(worst, std::fabs(c->toe_change_rad));
  return worst;
}

AxleSolved solved_at(const Ride& ride, AxleName axle, double travel_mm, double rack_mm,
                     double roll_rad) {
  check(ride.car.at(axle).has_value() && ride.at(axle).has_value(), "an axle that is described");
  return Sweeper(ride, axle).solved(travel_mm, rack_mm, roll_rad);
}

Sweep sweep(const Ride& ride, AxleName axle, const Ask& ask) {
  check(ride.car.at(axle).has_value() && ride.at(axle).has_value(), "an axle that is described");
  return Sweeper(ride, axle).swept(ask);
}

}  // namespace trammel
