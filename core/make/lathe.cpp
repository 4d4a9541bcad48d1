#include "make/lathe.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/quantity.h"

namespace trammel {
namespace {

constexpr double hundredth_mm = 0.01;                                    // what a dial shows
constexpr double dial_ranges_mm[] = {0.8, 1, 3, 5, 10, 20, 25, 30, 50};  // common practice
constexpr double roundness_told_within_mm = 0.5;                         // 0.01 mm on a disc of 25
constexpr double spare_at_each_end_mm = 1.0;

// How far the centre lies towards the first jaw of a pair.
double towards(double first_mm, double second_mm, TouchedSurface surface) {
  // A bore that comes nearer at a jaw's side lets the plunger out there.
  const double half = 0.5 * (first_mm - second_mm);
  return surface == TouchedSurface::outside ? half : -half;
}

JawMove move(int first, int second, double by_mm) {
  // The work moves towards the jaw that is slackened.
  JawMove m;
  m.slacken = by_mm >= 0.0 ? first : second;
  m.tighten = by_mm >= 0.0 ? second : first;
  m.by_mm = std::abs(by_mm);
  m.words = fmt::format("slacken jaw {}, tighten jaw {}: {:.2f} mm, the dial moves by as much",
                        m.slacken, m.tighten, m.by_mm);
  return m;
}

}  // namespace

double offset_from_tir_mm(double tir_mm) { return 0.5 * std::abs(tir_mm); }
double tir_from_offset_mm(double offset_mm) { return 2.0 * std::abs(offset_mm); }

Answer<JawMove> jaw_pair(int jaw, double at_it_mm, double opposite_mm, TouchedSurface surface,
                         double wanted_mm) {
  if (jaw != 1 && jaw != 2)
    return {{}, fmt::format("a pair begins with jaw 1 or 2, not with {}", jaw)};
  for (const double x : {at_it_mm, opposite_mm, wanted_mm})
    if (!std::isfinite(x)) return {{}, "a reading of the dial is missing"};
  return {move(jaw, jaw + 2, wanted_mm - towards(at_it_mm, opposite_mm, surface)), {}};
}

Answer<ChuckSetting> four_jaw(const std::array<double, 4>& r, TouchedSurface surface,
                              double wanted_mm, double good_mm) {
  for (const double x : r)
    if (!std::isfinite(x))
      return {{}, "a reading of the dial is missing: it takes one at each jaw"};
  if (!std::isfinite(wanted_mm)) return {{}, "the offset that is wanted is no number"};
  if (!std::isfinite(good_mm) || good_mm < 0.0)
    return {{},
            fmt::format("an offset of {} mm cannot be good enough, expected zero or more",
                        shortest(good_mm))};
  ChuckSetting c;
  c.towards_1_mm = towards(r[0], r[2], surface);
  c.towards_2_mm = towards(r[1], r[3], surface);
  c.offset_mm = std::hypot(c.towards_1_mm, c.towards_2_mm);
  c.tir_mm = tir_from_offset_mm(c.offset_mm);
  c.out_of_round_mm = 0.5 * std::abs(r[0] + r[2] - r[1] - r[3]);
  const double by_1 = wanted_mm - c.towards_1_mm, by_2 = -c.towards_2_mm;
  if (std::abs(by_1) > good_mm) c.moves.push_back(move(1, 3, by_1));
  if (std::abs(by_2) > good_mm) c.moves.push_back(move(2, 4, by_2));
  c.words = fmt::format("off centre by {:.2f} mm (swing {:.2f})", c.offset_mm, c.tir_mm);
  if (c.moves.empty()) c.words += ", good";
  for (const auto& m : c.moves) c.words += "; " + m.words;
  // Far off centre the pairs of a round disc differ too, by offset² over its diameter.
  if (c.offset_mm <= roundness_told_within_mm &&
      c.out_of_round_mm > std::max(good_mm, hundredth_mm))
    c.words += fmt::format(
        "; the pairs differ by {:.2f} mm: it is not round or not square there, no jaw takes that "
        "out. Read again on a turned face",
        c.out_of_round_mm);
  return {std::move(c), {}};
}

Answer<EccentricSetUp> eccentric_set_up(double offset_mm, double tolerance_mm) {
  if (!std::isfinite(offset_mm) || offset_mm <= 0.0)
    return {{}, fmt::format("an offset of {} mm, expected more than zero", shortest(offset_mm))};
  if (!std::isfinite(tolerance_mm) || tolerance_mm <= 0.0 || tolerance_mm >= offset_mm)
    return {{},
            fmt::format("a tolerance of {} mm on an offset of {} mm, expected more than zero and "
                        "less than the offset",
                        shortest(tolerance_mm), shortest(offset_mm))};
  EccentricSetUp e;
  e.offset_mm = offset_mm;
  e.tir_mm = tir_from_offset_mm(offset_mm);
  e.tir_tolerance_mm = tir_from_offset_mm(tolerance_mm);
  const double needed = e.tir_mm + 2.0 * spare_at_each_end_mm;
  const auto* dial = std::find_if(std::begin(dial_ranges_mm), std::end(dial_ranges_mm),
                                  [&](double range) { return range >= needed; });
  if (dial == std::end(dial_ranges_mm))
    return {{},
            fmt::format("a swing of {:.2f} mm is more than a dial shows ({:.0f} mm at most, 1 mm "
                        "spare at each end): zero it on a gauge block of {:.2f} mm laid on the "
                        "low side, then bring the high side to the same reading",
                        e.tir_mm, std::end(dial_ranges_mm)[-1], e.tir_mm)};
  e.dial_range_mm = *dial;
  e.words = fmt::format(
      "{:.2f} mm off centre: set a swing of {:.2f} ± {:.2f} mm between jaws 1 and 3 and none "
      "between "
      "2 and 4; a dial of {} mm shows it. Off centre the work is out of balance: turn slowly, and "
      "turn the chuck by hand first",
      e.offset_mm, e.tir_mm, e.tir_tolerance_mm, shortest(e.dial_range_mm));
  return {std::move(e), {}};
}

}  // namespace trammel
