#include "make/making.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace trammel {
namespace {

// Full travel where the file does not say: what a light car's wheel does (common practice).
constexpr double usual_travel_mm = 60.0;

// A corner of the car as fitted, and what it carries in each case.
struct LoadedCorner {
  Side side = Side::left;
  const CornerRide* ride = nullptr;
  Ground<double> ground;
  std::vector<Answer<Forces>> by_case;  // none for a case of the steered rod alone

  At<double> at(const Layout& layout) const { return {layout, ride->mechanism, ride->at, ground}; }
};

std::vector<LoadedCorner> loaded_corners(const Ride& fitted, AxleName name,
                                         const std::vector<LoadCase>& cases) {
  const auto& axle = *fitted.car.at(name);
  std::vector<LoadedCorner> corners;
  for (const Side side : {Side::left, Side::right}) {
    if (side == Side::right && axle.right_is_mirrored) break;
    LoadedCorner c{side, &fitted.at(name)->at(side), ground_for(side, fitted.pitch_rad, 0.0), {}};
    const auto at = c.at(axle.layout);
    for (const auto& one : cases)
      c.by_case.push_back(one.steered_rod_n > 0.0 ? Answer<Forces>{{}, "of the steered rod alone"}
                                                  : forces(at, one.load));
    corners.push_back(std::move(c));
  }
  return corners;
}

int steered_rod(const Layout& l) {
  for (std::size_t i = 0; i < l.rods.size(); ++i)
    if (l.rods[i].steered()) return static_cast<int>(i);
  return -1;
}

// One part's value in a case, from the forces of a corner.
template <class Value>
PartForce part(std::string name, bool signed_pull, const std::vector<LoadedCorner>& corners,
               const std::vector<LoadCase>& cases, Value value) {
  PartForce p;
  p.part = std::move(name);
  p.signed_pull = signed_pull;
  for (std::size_t k = 0; k < cases.size(); ++k) {
    std::optional<double> worst;
    for (const auto& c : corners)
      if (c.by_case[k].value) {
        const double v = cases[k].shock * value(*c.by_case[k].value);
        if (!worst || std::fabs(v) > std::fabs(*worst)) worst = v;
      }
    p.by_case.push_back(worst);
  }
  return p;
}

void find_worst(PartForce& p) {
  for (std::size_t k = 0; k < p.by_case.size(); ++k)
    if (std::fabs(p.by_case[k].value_or(0.0)) > std::fabs(p.by_case[p.worst].value_or(0.0)))
      p.worst = k;
}

std::vector<PartForce> parts_of(const Layout& l, const std::vector<LoadedCorner>& corners,
                                const std::vector<LoadCase>& cases, Support support) {
  std::vector<PartForce> parts;
  for (std::size_t i = 0; i < l.arms.size(); ++i) {
    const auto& name = l.arms[i].name;
    for (std::size_t k = 0; k < 2; ++k)
      parts.push_back(
          part(fmt::format("arm '{}', to its {} joint", name, k == 0 ? "front" : "rear"), true,
               corners, cases, [&](const Forces& f) { return f.arm[i].leg_n[k]; }));
    parts.push_back(part(fmt::format("arm '{}', ball joint", name), false, corners, cases,
                         [&](const Forces& f) { return length(f.arm[i].ball_n); }));
    for (std::size_t k = 0; k < 2; ++k)
      parts.push_back(part(fmt::format("arm '{}', {} bush", name, k == 0 ? "front" : "rear"), false,
                           corners, cases,
                           [&](const Forces& f) { return length(f.arm[i].body_n[k]); }));
  }
  for (std::size_t i = 0; i < l.rods.size(); ++i) {
    auto p = part(fmt::format("rod '{}'", l.rods[i].name), true, corners, cases,
                  [&](const Forces& f) { return f.rod_n[i]; });
    for (std::size_t k = 0; k < cases.size(); ++k)
      if (static_cast<int>(i) == steered_rod(l) && cases[k].steered_rod_n > 0.0)
        p.by_case[k] = -cases[k].shock * cases[k].steered_rod_n;  // it may as well pull
    parts.push_back(std::move(p));
  }
  if (l.strut) {
    parts.push_back(part("strut, side force at the top mount", false, corners, cases,
                         [](const Forces& f) { return length(f.strut->side_n); }));
    parts.push_back(part("strut, bending at its second point", false, corners, cases,
                         [](const Forces& f) { return f.strut->bending_at_foot_nmm; }));
    parts.back().measure = Measure::torque;
  }
  if (l.swing)
    for (std::size_t k = 0; k < 2; ++k)
      parts.push_back(
          part(fmt::format("swing arm '{}', {} pivot", l.swing->name, k == 0 ? "inner" : "outer"),
               false, corners, cases, [&](const Forces& f) { return length((*f.swing_n)[k]); }));
  if (support != Support::none)
    parts.push_back(part(std::string(support == Support::spring ? "spring" : words(support)), false,
                         corners, cases, [](const Forces& f) { return f.support_n; }));
  for (auto& p : parts) find_worst(p);
  return parts;
}

// What the set that is fitted does with an option.
struct FittedOption {
  const AxleCorrection* correction = nullptr;
  std::size_t choice = 0;
  BySide<double> size_mm{};
  BySide<Vec3<double>> by_mm{};  // corner axes
  bool made_to_measure = false;
  // Of a stack: the taller of both sides.
  double thickest_mm() const { return std::max(std::fabs(size_mm.left), std::fabs(size_mm.right)); }
};
std::optional<FittedOption> fitted_option(const Correction& correction, const Option& option) {
  for (const auto& c : correction.axle) {
    if (!c || !c->to_fit()) continue;
    const auto& choices = c->ranking.shelf.choices;
    for (std::size_t i = 0; i < choices.size(); ++i) {
      if (choices[i].option != &option) continue;
      const auto& fit = c->to_fit()->fit;
      FittedOption f{&*c, i, {}, {}, choices[i].made_to_measure()};
      for (const Side side : each_side) {
        const auto& part = fit.part[i][side];
        f.size_mm[side] = part.size_mm;
        f.by_mm[side] = f.made_to_measure ? part.by_mm : part.size_mm * choices[i].along[side];
      }
      return f;
    }
  }
  return {};
}

class Maker {
 public:
  Maker(const Ride& ride, const Correction& correction, const Wishes& wishes,
        const Workshop& workshop)
      : correction_(correction),
        wishes_(wishes),
        workshop_(workshop),
        fitted_(with_parts(ride, correction, wishes)) {}

