#include "settle/drop_link.h"

#include <algorithm>
#include <cmath>

namespace trammel {
namespace {

// A lever about its bar: where it is as measured, square to the axis (`out`), a quarter turn on
// (`on`), the middle it turns about, and where the link's other joint is now.
struct Lever {
  Vec3<double> out, on, middle, link;
  Vec3<double> turned(double t) const { return std::cos(t) * out + std::sin(t) * on; }
};

Lever lever_of(const At<double>& at) {
  const auto& bar = *at.mechanism.bar;
  const double along_axis = dot(bar.lever, bar.axis);
  const Vec3<double> out = bar.lever - along_axis * bar.axis;
  return {out, cross(bar.axis, out), bar.pivot + along_axis * bar.axis,
          at.placed.position(bar.link)};
}

}  // namespace

std::optional<LinkAt> link_at(const At<double>& at) {
  if (!at.mechanism.bar) return {};
  const auto l = lever_of(at);
  LinkAt r;
  r.turn_rad = read(Reading::bar_turn, at);
  r.length_mm = at.mechanism.bar->link_length_mm;
  const Vec3<double> lever = l.turned(r.turn_rad);
  const Vec3<double> link = l.link - (l.middle + lever);
  r.angle_rad = std::acos(std::clamp(-dot(unit(lever), unit(link)), -1.0, 1.0));
  // Square: (middle + lever - link's end) · lever = 0, of the two turns the nearer.
  const Vec3<double> d = l.middle - l.link;
  const double a = dot(d, l.out), b = dot(d, l.on), c = -dot(l.out, l.out);
  if (const double size = std::hypot(a, b); size > std::fabs(c)) {
    const double mean = std::atan2(b, a), off = std::acos(c / size);
    const auto away = [&](double t) {
      return std::fabs(std::remainder(t - r.turn_rad, 2.0 * std::numbers::pi));
    };
    const double turn = away(mean + off) < away(mean - off) ? mean + off : mean - off;
    r.square_mm = length(d + l.turned(turn));
  }
  return r;
}

std::optional<double> link_length_mm(const At<double>& at, double turn_rad) {
  if (!at.mechanism.bar) return {};
  const auto l = lever_of(at);
  return length(l.middle - l.link + l.turned(turn_rad));
}

}  // namespace trammel
