// The floor between the spots that were levelled.
#pragma once

#include <vector>

#include "file/survey.h"

namespace trammel {

inline constexpr double same_spot_mm = 1.0;  // nearer than this, a spot is the place itself

// The share of each floor spot in the floor's height at (x, y): a plane through the spots, the near
// ones counting most, so that a spot right below is taken as it is.
template <class T>
std::vector<T> floor_shares(const std::vector<FloorSpot>& spots, const T& x, const T& y) {
  struct Weighted {
    T w, dx, dy;
  };
  std::vector<Weighted> rows;
  rows.reserve(spots.size());
  T s0(0.0), sx(0.0), sy(0.0), sxx(0.0), sxy(0.0), syy(0.0);
  for (const auto& f : spots) {
    const T dx = (T(f.x_mm) - x) / T(1000.0), dy = (T(f.y_mm) - y) / T(1000.0);
    const T d2 = dx * dx + dy * dy + T(1e-6 * same_spot_mm * same_spot_mm);
    const T w = T(1.0) / (d2 * d2);
    rows.push_back({w, dx, dy});
    s0 += w;
    sx += w * dx;
    sy += w * dy;
    sxx += w * dx * dx;
    sxy += w * dx * dy;
    syy += w * dy * dy;
  }
  // One spot, or spots in one line, leave the plane level across it.
  const T level = T(1e-6) * s0;
  sxx += level;
  syy += level;
  // First row of the inverse of the symmetric [s0 sx sy; sx sxx sxy; sy sxy syy].
  const T c0 = sxx * syy - sxy * sxy, c1 = sxy * sy - sx * syy, c2 = sx * sxy - sxx * sy;
  const T determinant = s0 * c0 + sx * c1 + sy * c2;
  std::vector<T> shares;
  shares.reserve(spots.size());
  for (const auto& r : rows) shares.push_back(r.w * (c0 + c1 * r.dx + c2 * r.dy) / determinant);
  return shares;
}

}  // namespace trammel
