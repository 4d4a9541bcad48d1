// Least squares against the nonlinear regression sets of NIST's Statistical Reference Datasets
// (StRD). The .dat files in nist/ are NIST's own, unchanged: data, two starts each, and values
// certified to eleven digits.

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <iterator>
#include <numeric>
#include <ostream>
#include <sstream>
#include <string>
#include <string_view>
#include <vector>

#include "base/least_squares.h"

namespace trammel::testing {
namespace {

struct Dataset {
  std::vector<double> start[2];
  std::vector<double> certified, deviation;
  double sum_of_squares = 0.0;
  std::size_t observations = 0;
  std::vector<double> y, x;
};

void read_dataset(const std::string& path, Dataset& d) {
  std::ifstream file(path);
  ASSERT_TRUE(file) << path;
  constexpr std::string_view squares = "Residual Sum of Squares:",
                             count = "Number of Observations:";
  for (std::string line; std::getline(file, line);) {
    std::istringstream words(line);
    if (line.starts_with(squares)) {
      words.ignore(squares.size()) >> d.sum_of_squares;
    } else if (line.starts_with(count)) {
      words.ignore(count.size()) >> d.observations;
    } else if (line.starts_with("  b")) {
      std::string name, equals;
      double start_1 = 0, start_2 = 0, value = 0, deviation = 0;
      if (words >> name >> equals >> start_1 >> start_2 >> value >> deviation) {
        d.start[0].push_back(start_1);
        d.start[1].push_back(start_2);
        d.certified.push_back(value);
        d.deviation.push_back(deviation);
      }
    } else {
      // Only the data are lines of two numbers and nothing else.
      double y = 0, x = 0;
      if (words >> y >> x && (words >> std::ws).eof()) {
        d.y.push_back(y);
        d.x.push_back(x);
      }
    }
  }
}

// The model's value at x; `slopes` becomes its derivatives with b.
using Model = double (*)(const std::vector<double>& b, double x, std::vector<double>& slopes);

double exponential_rise(const std::vector<double>& b, double x, std::vector<double>& slopes) {
  const double e = std::exp(-b[1] * x);
  slopes = {1 - e, b[0] * x * e};
  return b[0] * (1 - e);
}

double linear_over_quadratic(const std::vector<double>& b, double x, std::vector<double>& slopes) {
  const double over = x * x + x * b[1], under = x * x + x * b[2] + b[3];
  const double y = b[0] * over / under;
  slopes = {over / under, b[0] * x / under, -y * x / under, -y / under};
  return y;
}

double cubic_over_cubic(const std::vector<double>& b, double x, std::vector<double>& slopes) {
  const double over = b[0] + x * (b[1] + x * (b[2] + x * b[3]));
  const double under = 1 + x * (b[4] + x * (b[5] + x * b[6]));
  const double y = over / under, one = 1 / under;
  slopes = {one,          x * one,          x * x * one,         x * x * x * one,
            -y * x * one, -y * x * x * one, -y * x * x * x * one};
  return y;
}

double power(const std::vector<double>& b, double x, std::vector<double>& slopes) {
  const double p = std::pow(b[1] + x, -1 / b[2]);
  const double y = b[0] * p;
  slopes = {p, -y / (b[2] * (b[1] + x)), y * std::log(b[1] + x) / (b[2] * b[2])};
  return y;
}

double exponential_of_inverse(const std::vector<double>& b, double x, std::vector<double>& slopes) {
  const double e = std::exp(b[1] / (x + b[2]));
  const double y = b[0] * e;
  slopes = {e, y / (x + b[2]), -y * b[1] / ((x + b[2]) * (x + b[2]))};
  return y;
}

double sigmoid(const std::vector<double>& b, double x, std::vector<double>& slopes) {
  const double e = std::exp(b[1] - b[2] * x);
  const double p = std::pow(1 + e, -1 / b[3]);
  const double y = b[0] * p;
  const double by_exponent = -y * e / (b[3] * (1 + e));
  slopes = {p, by_exponent, -x * by_exponent, y * std::log1p(e) / (b[3] * b[3])};
  return y;
}

Rows rows_of(const Dataset& d, Model model) {
  return [&d, model](const std::vector<double>& b, std::vector<Row>& rows) {
    rows.clear();
    std::vector<double> slopes;
    for (std::size_t i = 0; i < d.y.size(); ++i) {
      Row row{model(b, d.x[i], slopes) - d.y[i], {}};
      for (std::size_t k = 0; k < b.size(); ++k)
        row.slopes.push_back({static_cast<int>(k), slopes[k]});
      rows.push_back(std::move(row));
    }
    return true;
  };
}

// Digits that agree: the log relative error, at most the eleven that are certified.
double digits(double value, double certified) {
  const double relative = std::fabs(value - certified) / std::fabs(certified);
  return std::isfinite(relative) ? std::min(11.0, -std::log10(relative)) : -11.0;
}

// A sum of squares has sixteen digits and is flat at its minimum, so that it places the parameters
// to about eight, counted in their standard deviations.
constexpr double enough = 6.0;
constexpr int most_steps = 20000;

void expect_certified(const Dataset& d, const LeastSquares& fit) {
  EXPECT_EQ(fit.ended, Ended::settled) << fit.steps << " steps";
  const std::size_t n = d.certified.size();
  ASSERT_EQ(fit.x.size(), n);
  EXPECT_GT(digits(fit.sum_of_squares, d.sum_of_squares), enough) << fit.sum_of_squares;
  const Held h = held(fit.rows, static_cast<int>(n));
  EXPECT_EQ(h.rank, static_cast<int>(n));
  // Not the header's degrees of freedom: Rat43's says 9, its own certified deviations 11.
  const double variance = fit.sum_of_squares / static_cast<double>(d.y.size() - n);
  for (std::size_t k = 0; k < n; ++k) {
    const int i = static_cast<int>(k);
    const double deviation = std::sqrt(variance * h.covariance(i, i));
    EXPECT_GT(digits(fit.x[k], d.certified[k]), enough) << "b" << k + 1 << " " << fit.x[k];
    EXPECT_GT(digits(deviation, d.deviation[k]), enough) << "b" << k + 1 << " +- " << deviation;
  }
}

struct Problem {
  const char* set;
  Model model;
  std::size_t observations, parameters;
};
void PrintTo(const Problem& problem, std::ostream* out) { *out << problem.set; }
constexpr Problem problems[] = {
    {"Misra1a", exponential_rise, 14, 2},     {"MGH09", linear_over_quadratic, 11, 4},
    {"Thurber", cubic_over_cubic, 37, 7},     {"Bennett5", power, 154, 3},
    {"MGH10", exponential_of_inverse, 16, 3}, {"Rat43", sigmoid, 15, 4},
    {"BoxBOD", exponential_rise, 6, 2}};

class Nist : public ::testing::TestWithParam<Problem> {
 protected:
  void SetUp() override {
    read_dataset(std::string(NIST_FOLDER "/") + GetParam().set + ".dat", data);
    // A file that was misread would be found out here, not by a lenient score.
    ASSERT_EQ(data.y.size(), GetParam().observations);
    ASSERT_EQ(data.observations, GetParam().observations);
    ASSERT_EQ(data.certified.size(), GetParam().parameters);
    ASSERT_GT(data.sum_of_squares, 0.0);
  }
  Rows rows() const { return rows_of(data, GetParam().model); }

