// One corner as a mechanism: joints on their carriers, and lengths that are kept.
//
// A member is lowered to rows of two kinds: a distance between two joints, and a point in a plane
// that belongs to another body. An arm is two distances, a rod one, a strut two planes of the
// upright through the top mount, a swing arm five planes of the body. Five rows leave the upright
// one motion; the drive is the sixth.
//
// Everything here is in left-hand corner axes: x forward, y outboard, z up, as measured. A right
// corner is mirrored on the way in.
#pragma once

#include <array>
#include <optional>
#include <vector>

#include "base/vec.h"
#include "car/layout.h"

namespace trammel {

// Where a joint sits on what carries it. `at` is, for the body and the rack: body axes; for the
// upright: from the wheel centre, in body axes as measured; for an arm: along its hinge, out to its
// ball joint, and square to both.
template <class T>
struct Anchor {
  Standing on;
  Vec3<T> at;
  int point = -1;  // in the layout
};

template <class T>
struct DistanceRow {
  Anchor<T> inner, outer;
  T length_mm;
};

// normal · (point - through) = 0. The plane belongs to the upright and the point to the body, or
// the other way round.
template <class T>
struct PlaneRow {
  bool plane_on_upright = false;
  Vec3<T> normal, through, point;
  int plane_point = -1, point_point = -1;  // layout indexes of `through` and `point`
};

template <class T>
struct ArmHinge {
  Vec3<T> origin, axis;  // on the body
  Vec3<T> ball;          // on the upright
};

template <class T>
struct Line {
  Anchor<T> top, foot;
};

template <class T>
struct Bar {
  Vec3<T> pivot, axis, lever;  // lever: from the pivot to the link's joint, as measured
  Anchor<T> link;
  T link_length_mm;
};

template <class T>
struct Wheel {
  Vec3<T> spin;  // outboard, on the upright
  T radius_mm;   // loaded
};

template <class T>
struct Mechanism {
  Numbers<T> numbers;  // as measured; build and as_measured are inverse
  Vec3<T> centre_mm;   // wheel centre as measured
  Wheel<T> wheel;
  std::vector<DistanceRow<T>> distance;  // arms (front, rear leg), then rods, in the layout's order
  std::vector<PlaneRow<T>> plane;        // strut, then swing arm
  std::vector<ArmHinge<T>> arm;
  std::optional<Line<T>> spring, damper, strut;
  std::optional<Bar<T>> bar;
  bool steered = false;
  bool arms_carry = false;  // some joint stands on an arm

  int row_count() const { return static_cast<int>(distance.size() + plane.size()); }
};

// Numbers in left-hand corner axes; the layout says how they are joined.
template <class T>
Mechanism<T> build(const Layout& layout, const Numbers<T>& numbers);

// The numbers a mechanism was built from.
template <class T>
const Numbers<T>& as_measured(const Mechanism<T>& mechanism) {
  return mechanism.numbers;
}

// A direction in corner axes as measured, in the axes of what carries a joint (an arm's own; the
// same axes for the body and the upright).
template <class T>
Vec3<T> on_carrier(const Mechanism<T>& mechanism, Standing carrier, const Vec3<T>& direction);

// The joint `point` set elsewhere on what carries it, by `by_mm` in corner axes as measured; member
// lengths stay. The upright's joints move with the upright, an arm's with the arm.
template <class T>
Mechanism<T> moved(Mechanism<T> mechanism, int point, const Vec3<T>& by_mm);

// Where the row of a rod stands among the distances.
inline int rod_row(const Layout& layout, int rod) {
  return 2 * static_cast<int>(layout.arms.size()) + rod;
}

}  // namespace trammel
