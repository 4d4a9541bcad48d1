// Bump stops and tyres in the balance of a rolling car: closed forms, differences of energy, and
// what is said where a stop is touched below the acceleration that is told.

#include "travel/stop.h"

#include <fmt/format.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <numbers>

#include "base/quantity.h"
#include "cars.h"
#include "settle/reasons.h"
#include "settle/settled.h"
#include "settle/settling.h"
#include "travel/reasons.h"

namespace trammel::testing {
namespace {

std::string without_line(std::string text, const std::string& line, int times = 1) {
  for (int i = 0; i < times; ++i) {
    const auto at = text.find(line);
    EXPECT_NE(at, std::string::npos) << line;
    text.erase(at, text.find('\n', at) + 1 - at);
  }
  return text;
}

// Two like axles on trailing arms: upright wheels that do nothing but rise, springs so long that
// they stay upright, and nothing else along the stop's line. Roll centres on the floor.
std::string trailing_car(double rate, const std::string& more) {
  std::string text =
      "trammel = 1\n[body]\ncentre_of_gravity_height = 365\ncorner_weights = { front_left = 320, "
      "front_right = 320, rear_left = 320, rear_right = 320 }\n";
  for (const auto& [name, x] : {std::pair{"front", 0.0}, std::pair{"rear", -2400.0}}) {
    text += fmt::format(
        "[{0}.wheel]\ncentre = [{1}, 730, 300]\n{2}[{0}.swing.arm]\npivot_inner = [{3}, 300, "
        "300]\npivot_outer = [{3}, 600, 300]\n[{0}.spring]\ntop = [{1}, 730, 9900]\nfoot = [{1}, "
        "730, 300]\nrate = {4}\n",
        name, x, more.starts_with("tyre") ? more : "", x + 500.0, rate);
    if (!more.starts_with("tyre")) text += fmt::format("[{}.stop]\n{}", name, more);
  }
  return text;
}

// rate·x/(1 - x/room), by hand: nothing where it is not touched; the slope by differences; four
// times the first rate at half of the room, twice at 1 - 1/sqrt(2) of it.
TEST(StopLaw, StiffensTowardsItsSolidLength) {
  const StopLaw stop{StopLine::damper, 300.0, 33.0, 25.0, false};
  EXPECT_EQ(stop.force_at(300.1), 0.0);
  EXPECT_EQ(stop.rate_at(300.1), 0.0);
  EXPECT_NEAR(stop.force_at(300.0 - 16.5), 25.0 * 16.5 / 0.5, 1e-9);
  EXPECT_NEAR(stop.rate_at(300.0 - 16.5), 100.0, 1e-9);
  EXPECT_NEAR(stop.rate_at(300.0 - 33.0 * (1.0 - std::sqrt(0.5))), 50.0, 1e-9);
  for (const double x : {1.0, 10.0, 25.0, 29.0, 31.0, 40.0}) {
    constexpr double step = 1e-4;
    const double slope =
        (stop.force_at(300.0 - x - step) - stop.force_at(300.0 - x + step)) / (2.0 * step);
    EXPECT_NEAR(stop.rate_at(300.0 - x), slope, 1e-6 * slope) << x;
    EXPECT_GT(stop.force_at(300.0 - x - step), stop.force_at(300.0 - x)) << x;
  }
}

// Where the file says no rate, the wheel is twice as stiff as on its spring once the stop is
// touched (two to four times is common practice), wherever spring and damper stand.
TEST(StopLaw, UsualRateDoublesTheWheels) {
  for (const char* name : {"pip.toml", "nibbet.toml"}) {
    const Car car = demo(name);
    for (const AxleName axle_name : {AxleName::front, AxleName::rear}) {
      const auto& axle = *car.at(axle_name);
      const auto stop = stop_law(axle, Side::left);
      ASSERT_TRUE(stop);
      EXPECT_TRUE(stop->rate_is_usual);
      const auto m = corner_mechanism(axle, Side::left);
      const auto s = solution_as_measured(m);
      const At<double> at(axle.layout, m, s, {});
      const auto at_wheel = [&](double rate, StopLine kind) {
        return rate * std::pow(shortens_per_travel(at, kind), 2);
      };
      EXPECT_NEAR(at_wheel(stop->rate_n_per_mm, stop->line),
                  at_wheel(*axle.spring->rate_n_per_mm, StopLine::spring), 1e-9);
    }
  }
}

TEST(StopLaw, TheFilesOwnRateCounts) {
  auto text = demo_text("pip.toml");
  const auto at = text.find("free_length  = 55");
  ASSERT_NE(at, std::string::npos);
  text.insert(at, "rate = \"100 lb/in\"\n");
  const auto stop = stop_law(*car_of(text).at(AxleName::front), Side::right);
  ASSERT_TRUE(stop);
  EXPECT_FALSE(stop->rate_is_usual);
  EXPECT_NEAR(stop->rate_n_per_mm, 17.5127, 1e-4);  // 444.822 N over 25.4 mm
  const auto words = faults_of(demo_text("pip.toml").insert(at, "rate = -5\n"));
  EXPECT_NE(words.find("rate"), std::string::npos) << words;
}

// What the stop's push is at the tyre is the slope of its energy over the tyre's rise, by
// differences.
TEST(StopLaw, PushAtTheTyreIsTheSlopeOfItsEnergy) {
  constexpr double step_mm = 0.01, difference = 1e-5;
  // Both stops are pressed there, short of solid.
  for (const auto& [name, travel] : {std::pair{"pip.toml", 30.0}, std::pair{"nibbet.toml", 45.0}}) {
    const Car car = demo(name);
    const auto stands = standing(car);
    const auto& axle = *car.at(AxleName::front);
    const auto stop = stop_law(axle, Side::left);
    const auto& corner = stands.at(AxleName::front)->at(Side::left);
    // At looks at the solution that it is given: it stands as long as the figures are taken.
    struct Pressed {
      double rise_mm, energy, push_n;
    };
    const auto pressed = [&](double mm) {
      const auto r = reach(corner.mechanism, corner.at, {mm, 0.0});
      const At<double> a(axle.layout, corner.mechanism, r.at, {});
      // Energy of k x / (1 - x/X): k X² (-log(1 - x/X) - x/X), by hand.
      const double u = (stop->touch_mm - length_now(a, stop->line)) / stop->room_mm;
      return Pressed{a.contact.z,
                     stop->rate_n_per_mm * stop->room_mm * stop->room_mm * (-std::log1p(-u) - u),
                     stop_at_tyre_n(stop, a)};
    };
    const auto below = pressed(travel - step_mm), above = pressed(travel + step_mm);
    const double push = pressed(travel).push_n;
    EXPECT_GT(push, 100.0) << name;
    EXPECT_NEAR((above.energy - below.energy) / (above.rise_mm - below.rise_mm), push,
                difference * push)
        << name;
  }
}

// Roll = m h a over (sum of the rates in roll less W h), any textbook (Gillespie ch. 6, from
// memory; Barton & Fieldhouse p. 174): with tyres each wheel's rate is its spring and its tyre one
// after the other.
TEST(Balance, TyresGiveInSeriesWithTheSprings) {
  constexpr double curved = 2e-5, spring = 20.0, tyre = 180.0;
  const auto roll = [&](const std::string& more) {
    const Car car = car_of(trailing_car(spring, more));
    const auto r = roll_at(standing(car), 0.01);
    EXPECT_TRUE(r.value) << words(r.why);
    return r.value->roll_rad;
  };
  const auto by_hand = [](double rate) {
    const double weight = 1280 * gravity_m_s2;
    return 0.01 * weight * 365 / (rate * 1460.0 * 1460.0 - weight * 365);
  };
  const double with = roll("tyre_rate = 180\n"), stiff = roll("gap = 200\n");
  EXPECT_NEAR(with, by_hand(spring * tyre / (spring + tyre)), curved * with);
  EXPECT_NEAR(stiff, by_hand(spring), curved * stiff);
}

// A stop just touched as the car stands, with room so long that it stays as stiff as the spring:
// only the outer wheel is on it. Inner wheel k, outer wheel 2k, the load kept: of the roll t·phi
// the outer one takes a third, and the rate in roll of an axle is 2/3 k t² in place of 1/2 (by
// hand).
TEST(Balance, AStopMakesTheOuterWheelStiffer) {
  // The rubber stiffens by twice its squash over its room: 0.1 mm of 390.
  constexpr double stiffens = 1e-3, side_g = 0.001, spring = 20.0;
  const Car car = car_of(trailing_car(spring, "gap = 0\nfree_length = 400\nsolid_length = 10\n"));
  const auto r = roll_at(standing(car), side_g);
  ASSERT_TRUE(r.value) << words(r.why);
  const double weight = 1280 * gravity_m_s2, rate = 2.0 * (2.0 / 3.0) * spring * 1460.0 * 1460.0;
  const double by_hand = side_g * weight * 365 / (rate - weight * 365);
  EXPECT_NEAR(r.value->roll_rad, by_hand, stiffens * by_hand);
  for (const auto& a : r.value->axle) {
    // Half of what the outer wheel gains is the stop's.
    EXPECT_NEAR(a.stop_n[1], spring * 1460.0 * by_hand / 3.0, 2.0 * stiffens * a.stop_n[1]);
    EXPECT_EQ(a.stop_n[0], 0.0);
    EXPECT_NEAR(a.transfer.stops_n, 0.5 * a.stop_n[1], 1e-9);
  }
}

// A stop that is pressed as the car stands leaves the spring that much less: the wheel carries what
// the scales said, and nothing is transferred where nothing pushes sideways.
TEST(Balance, AStopThatIsPressedCarriesItsPart) {
  const Car car = car_of(trailing_car(20.0, "gap = -10\nfree_length = 50\nsolid_length = 20\n"));
  const auto still = roll_at(standing(car), 0.0);
  ASSERT_TRUE(still.value) << words(still.why);
  for (const auto& a : still.value->axle) {
    EXPECT_NEAR(a.stop_n[0], 20.0 * 10.0 / (1.0 - 10.0 / 30.0), 1e-6);
    EXPECT_NEAR(a.on_tyre_n[0], 320 * gravity_m_s2, 1e-6);
    EXPECT_NEAR(a.transfer.stops_n, 0.0, 1e-6);
  }
  // One that would carry more than the wheel does is no car that stands.
  const auto no = roll_at(
      standing(car_of(trailing_car(20.0, "gap = -40\nfree_length = 50\nsolid_length = 8\n"))), 0.3);
  EXPECT_FALSE(no.value);
  EXPECT_EQ(no.why.of, NoBalance::Of::stop_overloaded);
  EXPECT_EQ(no.why.axle, AxleName::front);
  EXPECT_NE(words(no.why).find("[front.stop]"), std::string::npos) << words(no.why);
}

// The demo hatch sits 7.5 and 4 mm over its stops: half a g presses them, the body rolls less than
// on its springs alone, and the headline says both.
TEST(Settle, StopsBelowTheToldAccelerationAreInTheBalance) {
  const auto s = settled(demo_text("pip.toml"));
  const auto& now = sits(s);
  ASSERT_TRUE(now.rolled && now.without_stops);
  for (std::size_t a = 0; a < 2; ++a) {
    ASSERT_TRUE(now.stop_at[a]);
    EXPECT_LT(now.stop_at[a]->g, told_side_g);
    EXPECT_GT(now.rolled->axle[a].transfer.stops_n, 0.0);
    EXPECT_EQ(now.without_stops->axle[a].transfer.stops_n, 0.0);
  }
  EXPECT_LT(now.rolled->roll_rad, now.without_stops->roll_rad);
  const auto answer = tell(s, Units::metric).answer;
  const auto per_g = [](const Rolled& r) {
    return fmt::format("{:.1f}°", r.roll_rad / r.side_g / degree_rad);
  };
  EXPECT_NE(
      answer.find(fmt::format("at 0.5\u00a0g, stops and tyres counted, the body rolls {} per g "
                              "({} without the stops)",
                              per_g(*now.rolled), per_g(*now.without_stops))),
      std::string::npos)
      << answer;
  EXPECT_NE(answer.find("The rear bump stop is touched by body roll alone from"), std::string::npos)
      << answer;
}

// Where the file does not say how long the rubber is, what it gives is not known: the roll above
// that is not judged, and the keys are named.
TEST(Settle, AStopWithoutItsLengthsLeavesTheRollUnjudged) {
  auto text = demo_text("pip.toml");
  text = without_line(without_line(text, "free_length  = 55"), "solid_length = 22");
  const auto s = settled(text);
  EXPECT_TRUE(sits(s).stop_unknown[0]);
  EXPECT_FALSE(sits(s).stop_unknown[1]);
  const auto told = tell(s, Units::metric);
  EXPECT_NE(told.answer.find("body roll and load transfer are not judged (needs [front.stop] "
                             "free_length and solid_length)"),
            std::string::npos)
      << told.answer;
  bool named = false;
  for (const auto& j : in_words(judge(s), Units::metric))
    for (const auto& u : j.unjudged)
      named = named ||
              (j.of == "front bump stop" && u.key == "[front.stop] free_length and solid_length");
  EXPECT_TRUE(named);
}

// A stop that hardly stands off on the right counts, though the left one is far away.
TEST(Settle, TheStopOfTheWorseSideIsTold) {
  const auto text = demo_text("nibbet.toml");
  const auto s = settled(text);
  for (std::size_t a = 0; a < 2; ++a) {
    ASSERT_TRUE(sits(s).stop_at[a]);
    const auto side = sits(s).stop_at[a]->side;
    const auto other = side == Side::left ? Side::right : Side::left;
    // In the turn that loads the other side, the stop is not yet touched at that acceleration.
    const auto car = car_of(text);
    const auto r =
        roll_at(standing(car), (other == Side::right ? 1.0 : -1.0) * sits(s).stop_at[a]->g);
    ASSERT_TRUE(r.value);
    EXPECT_LE(r.value->axle[a].travel_mm[static_cast<std::size_t>(other)],
              *sits(s).axle[a]->at(other).mark(TravelEnd::touched) + 1e-2);
  }
}

// ------------------------------------------------------------------ what stands first

std::string in_place(std::string text, const std::string& from, const std::string& to) {
  const auto at = text.find(from);
  EXPECT_NE(at, std::string::npos) << from;
  return text.replace(at, from.size(), to);
}
const Judgement& of(const std::vector<Judgement>& all, const std::string& what) {
  for (const auto& j : all)
    if (j.of == what) return j;
  ADD_FAILURE() << "nothing is judged of " << what;
  return all.front();
}

TEST(SettleJudges, CoilsSolidBeforeTheStopStandFirst) {
  const auto s = settled(in_place(demo_text("pip.toml"), "free_length = 292",
                                  "wire = 11\ncoils = 14.5\nfree_length = 292"));
  ASSERT_LT(*sits(s).axle[0]->side[0].bind_room_mm, 0.0);
  const auto all = in_words(judge(s), Units::metric);
  EXPECT_EQ(of(all, "front spring").verdict(), Serving::does_not_serve);
  const auto answer = tell(s, Units::metric).answer;
  const auto coils = answer.find("front spring: the coils of the left one are solid");
  ASSERT_NE(coils, std::string::npos) << answer;
  EXPECT_LT(coils, answer.find("The body rolls") == std::string::npos
                       ? answer.find("the body rolls")
                       : answer.find("The body rolls"));
}

TEST(SettleJudges, WhatIsNotWellIsToldInTheUnitsAskedFor) {
  const Unwell tight{Unwell::Of::coils_close, Side::right, 2.54};
  EXPECT_EQ(
      words(tight, Units::metric),
      "with the stop solid only 2.5\u00a0mm are left before the coils of the right one touch, "
      "10\u00a0mm wanted (common practice)");
  EXPECT_EQ(words(tight, Units::inch),
            "with the stop solid only 0.100\u00a0in are left before the coils of the right one "
            "touch, 0.394\u00a0in wanted (common practice)");
}

TEST(SettleJudges, AFreeLengthThatTheWeightDeniesStandsFirst) {
  const auto s = settled(in_place(demo_text("pip.toml"), "free_length = 292", "free_length = 272"));
  const auto answer = tell(s, Units::metric).answer;
  EXPECT_NE(answer.find("front spring: weight and rate make the"), std::string::npos) << answer;
  EXPECT_NE(answer.find("the file says 272.0\u00a0mm"), std::string::npos) << answer;
}

// Two figures for one spring: by its free length, and by what stands on it. The worse one counts.
TEST(SettleJudges, TheWorseOfTwoFiguresOfACaptiveSpringCounts) {
  for (const double free : {292.0, 250.0, 340.0}) {
    const auto s = settled(in_place(demo_text("pip.toml"), "free_length = 292",
                                    fmt::format("free_length = {}", free)));
    const auto& c = sits(s).axle[0]->side[0];
    ASSERT_TRUE(c.loose_by_length_mm && c.loose_by_weight_mm);
    EXPECT_EQ(*c.loose_mm, std::max(*c.loose_by_length_mm, *c.loose_by_weight_mm)) << free;
  }
  // 250 mm: loose by the file's length, though its weight would hold it.
  const auto s = settled(in_place(demo_text("pip.toml"), "free_length = 292", "free_length = 250"));
  const auto answer = tell(s, Units::metric).answer;
  EXPECT_NE(answer.find("mm at full droop by its free length (still pressed by"), std::string::npos)
      << answer;
}

// Nothing serves that was not judged, and what would let it be judged is a key.
TEST(SettleJudges, NothingServesThatWasNotJudged) {
  const auto s = settled(std::string(strut_text) + "[front.spring]\nrate = 30\n");
  for (const auto& j : in_words(judge(s), Units::metric)) {
    EXPECT_EQ(j.verdict(), Serving::not_judged) << j.of;
    for (const auto& u : j.unjudged) EXPECT_NE(u.key.find("[front."), std::string::npos) << u.what;
  }
  EXPECT_EQ(tell(s, Units::metric).answer.find("serves"), std::string::npos);
  // A droop that is only taken judges no spring.
  const auto taken =
      settled(std::string(strut_text) + "[front.spring]\nrate = 30\nfree_length = 560\n");
  EXPECT_EQ(of(in_words(judge(taken), Units::metric), "front spring").verdict(),
            Serving::not_judged);
  const auto said = settled(std::string(strut_text) +
                            "[front.spring]\nrate = 30\nfree_length = 500\n[front.stop]\ndroop = "
                            "60\n");
  EXPECT_EQ(of(in_words(judge(said), Units::metric), "front spring").verdict(),
            Serving::does_not_serve);
}

// A car of which all is known and all is well says so, and counts it.
TEST(SettleJudges, AllOfItServesOnlyWhereAllWasJudged) {
  auto text = std::string(strut_text) +
              "[front.spring]\nrate = 30\nfree_length = 560\nsolid_length = 250\n"
              "[front.stop]\ngap = 30\nfree_length = 50\nsolid_length = 20\ndroop = 40\n";
  const auto all = in_words(judge(settled(text)), Units::metric);
  // Its load is not known, nor where a damper closes.
  EXPECT_EQ(of(all, "front spring").verdict(), Serving::not_judged);
  EXPECT_EQ(of(all, "front bump stop").verdict(), Serving::not_judged);
  EXPECT_EQ(counted(all).find("All of it serves"), std::string::npos) << counted(all);
}

}  // namespace
}  // namespace trammel::testing
