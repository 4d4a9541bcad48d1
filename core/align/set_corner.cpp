#include "align/set_corner.h"

#include <algorithm>
#include <cmath>

namespace trammel {
namespace {

constexpr int most_rounds = 30;
constexpr double settled_rad = 1e-9;
constexpr double caster_step_mm = 0.5;  // for its slope with its adjuster
constexpr double moves_nothing = 1e-7;  // rad per mm

}  // namespace

std::string_view word(AlignWhat what) {
  return what == AlignWhat::caster ? "caster" : what == AlignWhat::camber ? "camber" : "toe";
}

std::optional<AngleSetBy> set_by(const Axle& axle, AlignWhat what) {
  if (what == AlignWhat::toe) {
    if (!axle.toe_adjuster) return {};
    return AngleSetBy{{RodLength{axle.toe_adjuster->rod}, {}},
                      axle.toe_adjuster->pitch_mm,
                      axle.toe_adjuster->ends};
  }
  const auto& a = what == AlignWhat::camber ? axle.camber_adjuster : axle.caster_adjuster;
  if (!a) return {};
  AngleSetBy by{{}, a->pitch_mm, a->ends};
  if (a->rod >= 0) by.adjuster.rod = RodLength{a->rod};
  else by.adjuster.joint = JointShift{a->joint, a->along};
  return by;
}

SetCorner::SetCorner(const Ride& ride, AxleName name, Side side)
    : axle_(&*ride.car.at(name)),
      mechanism_(ride.at(name)->at(side).mechanism),
      at_(ride.at(name)->at(side).at),
      ground_(ground_for(side, ride.pitch_rad, 0.0)) {}

WheelAngles SetCorner::by_joints() const {
  const auto spin = spin_at(mechanism_, at_);
  WheelAngles a{toe_of(spin, ground_), camber_of(spin, ground_), {}};
  if (applies(Reading::caster, axle_->layout))
    a.caster_rad = read(Reading::caster, At<double>(axle_->layout, mechanism_, at_, ground_));
  return a;
}

WheelAngles SetCorner::angles() const {
  auto a = by_joints();
  a.toe_rad += off_.toe_rad;
  a.camber_rad += off_.camber_rad;
  if (a.caster_rad) *a.caster_rad += *off_.caster_rad;
  return a;
}

WheelSetting SetCorner::less_off(const WheelSetting& setting) const {
  auto s = setting;
  if (s.toe_rad) *s.toe_rad -= off_.toe_rad;
  if (s.camber_rad) *s.camber_rad -= off_.camber_rad;
  return s;
}

bool SetCorner::stand_as_read(const AnglesRead& read) {
  WheelSetting setting;
  if (axle_->toe_adjuster) setting.toe_rad = read.toe_rad;
  if (axle_->camber_adjuster) setting.camber_rad = read.camber_rad;
  off_ = {0.0, 0.0, 0.0};
  const auto before = *this;
  bool stands = true;
  if (read.caster_rad && axle_->caster_adjuster) {
    const auto by = caster_needs(setting, *read.caster_rad);
    stands = by && turn(set_by(*axle_, AlignWhat::caster)->adjuster, *by);
  }
  if (stands && (setting.toe_rad || setting.camber_rad)) stands = stand(setting);
  if (!stands) *this = before;
  const auto now = by_joints();
  off_ = {read.toe_rad.value_or(now.toe_rad) - now.toe_rad,
          read.camber_rad.value_or(now.camber_rad) - now.camber_rad,
          read.caster_rad && now.caster_rad ? *read.caster_rad - *now.caster_rad : 0.0};
  return stands;
}

bool SetCorner::stand(const WheelSetting& setting) {
  auto set = set_wheel(*axle_, mechanism_, at_, ground_, setting);
  if (!set.value) return false;
  mechanism_ = std::move(set.value->mechanism);
  at_ = set.value->at;
  return true;
}

bool SetCorner::turn(const Adjuster& adjuster, double by_mm) {
  mechanism_ = adjusted(axle_->layout, mechanism_, adjuster, by_mm);
  at_ = solve(mechanism_, at_.drive, at_.pose, order_at(mechanism_, at_.pose, at_.drive.by));
  return at_.found;
}

std::optional<std::array<double, 2>> SetCorner::needs(const WheelSetting& setting) const {
  const auto set = set_wheel(*axle_, mechanism_, at_, ground_, less_off(setting));
  if (!set.value) return {};
  return std::array<double, 2>{set.value->toe_rod_mm, set.value->camber_by_mm};
}

std::optional<double> SetCorner::caster_needs(const WheelSetting& setting, double caster) const {
  const auto by_what = set_by(*axle_, AlignWhat::caster);
  if (!by_what) return {};
  const auto off = [&](double by) -> std::optional<double> {
    SetCorner c = *this;
    if (!c.turn(by_what->adjuster, by)) return {};
    if ((setting.toe_rad || setting.camber_rad) && !c.stand(less_off(setting))) return {};
    const auto g = c.angles();
    return g.caster_rad ? std::optional(*g.caster_rad - caster) : std::nullopt;
  };
  double by = 0.0;
  for (int round = 0; round < most_rounds; ++round) {
    const auto here = off(by), there = off(by + caster_step_mm);
    if (!here || !there) return {};
    if (std::fabs(*here) < settled_rad) return by;
    const double slope = (*there - *here) / caster_step_mm;
    if (std::fabs(slope) < moves_nothing) return {};
    by -= std::clamp(*here / slope, -10.0, 10.0);
  }
  return {};
}

}  // namespace trammel
