// The car file that a start makes.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "start/proportions.h"

namespace trammel {

// A length as it was typed, or the usual one in its place.
struct TapeValue {
  double mm = 0.0;
  std::optional<double> sigma_mm;  // as typed with it
  bool typed = false;
};

enum class ToeSetBy { unknown, one_end, both_ends, eccentric, nothing };

struct StartedAxle {
  HeldWheel wheel;
  ToeSetBy toe = ToeSetBy::unknown;
  std::string holder_words;
  TapeValue track, hub, lowered;
};

struct StartedCar {
  std::string name;
  std::array<std::optional<StartedAxle>, 2> axle;  // by AxleName
  std::array<std::string, 2> left_out;             // why there is none, in words
  TapeValue wheelbase, rim_diameter, rim_width, baseline;
};

// What a coordinate that nobody measured is good to: a hand's breadth, one standard uncertainty.
inline constexpr double guess_sigma_mm = 40.0;

std::string started_text(const StartedCar& car);

}  // namespace trammel
