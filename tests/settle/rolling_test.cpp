// The rolling car: published sums, cars whose balance is exact, and the forces in its members.

#include "travel/rolling.h"

#include <fmt/format.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <numbers>

#include "base/quantity.h"
#include "cars.h"
#include "settle/settled.h"
#include "settle/settling.h"
#include "travel/forces.h"
#include "travel/reasons.h"

namespace trammel::testing {
namespace {

// A car of two like axles with upright wheels on springs so long that they stay upright: swing
// arms about a line across the car (pure trailing, nothing but rise), or about one along it in its
// middle (what a beam axle does in roll).
std::string plain_car(bool across, double half_track, double rate, double cg, double corner_kg,
                      double unsprung_kg) {
  std::string text = fmt::format(
      "trammel = 1\n[body]\ncentre_of_gravity_height = {0}\ncorner_weights = {{ front_left = {1}, "
      "front_right = {1}, rear_left = {1}, rear_right = {1} }}\n",
      cg, corner_kg);
  if (unsprung_kg > 0.0)
    text += fmt::format("unsprung = {{ front = {0}, rear = {0} }}\n", unsprung_kg);
  for (const auto& [name, x] : {std::pair{"front", 0.0}, std::pair{"rear", -2400.0}}) {
    text += fmt::format("[{}.wheel]\ncentre = [{}, {}, 300]\n[{}.swing.arm]\n", name, x, half_track,
                        name);
    if (across)
      text +=
          fmt::format("pivot_inner = [{0}, 300, 300]\npivot_outer = [{0}, 600, 300]\n", x + 500.0);
    else
      text += fmt::format("pivot_inner = [{}, 0, 300]\npivot_outer = [{}, 0, 300]\n", x - 200.0,
                          x + 200.0);
    text +=
        fmt::format("[{0}.spring]\ntop = [{1}, {2}, 9900]\nfoot = [{1}, {2}, 300]\nrate = {3}\n",
                    name, x, half_track, rate);
  }
  return text;
}

// Barton & Fieldhouse, Automotive Chassis Engineering (Springer 2018), p. 174: a bend at 0.6 g,
// 1280 kg sprung, split 0.54 / 0.46, track 1.46 m, roll centres 0.07 and 0.32 m, 140 and 180 kg
// unsprung at 0.28 and 0.30 m, 28,650 N·m/rad in all; 1556 and 671 N from the roll moment, whose
// split rests on rates of its page 173, which was not seen: their sum is the rate times the roll,
// 10.9° per g times 0.6 g, that is 6.5° as the book rounds. It prints 1919 N for the front: its own
// three terms add to 1909, a misprint.
TEST(LoadTransfer, OfABookExample) {
  // Whole newtons, and of a sum as many halves as it has terms; the book's g.
  constexpr double printed_n = 0.6, g = 9.81, roll = 6.5 * degree_rad;
  const auto front = transfer_by_sums(1280 * 0.54 * g, 70, 0, roll, 140 * g, 280, 0.6, 1460);
  const auto rear =
      transfer_by_sums(1280 * 0.46 * g, 320, 28650.0e3, roll, 180 * g, 300, 0.6, 1460);
  EXPECT_NEAR(front.geometric_n, 195, printed_n);
  EXPECT_NEAR(rear.geometric_n, 760, printed_n);
  EXPECT_NEAR(front.unsprung_n, 158, printed_n);
  EXPECT_NEAR(rear.unsprung_n, 218, printed_n);
  EXPECT_NEAR(front.elastic_n + rear.elastic_n, 1556 + 671, 2 * printed_n);
  EXPECT_NEAR(front.total_n() + rear.total_n(), 1909 + 1649, 6 * printed_n);
}

// The same book and page: 28,650 N·m/rad, 1280 kg, 0.365 m above a roll axis (here the floor):
// 0.0194 rad per m/s², 10.9 degrees per g. The equilibrium of the mechanism, not the formula.
TEST(RollGradient, OfABookExample) {
  constexpr double curved = 2e-5;  // the body's lean squared, at a hundredth of a g
  const double rate = 28650.0e3 / (1460.0 * 1460.0);
  const Car car = car_of(plain_car(true, 730, rate, 365, 320, 0));
  const auto r = roll_at(standing(car), 0.01);
  ASSERT_TRUE(r.value) << words(r.why);
  const double per = r.value->roll_rad / (0.01 * gravity_m_s2);
  EXPECT_NEAR(per, 1280 * 0.365 / (28650 - 1280 * gravity_m_s2 * 0.365), curved * per);
  EXPECT_NEAR(per, 0.0194, 0.00005);
  EXPECT_NEAR(per * gravity_m_s2 / degree_rad, 10.9, 0.05);
  EXPECT_NEAR(r.value->axle[0].transfer.geometric_n, 0.0, 0.1);  // roll centre on the floor
}

// Springs that do not give: all that is left is m a h over the track, 3451.94 N (own, exact).
TEST(LoadTransfer, OfARigidCar) {
  const Car car = car_of(plain_car(true, 750, 1e6, 550, 300, 60));
  const auto r = roll_at(standing(car), 0.8);
  ASSERT_TRUE(r.value) << words(r.why);
  const auto& a = r.value->axle;
  // What is left of roll, a few µrad, leans the weight over.
  EXPECT_NEAR(a[0].transfer.total_n() + a[1].transfer.total_n(), 3451.94, 0.05);
}

// Swing arms that meet in the middle roll like a beam: the body turns about the pivot, the springs
// give ½ k t² whatever weight presses them, and the wheels' own couple stays on the floor. So all
// three parts are the textbook's.
TEST(LoadTransfer, OfWheelsThatLeanLikeABeamIsTheTextbooks) {
  constexpr double curved = 2e-3;  // of the parts, at 0.02 g: the arms' paths are arcs
  const double rate = 25.0, unsprung = 70.0, side_g = 0.02;
  const Car car = car_of(plain_car(false, 730, rate, 560, 300, unsprung));
  const auto r = roll_at(standing(car), side_g);
  ASSERT_TRUE(r.value) << words(r.why);
  for (const auto& a : r.value->axle) {
    const auto sums =
        transfer_by_sums((600 - unsprung) * gravity_m_s2, 300, 0.5 * rate * 1460 * 1460,
                         r.value->roll_rad, unsprung * gravity_m_s2, 300, side_g, 1460);
    EXPECT_NEAR(a.transfer.geometric_n, sums.geometric_n, curved * sums.total_n());
    EXPECT_NEAR(a.transfer.elastic_n, sums.elastic_n, curved * sums.total_n());
    EXPECT_NEAR(a.transfer.unsprung_n, sums.unsprung_n, curved * sums.total_n());
  }
  // Gillespie ch. 6 (from memory): W h1 a / (K - W h1) with h1 above the roll axis.
  const double weight = 2 * (600 - unsprung) * gravity_m_s2;
  const double sprung_height = (1200 * 560 - 2 * unsprung * 300) / (1200 - 2 * unsprung);
  const double h1 = sprung_height - 300;
  EXPECT_NEAR(r.value->roll_rad, weight * h1 * side_g / (rate * 1460 * 1460 - weight * h1),
              curved * r.value->roll_rad);
}

// The whole car, whatever its stiffness: what goes across is what turns it over.
RC_GTEST_PROP(LoadTransfer, OfTheWholeCarIsMassTimesAccelerationTimesHeight, ()) {
  constexpr double balance = 1e-8, load_kept_n = 1e-5;
  const bool hatch = *rc::gen::inRange(0, 2) == 0;
  const Car car = demo(hatch ? "pip.toml" : "nibbet.toml");
  const auto stands = standing(car, *rc::gen::inRange(0, 2) == 0 ? "as_built" : nullptr);
  const double side_g = 0.01 * *rc::gen::inRange(-70, 71);
  const auto r = roll_at(stands, side_g);
  RC_ASSERT(r.value.has_value());
  double across = 0.0;
  for (std::size_t a = 0; a < 2; ++a) {
    const auto& x = r.value->axle[a];
    across += x.transfer.total_n() * x.track_mm;
    const auto& kg = (*car.body.corner_kg)[a];
    RC_ASSERT(std::fabs(x.on_tyre_n[0] + x.on_tyre_n[1] - (kg[0] + kg[1]) * gravity_m_s2) <
              load_kept_n);
    RC_ASSERT(std::fabs(0.5 * (x.on_tyre_n[1] - x.on_tyre_n[0] - (kg[1] - kg[0]) * gravity_m_s2) -
                        x.transfer.total_n()) < load_kept_n);
  }
  const double turning = r.value->overturning_nmm + r.value->leaning_nmm;
  RC_ASSERT(std::fabs(across - turning) <= balance * std::max(1e6, std::fabs(turning)));
  // The wheels' height over the floor, and the body's, give all of m a h as measured but for what
  // rolling does to heights: under 1 %.
  if (stands.state == "as_measured") {
    double kg = 0.0;
    for (const auto& axle : *car.body.corner_kg) kg += axle[0] + axle[1];
    const double stated = kg * side_g * gravity_m_s2 * *car.body.centre_of_gravity_height_mm;
    RC_ASSERT(std::fabs(r.value->overturning_nmm - stated) <= 0.015 * std::fabs(stated));
  }
  // Body and side force turn the same way.
  RC_ASSERT(side_g == 0.0 || r.value->roll_rad * side_g > 0.0);
}

// What the rows, transposed, hold up with the spring at the rolled position is the spring's force:
// nothing of the roll's own sums is in it. Wheels without weight and no bars, so that the road's
// push is all there is.
TEST(Rolling, MembersHoldTheBalance) {
  constexpr double rounding_n = 1e-5;
  auto text = demo_text("nibbet.toml");
  const auto drop = [&](const std::string& line) {
    const auto at = text.find(line);
    ASSERT_NE(at, std::string::npos) << line;
    text.erase(at, text.find('\n', at) - at);
  };
  drop("unsprung = ");
  drop("rate     = 120");
  const Car car = car_of(text);
  const auto stands = standing(car);
  for (const double side_g : {0.3, -0.5}) {
    const auto rolled = roll_at(stands, side_g, {true, false});
    ASSERT_TRUE(rolled.value) << words(rolled.why);
    for (const AxleName name : {AxleName::front, AxleName::rear}) {
      const auto a = static_cast<std::size_t>(name);
      const auto& axle = *car.at(name);
      const auto springs = springs_in(axle, *stands.at(name), stands.pitch_rad,
                                      *springs_as_measured(axle, axle_load(car, name)));
      const auto& kg = (*car.body.corner_kg)[a];
      const double side_n = 0.5 * (kg[0] + kg[1]) * side_g * gravity_m_s2;
      for (const Side side : {Side::left, Side::right}) {
        const auto i = static_cast<std::size_t>(side);
        const auto& corner = stands.at(name)->at(side);
        const auto r =
            reach(corner.mechanism, corner.at, {rolled.value->axle[a].travel_mm[i], 0.0});
        ASSERT_TRUE(r.arrived);
        const At<double> at(axle.layout, corner.mechanism, r.at,
                            ground_for(side, stands.pitch_rad, rolled.value->roll_rad));
        const auto f = forces(
            at, {{0.0, side == Side::left ? side_n : -side_n, rolled.value->axle[a].on_tyre_n[i]},
                 {},
                 0.0});
        ASSERT_TRUE(f.value) << words(f.why);
        EXPECT_NEAR(f.value->support_n, springs.side[i].force_at(length_now(at, StopLine::spring)),
                    rounding_n)
            << side_g << word(name) << word(side);
      }
    }
  }
}

TEST(Rolling, IsTheSameToTheOtherSideOnAnEvenCar) {
  constexpr double rounding = 1e-9;
  auto text = demo_text("pip.toml");
  const std::string from = "front_left = 329, front_right = 315, rear_left = 200, rear_right = 216";
  text.replace(text.find(from), from.size(),
               "front_left = 322, front_right = 322, rear_left = 208, rear_right = 208");
  const Car car = car_of(text);
  const auto stands = standing(car);
  const auto l = roll_at(stands, 0.4), r = roll_at(stands, -0.4);
  ASSERT_TRUE(l.value && r.value);
  EXPECT_NEAR(l.value->roll_rad, -r.value->roll_rad, rounding);
  EXPECT_NEAR(l.value->axle[0].travel_mm[0], r.value->axle[0].travel_mm[1], 1e-6);
  EXPECT_NEAR(l.value->axle[1].transfer.total_n(), -r.value->axle[1].transfer.total_n(), 1e-5);
}

// The bar's rate in roll as measured is what the file states, by its levers and without them.
TEST(RollBars, GiveTheStatedRate) {
  const Car car = demo("pip.toml");
  const auto stands = standing(car);
  for (const auto& [name, per_degree] :
       {std::pair{AxleName::front, 240.0e3}, std::pair{AxleName::rear, 140.0e3}}) {
    const auto bar = RollBar::of(*car.at(name));
    ASSERT_TRUE(bar);
    EXPECT_EQ(bar->by_levers(), name == AxleName::front);
    // The ride as measured stands on a floor that is pitched by less than a thousandth.
    EXPECT_NEAR(bar->roll_rate_nmm_per_rad(both_at(stands, name)) * degree_rad, per_degree,
                1e-4 * per_degree);
  }
}

// The loads of a bar are the slope of its energy over a wheel's rise, by differences.
TEST(RollBars, LoadIsTheSlopeOfItsEnergy) {
  constexpr double step_mm = 0.01, difference = 1e-6;
  const Car car = demo("pip.toml");
  const auto stands = standing(car);
  const auto& axle = *car.at(AxleName::front);
  const auto bar = *RollBar::of(axle);
  const auto& corner = stands.at(AxleName::front)->at(Side::left);
  const auto& other = stands.at(AxleName::front)->at(Side::right);
  struct Seen {
    double energy, load, height;
  };
  const auto seen = [&](double left_mm) {
    const auto l = reach(corner.mechanism, corner.at, {left_mm, 0.0});
    const auto r = reach(other.mechanism, other.at, {-12.0, 0.0});
    const std::array<At<double>, 2> at{At<double>(axle.layout, corner.mechanism, l.at, {}),
                                       At<double>(axle.layout, other.mechanism, r.at, {})};
    const double twist = bar.end(at[0]).turn_rad - bar.end(at[1]).turn_rad;
    return Seen{0.5 * bar.rate_nmm_per_rad() * twist * twist, bar.loads_n(at)[0], at[0].contact.z};
  };
  const auto below = seen(20.0 - step_mm), above = seen(20.0 + step_mm), here = seen(20.0);
  EXPECT_GT(here.load, 10.0);
  EXPECT_NEAR((above.energy - below.energy) / (above.height - below.height), here.load,
              difference * here.load);
}

// Computed for this project by an independent solver: a light car lowered and put right, four rows
// of roll per g (977 kg sprung, 61 % in front, weight at 540 and 500 mm, tracks 1.39 and 1.37 m,
// springs 21/18 and 32/28 N/mm at ratios 0.946 and 0.968). The rate of its bars was not kept; the
// one that the third row leaves for both together gives the other three within 0.2 degrees. The
// demo hatch's own bars, 240 and 140 N·m per degree, are other ones: with them it would roll 2
// degrees less.
TEST(RollGradient, OfALightCarLoweredAndPutRight) {
  constexpr double printed_deg = 0.2;
  const double sprung_n = 977 * gravity_m_s2;
  const auto springs = [](double front, double rear) {
    return 0.5 * front * 0.946 * 0.946 * 1390 * 1390 + 0.5 * rear * 0.968 * 0.968 * 1370 * 1370;
  };
  const auto lever = [](double cg, double front, double rear) {
    return cg - 0.61 * front - 0.39 * rear;
  };
  const double stiff = lever(500, -8, 17);
  const double bars = sprung_n * stiff * (1.0 + 1.0 / (4.9 * degree_rad)) - springs(32, 28);
  const auto roll = [&](double spring_rate, double h1) {
    return sprung_n * h1 / (spring_rate + bars - sprung_n * h1) / degree_rad;
  };
  EXPECT_NEAR(roll(springs(21, 18), lever(540, 81, 98)), 6.7, printed_deg);
  EXPECT_NEAR(roll(springs(21, 18), lever(500, -8, 17)), 7.3, printed_deg);
  EXPECT_NEAR(roll(springs(32, 28), lever(500, 52, 60)), 4.4, printed_deg);
  EXPECT_NEAR(bars * degree_rad / 1000, 140, 20);  // N·m per degree, of both axles
  // Its geometric parts, and 42 N per g for each 10 mm, to the ten newtons that it rounds to.
  const auto geometric = [](double h) {
    return transfer_by_sums(596 * gravity_m_s2, h, 0, 0, 0, 0, 1.0, 1390).geometric_n;
  };
  EXPECT_NEAR(geometric(81), 340, 5);
  EXPECT_NEAR(geometric(-8), -34, 5);
  EXPECT_NEAR(geometric(52), 220, 5);
  EXPECT_NEAR(geometric(10), 42, 0.5);
}

TEST(Rolling, SaysWhatIsMissing) {
  const auto why = [](const std::string& text) {
    const auto r = roll_at(standing(car_of(text)), 0.5);
    EXPECT_FALSE(r.value);
    return r.why;
  };
  using Missing = NoBalance::Missing;
  std::vector<Missing::Of> missing;
  for (const auto& one : why(strut_text).missing) missing.push_back(one.of);
  EXPECT_EQ(missing, (std::vector{Missing::Of::corner_weights, Missing::Of::centre_of_gravity,
                                  Missing::Of::spring, Missing::Of::axle}));
  const auto nothing = words(why(strut_text));
  for (const char* word :
       {"corner_weights", "centre_of_gravity_height", "[front.spring]", "the rear axle"})
    EXPECT_NE(nothing.find(word), std::string::npos) << word << " in " << nothing;
  EXPECT_EQ(why(plain_car(true, 730, 0.05, 560, 300, 0)).of, NoBalance::Of::falls_over);
}

}  // namespace
}  // namespace trammel::testing
