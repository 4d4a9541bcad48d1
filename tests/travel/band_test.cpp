// Bands against the same cars solved one by one, and against first-order uncertainties.

#include "travel/band.h"

#include <cmath>

#include "cars.h"
#include "travel/reasons.h"
#include "travel/sweep.h"

namespace trammel::testing {
namespace {

// Solved in lanes and alone, Newton ends within rounding of the same position.
constexpr double same_position = 1e-9;
// Rates are taken within 1e-5 mm of the position; a roll centre is some 100 mm times such a rate.
constexpr double same_roll_centre = 1e4;

Ride stands(const Car& car, const char* state = nullptr) {
  auto r = ride(car, state ? car.state(state) : nullptr);
  EXPECT_TRUE(r.value) << words(r.why, Units::metric);
  return std::move(*r.value);
}

// The demo hatch with one lane of a drawn car's numbers.
Car one_of(Car car, AxleName axle, const DrawnSides& sides, std::size_t lane_no) {
  for (const Side side : {Side::left, Side::right}) {
    auto& to = car.at(axle)->at(side).numbers;
    const auto& from = sides[static_cast<std::size_t>(side)];
    for (std::size_t p = 0; p < to.points_mm.size(); ++p)
      for (int axis = 0; axis < 3; ++axis) to.points_mm[p][axis] = from.points_mm[p][axis][lane_no];
    to.camber_rad = from.camber_rad[lane_no];
    to.toe_rad = from.toe_rad[lane_no];
    if (side == Side::right) to = mirrored(std::move(to));
  }
  return car;
}

struct ByHand {
  std::vector<double> toe_change, camber, roll_centre;
};
ByHand by_hand(const Car& car, const char* state, AxleName axle, double travel, double rack,
               int samples, std::uint64_t seed) {
  const auto spread = axle_spread(stated_spread(car), axle);
  Sampler sampler(seed);
  ByHand h;
  for (int i = 0; i < samples; i += 4) {
    const auto sides = drawn(*car.at(axle), spread, four_normals(sampler, spread.numbers.size()));
    for (std::size_t k = 0; k < 4; ++k) {
      const Car one = one_of(car, axle, sides, k);
      auto at = stands(one, state);
      at.pitch_rad = stands(car, state).pitch_rad;  // the floor is the mean car's
      const auto s = sweep(at, axle, {{travel}, rack, 0.0});
      h.toe_change.push_back(s.positions[0].side[0]->toe_change_rad);
      h.camber.push_back((*s.positions[0].side[0])[Reading::camber]);
      h.roll_centre.push_back(s.positions[0].axle->roll_centre_height_mm);
    }
  }
  return h;
}
void expect_band(const LowMiddleHigh& band, std::vector<double> samples, double scale) {
  for (std::size_t i = 0; i < 3; ++i)
    EXPECT_NEAR(band[i], quantile(samples, band_shares[i]), same_position * scale);
}

const BandAsk three{
    {30.0, -30.0, 0.0},
    {{Reading::toe, true}, {Reading::camber, false}, {Reading::roll_centre_height, false}},
    0.0,
    60,
    3};

TEST(Band, IsThatOfTheSameCarsSolvedOneByOne) {
  const Car car = demo("pip.toml");
  const auto b = bands(stands(car), stated_spread(car), AxleName::front, three);
  EXPECT_EQ(b.samples, 60);
  EXPECT_EQ(b.lost, 0);
  const auto hand = by_hand(car, nullptr, AxleName::front, 30.0, 0.0, 60, 3);
  expect_band(b.side[0][0][0], hand.toe_change, 1.0);
  expect_band(b.side[0][1][0], hand.camber, 1.0);
  expect_band(b.roll_centre_height_mm[0], hand.roll_centre, same_roll_centre);
  EXPECT_EQ(b.side[1][0][0], b.side[0][0][0]);  // the right side mirrors the left
}

TEST(Band, OfAStateHoldsWhereItsWheelsWereSet) {
  const Car car = demo("pip.toml");
  const auto b = bands(stands(car, "as_built"), stated_spread(car), AxleName::front,
                       {{-20.0, 0.0}, {{Reading::toe, true}, {Reading::toe, false}}, 0.0, 24, 5});
  const auto hand = by_hand(car, "as_built", AxleName::front, -20.0, 0.0, 24, 5);
  // Each car by hand finds its own floor for toe to be set against; that is pitch of a second
  // order.
  for (std::size_t i = 0; i < 3; ++i) {
    auto samples = hand.toe_change;
    EXPECT_NEAR(b.side[0][0][0][i], quantile(samples, band_shares[i]), 1e-6);
  }
  EXPECT_NEAR(b.side[0][1][1].front(), b.side[0][1][1].back(),
              same_position);  // set, so it is known
}

TEST(Band, TellsTheSidesApartWhereTheRackIsTurned) {
  const Car car = demo("pip.toml");
  auto ask = three;
  ask.rack_mm = 15.0;
  const auto b = bands(stands(car), stated_spread(car), AxleName::front, ask);
  const auto hand = by_hand(car, nullptr, AxleName::front, 30.0, 15.0, 60, 3);
  expect_band(b.side[0][1][0], hand.camber, 1.0);
  expect_band(b.roll_centre_height_mm[0], hand.roll_centre, same_roll_centre);
  EXPECT_GT(std::fabs(b.side[0][1][0][1] - b.side[1][1][0][1]), 0.01);
}

TEST(Band, OfTheLeftAloneIsTheLeftOfBoth) {
  // With the rack turned both sides are solved where both are asked for.
  const Car car = demo("pip.toml");
  auto ask = three;
  ask.rack_mm = 15.0;
  const auto both = bands(stands(car), stated_spread(car), AxleName::front, ask);
  ask.left_alone = true;
  const auto left = bands(stands(car), stated_spread(car), AxleName::front, ask);
  EXPECT_EQ(left.side[0], both.side[0]);
  EXPECT_FALSE(both.side[1].empty());
  EXPECT_TRUE(left.side[1].empty());
  EXPECT_FALSE(both.roll_centre_height_mm.empty());
  EXPECT_TRUE(left.roll_centre_height_mm.empty());
}

TEST(Band, IsAsWideAsFirstOrderSays) {
  const Car car = demo("pip.toml");
  const auto spread = stated_spread(car);
  const auto b = bands(
      stands(car), spread, AxleName::rear,
      {{0.0}, {{Reading::bump_steer, false}, {Reading::roll_centre_height, false}}, 0.0, 4000, 1});
  for (const std::size_t k : {0UL, 1UL}) {
    const auto r = k == 0 ? Reading::bump_steer : Reading::roll_centre_height;
    const auto g = reading_slopes(*car.at(AxleName::rear), spread, Side::left,
                                  0.0)[static_cast<std::size_t>(r)];
    const double sigma = std::sqrt(product(g, spread.covariance, g));
    const auto& band = b.side[0][k][0];
    // 4,000 samples leave some 2 % of such a width; what is not straight stays below that.
    EXPECT_NEAR((band[2] - band[0]) / (2.0 * 1.6448536 * sigma), 1.0, 0.06);
  }
}

TEST(Band, SameSeedSameBandAndNothingUncertainNone) {
  const Car car = demo("pip.toml");
  const auto a = bands(stands(car), stated_spread(car), AxleName::front, three);
  const auto b = bands(stands(car), stated_spread(car), AxleName::front, three);
  EXPECT_EQ(a.side[0], b.side[0]);
  EXPECT_TRUE(bands(stands(car), {}, AxleName::front, three).travel_mm.empty());
  auto odd = three;
  odd.samples = 5;
  EXPECT_EQ(bands(stands(car), stated_spread(car), AxleName::front, odd).samples, 8);
}

// A car that has no position somewhere is counted out, not made up.
TEST(Band, CountsCarsThatLock) {
  Car car = demo("pip.toml");
  const auto b = bands(stands(car), stated_spread(car), AxleName::front,
                       {{420.0}, {{Reading::toe, true}}, 0.0, 40, 2});
  EXPECT_EQ(b.lost, 40);
  EXPECT_EQ(b.side[0][0][0], LowMiddleHigh{});
}

}  // namespace
}  // namespace trammel::testing
