// An owner who follows the plan with imperfect readings on a car whose joints are not quite where
// its file has them.
#pragma once

#include "align/on_the_floor.h"
#include "base/statistics.h"
#include "travel/adjust.h"
#include "travel/reasons.h"

namespace trammel::testing {

// The true car: four corners with adjusters, as they stand.
class TrueCar {
 public:
  explicit TrueCar(const Car& car) : car_(car) {
    const auto r = ride(car_, nullptr);
    EXPECT_TRUE(r.value) << words(r.why, Units::metric);
    for (std::size_t w = 0; w < 4; ++w) {
      const auto& c = (*r.value->axle[w / 2]).side[w % 2];
      mechanism_[w] = c.mechanism;
      at_[w] = c.at;
    }
  }
  void turn(std::size_t wheel, const Adjuster& adjuster, double by_mm) {
    mechanism_[wheel] = adjusted(car_.axle[wheel / 2]->layout, mechanism_[wheel], adjuster, by_mm);
    at_[wheel] = solve(mechanism_[wheel], at_[wheel].drive, at_[wheel].pose,
                       order_at(mechanism_[wheel], at_[wheel].pose, at_[wheel].drive.by));
    ASSERT_TRUE(at_[wheel].found);
  }
  void follow(const AlignStep& s, double by_mm) {
    const auto& axle = *car_.at(s.axle);
    Adjuster a;
    if (s.what == AlignWhat::toe) {
      a.rod = RodLength{axle.toe_adjuster->rod};
    } else {
      const auto& angle =
          s.what == AlignWhat::camber ? *axle.camber_adjuster : *axle.caster_adjuster;
      if (angle.rod >= 0) a.rod = RodLength{angle.rod};
      else a.joint = JointShift{angle.joint, angle.along};
    }
    turn(2 * static_cast<std::size_t>(s.axle) + static_cast<std::size_t>(s.side), a, by_mm);
  }
  OnTheFloor stands() const {
    OnTheFloor f;
    for (std::size_t w = 0; w < 4; ++w) {
      const auto spin = spin_at(mechanism_[w], at_[w]);
      const auto ground = ground_for(static_cast<Side>(w % 2), 0.0, 0.0);
      f.toe_rad[w] = toe_of(spin, ground);
      f.camber_rad[w] = camber_of(spin, ground);
    }
    f.wheelbase_mm = *car_.wheelbase_mm();
    for (std::size_t a = 0; a < 2; ++a)
      f.half_track_mm[a] = car_.axle[a]->at(Side::left).numbers.points_mm[0].y;
    return f;
  }

 private:
  Car car_;
  std::array<Mechanism<double>, 4> mechanism_;
  std::array<Solution<double>, 4> at_;
};

// Every joint of both axles moved by so much (one standard deviation), sides by themselves.
inline Car moved_joints(Car car, double sigma_mm, Sampler& sampler) {
  for (auto& axle : car.axle) {
    axle->right_is_mirrored = false;
    for (auto& side : axle->side)
      for (std::size_t p = 1; p < side.numbers.points_mm.size(); ++p)
        for (int i = 0; i < 3; ++i) side.numbers.points_mm[p][i] += sigma_mm * sampler.normal();
  }
  return car;
}

}  // namespace trammel::testing
