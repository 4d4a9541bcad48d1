// A corner built a second time in Simbody, a general multibody engine, from the same joints.
//
// Nothing but the car's numbers is shared with the core: here an arm is a body on a pin with a ball
// joint at its end, the upright has six free coordinates, and velocities come from the engine's own
// Jacobian.
#pragma once

// Debian builds the library with its assertions, and its classes are larger with them.
#pragma push_macro("NDEBUG")
#undef NDEBUG
// Its index types compare with every kind of integer, since C++20 also the other way round, and two
// of them with each other in too many ways. This way is a better match than all those.
namespace SimTK {
template <class Index>
requires requires(const Index& i) { i.isValidExtended(); }
bool operator==(const Index& a, const Index& b) {
  return static_cast<int>(a) == static_cast<int>(b);
}
}  // namespace SimTK
#include <Simbody.h>
#pragma pop_macro("NDEBUG")
#include <algorithm>
#include <cassert>
#include <cmath>
#include <vector>

#include "car/layout.h"

namespace trammel::testing {

// The frames of all bodies stand parallel to the ground's as measured; lengths are in mm.
class SimbodyCorner {
 public:
  // Every position is iterated until its joints are kept within `asked_mm`.
  SimbodyCorner(const Layout& layout, const Numbers<double>& numbers, double asked_mm)
      : numbers_(numbers),
        solid_(SimTK::MassProperties(1.0, SimTK::Vec3(0), SimTK::Inertia(1.0))),
        options_(asked_mm) {
    using namespace SimTK;
    options_.setOption(ProjectOptions::DontThrow);  // judged by error_mm
    options_.setOption(ProjectOptions::UseInfinityNorm);
    options_.setOption(ProjectOptions::ForceFullNewton);
    const double c = std::cos(numbers.camber_rad), s = std::sin(numbers.camber_rad);
    spin_ = {std::sin(numbers.toe_rad) * c, std::cos(numbers.toe_rad) * c, -s};
    radius_mm_ = at(0)[2] / c;

    MobilizedBody& ground = matter_.updGround();
    lift_ = slider(ZAxis);
    rack_ = slider(YAxis);
    if (layout.swing) {
      upright_ = hinged(layout.swing->pivot_inner, layout.swing->pivot_outer);
      upright_origin_ = at(layout.swing->pivot_inner);
    } else {
      upright_ = MobilizedBody::Free(ground, Transform(at(0)), solid_, Transform());
      upright_origin_ = at(0);
    }
    held_ = Constraint::PointInPlane(lift_, UnitVec3(ZAxis), at(0)[2], upright_, on_upright(0));
    auto& arms = arms_;
    for (const auto& arm : layout.arms) {
      arms.push_back(hinged(arm.body_front, arm.body_rear));
      arm_origins_.push_back(at(arm.body_front));
      balls_.push_back(Constraint::Ball(arms.back(), at(arm.upright) - at(arm.body_front), upright_,
                                        on_upright(arm.upright)));
    }
    for (const auto& rod : layout.rods) {
      const double length_mm = (at(rod.upright) - at(rod.inner)).norm();
      MobilizedBody body = rod.steered() ? rack_ : ground;
      SimTK::Vec3 inner = at(rod.inner);
      if (rod.inner_on.on == Carrier::arm) {
        const auto i = static_cast<std::size_t>(rod.inner_on.arm);
        body = arms[i];
        inner -= at(layout.arms[i].body_front);
        on_arms_.push_back({rod.inner, body, inner});
      }
      rods_.push_back(Constraint::Rod(body, inner, upright_, on_upright(rod.upright), length_mm));
    }
    if (layout.strut)
      Constraint::PointOnLine(upright_, UnitVec3(at(layout.strut->top) - at(layout.strut->foot)),
                              on_upright(layout.strut->foot), ground, at(layout.strut->top));
    system_.realizeTopology();
    state_ = system_.getDefaultState();
    lift_.lockAt(state_, 0.0);
    rack_.lockAt(state_, 0.0);
    put(0.0, 0.0);
  }

