// The rows of a mechanism at a pose: how far each is from being kept, and how it changes with the
// upright's motion. Position, velocity, force and derivatives all come from here.
//
// A motion of the upright is six numbers: the velocity of the wheel centre, then the angular
// velocity, both in body axes.
#pragma once

#include <array>
#include <optional>

#include "base/linear.h"
#include "travel/mechanism.h"

namespace trammel {

template <class T>
struct Pose {
  Vec3<T> centre_mm;  // of the wheel
  Turn<T> turn;       // of the upright against as measured
};

// The upright's motion per unit of something: of the wheel centre, and turning.
template <class T>
struct Motion {
  Vec3<T> velocity, turning;
};

template <class T>
Motion<T> motion_of(const Six<T>& x) {
  return {{x[0], x[1], x[2]}, {x[3], x[4], x[5]}};
}

// A mechanism with its upright put at a pose.
template <class T>
class Placed {
 public:
  Placed(const Mechanism<T>& mechanism, const Pose<T>& pose, T rack_mm)
      : m_(mechanism), centre_(pose.centre_mm), turn_(matrix(pose.turn)), rack_(rack_mm) {
    if (m_.arms_carry) {
      arms_.emplace();
      for (std::size_t i = 0; i < m_.arm.size() && i < arms_->size(); ++i) place_arm(i);
    }
  }

  const Vec3<T>& centre() const { return centre_; }
  const Mat3<T>& turn() const { return turn_; }

  Vec3<T> position(const Anchor<T>& a) const {
    switch (a.on.on) {
      case Carrier::body:
        return a.at;
      case Carrier::rack:
        return {a.at.x, a.at.y + rack_, a.at.z};
      case Carrier::upright:
        return centre_ + turn_ * a.at;
      case Carrier::arm:
        break;
    }
    const auto& arm = (*arms_)[static_cast<std::size_t>(a.on.arm)];
    return arm.origin + a.at.x * arm.along + a.at.y * arm.out + a.at.z * arm.up;
  }

  // Adds to `row` how g · position(a) changes with the upright's motion.
  void pull(Six<T>& row, const Anchor<T>& a, const Vec3<T>& g) const {
    if (a.on.on == Carrier::upright) {
      add(row, g, turn_ * a.at);
    } else if (a.on.on == Carrier::arm) {
      const auto& arm = (*arms_)[static_cast<std::size_t>(a.on.arm)];
      const T by_turn = (a.at.y * dot(arm.up, g) - a.at.z * dot(arm.out, g)) * arm.inverse_reach;
      add(row, by_turn * arm.up, arm.ball);
    }
  }

  // A joint's velocity when the upright moves.
  Vec3<T> velocity(const Anchor<T>& a, const Motion<T>& motion) const {
    if (a.on.on == Carrier::upright) return motion.velocity + cross(motion.turning, turn_ * a.at);
    if (a.on.on != Carrier::arm) return {};
    const auto& arm = (*arms_)[static_cast<std::size_t>(a.on.arm)];
    return velocity_on_arm(a, motion.velocity + cross(motion.turning, arm.ball));
  }
  // The same for a joint on an arm whose ball joint moves.
  Vec3<T> velocity_on_arm(const Anchor<T>& a, const Vec3<T>& ball_velocity) const {
    const auto& arm = (*arms_)[static_cast<std::size_t>(a.on.arm)];
    const T rate = dot(arm.up, ball_velocity) * arm.inverse_reach;
    return rate * (a.at.y * arm.up - a.at.z * arm.out);
  }

  // A direction fixed to what carries a joint (in that carrier's axes), as it stands now.
  Vec3<T> direction(Standing carrier, const Vec3<T>& d) const {
    if (carrier.on == Carrier::upright) return turn_ * d;
    if (carrier.on != Carrier::arm) return d;
    const auto& arm = (*arms_)[static_cast<std::size_t>(carrier.arm)];
    return d.x * arm.along + d.y * arm.out + d.z * arm.up;
  }

 private:
  struct PlacedArm {
    Vec3<T> origin, along, out, up, ball;
    T inverse_reach{};
  };

