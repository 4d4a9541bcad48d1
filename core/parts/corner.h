// One corner with parts fitted: the joints moved, the adjusters set, the curve over the window.
#pragma once

#include <array>
#include <optional>
#include <vector>

#include "base/answer.h"
#include "file/wishes.h"
#include "travel/adjust.h"
#include "travel/ride.h"

namespace trammel {

// A corner at ride height before anything is fitted, and how it is to be set afterwards.
struct CornerBefore {
  const Axle* axle = nullptr;
  Side side = Side::left;
  Mechanism<double> mechanism;
  Solution<double> at;
  Ground<double> ground;
  WheelSetting setting;  // what the adjusters are set to once the parts are in
};

CornerBefore corner_before(const Ride& ride, AxleName axle, Side side, const Target& target);

// A corner with parts: at the same wheel height, adjusters set. `set` says whether it has a
// position and the adjusters reach.
template <class T>
using CornerWithParts = SetWheel<T>;
using CornerFitted = CornerWithParts<double>;

template <class T>
struct PartMove {
  int point = -1;  // in the layout
  Vec3<T> by_mm;   // corner axes as measured
};

template <class T>
CornerWithParts<T> fit_parts(const Axle& axle, const Mechanism<T>& mechanism, const Solution<T>& at,
                             const Ground<T>& ground, const WheelSetting& setting,
                             const std::vector<PartMove<T>>& moves);

// Why a wheel cannot have a set of parts. Its words: parts/reasons.h.
struct NotPossible {
  enum class Of {
    no_position,          // at ride height the members do not reach
    adjusters_too_short,  // no length of the adjusters gives what the wheel is to be set to
    locks,                // the mechanism, within `window_mm`
  };
  Of of{};
  AxleName axle = AxleName::front;
  std::array<double, 2> window_mm{};  // of travel
  std::optional<Side> side{};         // where the wheels are told apart
};

// Lengths stay, the joints move, the mechanism is solved again at the same wheel height, then toe
// and camber are set together. No answer where that has no position, or the adjusters do not reach.
Answer<CornerFitted, NotPossible> fitted(const CornerBefore& before,
                                         const std::vector<PartMove<double>>& moves);

// What counts of a curve over the window of travel.
struct Curve {
  double toe_change_max_rad = 0.0;  // largest |toe(travel) - toe(0)|, the true extremum
  double toe_change_rms_rad = 0.0;  // over 1 mm steps with both ends
};

// No answer where the mechanism locks within the window.
Answer<Curve, NotPossible> curve_over(const CornerBefore& before, const CornerFitted& corner,
                                      const std::array<double, 2>& window_mm);
// The same from positions some millimetres apart, for a search: between two of them the curve is
// the cubic through both values and slopes. The RMS is that of the positions.
Answer<Curve, NotPossible> coarse_curve_over(const CornerBefore& before, const CornerFitted& corner,
                                             const std::array<double, 2>& window_mm);

// Positions at the given travels (from ride height, any order), each found from its neighbour
// nearer to ride height. Shorter than asked where the mechanism locks.
std::vector<Solution<double>> positions_over(const CornerFitted& corner,
                                             const std::vector<double>& travels_mm);

}  // namespace trammel
