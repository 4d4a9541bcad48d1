#include "travel/mechanism.h"

#include <cmath>

#include "base/dual.h"

namespace trammel {
namespace {

double sine(double x) { return std::sin(x); }
double cosine(double x) { return std::cos(x); }
Lanes sine(Lanes x) {
  Lanes r;
  for (std::size_t i = 0; i < lane_count; ++i) r.set(i, std::sin(x[i]));
  return r;
}
Lanes cosine(Lanes x) {
  Lanes r;
  for (std::size_t i = 0; i < lane_count; ++i) r.set(i, std::cos(x[i]));
  return r;
}

template <class T>
struct ArmAxes {
  Vec3<T> origin, along, out, up;
};

template <class T>
ArmAxes<T> axes_of(const ArmHinge<T>& hinge, const Vec3<T>& ball) {
  const Vec3<T> reach = ball - hinge.origin;
  const Vec3<T> out = unit(reach - dot(reach, hinge.axis) * hinge.axis);
  return {hinge.origin, hinge.axis, out, cross(hinge.axis, out)};
}

// Two unit vectors square to `a` and to each other. The helper axis is chosen by the first lane, so
// that all lanes share it: any choice that is not nearly parallel serves.
template <class T>
std::array<Vec3<T>, 2> across(const Vec3<T>& a) {
  const double x = std::fabs(lane(a.x, 0)), y = std::fabs(lane(a.y, 0)),
               z = std::fabs(lane(a.z, 0));
  const Vec3<double> helper = x <= y && x <= z ? Vec3<double>{1, 0, 0}
                              : y <= z         ? Vec3<double>{0, 1, 0}
                                               : Vec3<double>{0, 0, 1};
  const Vec3<T> first = square_to(a, spread_over<T>(helper));
  return {first, cross(a, first)};
}

template <class T>
class Builder {
 public:
  Builder(const Layout& layout, const Numbers<T>& numbers) : layout_(layout) {
    m_.numbers = numbers;
    m_.centre_mm = numbers.points_mm[0];
  }

  Mechanism<T> built() {
    wheel();
    m_.steered = layout_.steered();
    m_.distance.reserve(2 * layout_.arms.size() + layout_.rods.size());
    m_.arm.reserve(layout_.arms.size());
    m_.plane.reserve(5);
    for (const auto& arm : layout_.arms) {
      m_.distance.push_back(
          held({Carrier::body, -1}, arm.body_front, {Carrier::upright, -1}, arm.upright));
      m_.distance.push_back(
          held({Carrier::body, -1}, arm.body_rear, {Carrier::upright, -1}, arm.upright));
      m_.arm.push_back({at(arm.body_front), unit(at(arm.body_rear) - at(arm.body_front)),
                        at(arm.upright) - m_.centre_mm});
    }
    for (const auto& rod : layout_.rods)
      m_.distance.push_back(held(rod.inner_on, rod.inner, {Carrier::upright, -1}, rod.upright));
    if (layout_.strut) strut(*layout_.strut);
    if (layout_.swing) swing(*layout_.swing);
    if (layout_.spring) m_.spring = line(*layout_.spring);
    if (layout_.damper) m_.damper = line(*layout_.damper);
    if (layout_.bar) bar(*layout_.bar);
    return std::move(m_);
  }

 private:
  const Vec3<T>& at(int point) const {
    return m_.numbers.points_mm[static_cast<std::size_t>(point)];
  }

  Anchor<T> anchor(Standing on, int point) {
    switch (on.on) {
      case Carrier::body:
      case Carrier::rack:
        return {on, at(point), point};
      case Carrier::upright:
        return {on, at(point) - m_.centre_mm, point};
      case Carrier::arm:
        break;
    }
    m_.arms_carry = true;
    const auto& hinge = m_.arm[static_cast<std::size_t>(on.arm)];
    const auto axes = axes_of(hinge, m_.centre_mm + hinge.ball);
    const Vec3<T> r = at(point) - axes.origin;
    return {on, {dot(r, axes.along), dot(r, axes.out), dot(r, axes.up)}, point};
  }

  DistanceRow<T> held(Standing inner_on, int inner, Standing outer_on, int outer) {
    return {anchor(inner_on, inner), anchor(outer_on, outer), length(at(outer) - at(inner))};
  }
  Line<T> line(const LineOf& l) {
    return {anchor({Carrier::body, -1}, l.top), anchor(l.foot_on, l.foot)};
  }