  Making all() {
    for (const AxleName name : {AxleName::front, AxleName::rear})
      if (fitted_.at(name))
        out_.axle[static_cast<std::size_t>(name)] = axle_forces(fitted_, name, workshop_);
    for (const auto& m : workshop_.made) part(m);
    for (const auto& f : workshop_.fasteners) bolt(f);
    for (const auto& e : workshop_.rod_ends) rod_end(e);
    return std::move(out_);
  }

 private:
  std::vector<JointLoad> loads_of(AxleName axle, int joint) const {
    const auto& forces = out_.axle[static_cast<std::size_t>(axle)];
    if (!forces || joint < 0) return {};
    return joint_loads(fitted_, axle, joint, *forces);
  }

  void part(const Made& m) {
    PartToMake p;
    p.made = &m;
    p.option = &wishes_.options[m.option];
    const auto fitted = fitted_option(correction_, *p.option);
    if (!fitted) {
      p.nothing = "the set that is fitted leaves it out";
    } else if (turned(m.kind)) {
      p.thickness_mm = fitted->thickest_mm();
      if (p.thickness_mm == 0.0) p.nothing = "the set that is fitted has none of it";
    } else {
      plate(m, *fitted, p);
    }
    out_.parts.push_back(std::move(p));
  }

  void plate(const Made& m, const FittedOption& fitted, PartToMake& p) {
    const auto plane = plate_plane(m.axis);
    p.hole_mm = {dot(fitted.by_mm.left, plane.across), dot(fitted.by_mm.left, plane.up)};
    p.aside_mm = dot(fitted.by_mm.left, plane.axis);
    if (std::hypot(p.hole_mm[0], p.hole_mm[1]) < 0.05) {
      p.nothing = "the set that is fitted leaves the hole where it is";
      return;
    }
    std::vector<PlateLoad> loads;
    for (const auto& l : loads_of(p.option->axle, p.option->joint))
      loads.push_back(
          {l.name,
           {dot(l.force_n, plane.across), dot(l.force_n, plane.up), dot(l.force_n, plane.axis)},
           l.shock,
           l.often});
    p.plate = chosen_plate(m, p.hole_mm, p.aside_mm, loads);
    for (const auto& map : fitted.correction->maps)
      if (map.choice == fitted.choice && map.is_room()) p.room_mm = map.both_ways_mm;
  }

