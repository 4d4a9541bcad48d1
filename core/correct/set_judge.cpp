#include "correct/set_judge.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "car/by.h"
#include "travel/sweep.h"

namespace trammel {
namespace {

constexpr double moves_at_all_mm = 0.05;
constexpr double range_end_mm = 0.02;
constexpr double height_worth_saying_mm = 0.5;
constexpr double locked_share = 1.5;      // of a limit, where full travel and lock are not reached
constexpr double beside_largest = 0.05;   // weight of every share in a merit (Steuer's rho)
constexpr double rim_clearance_mm = 6.0;  // tape weights and bending (common practice)

WheelFigures figures_of(const Curve& curve, const std::array<double, reading_count>& value,
                        bool steered) {
  const auto of = [&](Reading r) { return value[static_cast<std::size_t>(r)]; };
  WheelFigures f;
  f.toe_change_max_rad = curve.toe_change_max_rad;
  f.toe_change_rms_rad = curve.toe_change_rms_rad;
  f.bump_steer = of(Reading::bump_steer);
  f.camber_rad = of(Reading::camber);
  f.camber_gain = of(Reading::camber_gain);
  f.toe_rad = of(Reading::toe);
  f.half_track_mm = of(Reading::half_track);
  if (steered) {
    f.caster_rad = of(Reading::caster);
    f.steering_axis_inclination_rad = of(Reading::steering_axis_inclination);
    f.scrub_radius_mm = of(Reading::scrub_radius);
    f.caster_trail_mm = of(Reading::caster_trail);
  }
  return f;
}

AxleFigures figures_of(const BySide<WheelJudged>& wheels) {
  AxleFigures f;
  for (const Side side : each_side) {
    f.wheel[side] = wheels[side].figures;
    f.roll_centre_height_mm += 0.5 * wheels[side].roll_centre_height_mm;
    f.track_mm += wheels[side].figures.half_track_mm;
  }
  return f;
}

}  // namespace

SetJudge::SetJudge(const Ride& ride, AxleName name, const Wishes& wishes)
    : axle_(*ride.car.at(name)) {
  const auto& target = wishes.target[static_cast<std::size_t>(name)];
  wanted_ = wanted_of(target);
  for (const Side side : each_side) corners_[side] = corner_before(ride, name, side, target);
}

std::vector<Side> SetJudge::own_sides() const {
  if (sides_apart()) return {Side::left, Side::right};
  return {Side::left};
}

Answer<WheelJudged, NotPossible> SetJudge::judged(const CornerBefore& before, CornerFitted corner,
                                                  bool coarse) const {
  const auto curve = coarse ? coarse_curve_over(before, corner, wanted_.window_mm)
                            : curve_over(before, corner, wanted_.window_mm);
  if (!curve.value) return {{}, curve.why};
  const auto value = read_all(At<double>(axle_.layout, corner.mechanism, corner.at, before.ground));
  return {WheelJudged{std::move(corner), figures_of(*curve.value, value, axle_.layout.steered()),
                      value[static_cast<std::size_t>(Reading::roll_centre_height)]},
          {}};
}

Answer<AxleFigures, NotPossible> SetJudge::before() const {
  BySide<WheelJudged> wheels;
  for (const Side side : own_sides()) {
    auto c = corners_[side];
    c.setting = {};
    auto w = judged(c, CornerFitted{c.mechanism, c.at, 0.0, 0.0, true}, false);
    if (!w.value) return {{}, w.why};
    wheels[side] = std::move(*w.value);
  }
  if (!sides_apart()) wheels.right = wheels.left;
  return {figures_of(wheels), {}};
}

Answer<WheelJudged, NotPossible> SetJudge::wheel(const Shelf& shelf, const Fit& fit, Side side,
                                                 bool coarse) const {
  auto f = fitted(corners_[side], moves_of(shelf, fit, side));
  if (!f.value) return {{}, f.why};
  return judged(corners_[side], std::move(*f.value), coarse);
}

Candidate SetJudge::judge(const Shelf& shelf, const Fit& fit) const {
  Candidate c;
  c.fit = fit;
  const bool one = !sides_apart() && sides_alike(fit);  // the mirror image has the same figures
  BySide<WheelJudged> wheels;
  for (const Side side : each_side) {
    if (one && side == Side::right) {
      wheels.right = wheels.left;
    } else {
      auto w = wheel(shelf, fit, side, false);
      if (!w.value) {
        c.why = w.why;
        if (!one) c.why.side = side;
        return c;
      }
      wheels[side] = std::move(*w.value);
    }
    c.toe_rod_mm[side] = wheels[side].corner.toe_rod_mm;
    c.camber_by_mm[side] = wheels[side].corner.camber_by_mm;
  }
  c.figures = figures_of(wheels);
  at_range_ends(shelf, c);
  against_targets(c);
  for (const Side side : each_side) {
    if (one && side == Side::right) break;
    double within = 0.0;
    std::vector<Miss> misses;
    const double passed = limits(side, wheels[side].corner, &misses, &within);
    c.share = std::max({c.share, passed, within});
    for (auto& miss : misses) {
      if (!one) miss.side = side;
      c.misses.push_back(std::move(miss));
    }
  }
  c.at_a_limit = std::any_of(c.misses.begin(), c.misses.end(),
                             [](const Miss& miss) { return miss.is_limit(); });
  c.stop = stop_sign(shelf, fit, *c.figures);
  c.height = height_lost(wheels);
  return c;
}

Shares SetJudge::shares(const BySide<WheelFigures>& w, double roll_centre_height_mm) const {
  return shares_used(wanted_, {w.left.toe_change_max_rad, w.right.toe_change_max_rad},
                     roll_centre_height_mm, {w.left.camber_rad, w.right.camber_rad});
}

std::optional<SetJudge::Used> SetJudge::used(const Shelf& shelf, const Fit& fit) const {
  Used s;
  BySide<WheelFigures> wheels;
  BySide<double> roll_centre_mm{};
  const bool one = !sides_apart() && sides_alike(fit);
  for (const Side side : each_side) {
    if (one && side == Side::right) {
      wheels.right = wheels.left;
      roll_centre_mm.right = roll_centre_mm.left;
      break;
    }
    const auto w = wheel(shelf, fit, side, true);
    if (!w.value) return {};
    wheels[side] = w.value->figures;
    roll_centre_mm[side] = w.value->roll_centre_height_mm;
    s.passed = std::max(s.passed, limits(side, w.value->corner, nullptr, nullptr));
  }
  s.shares = shares(wheels, 0.5 * (roll_centre_mm.left + roll_centre_mm.right));
  s.toe_change_max_rad = std::max(wheels.left.toe_change_max_rad, wheels.right.toe_change_max_rad);
  return s;
}

double SetJudge::merit(const Shelf& shelf, const Fit& fit) const {
  const auto s = used(shelf, fit);
  if (!s) return std::numeric_limits<double>::infinity();
  return std::max(s->shares.largest(), s->passed) + beside_largest * s->shares.sum();
}

// A made-to-measure joint that ends up at the end of its range wants more of it.
void SetJudge::at_range_ends(const Shelf& shelf, Candidate& c) const {
  for (std::size_t i = 0; i < shelf.choices.size(); ++i)
    for (const int axis : shelf.choices[i].axes) {
      const auto& r = shelf.choices[i].range_mm[static_cast<std::size_t>(axis)];
      const auto ends = [&](Side side) {
        const double at = c.fit.part[i][side].by_mm[axis];
        return r[1] - r[0] > range_end_mm && (at - r[0] < range_end_mm || r[1] - at < range_end_mm);
      };
      if (ends(Side::left) || ends(Side::right)) c.range_ends.push_back({i, axis});
    }
}

void SetJudge::against_targets(Candidate& c) const {
  const auto& f = *c.figures;
  const auto of = shares(f.wheel, f.roll_centre_height_mm);
  c.share = std::max(c.share, of.largest());
  const bool alike = f.wheel.left.toe_change_max_rad == f.wheel.right.toe_change_max_rad &&
                     f.wheel.left.camber_rad == f.wheel.right.camber_rad;
  const auto each = [&](const BySide<double>& share, const auto& miss) {
    for (const Side side : each_side) {
      if (alike && side == Side::right) break;
      if (!is_missed(share[side])) continue;
      c.misses.push_back(miss(f.wheel[side]));
      if (!alike) c.misses.back().side = side;
    }
  };
  each(of.toe_change, [&](const WheelFigures& w) {
    return Miss{Miss::Of::toe_change, {}, w.toe_change_max_rad, 0.0, wanted_.toe_change_rad};
  });
  if (is_missed(of.roll_centre)) {
    const auto& [least, most] = *wanted_.roll_centre_mm;
    c.misses.push_back({Miss::Of::roll_centre, {}, f.roll_centre_height_mm, least, most});
  }
  each(of.camber, [&](const WheelFigures& w) {
    const auto& [least, most] = *wanted_.camber_rad;
    return Miss{Miss::Of::camber, {}, w.camber_rad, least, most};
  });
}

// Joint angles over all travel and lock, and room to the rim, where the file gives the limits: the
// largest share above 1; `within`: the largest up to 1.
double SetJudge::limits(Side side, const CornerFitted& f, std::vector<Miss>* misses,
                        double* within) const {
  const auto& layout = axle_.layout;
  const auto& ground = corners_[side].ground;
  double passed = 0.0;
  const auto take = [&](double share, const auto& miss) {
    if (within) *within = std::max(*within, std::min(1.0, share));
    if (!(share > 1.0)) return;
    passed = std::max(passed, share);
    if (misses) misses->push_back(miss());
  };
  if (!axle_.joint_limits.empty()) {
    const std::array<double, 2> travel{
        axle_.stop && axle_.stop->droop_mm ? -*axle_.stop->droop_mm : wanted_.window_mm[0],
        axle_.stop && axle_.stop->bump_mm ? *axle_.stop->bump_mm : wanted_.window_mm[1]};
    std::vector<double> racks{0.0};
    if (axle_.rack_travel_mm) racks = {0.0, -*axle_.rack_travel_mm, *axle_.rack_travel_mm};
    std::vector<double> worst(layout.points.size(), 0.0);
    bool locked = false;
    for (const double rack : racks)
      for (const double t : {travel[0], 0.5 * travel[0], 0.0, 0.5 * travel[1], travel[1]}) {
        const auto r = reach(f.mechanism, f.at, {f.at.drive.travel_mm + t, rack});
        locked = locked || !r.arrived;
        if (!r.arrived) continue;
        const At<double> at(layout, f.mechanism, r.at, ground);
        for (const auto& joint : joint_angles(at)) {
          auto& w = worst[static_cast<std::size_t>(layout.point(joint.joint))];
          w = std::max(w, std::fabs(joint.angle_rad));
        }
      }
    if (locked) take(locked_share, [] { return Miss{Miss::Of::locks}; });
    for (const auto& limit : axle_.joint_limits) {
      const double reached = worst[static_cast<std::size_t>(limit.point)];
      take(reached / std::max(limit.limit_rad - joint_in_hand_rad, 1e-3), [&] {
        return Miss{Miss::Of::joint_angle,
                    {},
                    reached,
                    0.0,
                    limit.limit_rad,
                    layout.points[static_cast<std::size_t>(limit.point)]};
      });
    }
  }
  if (axle_.rim.barrel_radius_mm) {
    const double clearance_mm = axle_.rim.clearance_mm.value_or(rim_clearance_mm);
    const At<double> at(layout, f.mechanism, f.at, ground);
    for (const auto& housing : axle_.housings) {
      const auto joint = joint_now(f, housing.point);
      if (!joint) continue;
      const auto out = *joint - at.placed.centre();
      const double from_axle = length(out - dot(out, at.spin) * at.spin);
      const double share =
          (from_axle + housing.radius_mm + clearance_mm) / *axle_.rim.barrel_radius_mm;
      if (!(share > 1.0)) continue;  // room to spare is no share of a tolerance
      take(share, [&] {
        return Miss{Miss::Of::rim_room,
                    {},
                    from_axle + housing.radius_mm,
                    0.0,
                    *axle_.rim.barrel_radius_mm,
                    layout.points[static_cast<std::size_t>(housing.point)],
                    clearance_mm};
      });
    }
  }
  return passed;
}

std::optional<Vec3<double>> SetJudge::joint_now(const CornerFitted& f, int point) const {
  const Placed<double> placed(f.mechanism, f.at.pose, f.at.drive.rack_mm);
  for (const auto& row : f.mechanism.distance)
    for (const auto* a : {&row.inner, &row.outer})
      if (a->point == point) return placed.position(*a);
  return {};
}

// A ball joint corrected and the rod left alone is worse than lowering was.
std::optional<StopSign> SetJudge::stop_sign(const Shelf& shelf, const Fit& fit,
                                            const AxleFigures& figures) const {
  if (!axle_.toe_adjuster) return {};
  const auto& rod = axle_.layout.rods[static_cast<std::size_t>(axle_.toe_adjuster->rod)];
  for (const Side side : each_side) {
    bool others = false, the_rod = false;
    for (const auto& m : moves_of(shelf, fit, side)) {
      if (length(m.by_mm) < moves_at_all_mm) continue;
      if (m.point == rod.inner || m.point == rod.upright) the_rod = true;
      else others = true;
    }
    if (!others || the_rod) continue;
    if (sides_alike(fit)) return StopSign{rod.name, {}, figures.worse().toe_change_max_rad};
    return StopSign{rod.name, side, figures.wheel[side].toe_change_max_rad};
  }
  return {};
}

std::optional<HeightLost> SetJudge::height_lost(const BySide<WheelJudged>& wheels) const {
  HeightLost h;
  for (const Side side : each_side) {
    const auto& f = wheels[side].corner;
    if (!f.mechanism.spring) return {};
    const auto& before = corners_[side];
    const auto spring = [](const Mechanism<double>& m, const Solution<double>& s) {
      return length_of(Placed<double>(m, s.pose, s.drive.rack_mm), *m.spring).off_mm;
    };
    const double length_before = spring(before.mechanism, before.at);
    const double length_after = spring(f.mechanism, f.at);
    h.perch_mm[side] = length_after - length_before;
    // The same position, driven by the spring's length instead of the wheel's height.
    const Drive<double> held{length_after, f.at.drive.rack_mm, DrivenBy::spring_length};
    const auto start = solve(f.mechanism, held, f.at.pose,
                             order_at(f.mechanism, f.at.pose, DrivenBy::spring_length));
    if (!start.found) return {};
    const auto r =
        reach(f.mechanism, start, {length_before, f.at.drive.rack_mm, DrivenBy::spring_length});
    if (!r.arrived) return {};
    h.body_mm[side] = r.at.pose.centre_mm.z - f.at.pose.centre_mm.z;
    const auto lower =
        reach(f.mechanism, f.at, {f.at.drive.travel_mm + h.body_mm[side], f.at.drive.rack_mm});
    if (!lower.arrived) return {};
    h.roll_centre_height_mm +=
        0.5 * read(Reading::roll_centre_height,
                   At<double>(axle_.layout, f.mechanism, lower.at, before.ground));
    if (axle_.spring && axle_.spring->perch_pitch_mm)
      h.perch_turns[side] = h.perch_mm[side] / *axle_.spring->perch_pitch_mm;
  }
  if (std::max(std::fabs(h.body_mm.left), std::fabs(h.body_mm.right)) < height_worth_saying_mm)
    return {};
  return h;
}

}  // namespace trammel
