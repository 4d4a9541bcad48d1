#include "measure/slips.h"

#include <fmt/format.h>

#include <cmath>
#include <numbers>

#include "base/quantity.h"
#include "travel/sensitivity.h"

namespace trammel {
namespace {

constexpr double explains = 2.5;  // of the uncertainty that is left

// "0.30" written for 0°30'.
double minutes_as_decimals(double angle_rad) {
  const double d = std::fabs(angle_rad) / degree_rad;
  const double whole = std::floor(d + 1e-9);
  return std::copysign((whole + (d - whole) * 100.0 / 60.0) * degree_rad, angle_rad);
}

}  // namespace

std::optional<Slip> likely_slip(const Network& network, const std::vector<double>& x,
                                const Car& car, const Survey& survey, const TakenReading& r,
                                double expected, double sigma) {
  std::optional<Slip> best;
  double least = explains;
  // The more a slip assumes, the better it must explain.
  const auto offer = [&](double would_be, double doubt, std::string what) {
    const double off = std::fabs(would_be - expected) / sigma + doubt;
    if (off < least && std::fabs(would_be - r.value) > 2.0 * sigma) {
      least = off;
      best = Slip{std::move(what), would_be};
    }
  };
  if (quantity_kind(r.kind) == Kind::length) {
    const bool tape = r.kind != ReadingKind::offset;
    if (tape)
      offer(r.value - 100.0, 0.0, "a tape started at its 100 mm mark and the 100 not taken off");
    if (tape) offer(r.value + 100.0, 0.3, "100 mm taken off twice, or misread by 100 mm");
    for (const double by : {10.0, -10.0, 20.0, -20.0})
      offer(r.value - by, std::fabs(by) > 10.0 ? 0.6 : 0.2,
            fmt::format("misread by {:.0f} mm", std::fabs(by)));
    offer(r.value * inch_mm, 0.2, "read in inches and written down as millimetres");
    offer(r.value / inch_mm, 0.2, "read in millimetres and written down as inches");
    offer(r.value * 10.0, 0.2, "read in centimetres and written down as millimetres");
    offer(r.value * 1000.0, 0.2, "read in metres and written down as millimetres");
    offer(-r.value, 0.3, "the sign turned round");
  } else {
    offer(minutes_as_decimals(r.value), 0.2, "minutes written as decimals of a degree");
    offer(-r.value, 0.2, "the sign turned round: the level laid the other way");
    const double d = r.value / degree_rad;
    offer(std::atan(d / 100.0), 0.6, "per cent of slope written down as degrees");
  }
  if (r.kind == ReadingKind::back) {
    // Counted from the hub: what stands between it and the baseline is missing.
    TakenReading hub = r;
    hub.spot.index = 0;
    hub.spot.at = Spot::At::centre;
    if (const auto told = network.tell(x, hub))
      offer(r.value + told->value, 0.4, "counted from the wheel's centre instead of the baseline");
  }
  if (r.spot.of == Spot::Of::joint && (r.kind == ReadingKind::back || r.kind == ReadingKind::out)) {
    // It would be right at the mark of another joint, of this side or the other.
    for (const Side side : {Side::left, Side::right})
      for (const int p : holding_points(car.at(r.spot.axle)->layout)) {
        TakenReading there = r;
        there.spot.side = side;
        there.spot.index = p;
        if (p == r.spot.index) continue;
        const auto told = network.tell(x, there);
        if (!told) continue;
        const double doubt = side == r.spot.side ? 0.9 : 1.4;
        const double off = std::fabs(told->value - r.value) / sigma + doubt;
        if (off < least && std::fabs(expected - r.value) > 3.0 * sigma) {
          least = off;
          best = Slip{fmt::format("taken at the mark of {}", spot_words(there.spot, car, survey)),
                      expected};
        }
      }
  }
  return best;
}

}  // namespace trammel
