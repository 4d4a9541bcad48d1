#include "base/least_squares.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

namespace trammel {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double first_damping = 1e-6;   // of a column of length one: starts are good
constexpr double least_damping = 1e-12;  // as free_direction: what nothing holds does not drift
constexpr double most_damping = 1e16;
constexpr double well_conditioned = 1e-9;  // of the normal equations; below it the rows themselves
constexpr double free_direction = 1e-12;   // eigenvalue of the scaled normal equations
constexpr double same_minimum = 1e-6;      // of the sum of squares

double sum_of_squares(const std::vector<Row>& rows) {
  double s = 0.0;
  for (const auto& r : rows) s += r.off * r.off;
  return s;
}

bool usable(const std::vector<Row>& rows) {
  return std::all_of(rows.begin(), rows.end(), [](const Row& r) {
    return std::isfinite(r.off) && std::all_of(r.slopes.begin(), r.slopes.end(),
                                               [](const Slope& s) { return std::isfinite(s.per); });
  });
}

VectorXd column_lengths(const std::vector<Row>& rows, Index n) {
  VectorXd d = VectorXd::Zero(n);
  for (const auto& r : rows)
    for (const auto& s : r.slopes) d(s.unknown) += s.per * s.per;
  return d.cwiseSqrt();
}

// The lower half, columns divided by `scale`, into `a`: its memory is used again step after step.
void normal(MatrixXd& a, const std::vector<Row>& rows, const VectorXd& scale) {
  a.setZero(scale.size(), scale.size());
  for (const auto& r : rows)
    for (const auto& s : r.slopes)
      for (const auto& t : r.slopes)
        if (t.unknown <= s.unknown)
          a(s.unknown, t.unknown) += s.per * t.per / (scale(s.unknown) * scale(t.unknown));
}

MatrixXd dense(const std::vector<Row>& rows, const VectorXd& scale, Index more_rows) {
  MatrixXd j = MatrixXd::Zero(static_cast<Index>(rows.size()) + more_rows, scale.size());
  for (std::size_t i = 0; i < rows.size(); ++i)
    for (const auto& s : rows[i].slopes)
      j(static_cast<Index>(i), s.unknown) += s.per / scale(s.unknown);
  return j;
}

VectorXd gradient(const std::vector<Row>& rows, const VectorXd& scale) {
  VectorXd g = VectorXd::Zero(scale.size());
  for (const auto& r : rows)
    for (const auto& s : r.slopes) g(s.unknown) += r.off * s.per / scale(s.unknown);
  return g;
}

// The damped step in scaled unknowns. `damped` is room to work in.
VectorXd damped_step(const std::vector<Row>& rows, const VectorXd& scale, const MatrixXd& a,
                     const VectorXd& g, double damping, MatrixXd& damped) {
  const Index n = scale.size();
  damped = a;
  damped.diagonal().array() += damping;
  const Eigen::LLT<Eigen::Ref<MatrixXd>> llt(damped);
  if (llt.info() == Eigen::Success && llt.rcond() > well_conditioned) return llt.solve(-g);
  MatrixXd j = dense(rows, scale, n);
  j.bottomRows(n).diagonal().array() = std::sqrt(damping);
  VectorXd off = VectorXd::Zero(j.rows());
  for (std::size_t i = 0; i < rows.size(); ++i) off(static_cast<Index>(i)) = -rows[i].off;
  return j.colPivHouseholderQr().solve(off);
}

// How far the rows tell two places apart, to first order, as a sum of squares: directions that no
// row holds do not count.
double told_apart(const std::vector<Row>& rows, const std::vector<double>& x,
                  const std::vector<double>& y) {
  double sum = 0.0;
  for (const auto& r : rows) {
    double change = 0.0;
    for (const auto& s : r.slopes) {
      const auto u = static_cast<std::size_t>(s.unknown);
      change += s.per * (y[u] - x[u]);
    }
    sum += change * change;
  }
  return sum;
}

// A basis of the same space whose vectors have as few entries as elimination gives: each is led by
// an unknown that the others lack.
std::vector<Slopes> sparse_basis(MatrixXd v) {
  std::vector<Slopes> basis;
  for (Index k = 0; k < v.cols(); ++k) {
    Index row = 0, column = 0;
    v.rightCols(v.cols() - k).cwiseAbs().maxCoeff(&row, &column);
    v.col(k).swap(v.col(k + column));
    v.col(k) /= v(row, k);
    for (Index other = 0; other < v.cols(); ++other)
      if (other != k) v.col(other) -= v(row, other) * v.col(k);
  }
  for (Index k = 0; k < v.cols(); ++k) {
    Slopes s;
    for (Index i = 0; i < v.rows(); ++i)
      if (std::fabs(v(i, k)) > 1e-6) s.push_back({static_cast<int>(i), v(i, k)});
    std::stable_sort(s.begin(), s.end(), [](const Slope& x, const Slope& y) {
      return std::fabs(x.per) > std::fabs(y.per);
    });
    basis.push_back(std::move(s));
  }
  return basis;
}

}  // namespace

