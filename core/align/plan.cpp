#include "align/plan.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "align/set_corner.h"
#include "car/by.h"
#include "car/joint_words.h"

namespace trammel {
namespace {

constexpr double quarter_flats_per_turn = 24.0;
constexpr double turn_when = 0.3;  // of what is allowed: nearer, a reading tells no better

Wish about(const std::array<double, 2>& range, double least_half) {
  return {0.5 * (range[0] + range[1]), std::max(0.5 * (range[1] - range[0]), least_half), false};
}

class Planner {
 public:
  Planner(const Ride& ride, const SessionFound& found, const Wishes& wishes)
      : ride_(ride), found_(found), wishes_(wishes) {}

  AlignPlan plan() {
    for (const AxleName a : {AxleName::front, AxleName::rear})
      if (ride_.at(a)) begin(a);
    for (const AxleName a : {AxleName::front, AxleName::rear})
      if (ride_.at(a)) wants(a);
    for (const auto what : {AlignWhat::caster, AlignWhat::camber})
      for (const AxleName a : {AxleName::front, AxleName::rear})
        for (const Side s : each_side)
          if (ride_.at(a)) set(a, s, what);
    // The rear axle gives the line that the front wheels are set about.
    for (const Side s : each_side)
      if (ride_.at(AxleName::rear)) set(AxleName::rear, s, AlignWhat::toe);
    front_about_thrust();
    for (const Side s : each_side)
      if (ride_.at(AxleName::front)) set(AxleName::front, s, AlignWhat::toe);
    end();
    return std::move(plan_);
  }

 private:
  const Target& target(AxleName a) const { return wishes_.target[static_cast<std::size_t>(a)]; }
  AxlePlan& of(AxleName a) { return *plan_.axle[static_cast<std::size_t>(a)]; }
  WheelPlan& wheel(AxleName a, Side s) { return of(a).side[static_cast<std::size_t>(s)]; }
  SetCorner& corner(AxleName a, Side s) {
    return *corners_[static_cast<std::size_t>(a)][static_cast<std::size_t>(s)];
  }

  void begin(AxleName a) {
    plan_.axle[static_cast<std::size_t>(a)].emplace();
    const auto& found = found_.at(a);
    // Total toe alone: the wheels are taken as alike.
    const bool total_alone =
        found.total_toe_rad && !found.at(Side::left).toe_rad && !found.at(Side::right).toe_rad;
    for (const Side s : each_side) {
      auto& slot = corners_[static_cast<std::size_t>(a)][static_cast<std::size_t>(s)];
      slot.emplace(ride_, a, s);
      auto read = angles_read(found.at(s));
      if (total_alone) read.toe_rad = 0.5 * found.total_toe_rad->value;
      if (!slot->stand_as_read(read))
        plan_.left_alone.push_back({LeftAlone::Of::not_as_read, a, s});
      auto& p = wheel(a, s);
      p.now = slot->angles();
      p.toe_known = read.toe_rad.has_value();
      p.camber_known = read.camber_rad.has_value();
      p.caster_known = read.caster_rad && p.now.caster_rad;
    }
  }
  WheelAngles angles(AxleName a, Side s) { return corner(a, s).angles(); }

  // ------------------------------------------------------------------ what is wanted

  void wants(AxleName a) {
    auto& p = of(a);
    const auto& t = target(a);
    p.wanted_toe = t.toe_rad              ? about(*t.toe_rad, usual_toe_half_rad)
                   : a == AxleName::front ? usual_front_toe
                                          : usual_rear_toe;
    p.toe = {p.wanted_toe, p.wanted_toe};
    const auto mean = [&](auto angle) {
      return 0.5 * (angle(wheel(a, Side::left)) + angle(wheel(a, Side::right)));
    };
    if (t.camber_rad) p.camber = about(*t.camber_rad, 0.0);
    else if (wheel(a, Side::left).camber_known && wheel(a, Side::right).camber_known)
      p.camber = Wish{mean([](const WheelPlan& w) { return w.now.camber_rad; }),
                      0.5 * alike_camber_rad, true};
    if (t.caster_rad) p.caster = about(*t.caster_rad, 0.0);
    else if (wheel(a, Side::left).caster_known && wheel(a, Side::right).caster_known)
      p.caster = Wish{mean([](const WheelPlan& w) { return *w.now.caster_rad; }),
                      0.5 * alike_caster_rad, true};
  }

  // Front wheels are set about the line that the rear axle will roll along.
  void front_about_thrust() {
    if (!ride_.at(AxleName::front)) return;
    double thrust = 0.0;
    if (ride_.at(AxleName::rear) && found_.thrust_rad) {
      thrust = 0.5 * (angles(AxleName::rear, Side::left).toe_rad -
                      angles(AxleName::rear, Side::right).toe_rad);
      plan_.thrust_then_rad = thrust;
    }
    // Known by their total alone, the front wheels are set alike.
    if (!found_.at(AxleName::front).at(Side::left).toe_rad) return;
    for (const Side s : each_side)
      of(AxleName::front).toe[static_cast<std::size_t>(s)].middle_rad += outboard_sign(s) * thrust;
  }

