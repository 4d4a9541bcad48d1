#include "make/turned.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "make/part_drawings.h"
#include "stock/bolt_class.h"

namespace trammel {
namespace {

constexpr double washer_bolts = 2.0;      // a plain washer's outside, in bolts (ISO 7089)
constexpr double wall_of_bolt = 0.25;     // common practice
constexpr double sleeve_clearance = 0.1;  // mm, of a sleeve's bore over its bolt
constexpr int rings = 200, spokes = 720;  // of the sum over a face: good to a thousandth

double ring_mm2(double outer, double inner) {
  return 0.25 * std::numbers::pi * std::max(0.0, outer * outer - inner * inner);
}

}  // namespace

double face_round_hole_mm2(const Made& m, double hole_mm, double reach_mm) {
  if (!m.holes) return 0.0;
  const double at = 0.5 * m.holes->circle_mm, out = 0.5 * m.outside_mm;
  const double in = 0.5 * std::max(m.bore_mm.value_or(0.0), m.spigot ? m.spigot->diameter_mm : 0.0);
  const double half_next = std::numbers::pi / m.holes->number;
  const double from = 0.5 * hole_mm, step = (reach_mm - from) / rings,
               turn = 2.0 * std::numbers::pi / spokes;
  if (step <= 0.0) return 0.0;
  double sum = 0.0;
  for (int i = 0; i < rings; ++i)
    for (int k = 0; k < spokes; ++k) {
      const double r = from + (i + 0.5) * step, a = (k + 0.5) * turn;
      const double x = at + r * std::cos(a), y = r * std::sin(a), far = std::hypot(x, y);
      const bool own = m.holes->number == 1 || std::fabs(std::atan2(y, x)) <= half_next;
      if (own && far <= out && far >= in) sum += r * step * turn;
    }
  return sum;
}

TurnedJudged judged_turned(const Made& m) {
  TurnedJudged out;
  const double d = m.bolt.thread.diameter_mm;
  const auto of = in_section(m.material, m.outside_mm);
  const double preload =
      torque_estimate(m.bolt.thread, m.bolt.bolt_class, Lubrication::dry_zinc).preload.high_n;
  const auto pressed = [&](double mm2) {
    Check c{Check::Of::face_pressed, Check::In::mpa, 0.0, of.yield_mpa};
    c.value = mm2 > 0.0 ? preload / mm2 : 0.0;
    c.used = mm2 > 0.0 ? c.value / c.limit : no_way;
    out.checks.push_back(std::move(c));
  };
  const auto wall = [&](Check::Of what, double has) {
    const double needs = wall_of_bolt * d;
    out.checks.push_back(
        {what, Check::In::mm, has, needs, has > 0.0 ? needs / has : no_way, "", true});
  };
  const double reach = 0.5 * washer_bolts * d;
  if (m.kind == MadeKind::disc && m.holes) {
    const double hole = d + hole_clearance_mm, at = 0.5 * m.holes->circle_mm;
    pressed(face_round_hole_mm2(m, hole, reach));
    wall(Check::Of::wall_outside_hole, 0.5 * m.outside_mm - at - 0.5 * hole);
    if (const double in = std::max(m.bore_mm.value_or(0.0), m.spigot ? m.spigot->diameter_mm : 0.0);
        in > 0.0)
      wall(Check::Of::wall_inside_hole, at - 0.5 * hole - 0.5 * in);
    if (m.holes->number > 1)
      wall(Check::Of::wall_between_holes,
           2.0 * at * std::sin(std::numbers::pi / m.holes->number) - hole);
  } else if (const double bore =
                 m.bore_mm.value_or(m.kind == MadeKind::sleeve ? d + sleeve_clearance : 0.0);
             bore >= d) {
    pressed(ring_mm2(std::min(m.outside_mm, 2.0 * reach), bore));
    wall(Check::Of::wall, 0.5 * (m.outside_mm - bore));
  } else {
    out.unjudged.push_back({NotJudged::Of::bolts_pressing});
  }
  if (m.spigot && m.bore_mm)
    wall(Check::Of::wall_of_spigot, 0.5 * (m.spigot->diameter_mm - *m.bore_mm));
  std::stable_sort(out.checks.begin(), out.checks.end(),
                   [](const Check& a, const Check& b) { return a.used > b.used; });
  return out;
}

}  // namespace trammel
