// A six by six linear system, factored in an order chosen beforehand.
//
// The mechanism's matrix changes slowly along a sweep and hardly at all between lanes, so rows and
// columns are ordered once, by complete pivoting at a known position, and every later factoring
// (of any lane) uses that order without a branch. A pivot that has become small says that the order
// no longer suits; `smallest_pivot` is for that test.
#pragma once

#include <array>

#include "base/lanes.h"

namespace trammel {

template <class T>
using Six = std::array<T, 6>;
template <class T>
using Matrix6 = std::array<Six<T>, 6>;

struct PivotOrder {
  std::array<int, 6> row{0, 1, 2, 3, 4, 5};
  std::array<int, 6> column{0, 1, 2, 3, 4, 5};
};

// Complete pivoting on `a`. Returns the order; the pivots of a singular matrix come last. With
// `unit_first` row 0 comes first whatever its size: for a row that is a single one.
PivotOrder pivot_order(Matrix6<double> a, bool unit_first = false);

template <class T>
struct Factored {
  Matrix6<T> lu;  // in the given order; pivots stored inverted on the diagonal
  PivotOrder order;
  T determinant{};  // of the reordered matrix: its sign tells whether a singular position was
                    // passed
  T smallest_pivot{};
};

// `unit_first`: the first row of the order has a one in the first column and nothing else, so that
// its elimination changes nothing.
template <bool unit_first = false, class T>
void factor(Factored<T>& f, const Matrix6<T>& a) {
  const auto& order = f.order;
  auto& m = f.lu;
#pragma GCC unroll 6
  for (int i = 0; i < 6; ++i)
#pragma GCC unroll 6
    for (int j = 0; j < 6; ++j) m[i][j] = a[order.row[i]][order.column[j]];
  T det(1.0);
  T smallest(1e300);
#pragma GCC unroll 6
  for (int k = unit_first ? 1 : 0; k < 6; ++k) {
    det = det * m[k][k];
    const T size = magnitude(m[k][k]);
    smallest = select(size < smallest, size, smallest);
    const T inverse = T(1.0) / m[k][k];
    m[k][k] = inverse;
#pragma GCC unroll 6
    for (int i = k + 1; i < 6; ++i) {
      const T by = m[i][k] * inverse;
      m[i][k] = by;
#pragma GCC unroll 6
      for (int j = k + 1; j < 6; ++j) m[i][j] -= by * m[k][j];
    }
  }
  f.determinant = det;
  f.smallest_pivot = smallest;
}

template <class T>
Factored<T> factored(const Matrix6<T>& a, const PivotOrder& order) {
  Factored<T> f;
  f.order = order;
  factor(f, a);
  return f;
}

// x with A x = b.
template <class T, class B>
Six<B> solved(const Factored<T>& f, const Six<B>& b) {
  Six<B> y;
#pragma GCC unroll 6
  for (int i = 0; i < 6; ++i) {
    B s = b[f.order.row[i]];
#pragma GCC unroll 6
    for (int j = 0; j < i; ++j) s -= f.lu[i][j] * y[j];
    y[i] = s;
  }
  Six<B> x;
#pragma GCC unroll 6
  for (int i = 5; i >= 0; --i) {
    B s = y[i];
#pragma GCC unroll 6
    for (int j = i + 1; j < 6; ++j) s -= f.lu[i][j] * y[j];
    y[i] = s * f.lu[i][i];
  }
#pragma GCC unroll 6
  for (int i = 0; i < 6; ++i) x[f.order.column[i]] = y[i];
  return x;
}

// x with A^T x = b: the forces in the rows that hold a load b, or the sensitivities of a reading.
template <class T>
Six<T> solved_transposed(const Factored<T>& f, const Six<T>& b) {
  Six<T> y;
#pragma GCC unroll 6
  for (int i = 0; i < 6; ++i) {
    T s = b[f.order.column[i]];
#pragma GCC unroll 6
    for (int j = 0; j < i; ++j) s -= f.lu[j][i] * y[j];
    y[i] = s * f.lu[i][i];
  }
  Six<T> x;
#pragma GCC unroll 6
  for (int i = 5; i >= 0; --i) {
    T s = y[i];
#pragma GCC unroll 6
    for (int j = i + 1; j < 6; ++j) s -= f.lu[j][i] * y[j];
    y[i] = s;
  }
#pragma GCC unroll 6
  for (int i = 0; i < 6; ++i) x[f.order.row[i]] = y[i];
  return x;
}

}  // namespace trammel