  // The position nearest to the one it stands in: small steps keep it on its branch.
  void put(double travel_mm, double rack_mm) {
    // Locking is dear: only what moves.
    if (travel_mm != travel_mm_) lift_.lockAt(state_, travel_mm);
    if (rack_mm != rack_mm_) rack_.lockAt(state_, rack_mm);
    travel_mm_ = travel_mm;
    rack_mm_ = rack_mm;
    system_.realize(state_, SimTK::Stage::Time);
    system_.prescribeQ(state_);
    system_.realize(state_, SimTK::Stage::Position);
    system_.projectQ(state_, no_estimate_, options_, results_);
    system_.realize(state_, SimTK::Stage::Position);
  }

  // Goes there in steps from where it stands.
  void drive(double travel_mm, double rack_mm, double step_mm) {
    const double from_travel = travel_mm_, from_rack = rack_mm_;
    const double up = travel_mm - from_travel, out = rack_mm - from_rack;
    const int steps =
        static_cast<int>(std::ceil(std::max(std::fabs(up), std::fabs(out)) / step_mm));
    for (int i = 1; i <= steps; ++i) put(from_travel + up * i / steps, from_rack + out * i / steps);
  }

  // How far the joints are from being kept.
  double error_mm() const { return largest(state_.getQErr()); }

  // A point of the layout that the upright carries.
  Vec3<double> on_upright_now(int point) const {
    return here(upright_.findStationLocationInGround(state_, on_upright(point)));
  }
  // A joint that an arm carries.
  struct OnArm {
    int point;
    SimTK::MobilizedBody arm;
    SimTK::Vec3 at;
  };
  const std::vector<OnArm>& on_arms() const { return on_arms_; }
  Vec3<double> on_arm_now(const OnArm& joint) const {
    return here(joint.arm.findStationLocationInGround(state_, joint.at));
  }

  // Any point that an arm carries, from where it was as measured.
  Vec3<double> on_arm_now(std::size_t arm, const Vec3<double>& as_measured) const {
    const SimTK::Vec3 p(as_measured.x, as_measured.y, as_measured.z);
    return here(arms_[arm].findStationLocationInGround(state_, p - arm_origins_[arm]));
  }

  Vec3<double> spin() const { return here(upright_.expressVectorInGroundFrame(state_, spin_)); }

  // Sets the speeds that raise the wheel by one mm per unit of time with the rack held. Returns how
  // far they are from what the joints allow.
  double raise() {
    SimTK::Matrix g;
    state_.updU() = 0.0;
    system_.realize(state_, SimTK::Stage::Velocity);
    matter_.calcG(state_, g);
    const int lift = lift_.getFirstUIndex(state_), rack = rack_.getFirstUIndex(state_);
    std::vector<int> free;
    for (int j = 0; j < g.ncol(); ++j)
      if (j != lift && j != rack) free.push_back(j);
    SimTK::Matrix of_free(g.nrow(), static_cast<int>(free.size()));
    for (int j = 0; j < of_free.ncol(); ++j)
      of_free.updCol(j) = g.col(free[static_cast<std::size_t>(j)]);
    SimTK::Vector x;
    SimTK::FactorQTZ(of_free).solve(SimTK::Vector(-g.col(lift)), x);
    SimTK::Vector u(g.ncol(), 0.0);
    u[lift] = 1.0;
    for (int j = 0; j < x.size(); ++j) u[free[static_cast<std::size_t>(j)]] = x[j];
    state_.updU() = u;
    system_.realize(state_, SimTK::Stage::Velocity);
    return largest(state_.getUErr());
  }

  // With the speeds of `raise`: half track times the slope of the contact point's path.
  double roll_centre_height_mm() const {
    const SimTK::Vec3 n = upright_.expressVectorInGroundFrame(state_, spin_), up(0, 0, 1);
    const SimTK::UnitVec3 down((~n * up) * n - up);  // steepest in the wheel's plane
    const SimTK::Vec3 contact =
        upright_.findStationLocationInGround(state_, on_upright(0)) + radius_mm_ * down;
    const SimTK::Vec3 v = upright_.findStationVelocityInGround(
        state_, upright_.findStationAtGroundPoint(state_, contact));
    return contact[1] * v[1] / v[2];
  }