  void bolt(const Fastener& f) {
    BoltToFit b;
    b.fastener = &f;
    auto& j = b.joint;
    j.thread = f.bolt.thread;
    j.bolt_class = f.bolt.bolt_class;
    for (const auto& layer : f.layers) {
      double thick = layer.thickness_mm;
      if (layer.option)
        if (const auto fitted = fitted_option(correction_, wishes_.options[*layer.option]))
          thick += fitted->thickest_mm();
      if (thick > 0.0) j.layers.push_back({layer.what, thick, true});
    }
    j.head_washer_mm = f.head_washer_mm;
    j.nut_washer_mm = f.nut_washer_mm;
    j.nut_height_mm = f.nut_mm.value_or(0.0);
    if (f.tapped) j.tapped = Tapped{f.tapped->material, f.tapped->depth_mm, f.tapped->through};
    j.tail_room_mm = f.tail_room_mm;
    j.length_mm = f.length_mm;
    auto next = next_length(j);
    if (!next.value) {
      b.why = next.why;
      out_.bolts.push_back(std::move(b));
      return;
    }
    b.next = std::move(*next.value);
    if (b.next.take) b.taken = judge(j, *b.next.take).value;
    if (f.length_mm) b.now = judge(j, *f.length_mm).value;
    double worst = 0.0;
    for (const auto& l : loads_of(f.axle, f.joint))
      worst = std::max(worst, l.shock * length(l.force_n));
    if (worst > 0.0) b.slip = slip_check(j.thread, j.bolt_class, f.number, worst).value;
    b.torque = torque_estimate(j.thread, j.bolt_class, Lubrication::dry_zinc);
    out_.bolts.push_back(std::move(b));
  }

  void rod_end(const RodEnd& e) {
    RodEndSeen s;
    s.end = &e;
    s.name = fmt::format("{}.{}", word(e.axle),
                         fitted_.car.at(e.axle)->layout.points[static_cast<std::size_t>(e.joint)]);
    tilt(e, s);
    for (const auto& l : loads_of(e.axle, e.joint))
      if (const double n = l.shock * length(l.force_n); n > s.worst_n) {
        s.worst_n = n;
        s.worst_case = l.name;
      }
    s.engagement = rod_end_engagement(e.thread, e.into.group).value;
    if (e.rating_n && s.worst_n > 0.0) s.rating = rating_check(*e.rating_n, s.worst_n).value;
    for (const auto& option : wishes_.options)
      if (option.axle == e.axle && option.joint == e.joint)
        if (const auto fitted = fitted_option(correction_, option);
            fitted && !fitted->made_to_measure)
          s.stack_mm += fitted->thickest_mm();
    const double half_ball = 0.5 * e.ball_width_mm.value_or(0.0);
    if (s.worst_n > 0.0 && e.double_shear && e.ball_width_mm)
      s.pin = double_shear(e.bolt.thread, s.worst_n, e.tab_mm, *e.ball_width_mm, 0.0).value;
    else if (s.worst_n > 0.0 && e.spacer_mm > 0.0 && s.stack_mm + half_ball > 0.0) {
      SingleShear stack;
      stack.thread = e.bolt.thread;
      stack.bolt_class = e.bolt.bolt_class;
      stack.spacer_outer_mm = e.spacer_mm;
      stack.force_n = s.worst_n;
      stack.arm_mm = s.stack_mm + half_ball;
      s.single = single_shear(stack).value;
    }
    out_.rod_ends.push_back(std::move(s));
  }

