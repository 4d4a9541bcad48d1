#include "make/making.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/check.h"
#include "make/part_drawings.h"

namespace trammel {
namespace {

// Full travel where the file does not say: what a light car's wheel does (common practice).
constexpr double usual_travel_mm = 60.0;

// A corner of the car as fitted, and what it carries in each case.
struct LoadedCorner {
  Side side = Side::left;
  const CornerRide* ride = nullptr;
  Ground<double> ground;
  std::vector<Answer<Forces, NoForces>> by_case;  // none for a case of the steered rod alone

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
      c.by_case.push_back(one.steered_rod_n > 0.0 ? Answer<Forces, NoForces>{}
                                                  : forces(at, one.load));
    corners.push_back(std::move(c));
  }
  return corners;
}

// A joint that an arm, a strut or a swing arm has on the body.
bool on_body(const Layout& l, int joint) {
  for (const auto& arm : l.arms)
    if (arm.body_front == joint || arm.body_rear == joint) return true;
  return (l.strut && l.strut->top == joint) ||
         (l.swing && (l.swing->pivot_inner == joint || l.swing->pivot_outer == joint));
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

Failing gives_way(const Check& check) { return {Failing::Of::gives_way, 0.0, check}; }

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
    for (std::size_t k = 0; k < 2; ++k) {
      parts.push_back(
          part(fmt::format("arm '{}', to its {} joint", name, k == 0 ? "front" : "rear"), true,
               corners, cases, [&](const Forces& f) { return f.arm[i].leg_n[k]; }));
      parts.back().leg = true;
    }
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
    p.rod = static_cast<int>(i);
    for (std::size_t k = 0; k < cases.size(); ++k)
      if (p.rod == steered_rod(l) && cases[k].steered_rod_n > 0.0)
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

// What the set that is fitted does with an option: on each side a size or a place, and how far that
// moves the joint.
struct FittedOn {
  double size_mm = 0.0;
  Vec3<double> by_mm{};  // corner axes
};
struct FittedOption {
  const AxleCorrection* correction = nullptr;
  std::size_t choice = 0;
  BySide<FittedOn> on;
  bool made_to_measure = false;
  bool alike() const {
    return on.left.size_mm == on.right.size_mm && on.left.by_mm == on.right.by_mm;
  }
  // Of a stack: the taller of both sides, which asks more of bolt and ball.
  double tallest_mm() const {
    return std::max(std::fabs(on.left.size_mm), std::fabs(on.right.size_mm));
  }
};
std::optional<FittedOption> fitted_option(const Correction& correction, std::size_t option) {
  for (const auto& c : correction.axle) {
    if (!c || !c->to_fit()) continue;
    const auto& choices = c->ranking.shelf.choices;
    for (std::size_t i = 0; i < choices.size(); ++i) {
      if (choices[i].index != option) continue;
      FittedOption f{&*c, i, {}, choices[i].made_to_measure()};
      for (const Side side : each_side) {
        const auto& part = c->to_fit()->fit.part[i][side];
        f.on[side] = {part.size_mm,
                      f.made_to_measure ? part.by_mm : part.size_mm * choices[i].along[side]};
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
    for (auto& p : out_.parts) stack_of(p);
    return std::move(out_);
  }

 private:
  std::vector<JointLoad> loads_of(AxleName axle, int joint) const {
    const auto& forces = out_.axle[static_cast<std::size_t>(axle)];
    if (!forces || joint < 0) return {};
    return joint_loads(fitted_, axle, joint, *forces);
  }
  // What is missing for the loads of an axle to be known; nothing where they are.
  std::optional<NotJudged> forces_missing(AxleName axle) const {
    using Of = NotJudged::Of;
    const auto& forces = out_.axle[static_cast<std::size_t>(axle)];
    if (forces && forces->all_known()) return {};
    if (!fitted_.car.body.corner_kg) return NotJudged{Of::no_weights};
    if (!forces) return NotJudged{Of::no_axle};
    NotJudged missing{forces->why ? Of::no_forces : Of::loads_wanting};
    missing.forces = forces->why;
    missing.wanting = forces->loads.wanting;
    return missing;
  }
  // The rod whose joint this is; below zero: none.
  int rod_of(AxleName axle, int joint) const {
    const auto& rods = fitted_.car.at(axle)->layout.rods;
    for (std::size_t i = 0; i < rods.size(); ++i)
      if (rods[i].upright == joint || rods[i].inner == joint) return static_cast<int>(i);
    return -1;
  }
  const RodEnd* rod_end_at(AxleName axle, int joint) const {
    for (const auto& e : workshop_.rod_ends)
      if (e.axle == axle && e.joint == joint) return &e;
    return nullptr;
  }

  void part(const Made& m) {
    const auto fitted = fitted_option(correction_, m.option);
    if (fitted && !fitted->alike())
      for (const Side side : each_side) part(m, fitted, side);
    else part(m, fitted, {});
  }

  // Of both sides, or of one where they differ.
  void part(const Made& m, const std::optional<FittedOption>& fitted, std::optional<Side> side) {
    PartToMake p;
    p.made = m;
    p.option = wishes_.options[m.option];
    p.side = side;
    p.judged.of = {Thing::Of::part, p.name()};
    const auto& axle = *fitted_.car.at(p.option.axle);
    const int rod = rod_of(p.option.axle, p.option.joint);
    p.corrects_rod = rod >= 0 && (axle.layout.rods[static_cast<std::size_t>(rod)].steered() ||
                                  (axle.toe_adjuster && axle.toe_adjuster->rod == rod));
    if (!fitted) {
      p.nothing = PartToMake::Nothing::left_out;
    } else if (turned(m.kind)) {
      p.thickness_mm = std::fabs(fitted->on[side.value_or(Side::left)].size_mm);
      if (p.thickness_mm == 0.0) {
        p.nothing = PartToMake::Nothing::none_of_it;
      } else {
        p.turned = judged_turned(m);
        for (const auto& c : p.turned->checks)
          if (c.used > 1.0) p.judged.fails.push_back(gives_way(c));
        p.judged.unjudged = p.turned->unjudged;
        if (auto missing = forces_missing(p.option.axle))
          p.judged.unjudged.push_back(std::move(*missing));
      }
    } else {
      plate(m, *fitted, p);
    }
    if (!p.nothing) {
      stands_on(m, fitted->on[side.value_or(Side::left)].by_mm, p);
      // What cannot be drawn cannot be made.
      if (const auto drawing = part_drawing(p, false);
          !drawing.value && (!p.plate || p.plate->plate))
        p.judged.fails.push_back({Failing::Of::cannot_be_drawn, 0.0, {}, {}, {}, drawing.why});
    }
    out_.parts.push_back(std::move(p));
  }

  // The moment of the joint's force at the face where the part stands.
  void stands_on(const Made& m, const Vec3<double>& moved_mm, PartToMake& p) const {
    const auto& option = p.option;
    const auto& layout = fitted_.car.at(option.axle)->layout;
    const int rod = rod_of(option.axle, option.joint);
    const bool inner = rod >= 0 && layout.rods[static_cast<std::size_t>(rod)].inner == option.joint;
    StoodOn s;
    s.on = inner                           ? StandsOn::rods_inner_bracket
           : on_body(layout, option.joint) ? StandsOn::body_bracket
           : rod >= 0 && layout.rods[static_cast<std::size_t>(rod)].steered()
               ? StandsOn::steering_arm
               : StandsOn::upright_ear;
    Vec3<double> lever = moved_mm, half{};
    if (!turned(m.kind)) lever = lever + m.offset_mm.value_or(0.0) * m.axis;
    else if (const auto* end = rod_end_at(option.axle, option.joint); end && end->ball_width_mm)
      half = 0.5 * *end->ball_width_mm * unit(moved_mm);
    const bool height_known = length(half) > 0.0;
    for (const auto& l : loads_of(option.axle, option.joint)) {
      const double added = l.shock * length(cross(lever, l.force_n));
      if (added <= s.added_nmm) continue;
      s.added_nmm = added;
      s.now_nmm = l.shock * length(cross(lever + half, l.force_n));
      if (height_known) s.as_built_nmm = l.shock * length(cross(half, l.force_n));
      s.by = l.name;
    }
    p.stands_on = std::move(s);
  }

  // A sleeve whose stack opens does not serve, however well it bears its own preload.
  void stack_of(PartToMake& p) const {
    if (p.nothing || !p.turned) return;
    for (const auto& e : out_.rod_ends)
      if (e.end.axle == p.option.axle && e.end.joint == p.option.joint && e.single &&
          !e.single->passes)
        p.judged.fails.push_back({e.single->stays_closed ? Failing::Of::its_stack_too_tall
                                                         : Failing::Of::its_stack_opens});
  }

  void plate(const Made& m, const FittedOption& fitted, PartToMake& p) {
    const auto plane = plate_plane(m.axis);
    const auto& by = fitted.on[p.side.value_or(Side::left)].by_mm;
    p.hole_mm = {dot(by, plane.across), dot(by, plane.up)};
    p.aside_mm = dot(by, plane.axis);
    if (std::hypot(p.hole_mm[0], p.hole_mm[1]) < 0.05) {
      p.nothing = PartToMake::Nothing::hole_stays;
      return;
    }
    std::vector<PlateLoad> loads;
    for (const auto& l : loads_of(p.option.axle, p.option.joint))
      loads.push_back(
          {l.name,
           {dot(l.force_n, plane.across), dot(l.force_n, plane.up), dot(l.force_n, plane.axis)},
           l.shock,
           l.often});
    const auto missing = forces_missing(p.option.axle);
    p.plate = chosen_plate(m, p.hole_mm, p.aside_mm, loads, !missing);
    if (m.weld) p.weld = ThingJudged{{Thing::Of::weld, p.name()}, {}, {}};
    if (p.plate->plate) {
      for (const auto& c : p.plate->plate->checks)
        if (c.used > 1.0) (c.of_weld() ? p.weld->fails : p.judged.fails).push_back(gives_way(c));
      p.judged.unjudged = p.plate->plate->unjudged;
      if (p.weld) p.weld->unjudged = p.plate->plate->weld_unjudged;
    } else if (p.weld && !m.boss) {
      p.weld->unjudged.push_back({NotJudged::Of::base_metal});
    }
    if (missing) {
      p.judged.unjudged.push_back(*missing);
      if (p.weld) p.weld->unjudged.push_back(*missing);
    }
    for (const auto& map : fitted.correction->maps)
      if (map.choice == fitted.choice && map.side == p.side && map.is_room())
        p.room_mm = map.both_ways_mm;
  }

  void bolt(const Fastener& f) {
    BoltToFit b;
    b.fastener = f;
    auto& j = b.joint;
    j.thread = f.bolt.thread;
    j.bolt_class = f.bolt.bolt_class;
    for (const auto& layer : f.layers) {
      double thick = layer.thickness_mm;
      if (layer.option)
        if (const auto fitted = fitted_option(correction_, *layer.option))
          thick += fitted->tallest_mm();
      if (thick > 0.0) j.layers.push_back({layer.what, thick, true});
    }
    j.head_washer_mm = f.head_washer_mm;
    j.nut_washer_mm = f.nut_washer_mm;
    j.nut_height_mm = f.nut_mm.value_or(0.0);
    if (f.tapped) j.tapped = Tapped{f.tapped->material, f.tapped->depth_mm, f.tapped->through};
    j.tail_room_mm = f.tail_room_mm;
    j.length_mm = f.length_mm;
    j.plain_mm = f.shank_mm;
    b.judged.of = {Thing::Of::bolt, f.name};
    auto& unjudged = b.judged.unjudged;
    auto next = next_length(j);
    if (!next.value) {
      b.why = next.why;
      b.judged.fails.push_back({Failing::Of::no_sense, 0.0, {}, b.why});
      out_.bolts.push_back(std::move(b));
      return;
    }
    b.next = std::move(*next.value);
    if (b.next.take) b.taken = judge(j, *b.next.take).value;
    if (f.length_mm) b.now = judge(j, *f.length_mm).value;
    if (b.next.measure_plain_mm)
      unjudged.push_back({NotJudged::Of::plain_shank, *b.next.measure_plain_mm});
    else if (!b.next.passes)
      b.judged.fails.push_back({Failing::Of::no_bolt, 0.0, {}, {}, Failing::NoBolt{j, b.next}});
    double worst = 0.0;
    for (const auto& l : loads_of(f.axle, f.joint))
      worst = std::max(worst, l.shock * length(l.force_n));
    if (worst > 0.0) b.slip = slip_check(j.thread, j.bolt_class, f.number, worst).value;
    if (b.slip && !b.slip->holds)
      b.judged.fails.push_back({Failing::Of::faces_slip, b.slip->least_factor});
    if (f.joint < 0) unjudged.push_back({NotJudged::Of::slipping});
    else if (auto missing = forces_missing(f.axle)) unjudged.push_back(std::move(*missing));
    if (!f.tail_room_mm && (!f.tapped || f.tapped->through))
      unjudged.push_back({NotJudged::Of::tail});
    b.torque = torque_estimate(j.thread, j.bolt_class, Lubrication::dry_zinc);
    out_.bolts.push_back(std::move(b));
  }

  void rod_end(const RodEnd& e) {
    RodEndSeen s;
    s.end = e;
    s.name = fmt::format("{}.{}", word(e.axle),
                         fitted_.car.at(e.axle)->layout.points[static_cast<std::size_t>(e.joint)]);
    s.judged.of = {Thing::Of::rod_end, s.name};
    for (const auto& l : loads_of(e.axle, e.joint))
      if (const double n = l.shock * length(l.force_n); n > s.worst_n) {
        s.worst_n = n;
        s.worst_case = l.name;
      }
    auto& unjudged = s.judged.unjudged;
    const auto fails = [&](Failing::Of why, double factor = 0.0) {
      s.judged.fails.push_back({why, factor});
    };
    if (auto missing = forces_missing(e.axle)) unjudged.push_back(std::move(*missing));
    stood_on(e, s);
    tilt(e, s);
    if (s.limit_rad && s.asked_rad > *s.limit_rad) fails(Failing::Of::binds);
    else if (s.limit_rad && s.asked_rad > *s.limit_rad - joint_in_hand_rad)
      fails(Failing::Of::little_tilt);
    s.engagement = rod_end_engagement(e.thread, e.into.group).value;
    if (!e.engaged_mm) unjudged.push_back({NotJudged::Of::thread});
    else if (!s.engagement) fails(Failing::Of::cast_iron_sleeve);
    else if (*e.engaged_mm + 1e-6 < s.engagement->needed_mm) fails(Failing::Of::little_thread);
    if (!e.rating_n) unjudged.push_back({NotJudged::Of::rating});
    else if (s.worst_n > 0.0) s.rating = rating_check(*e.rating_n, s.worst_n).value;
    if (s.rating && !s.rating->passes) fails(Failing::Of::low_rating, s.rating->factor);
    bowing(e, s);
    out_.rod_ends.push_back(std::move(s));
  }

  // The rod itself, by the largest push in it; of the longer one where sides differ.
  void bowing(const RodEnd& e, RodEndSeen& s) const {
    if (!e.bar) return;
    const auto& layout = fitted_.car.at(e.axle)->layout;
    const int rod = rod_of(e.axle, e.joint);
    RodEndSeen::Bowing b;
    for (const auto& p : out_.axle[static_cast<std::size_t>(e.axle)]->parts)
      if (p.rod == rod)
        for (const auto& pull : p.by_case) b.push_n = std::max(b.push_n, -pull.value_or(0.0));
    if (b.push_n <= 0.0) return;  // that forces are missing is said already
    const auto row = static_cast<std::size_t>(rod_row(layout, rod));
    for (const Side side : each_side)
      b.length_mm =
          std::max(b.length_mm, fitted_.at(e.axle)->at(side).mechanism.distance[row].length_mm);
    const auto strength = column_strength({e.bar->outside_mm, e.bar->wall_mm, b.length_mm, e.into});
    check(strength.value.has_value(), "a rod of the file has its sizes above zero",
          {{"outside", e.bar->outside_mm}, {"wall", e.bar->wall_mm}, {"length", b.length_mm}});
    b.strength = *strength.value;
    if (b.factor() < bowing_in_hand)
      s.judged.fails.push_back({Failing::Of::rod_bows_out, b.factor()});
    s.rod = b;
  }

  // The bolt through the ball: between two tabs, or held at one end on what is fitted there.
  void stood_on(const RodEnd& e, RodEndSeen& s) const {
    const auto fails = [&](Failing::Of why, double factor = 0.0) {
      s.judged.fails.push_back({why, factor});
    };
    auto& unjudged = s.judged.unjudged;
    if (!e.ball_width_mm) {
      unjudged.push_back({NotJudged::Of::ball_width});
      return;
    }
    if (e.double_shear) {
      if (s.worst_n <= 0.0) return;
      s.pin = double_shear(e.bolt.thread, s.worst_n, e.tab_mm, *e.ball_width_mm, 0.0).value;
      if (s.pin && yield_in_hand * s.pin->plain_shank_mpa >
                       strength(e.bolt.thread, e.bolt.bolt_class).yield_mpa)
        fails(Failing::Of::pin_bends);
      return;
    }
    const double half_ball = 0.5 * *e.ball_width_mm;
    double arm = half_ball;
    s.narrowest_mm = e.spacer_mm;
    bool plate_unknown = false, clevis = false;
    for (std::size_t i = 0; i < wishes_.options.size(); ++i) {
      const auto& option = wishes_.options[i];
      if (option.axle != e.axle || option.joint != e.joint) continue;
      const auto fitted = fitted_option(correction_, i);
      if (!fitted) continue;
      if (!fitted->made_to_measure) {
        const double size = fitted->tallest_mm();
        s.stack_mm += size;
        arm += size;
      }
      for (const auto& p : out_.parts) {
        if (p.made.option != i || p.nothing) continue;
        if (p.made.kind == MadeKind::sleeve) narrower(p.made, e, s);
        if (turned(p.made.kind)) continue;
        clevis = clevis || p.made.kind == MadeKind::clevis;
        plate_unknown = !p.made.offset_mm || !p.plate->plate;
        if (plate_unknown) continue;
        arm = std::max(
            {arm, half_ball,
             std::fabs(*p.made.offset_mm + p.aside_mm) - 0.5 * p.plate->plate->thickness_mm});
        s.stack_mm = arm - half_ball;
      }
    }
    if (clevis) return;  // its pin is judged with it
    if (plate_unknown) {
      unjudged.push_back({NotJudged::Of::plate_of_ball});
      return;
    }
    // Nothing between: the ball's own face, cut from its sphere, stands on the part.
    if (arm <= half_ball + 0.05 && e.sphere_mm && *e.sphere_mm > *e.ball_width_mm)
      s.narrowest_mm = std::sqrt(*e.sphere_mm * *e.sphere_mm - *e.ball_width_mm * *e.ball_width_mm);
    if (s.narrowest_mm == 0.0) {
      unjudged.push_back({NotJudged::Of::stack});
      return;
    }
    if (s.worst_n <= 0.0) return;
    SingleShear stack;
    stack.thread = e.bolt.thread;
    stack.bolt_class = e.bolt.bolt_class;
    stack.spacer_outer_mm = s.narrowest_mm;
    stack.force_n = s.worst_n;
    stack.arm_mm = arm;
    auto single = single_shear(stack);
    s.single = single.value;
    if (!s.single)
      s.judged.fails.push_back({Failing::Of::no_sense, 0.0, {}, std::move(single.why)});
    else if (s.single->factor < 1.0) fails(Failing::Of::stack_opens);
    else if (!s.single->stays_closed) fails(Failing::Of::stack_opens_at_least);
    else if (!s.single->passes && s.single->is_short)
      fails(Failing::Of::stack_barely_closed, s.single->least_factor);
    else if (!s.single->passes) fails(Failing::Of::ball_far_off);
  }

  // `spacer` against the sleeve that is made: the narrower one counts, and they are to be the same.
  static void narrower(const Made& sleeve, const RodEnd& e, RodEndSeen& s) {
    if (e.spacer_mm > sleeve.outside_mm)
      s.judged.unjudged.push_back({NotJudged::Of::wider_spacer, e.spacer_mm, sleeve.outside_mm});
    s.narrowest_mm =
        e.spacer_mm > 0.0 ? std::min(e.spacer_mm, sleeve.outside_mm) : sleeve.outside_mm;
  }

  // The rod's tilt out of the plane square to its bolt, over all travel and lock.
  void tilt(const RodEnd& e, RodEndSeen& s) {
    if (e.limit_rad) s.limit_rad = e.limit_rad;
    else if (e.ball_width_mm && e.housing_width_mm && e.sphere_mm)
      s.limit_rad = tilt_limit_rad(*e.ball_width_mm, *e.housing_width_mm, *e.sphere_mm).value;
    const auto& axle = *fitted_.car.at(e.axle);
    if (!s.limit_rad) s.judged.unjudged.push_back({NotJudged::Of::tilt});
    const int rod = rod_of(e.axle, e.joint);
    if (rod < 0) {
      s.judged.unjudged.push_back({NotJudged::Of::tilt_of_no_rod});
      return;
    }
    const auto& r = axle.layout.rods[static_cast<std::size_t>(rod)];
    const Standing on = r.upright == e.joint            ? Standing{Carrier::upright, -1}
                        : r.inner_on.on == Carrier::arm ? r.inner_on
                                                        : Standing{Carrier::body, -1};
    const auto stop = axle.stop.value_or(StopData{});
    const double up = stop.bump_mm.value_or(usual_travel_mm),
                 down = -stop.droop_mm.value_or(usual_travel_mm);
    if (r.steered() && !axle.rack_travel_mm)
      s.judged.unjudged.push_back({NotJudged::Of::tilt_at_lock, 0.0, 0.0, e.axle, r.name});
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
    if (s.locks) s.judged.unjudged.push_back({NotJudged::Of::tilt_locked, 0.0, 0.0, e.axle});
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

std::vector<ThingJudged> Making::judged() const {
  std::vector<ThingJudged> all;
  for (const auto& p : parts) {
    if (p.nothing) continue;
    all.push_back(p.judged);
    if (p.weld) all.push_back(*p.weld);
  }
  for (const auto& b : bolts) all.push_back(b.judged);
  for (const auto& e : rod_ends) all.push_back(e.judged);
  for (const auto& p : parts)
    if (!p.nothing && p.stands_on)
      all.push_back(
          {{Thing::Of::stood_on, p.name(), p.stands_on->on}, {}, {{NotJudged::Of::stood_on}}});
  return all;
}

bool Making::stops() const {
  const auto all = judged();
  return std::any_of(all.begin(), all.end(),
                     [](const ThingJudged& j) { return j.verdict() == Serving::does_not_serve; }) ||
         std::any_of(parts.begin(), parts.end(),
                     [](const PartToMake& p) { return p.not_for_cutting(); });
}

Making make(const Ride& ride, const Correction& correction, const Wishes& wishes,
            const Workshop& workshop) {
  return Maker(ride, correction, wishes, workshop).all();
}

}  // namespace trammel
