#include "make/column.h"

#include <cmath>
#include <numbers>

namespace trammel {

Answer<ColumnStrength, NoSense> column_strength(const Column& c) {
  for (const auto& [what, mm] : {std::pair{"the rod's outside", c.outside_mm},
                                 {"the rod's wall", c.wall_mm},
                                 {"the rod's length", c.length_mm}})
    if (!std::isfinite(mm) || mm <= 0.0) return {{}, {NoSense::Of::not_above_zero, what, mm}};
  const auto metal = in_section(c.material, std::min(c.wall_mm, c.outside_mm));
  const double bore = std::max(0.0, c.outside_mm - 2.0 * c.wall_mm);
  const auto square = [](double x) { return x * x; };
  ColumnStrength s;
  s.area_mm2 = 0.25 * std::numbers::pi * (square(c.outside_mm) - square(bore));
  s.slenderness = c.length_mm / (0.25 * std::sqrt(square(c.outside_mm) + square(bore)));
  const double euler_mpa = square(std::numbers::pi / s.slenderness) * metal.youngs_modulus_mpa;
  s.slender = euler_mpa <= 0.5 * metal.yield_mpa;
  s.buckles_n =
      s.area_mm2 *
      (s.slender ? euler_mpa : metal.yield_mpa * (1.0 - 0.25 * metal.yield_mpa / euler_mpa));
  return {s, {}};
}

}  // namespace trammel
