// Distributions against tables and closed forms; uncertainties, by slopes and by samples, against
// the examples of the GUM (JCGM 100), of its supplement 1 (JCGM 101) and of an NPL report.

#include "base/statistics.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <numeric>

#include "base/check.h"
#include "base/matrix.h"

namespace trammel {
namespace {

constexpr double last_digits = 1e-13;    // of a double, after a short sum
constexpr double four_places = 6e-5;     // half of the last printed digit, and rounding
constexpr double three_decimals = 6e-4;  // the same

// Standard tables of chi-square; recomputed independently.
TEST(Statistics, ChiSquareCriticalValues) {
  constexpr double below[] = {0.025, 0.05, 0.95, 0.975, 0.99};
  struct Line {
    double degrees, critical[5];
  };
  constexpr Line table[] = {
      {1, {0.001, 0.004, 3.841, 5.024, 6.635}},     {2, {0.051, 0.103, 5.991, 7.378, 9.210}},
      {3, {0.216, 0.352, 7.815, 9.348, 11.345}},    {5, {0.831, 1.145, 11.070, 12.833, 15.086}},
      {8, {2.180, 2.733, 15.507, 17.535, 20.090}},  {10, {3.247, 3.940, 18.307, 20.483, 23.209}},
      {20, {9.591, 10.851, 31.410, 34.170, 37.566}}};
  for (const auto& line : table)
    for (std::size_t i = 0; i < 5; ++i) {
      // The critical value lies within the rounding of the printed one.
      EXPECT_GT(chi_square_above(line.critical[i] - three_decimals, line.degrees), 1.0 - below[i])
          << line.degrees << " " << below[i];
      EXPECT_LT(chi_square_above(line.critical[i] + three_decimals, line.degrees), 1.0 - below[i])
          << line.degrees << " " << below[i];
    }
}

// Own: closed forms for one, two and four degrees of freedom.
TEST(Statistics, ChiSquareInClosedForm) {
  for (double x : {1e-6, 0.01, 0.5, 1.0, 3.0, 9.0, 40.0, 200.0}) {
    const double e = std::exp(-0.5 * x);
    EXPECT_NEAR(chi_square_above(x, 1.0) / std::erfc(std::sqrt(0.5 * x)), 1.0, last_digits) << x;
    EXPECT_NEAR(chi_square_above(x, 2.0) / e, 1.0, last_digits) << x;
    EXPECT_NEAR(chi_square_above(x, 4.0) / (e * (1.0 + 0.5 * x)), 1.0, last_digits) << x;
  }
  EXPECT_EQ(chi_square_above(0.0, 3.0), 1.0);
  EXPECT_EQ(chi_square_above(-1.0, 3.0), 1.0);
}

// Baarda's critical values, two-sided, and his non-centralities for a power of 0.80 (Baarda 1968,
// from memory; recomputed).
TEST(Statistics, NormalCriticalValues) {
  EXPECT_NEAR(normal_quantile(1.0 - 0.05 / 2), 1.9600, four_places);
  EXPECT_NEAR(normal_quantile(1.0 - 0.01 / 2), 2.5758, four_places);
  EXPECT_NEAR(normal_quantile(1.0 - 0.001 / 2), 3.2905, four_places);
  const double strict = normal_quantile(1.0 - 0.001 / 2) + normal_quantile(0.80);
  EXPECT_NEAR(strict, 4.1321, four_places);
  EXPECT_NEAR(strict * strict, 17.0746, four_places);
  const double usual = normal_quantile(1.0 - 0.05 / 2) + normal_quantile(0.80);
  EXPECT_NEAR(usual, 2.8016, four_places);
  EXPECT_NEAR(usual * usual, 7.8489, four_places);
}

// Own: the quantile undoes the probability, which is the library's erfc, far into both tails.
TEST(Statistics, NormalQuantileUndoesTheProbability) {
  EXPECT_EQ(normal_quantile(0.5), 0.0);
  EXPECT_EQ(normal_below(0.0), 0.5);
  for (int decade = -300; decade < 0; ++decade)
    for (const double digit : {1.0, 2.0, 4.5}) {
      const double p = digit * std::pow(10.0, decade);
      const double x = normal_quantile(p);
      // An ulp of x is this much of p there.
      EXPECT_NEAR(normal_below(x) / p, 1.0, last_digits * (1.0 + 0.01 * x * x)) << p;
      if (p > 1e-9) {
        EXPECT_NEAR(normal_quantile(1.0 - p), -x, 4e-16 / p) << p;  // what 1 - p lost
      }
    }
}

TEST(Statistics, AsksForAProbability) {
  EXPECT_THROW(normal_quantile(0.0), Bug);
  EXPECT_THROW(normal_quantile(1.0), Bug);
  EXPECT_THROW(chi_square_above(1.0, 0.0), Bug);
  std::vector<double> none, one = {1.0};
  EXPECT_THROW(quantile(none, 0.5), Bug);
  EXPECT_THROW(quantile(one, 1.5), Bug);
}

// JCGM 101 cl. 7.7: an order statistic, never a value between two samples.
TEST(Statistics, QuantileIsAnOrderStatistic) {
  std::vector<double> samples(101);
  std::iota(samples.begin(), samples.end(), 0.0);
  std::reverse(samples.begin(), samples.end());
  std::swap(samples[3], samples[70]);
  EXPECT_EQ(quantile(samples, 0.0), 0.0);
  EXPECT_EQ(quantile(samples, 1.0), 100.0);
  EXPECT_EQ(quantile(samples, 0.5), 50.0);
  EXPECT_EQ(quantile(samples, 0.025), 3.0);  // 2.5, rounded up
  EXPECT_EQ(quantile(samples, 0.974), 97.0);
  EXPECT_EQ(samples.size(), 101U);
  std::vector<double> two = {7.0, 5.0}, one = {4.0};
  EXPECT_EQ(quantile(two, 0.49), 5.0);
  EXPECT_EQ(quantile(two, 0.51), 7.0);
  EXPECT_EQ(quantile(one, 0.3), 4.0);
}

// The 10000th number of mt19937_64 from its default seed, by the C++ standard [rand.predef].
TEST(Sampler, UsesTheStandardsGenerator) {
  constexpr std::uint64_t ten_thousandth = 9981545732273789042U;
  Sampler s(std::mt19937_64::default_seed);
  for (int i = 1; i < 10000; ++i) s.uniform();
  // The upper 52 bits, half a step off the grid.
  EXPECT_EQ(s.uniform(), (static_cast<double>(ten_thousandth >> 12) + 0.5) / 0x1p52);
}

TEST(Sampler, SameSeedSameSamples) {
  // Written down from a run, to notice a change; nothing else is known about them.
  Sampler u(1), n(1);
  for (const double first : {0.13387664401253263, 0.13640703636619722, 0.45121490384453822})
    EXPECT_EQ(u.uniform(), first);
  for (const double first : {-1.108251330710932, -1.096605064255539, -0.1225924824320072})
    EXPECT_NEAR(n.normal(), first, last_digits);
  Sampler a(42), again(42), b(43);
  bool all_alike = true;
  for (int i = 0; i < 100; ++i) {
    const double x = a.normal();
    EXPECT_EQ(x, again.normal());
    all_alike = all_alike && x == b.normal();
  }
  EXPECT_FALSE(all_alike);
}

// Samples of this many; with fixed seeds, so a test passes always or never. Tolerances are four
// standard errors of what is estimated.
constexpr int many = 200000;
constexpr double errors = 4.0;

double mean_of(const std::vector<double>& v) {
  return std::accumulate(v.begin(), v.end(), 0.0) / static_cast<double>(v.size());
}
double moment(const std::vector<double>& v, double about, int power) {
  double sum = 0.0;
  for (const double x : v) sum += std::pow(x - about, power);
  return sum / static_cast<double>(v.size());
}
double deviation_of(const std::vector<double>& v) { return std::sqrt(moment(v, mean_of(v), 2)); }
template <class Draw>
std::vector<double> drawn(Draw draw) {
  std::vector<double> v(many);
  std::generate(v.begin(), v.end(), draw);
  return v;
}
// Standard error of the mean of `many` with this standard deviation.
double mean_error(double deviation) { return deviation / std::sqrt(double{many}); }
// Standard error of a share p's quantile where the density is this.
double quantile_error(double p, double density) {
  return std::sqrt(p * (1.0 - p) / many) / density;
}
// Standard error of a standard deviation, from kurtosis (3 of a normal).
double deviation_error(double deviation, double kurtosis) {
  return deviation * std::sqrt((kurtosis - 1.0) / many) / 2.0;
}

TEST(Sampler, MomentsOfUniformNumbers) {
  Sampler s(101);
  const auto v = drawn([&] { return s.uniform(); });
  EXPECT_GT(*std::min_element(v.begin(), v.end()), 0.0);
  EXPECT_LT(*std::max_element(v.begin(), v.end()), 1.0);
  // Central moments of a rectangle of width 1: 1/12, 0, 1/80, 0, 1/448, 0, 1/2304.
  EXPECT_NEAR(mean_of(v), 0.5, errors * mean_error(std::sqrt(1.0 / 12)));
  EXPECT_NEAR(moment(v, 0.5, 2), 1.0 / 12, errors * mean_error(std::sqrt(1.0 / 80 - 1.0 / 144)));
  EXPECT_NEAR(moment(v, 0.5, 3), 0.0, errors * mean_error(std::sqrt(1.0 / 448)));
  EXPECT_NEAR(moment(v, 0.5, 4), 1.0 / 80, errors * mean_error(std::sqrt(1.0 / 2304 - 1.0 / 6400)));
  // Neighbours do not know each other.
  double product = 0.0;
  for (std::size_t i = 1; i < v.size(); ++i) product += (v[i] - 0.5) * (v[i - 1] - 0.5);
  EXPECT_NEAR(product / many, 0.0, errors * mean_error(1.0 / 12));
}

TEST(Sampler, MomentsOfNormalNumbers) {
  Sampler s(102);
  const auto v = drawn([&] { return s.normal(); });
  // Moments 1, 0, 3, 0, 15, 0, 105.
  EXPECT_NEAR(mean_of(v), 0.0, errors * mean_error(1.0));
  EXPECT_NEAR(moment(v, 0.0, 2), 1.0, errors * mean_error(std::sqrt(3.0 - 1.0)));
  EXPECT_NEAR(moment(v, 0.0, 3), 0.0, errors * mean_error(std::sqrt(15.0)));
  EXPECT_NEAR(moment(v, 0.0, 4), 3.0, errors * mean_error(std::sqrt(105.0 - 9.0)));
}

// Simultaneous resistance and reactance: five readings at once of voltage, current and phase (JCGM
// 100:2008 H.2), whose means are correlated.
TEST(Propagated, ResistanceAndReactance) {
  constexpr int sets = 5;
  constexpr double readings[3][sets] = {{5.007, 4.994, 5.005, 4.990, 4.999},                 // V
                                        {0.019663, 0.019639, 0.019640, 0.019685, 0.019678},  // A
                                        {1.0456, 1.0438, 1.0468, 1.0428, 1.0433}};           // rad
  std::array<double, 3> mean{};
  for (std::size_t i = 0; i < 3; ++i)
    mean[i] = std::accumulate(readings[i], readings[i] + sets, 0.0) / sets;
  Matrix c(3, 3);
  for (int i = 0; i < 3; ++i)
    for (int j = 0; j < 3; ++j)
      for (int k = 0; k < sets; ++k)
        c(i, j) += (readings[i][k] - mean[static_cast<std::size_t>(i)]) *
                   (readings[j][k] - mean[static_cast<std::size_t>(j)]) / (sets * (sets - 1));
  const auto u = [](const Matrix& m, int i) { return std::sqrt(m(i, i)); };
  const auto r = [&](const Matrix& m, int i, int j) { return m(i, j) / u(m, i) / u(m, j); };
  // The inputs, to the published digits.
  EXPECT_NEAR(u(c, 0), 0.0032, 6e-5);
  EXPECT_NEAR(u(c, 1), 0.0095e-3, 6e-8);
  EXPECT_NEAR(u(c, 2), 0.00075, 6e-6);
  EXPECT_NEAR(r(c, 0, 1), -0.355, three_decimals);
  EXPECT_NEAR(r(c, 0, 2), 0.858, three_decimals);
  EXPECT_NEAR(r(c, 1, 2), -0.645, three_decimals);

  const auto [v, i, phi] = mean;
  const double z = v / i, resistance = z * std::cos(phi), reactance = z * std::sin(phi);
  const Matrix y =
      propagated({{{0, std::cos(phi) / i}, {1, -resistance / i}, {2, -reactance}},
                  {{0, std::sin(phi) / i}, {1, -reactance / i}, {2, resistance}},
                  {{0, 1.0 / i}, {1, -z / i}}},  // the impedance does not hang on the phase
                 c);
  ASSERT_EQ(y.rows, 3);
  ASSERT_EQ(y.columns, 3);
  EXPECT_NEAR(resistance, 127.732, three_decimals);
  EXPECT_NEAR(reactance, 219.847, three_decimals);
  EXPECT_NEAR(z, 254.260, three_decimals);
  EXPECT_NEAR(u(y, 0), 0.071, three_decimals);
  EXPECT_NEAR(u(y, 1), 0.295, 1e-3);  // printed cut off, not rounded
  EXPECT_NEAR(u(y, 2), 0.236, three_decimals);
  // Recomputed, without rounding the inputs.
  EXPECT_NEAR(u(y, 0), 0.071071, 6e-7);
  EXPECT_NEAR(u(y, 1), 0.295582, 6e-7);
  EXPECT_NEAR(u(y, 2), 0.236336, 6e-7);
  EXPECT_NEAR(r(y, 0, 1), -0.588, three_decimals);
  EXPECT_NEAR(r(y, 0, 2), -0.485, three_decimals);
  EXPECT_NEAR(r(y, 1, 2), 0.993, three_decimals);
  for (int p = 0; p < 3; ++p)
    for (int q = 0; q < 3; ++q) EXPECT_EQ(y(p, q), y(q, p));
}

// Calibration of an end gauge of 50 mm (JCGM 100:2008 H.1): l = ls + d - ls (da t + as dt), lengths
// in nanometres. By slopes its u is 32 nm; two of the inputs are zero at the middle, so that what
// they do together shows only in samples: 34 nm (H.1.7; both from the text, 34 from memory).
TEST(Propagated, EndGauge) {
  constexpr double ls = 50.000623e6, d = 215.0, as = 11.5e-6, t = -0.1;
  constexpr double rectangle = 1.0 / std::numbers::sqrt3;  // u of a half width of one
  // Of the difference: five readings of a comparator good to 13 nm, and what the comparator adds.
  const double u_d = std::sqrt(5.8 * 5.8 + 3.9 * 3.9 + 6.7 * 6.7);
  EXPECT_NEAR(u_d, 9.7, 0.05);
  const double u_da = 1e-6 * rectangle, u_dt = 0.05 * rectangle, u_as = 2e-6 * rectangle;
  const double u_t = std::hypot(0.2, 0.5 / std::numbers::sqrt2);  // the cycle's is an arcsine
  Matrix c(6, 6);
  const double u[] = {25.0, u_d, u_da, u_t, u_as, u_dt};
  for (int k = 0; k < 6; ++k) c(k, k) = u[k] * u[k];
  EXPECT_NEAR((ls + d) * 1e-6, 50.000838, 6e-7);
  const auto alone = [&](int k, double slope) {
    return std::sqrt(propagated({{{k, slope}}}, c)(0, 0));
  };
  EXPECT_NEAR(alone(0, 1.0), 25.0, 0.05);
  EXPECT_NEAR(alone(1, 1.0), 9.7, 0.05);
  EXPECT_NEAR(alone(2, -ls * t), 2.9, 0.05);
  EXPECT_NEAR(alone(5, -ls * as), 16.6, 0.05);
  const double by_slopes =
      std::sqrt(propagated({{{0, 1.0}, {1, 1.0}, {2, -ls * t}, {5, -ls * as}}}, c)(0, 0));
  EXPECT_NEAR(by_slopes, 32.0, 0.5);
  EXPECT_NEAR(by_slopes, 31.66, 0.006);

  Sampler s(101);
  const auto wide = [&](double half) { return half * (2.0 * s.uniform() - 1.0); };
  const auto lengths = drawn([&] {
    const double now = t + 0.2 * s.normal() + 0.5 * std::sin(2.0 * std::numbers::pi * s.uniform());
    return 25.0 * s.normal() + u_d * s.normal() -
           ls * (wide(1e-6) * now + (as + wide(2e-6)) * wide(0.05));
  });
  // With the products of two u: the square root of 31.66^2 + 11.7^2 + 1.7^2 (H.1.7).
  const double together = std::sqrt(by_slopes * by_slopes + std::pow(ls * u_da * u_t, 2) +
                                    std::pow(ls * u_as * u_dt, 2));
  EXPECT_NEAR(together, 34.0, 0.5);
  EXPECT_NEAR(deviation_of(lengths), together, errors * deviation_error(together, 3.0));
}

// JCGM 101:2008 9.2: Y = X1 + X2 + X3 + X4.
constexpr double unit_rectangle = std::numbers::sqrt3;  // half width for a standard deviation of 1

void expect_sum(std::vector<double> y, double u, double kurtosis, double end, double density) {
  EXPECT_NEAR(mean_of(y), 0.0, errors * mean_error(u));
  EXPECT_NEAR(deviation_of(y), u, errors * deviation_error(u, kurtosis));
  const double tolerance = errors * quantile_error(0.025, density);
  EXPECT_NEAR(quantile(y, 0.025), -end, tolerance);
  EXPECT_NEAR(quantile(y, 0.975), end, tolerance);
}

// 9.2.2: four standard normals; u(y) 2.0, 95 % within 3.92.
TEST(Samples, SumOfFourNormals) {
  Sampler s(922);
  constexpr double end = 3.919928;
  const double density = std::exp(-end * end / 8) / std::sqrt(8 * std::numbers::pi);
  expect_sum(drawn([&] { return s.normal() + s.normal() + s.normal() + s.normal(); }), 2.0, 3.0,
             end, density);
  // By slopes, exactly: the sum is linear.
  Matrix c(4, 4);
  for (int k = 0; k < 4; ++k) c(k, k) = 1.0;
  EXPECT_NEAR(propagated({{{0, 1.0}, {1, 1.0}, {2, 1.0}, {3, 1.0}}}, c)(0, 0), 4.0, last_digits);
}

// 9.2.3: four rectangles of standard deviation 1; u(y) 2.0, 95 % within 3.88, exactly
// 2 sqrt(3) (2 - (3/5)^(1/4)).
TEST(Samples, SumOfFourRectangles) {
  Sampler s(923);
  const auto x = [&] { return unit_rectangle * (2.0 * s.uniform() - 1.0); };
  const double end = 2.0 * unit_rectangle * (2.0 - std::pow(0.6, 0.25));
  EXPECT_NEAR(end, 3.88, 6e-3);
  const double density = std::pow(0.6, 0.75) / 6 / (2.0 * unit_rectangle);  // of the cubic tail
  // Excess kurtosis of a rectangle is -6/5, of a sum of n of them that over n.
  expect_sum(drawn([&] { return x() + x() + x() + x(); }), 2.0, 3.0 - 0.3, end, density);
}

// 9.2.4: one of the rectangles ten times as wide (from memory of the standard, exact end of the
// interval recomputed); u(y) 10.1, 95 % within 17.0 where a normal of that u would say 19.9.
TEST(Samples, SumWithOneWideRectangle) {
  Sampler s(924);
  const auto x = [&] { return unit_rectangle * (2.0 * s.uniform() - 1.0); };
  const double u = std::sqrt(103.0);
  constexpr double density = 0.0163;  // at the end of the interval, from the exact density
  const double kurtosis = 3.0 - 1.2 * (10003.0 / (103.0 * 103.0));
  expect_sum(drawn([&] { return x() + x() + x() + 10.0 * x(); }), u, kurtosis, 17.015814, density);
  EXPECT_NEAR(u, 10.1, 0.06);
  EXPECT_NEAR(normal_quantile(0.975) * u, 19.9, 0.06);
}

// y = ln x, x rectangular from 0.1 to 1.1 (NPL report DEM-ES-011, 9.2), where slopes mislead.
TEST(Samples, LogarithmOfARectangle) {
  constexpr double low = 0.1, high = 1.1, middle = 0.6, half_width = 0.5;
  // First order: -0.511, 0.481.
  Matrix c(1, 1);
  c(0, 0) = half_width * half_width / 3.0;
  EXPECT_NEAR(std::log(middle), -0.511, three_decimals);
  EXPECT_NEAR(std::sqrt(propagated({{{0, 1.0 / middle}}}, c)(0, 0)), 0.481, three_decimals);
  Sampler s(92);
  auto y = drawn([&] { return std::log(low + (high - low) * s.uniform()); });
  // Published -0.665, 0.606; analytically:
  constexpr double mean = -0.664904, deviation = 0.606227;
  EXPECT_NEAR(mean_of(y), mean, errors * mean_error(deviation));
  const double kurtosis = moment(y, mean, 4) / std::pow(deviation, 4);
  EXPECT_NEAR(deviation_of(y), deviation, errors * deviation_error(deviation, kurtosis));
  // Shortest interval of 95 %: the density e^y rises up to the end, so it is the uppermost,
  // published -1.895 to 0.095, analytically ln 0.15 to ln 1.1.
  const double from = quantile(y, 0.05), to = quantile(y, 1.0);
  EXPECT_NEAR(from, std::log(0.15), errors * quantile_error(0.05, 0.15));
  EXPECT_LE(to, std::log(high));
  // The greatest of n misses the end by about 1/n of the whole.
  EXPECT_NEAR(to, std::log(high), 2.0 * errors / many / high);
  for (const double below : {0.01, 0.02, 0.03, 0.04})
    EXPECT_GT(quantile(y, below + 0.95) - quantile(y, below), to - from) << below;
}

// F F' = C, relative to the standard deviations, for a covariance C = B B'.
double miss_of_factor(const std::vector<std::vector<double>>& b) {
  const int n = static_cast<int>(b.size());
  Matrix c(n, n);
  const auto of = [&](int i) -> const std::vector<double>& {
    return b[static_cast<std::size_t>(i)];
  };
  for (int i = 0; i < n; ++i)
    for (int j = 0; j <= i; ++j)
      c(i, j) = c(j, i) = std::inner_product(of(i).begin(), of(i).end(), of(j).begin(), 0.0);
  const Matrix f = factor_of(c);
  EXPECT_EQ(f.rows, n);
  EXPECT_EQ(f.columns, n);
  double worst = 0.0;
  for (int i = 0; i < n; ++i)
    for (int j = 0; j < n; ++j) {
      double sum = 0.0;
      for (int k = 0; k < n; ++k) sum += f(i, k) * f(j, k);
      const double unit = std::sqrt(c(i, i) * c(j, j));
      const double miss = unit > 0.0 ? std::fabs(sum - c(i, j)) / unit : std::fabs(sum);
      worst = miss <= worst ? worst : miss;  // keeps a NaN
    }
  return worst;
}

TEST(FactorOf, MultipliesBack) {
  EXPECT_EQ(factor_of(Matrix()).rows, 0);
  EXPECT_LT(miss_of_factor({{2}}), last_digits);
  EXPECT_LT(miss_of_factor({{1, 0, 0}, {0.9, 0.1, 0}, {-3, 2, 5}}), last_digits);
  EXPECT_LT(miss_of_factor({{1e-6, 0}, {3e2, 4e3}}), last_digits);  // rad beside mm
  EXPECT_THROW(factor_of(Matrix(2, 3)), Bug);
}

TEST(FactorOf, MultipliesBackWhereSomethingIsExact) {
  EXPECT_EQ(miss_of_factor({{0, 0}, {0, 0}}), 0.0);
  EXPECT_LT(miss_of_factor({{0, 0}, {1, 2}, {3, -1}}),
            last_digits);                                   // a coordinate without uncertainty
  EXPECT_LT(miss_of_factor({{1}, {1}, {1}}), last_digits);  // three that move as one
  EXPECT_LT(miss_of_factor({{1}, {-1e-3}, {1e3}}), last_digits);
  EXPECT_LT(miss_of_factor({{1, 2}, {3, 4}, {4, 6}, {-2, -2}}),
            last_digits);  // rank 2 of 4
}

// Random covariances of all ranks, units apart by powers of e cubed.
TEST(FactorOf, MultipliesBackAtAnyRank) {
  Sampler s(7);
  double worst = 0.0;
  for (std::size_t round = 0; round < 20000; ++round) {
    const std::size_t n = 2 + round % 7, rank = 1 + round / 7 % n;
    std::vector<std::vector<double>> b(n, std::vector<double>(rank));
    for (auto& row : b) {
      const double unit = round % 2 == 0 ? 1.0 : std::exp(3.0 * s.normal());
      for (auto& x : row) x = unit * s.normal();
    }
    const double miss = miss_of_factor(b);
    worst = miss <= worst ? worst : miss;
  }
  EXPECT_LT(worst, last_digits);
}

// Samples made with a singular covariance have it, and keep what it holds fixed.
TEST(FactorOf, MakesCorrelatedSamples) {
  Matrix c(3, 3);  // the third is the sum of the first two
  const double entries[3][3] = {{4, -1, 3}, {-1, 1, 0}, {3, 0, 3}};
  for (int i = 0; i < 3; ++i)
    for (int j = 0; j < 3; ++j) c(i, j) = entries[i][j];
  const Matrix f = factor_of(c);
  Sampler s(33);
  Matrix sums(3, 3);
  for (int k = 0; k < many; ++k) {
    const double z[3] = {s.normal(), s.normal(), s.normal()};
    double x[3] = {};
    for (int i = 0; i < 3; ++i)
      for (int j = 0; j < 3; ++j) x[i] += f(i, j) * z[j];
    ASSERT_NEAR(x[0] + x[1], x[2], 1e-6);  // the square root of rounding, generously
    for (int i = 0; i < 3; ++i)
      for (int j = 0; j < 3; ++j) sums(i, j) += x[i] * x[j] / many;
  }
  for (int i = 0; i < 3; ++i)
    for (int j = 0; j < 3; ++j)
      EXPECT_NEAR(sums(i, j), c(i, j),
                  errors * mean_error(std::sqrt(c(i, i) * c(j, j) + c(i, j) * c(i, j))));
}

}  // namespace
}  // namespace trammel
