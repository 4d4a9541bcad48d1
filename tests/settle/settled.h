// A car as it stands and what its springs and stops are then, from one text.
#pragma once

#include <gtest/gtest.h>

#include <string>
#include <utility>

#include "cars.h"
#include "settle/settling.h"
#include "travel/reasons.h"

namespace trammel::testing {

inline Ride standing(const Car& car, const char* state = nullptr) {
  auto r = ride(car, state ? car.state(state) : nullptr);
  EXPECT_TRUE(r.value) << words(r.why, Units::metric);
  return std::move(*r.value);
}

inline Settling settled(const std::string& text, bool corrected = false) {
  const auto document = *parse(text).value;
  const auto car = car_of(text);
  const auto wishes = read_wishes(document, car);
  const auto stands = standing(car);
  return settle(stands, corrected ? correct(stands, {}, wishes) : Correction{}, wishes);
}

inline const StateSettled& sits(const Settling& s) { return s.states[s.sits]; }

}  // namespace trammel::testing
