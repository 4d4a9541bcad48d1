// What the step travel says, told once.
#pragma once

#include <vector>

#include "told/section.h"
#include "travel/band.h"
#include "travel/sweep.h"

namespace trammel {

// One axle in every ride state of its file, over the travel that matters; the highest body first.
struct AxleOverview {
  AxleName axle = AxleName::front;
  std::array<double, 2> window_mm{-30.0, 40.0};
  std::vector<Sweep> states;      // each over the window in steps of 1 mm
  std::vector<double> height_mm;  // of each state, above as measured
};

// Every axle in every state. No answer where the car does not stand in one of them.
Answer<std::vector<AxleOverview>, NotStanding> overview(
    const Car& car, const std::array<std::array<double, 2>, 2>& window_mm);

// The window used where the file asks for none: what a road car uses of its travel (common
// practice).
inline constexpr std::array<double, 2> usual_window_mm{-30.0, 30.0};

// What lowering did and what the wheels do now.
Section tell(const Car& car, const std::vector<AxleOverview>& axles, const Spread& spread,
             Units units);

// One axle position by position; `sides` are those asked for. `bands`: of told_bands at the same
// travels; empty where nothing is uncertain.
Section tell(const Car& car, const Sweep& sweep, const Bands& bands, const std::vector<Side>& sides,
             Units units);
// What travel's bands are of, wherever they are told.
const std::vector<BandOf>& told_bands();

// "as_built" as words: "as built".
std::string state_words(std::string_view state);

}  // namespace trammel
