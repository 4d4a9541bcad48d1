#include "base/statistics.h"

#include <Eigen/Core>
#include <algorithm>
#include <cmath>
#include <unsupported/Eigen/SpecialFunctions>

#include "base/check.h"

namespace trammel {

double chi_square_above(double x, double degrees) {
  check(degrees > 0.0, "degrees of freedom above zero", {{"degrees", degrees}});
  return x <= 0.0 ? 1.0 : Eigen::numext::igammac(0.5 * degrees, 0.5 * x);
}

double normal_quantile(double p) {
  check(p > 0.0 && p < 1.0, "a probability between 0 and 1", {{"p", p}});
  return Eigen::numext::ndtri(p);
}

double normal_below(double x) { return 0.5 * std::erfc(-x / std::sqrt(2.0)); }

double Sampler::uniform() {
  // 52 bits, moved off zero by half a step.
  return (static_cast<double>(generator_() >> 12) + 0.5) * 0x1p-52;
}

double quantile(std::vector<double>& samples, double p) {
  check(!samples.empty() && p >= 0.0 && p <= 1.0, "samples and a share of them",
        {{"samples", static_cast<double>(samples.size())}, {"p", p}});
  const auto last = static_cast<double>(samples.size() - 1);
  const auto at = samples.begin() + static_cast<std::ptrdiff_t>(std::lround(p * last));
  std::nth_element(samples.begin(), at, samples.end());
  return *at;
}

}  // namespace trammel
