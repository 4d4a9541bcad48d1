#include "settle/corner_weights.h"

#include "travel/springs.h"

namespace trammel {
namespace {

// rad of twist per N·mm: both wheels of an axle, one pressed and one relieved.
double twist_per_nmm(const WarpAxle& a) {
  return (1.0 / a.rate_n_per_mm[0] + 1.0 / a.rate_n_per_mm[1]) / (a.track_mm * a.track_mm);
}

}  // namespace

double cross_weight(const FourWheels& kg) {
  return (kg[0][0] + kg[1][1]) / (kg[0][0] + kg[0][1] + kg[1][0] + kg[1][1]);
}

double warp_couple_nmm_per_mm(const WarpAxle& front, const WarpAxle& rear, double at_track_mm) {
  return 1.0 / at_track_mm / (twist_per_nmm(front) + twist_per_nmm(rear));
}

PerchPlan perch_plan(const FourWheels& kg, const std::array<WarpAxle, 2>& axle,
                     const FourWheels& ratio) {
  PerchPlan p;
  p.cross = cross_weight(kg);
  const double all_kg = kg[0][0] + kg[0][1] + kg[1][0] + kg[1][1];
  const double wanted_n = (0.5 - p.cross) * all_kg * gravity_m_s2;  // left front and right rear
  const auto& [front, rear] = axle;
  const double couple_nmm = wanted_n / (1.0 / front.track_mm + 1.0 / rear.track_mm);
  for (std::size_t a = 0; a < 2; ++a) {
    const double gained_n = (a == 0 ? 1.0 : -1.0) * couple_nmm / axle[a].track_mm;  // by the left
    p.change_kg[a] = gained_n / gravity_m_s2;
    // Each wheel's free place goes as far as its own springs and tyre give: the body stays.
    for (std::size_t s = 0; s < 2; ++s)
      p.perch_mm[a][s] = (s == 0 ? 1.0 : -1.0) * gained_n / axle[a].rate_n_per_mm[s] * ratio[a][s];
  }
  p.kg_per_mm = warp_couple_nmm_per_mm(front, rear, front.track_mm) / ratio[0][0] / front.track_mm /
                gravity_m_s2;
  return p;
}

}  // namespace trammel
