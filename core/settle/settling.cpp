#include "settle/settling.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "car/by.h"
#include "travel/sweep.h"

namespace trammel {
namespace {

constexpr std::size_t index(Side s) { return static_cast<std::size_t>(s); }
constexpr std::size_t index(AxleName a) { return static_cast<std::size_t>(a); }

constexpr double rate_step_mm = 10.0;  // of wheel rates over travel
constexpr double usual_bump_mm = 60.0;
constexpr double side_g_found = 1e-4, side_g_step = 0.1;

// The angle between two directions.
double angle_between(const Vec3<double>& a, const Vec3<double>& b) {
  return std::atan2(length(cross(a, b)), dot(a, b));
}

class AxleSettler {
 public:
  AxleSettler(const Ride& ride, AxleName name)
      : ride_(ride),
        name_(name),
        axle_(*ride.car.at(name)),
        stands_(*ride.at(name)),
        measured_(springs_as_measured(axle_, axle_load(ride.car, name))) {
    if (!measured_) return;
    springs_ = springs_in(axle_, stands_, ride.pitch_rad, *measured_);
    if (measured_->from != ForceFrom::corner_weights) return;
    // A stop that is pressed carries its part of the weight.
    const auto now = both_at(ride_, name_);
    for (const Side side : each_side) {
      const auto m = corner_mechanism(axle_, side);
      const auto s = solution_as_measured(m);
      relieve(measured_->side[index(side)], side, At<double>(axle_.layout, m, s, {}));
      relieve(springs_->side[index(side)], side, now[index(side)]);
    }
  }

  AxleSettled all() {
    out_.axle = name_;
    for (const Side side : each_side) corner(side);
    const auto at = both_at(ride_, name_);
    for (const Side side : each_side) {
      const auto& a = at[index(side)];
      out_.track_mm += dot(a.contact, a.ground.outboard);
      out_.roll_centre_height_mm += 0.5 * read(Reading::roll_centre_height, a);
    }
    if (out_.side[0].rate && out_.side[1].rate)
      out_.springs_nmm_per_rad = 0.5 * 0.5 *
                                 (out_.side[0].rate->n_per_mm() + out_.side[1].rate->n_per_mm()) *
                                 out_.track_mm * out_.track_mm;
    if (const auto bar = RollBar::of(axle_)) {
      out_.bar_nmm_per_rad = bar->roll_rate_nmm_per_rad(at);
      out_.bar_by_levers = bar->by_levers();
    }
    links(at);
    pitching();
    bushes();
    return std::move(out_);
  }

 private:
  Ground<double> ground(Side side) const { return ground_for(side, ride_.pitch_rad, 0.0); }
  Reached reached(Side side, double travel_mm) const {
    const auto& c = stands_.at(side);
    return reach(c.mechanism, c.at, {c.at.drive.travel_mm + travel_mm, 0.0});
  }
  void relieve(SpringLaw& law, Side side, const At<double>& at) const {
    const double by_n = stop_at_tyre_n(stop_law(axle_, side), at) / spring_per_rise(at);
    if (by_n < law.force_n) law.force_n -= by_n;
  }
  // From ride height of this state to a travel that the file counts from as measured.
  double from_here(double from_measured_mm) const {
    return from_measured_mm - stands_.ride_travel_mm;
  }

  void corner(Side side) {
    auto& c = out_.side[index(side)];
    const auto& stands = stands_.at(side);
    const At<double> at(axle_.layout, stands.mechanism, stands.at, ground(side));
    ends(side, c, at);
    spring(side, c, at);
    if (axle_.arch_mm[index(side)])
      c.arch_mm = *axle_.arch_mm[index(side)] - stands_.ride_travel_mm;
    std::stable_sort(c.marks.begin(), c.marks.end(), [](const TravelMark& a, const TravelMark& b) {
      return a.travel_mm < b.travel_mm;
    });
  }