  Dataset data;
};

// The derivatives by hand against the models' own differences, at the certified values.
TEST_P(Nist, SlopesAreTheModels) {
  constexpr double relative_step = 1e-5, difference_error = 1e-7;
  std::vector<Row> here, ahead, behind;
  ASSERT_TRUE(rows()(data.certified, here));
  for (std::size_t k = 0; k < data.certified.size(); ++k) {
    auto b = data.certified;
    const double step = relative_step * std::fabs(b[k]);
    b[k] = data.certified[k] + step;
    rows()(b, ahead);
    b[k] = data.certified[k] - step;
    rows()(b, behind);
    double largest = 0.0;
    for (const auto& row : here) largest = std::max(largest, std::fabs(row.slopes[k].per));
    for (std::size_t i = 0; i < here.size(); ++i)
      EXPECT_NEAR(here[i].slopes[k].per, (ahead[i].off - behind[i].off) / (2 * step),
                  difference_error * largest)
          << "b" << k + 1 << " row " << i;
  }
}

TEST_P(Nist, FromTheNearStart) {
  expect_certified(data, least_squares(rows(), data.start[1], most_steps));
}

class NistFar : public Nist {};

TEST_P(NistFar, FromTheFarStart) {
  expect_certified(data, least_squares(rows(), data.start[0], most_steps));
}

// From its far start BoxBOD runs out to an endless rate, where the model is flat: the mean of all
// readings. The near start beside it finds that out.
class NistFalse : public Nist {};

TEST_P(NistFalse, FromBothStarts) {
  const auto all = least_squares_from(rows(), {data.start[0], data.start[1]}, most_steps);
  EXPECT_EQ(all.from, 1U);
  expect_certified(data, all.best);
  ASSERT_EQ(all.elsewhere.size(), 1U);
  const double mean =
      std::accumulate(data.y.begin(), data.y.end(), 0.0) / static_cast<double>(data.y.size());
  double about_mean = 0.0;
  for (const double y : data.y) about_mean += (y - mean) * (y - mean);
  EXPECT_GT(digits(all.elsewhere[0].x[0], mean), enough);
  EXPECT_GT(digits(all.elsewhere[0].sum_of_squares, about_mean), enough);
}

std::string set_of(const ::testing::TestParamInfo<Problem>& problem) { return problem.param.set; }
constexpr auto box_bod = std::end(problems) - 1;
INSTANTIATE_TEST_SUITE_P(StRD, Nist, ::testing::ValuesIn(problems), set_of);
INSTANTIATE_TEST_SUITE_P(StRD, NistFar, ::testing::ValuesIn(std::begin(problems), box_bod), set_of);
INSTANTIATE_TEST_SUITE_P(StRD, NistFalse, ::testing::Values(*box_bod), set_of);

}  // namespace
}  // namespace trammel::testing
