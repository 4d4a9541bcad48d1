// The shape of a measured toe curve: a polynomial through the rows of a run, and what of it the
// readings show.
#pragma once

#include <array>
#include <string_view>

#include "file/survey.h"

namespace trammel {

enum class CurveShape {
  flat,          // nothing that the readings show
  straight_out,  // toes out as the wheel rises
  straight_in,
  arch,    // both ends toe out
  trough,  // both ends toe in
  s,       // bends one way and then the other
};

std::string_view word(CurveShape shape);  // "straight, toe-out in bump"

// Toe over travel t from ride height: slope t + bend t² + twist t³, and the dials' zero beside. A
// term that is not three times its uncertainty is left out.
struct CurveFit {
  CurveShape shape = CurveShape::flat;
  double slope = 0.0, slope_sigma = 0.0;  // rad per mm, at ride height
  double bend = 0.0, bend_sigma = 0.0;    // rad per mm²
  double twist = 0.0, twist_sigma = 0.0;  // rad per mm³
  std::array<double, 2> travel_mm{};      // ends of the run
  std::array<double, 2> end_rad{};        // toe there, from ride height
  std::array<double, 2> end_sigma_rad{};
  double at(double travel) const { return travel * (slope + travel * (bend + travel * twist)); }
};

// By weighted least squares: dials, the slope that backlash may add, up against down free where
// the run goes both ways.
CurveFit curve_fit(const GaugeRun& run);

}  // namespace trammel
