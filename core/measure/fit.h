// The sums done once: the rows that stand in them and the joints that agree with them best.
#pragma once

#include <vector>

#include "base/answer.h"
#include "base/least_squares.h"
#include "measure/network.h"

namespace trammel {

struct SurveyFit {
  LeftOut out;  // what the sums go without
  std::vector<double> x;
  std::vector<Row> rows;           // at x
  std::vector<RowSource> sources;  // of rows
  Held held;
  double chi_square = 0.0;
  int degrees_of_freedom = 0;
  double chance = 1.0;  // that honest readings fit no better
};

// From the best of `starts`. No answer where the sums cannot begin or do not settle. `other_place`
// is set where a start after the first one led to a better place.
Answer<SurveyFit> fit_survey(const Network& network, LeftOut out,
                             const std::vector<std::vector<double>>& starts,
                             bool* other_place = nullptr);

// What a test must exceed before any of so many readings is doubted.
double critical_test(std::size_t rows);

}  // namespace trammel
