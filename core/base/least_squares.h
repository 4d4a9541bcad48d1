// Weighted least squares: the values of unknowns that readings agree with best, and their
// covariance.
//
// Each row is a reading's residual (what the unknowns say less what was read) and its exact slopes,
// both divided by the reading's standard uncertainty, so that the sum of squares is chi-square.
#pragma once

#include <functional>
#include <vector>

#include "base/matrix.h"

namespace trammel {

struct Row {
  double off = 0.0;
  Slopes slopes;
};

// The rows at x, always in the same order and number. False: no value there (x left the range
// where the readings mean something).
using Rows = std::function<bool(const std::vector<double>& x, std::vector<Row>& rows)>;

enum class Ended {
  settled,         // at a minimum: the gradient or the step vanished
  too_many_steps,  // still moving
  no_start,        // no value at the start
};

struct LeastSquares {
  Ended ended = Ended::no_start;
  std::vector<double> x;
  std::vector<Row> rows;  // at x
  double sum_of_squares = 0.0;
  int steps = 0;
};

// Levenberg-Marquardt from `start`, with steps scaled by each unknown's largest slope of late
// (after Moré 1978) and damping after Nielsen (1999). A step is solved by Cholesky of the scaled
// normal equations where their condition allows, else by QR of the rows themselves; unknowns that
// nothing holds stay where they are. Ends when a step can win no more than `settled` of the sum of
// squares.
LeastSquares least_squares(const Rows& rows, std::vector<double> start, int most_steps = 200,
                           double settled = 1e-16);

// The best of several starts: what a false minimum near one of them is found out by.
struct FromStarts {
  LeastSquares best;
  std::size_t from = 0;                 // index of the start it came from
  std::vector<LeastSquares> elsewhere;  // other minima, best first; a mirror image among them
};
FromStarts least_squares_from(const Rows& rows, const std::vector<std::vector<double>>& starts,
                              int most_steps = 200, double settled = 1e-16);

// What the rows say of the unknowns at the minimum.
struct Held {
  int rank = 0;
  Matrix covariance;  // of the unknowns, for rows of unit uncertainty; unknowns that nothing holds
                      // have their free part left out
  // Directions that no row holds, in unknowns each times the length of its column; the leading
  // entry of each is one, and the others lack it.
  std::vector<Slopes> free;
};
Held held(const std::vector<Row>& rows, int unknowns);

// Of one row at the minimum.
struct RowTest {
  double redundancy = 0.0;           // share of an error of this reading that shows in its residual
  double normalised_residual = 0.0;  // Baarda's w; zero where nothing checks the reading
};
std::vector<RowTest> row_tests(const std::vector<Row>& rows, const Matrix& covariance);

// Correlation of the tests of two different rows: 1 or -1 where they cannot be told apart (-1: a
// value and its only repeat).
double test_correlation(const Row& a, const Row& b, const Matrix& covariance);

}  // namespace trammel
