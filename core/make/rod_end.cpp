#include "make/rod_end.h"

#include <cmath>
#include <numbers>

namespace trammel {
namespace {

constexpr double jam_nut_diameters = 0.6;

bool above(double x, double least) { return std::isfinite(x) && x > least; }
NoSense not_above_zero(const char* what, double x, Measure measure = Measure::length) {
  return {NoSense::Of::not_above_zero, what, x, 0.0, measure};
}

}  // namespace

Answer<double, NoSense> tilt_limit_rad(double b, double c, double dk) {
  if (!above(c, 0.0)) return {{}, not_above_zero("the housing's width", c)};
  if (!above(b, 0.0)) return {{}, not_above_zero("the ball's width", b)};
  if (!above(dk, 0.0)) return {{}, not_above_zero("the sphere's diameter", dk)};
  if (b >= dk) return {{}, {NoSense::Of::ball_not_of_sphere, "", b, dk}};
  if (c >= b) return {{}, {NoSense::Of::housing_too_wide, "", c, b}};
  return {std::asin(b / dk) - std::asin(c / dk), {}};
}

Answer<RodEndEngagement, NoSense> rod_end_engagement(const Thread& t, MaterialGroup sleeve) {
  if (sleeve == MaterialGroup::cast_iron) return {{}, {NoSense::Of::cast_iron_sleeve}};
  const double diameters = sleeve == MaterialGroup::steel ? 1.5 : 2.0;
  RodEndEngagement e;
  e.needed_mm = diameters * t.diameter_mm;
  e.inspection_hole_mm = e.needed_mm;
  e.jam_nut_mm = jam_nut_diameters * t.diameter_mm;
  return {e, {}};
}

Answer<RatingCheck, NoSense> rating_check(double rating_n, double force_n) {
  if (!above(rating_n, 0.0))
    return {{}, not_above_zero("the static rating", rating_n, Measure::force)};
  if (!above(force_n, 0.0)) return {{}, not_above_zero("the worst force", force_n, Measure::force)};
  RatingCheck r{rating_n, force_n, rating_n / force_n};
  r.passes = r.factor >= rating_wanted;
  return {r, {}};
}

double round_modulus_mm3(double d) { return std::numbers::pi * d * d * d / 32.0; }
double root_modulus_mm3(const Thread& t) { return round_modulus_mm3(basic_diameters(t).root_mm); }

Answer<double, NoSense> shank_bending_mpa(const Thread& t, double force_n, double offset_mm) {
  if (!above(force_n, 0.0)) return {{}, not_above_zero("the force", force_n, Measure::force)};
  if (!std::isfinite(offset_mm)) return {{}, {NoSense::Of::no_number, "the offset", offset_mm}};
  return {force_n * std::abs(offset_mm) / root_modulus_mm3(t), {}};
}

Answer<SingleShearCheck, NoSense> single_shear(const SingleShear& s) {
  const double bolt = s.thread.diameter_mm;
  const double preload = s.preload_n.value_or(preload_n(s.thread, s.bolt_class));
  const double bore = s.spacer_bore_mm == 0.0 ? bolt : s.spacer_bore_mm;
  const double outer = s.spacer_outer_mm;
  if (const auto why = why_not_together(s.thread, s.bolt_class))
    return {{}, {NoSense::Of::not_together, *why}};
  if (!above(preload, 0.0)) return {{}, not_above_zero("the preload", preload, Measure::force)};
  if (!above(s.force_n, 0.0)) return {{}, not_above_zero("the force", s.force_n, Measure::force)};
  if (!above(s.arm_mm, 0.0)) return {{}, not_above_zero("the arm", s.arm_mm)};
  if (!std::isfinite(bore) || bore < bolt)
    return {{}, {NoSense::Of::bore_too_small, "", bore, bolt}};
  if (!above(outer, bore)) return {{}, {NoSense::Of::no_wall, "", outer, bore}};
  SingleShearCheck c;
  c.stack = s;
  c.moment_nmm = s.force_n * s.arm_mm;
  // Ring under preload and bending: the edge opens where the bending stress reaches the pressure.
  c.gap_moment_nmm = preload * (outer * outer + bore * bore) / (8.0 * outer);
  c.factor = c.gap_moment_nmm / c.moment_nmm;
  const auto scatter = torque_estimate(s.thread, s.bolt_class, Lubrication::dry_zinc).preload;
  c.least_factor = c.factor * scatter.low_n / scatter.expected_n;
  c.stays_closed = c.least_factor >= 1.0;
  c.is_short = s.arm_mm <= bolt;
  c.passes = c.is_short && c.least_factor >= closing_wanted;
  c.plain_shank_mpa = c.moment_nmm / round_modulus_mm3(bolt);
  c.root_mpa = c.moment_nmm / root_modulus_mm3(s.thread);
  return {std::move(c), {}};
}

Answer<DoubleShearCheck, NoSense> double_shear(const Thread& t, double force_n, double tab_mm,
                                               double ball_width_mm, double gap_mm) {
  if (!above(force_n, 0.0)) return {{}, not_above_zero("the force", force_n, Measure::force)};
  if (!above(tab_mm, 0.0)) return {{}, not_above_zero("the tab's thickness", tab_mm)};
  if (!above(ball_width_mm, 0.0)) return {{}, not_above_zero("the ball's width", ball_width_mm)};
  if (!std::isfinite(gap_mm) || gap_mm < 0.0)
    return {{}, {NoSense::Of::below_zero, "the gap", gap_mm}};
  DoubleShearCheck c;
  c.moment_nmm = 0.5 * force_n * (0.5 * tab_mm + 0.25 * ball_width_mm + gap_mm);
  c.plain_shank_mpa = c.moment_nmm / round_modulus_mm3(t.diameter_mm);
  return {c, {}};
}

}  // namespace trammel
