// The car as it is drawn, against the solver's positions, the readings of a sweep, and closed
// forms.
#include "travel/scene.h"
#include "car/joint_words.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "base/quantity.h"
#include "cars.h"
#include "travel/reasons.h"

namespace trammel::testing {
namespace {

Scene drawn(const Ride& ride, const SceneDrive& drive, const SceneDoubts* doubts = nullptr) {
  auto s = scene(ride, drive, doubts);
  EXPECT_TRUE(s.scene) << words(*s.locked, Units::metric);
  return std::move(*s.scene);
}
Ride as_measured_ride(const Car& car) {
  auto r = ride(car, nullptr);
  EXPECT_TRUE(r.value) << words(r.why, Units::metric);
  return std::move(*r.value);
}
const std::vector<const char*> texts{strut_text,         wishbone_text,
                                     five_link_text,     three_rod_strut_text,
                                     semi_trailing_text, toe_link_on_arm_text};
double apart(const Vec3<double>& a, const Vec3<double>& b) { return length(a - b); }

TEST(Scene, AsMeasuredEveryJointStandsWhereTheCarSays) {
  std::vector<Car> cars{demo("pip.toml"), demo("nibbet.toml")};
  for (const char* text : texts) cars.push_back(car_of(text));
  for (const auto& car : cars) {
    const auto r = as_measured_ride(car);
    const auto s = drawn(r, {});
    std::size_t joints = 0;
    for (const auto& c : s.corners) {
      const auto& points = car.at(c.axle)->at(c.side).numbers.points_mm;
      ASSERT_EQ(c.joints.size(), points.size());
      for (std::size_t p = 0; p < points.size(); ++p) {
        ++joints;
        EXPECT_NEAR(apart(c.joints[p].at_mm, points[p]), 0.0, 1e-3)
            << car.at(c.axle)->layout.points[p];
      }
    }
    EXPECT_GE(joints, 6U);
  }
}

// The floor's frame is the body's moved as a whole: what is between two places stays.
TEST(Scene, DrivenItIsTheSolversPositionMovedAsAWhole) {
  for (const char* name : {"pip.toml", "nibbet.toml"}) {
    const Car car = demo(name);
    const auto r = as_measured_ride(car);
    const SceneDrive drive{22.0, 9.0, 2.0 * degree_rad};
    const auto s = drawn(r, drive);
    for (const auto& c : s.corners) {
      const auto& axle = *car.at(c.axle);
      const auto solved = solved_at(r, c.axle, drive.travel_mm, drive.rack_mm, drive.roll_rad).side;
      const auto& m = r.at(c.axle)->at(c.side).mechanism;
      const auto& solution = *solved[static_cast<std::size_t>(c.side)];
      const Placed<double> placed(m, solution.pose, solution.drive.rack_mm);
      std::vector<std::pair<int, Vec3<double>>> there{{0, placed.centre()}};
      for (const auto& row : m.distance)
        for (const auto* a : {&row.inner, &row.outer})
          there.emplace_back(a->point, placed.position(*a));
      for (const auto* l : {&m.strut, &m.spring, &m.damper})
        if (*l) there.emplace_back((*l)->foot.point, placed.position((*l)->foot));
      for (const auto& [p, a] : there)
        for (const auto& [q, b] : there)
          EXPECT_NEAR(apart(c.joints[static_cast<std::size_t>(p)].at_mm,
                            c.joints[static_cast<std::size_t>(q)].at_mm),
                      apart(a, b), 1e-9)
              << axle.layout.points[static_cast<std::size_t>(p)];
    }
    // Members keep their lengths, the drop link and the bar's lever among them.
    const auto still = drawn(r, {});
    for (std::size_t i = 0; i < s.corners.size(); ++i)
      for (std::size_t k = 0; k < s.corners[i].members.size(); ++k) {
        const auto &now = s.corners[i].members[k], &then = still.corners[i].members[k];
        if (now.kind == SceneKind::spring || now.kind == SceneKind::damper ||
            now.kind == SceneKind::strut)
          continue;
        for (std::size_t p = 0; p + 1 < now.line.size(); ++p)
          EXPECT_NEAR(apart(now.line[p], now.line[p + 1]), apart(then.line[p], then.line[p + 1]),
                      1e-6)
              << word(now.kind);
      }
  }
}

TEST(Scene, TheTyresStandOnTheFloorWhileTheBodySinksAndRolls) {
  for (const char* name : {"pip.toml", "nibbet.toml"}) {
    const auto r = as_measured_ride(demo(name));
    const auto still = drawn(r, {});
    for (const auto& drive : {SceneDrive{30.0, 0.0, 0.0}, SceneDrive{-25.0, 10.0, 0.0},
                              SceneDrive{5.0, 0.0, 3.0 * degree_rad}}) {
      const auto s = drawn(r, drive);
      Vec3<double> mean{}, mean_still{};
      for (std::size_t i = 0; i < s.corners.size(); ++i) {
        const auto& w = s.corners[i].wheel;
        // The floor keeps its direction in the solver, as in a sweep; tipping the body by what its
        // axles sank apart, under 1e-3 rad, leaves hundredths between a steered pair of tyres.
        EXPECT_NEAR(w.contact_mm.z, 0.0, 0.05);
        EXPECT_NEAR(apart(w.contact_mm, w.centre_mm), w.radius_mm, 1e-9);
        mean = mean + w.contact_mm;
        mean_still = mean_still + still.corners[i].wheel.contact_mm;
      }
      EXPECT_NEAR(mean.x, mean_still.x, 1e-9);
      EXPECT_NEAR(mean.y, mean_still.y, 1e-9);
      // The cross lines of the body lean by the roll, its left side up, and it sinks by the travel.
      for (std::size_t i = 0; i < 2; ++i) {
        const auto across = s.body[i].line[1] - s.body[i].line[0];
        EXPECT_NEAR(std::asin(across.z / length(across)), drive.roll_rad, 1e-6);
      }
      if (drive.roll_rad == 0.0) {
        const double sunk = still.body[2].line[0].z - s.body[2].line[0].z;
        // The contact moves on the tyre as the wheel leans: a little of it is not the body's.
        EXPECT_NEAR(sunk, drive.travel_mm, 0.5);
      }
    }
  }
}

TEST(Scene, RollCentreAndAxesAreTheReadings) {
  const Car car = demo("pip.toml");
  std::vector<Ride> rides{as_measured_ride(car)};
  auto built = ride(car, car.state("as_built"));
  ASSERT_TRUE(built.value);
  rides.push_back(std::move(*built.value));
  for (const auto& r : rides)
    for (const auto& drive :
         {SceneDrive{}, SceneDrive{20.0, 12.0, 0.0}, SceneDrive{0.0, 0.0, 2.5 * degree_rad}}) {
      const auto s = drawn(r, drive);
      ASSERT_EQ(s.axles.size(), 2U);
      for (std::size_t i = 0; i < 2; ++i) {
        const auto p = sweep(r, s.axles[i].axle, {{drive.travel_mm}, drive.rack_mm, drive.roll_rad})
                           .positions.front();
        // The axles sink by different amounts; the drawing tips the body by it, some 1e-4 rad.
        EXPECT_NEAR(s.axles[i].roll_centre_mm.z, p.axle->roll_centre_height_mm, 1e-3);
        for (std::size_t side = 0; side < 2; ++side) {
          const auto& c = s.corners[2 * i + side];
          const auto& read = *p.side[side];
          EXPECT_NEAR(std::asin(-c.wheel.spin.z), read[Reading::camber], 2e-4);
          EXPECT_EQ(c.to_roll_centre[0], c.wheel.contact_mm);
          ASSERT_EQ(c.steering_axis.has_value(), i == 0);
          if (c.steering_axis) {
            const auto up = (*c.steering_axis)[1] - (*c.steering_axis)[0];
            EXPECT_EQ((*c.steering_axis)[0].z, 0.0);
            EXPECT_NEAR(std::atan2(-up.x, up.z), read[Reading::caster], 2e-3);
            const double out = c.side == Side::left ? up.y : -up.y;
            EXPECT_NEAR(std::atan2(-out, up.z), read[Reading::steering_axis_inclination], 2e-3);
          }
          ASSERT_TRUE(c.instant_axis);
          const auto along = unit((*c.instant_axis)[1] - (*c.instant_axis)[0]);
          // Turned with the body only.
          if (drive.roll_rad == 0.0 && &r == &rides.front()) {
            EXPECT_NEAR(length(cross(along, read.instant_axis->direction)), 0.0, 1e-3);
          }
        }
      }
    }
}

TEST(Scene, TheRightSideMirrorsTheLeft) {
  const auto s = drawn(as_measured_ride(demo("pip.toml")), {25.0, 0.0, 0.0});
  for (std::size_t i = 0; i < s.corners.size(); i += 2) {
    const auto &l = s.corners[i], &r = s.corners[i + 1];
    EXPECT_EQ(l.side, Side::left);
    EXPECT_EQ(r.side, Side::right);
    for (std::size_t p = 0; p < l.joints.size(); ++p)
      EXPECT_NEAR(apart(mirrored(l.joints[p].at_mm), r.joints[p].at_mm), 0.0, 1e-9);
    EXPECT_NEAR(apart(mirrored(l.wheel.spin), r.wheel.spin), 0.0, 1e-12);
    EXPECT_GT(l.wheel.spin.y, 0.9);
  }
}

TEST(Scene, WhereItLocksItSaysSoAndTheNearestTravel) {
  const auto r = as_measured_ride(demo("pip.toml"));
  const auto s = scene(r, {400.0, 0.0, 0.0});
  EXPECT_FALSE(s.scene);
  ASSERT_TRUE(s.locked);
  EXPECT_EQ(s.locked->travel_mm, 400.0);
  EXPECT_NE(words(*s.locked, Units::metric).find("locks"), std::string::npos);
  EXPECT_GT(s.locked->nearest_travel_mm, 50.0);
  EXPECT_LT(s.locked->nearest_travel_mm, 400.0);
  EXPECT_FALSE(scene(r, {0.0, 0.0, 60.0 * degree_rad}).scene);
}

// A covariance of known eigenvectors: [[a, b], [b, a]] has a + b along (1, 1) and a - b along
// (1, -1).
TEST(Scene, DoubtsAreTheEllipsoidsOfTheCovariance) {
  const auto d = doubt_axes({{{5.0, 4.0, 0.0}, {4.0, 5.0, 0.0}, {0.0, 0.0, 4.0}}});
  EXPECT_NEAR(length(d.semi_axis_mm[0]), 1.0, 1e-12);
  EXPECT_NEAR(length(d.semi_axis_mm[1]), 2.0, 1e-12);
  EXPECT_NEAR(length(d.semi_axis_mm[2]), 3.0, 1e-12);
  EXPECT_NEAR(std::fabs(d.semi_axis_mm[1].z), 2.0, 1e-12);
  EXPECT_NEAR(d.semi_axis_mm[2].x, d.semi_axis_mm[2].y, 1e-12);
  EXPECT_NEAR(d.semi_axis_mm[0].x, -d.semi_axis_mm[0].y, 1e-12);
  const auto none = doubt_axes({});
  for (const auto& a : none.semi_axis_mm) EXPECT_EQ(length(a), 0.0);
}

TEST(Scene, DoubtsAreMirroredAndTurnWithWhatCarriesTheJoint) {
  const Car car = demo("pip.toml");
  const auto point =
      static_cast<std::size_t>(car.at(AxleName::front)->layout.point("arm.lower.upright"));
  Spread spread;
  spread.covariance = Matrix(3, 3);
  const double c[3][3]{{5.0, 4.0, 0.0}, {4.0, 5.0, 0.0}, {0.0, 0.0, 0.0}};
  for (int i = 0; i < 3; ++i) {
    CarNumber n;
    n.both_sides = true;
    n.point = static_cast<int>(point);
    n.axis = i;
    spread.numbers.push_back(n);
    for (int j = 0; j < 3; ++j) spread.covariance(i, j) = c[i][j];
  }
  const auto doubts = scene_doubts(car, spread);
  const auto r = as_measured_ride(car);
  const auto s = drawn(r, {0.0, 40.0, 0.0}, &doubts);
  const auto still = drawn(r, {}, &doubts);
  std::size_t seen = 0;
  for (std::size_t i = 0; i < s.corners.size(); ++i)
    for (std::size_t p = 0; p < s.corners[i].joints.size(); ++p) {
      const auto& d = s.corners[i].joints[p].doubt;
      ASSERT_EQ(d.has_value(), i < 2 && p == point);
      if (!d) continue;
      ++seen;
      EXPECT_NEAR(length(d->semi_axis_mm[2]), 3.0, 1e-9);
      const auto then = still.corners[i].joints[p].doubt->semi_axis_mm[2];
      // As measured along (1, 1) on the left and (1, -1) on the right.
      EXPECT_NEAR(then.x * then.y, i == 0 ? 4.5 : -4.5, 1e-3);
      // The upright is steered, and the ellipsoid with it: by as much as the wheel.
      const auto angle = [](const Vec3<double>& v) { return std::atan(v.y / v.x); };
      const auto spin = [](const SceneCorner& k) {
        return std::atan(k.wheel.spin.x / k.wheel.spin.y);
      };
      EXPECT_GT(std::fabs(spin(s.corners[i]) - spin(still.corners[i])), 5.0 * degree_rad);
      EXPECT_NEAR(angle(d->semi_axis_mm[2]) - angle(then),
                  -(spin(s.corners[i]) - spin(still.corners[i])), 0.03);
    }
  EXPECT_EQ(seen, 2U);
}

TEST(Scene, EveryJointHasWordsOfItsOwn) {
  for (const char* text : texts) {
    const Car car = car_of(text);
    for (const auto& axle : car.axle) {
      if (!axle) continue;
      std::vector<std::string> all;
      for (std::size_t p = 0; p < axle->layout.points.size(); ++p) {
        all.push_back(joint_words(axle->layout, static_cast<int>(p)));
        EXPECT_EQ(all.back().find('.'), std::string::npos) << all.back();
      }
      std::sort(all.begin(), all.end());
      EXPECT_EQ(std::unique(all.begin(), all.end()), all.end());
    }
  }
  const Car car = demo("pip.toml");
  const auto& l = car.at(AxleName::front)->layout;
  EXPECT_EQ(joint_words(l, l.point("rod.steering.body")), "inner joint of rod 'steering'");
}

}  // namespace
}  // namespace trammel::testing