  // A push at a point of the upright where it stands now, both in ground axes.
  struct Push {
    Vec3<double> at, force;
  };
  // The car at rest under pushes at the upright and a support's thrust at its foot, which stands on
  // the upright or on an arm: what the joints hold follows.
  void load(const std::vector<Push>& pushes, const Vec3<double>& foot, const Vec3<double>& thrust,
            int on_arm) {
    applied_.clearAllBodyForces(state_);
    state_.updU() = 0.0;
    system_.realize(state_, SimTK::Stage::Position);
    const auto push = [&](const SimTK::MobilizedBody& body, const Vec3<double>& where,
                          const Vec3<double>& force) {
      applied_.addForceToBodyPoint(
          state_, body, body.findStationAtGroundPoint(state_, {where.x, where.y, where.z}),
          {force.x, force.y, force.z});
    };
    for (const auto& p : pushes) push(upright_, p.at, p.force);
    push(on_arm < 0 ? upright_ : arms_[static_cast<std::size_t>(on_arm)], foot, thrust);
    system_.realize(state_, SimTK::Stage::Acceleration);
  }
  // What keeps the wheel at its height pushes with this.
  double lift_n() const { return held_.getMultipliersAsVector(state_)[0]; }
  double rod_n(std::size_t i) const { return rods_[i].getRodTension(state_); }
  Vec3<double> ball_on_upright_n(std::size_t i) const {
    const auto forces = balls_[i].getConstrainedBodyForcesAsVector(state_);
    // The engine counts what a joint does as being on the other side of the equation.
    return here(-forces[balls_[i].getNumConstrainedBodies() - 1][1]);
  }

 private:
  static Vec3<double> here(const SimTK::Vec3& v) { return {v[0], v[1], v[2]}; }
  static double largest(const SimTK::Vector& v) { return v.size() ? v.normInf() : 0.0; }

  SimTK::Vec3 at(int point) const {
    const auto& p = numbers_.points_mm[static_cast<std::size_t>(point)];
    return {p.x, p.y, p.z};
  }
  SimTK::Vec3 on_upright(int point) const { return at(point) - upright_origin_; }

  // A body on a pin about the line through two points, with its origin at the first.
  SimTK::MobilizedBody hinged(int from, int to) {
    const SimTK::Rotation about(SimTK::UnitVec3(at(to) - at(from)), SimTK::ZAxis);
    return SimTK::MobilizedBody::Pin(matter_.updGround(), {about, at(from)}, solid_,
                                     SimTK::Transform(about));
  }
  // A body that slides along one axis of the ground: locked where the drive wants it.
  SimTK::MobilizedBody slider(const SimTK::CoordinateAxis& axis) {
    const SimTK::Transform along(SimTK::Rotation(SimTK::UnitVec3(axis), SimTK::XAxis));
    return SimTK::MobilizedBody::Slider(matter_.updGround(), along, solid_, along);
  }

  const Numbers<double> numbers_;
  SimTK::MultibodySystem system_;
  SimTK::SimbodyMatterSubsystem matter_{system_};
  SimTK::GeneralForceSubsystem forces_{system_};
  SimTK::Force::DiscreteForces applied_{forces_, matter_};
  SimTK::Body::Rigid solid_;
  SimTK::MobilizedBody lift_, rack_, upright_;
  std::vector<SimTK::MobilizedBody> arms_;
  std::vector<SimTK::Vec3> arm_origins_;
  SimTK::Constraint::PointInPlane held_;
  std::vector<SimTK::Constraint::Rod> rods_;
  std::vector<SimTK::Constraint::Ball> balls_;
  SimTK::Vec3 upright_origin_{0}, spin_{0};
  double radius_mm_ = 0.0, travel_mm_ = 0.0, rack_mm_ = 0.0;
  std::vector<OnArm> on_arms_;
  SimTK::ProjectOptions options_;
  SimTK::ProjectResults results_;
  SimTK::Vector no_estimate_;
  SimTK::State state_;
};

}  // namespace trammel::testing
