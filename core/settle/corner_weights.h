// Corner weights: the cross weight, and how far the spring perches have to be wound to set it.
//
// A body on four wheels is held once too often: winding one perch loads two wheels across a
// diagonal and unloads the other two. Bars are taken as unlinked, as they are while this is set.
#pragma once

#include <array>
#include <optional>

namespace trammel {

using FourWheels = std::array<std::array<double, 2>, 2>;  // by AxleName, Side

// (left front + right rear) / all, a share of 1.
double cross_weight(const FourWheels& kg);

struct WarpAxle {
  double track_mm = 0.0;
  std::array<double, 2> rate_n_per_mm{};  // of wheel and tyre together, by Side
};

// The couple (N·mm) that lifting one wheel's free place against the body by 1 mm puts into the
// body, and against it at the other axle: 1/t over the sum of 1/(k t²) of all four. On equal tracks
// all four loads change by 1/Σ(1/k) N per mm.
double warp_couple_nmm_per_mm(const WarpAxle& front, const WarpAxle& rear, double at_track_mm);

// How far each spring seat has to go, along its spring, up positive (the body's corner rises), to
// bring the cross weight to a half and keep the ride heights: left front and right rear one way,
// the others the other, each by what its own spring and tyre give (a quarter each on like springs).
struct PerchPlan {
  double cross = 0.0;                 // as weighed, share of 1
  std::array<double, 2> change_kg{};  // by AxleName: what the left wheel gains, the right loses
  FourWheels perch_mm{};              // by AxleName, Side
  double kg_per_mm = 0.0;             // each corner's change by 1 mm at the left front perch
};
// `ratio`: of spring travel to wheel travel at each wheel. A perch moved by p lifts the wheel's
// free place by p over the ratio: force k p at the spring, k p r at the wheel, rate k r² there.
PerchPlan perch_plan(const FourWheels& kg, const std::array<WarpAxle, 2>& axle,
                     const FourWheels& ratio);

}  // namespace trammel
