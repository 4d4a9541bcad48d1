#include "align/left_by.h"

#include <cmath>

namespace trammel {
namespace {

constexpr double turned_share = 0.05;  // how wrongly a turn is made, and what the joints make of it
constexpr double settles_rad = 0.01 * degree_rad;  // a car rolled and settled anew

}  // namespace

Carried left_by(const AlignmentRows& rows, const SessionFound& found, const Ride& stands) {
  Carried carried;
  for (const AxleName a : {AxleName::front, AxleName::rear}) {
    if (!stands.at(a)) continue;
    for (const Side s : {Side::left, Side::right}) {
      const auto& w = found.at(a).at(s);
      SetCorner corner(stands, a, s);
      corner.stand_as_read(angles_read(w));
      const auto from = corner.angles();
      bool found_there = true;
      for (const auto what : {AlignWhat::caster, AlignWhat::camber, AlignWhat::toe})
        for (const auto& r : rows.rows) {
          if (r.when != found.when || r.set_aside || !r.of_wheel(a, s)) continue;
          const auto& by = what == AlignWhat::toe      ? r.toe_turned_mm
                           : what == AlignWhat::camber ? r.camber_turned_mm
                                                       : r.caster_turned_mm;
          const auto sets = set_by(corner.axle(), what);
          if (!by || !sets) continue;
          found_there = found_there && corner.turn(sets->adjuster, *by);
        }
      if (!found_there) continue;
      const auto to = corner.angles();
      const auto i = 2 * static_cast<std::size_t>(a) + static_cast<std::size_t>(s);
      const auto carry = [&](const std::optional<Estimate>& was, double by) {
        return was ? std::optional(Estimate{
                         was->value + by,
                         std::sqrt(was->sigma * was->sigma + turned_share * turned_share * by * by +
                                   settles_rad * settles_rad)})
                   : std::nullopt;
      };
      carried.toe_rad[i] = carry(w.toe_rad, to.toe_rad - from.toe_rad);
      carried.camber_rad[i] = carry(w.camber_rad, to.camber_rad - from.camber_rad);
    }
  }
  return carried;
}

}  // namespace trammel
