// One of each: by side of the car, by axle. What is kept so is asked for by name, and a figure of
// one wheel cannot be taken for the other's.
#pragma once

#include <array>

#include "car/layout.h"

namespace trammel {

inline constexpr std::array<Side, 2> each_side{Side::left, Side::right};
inline constexpr std::array<AxleName, 2> each_axle{AxleName::front, AxleName::rear};
// What points outboard on that side, along y (ISO 8855: y is to the left).
constexpr double outboard_sign(Side s) { return s == Side::left ? 1.0 : -1.0; }
constexpr Side other_side(Side s) { return s == Side::left ? Side::right : Side::left; }

template <class T>
struct BySide {
  T left{}, right{};
  constexpr T& operator[](Side s) { return s == Side::left ? left : right; }
  constexpr const T& operator[](Side s) const { return s == Side::left ? left : right; }
  friend bool operator==(const BySide&, const BySide&) = default;
};

template <class T>
struct ByAxle {
  T front{}, rear{};
  constexpr T& operator[](AxleName a) { return a == AxleName::front ? front : rear; }
  constexpr const T& operator[](AxleName a) const { return a == AxleName::front ? front : rear; }
  friend bool operator==(const ByAxle&, const ByAxle&) = default;
};

}  // namespace trammel
