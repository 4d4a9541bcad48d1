#include "start/proportions.h"

#include <algorithm>
#include <cmath>

namespace trammel {
namespace {

using HolderKind = HeldBy::Kind;

// Places against a wheel: along the car and within the rim by the rim's radius, across the body by
// half the track, what stands clear of both by the hub's height. On a narrow axle the upright keeps
// to its share of the track, so that tall wheels leave room for rods.
class Places {
 public:
  explicit Places(const AxleSizes& s)
      : s_(s),
        r_(s.rim_radius_mm),
        u_(s.hub_mm / 285.0),
        in_(std::min(s.hub_mm / 285.0, s.half_track_mm / 690.0)),
        t_(s.half_track_mm) {}

  // On the body: `along` and `up` in rim radii from the wheel's centre, `share` of half the track.
  Vec3<double> body(double along, double share, double up) const {
    return rounded({s_.x_mm + along * r_, share * t_, s_.hub_mm + up * r_});
  }
  // On the upright: `in` is mm inboard of the wheel's centre on a hub of 285 mm and a usual track.
  Vec3<double> upright(double along, double in, double up) const {
    return rounded({s_.x_mm + along * r_, t_ - in * in_, s_.hub_mm + up * r_});
  }
  // In mm from the wheel's centre on a hub of 285 mm; `in` inboard.
  Vec3<double> clear(double along, double in, double up) const {
    return rounded({s_.x_mm + along * u_, t_ - in * in_, s_.hub_mm + up * u_});
  }

