// What is not known exactly of a car: a covariance of joint coordinates and wheel angles.
//
// A survey makes it, or the ± that a file states; bands and chances are sampled from it. The mean
// is the Car it belongs to.
#pragma once

#include <array>
#include <optional>
#include <vector>

#include "base/matrix.h"
#include "base/statistics.h"
#include "car/car.h"

namespace trammel {

// One uncertain number of a car: a coordinate in car axes (mm) or a wheel angle (rad).
struct CarNumber {
  enum class Of { coordinate, camber, toe };
  AxleName axle = AxleName::front;
  Side side = Side::left;
  bool both_sides = false;  // the right side mirrors it
  Of of = Of::coordinate;
  int point = 0, axis = 0;
  friend bool operator==(const CarNumber&, const CarNumber&) = default;
};

struct Spread {
  std::vector<CarNumber> numbers;
  Matrix covariance;  // in their order
  bool empty() const { return numbers.empty(); }
};

// From the ± that a car file states. Numbers without one are exact.
Spread stated_spread(const Car& car);

// The car with each of `numbers` moved by the same entry of `by` (mm or rad, car axes); a number of
// both sides moves the right one's mirror image with it.
Car moved_by(Car car, const std::vector<CarNumber>& numbers, const std::vector<double>& by);

// The covariance of one joint's coordinates in car axes, mm²: rows and columns x, y, z. Zero where
// nothing is said of it. The right side of a shared number is mirrored: what y has to do with x and
// z changes its sign.
using JointCovariance = std::array<std::array<double, 3>, 3>;
JointCovariance joint_covariance(const Spread& spread, AxleName axle, Side side, int point);

// The part of one axle, ready to draw from.
struct AxleSpread {
  std::vector<CarNumber> numbers;
  Matrix factor;  // factor * factor' is their covariance
};
AxleSpread axle_spread(const Spread& spread, AxleName axle);

// Four cars of one axle, in corner axes, by Side.
using DrawnSides = std::array<Numbers<Lanes>, 2>;
// `normals`: as many as there are numbers. The right side is the left one's mirror image where all
// numbers are both sides'.
DrawnSides drawn(const Axle& mean, const AxleSpread& spread, const std::vector<Lanes>& normals);

// The next four of a stream of samples.
std::vector<Lanes> four_normals(Sampler& sampler, std::size_t count);

}  // namespace trammel