  static void add(Six<T>& row, const Vec3<T>& g, const Vec3<T>& lever) {
    const Vec3<T> moment = cross(lever, g);
    row[0] += g.x;
    row[1] += g.y;
    row[2] += g.z;
    row[3] += moment.x;
    row[4] += moment.y;
    row[5] += moment.z;
  }

  void place_arm(std::size_t i) {
    const auto& hinge = m_.arm[i];
    auto& arm = (*arms_)[i];
    arm.origin = hinge.origin;
    arm.along = hinge.axis;
    arm.ball = turn_ * hinge.ball;
    const Vec3<T> reach = centre_ + arm.ball - hinge.origin;
    const Vec3<T> square = reach - dot(reach, hinge.axis) * hinge.axis;
    arm.inverse_reach = T(1.0) / length(square);
    arm.out = arm.inverse_reach * square;
    arm.up = cross(arm.along, arm.out);
  }

  const Mechanism<T>& m_;
  Vec3<T> centre_;
  Mat3<T> turn_;
  T rack_;
  std::optional<std::array<PlacedArm, 2>> arms_;  // only where something stands on an arm
};

// How far a row is from being kept, in mm, and its change with motion.
template <class T>
struct RowValue {
  T off_mm;
  Six<T> change;
};

// Written in place: a row copied by halves would make the elimination wait for it.
template <class T>
void set_change(Six<T>& change, const Vec3<T>& pull, const Vec3<T>& moment) {
  change[0] = pull.x;
  change[1] = pull.y;
  change[2] = pull.z;
  change[3] = moment.x;
  change[4] = moment.y;
  change[5] = moment.z;
}

template <class T>
void value_of(const Placed<T>& placed, const DistanceRow<T>& row, T& off_mm, Six<T>& change) {
  // The outer joint is always on the upright.
  const Vec3<T> lever = placed.turn() * row.outer.at;
  const Vec3<T> span = placed.centre() + lever - placed.position(row.inner);
  const T inverse = T(1.0) / row.length_mm;
  const Vec3<T> g = inverse * span;
  off_mm = T(0.5) * (dot(span, g) - row.length_mm);
  set_change(change, g, cross(lever, g));
  if (row.inner.on.on == Carrier::arm) placed.pull(change, row.inner, -g);
}

template <class T>
void value_of(const Placed<T>& placed, const PlaneRow<T>& row, T& off_mm, Six<T>& change) {
  Vec3<T> g, moment;
  if (row.plane_on_upright) {
    const Vec3<T> normal = placed.turn() * row.normal;
    const Vec3<T> out = row.point - placed.centre();
    off_mm = dot(normal, out) - dot(row.normal, row.through);
    moment = cross(normal, out);
    g = -normal;
  } else {
    const Vec3<T> lever = placed.turn() * row.point;
    off_mm = dot(row.normal, placed.centre() + lever - row.through);
    moment = cross(lever, row.normal);
    g = row.normal;
  }
  set_change(change, g, moment);
}

template <class T, class Row>
RowValue<T> value_of(const Placed<T>& placed, const Row& row) {
  RowValue<T> r;
  value_of(placed, row, r.off_mm, r.change);
  return r;
}

// How a row's `off_mm` changes with rack travel.
template <class T>
T change_with_rack(const Placed<T>& placed, const DistanceRow<T>& row) {
  if (row.inner.on.on != Carrier::rack) return T(0.0);
  return -(placed.position(row.outer).y - placed.position(row.inner).y) / row.length_mm;
}

// The current length of a spring, damper or strut, and its change with motion.
template <class T>
RowValue<T> length_of(const Placed<T>& placed, const Line<T>& line) {
  const Vec3<T> span = placed.position(line.foot) - placed.position(line.top);
  RowValue<T> r{length(span), {}};
  const Vec3<T> g = (T(1.0) / r.off_mm) * span;
  placed.pull(r.change, line.foot, g);
  placed.pull(r.change, line.top, -g);
  return r;
}

template <class T>
T along(const Six<T>& row, const Motion<T>& m) {
  return row[0] * m.velocity.x + row[1] * m.velocity.y + row[2] * m.velocity.z +
         row[3] * m.turning.x + row[4] * m.turning.y + row[5] * m.turning.z;
}

}  // namespace trammel