  // Where damper and stop end the travel.
  void ends(Side side, CornerSettled& c, const At<double>& at) {
    const auto& stands = stands_.at(side);
    const auto mark = [&](TravelEnd end, StopLine kind, double length_mm) {
      const auto t = travel_where(axle_, stands, kind, length_mm);
      if (t) c.marks.push_back({end, *t});
      return t;
    };
    const auto damper = axle_.damper.value_or(DamperData{});
    const auto stop = axle_.stop.value_or(StopData{});
    std::optional<double> droop;
    if (axle_.layout.damper) {
      c.damper_length_mm = length_now(at, StopLine::damper);
      if (damper.open_mm) {
        c.damper_to_open_mm = *damper.open_mm - *c.damper_length_mm;
        droop = mark(TravelEnd::droop, StopLine::damper, *damper.open_mm);
      }
      if (damper.closed_mm) {
        c.damper_to_closed_mm = *c.damper_length_mm - *damper.closed_mm;
        mark(TravelEnd::closed, StopLine::damper, *damper.closed_mm);
      }
    }
    if (!droop) {
      c.droop_is_usual = !stop.droop_mm;
      droop = stop.droop_mm ? from_here(-*stop.droop_mm) : -usual_droop_mm;
      c.marks.push_back({TravelEnd::droop, *droop});
    }
    c.droop_mm = -*droop;
    const auto line = stop_line(axle_.layout);
    const auto touch_mm = stop_touch_mm(axle_, side);
    if (!line || !touch_mm) return;
    c.gap_mm = length_now(at, *line) - *touch_mm;
    mark(TravelEnd::touched, *line, *touch_mm);
    if (!stop.free_length_mm || !stop.solid_length_mm) return;
    const auto solid =
        mark(TravelEnd::solid, *line, *touch_mm - (*stop.free_length_mm - *stop.solid_length_mm));
    if (!solid || !axle_.spring || !axle_.spring->solid_length_mm) return;
    const auto there = reached(side, *solid);
    if (!there.arrived) return;
    c.bind_room_mm = length_now(At<double>(axle_.layout, stands.mechanism, there.at, ground(side)),
                                StopLine::spring) -
                     *axle_.spring->solid_length_mm;
  }

  void spring(Side side, CornerSettled& c, const At<double>& at) {
    const auto i = index(side);
    const auto& body = ride_.car.body;
    if (body.corner_kg)
      c.sprung_kg = (*body.corner_kg)[index(name_)][i] - 0.5 * body.unsprung_axle_kg[index(name_)];
    if (axle_.layout.spring) c.spring_length_mm = length_now(at, StopLine::spring);
    if (axle_.spring && axle_.spring->solid_length_mm && axle_.layout.spring)
      if (const auto t = travel_where(axle_, stands_.at(side), StopLine::spring,
                                      *axle_.spring->solid_length_mm))
        c.marks.push_back({TravelEnd::bound, *t});
    if (!springs_) return;
    const auto& law = springs_->side[i];
    const auto& stands = stands_.at(side);
    c.rate = wheel_rate(axle_, stands, ground(side), law, 0.0);
    const auto bump = c.mark(TravelEnd::solid);
    for (double t = -std::floor(c.droop_mm / rate_step_mm) * rate_step_mm;
         t <= bump.value_or(usual_bump_mm); t += rate_step_mm)
      if (const auto w = wheel_rate(axle_, stands, ground(side), law, t)) c.over.push_back(*w);
    if (c.rate && axle_.tyre_rate_n_per_mm)
      c.rate_with_tyre_n_per_mm = in_series(c.rate->n_per_mm(), *axle_.tyre_rate_n_per_mm);
    if (springs_->from == ForceFrom::nothing) return;
    c.spring_force_n = law.force_n;
    c.squash_mm = law.force_n / law.rate_n_per_mm;
    const auto& before = measured_->side[i];
    c.perch_mm = law.loose_from_mm() - before.loose_from_mm();
    const auto free = axle_.spring->free_length_mm;
    const bool weighed = springs_->from == ForceFrom::corner_weights;
    if (weighed) c.free_length_by_weight_mm = before.loose_from_mm();
    c.loose_from_mm = before.loose_from_mm() + *c.perch_mm;
    if (free) c.loose_from_mm = std::min(*c.loose_from_mm, *free + *c.perch_mm);
    if (const auto t = travel_where(axle_, stands, StopLine::spring, *c.loose_from_mm))
      c.marks.push_back({TravelEnd::loose, *t});
    const auto there = reached(side, -c.droop_mm);
    if (there.arrived) {
      const double length = length_now(
          At<double>(axle_.layout, stands.mechanism, there.at, ground(side)), StopLine::spring);
      if (free) c.loose_by_length_mm = length - (*free + *c.perch_mm);
      if (weighed) c.loose_by_weight_mm = length - (before.loose_from_mm() + *c.perch_mm);
      c.loose_mm = length - *c.loose_from_mm;
    }
    const double kg = c.sprung_kg.value_or(law.force_n * spring_per_rise(at) / gravity_m_s2);
    if (!c.rate) return;
    c.frequency_hz = frequency_hz(c.rate->n_per_mm(), kg);
    if (c.rate_with_tyre_n_per_mm)
      c.frequency_with_tyre_hz = frequency_hz(*c.rate_with_tyre_n_per_mm, kg);
  }

