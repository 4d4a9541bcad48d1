// Surveys that lead the sums to places where a gauge run has no position: what is known of every
// row is that of the place where they end, however far the last one tried got.

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <filesystem>

#include "cars.h"
#include "measure/fit.h"
#include "measure/suspects.h"

namespace trammel::testing {
namespace {

std::vector<std::string> surveys() {
  std::vector<std::string> names;
  for (const auto& f : std::filesystem::directory_iterator(CARS_FOLDER "/../tests/measure/surveys"))
    names.push_back(f.path().filename().string());
  std::sort(names.begin(), names.end());
  return names;
}

class CutShort : public ::testing::TestWithParam<std::string> {};
INSTANTIATE_TEST_SUITE_P(Surveys, CutShort, ::testing::ValuesIn(surveys()), [](const auto& i) {
  auto name = i.param.substr(0, i.param.find('.'));
  std::replace(name.begin(), name.end(), '-', '_');
  return name;
});

TEST_P(CutShort, EveryRowHasItsSource) {
  const auto text = demo_text("../tests/measure/surveys/" + GetParam());
  const auto document = parse(text);
  ASSERT_TRUE(document.value) << faults_of(text);
  const auto car = car_of(text);
  const auto survey = read_survey(*document.value, car);
  ASSERT_TRUE(survey.faults.empty());
  const Network network(car, survey);
  const auto fit = fit_survey(network, network.nothing_left_out(), {network.start()});
  if (fit.value) {
    EXPECT_EQ(fit.value->rows.size(), fit.value->sources.size());
    const auto found = find_suspects(network, car, survey, *fit.value, {});
    if (found.value) {
      EXPECT_EQ(found.value->fit.rows.size(), found.value->fit.sources.size());
    }
  }
  const auto adjusted = adjust(car, survey);
  ASSERT_NE(adjusted.value.has_value(), !adjusted.why.empty());
  if (!adjusted.value) return;
  for (const auto& p : adjusted.value->points)
    for (int axis = 0; axis < 3; ++axis) {
      EXPECT_TRUE(std::isfinite(p.at_mm[axis])) << p.name;
      EXPECT_TRUE(std::isfinite(p.sigma_mm[axis])) << p.name;
    }
}

}  // namespace
}  // namespace trammel::testing
