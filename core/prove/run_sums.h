// A run against what is predicted of it: the rows, how each changes with what is uncertain, and the
// sums that every judgement is made of.
//
// A row is the rear dial less the front one. Generalised least squares (Aitken 1935; any textbook
// of it): the covariance of all rows together is what the unknowns before the run, the dials and
// the run's own circumstances make of them; what only the run itself can tell is projected out.
#pragma once

#include <optional>
#include <vector>

#include "car/spread.h"
#include "car/survey.h"
#include "prove/run_model.h"

namespace trammel {

// An unknown before the run: a number of the car (by its place in the spread) or a circumstance.
struct RunUnknown {
  enum class Of { car, input, travel_zero, drag };
  Of of = Of::car;
  std::size_t index = 0;  // in the spread, or among the model's inputs
  double sigma = 0.0;     // of a circumstance: mm or rad, drag in rad per mm
};

struct RunSums {
  std::vector<double> off_mm;        // by row: read less predicted
  std::vector<RunUnknown> unknowns;  // the whole spread first, in its order
  Matrix covariance;                 // of the unknowns
  Matrix per;                        // row x unknown
  double noise_mm = 0.0;             // of a row, both dials
  std::vector<double> direction;     // +1 up, -1 down
  Matrix free;                       // row x free: the dials' zero; up against down, rad of toe
  Matrix weight;                     // row x row: inverse of the covariance, free ones left out
  // Row by row, for the eye: off_mm less up against down and less what the rows at ride height are
  // off, and its covariance. The judgement is by `weight`, which leans on no single row.
  std::vector<double> left_mm;
  Matrix left_covariance;
  int degrees = 0;  // of freedom
};

// `rack_sigma_mm`: of the rack's place as measured. The model has every travel of the run.
RunSums run_sums(const GaugeRun& run, const RunModel& model, const Layout& layout,
                 const Spread& spread, double rack_sigma_mm);
// How far toe at each travel of the model moves with each of the unknowns of a run: travel x
// unknown, rad. What belongs to the run and not to the car moves nothing.
Matrix toe_per_unknown(const RunModel& model, const Layout& layout, Side side, const Spread& spread,
                       const std::vector<RunUnknown>& unknowns);

// a' W b.
double weighed(const Matrix& weight, const std::vector<double>& a, const std::vector<double>& b);

// The joint test: how far the whole run is from what is predicted; chi-square of `degrees` where
// the model holds.
struct RunTest {
  double chi_square = 0.0;
  int degrees = 0;
  double chance = 1.0;  // that a run of a car as predicted fits no better
};
// False alarms of an honest run.
inline constexpr double false_alarm = 0.01;
RunTest run_test(const RunSums& sums);
// The chi-square that is passed by all but `false_alarm` of honest runs.
double critical_chi_square(int degrees);

// Toe read going up less toe read going down, with its standard uncertainty; none: one way only.
struct UpDown {
  double rad = 0.0, sigma_rad = 0.0;
};
std::optional<UpDown> up_against_down(const RunSums& sums);

// What a run makes of its unknowns: how far each moved, and what is left uncertain (Kalman's
// update, the covariance in Joseph's form, so that it stays one).
struct Updated {
  std::vector<double> by;
  Matrix covariance;
};
Updated updated(const RunSums& sums);

}  // namespace trammel