  // The rod's tilt out of the plane square to its bolt, over all travel and lock.
  void tilt(const RodEnd& e, RodEndSeen& s) {
    if (e.limit_rad) s.limit_rad = e.limit_rad;
    else if (e.ball_width_mm && e.housing_width_mm && e.sphere_mm)
      s.limit_rad = tilt_limit_rad(*e.ball_width_mm, *e.housing_width_mm, *e.sphere_mm).value;
    const auto& axle = *fitted_.car.at(e.axle);
    int rod = -1;
    for (std::size_t i = 0; i < axle.layout.rods.size(); ++i)
      if (axle.layout.rods[i].upright == e.joint || axle.layout.rods[i].inner == e.joint)
        rod = static_cast<int>(i);
    if (rod < 0) return;
    const auto& r = axle.layout.rods[static_cast<std::size_t>(rod)];
    const Standing on = r.upright == e.joint            ? Standing{Carrier::upright, -1}
                        : r.inner_on.on == Carrier::arm ? r.inner_on
                                                        : Standing{Carrier::body, -1};
    const auto stop = axle.stop.value_or(StopData{});
    const double up = stop.bump_mm.value_or(usual_travel_mm),
                 down = -stop.droop_mm.value_or(usual_travel_mm);
    std::vector<double> racks{0.0};
    if (r.steered() && axle.rack_travel_mm)
      racks = {0.0, -*axle.rack_travel_mm, *axle.rack_travel_mm};
    for (const Side side : {Side::left, Side::right}) {
      if (side == Side::right && axle.right_is_mirrored) break;
      const auto& corner = fitted_.at(e.axle)->at(side);
      const auto& row =
          corner.mechanism.distance[static_cast<std::size_t>(rod_row(axle.layout, rod))];
      const Vec3<double> axis = on_carrier(corner.mechanism, on, e.axis);
      for (const double rack : racks)
        for (const double t : {down, 0.5 * down, 0.0, 0.5 * up, up}) {
          const auto found =
              reach(corner.mechanism, corner.at, {corner.at.drive.travel_mm + t, rack});
          s.locks = s.locks || !found.arrived;
          if (!found.arrived) continue;
          const Placed<double> placed(corner.mechanism, found.at.pose, rack);
          const Vec3<double> along = unit(placed.position(row.outer) - placed.position(row.inner));
          const double leans =
              std::fabs(std::asin(std::clamp(dot(along, placed.direction(on, axis)), -1.0, 1.0)));
          if (leans <= s.asked_rad) continue;
          s.asked_rad = leans;
          s.at_travel_mm = t;
          s.at_rack_mm = rack;
        }
    }
  }

  const Correction& correction_;
  const Wishes& wishes_;
  const Workshop& workshop_;
  Ride fitted_;
  Making out_;
};

}  // namespace

AxleForces axle_forces(const Ride& fitted, AxleName name, const Workshop& workshop) {
  const auto& axle = *fitted.car.at(name);
  AxleForces a;
  a.loads = load_cases(fitted.car, name, workshop.loads);
  a.support = support_of(axle.layout);
  const auto corners = loaded_corners(fitted, name, a.loads.cases);
  for (const auto& c : corners)
    for (std::size_t k = 0; k < c.by_case.size(); ++k)
      if (!c.by_case[k].value && a.loads.cases[k].steered_rod_n == 0.0) a.why = c.by_case[k].why;
  a.parts = parts_of(axle.layout, corners, a.loads.cases, a.support);
  return a;
}

std::vector<JointLoad> joint_loads(const Ride& fitted, AxleName name, int joint,
                                   const AxleForces& axle_forces) {
  const auto& axle = *fitted.car.at(name);
  const auto& cases = axle_forces.loads.cases;
  std::vector<JointLoad> all;
  for (const auto& c : loaded_corners(fitted, name, cases)) {
    const auto at = c.at(axle.layout);
    for (std::size_t k = 0; k < cases.size(); ++k) {
      const auto& one = cases[k];
      if (c.by_case[k].value) {
        if (const auto n = through_joint(at, *c.by_case[k].value, joint))
          all.push_back({one.name, *n, one.shock, one.often});
        continue;
      }
      const int rod = steered_rod(axle.layout);
      if (one.steered_rod_n == 0.0 || rod < 0) continue;
      const auto& r = axle.layout.rods[static_cast<std::size_t>(rod)];
      if (r.upright != joint && r.inner != joint) continue;
      const auto& row =
          c.ride->mechanism.distance[static_cast<std::size_t>(rod_row(axle.layout, rod))];
      const Vec3<double> along =
          unit(at.placed.position(row.outer) - at.placed.position(row.inner));
      for (const double way : {1.0, -1.0})
        all.push_back({one.name, way * one.steered_rod_n * along, one.shock, one.often});
    }
  }
  return all;
}

Making make(const Ride& ride, const Correction& correction, const Wishes& wishes,
            const Workshop& workshop) {
  return Maker(ride, correction, wishes, workshop).all();
}

}  // namespace trammel
