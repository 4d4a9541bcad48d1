// Distributions and samples. Same seed, same samples, but for the last bit of a library's
// logarithm.
#pragma once

#include <cstdint>
#include <random>
#include <vector>

namespace trammel {

// Probability that chi-square of `degrees` degrees of freedom (> 0) exceeds x.
double chi_square_above(double x, double degrees);
// x below which a standard normal lies with probability p, 0 < p < 1.
double normal_quantile(double p);
// Probability that a standard normal lies below x.
double normal_below(double x);

// Uniform and normal numbers of a seed: the generator and what is made of it are fixed by the C++
// standard (mt19937_64) and by the quantile function above, not by a library's taste.
class Sampler {
 public:
  explicit Sampler(std::uint64_t seed) : generator_(seed) {}
  double uniform();  // in (0, 1), both ends excluded
  double normal() { return normal_quantile(uniform()); }

 private:
  std::mt19937_64 generator_;
};

// The value below which a share p of the samples lies, 0 <= p <= 1: the order statistic nearest to
// it (JCGM 101 cl. 7.7). Reorders the samples. Not for an empty list.
double quantile(std::vector<double>& samples, double p);

}  // namespace trammel