  void links(const std::array<At<double>, 2>& ride_at) {
    if (!axle_.layout.bar) return;
    for (const Side side : each_side) {
      const auto i = index(side);
      LinkSettled l;
      l.ride = *link_at(ride_at[i]);
      l.least_rad = l.most_rad = l.ride.angle_rad;
      l.turn_least_rad = l.turn_most_rad = l.ride.turn_rad;
      const auto& c = out_.side[i];
      const double down = -c.droop_mm,
                   up = c.mark(TravelEnd::solid)
                            .value_or(c.mark(TravelEnd::closed)
                                          .value_or(axle_.stop && axle_.stop->bump_mm
                                                        ? from_here(*axle_.stop->bump_mm)
                                                        : usual_bump_mm));
      for (const double t : steps_over({down, std::max(down, up)})) {
        const auto there = reached(side, t);
        if (!there.arrived) continue;
        const auto seen =
            link_at(At<double>(axle_.layout, stands_.at(side).mechanism, there.at, ground(side)));
        l.least_rad = std::min(l.least_rad, seen->angle_rad);
        l.most_rad = std::max(l.most_rad, seen->angle_rad);
        l.turn_least_rad = std::min(l.turn_least_rad, seen->turn_rad);
        l.turn_most_rad = std::max(l.turn_most_rad, seen->turn_rad);
      }
      out_.link[i] = l;
    }
    out_.bar_twist_rad = out_.link[0]->ride.turn_rad - out_.link[1]->ride.turn_rad;
    out_.right_link_free_mm = link_length_mm(ride_at[1], out_.link[0]->ride.turn_rad);
  }

  void pitching() {
    const auto at = sweep(ride_, name_, {}).ride;
    if (!at.side[0] || !at.side[1]) return;
    const auto& l = *at.side[0];
    const auto& r = *at.side[1];
    const auto mean = [](const std::optional<double>& a,
                         const std::optional<double>& b) -> std::optional<double> {
      if (!a || !b) return {};
      return 0.5 * (*a + *b);
    };
    out_.anti_dive = mean(l.anti_dive, r.anti_dive);
    out_.anti_lift = mean(l.anti_lift, r.anti_lift);
    out_.anti_squat = mean(l.anti_squat, r.anti_squat);
    // A driven front axle: its thrust stands at the wheel's centre, as a driven rear axle's does.
    const auto& body = ride_.car.body;
    const auto base = ride_.car.wheelbase_mm();
    if (body.drive && *body.drive == DrivenAxle::front && name_ == AxleName::front && base &&
        body.centre_of_gravity_height_mm)
      out_.anti_lift_power =
          *base / *body.centre_of_gravity_height_mm * 0.5 *
          (std::tan(l[Reading::centre_side_view]) + std::tan(r[Reading::centre_side_view]));
  }

  // Left side: what members turn between full droop and ride height.
  void bushes() {
    const auto& stands = stands_.at(Side::left);
    const auto there = reached(Side::left, -out_.side[0].droop_mm);
    if (!there.arrived) return;
    const Placed<double> ride(stands.mechanism, stands.at.pose, 0.0);
    const Placed<double> droop(stands.mechanism, there.at.pose, 0.0);
    const auto& m = stands.mechanism;
    const auto& l = axle_.layout;
    for (std::size_t i = 0; i < l.arms.size(); ++i) {
      const auto& hinge = m.arm[i];
      const auto out = [&](const Placed<double>& p) {
        const Vec3<double> to_ball = p.position(m.distance[2 * i].outer) - hinge.origin;
        return to_ball - dot(to_ball, hinge.axis) * hinge.axis;
      };
      out_.bushes.push_back(
          {fmt::format("arm '{}'", l.arms[i].name), angle_between(out(ride), out(droop))});
    }
    for (std::size_t i = 0; i < l.rods.size(); ++i) {
      if (l.rods[i].steered()) continue;  // ball joints
      const auto& row = m.distance[2 * l.arms.size() + i];
      const auto along = [&](const Placed<double>& p) {
        return p.position(row.outer) - p.position(row.inner);
      };
      out_.bushes.push_back(
          {fmt::format("rod '{}'", l.rods[i].name), angle_between(along(ride), along(droop))});
    }
    if (l.swing)
      out_.bushes.push_back({fmt::format("swing arm '{}'", l.swing->name),
                             angle_between(ride.turn() * Vec3<double>{0, 0, 1},
                                           droop.turn() * Vec3<double>{0, 0, 1})});
  }

