// A car with the survey that was taken of it, read from one text.
#pragma once

#include <gtest/gtest.h>

#include <string>
#include <utility>

#include "cars.h"
#include "measure/adjustment.h"

namespace trammel::testing {

// A network keeps references to both.
struct Surveyed {
  explicit Surveyed(const std::string& text)
      : document(*parse(text).value), car(car_of(text)), survey(read_survey(document, car)) {
    for (const auto& f : survey.faults) ADD_FAILURE() << f.what;
  }
  Document document;
  Car car;
  Survey survey;
};

inline Adjusted adjusted(const Car& car, const Survey& survey) {
  auto a = adjust(car, survey);
  EXPECT_TRUE(a.value) << a.why;
  return a.value ? std::move(*a.value) : Adjusted{};
}
inline Adjusted adjusted(const std::string& text) {
  const Surveyed s(text);
  return adjusted(s.car, s.survey);
}

}  // namespace trammel::testing