  void wheel() {
    const T c = cosine(m_.numbers.camber_rad), s = sine(m_.numbers.camber_rad);
    m_.wheel.spin = {sine(m_.numbers.toe_rad) * c, cosine(m_.numbers.toe_rad) * c, -s};
    // The contact point lies on the floor as measured, straight below the centre in the wheel
    // plane.
    m_.wheel.radius_mm = m_.centre_mm.z / c;
  }
  void strut(const StrutOf& s) {
    for (const auto& normal : across(unit(at(s.top) - at(s.foot))))
      m_.plane.push_back({true, normal, at(s.foot) - m_.centre_mm, at(s.top), s.foot, s.top});
    m_.strut = line({s.top, s.foot, {Carrier::upright, -1}});
  }
  void swing(const SwingOf& s) {
    const Vec3<T> along = unit(at(s.pivot_outer) - at(s.pivot_inner));
    const auto square = across(along);
    const auto hold = [&](const Vec3<T>& normal, int point) {
      // A part moves the pivot on the body; where the arm has its own is not for sale.
      m_.plane.push_back({false, normal, at(point), at(point) - m_.centre_mm, point, -1});
    };
    for (const auto& normal : {along, square[0], square[1]}) hold(normal, s.pivot_inner);
    for (const auto& normal : square) hold(normal, s.pivot_outer);
  }
  void bar(const BarOf& b) {
    const Vec3<T> axis = spread_over<T>(b.axis);
    m_.bar = Bar<T>{at(b.pivot), axis, at(b.link_bar) - at(b.pivot), anchor(b.link_on, b.link),
                    length(at(b.link) - at(b.link_bar))};
  }

  const Layout& layout_;
  Mechanism<T> m_;
};

}  // namespace

template <class T>
Mechanism<T> build(const Layout& layout, const Numbers<T>& numbers) {
  return Builder<T>(layout, numbers).built();
}

template <class T>
Vec3<T> on_carrier(const Mechanism<T>& m, Standing carrier, const Vec3<T>& direction) {
  if (carrier.on != Carrier::arm) return direction;
  const auto arm = static_cast<std::size_t>(carrier.arm);
  // The ball as measured, whatever has been fitted since: two rows to an arm, the arms first.
  const auto ball = static_cast<std::size_t>(m.distance[2 * arm].outer.point);
  const auto axes = axes_of(m.arm[arm], m.numbers.points_mm[ball]);
  return {dot(direction, axes.along), dot(direction, axes.out), dot(direction, axes.up)};
}

template <class T>
Mechanism<T> moved(Mechanism<T> m, int point, const Vec3<T>& by_mm) {
  const auto shift = [&](Anchor<T>& a) {
    if (a.point == point) a.at = a.at + on_carrier(m, a.on, by_mm);
  };
  for (auto& row : m.distance) {
    shift(row.inner);
    shift(row.outer);
  }
  for (auto& row : m.plane) {
    if (row.plane_point == point) row.through = row.through + by_mm;
    if (row.point_point == point) row.point = row.point + by_mm;
  }
  for (auto* line : {&m.spring, &m.damper, &m.strut})
    if (*line) {
      shift((*line)->top);
      shift((*line)->foot);
    }
  // An arm's own frame follows its joints; what it carries keeps its place on it. They are found
  // again by their rows: two to an arm, the arms first.
  for (std::size_t i = 0; i < m.arm.size(); ++i) {
    const auto& front = m.distance[2 * i];
    m.arm[i] = {front.inner.at, unit(m.distance[2 * i + 1].inner.at - front.inner.at),
                front.outer.at};
  }
  return m;
}

template Mechanism<double> build(const Layout&, const Numbers<double>&);
template Mechanism<Lanes> build(const Layout&, const Numbers<Lanes>&);
template Mechanism<Dual> build(const Layout&, const Numbers<Dual>&);
template Vec3<double> on_carrier(const Mechanism<double>&, Standing, const Vec3<double>&);
template Vec3<Lanes> on_carrier(const Mechanism<Lanes>&, Standing, const Vec3<Lanes>&);
template Vec3<Dual> on_carrier(const Mechanism<Dual>&, Standing, const Vec3<Dual>&);
template Mechanism<double> moved(Mechanism<double>, int, const Vec3<double>&);
template Mechanism<Lanes> moved(Mechanism<Lanes>, int, const Vec3<Lanes>&);
template Mechanism<Dual> moved(Mechanism<Dual>, int, const Vec3<Dual>&);

}  // namespace trammel
