// How what a corner does changes with each of its numbers: exact derivatives through the mechanism.
#pragma once

#include <array>
#include <optional>
#include <span>
#include <vector>

#include "base/dual.h"
#include "car/spread.h"
#include "travel/readings.h"

namespace trammel {

// The numbers of a corner in one row: three coordinates for each point of the layout, then camber,
// toe, and what drives it: travel and rack.
inline int coordinate_number(int point, int axis) { return 3 * point + axis; }
inline int camber_number(const Layout& l) { return 3 * static_cast<int>(l.points.size()); }
inline int toe_number(const Layout& l) { return camber_number(l) + 1; }
inline int travel_number(const Layout& l) { return camber_number(l) + 2; }
inline int rack_number(const Layout& l) { return camber_number(l) + 3; }

// Which of a corner's numbers a number of the car is; none where it is another corner's. Corner
// axes are the left side's: a number of the right side's own runs the other way in y.
struct NumberOfCorner {
  int number = 0;
  double sign = 1.0;
};
std::optional<NumberOfCorner> number_of_corner(const Layout& layout, Side side,
                                               const CarNumber& number);

// A corner solved on Duals, the four slopes being those of four of its numbers.
struct DualCorner {
  Mechanism<Dual> mechanism;
  Solution<Dual> at;
};
// `at` solves the mechanism built from `numbers` (corner axes). At most four numbers. Without
// `rates` only the pose has its slopes, not the motions.
DualCorner dual_corner(const Layout& layout, const Numbers<double>& numbers,
                       const Solution<double>& at, std::span<const int> four, bool rates);

// Every reading's change with each of `wanted` numbers, in their order.
std::vector<std::array<double, reading_count>> sensitivity(const Layout& layout,
                                                           const Numbers<double>& numbers,
                                                           const Solution<double>& at,
                                                           const Ground<double>& ground,
                                                           const std::vector<int>& wanted);

// The points of a layout that hold the upright: what its position depends on.
std::vector<int> holding_points(const Layout& layout);

// A joint that holds a wheel and is known no better than this is a guess, not a survey: nothing is
// promised of a car that stands on one.
inline constexpr double guessed_mm = 15.0;
// Whether any coordinate of the axle's holding joints is.
bool joints_are_guesses(const Layout& layout, const Spread& spread);

template <class T>
Ground<T> ground_as(const Ground<double>& g) {
  const auto v = [](const Vec3<double>& a) { return Vec3<T>{T(a.x), T(a.y), T(a.z)}; };
  return {v(g.forward), v(g.outboard), v(g.up)};
}

}  // namespace trammel