LeastSquares least_squares(const Rows& rows_at, std::vector<double> start, int most_steps,
                           double settled) {
  LeastSquares best;
  best.x = std::move(start);
  if (!rows_at(best.x, best.rows) || !usable(best.rows)) return best;
  best.sum_of_squares = sum_of_squares(best.rows);
  const auto n = static_cast<Index>(best.x.size());
  VectorXd scale = VectorXd::Zero(n);
  double damping = first_damping, growth = 2.0;
  bool fresh = true;  // the rows have changed since the equations were formed
  MatrixXd a, room;
  VectorXd g;
  std::vector<double> x(best.x.size());
  std::vector<Row> rows;
  for (best.steps = 0; best.steps < most_steps; ++best.steps) {
    if (fresh) {
      // Largest slope so far, slowly forgotten: a way through a place where one is huge would
      // otherwise freeze that unknown for good.
      scale = (0.9 * scale).cwiseMax(column_lengths(best.rows, n));
      const VectorXd safe = (scale.array() > 0.0).select(scale, 1.0);
      normal(a, best.rows, safe);
      g = gradient(best.rows, safe);
      fresh = false;
    }
    const VectorXd safe = (scale.array() > 0.0).select(scale, 1.0);
    const VectorXd step = damped_step(best.rows, safe, a, g, damping, room);
    const double to_win = step.dot(damping * step - g);
    if (!(to_win > settled * best.sum_of_squares) || best.sum_of_squares == 0.0) {
      best.ended = Ended::settled;
      return best;
    }
    for (Index i = 0; i < n; ++i)
      x[static_cast<std::size_t>(i)] = best.x[static_cast<std::size_t>(i)] + step(i) / safe(i);
    const bool there = rows_at(x, rows) && usable(rows);
    const double sum = there ? sum_of_squares(rows) : 0.0;
    if (there && sum < best.sum_of_squares) {
      const double gain = (best.sum_of_squares - sum) / to_win;
      const double curve = 2.0 * gain - 1.0;
      damping = std::max(least_damping, damping * std::max(0.1, 1.0 - curve * curve * curve));
      growth = 2.0;
      best.x.swap(x);
      best.rows.swap(rows);
      best.sum_of_squares = sum;
      fresh = true;
    } else {
      damping *= growth;
      growth *= 2.0;
      if (damping > most_damping) {  // no step is short enough to win anything
        best.ended = Ended::settled;
        return best;
      }
    }
  }
  best.ended = Ended::too_many_steps;
  return best;
}

