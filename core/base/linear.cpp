#include "base/linear.h"

#include <utility>

namespace trammel {

PivotOrder pivot_order(Matrix6<double> a, bool unit_first) {
  PivotOrder order;
  for (int k = 0; k < 6; ++k) {
    int best_row = k, best_column = k;
    double best = -1.0;
    for (int i = k; i < 6; ++i)
      for (int j = k; j < 6; ++j)
        if (const double size =
                k == 0 && unit_first ? (i == 0 ? magnitude(a[i][j]) : -2.0) : magnitude(a[i][j]);
            size > best) {
          best = size;
          best_row = i;
          best_column = j;
        }
    std::swap(a[k], a[best_row]);
    std::swap(order.row[k], order.row[best_row]);
    for (auto& row : a) std::swap(row[k], row[best_column]);
    std::swap(order.column[k], order.column[best_column]);
    if (a[k][k] == 0.0) break;
    for (int i = k + 1; i < 6; ++i) {
      const double by = a[i][k] / a[k][k];
      for (int j = k; j < 6; ++j) a[i][j] -= by * a[k][j];
    }
  }
  return order;
}

}  // namespace trammel
