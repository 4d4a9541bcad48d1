#include <algorithm>

#include "file/survey.h"

namespace trammel {

std::vector<double> directions(const GaugeRun& g) {
  std::vector<double> d(g.rows.size(), 0.0);
  for (std::size_t i = 1; i < d.size(); ++i) {
    const double by = g.rows[i].travel_mm - g.rows[i - 1].travel_mm;
    d[i] = by > 0.0 ? 1.0 : by < 0.0 ? -1.0 : d[i - 1];
  }
  if (d.size() > 1) d[0] = d[1];
  return d;
}
bool goes_both_ways(const GaugeRun& g) {
  const auto d = directions(g);
  return std::any_of(d.begin(), d.end(), [](double x) { return x > 0.0; }) &&
         std::any_of(d.begin(), d.end(), [](double x) { return x < 0.0; });
}

}  // namespace trammel