FromStarts least_squares_from(const Rows& rows, const std::vector<std::vector<double>>& starts,
                              int most_steps, double settled) {
  FromStarts all;
  std::vector<LeastSquares> found;
  std::vector<std::size_t> order;
  for (const auto& start : starts) {
    order.push_back(found.size());
    found.push_back(least_squares(rows, start, most_steps, settled));
  }
  const auto key = [&](std::size_t i) {
    return found[i].ended == Ended::no_start ? std::numeric_limits<double>::infinity()
                                             : found[i].sum_of_squares;
  };
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t i, std::size_t j) { return key(i) < key(j); });
  for (const std::size_t i : order) {
    if (i == order.front()) {
      all.from = i;
      all.best = std::move(found[i]);
      continue;
    }
    if (found[i].ended != Ended::settled) continue;
    const auto same = [&](const LeastSquares& other) {
      return std::fabs(found[i].sum_of_squares - other.sum_of_squares) <=
                 same_minimum * (1.0 + other.sum_of_squares) &&
             told_apart(other.rows, other.x, found[i].x) <=
                 same_minimum * (1.0 + other.sum_of_squares);
    };
    if (!same(all.best) && std::none_of(all.elsewhere.begin(), all.elsewhere.end(), same))
      all.elsewhere.push_back(std::move(found[i]));
  }
  return all;
}

Held held(const std::vector<Row>& rows, int unknowns) {
  Held h;
  const Index n = unknowns;
  h.covariance = Matrix(unknowns, unknowns);
  Eigen::Map<MatrixXd> c(h.covariance.data.data(), n, n);
  if (n == 0) return h;
  VectorXd scale = column_lengths(rows, n);
  scale = (scale.array() > 0.0).select(scale, 1.0);
  MatrixXd a;
  normal(a, rows, scale);
  const Eigen::LLT<MatrixXd> llt(a);
  if (llt.info() == Eigen::Success && llt.rcond() > well_conditioned) {
    h.rank = unknowns;
    c = llt.solve(MatrixXd::Identity(n, n));
  } else {
    const Eigen::SelfAdjointEigenSolver<MatrixXd> eigen(a);
    const Index free = (eigen.eigenvalues().array() < free_direction).count();
    h.rank = static_cast<int>(n - free);
    if (free == 0) {
      // Badly conditioned, but held: the rows themselves have twice the digits.
      const MatrixXd j = dense(rows, scale, 0);
      const Eigen::ColPivHouseholderQR<MatrixXd> qr(j);
      const MatrixXd r_inverse =
          qr.matrixR().topRows(n).triangularView<Eigen::Upper>().solve(MatrixXd::Identity(n, n));
      c = qr.colsPermutation() * (r_inverse * r_inverse.transpose()) *
          qr.colsPermutation().transpose();
    } else {
      const MatrixXd v = eigen.eigenvectors().rightCols(n - free);
      c = v * eigen.eigenvalues().tail(n - free).cwiseInverse().asDiagonal() * v.transpose();
      h.free = sparse_basis(eigen.eigenvectors().leftCols(free));
    }
  }
  c = scale.cwiseInverse().asDiagonal() * c * scale.cwiseInverse().asDiagonal();
  return h;
}

std::vector<RowTest> row_tests(const std::vector<Row>& rows, const Matrix& covariance) {
  constexpr double nothing_checks = 1e-9;
  std::vector<RowTest> tests;
  tests.reserve(rows.size());
  for (const auto& r : rows) {
    RowTest t;
    t.redundancy = std::clamp(1.0 - product(r.slopes, covariance, r.slopes), 0.0, 1.0);
    if (t.redundancy > nothing_checks) t.normalised_residual = r.off / std::sqrt(t.redundancy);
    tests.push_back(t);
  }
  return tests;
}

double test_correlation(const Row& a, const Row& b, const Matrix& covariance) {
  const double aa = 1.0 - product(a.slopes, covariance, a.slopes);
  const double bb = 1.0 - product(b.slopes, covariance, b.slopes);
  if (!(aa > 0.0) || !(bb > 0.0)) return 0.0;
  return -product(a.slopes, covariance, b.slopes) / std::sqrt(aa * bb);
}

}  // namespace trammel
