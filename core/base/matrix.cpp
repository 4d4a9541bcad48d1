#include "base/matrix.h"

#include <Eigen/Dense>
#include <cmath>

#include "base/check.h"

namespace trammel {

double product(const Slopes& a, const Matrix& c, const Slopes& b) {
  double sum = 0.0;
  for (const auto& i : a) {
    double row = 0.0;
    for (const auto& j : b) row += c(i.unknown, j.unknown) * j.per;
    sum += i.per * row;
  }
  return sum;
}

std::vector<double> times(const Matrix& c, const Slopes& a) {
  std::vector<double> y(static_cast<std::size_t>(c.rows), 0.0);
  for (const auto& s : a)
    for (int i = 0; i < c.rows; ++i) y[static_cast<std::size_t>(i)] += c(i, s.unknown) * s.per;
  return y;
}

Matrix factor_of(const Matrix& c) {
  check(c.rows == c.columns, "a square matrix to factor",
        {{"rows", static_cast<double>(c.rows)}, {"columns", static_cast<double>(c.columns)}});
  Matrix f(c.rows, c.rows);
  if (c.rows == 0) return f;
  const Eigen::Map<const Eigen::MatrixXd> m(c.data.data(), c.rows, c.rows);
  // By eigenvectors of the correlations: directions without uncertainty (a coordinate that is taken
  // as exact) do no harm, and millimetres and radians keep their digits beside each other.
  const Eigen::VectorXd d = m.diagonal().cwiseMax(0.0).cwiseSqrt();
  const Eigen::VectorXd inverse = (d.array() > 0.0).select(d.cwiseInverse(), 0.0);
  const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> eigen(inverse.asDiagonal() * m *
                                                             inverse.asDiagonal());
  Eigen::Map<Eigen::MatrixXd>(f.data.data(), c.rows, c.rows) =
      d.asDiagonal() * eigen.eigenvectors() *
      eigen.eigenvalues().cwiseMax(0.0).cwiseSqrt().asDiagonal();
  return f;
}

Matrix propagated(const std::vector<Slopes>& g, const Matrix& c) {
  const int n = static_cast<int>(g.size());
  Matrix y(n, n);
  for (int i = 0; i < n; ++i)
    for (int j = 0; j <= i; ++j)
      y(i, j) = y(j, i) =
          product(g[static_cast<std::size_t>(i)], c, g[static_cast<std::size_t>(j)]);
  return y;
}

}  // namespace trammel
