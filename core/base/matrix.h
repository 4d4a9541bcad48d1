// A dense matrix that crosses between rooms; the sums on it are Eigen's and stay in the .cpp files.
#pragma once

#include <cstddef>
#include <vector>

namespace trammel {

struct Matrix {
  int rows = 0, columns = 0;
  std::vector<double> data;  // column after column

  Matrix() = default;
  Matrix(int r, int c)
      : rows(r), columns(c), data(static_cast<std::size_t>(r) * static_cast<std::size_t>(c), 0.0) {}
  double& operator()(int i, int j) { return data[place(i, j)]; }
  double operator()(int i, int j) const { return data[place(i, j)]; }

 private:
  std::size_t place(int i, int j) const {
    return static_cast<std::size_t>(j) * static_cast<std::size_t>(rows) +
           static_cast<std::size_t>(i);
  }
};

// One entry of a row that is mostly zeros: how a quantity changes with an unknown.
struct Slope {
  int unknown = 0;
  double per = 0.0;
};
using Slopes = std::vector<Slope>;

// a' C b of two sparse rows; C symmetric.
double product(const Slopes& a, const Matrix& c, const Slopes& b);
// C a.
std::vector<double> times(const Matrix& c, const Slopes& a);

// F with F F' = C, for a symmetric C without negative directions; those of size zero stay zero.
Matrix factor_of(const Matrix& c);

// The covariance G C G' of quantities whose changes with the unknowns are the rows of G (JCGM 100
// eq. 13, in matrix form JCGM 102 cl. 6.2).
Matrix propagated(const std::vector<Slopes>& g, const Matrix& c);

}  // namespace trammel
