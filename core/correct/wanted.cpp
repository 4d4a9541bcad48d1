#include "correct/wanted.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "base/quantity.h"
#include "car/by.h"
#include "travel/tell.h"

namespace trammel {
namespace {

// Road and hill-climb use, peak to peak over +-30 mm (common practice, no single authority).
constexpr double usual_toe_change_rad = 0.12 * degree_rad;
constexpr double least_half_mm = 1.0, least_half_rad = 0.05 * degree_rad;  // of a target's range

Tolerance tolerance_of(const std::optional<std::array<double, 2>>& range, double least_half) {
  if (!range) return {0.0, std::numeric_limits<double>::infinity()};
  return {0.5 * ((*range)[0] + (*range)[1]),
          std::max(least_half, 0.5 * ((*range)[1] - (*range)[0]))};
}

double share_of(const Tolerance& t, double value) { return std::fabs(value - t.middle) / t.half; }

}  // namespace

Wanted wanted_of(const Target& t) {
  Wanted w{};
  w.window_mm = t.window_mm.value_or(usual_window_mm);
  w.toe_change_rad = t.toe_change_rad.value_or(usual_toe_change_rad);
  w.toe_change_is_usual = !t.toe_change_rad;
  w.roll_centre_mm = t.roll_centre_mm;
  w.camber_rad = t.camber_rad;
  return w;
}

Tolerance toe_change_tolerance(const Wanted& wanted) { return {0.0, wanted.toe_change_rad}; }
Tolerance roll_centre_tolerance(const Wanted& wanted) {
  return tolerance_of(wanted.roll_centre_mm, least_half_mm);
}
Tolerance camber_tolerance(const Wanted& wanted) {
  return tolerance_of(wanted.camber_rad, least_half_rad);
}

double Shares::largest() const {
  return std::max({toe_change.left, toe_change.right, camber.left, camber.right, roll_centre});
}
double Shares::sum() const {
  return toe_change.left + toe_change.right + camber.left + camber.right + roll_centre;
}

Shares shares_used(const Wanted& wanted, const BySide<double>& toe_change_max_rad,
                   double roll_centre_height_mm, const BySide<double>& camber_rad) {
  Shares s;
  const auto toe = toe_change_tolerance(wanted), camber = camber_tolerance(wanted);
  for (const Side side : each_side) {
    s.toe_change[side] = share_of(toe, toe_change_max_rad[side]);
    s.camber[side] = share_of(camber, camber_rad[side]);
  }
  s.roll_centre = share_of(roll_centre_tolerance(wanted), roll_centre_height_mm);
  return s;
}

}  // namespace trammel
