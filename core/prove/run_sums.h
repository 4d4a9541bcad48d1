// A run against what is predicted of it: the rows, how each changes with what is uncertain, and the
// sums that every judgement is made of.
//
// Every row of the run gives one row here by two dials, the rear one less the front one; two with a
// low dial; and one for each dial where the run says where they stand (measure/dial_rows.h).
// Generalised least squares (Aitken 1935; any textbook of it): the covariance of all rows together
// is what the unknowns before the run, the dials and the run's own circumstances make of them; what
// only the run itself can tell is projected out.
#pragma once

#include <optional>
#include <vector>

#include "car/spread.h"
#include "file/survey.h"
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
  std::vector<DialRow> dials;        // what each row of the run gives
  std::vector<double> off_mm;        // by row: read less predicted
  std::vector<RunUnknown> unknowns;  // the whole spread first, in its order
  Matrix covariance;                 // of the unknowns
  Matrix per;                        // row x unknown
  std::vector<double> direction;     // by row of the run: +1 up, -1 down
  Matrix free;                       // row x free: the dials' zeros; up against down, rad of toe
  bool both_ways = false;            // up against down is the last of the free ones
  Matrix weight;                     // row x row: inverse of the covariance, free ones left out
  // Row by row, for the eye: off_mm less up against down and less what the rows at ride height are
  // off, and its covariance. The judgement is by `weight`, which leans on no single row.
  std::vector<double> left_mm;
  Matrix left_covariance;
  int degrees = 0;  // of freedom

  // Those of a row of the run stand together.
  std::size_t row(std::size_t of_run, std::size_t dial) const {
    return of_run * dials.size() + dial;
  }
  const DialRow& dial_of(std::size_t row) const { return dials[row % dials.size()]; }
};

// What one dial row shows at the travels of a model (by their place in it), but for its zero: mm.
// `dial`: its place among the set-up's. Model and row outlive it.
class ShownByModel {
 public:
  ShownByModel(const RunModel& model, const DialRow& row, std::size_t dial)
      : model_(model), row_(row), dial_(dial) {}
  double mm(std::size_t at) const;
  double per_travel(std::size_t at) const;  // mm per mm of travel
  double per_toe(std::size_t at) const;     // mm per rad by which something only steers
  // Of the model, travel x input, in toe or in mm; and how many mm one of it is.
  const Matrix& per_input() const;
  double unit_mm(std::size_t at) const;

 private:
  bool is_toe() const { return row_.of == DialRow::Of::toe; }
  const RunModel& model_;
  const DialRow& row_;
  std::size_t dial_;
};

// `rack_sigma_mm`: of the rack's place as measured. The model has every travel of the run, and was
// made for its dials (a run of two dials takes any).
RunSums run_sums(const GaugeRun& run, const RunModel& model, const Layout& layout,
                 const Spread& spread, double rack_sigma_mm);
// How far what `per_input` is about (toe at each travel of the model, say) moves with each of the
// unknowns of a run. What belongs to the run and not to the car moves nothing.
Matrix per_unknown(const RunModel& model, const Matrix& per_input, const Layout& layout, Side side,
                   const Spread& spread, const std::vector<RunUnknown>& unknowns);

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
