// What is asked of an axle, and how much of each tolerance a set of parts uses.
#pragma once

#include <array>
#include <optional>

#include "file/wishes.h"

namespace trammel {

// What is asked of an axle, with the usual figures where the file is silent.
struct Wanted {
  std::array<double, 2> window_mm;
  double toe_change_rad;
  bool toe_change_is_usual = false;  // the file does not say: common practice
  std::optional<std::array<double, 2>> roll_centre_mm, camber_rad;
};
Wanted wanted_of(const Target& target);

// A target as a middle and how far from it still meets it; none is asked where `half` is infinite.
struct Tolerance {
  double middle = 0.0, half = 0.0;
};
Tolerance toe_change_tolerance(const Wanted& wanted);
Tolerance roll_centre_tolerance(const Wanted& wanted);
Tolerance camber_tolerance(const Wanted& wanted);

// The share of each tolerance that is used: up to 1 meets it; zero where nothing is asked.
struct Shares {
  BySide<double> toe_change{}, camber{};
  double roll_centre = 0.0;
  double largest() const;
  double sum() const;
};
Shares shares_used(const Wanted& wanted, const BySide<double>& toe_change_max_rad,
                   double roll_centre_height_mm, const BySide<double>& camber_rad);
// More than rounding leaves above 1.
inline bool is_missed(double share) { return share > 1.0 + 1e-9; }

}  // namespace trammel
