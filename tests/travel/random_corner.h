// Random corners that could be cars: every layout of all_layouts with each joint moved at random.
#pragma once

#include <rapidcheck.h>

#include <array>
#include <vector>

#include "cars.h"
#include "travel/readings.h"
#include "travel/ride.h"

namespace trammel::testing {

struct RandomCorner {
  const char* name;
  Axle axle;  // its left numbers moved, the right their mirror image
  const Layout& layout() const { return axle.layout; }
  const Numbers<double>& numbers() const { return axle.at(Side::left).numbers; }
};

// Each coordinate moved by up to 15 mm, camber and toe by up to 2 degrees; from RapidCheck's own
// randomness, so that a failing car shrinks towards the plain one.
inline RandomCorner random_corner() {
  const auto which = *rc::gen::inRange<std::size_t>(0, std::size(all_layouts));
  const auto& l = all_layouts[which];
  RandomCorner r{l.name, *car_of(l.text).at(l.axle)};
  auto& left = r.axle.at(Side::left).numbers;
  const auto by = [](int tenths) { return 0.1 * *rc::gen::inRange(-tenths, tenths + 1); };
  for (auto& p : left.points_mm) p = p + Vec3<double>{by(150), by(150), by(150)};
  left.camber_rad += by(20) / 57.3;
  left.toe_rad += by(20) / 57.3;
  r.axle.at(Side::right).numbers = mirrored(left);
  return r;
}

// A travel (mm) within what every one of them can do, and a rack travel where it steers.
inline double random_travel() { return 0.1 * *rc::gen::inRange(-600, 601); }
inline double random_rack(const Layout& layout) {
  return layout.steered() ? 0.1 * *rc::gen::inRange(-300, 301) : 0.0;
}

}  // namespace trammel::testing