  // ------------------------------------------------------------------ turning

  void set(AxleName a, Side s, AlignWhat what) {
    auto& p = of(a);
    auto& w = wheel(a, s);
    const auto& axle = corner(a, s).axle();
    const auto i = static_cast<std::size_t>(s);
    const bool known = what == AlignWhat::toe      ? w.toe_known
                       : what == AlignWhat::camber ? w.camber_known
                                                   : w.caster_known;
    const auto wish = what == AlignWhat::toe      ? std::optional(p.toe[i])
                      : what == AlignWhat::camber ? p.camber
                                                  : p.caster;
    if (!known || !wish) return;
    const auto here = angles(a, s);
    const double is = what == AlignWhat::toe      ? here.toe_rad
                      : what == AlignWhat::camber ? here.camber_rad
                                                  : here.caster_rad.value_or(0.0);
    const auto by_what = set_by(axle, what);
    const double off = std::fabs(is - wish->middle_rad);
    if (!by_what) {
      if (!wish->met(is))
        plan_.left_alone.push_back({LeftAlone::Of::nothing_sets_it, a, s, what, is, *wish});
      return;
    }
    // An angle that a later step spoils again is set for how that step will leave it.
    if (off <= turn_when * wish->half_rad && !(what == AlignWhat::toe && w.set)) return;
    WheelSetting setting;
    if (axle.toe_adjuster && w.toe_known) setting.toe_rad = p.toe[i].middle_rad;
    const bool camber_too = axle.camber_adjuster && w.camber_known && p.camber;
    if (camber_too && what != AlignWhat::toe)
      setting.camber_rad = p.camber->met(here.camber_rad) && what == AlignWhat::caster
                               ? here.camber_rad
                               : p.camber->middle_rad;
    AlignStep step;
    step.axle = a;
    step.side = s;
    step.what = what;
    step.before = here;
    std::optional<double> by;
    if (what == AlignWhat::caster) by = corner(a, s).caster_needs(setting, wish->middle_rad);
    else if (const auto needs = corner(a, s).needs(setting))
      by = (*needs)[what == AlignWhat::toe ? 0 : 1];
    if (!by) {
      plan_.left_alone.push_back({LeftAlone::Of::out_of_reach, a, s, what, is, *wish});
      return;
    }
    const auto& adjuster = by_what->adjuster;
    step.turns_rod = adjuster.rod.has_value();
    step.adjuster =
        adjuster.rod
            ? fmt::format("rod '{}'",
                          axle.layout.rods[static_cast<std::size_t>(adjuster.rod->rod)].name)
            : joint_words(axle.layout, adjuster.joint->point);
    step.by_mm = *by;
    if (adjuster.joint) step.along = adjuster.joint->along;
    if (by_what->pitch_mm > 0.0) {
      const double quarter_flat = by_what->pitch_mm * by_what->ends / quarter_flats_per_turn;
      step.quarter_flats = static_cast<int>(std::lround(*by / quarter_flat));
      step.by_mm = *step.quarter_flats * quarter_flat;
      if (*step.quarter_flats == 0) return;
    }
    if (!corner(a, s).turn(adjuster, step.by_mm)) return;
    step.after = angles(a, s);
    w.set = true;
    plan_.steps.push_back(std::move(step));
  }

  void end() {
    for (const AxleName a : {AxleName::front, AxleName::rear})
      for (const Side s : each_side)
        if (ride_.at(a)) wheel(a, s).then = angles(a, s);
    const auto& front = found_.at(AxleName::front);
    if (ride_.at(AxleName::front) && front.at(Side::left).toe_rad &&
        front.at(Side::right).toe_rad && plan_.thrust_then_rad)
      // Front wheels' own line against the rear axle's: what the steering wheel is off by.
      plan_.steering_then_rad = 0.5 * (wheel(AxleName::front, Side::right).then.toe_rad -
                                       wheel(AxleName::front, Side::left).then.toe_rad) +
                                *plan_.thrust_then_rad;
    for (const AxleName a : {AxleName::front, AxleName::rear})
      for (const Side s : each_side)
        if (ride_.at(a) && wheel(a, s).set && !wheel(a, s).toe_known)
          plan_.left_alone.push_back(
              {LeftAlone::Of::toe_not_read, a, s, AlignWhat::toe,
               std::fabs(wheel(a, s).then.toe_rad - wheel(a, s).now.toe_rad)});
  }

  const Ride& ride_;
  const SessionFound& found_;
  const Wishes& wishes_;
  AlignPlan plan_;
  std::array<std::array<std::optional<SetCorner>, 2>, 2> corners_;
};

}  // namespace

AlignPlan plan_alignment(const Ride& stands, const SessionFound& found, const Wishes& wishes) {
  return Planner(stands, found, wishes).plan();
}

}  // namespace trammel