 private:
  static Vec3<double> rounded(const Vec3<double>& p) {
    return {std::round(p.x) + 0.0, std::round(p.y) + 0.0, std::round(p.z) + 0.0};
  }
  AxleSizes s_;
  double r_, u_, in_, t_;
};

HeldBy arm(std::string name, std::string words, const Vec3<double>& front, const Vec3<double>& rear,
           const Vec3<double>& upright) {
  return {HolderKind::arm,
          std::move(name),
          std::move(words),
          {{"body_front", front}, {"body_rear", rear}, {"upright", upright}},
          false,
          ""};
}
HeldBy rod(std::string name, std::string words, const Vec3<double>& body,
           const Vec3<double>& upright) {
  return {HolderKind::rod,
          std::move(name),
          std::move(words),
          {{"body", body}, {"upright", upright}},
          false,
          ""};
}

// The rod that steers, or sets toe: `along` is its distance from the wheel's centre.
HeldBy toe_rod(const SeenAxle& seen, const Places& p, double along, double inner, double inner_up,
               double in, double up) {
  const double a = seen.rod == RodPlace::ahead ? along : -along;
  const bool steers = seen.axle == AxleName::front;
  auto r = rod(steers ? "steering" : "toe", steers ? "steering rod" : "toe rod",
               p.body(a, inner, inner_up), p.upright(1.05 * a, in, up));
  r.steered = steers;
  return r;
}

std::vector<HeldBy> holding(const SeenAxle& seen, const Places& p) {
  const bool front = seen.axle == AxleName::front;
  const double other = seen.rod == RodPlace::ahead ? -1.0 : 1.0;  // the side without the toe rod
  const HeldBy leg{HolderKind::strut,
                   "",
                   "spring leg",
                   {{"top", p.clear(-25, 185, 465)}, {"foot", p.clear(-5, 110, 120)}},
                   false,
                   ""};
  switch (seen.holder) {
    case Holder::strut_arm:
      return {arm("lower", "arm", p.body(0.1, 0.40, -0.64), p.body(-1.3, 0.41, -0.62),
                  p.upright(0.02, 45, -0.55)),
              toe_rod(seen, p, 0.64, 0.42, -0.37, 68, -0.21), leg};
    case Holder::strut_rods:
      return {rod("lateral", "cross rod", p.body(-0.1, 0.40, -0.62), p.upright(-0.06, 45, -0.55)),
              rod("radius", "rod along", p.body(2.0, 0.55, -0.6), p.upright(0.16, 72, -0.57)),
              toe_rod(seen, p, 0.64, 0.42, -0.37, 68, -0.21), leg};
    case Holder::two_arms: {
      std::vector<HeldBy> all{arm("lower", "lower arm", p.body(0.78, 0.45, -0.61),
                                  p.body(-0.73, 0.45, -0.63), p.upright(0.03, 36, -0.59)),
                              arm("upper", "upper arm", p.body(0.5, 0.57, 0.49),
                                  p.body(-0.53, 0.57, 0.47), p.upright(-0.06, 62, 0.64))};
      auto toe = toe_rod(seen, p, 0.6, 0.47, front ? -0.26 : -0.46, 45, front ? -0.17 : -0.45);
      if (seen.toe_rod_on_arm) {
        const double a = seen.rod == RodPlace::ahead ? 1.0 : -1.0;
        toe.on = "arm.lower";
        toe.joints = {{"member", p.body(0.5 * a, 0.6, -0.6)},
                      {"upright", p.upright(0.66 * a, 48, -0.5)}};
      }
      all.push_back(toe);
      return all;
    }
    case Holder::five_rods:
      return {rod("lower_front", "rod 1", p.body(0.89, 0.56, -0.52), p.upright(0.12, 55, -0.64)),
              rod("lower_rear", "rod 2", p.body(-1.03, 0.54, -0.47), p.upright(-0.1, 60, -0.62)),
              rod("upper_front", "rod 3", p.body(0.44, 0.6, 1.18), p.upright(0.1, 95, 1.26)),
              rod("upper_rear", "rod 4", p.body(-0.64, 0.61, 1.16), p.upright(-0.12, 100, 1.23)),
              toe_rod(seen, p, 0.67, 0.55, -0.15, 65, -0.2)};
    case Holder::strut_three_rods: {
      auto toe = toe_rod(seen, p, 0.41, 0.35, -0.41, 39, -0.36);
      toe.joints[1].second.x = toe.joints[0].second.x;
      return {rod("lateral", "cross rod", p.body(0.17 * other, 0.30, -0.4),
                  p.upright(0.17 * other, 42, -0.36)),
              toe,
              rod("trailing", "rod along", p.body(2.1, 0.78, -0.5), p.upright(0.18, 84, -0.44)),
              leg};
    }
    case Holder::swing_arm:
      return {
          {HolderKind::swing,
           "arm",
           "swing arm",
           {{"pivot_inner", p.body(1.65, 0.38, -0.06)}, {"pivot_outer", p.body(2.1, 0.84, -0.1)}},
           false,
           ""}};
    case Holder::twist_beam:
    case Holder::solid_axle:
    case Holder::unknown:
      break;
  }
  return {};
}

std::optional<HeldBy> spring(const SeenAxle& seen, const Places& p, bool has_strut) {
  HeldBy s{HolderKind::spring, "", "spring", {}, false, ""};
  switch (seen.spring) {
    case SpringStands::unknown:
      return {};
    case SpringStands::round_strut:
      return s;
    case SpringStands::lower_arm:
      s.joints =
          has_strut ? std::vector<std::pair<std::string, Vec3<double>>>{{"top",
                                                                         p.body(-0.45, 0.63, 0.35)},
                                                                        {"foot", p.body(-0.42, 0.68,
                                                                                        -0.52)}}
                    : std::vector<std::pair<std::string, Vec3<double>>>{
                          {"top", p.body(-0.06, 0.68, 1.3)}, {"foot", p.body(-0.01, 0.79, -0.5)}};
      s.on = "arm.lower";
      return s;
    case SpringStands::upper_arm:
      s.joints = {{"top", p.body(-0.06, 0.72, 1.75)}, {"foot", p.body(-0.04, 0.78, 0.62)}};
      s.on = "arm.upper";
      return s;
    case SpringStands::upright:
      s.joints = {{"top", p.body(-0.3, 0.72, 1.4)}, {"foot", p.upright(-0.3, 90, -0.3)}};
      return s;
  }
  return {};
}

std::optional<HeldBy> bar(const SeenAxle& seen, const Places& p, bool has_strut) {
  if (seen.bar == BarHangs::none) return {};
  // The bar runs across on the side that the toe rod leaves free.
  const double a = seen.rod == RodPlace::ahead ? -1.0 : 1.0;
  HeldBy b{HolderKind::bar, "", "roll bar", {}, false, ""};
  if (seen.bar == BarHangs::lower_arm) {
    b.joints = {{"pivot", p.body(1.2 * a, 0.78, -0.1)},
                {"link_bar", p.body(0.25 * a, 0.78, -0.05)},
                {"link", p.body(0.22 * a, 0.79, -0.5)}};
    b.on = "arm.lower";
  } else {
    b.joints = {{"pivot", p.upright(1.2 * a, 135, -0.55)},
                {"link_bar", p.upright(0.25 * a, 135, -0.4)},
                {"link", p.upright(0.2 * a, 112, has_strut ? 0.75 : 0.3)}};
    b.on = has_strut ? "strut" : "upright";
  }
  return b;
}

}  // namespace

HeldWheel held_wheel(const SeenAxle& seen, const AxleSizes& sizes) {
  const Places p(sizes);
  HeldWheel w{seen, sizes, {sizes.x_mm, sizes.half_track_mm, sizes.hub_mm}, holding(seen, p)};
  const bool has_strut = w.find(HolderKind::strut, "") != nullptr;
  if (w.members.empty()) return w;
  if (auto s = spring(seen, p, has_strut)) w.members.push_back(std::move(*s));
  if (auto b = bar(seen, p, has_strut)) w.members.push_back(std::move(*b));
  return w;
}

}  // namespace trammel
