// Springs at the wheel: published numbers, and energy differences over travel.

#include "settle/wheel_rate.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "travel/forces.h"
#include "travel/random_corner.h"

namespace trammel::testing {
namespace {

// f = (1/2π)√(g/δ), any vibration text: deflections printed to 0.01 mm, of 27.6 mm and more.
TEST(Frequency, OfAStaticDeflection) {
  constexpr double printed = 0.005 / 27.60;  // relative, and half of that in frequency
  const double table[][2] = {{0.8, 388.13}, {1.0, 248.41}, {1.2, 172.50}, {1.5, 110.40},
                             {2.0, 62.10},  {2.5, 39.74},  {3.0, 27.60}};
  for (const auto& [hz, mm] : table)
    EXPECT_NEAR(frequency_of_deflection_hz(mm), hz, printed * hz) << mm;
}

// OpenStax College Physics, example 16.4: 900 kg on 6.53e4 N/m. The book prints 1.3656 before it
// rounds to 1.36; 1.3557 is what its own numbers give.
TEST(Frequency, OfACarOnWornDampers) {
  EXPECT_NEAR(frequency_hz(65.3, 900.0), 1.3557, 0.00005);
  EXPECT_NEAR(1.0 / frequency_hz(65.3, 900.0), 0.7376, 0.00005);
  EXPECT_EQ(frequency_hz(65.3, 0.0), 0.0);
  EXPECT_EQ(frequency_hz(-1.0, 900.0), 0.0);
}

// sqrt(k/m)/2π of light cars by a desk calculator, to two decimals; the tyre of 190 N/mm in series.
TEST(Frequency, OfLightCars) {
  constexpr double printed = 0.0051;
  const double table[][4] = {
      {300, 21, 1.33, 1.26}, {300, 30, 1.59, 1.48}, {190, 18, 1.55, 1.48}, {190, 28, 1.93, 1.80}};
  for (const auto& [kg, rate, hz, with_tyre] : table) {
    EXPECT_NEAR(frequency_hz(rate, kg), hz, printed);
    EXPECT_NEAR(frequency_hz(in_series(rate, 190.0), kg), with_tyre, printed);
  }
}

// Bhandari, Design of Machine Elements, ex. 10.19: two springs of one pair of seats, the inner one
// 15 mm shorter, 1000 N. All printed digits.
TEST(SpringLaw, TwoSpringsShareALoad) {
  const auto rate = [](double wire, double mean, double coils) {
    return 81370.0 * std::pow(wire, 4) / (8.0 * std::pow(mean, 3) * coils);
  };
  const SpringLaw outer{rate(6, 36, 10), 0.0, 100.0}, inner{rate(5, 30, 8), 0.0, 85.0};
  EXPECT_NEAR(outer.rate_n_per_mm, 28.2535, 5e-5);
  EXPECT_NEAR(inner.rate_n_per_mm, 29.4307, 5e-5);
  const double seats = 100.0 - 24.98884;
  EXPECT_NEAR(outer.force_at(seats), 706.021, 5e-4);
  EXPECT_NEAR(inner.force_at(seats), 293.979, 5e-4);
  EXPECT_NEAR(inner.loose_from_mm() - seats, 9.98884, 5e-6);
  EXPECT_LT(inner.force_at(90.0), 0.0);  // loose: it would have to pull
}

struct Stored {
  double energy_nmm, load_n, height_mm;
};

// Energy in a spring, the load that it stands for and the height of the tyre, at positions found
// one by one: neither the rate nor its parts are in it.
Stored stored(const Axle& axle, const CornerRide& corner, const Ground<double>& g,
              const SpringLaw& law, double travel_mm) {
  const auto r = reach(corner.mechanism, corner.at, {corner.at.drive.travel_mm + travel_mm, 0.0});
  RC_ASSERT(r.arrived);
  const At<double> at(axle.layout, corner.mechanism, r.at, g);
  const double force = law.force_at(length_now(at, TravelLine::spring));
  return {0.5 * force * force / law.rate_n_per_mm, force * spring_per_rise(at),
          dot(at.contact, g.up)};
}

RC_GTEST_PROP(WheelRates, AreWhatEnergyDifferencesSay, ()) {
  // Central differences over 0.1 mm: third derivatives leave some 1e-6 (members are some 100 mm
  // long), rounding of 1e-11 mm in heights 1e-9. The load grows with the force, up to 6 kN.
  constexpr double step_mm = 0.05, difference = 1e-5;
  const auto& l = all_layouts[*rc::gen::inRange<std::size_t>(0, std::size(all_layouts))];
  std::string text = with_spring(l);
  if (text.find(".spring]") == std::string::npos)  // round the strut
    text += std::string("[") + word(l.axle) + ".spring]\n";
  text += "rate = 40\n";
  Axle axle = *car_of(text).at(l.axle);
  auto& left = axle.at(Side::left).numbers;
  const auto by = [](int tenths) { return 0.1 * *rc::gen::inRange(-tenths, tenths + 1); };
  for (auto& p : left.points_mm) p = p + Vec3<double>{by(100), by(100), by(100)};
  CornerRide corner;
  corner.mechanism = build(axle.layout, left);
  corner.at = solution_as_measured(corner.mechanism);
  const auto ground = ground_for(Side::left, 0.001 * *rc::gen::inRange(-20, 21), 0.0);
  const At<double> at(axle.layout, corner.mechanism, corner.at, ground);
  const SpringLaw law{40.0, 1.0 * *rc::gen::inRange(2500, 6000),
                      length_now(at, TravelLine::spring)};
  const double travel = 0.1 * *rc::gen::inRange(-400, 401);
  const auto w = wheel_rate(axle, corner, ground, law, travel);
  RC_ASSERT(w.has_value());
  if (w->force_n == 0.0) {
    RC_ASSERT(w->n_per_mm() == 0.0);
    return;
  }
  const auto below = stored(axle, corner, ground, law, travel - step_mm);
  const auto above = stored(axle, corner, ground, law, travel + step_mm);
  const auto here = stored(axle, corner, ground, law, travel);
  const double rise = above.height_mm - below.height_mm;
  RC_ASSERT(std::fabs((above.energy_nmm - below.energy_nmm) / rise - here.load_n) <
            difference * law.force_n);
  RC_ASSERT(std::fabs((above.load_n - below.load_n) / rise - w->n_per_mm()) <
            difference * (40.0 + 0.01 * law.force_n));
}

// The load of virtual work is the one that the transposed rows hold.
RC_GTEST_PROP(WheelRates, LoadIsWhatTheSupportHolds, ()) {
  // Velocities belong to a pose within 1e-5 mm of the solved one (solve.h), of members some 100 mm
  // long.
  constexpr double rounding_n = 1e-3;
  const auto& l = all_layouts[*rc::gen::inRange<std::size_t>(0, std::size(all_layouts))];
  const Axle axle = *car_of(with_spring(l)).at(l.axle);
  const auto m = build(axle.layout, axle.at(Side::left).numbers);
  const auto r = reach(m, solution_as_measured(m), {random_travel(), 0.0});
  RC_PRE(r.arrived && axle.layout.spring.has_value());
  const At<double> at(axle.layout, m, r.at, {});
  const auto f = forces(at, {{0.0, 0.0, 3000.0}, {}, 0.0});
  RC_ASSERT(f.value.has_value());
  RC_ASSERT(std::fabs(f.value->support_n * spring_per_rise(at) - 3000.0) < rounding_n);
}

TEST(TravelWhere, FindsTheTravelOfALength) {
  constexpr double found = 1e-8;
  const Car car = demo("pip.toml");
  const auto stands = *ride(car, nullptr).value;
  const auto& axle = *car.at(AxleName::front);
  const auto& corner = stands.at(AxleName::front)->at(Side::left);
  for (const double travel : {-60.0, -1.0, 0.0, 35.0}) {
    const auto r = reach(corner.mechanism, corner.at, {travel, 0.0});
    const double length =
        length_now(At<double>(axle.layout, corner.mechanism, r.at, {}), TravelLine::damper);
    const auto t = travel_where(axle, corner, TravelLine::damper, length);
    ASSERT_TRUE(t);
    EXPECT_NEAR(*t, travel, found);
  }
  EXPECT_FALSE(travel_where(axle, corner, TravelLine::damper, 2000.0));
}

}  // namespace
}  // namespace trammel::testing
