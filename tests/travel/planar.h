// Planar mechanisms as three-dimensional ones: every hinge along x, so that the upright stays in
// its plane and closed forms of the plane hold exactly.
#pragma once

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "base/quantity.h"
#include "travel/readings.h"

namespace trammel::testing {

struct YZ {
  double y, z;
};

class Corner {
 public:
  explicit Corner(YZ centre) {
    layout.points.push_back("wheel.centre");
    numbers.points_mm.push_back({0.0, centre.y, centre.z});
  }
  int point(const Vec3<double>& at, const char* name = "point") {
    layout.points.emplace_back(name);
    numbers.points_mm.push_back(at);
    return static_cast<int>(layout.points.size()) - 1;
  }
  Corner& arm(YZ inner, YZ outer, double x = 0.0) {
    layout.arms.push_back({"arm", point({x + 100.0, inner.y, inner.z}),
                           point({x - 100.0, inner.y, inner.z}), point({x, outer.y, outer.z}), 0});
    return *this;
  }
  Corner& rod(const Vec3<double>& inner, const Vec3<double>& outer, bool steered = false) {
    layout.rods.push_back(
        {"rod", point(inner), point(outer), {steered ? Carrier::rack : Carrier::body, -1}, 0});
    return *this;
  }
  Corner& strut(YZ top, YZ foot) {
    layout.strut = StrutOf{point({0.0, top.y, top.z}), point({0.0, foot.y, foot.z}), 0};
    return *this;
  }
  Corner& swing(const Vec3<double>& inner, const Vec3<double>& outer) {
    layout.swing = SwingOf{"arm", point(inner), point(outer), 0};
    return *this;
  }

  // Readings at a travel, found by `reach` from as measured.
  struct Sample {
    double camber_rad, toe_rad, half_track_mm, roll_centre_mm, bump_steer, camber_gain;
    Solution<double> at;
  };
  Sample sample(double travel_mm) const {
    const auto m = build(layout, numbers);
    const auto r = reach(m, solution_as_measured(m), {travel_mm, 0.0});
    EXPECT_TRUE(r.arrived) << "travel " << travel_mm;
    const At<double> at(layout, m, r.at, {});
    return {read(Reading::camber, at),
            read(Reading::toe, at),
            read(Reading::half_track, at),
            read(Reading::roll_centre_height, at),
            read(Reading::bump_steer, at),
            read(Reading::camber_gain, at),
            r.at};
  }

  Layout layout;
  Numbers<double> numbers;
};

}  // namespace trammel::testing
