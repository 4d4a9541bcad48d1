#include "make/rod_end.h"

#include <fmt/format.h>

#include <cmath>
#include <numbers>

namespace trammel {
namespace {

constexpr double rating_wanted = 4.0;
constexpr double closing_wanted = 2.0;
constexpr double jam_nut_diameters = 0.6;

bool above(double x, double least) { return std::isfinite(x) && x > least; }
std::string not_above_zero(const char* what, double x, const char* unit) {
  return fmt::format("{} is {} {}, expected more than zero", what, shortest(x), unit);
}

}  // namespace

Answer<double> tilt_limit_rad(double b, double c, double dk) {
  if (!above(c, 0.0)) return {{}, not_above_zero("the housing's width", c, "mm")};
  if (!above(b, 0.0)) return {{}, not_above_zero("the ball's width", b, "mm")};
  if (!above(dk, 0.0)) return {{}, not_above_zero("the sphere's diameter", dk, "mm")};
  if (b >= dk)
    return {{},
            fmt::format("a ball {} mm wide is not cut from a sphere of {} mm", shortest(b),
                        shortest(dk))};
  if (c >= b)
    return {{},
            fmt::format("the housing ({} mm) is as wide as the ball ({} mm): it cannot tilt",
                        shortest(c), shortest(b))};
  return {std::asin(b / dk) - std::asin(c / dk), {}};
}

Answer<RodEndEngagement> rod_end_engagement(const Thread& t, MaterialGroup sleeve) {
  if (sleeve == MaterialGroup::cast_iron)
    return {{}, "no sleeve is made of cast iron, expected steel or aluminium"};
  const double diameters = sleeve == MaterialGroup::steel ? 1.5 : 2.0;
  RodEndEngagement e;
  e.needed_mm = diameters * t.diameter_mm;
  e.inspection_hole_mm = e.needed_mm;
  e.jam_nut_mm = jam_nut_diameters * t.diameter_mm;
  e.words = fmt::format(
      "{} into {}: at least {:.1f} mm ({:.1f} d); drill an inspection hole of 2 to 3 mm {:.1f} mm "
      "from the sleeve's end, no wire may pass through it; the jam nut takes {:.1f} mm of thread "
      "more",
      t.name, sleeve == MaterialGroup::steel ? "steel" : "aluminium", e.needed_mm, diameters,
      e.inspection_hole_mm, e.jam_nut_mm);
  return {std::move(e), {}};
}

Answer<RatingCheck> rating_check(double rating_n, double force_n) {
  if (!above(rating_n, 0.0)) return {{}, not_above_zero("the static rating", rating_n, "N")};
  if (!above(force_n, 0.0)) return {{}, not_above_zero("the worst force", force_n, "N")};
  RatingCheck r;
  r.factor = rating_n / force_n;
  r.passes = r.factor >= rating_wanted;
  r.words = fmt::format("rated {:.1f} kN for {:.1f} kN in work: {:.1f} times, {:.0f} wanted{}",
                        rating_n / 1e3, force_n / 1e3, r.factor, rating_wanted,
                        r.passes ? ""
                                 : fmt::format("; take one of {:.0f} kN or more",
                                               std::ceil(rating_wanted * force_n / 1e3)));
  return {std::move(r), {}};
}

double round_modulus_mm3(double d) { return std::numbers::pi * d * d * d / 32.0; }
double root_modulus_mm3(const Thread& t) { return round_modulus_mm3(basic_diameters(t).root_mm); }

Answer<double> shank_bending_mpa(const Thread& t, double force_n, double offset_mm) {
  if (!above(force_n, 0.0)) return {{}, not_above_zero("the force", force_n, "N")};
  if (!std::isfinite(offset_mm))
    return {{}, fmt::format("the offset is {} mm, expected a number", shortest(offset_mm))};
  return {force_n * std::abs(offset_mm) / root_modulus_mm3(t), {}};
}

Answer<SingleShearCheck> single_shear(const SingleShear& s) {
  const double bolt = s.thread.diameter_mm;
  const double preload = s.preload_n.value_or(preload_n(s.thread, s.bolt_class));
  const double bore = s.spacer_bore_mm == 0.0 ? bolt : s.spacer_bore_mm;
  const double outer = s.spacer_outer_mm;
  if (const auto why = why_not_together(s.thread, s.bolt_class)) return {{}, *why};
  if (!above(preload, 0.0)) return {{}, not_above_zero("the preload", preload, "N")};
  if (!above(s.force_n, 0.0)) return {{}, not_above_zero("the force", s.force_n, "N")};
  if (!above(s.arm_mm, 0.0)) return {{}, not_above_zero("the arm", s.arm_mm, "mm")};
  if (!std::isfinite(bore) || bore < bolt)
    return {
        {},
        fmt::format("a bore of {} mm does not take a bolt of {}", shortest(bore), shortest(bolt))};
  if (!above(outer, bore))
    return {{},
            fmt::format("a spacer of {} mm outside with a bore of {} mm has no wall",
                        shortest(outer), shortest(bore))};
  SingleShearCheck c;
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
  const auto of = strength(s.thread, s.bolt_class);
  c.words = fmt::format(
      "{} {}: {:.0f} N·m on a face that opens at {:.0f} N·m, factor {:.1f}, {:.1f} where the "
      "torque "
      "gave 30 % less",
      s.thread.name, name(s.bolt_class), c.moment_nmm / 1e3, c.gap_moment_nmm / 1e3, c.factor,
      c.least_factor);
  if (!c.stays_closed) {
    const char* what = c.plain_shank_mpa >= of.tensile_mpa ? "it breaks"
                       : c.plain_shank_mpa >= of.yield_mpa ? "it bends"
                                                           : "it works loose and tires";
    c.words += fmt::format(
        ": it opens{}, and the bolt has to carry {:.0f} MPa of bending in its plain shank, {:.0f} "
        "in "
        "the thread, against a yield of {:.0f}: {}",
        c.factor < 1.0 ? "" : " with that", c.plain_shank_mpa, c.root_mpa, of.yield_mpa, what);
  } else if (c.least_factor < closing_wanted) {
    c.words += fmt::format(
        ": closed with too little in hand, {:.0f} wanted. "
        "Shorten the stack, hold the ball between two tabs, or turn a shouldered stud in one piece",
        closing_wanted);
  } else {
    c.words += ": stays closed";
  }
  if (!c.is_short)
    c.words += fmt::format(
        ". The ball stands {} mm from its face: single shear is for one diameter, "
        "{} mm, at most",
        shortest(s.arm_mm), shortest(bolt));
  return {std::move(c), {}};
}

Answer<DoubleShearCheck> double_shear(const Thread& t, double force_n, double tab_mm,
                                      double ball_width_mm, double gap_mm) {
  if (!above(force_n, 0.0)) return {{}, not_above_zero("the force", force_n, "N")};
  if (!above(tab_mm, 0.0)) return {{}, not_above_zero("the tab's thickness", tab_mm, "mm")};
  if (!above(ball_width_mm, 0.0))
    return {{}, not_above_zero("the ball's width", ball_width_mm, "mm")};
  if (!std::isfinite(gap_mm) || gap_mm < 0.0)
    return {{}, fmt::format("the gap is {} mm, expected zero or more", shortest(gap_mm))};
  DoubleShearCheck c;
  c.moment_nmm = 0.5 * force_n * (0.5 * tab_mm + 0.25 * ball_width_mm + gap_mm);
  c.plain_shank_mpa = c.moment_nmm / round_modulus_mm3(t.diameter_mm);
  return {c, {}};
}

}  // namespace trammel