  const Ride& ride_;
  AxleName name_;
  const Axle& axle_;
  const AxleRide& stands_;
  std::optional<AxleSprings> measured_, springs_;
  AxleSettled out_;
};

// The side acceleration at which a wheel, the outer one, has taken up its gap: the right one in a
// left turn. Found between none and most_side_g by halving the way to it along the chord.
std::optional<double> stop_touched_at_g(const Ride& ride, AxleName name, Side side,
                                        double touched_mm) {
  if (touched_mm <= 0.0) return 0.0;
  const auto over = [&](double g) -> std::optional<double> {
    const auto r = roll_at(ride, side == Side::right ? g : -g);
    if (!r.value) return {};
    return r.value->axle[index(name)].travel_mm[index(side)] - touched_mm;
  };
  double low = 0.0, high = most_side_g;
  double at_low = -touched_mm;
  auto top = over(high);
  // Where the car has no balance that hard, the hardest that it has.
  while (!top && high > side_g_step) top = over(high -= side_g_step);
  if (!top || *top < 0.0) return {};
  double at_high = *top;
  for (int round = 0; round < 20 && high - low > side_g_found; ++round) {
    const double g = low + (high - low) * at_low / (at_low - at_high);
    const auto here = over(g);
    if (!here) return {};
    if (std::fabs(*here) < 1e-3) return g;
    (*here < 0.0 ? low : high) = g;
    (*here < 0.0 ? at_low : at_high) = *here;
  }
  return 0.5 * (low + high);
}

StateSettled settled(const Ride& ride) {
  StateSettled s;
  s.state = ride.state;
  for (const AxleName name : each_axle)
    if (ride.car.at(name) && ride.at(name)) s.axle[index(name)] = AxleSettler(ride, name).all();
  auto rolled = roll_at(ride, told_side_g);
  if (!rolled.value) {
    s.no_roll = rolled.why;
    return s;
  }
  s.rolled = rolled.value;
  bool on_stops = false;
  for (const AxleName name : each_axle) {
    const auto a = index(name);
    const auto& r = s.rolled->axle[a];
    for (const Side side : each_side) {
      const auto i = index(side);
      s.stop_unknown[a] = s.stop_unknown[a] || r.stop_unknown[i];
      if (r.stop_n[i] > 0.0) {
        on_stops = true;
        s.stop_rate_is_usual =
            s.stop_rate_is_usual || stop_law(*ride.car.at(name), side)->rate_is_usual;
      }
      const auto t = s.axle[a]->at(side).mark(TravelEnd::touched);
      if (!t) continue;
      const auto g = stop_touched_at_g(ride, name, side, *t);
      if (g && (!s.stop_at[a] || *g < s.stop_at[a]->g)) s.stop_at[a] = {*g, side};
    }
  }
  if (on_stops) s.without_stops = roll_at(ride, told_side_g, {true, false}).value;
  if (s.rolled->axle[0].tyres_give && s.rolled->axle[1].tyres_give)
    if (const auto stiff = roll_at(ride, told_side_g, {false, true}); stiff.value)
      s.tyres_roll_rad = s.rolled->roll_rad - stiff.value->roll_rad;
  return s;
}

void name_wanting(const Car& car, const StateSettled& sits,
                  std::vector<Settling::Wanting>& wanting) {
  using Of = Settling::Wanting::Of;
  if (!car.body.corner_kg) wanting.push_back({Of::corner_weights});
  else if (car.body.unsprung_axle_kg[0] == 0.0 || car.body.unsprung_axle_kg[1] == 0.0)
    wanting.push_back({Of::unsprung});
  if (!car.body.centre_of_gravity_height_mm) wanting.push_back({Of::centre_of_gravity});
  for (const AxleName name : each_axle) {
    const auto& axle = car.at(name);
    if (!axle) continue;
    const auto want = [&](Of of) { wanting.push_back({of, name}); };
    if (!axle->layout.spring) want(Of::spring_ends);
    else if (!axle->spring || !axle->spring->rate_n_per_mm) want(Of::spring_rate);
    if (axle->spring && !axle->spring->free_length_mm) want(Of::free_length);
    if (!axle->tyre_rate_n_per_mm) want(Of::tyre_rate);
    if (!axle->layout.damper) want(Of::damper);
    else if (!axle->damper || !axle->damper->open_mm || !axle->damper->closed_mm)
      want(Of::damper_lengths);
    const auto& corner = *sits.axle[index(name)];
    if (!corner.at(Side::left).gap_mm) want(Of::stop_gap);
    else if (!axle->stop->free_length_mm || !axle->stop->solid_length_mm) want(Of::stop_lengths);
    else if (!axle->stop->rate_n_per_mm) want(Of::stop_rate);
    if (axle->layout.bar && !axle->bar_rate_nmm_per_rad) want(Of::bar_rate);
  }
}

}  // namespace

std::string_view words(TravelEnd end) {
  switch (end) {
    case TravelEnd::droop:
      return "full droop";
    case TravelEnd::loose:
      return "the spring is loose below";
    case TravelEnd::touched:
      return "the stop is touched";
    case TravelEnd::solid:
      return "the stop is solid";
    case TravelEnd::bound:
      return "the spring's coils touch";
    case TravelEnd::closed:
      return "the damper is closed";
  }
  return {};
}

Settling settle(const Ride& ride_now, const Correction& correction, const Wishes& wishes) {
  Settling s;
  const Car& car = ride_now.car;
  s.wheelbase_mm = car.wheelbase_mm();
  std::vector<std::pair<double, StateSettled>> others;
  for (const auto& state : car.states) {
    if (state.name == ride_now.state) continue;
    const auto r = ride(car, &state);
    if (!r.value) continue;
    others.emplace_back(state.axle[0].height_mm + state.axle[1].height_mm, settled(*r.value));
  }
  std::stable_sort(others.begin(), others.end(),
                   [](const auto& a, const auto& b) { return a.first > b.first; });
  for (auto& [height, state] : others)
    if (height >= 0.0) s.states.push_back(std::move(state));
  s.sits = s.states.size();
  s.states.push_back(settled(ride_now));
  for (auto& [height, state] : others)
    if (height < 0.0) s.states.push_back(std::move(state));
  bool any_set = false;
  for (const auto& c : correction.axle) any_set = any_set || (c && c->to_fit());
  if (any_set) {
    s.corrected = s.states.size();
    s.states.push_back(settled(with_parts(ride_now, correction, wishes)));
  }
  for (const AxleName name : each_axle)
    if (const auto& axle = car.at(name); axle && axle->spring) {
      s.perch_pitch_mm[index(name)] = axle->spring->perch_pitch_mm;
      s.free_length_mm[index(name)] = axle->spring->free_length_mm;
    }
  for (const AxleName name : each_axle)
    s.perch_to_raise_mm[index(name)] = perch_for_height(ride_now, name, Side::left, told_raise_mm);
  const auto& sits = s.states[s.sits];
  name_wanting(car, sits, s.wanting);
  if (!car.body.corner_kg) return s;
  s.cross = cross_weight(*car.body.corner_kg);
  std::array<WarpAxle, 2> warp;
  FourWheels ratio{};
  for (std::size_t a = 0; a < 2; ++a) {
    if (!sits.axle[a]) return s;
    warp[a].track_mm = sits.axle[a]->track_mm;
    for (std::size_t i = 0; i < 2; ++i) {
      const auto& c = sits.axle[a]->side[i];
      if (!c.rate) return s;
      warp[a].rate_n_per_mm[i] = c.rate_with_tyre_n_per_mm.value_or(c.rate->n_per_mm());
      ratio[a][i] = c.rate->ratio;
    }
  }
  s.perches = perch_plan(*car.body.corner_kg, warp, ratio);
  if (s.perch_pitch_mm[0] && s.perch_pitch_mm[1]) {
    s.turns = s.perches->perch_mm;
    for (std::size_t a = 0; a < 2; ++a)
      for (auto& t : (*s.turns)[a]) t /= *s.perch_pitch_mm[a];
  }
  return s;
}

std::optional<double> perch_for_height(const Ride& ride_now, AxleName name, Side side,
                                       double height_mm) {
  const auto& axle = ride_now.car.at(name);
  if (!axle || !ride_now.at(name)) return {};
  const auto measured = springs_as_measured(*axle, axle_load(ride_now.car, name));
  if (!measured || measured->from == ForceFrom::nothing) return {};
  auto higher = *ride_now.at(name);
  for (auto& corner : higher.side) {
    const auto there = reach(corner.mechanism, corner.at,
                             {corner.at.drive.travel_mm - height_mm, corner.at.drive.rack_mm});
    if (!there.arrived) return {};
    corner.at = there.at;
  }
  const auto loose_from = [&](const AxleRide& r) {
    return springs_in(*axle, r, ride_now.pitch_rad, *measured).side[index(side)].loose_from_mm();
  };
  return loose_from(higher) - loose_from(*ride_now.at(name));
}

}  // namespace trammel
