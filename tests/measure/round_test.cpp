// The survey's cards: what they ask, what they write into the file, what they ask back, and the
// gauge run that follows the jack.
#include "measure/round.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <set>

#include "base/quantity.h"
#include "cars.h"
#include "correct/knowing.h"
#include "measure/card_drawing.h"
#include "measure/entry.h"
#include "measure/gauge_progress.h"
#include "sheet/curves.h"
#include "travel/sensitivity.h"

namespace trammel {
namespace {

using testing::car_of;
using testing::demo_text;

// The file keeps every digit that was typed: what differs is the order of sums.
constexpr double same_joint_mm = 1e-6;

Document parsed(const std::string& text) { return *parse(text).value; }
std::string without_readings(const std::string& text) {
  return edit(parsed(text), "reading", "[]").value->text;
}
std::string as_typed(const TakenReading& r) {
  return shortest(quantity_kind(r.kind) == Kind::angle ? r.value / degree_rad : r.value);
}
std::string sigma_as_typed(const TakenReading& r) {
  return shortest(quantity_kind(r.kind) == Kind::angle ? r.sigma / degree_rad : r.sigma);
}

// What somebody would type on a card to get this reading.
TypedCard typed_for(const Card& card, const TakenReading& r) {
  TypedCard typed;
  for (const auto& f : card.fields)
    typed.values.push_back(f.key == "value" || f.key == word(r.kind) ? as_typed(r) : "");
  typed.sigma = sigma_as_typed(r);
  return typed;
}

Card card_for(const Car& car, const TakenReading& r) {
  for (const auto& station : round_of(car))
    for (const auto& card : station.cards)
      if (is_of(r, card)) return card;
  ADD_FAILURE() << r.name << " is on no card of the round";
  return {};
}

class TypedAnew : public ::testing::TestWithParam<const char*> {};

// The demo cars' raw surveys, value by value through the cards: the same joints as by the file.
TEST_P(TypedAnew, GivesTheSameJoints) {
  const auto text = demo_text(GetParam());
  const auto car = car_of(text);
  const auto survey = read_survey(parsed(text), car);
  auto document = parsed(without_readings(text));
  int cards = 0;
  for (const auto& r : survey.readings) {
    const auto card = card_for(car, r);
    const auto after = entered(document, car, card, typed_for(card, r));
    ASSERT_TRUE(after.value) << r.name << ": " << after.faults[0].what;
    document = *after.value;
    ++cards;
  }
  for (const auto& g : survey.gauges) {
    TypedGauge typed;
    typed.axle = g.axle;
    typed.side = g.side;
    typed.base = shortest(g.base_mm);
    for (std::size_t i = 0; i < g.rows.size(); ++i) {
      const auto& row = g.rows[i];
      typed.row = {shortest(row.travel_mm), shortest(row.front_mm), shortest(row.rear_mm), ""};
      const auto after = entered(document, typed);
      ASSERT_TRUE(after.value) << after.faults[0].what;
      document = *after.value;
      typed.name = std::string("gauge ") + word(g.axle) + " " + word(g.side);
    }
  }
  const auto again = read_survey(document, car);
  ASSERT_TRUE(again.faults.empty()) << again.faults[0].what;
  EXPECT_EQ(again.readings.size(), survey.readings.size());
  ASSERT_EQ(again.gauges.size(), survey.gauges.size());
  EXPECT_GT(cards, 100);
  const auto by_file = adjust(car, survey), by_cards = adjust(car, again);
  ASSERT_TRUE(by_file.value && by_cards.value);
  for (std::size_t i = 0; i < by_file.value->points.size(); ++i)
    for (int k = 0; k < 3; ++k) {
      EXPECT_NEAR(by_cards.value->points[i].at_mm[k], by_file.value->points[i].at_mm[k],
                  same_joint_mm)
          << by_file.value->points[i].name;
      EXPECT_NEAR(by_cards.value->points[i].sigma_mm[k], by_file.value->points[i].sigma_mm[k],
                  same_joint_mm);
    }
  EXPECT_EQ(by_cards.value->suspects(), by_file.value->suspects());
}
INSTANTIATE_TEST_SUITE_P(Demos, TypedAnew,
                         ::testing::Values("pip-survey.toml", "nibbet-survey.toml"));

// The misread values that are planted in the demo surveys, typed last.
struct Planted {
  const char* file;
  const char* name;
  const char* slip;
};
class PlantedMisread : public ::testing::TestWithParam<Planted> {};
TEST_P(PlantedMisread, IsAskedAboutAtOnceAndTheRightValueIsNot) {
  const auto p = GetParam();
  const auto text = demo_text(p.file);
  const auto car = car_of(text);
  const auto whole = read_survey(parsed(text), car);
  auto before = whole;
  std::optional<TakenReading> wrong;
  std::erase_if(before.readings, [&](const TakenReading& r) {
    if (r.name == p.name) wrong = r;
    return r.name == p.name;
  });
  ASSERT_TRUE(wrong);
  const auto known = adjust(car, before);
  ASSERT_TRUE(known.value);
  const auto asks = surprises(before, whole, *known.value, Units::metric);
  ASSERT_EQ(asks.size(), 1u) << p.name;
  EXPECT_NE(asks[0].find(p.slip), std::string::npos) << asks[0];
  // What the others say of it, were it read right.
  auto right = whole;
  for (auto& r : right.readings)
    if (r.name == p.name) r.value = expected(whole, *known.value, r)->value + r.sigma;
  EXPECT_TRUE(surprises(before, right, *known.value, Units::metric).empty());
}
INSTANTIATE_TEST_SUITE_P(Demos, PlantedMisread,
                         ::testing::Values(Planted{"pip-survey.toml", "M021", "misread by 10 mm"},
                                           Planted{"pip-survey.toml", "M116", "misread by 20 mm"},
                                           Planted{"nibbet-survey.toml", "M046",
                                                   "started at its 100 mm mark"},
                                           Planted{"nibbet-survey.toml", "M093", "Perhaps"}));

// Honest readings are seldom asked about: of some 300 that are in the demo surveys, each typed
// last.
TEST(Surprise, HonestReadingsAreLeftInPeace) {
  int all = 0;
  for (const char* file : {"pip-survey.toml", "nibbet-survey.toml"}) {
    const auto text = demo_text(file);
    const auto car = car_of(text);
    auto whole = read_survey(parsed(text), car);
    const auto clean = adjust(car, whole);
    std::set<std::string> misread;
    for (const auto& r : clean.value->readings)
      if (r.suspect) misread.insert(r.name);
    std::erase_if(whole.readings, [&](const TakenReading& r) { return misread.contains(r.name); });
    for (std::size_t i = 0; i < whole.readings.size(); i += 7) {
      auto before = whole;
      before.readings.erase(before.readings.begin() + static_cast<std::ptrdiff_t>(i));
      const auto known = adjust(car, before);
      ++all;
      for (const auto& words : surprises(before, whole, *known.value, Units::metric)) {
        ADD_FAILURE() << whole.readings[i].name << ": " << words;
      }
    }
  }
  EXPECT_GT(all, 40);
}

// A corner read card by card, each height with its repeat, as the round goes: 170 was kept where
// all the rest has 158, and no honest value after it is asked about, the very next one neither.
TEST(Surprise, AnHonestRepeatOfAKeptSlipIsLeftInPeace) {
  const auto text = demo_text("pip-survey.toml");
  const auto car = car_of(text);
  const auto whole = read_survey(parsed(text), car);
  auto now = whole;
  std::erase_if(now.readings, [](const TakenReading& r) {
    return r.spot.axle == AxleName::front && r.spot.side == Side::left;
  });
  std::vector<std::string> asked;
  std::size_t entered_so_far = 0;
  for (const auto& station : round_of(car))
    for (const auto& card : station.cards)
      for (const auto& r : whole.readings) {
        if (r.spot.axle != AxleName::front || r.spot.side != Side::left || !is_of(r, card))
          continue;
        const auto known = adjust(car, now);
        ASSERT_TRUE(known.value) << known.why;
        const auto before = now;
        now.readings.push_back(r);
        ++entered_so_far;
        if (!surprises(before, now, *known.value, Units::metric).empty()) asked.push_back(r.name);
      }
  EXPECT_GT(entered_so_far, 40U);
  EXPECT_EQ(asked, std::vector<std::string>{"M021"});
}

TEST(Surprise, NothingIsAskedWhereNothingIsKnown) {
  const auto car = car_of(testing::strut_text);  // no ± anywhere: the joints are starts
  const auto document = parsed(testing::strut_text);
  const auto before = read_survey(document, car);
  const auto round = round_of(car);
  const auto& card = round[1].cards[3];
  const auto after = entered(document, car, card, {{"999"}, ""});
  ASSERT_TRUE(after.value);
  const auto known = adjust(car, before);
  EXPECT_TRUE(
      surprises(before, read_survey(*after.value, car), *known.value, Units::metric).empty());
}

TEST(Round, EveryCardHasItsNumberItsWordsAndADrawingThatIsOne) {
  for (const char* text : {testing::strut_text, testing::wishbone_text, testing::five_link_text,
                           testing::semi_trailing_text, testing::three_rod_strut_text,
                           testing::toe_link_on_arm_text}) {
    const auto car = car_of(text);
    std::set<std::string> numbers;
    for (const auto& station : round_of(car)) {
      EXPECT_FALSE(station.cards.empty()) << station.name;
      EXPECT_FALSE(station.caution.empty());
      for (const auto& card : station.cards) {
        EXPECT_TRUE(numbers.insert(card.number).second) << card.number;
        EXPECT_FALSE(card.what.empty() || card.how.empty() || card.care.empty() ||
                     card.fields.empty())
            << card.number;
        const auto d = card_drawing(car, card);
        EXPECT_EQ(d.svg.find("nan"), std::string::npos) << card.number;
        EXPECT_EQ(d.svg.find("inf"), std::string::npos) << card.number;
        EXPECT_NE(d.text.find("een from"), std::string::npos) << d.text;
      }
    }
    // Each joint that holds the wheel is asked for, at both sides, by height and by mark.
    for (const AxleName a : {AxleName::front, AxleName::rear}) {
      if (!car.at(a)) continue;
      for (const Side side : {Side::left, Side::right})
        for (const int p : holding_points(car.at(a)->layout))
          for (const ReadingKind kind : {ReadingKind::height, ReadingKind::back}) {
            TakenReading r;
            r.kind = kind;
            r.spot.axle = a;
            r.spot.side = side;
            r.spot.index = p;
            EXPECT_FALSE(card_for(car, r).number.empty());
          }
    }
  }
}

TEST(Entry, WhatIsTypedWrongIsRefusedByTheFieldsName) {
  const auto car = car_of(testing::strut_text);
  const auto document = parsed(testing::strut_text);
  const auto round = round_of(car);
  const auto refused = [&](const char* number, const TypedCard& typed) {
    const auto* card = card_numbered(round, number);
    EXPECT_NE(card, nullptr) << number;
    const auto after = entered(document, car, *card, typed);
    EXPECT_FALSE(after.value) << number;
    return after.faults.empty() ? "" : after.faults[0].what;
  };
  EXPECT_EQ(refused("FL4", {{""}, ""}).find("above the floor: nothing was entered"), 0u);
  EXPECT_EQ(refused("FL4", {{"17x"}, ""}).find("above the floor: "), 0u);
  EXPECT_EQ(refused("FL4", {{"3 kg"}, ""}).find("above the floor: "), 0u);
  EXPECT_EQ(refused("FL1", {{"3 mm"}, ""}).find("against level: "), 0u);
  EXPECT_EQ(refused("FL4", {{"178"}, "-1"}).find("±: "), 0u);
  EXPECT_EQ(refused("FL4", {{"178"}, "5°"}).find("±: "), 0u);
  EXPECT_EQ(refused("FL5", {{"", ""}, ""}).find("nothing was entered"), 0u);
  EXPECT_EQ(refused("FL5", {{"", "", "120"}, ""}).find("nothing was entered"), 0u);
}

TEST(Entry, UnitsAndUncertaintiesStandInTheFileAsTyped) {
  const auto car = car_of(testing::strut_text);
  auto document = parsed(testing::strut_text);
  const auto round = round_of(car);
  const auto type = [&](const char* number, const TypedCard& typed) {
    const auto after = entered(document, car, *card_numbered(round, number), typed);
    ASSERT_TRUE(after.value) << number << ": " << after.faults[0].what;
    document = *after.value;
  };
  type("B1", {{"600"}, ""});
  type("FL4", {{"7 1/16 in"}, ""});
  type("FL4", {{"179.5"}, "2"});
  type("FL1", {{"-1°30'"}, ""});
  type("FL2", {{"62.5", "62", "406"}, ""});
  type("B2", {{"-1.5"}, ""});
  type("B2", {{"-2"}, ""});
  const auto survey = read_survey(document, car);
  ASSERT_TRUE(survey.faults.empty()) << survey.faults[0].what;
  ASSERT_EQ(survey.readings.size(), 4u);
  EXPECT_DOUBLE_EQ(survey.readings[0].value, 7.0625 * 25.4);
  EXPECT_TRUE(survey.readings[0].sigma_is_usual);
  EXPECT_EQ(survey.readings[1].name, "FL4 again");
  EXPECT_DOUBLE_EQ(survey.readings[1].sigma, 2.0);
  EXPECT_DOUBLE_EQ(survey.readings[2].value, -1.5 * degree_rad);
  // By hand: half a millimetre over 406, the rear edge nearer the string, is 0.071 degrees.
  EXPECT_NEAR(std::fabs(survey.readings[3].value), 0.0706 * degree_rad, 5e-5 * degree_rad);
  ASSERT_EQ(survey.floor.size(), 1u);  // read again: the spot's new height, no second spot
  EXPECT_DOUBLE_EQ(survey.floor[0].height_mm, -2.0);
  EXPECT_DOUBLE_EQ(survey.baseline_mm.value, 600.0);
  // A centre that cannot be seen carries its own ± into the file.
  const auto hidden = std::find_if(round[1].cards.begin(), round[1].cards.end(), [](const Card& c) {
    return c.own_sigma && c.kind == CardKind::height;
  });
  ASSERT_NE(hidden, round[1].cards.end());
  type(hidden->number.c_str(), {{"746"}, ""});
  EXPECT_DOUBLE_EQ(read_survey(document, car).readings.back().sigma, hidden->sigma);
}

TEST(Entry, AReadingIsSetAsideAndTakenInAgain) {
  const auto text = demo_text("pip-survey.toml");
  const auto car = car_of(text);
  const auto aside = set_aside(parsed(text), "M021", true);
  ASSERT_TRUE(aside.value);
  const auto of = [&](const Document& d) {
    for (const auto& r : read_survey(d, car).readings)
      if (r.name == "M021") return r.set_aside;
    return false;
  };
  EXPECT_TRUE(of(*aside.value));
  EXPECT_FALSE(of(*set_aside(*aside.value, "M021", false).value));
  EXPECT_FALSE(set_aside(parsed(text), "nothing", true).value);
}

// The demo's runs go as docs/measuring.md says: up to 40, down to -40, back to 0.
TEST(GaugeProgress, KnowsWhereTheJackGoesNext) {
  const auto text = demo_text("pip-survey.toml");
  const auto car = car_of(text);
  for (const auto& run : read_survey(parsed(text), car).gauges) {
    GaugeRun sofar = run;
    for (std::size_t n = 0; n <= run.rows.size(); ++n) {
      sofar.rows.assign(run.rows.begin(), run.rows.begin() + static_cast<std::ptrdiff_t>(n));
      const auto p = gauge_progress(sofar, Units::metric);
      if (n == run.rows.size()) EXPECT_FALSE(p.next_mm);
      else EXPECT_DOUBLE_EQ(p.next_mm.value_or(-999.0), run.rows[n].travel_mm) << n;
    }
  }
}

TEST(GaugeProgress, TurnsWhereTheStopWasAndGoesInHalfInches) {
  GaugeRun run;
  run.base_mm = 300.0;
  const auto next = [&](std::initializer_list<double> travels, Units units = Units::metric) {
    run.rows.clear();
    for (const double t : travels) run.rows.push_back({t, 0.0, 0.0, {}});
    return gauge_progress(run, units).next_mm;
  };
  EXPECT_DOUBLE_EQ(*next({}), 0.0);
  EXPECT_DOUBLE_EQ(*next({0, 10, 20, 30, 20}), 10.0);       // turned at 30
  EXPECT_DOUBLE_EQ(*next({0, 10, 20, 10, 0, -10}), -20.0);  // and down
  EXPECT_DOUBLE_EQ(*next({0, 20, 40}), 20.0);               // in steps of 20
  EXPECT_DOUBLE_EQ(*next({0}, Units::inch), 12.7);
  EXPECT_DOUBLE_EQ(*next({0, 12.7, 25.4}, Units::inch), 38.1);
}

// By hand: (-5.47 + 2.79) / 300 is 0.51 degrees of toe-out. Up and down at 20: (2.27 - 1.22) and
// (2.25 - 1.18) over 300 differ by 0.02 mm, or 0.004 degrees.
TEST(GaugeProgress, SaysToeSlopeAndPlay) {
  const auto text = demo_text("pip-survey.toml");
  const auto car = car_of(text);
  const auto survey = read_survey(parsed(text), car);
  const auto p = gauge_progress(survey.gauges[0], Units::metric);
  EXPECT_NE(p.sentence.find("17 rows"), std::string::npos) << p.sentence;
  EXPECT_NE(p.sentence.find("-0.51°"), std::string::npos) << p.sentence;
  EXPECT_NE(p.sentence.find("Up and down differ"), std::string::npos) << p.sentence;
  ASSERT_EQ(p.curve.series.size(), 2u);
  EXPECT_EQ(p.curve.series[0].name, "up");
  EXPECT_NEAR(p.curve.series[0].points.back()[1], std::atan(-2.68 / 300.0) / degree_rad, 1e-9);
  EXPECT_TRUE(p.care.empty()) << p.care;
  // A dial that does not come back to what it began with is said.
  auto slipped = survey.gauges[0];
  slipped.rows.back().front_mm += 0.2;
  EXPECT_NE(gauge_progress(slipped, Units::metric).care.find("Run it again"), std::string::npos);
  // The low one too.
  auto low = survey.gauges[0];
  for (auto& row : low.rows) row.low_mm = 0.0;
  EXPECT_TRUE(gauge_progress(low, Units::metric).care.empty());
  low.rows.back().low_mm = 0.2;
  EXPECT_NE(gauge_progress(low, Units::metric).care.find("Run it again"), std::string::npos);
}

TEST(GaugeRun, BegunIsNoFaultAndCountsFromThreeRows) {
  const auto text = without_readings(demo_text("pip-survey.toml"));
  const auto car = car_of(text);
  auto document = parsed(text);
  TypedGauge typed;
  typed.axle = AxleName::front;
  typed.side = Side::right;
  typed.base = "11.811 in";
  typed.drop = "150";
  for (const char* travel : {"0", "10", "20"}) {
    typed.row = {travel, "1 thou", "-0.03", "0.02"};
    const auto after = entered(document, typed);
    ASSERT_TRUE(after.value) << after.faults[0].what;
    document = *after.value;
    typed.name = "gauge front right";
    const auto survey = read_survey(document, car);
    EXPECT_TRUE(survey.faults.empty());
    EXPECT_EQ(survey.gauges.size() + survey.begun.size(), 1u);
  }
  const auto survey = read_survey(document, car);
  ASSERT_EQ(survey.gauges.size(), 1u);
  EXPECT_NEAR(survey.gauges[0].base_mm, 300.0, 1e-3);
  EXPECT_NEAR(survey.gauges[0].rows[0].front_mm, 0.0254, 1e-4);
  EXPECT_TRUE(survey.gauges[0].rows[0].low_mm.has_value());
  typed.row.low = "";
  EXPECT_FALSE(entered(document, typed).value) << "the third dial is wanted";
  typed.name = "gone";
  EXPECT_FALSE(entered(document, typed).value);
}

TEST(Knowing, GrowsWithTheReadings) {
  const auto text = demo_text("pip-survey.toml");
  const auto said = [&](const std::string& t, bool gauges) {
    const auto car = car_of(t);
    auto survey = read_survey(parsed(t), car);
    if (!gauges) survey.gauges.clear();
    const auto adjusted = adjust(car, survey);
    EXPECT_TRUE(adjusted.value);
    const auto stands = stands_of(adjusted.value->car, read_wishes(parsed(t), car));
    return knowing(stands.value->sits, *adjusted.value, survey, AxleName::front, Units::metric);
  };
  const auto exact = said(without_readings(text), true);
  EXPECT_NE(exact.sentence.find("without any ±"), std::string::npos) << exact.sentence;
  const auto guess = put(parsed(without_readings(text)), "front.sigma", "30").value->text;
  const auto nothing = said(guess, true);
  EXPECT_NE(nothing.sentence.find("nothing is read yet"), std::string::npos) << nothing.sentence;
  EXPECT_FALSE(nothing.card.empty());
  const auto tapes = said(text, false);
  EXPECT_NE(tapes.sentence.find("Enough to choose parts"), std::string::npos) << tapes.sentence;
  EXPECT_GT(tapes.taken, 20);
  const auto gauged = said(text, true);
  EXPECT_NE(gauged.sentence.find("own curve is known"), std::string::npos) << gauged.sentence;
}

}  // namespace
}  // namespace trammel
