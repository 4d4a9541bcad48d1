#include "car/spread.h"

#include "base/check.h"

namespace trammel {
namespace {

template <class T>
T& number_at(Numbers<T>& of, const CarNumber& n) {
  return n.of == CarNumber::Of::camber ? of.camber_rad
         : n.of == CarNumber::Of::toe  ? of.toe_rad
                                       : of.points_mm[static_cast<std::size_t>(n.point)][n.axis];
}

// -1 where the number runs the other way on `side`: y of the mirror image.
double turned(const CarNumber& n, Side side) {
  return side != n.side && n.of == CarNumber::Of::coordinate && n.axis == 1 ? -1.0 : 1.0;
}

}  // namespace

Spread stated_spread(const Car& car) {
  Spread s;
  std::vector<double> sigma;
  const auto add = [&](CarNumber n, double sd) {
    if (!(sd > 0.0)) return;
    s.numbers.push_back(n);
    sigma.push_back(sd);
  };
  for (const AxleName name : {AxleName::front, AxleName::rear}) {
    const auto& axle = car.at(name);
    if (!axle) continue;
    for (const Side side : {Side::left, Side::right}) {
      if (side == Side::right && axle->right_is_mirrored) continue;
      const auto& corner = axle->at(side);
      CarNumber n;
      n.axle = name;
      n.side = side;
      n.both_sides = axle->right_is_mirrored;
      for (std::size_t p = 0; p < corner.sigma_mm.size(); ++p)
        for (int axis = 0; axis < 3; ++axis) {
          n.point = static_cast<int>(p);
          n.axis = axis;
          add(n, corner.sigma_mm[p][axis]);
        }
      n.point = n.axis = 0;
      n.of = CarNumber::Of::camber;
      add(n, corner.camber_sigma_rad);
      n.of = CarNumber::Of::toe;
      add(n, corner.toe_sigma_rad);
    }
  }
  const int count = static_cast<int>(sigma.size());
  s.covariance = Matrix(count, count);
  for (int i = 0; i < count; ++i) {
    const double sd = sigma[static_cast<std::size_t>(i)];
    s.covariance(i, i) = sd * sd;
  }
  return s;
}

Car moved_by(Car car, const std::vector<CarNumber>& numbers, const std::vector<double>& by) {
  check(numbers.size() == by.size(), "a move for each number",
        {{"numbers", static_cast<double>(numbers.size())},
         {"moves", static_cast<double>(by.size())}});
  for (std::size_t i = 0; i < numbers.size(); ++i) {
    const auto& n = numbers[i];
    for (const Side side : {Side::left, Side::right})
      if (side == n.side || n.both_sides)
        number_at(car.at(n.axle)->at(side).numbers, n) += turned(n, side) * by[i];
  }
  return car;
}

JointCovariance joint_covariance(const Spread& spread, AxleName axle, Side side, int point) {
  JointCovariance c{};
  std::array<int, 3> at{-1, -1, -1};
  std::array<double, 3> sign{1.0, 1.0, 1.0};
  for (std::size_t i = 0; i < spread.numbers.size(); ++i) {
    const auto& n = spread.numbers[i];
    if (n.of != CarNumber::Of::coordinate || n.axle != axle || n.point != point ||
        (n.side != side && !n.both_sides))
      continue;
    const auto k = static_cast<std::size_t>(n.axis);
    at[k] = static_cast<int>(i);
    sign[k] = n.side != side && n.axis == 1 ? -1.0 : 1.0;
  }
  for (std::size_t i = 0; i < 3; ++i)
    for (std::size_t j = 0; j < 3; ++j)
      if (at[i] >= 0 && at[j] >= 0) c[i][j] = sign[i] * sign[j] * spread.covariance(at[i], at[j]);
  return c;
}

AxleSpread axle_spread(const Spread& spread, AxleName axle) {
  AxleSpread part;
  std::vector<int> at;
  for (std::size_t i = 0; i < spread.numbers.size(); ++i)
    if (spread.numbers[i].axle == axle) {
      part.numbers.push_back(spread.numbers[i]);
      at.push_back(static_cast<int>(i));
    }
  const int n = static_cast<int>(at.size());
  Matrix c(n, n);
  for (int i = 0; i < n; ++i)
    for (int j = 0; j < n; ++j)
      c(i, j) = spread.covariance(at[static_cast<std::size_t>(i)], at[static_cast<std::size_t>(j)]);
  part.factor = factor_of(c);
  return part;
}

DrawnSides drawn(const Axle& mean, const AxleSpread& spread, const std::vector<Lanes>& normals) {
  check(normals.size() == spread.numbers.size(), "a normal for each number",
        {{"normals", static_cast<double>(normals.size())},
         {"numbers", static_cast<double>(spread.numbers.size())}});
  DrawnSides sides;
  for (const Side side : {Side::left, Side::right}) {
    const auto& from = mean.at(side).numbers;
    auto& to = sides[static_cast<std::size_t>(side)];
    to.camber_rad = from.camber_rad;
    to.toe_rad = from.toe_rad;
    for (const auto& p : from.points_mm) to.points_mm.push_back({p.x, p.y, p.z});
  }
  for (std::size_t i = 0; i < spread.numbers.size(); ++i) {
    Lanes by(0.0);
    for (std::size_t j = 0; j < normals.size(); ++j)
      by += Lanes(spread.factor(static_cast<int>(i), static_cast<int>(j))) * normals[j];
    const auto& n = spread.numbers[i];
    for (const Side side : {Side::left, Side::right}) {
      if (side != n.side && !n.both_sides) continue;
      number_at(sides[static_cast<std::size_t>(side)], n) += Lanes(turned(n, side)) * by;
    }
  }
  sides[1] = mirrored(std::move(sides[1]));
  return sides;
}

std::vector<Lanes> four_normals(Sampler& sampler, std::size_t count) {
  std::vector<Lanes> normals(count);
  for (auto& n : normals)
    for (std::size_t i = 0; i < lane_count; ++i) n.set(i, sampler.normal());
  return normals;
}

}  // namespace trammel
