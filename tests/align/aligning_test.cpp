// The step as a whole: days, what is carried from one to the next, what moved, and what is told.

#include "align/aligning.h"

#include <gtest/gtest.h>

#include "align/floor_cards.h"
#include "align/on_the_floor.h"

namespace trammel::testing {
namespace {

OnTheFloor a_little_off() {
  OnTheFloor f;
  f.half_track_mm = {715.0, 685.0};
  const double d = degree_rad;
  f.toe_rad = {0.3 * d, -0.2 * d, 0.35 * d, 0.0};
  f.camber_rad = {-0.9 * d, -0.9 * d, -0.8 * d, -0.8 * d};
  return f;
}

TEST(Aligning, NothingReadSaysHowItIsRead) {
  const auto car = aligned_car(two_axles());
  const auto a = car.aligning();
  EXPECT_FALSE(a.now());
  EXPECT_FALSE(a.plan);
  const auto words = words_of(tell(a, car.car, Units::metric));
  EXPECT_NE(words.find("Nothing has been read on the floor yet"), std::string::npos);
  EXPECT_NE(words.find("half a turn"), std::string::npos);
  EXPECT_NE(words.find("never go under a car that stands on a jack"), std::string::npos);
}

// The turns written down bring the day after to where the model says; two days of equal readings
// are worth 1/sqrt(2) of one, but for what a turn is not sure to.
TEST(Aligning, WhatWasTurnedIsCarriedToTheNextDay) {
  const auto text = two_axles() + a_little_off().rows("first");
  const auto first = aligned_car(text).aligning();
  ASSERT_FALSE(first.plan->steps.empty());
  const auto document = turned_as_planned(*parse(text).value, first);
  ASSERT_TRUE(document.value) << document.faults.front().what;
  auto then = a_little_off();
  for (int w = 0; w < 4; ++w)
    then.toe_rad[static_cast<std::size_t>(w)] = first.plan->axle[static_cast<std::size_t>(w / 2)]
                                                    ->at(static_cast<Side>(w % 2))
                                                    .then.toe_rad;
  const auto second = aligned_car(document.value->text + then.rows("second")).aligning();
  EXPECT_TRUE(second.now()->carried);
  for (int w = 0; w < 4; ++w) {
    const auto& was =
        *first.now()->at(static_cast<AxleName>(w / 2)).at(static_cast<Side>(w % 2)).toe_rad;
    const auto& is =
        *second.now()->at(static_cast<AxleName>(w / 2)).at(static_cast<Side>(w % 2)).toe_rad;
    EXPECT_NEAR(is.value, then.toe_rad[static_cast<std::size_t>(w)], 0.002 * degree_rad);
    EXPECT_LT(is.sigma, 0.75 * was.sigma);
    EXPECT_GT(is.sigma, 0.70 * was.sigma);
  }
  EXPECT_TRUE(second.plan->steps.empty());
  EXPECT_TRUE(second.met);
}

TEST(Aligning, ADayThatDisagreesIsTakenByItself) {
  const auto text = two_axles() + a_little_off().rows("first") +
                    "[[alignment]]\nwhen = \"first\"\nwheel = \"front.left\"\ntoe_turned = -3\n" +
                    a_little_off().rows("second");
  const auto a = aligned_car(text).aligning();
  EXPECT_FALSE(a.now()->carried);
  EXPECT_NEAR(a.now()->at(AxleName::front).at(Side::left).toe_rad->value, 0.3 * degree_rad, 1e-6);
  ASSERT_FALSE(a.now()->assumed.empty());
  EXPECT_EQ(a.now()->assumed.front(), Assumed::apart_from_day_before);
}

TEST(Aligning, ADayThatWasTurnedAsksForAnother) {
  const auto text = two_axles() + a_little_off().rows("first");
  const auto first = aligned_car(text).aligning();
  const auto turned = turned_as_planned(*parse(text).value, first);
  ASSERT_TRUE(turned.value);
  const auto car = aligned_car(turned.value->text);
  const auto after = car.aligning();
  EXPECT_TRUE(after.turned());
  const auto told = tell(after, car.car, Units::metric);
  EXPECT_NE(told.answer.find("is written down (front left"), std::string::npos) << told.answer;
  EXPECT_EQ(words_of(told).find("In this order"), std::string::npos);
  // Not a second time.
  const auto twice = turned_as_planned(*turned.value, after);
  ASSERT_FALSE(twice.value);
  EXPECT_NE(twice.faults.front().what.find("written down already"), std::string::npos);
}

// What was turned after the day before is no movement, nor what parts did that were fitted since.
TEST(Aligning, TurnsAndPartsAreNoMovement) {
  const auto text = two_axles() + a_little_off().rows("set");
  const auto first = aligned_car(text).aligning();
  const auto turned = *turned_as_planned(*parse(text).value, first).value;
  auto then = a_little_off();
  for (int w = 0; w < 4; ++w)
    then.toe_rad[static_cast<std::size_t>(w)] = first.plan->axle[static_cast<std::size_t>(w / 2)]
                                                    ->at(static_cast<Side>(w % 2))
                                                    .then.toe_rad;
  const std::string driven = "[[alignment]]\nwhen = \"after 100 km\"\ndriven = true\n";
  for (const auto& m :
       aligned_car(turned.text + then.rows("after 100 km") + driven).aligning().moved)
    EXPECT_FALSE(m.too_much);
  const auto fitted = aligned_car(text + then.rows("after 100 km") + driven +
                                  "[[alignment]]\nwhen = \"after 100 km\"\nfitted = true\n");
  EXPECT_TRUE(fitted.aligning().moved.empty());
}

// Within what is wanted, and more than a third off: done, and it may still be brought nearer.
TEST(Aligning, WhatIsWithinMayComeNearer) {
  auto is = a_little_off();
  is.toe_rad = {0.05 * degree_rad, 0.05 * degree_rad, 0.1 * degree_rad, 0.1 * degree_rad};
  const auto car = aligned_car(two_axles() + is.rows("now"));
  const auto a = car.aligning();
  EXPECT_TRUE(a.met);
  EXPECT_EQ(a.plan->steps.size(), 2u);
  EXPECT_EQ(
      tell(a, car.car, Units::metric)
          .answer.find("Everything that was read is where it is wanted. Nearer still: 2 things"),
      0u);
}

TEST(Aligning, NothingIsClaimedOfWhatWasNotRead) {
  // Front plates alone: no thrust angle, no steering wheel, both front wheels turned alike.
  const auto plates =
      aligned_car(two_axles() +
                  "[[alignment]]\nwhen = \"now\"\naxle = \"front\"\nplates = [1450, 1460]\n"
                  "base = 600\n");
  const auto a = plates.aligning();
  EXPECT_TRUE(a.judged);
  EXPECT_FALSE(a.met);
  EXPECT_FALSE(a.plan->thrust_then_rad);
  EXPECT_FALSE(a.plan->steering_then_rad);
  ASSERT_EQ(a.plan->steps.size(), 2u);
  EXPECT_EQ(a.plan->steps[0].quarter_flats, a.plan->steps[1].quarter_flats);
  EXPECT_EQ(tell(a, plates.car, Units::metric).answer.find("steering wheel ends straight"),
            std::string::npos);
  // Ride height alone: nothing that anything is wanted of.
  const auto height = aligned_car(
      two_axles() + "[[alignment]]\nwhen = \"now\"\nwheel = \"front.left\"\narch = 320\n");
  const auto h = height.aligning();
  EXPECT_FALSE(h.judged);
  EXPECT_NE(
      tell(h, height.car, Units::metric).answer.find("Nothing was read that anything is wanted"),
      std::string::npos);
  // A steering wheel held off straight, nobody knows by how much at the wheels: total toe alone.
  auto is = a_little_off();
  const auto off = aligned_car(two_axles() + is.rows("now") +
                               "[[alignment]]\nwhen = \"now\"\nsteering_wheel = 20\n")
                       .found("now");
  EXPECT_FALSE(off.at(AxleName::front).at(Side::left).toe_rad);
  ASSERT_TRUE(off.at(AxleName::front).total_toe_rad);
  EXPECT_NEAR(off.at(AxleName::front).total_toe_rad->value, 0.1 * degree_rad, 1e-8);
  EXPECT_TRUE(off.at(AxleName::rear).at(Side::left).toe_rad);
}

// Read to a tenth of a millimetre in two places: surely.
TEST(Aligning, WhatIsSurelyRightIsSaid) {
  auto is = a_little_off();
  is.toe_rad = {0.0, 0.0, 0.1 * degree_rad, 0.1 * degree_rad};
  auto rows = is.rows("now");
  for (std::size_t at = 0; (at = rows.find("across = ", at)) != std::string::npos; at += 27)
    rows.insert(at, "edge_sigma = 0.1\n");
  const auto a = aligned_car(two_axles() + rows).aligning();
  EXPECT_TRUE(a.met);
  EXPECT_TRUE(a.surely);
}

// Repeats of one place are averaged before the two places are: a rim that runs out by a millimetre
// keeps its mean however often one place was read.
TEST(Aligning, RepeatsOfOnePlaceAreNoHalfTurn) {
  const auto row = [](const char* key, double front) {
    return fmt::format(
        "[[alignment]]\nwhen = \"now\"\nwheel = \"front.left\"\nacross = 406\n"
        "{} = [{}, 220]\n",
        key, front);
  };
  const auto one = aligned_car(two_axles() + row("edges", 221) + row("edges", 221.1)).found("now");
  EXPECT_FALSE(one.at(AxleName::front).at(Side::left).runs_out_mm);
  EXPECT_FALSE(one.assumed.empty());
  const auto both =
      aligned_car(two_axles() + row("edges", 221) + row("edges", 221) + row("edges_half_turn", 219))
          .found("now")
          .at(AxleName::front)
          .at(Side::left);
  EXPECT_NEAR(both.toe_rad->value, 0.0, 1e-9);
  EXPECT_NEAR(*both.runs_out_mm, 1.0, 1e-5);
}

TEST(Aligning, ToeThatMovedWhileDrivingIsSaid) {
  auto was = a_little_off(), is = was;
  const auto driven = "[[alignment]]\nwhen = \"after 100 km\"\ndriven = true\n";
  const auto still =
      aligned_car(two_axles() + was.rows("set") + is.rows("after 100 km") + driven).aligning();
  EXPECT_FALSE(still.moved.empty());
  for (const auto& m : still.moved) EXPECT_FALSE(m.too_much);
  is.toe_rad[1] -= 0.3 * degree_rad;
  const auto car = aligned_car(two_axles() + was.rows("set") + is.rows("after 100 km") + driven);
  const auto moved = car.aligning();
  int too_much = 0;
  for (const auto& m : moved.moved)
    if (m.too_much) {
      ++too_much;
      EXPECT_EQ(m.side, Side::right);
      EXPECT_NEAR(m.by_rad, -0.3 * degree_rad, 1e-6);
    }
  EXPECT_EQ(too_much, 1);
  EXPECT_NE(tell(moved, car.car, Units::metric).answer.find("Something has moved"),
            std::string::npos);
}

TEST(Aligning, TheDemoIsToldWhatToTurn) {
  const auto car = aligned_car(demo_text("pip.toml"));
  const auto words = words_of(tell(car.aligning(), car.car, Units::metric));
  EXPECT_NE(words.find("crabs to the right"), std::string::npos) << words;
  EXPECT_NE(words.find("rod 'steering'"), std::string::npos);
  EXPECT_NE(words.find("The steering wheel ends straight"), std::string::npos);
  // Inches as well: no millimetre is left in the steps.
  const auto inch = tell(car.aligning(), car.car, Units::inch);
  for (const auto& b : all_blocks(inch))
    if (const auto* g = std::get_if<Grid>(&b); g && g->title.starts_with("In this order")) {
      for (const auto& row : g->rows) EXPECT_EQ(row[0].find("mm"), std::string::npos) << row[0];
    }
}

// ------------------------------------------------------------------ cards

TypedCard typed(std::vector<std::string> values, std::string sigma = "") {
  return {std::move(values), std::move(sigma)};
}

TEST(FloorCards, EachBecomesARowThatReadsBack) {
  const auto car = aligned_car(two_axles());
  const auto round = floor_round_of(car.car);
  Document d = car.document;
  const FloorDay day{"after turning", true, false};
  int entered_rows = 0;
  for (const auto& station : round)
    for (const auto& card : station.cards) {
      std::vector<std::string> values;
      for (const auto& f : card.fields)
        values.emplace_back(f.key.starts_with("turn_")                     ? "20.5"
                            : f.key.starts_with("wheelbases")              ? "2371.5"
                            : f.key.starts_with("plates")                  ? "1450"
                            : f.key == "base"                              ? "600"
                            : f.key == "across"                            ? "406"
                            : f.kind == Kind::angle                        ? "-0°30'"
                            : f.key.starts_with("edges") || f.key == "hub" ? "223.5 mm"
                                                                           : "1.5");
      const auto after = entered(d, card, day, typed(values, card.sigma > 0.0 ? "0.3" : ""));
      ASSERT_TRUE(after.value) << card.number << ": " << after.faults.front().what;
      d = *after.value;
      const auto read = read_car(d);
      ASSERT_TRUE(read.faults.empty()) << card.number << ": " << read.faults.front().what;
      const auto rows = read_alignment(d, car.car);
      const auto taken = taken_on(rows, card, day.when);
      ASSERT_EQ(taken.size(), 1u) << card.number;
      EXPECT_FALSE(row_words(*taken.front(), card, Units::metric).empty());
      EXPECT_NE(floor_drawing(car.car, card).svg.find("<svg"), std::string::npos);
      ++entered_rows;
    }
  const auto rows = read_alignment(d, car.car);
  EXPECT_EQ(rows.rows.size(), static_cast<std::size_t>(entered_rows) + 1);  // and the day's own
  EXPECT_TRUE(rows.rows.front().fitted);
  EXPECT_EQ(entered_rows, 23);
}

TEST(FloorCards, SlipsOfTheHandNameTheField) {
  const auto car = aligned_car(two_axles());
  const auto round = floor_round_of(car.car);
  const auto& strings = *floor_card(round, "AFL1");
  const FloorDay day{"as found", false, false};
  const auto why = [&](std::vector<std::string> values) {
    const auto after = entered(car.document, strings, day, typed(std::move(values)));
    return after.value ? std::string() : after.faults.front().what;
  };
  EXPECT_NE(why({}).find("front edge"), std::string::npos);
  EXPECT_NE(why({"223", "", "", ""}).find("rear edge"), std::string::npos);
  EXPECT_NE(why({"223", "0.5°", "", ""}).find("rear edge"), std::string::npos);
  const auto half =
      entered(car.document, *floor_card(round, "AX3"), day, typed({"", "2371", "", ""}));
  ASSERT_FALSE(half.value);
  EXPECT_NE(half.faults.front().what.find("both or neither"), std::string::npos);
  EXPECT_EQ(why({"223", "224", "", "406"}), "");
  const auto no_day =
      entered(car.document, strings, {"", false, false}, typed({"223", "224", "", "406"}));
  EXPECT_FALSE(no_day.value);
  EXPECT_EQ(floor_card(round, "AFL99"), nullptr);
}

TEST(AlignmentRows, SlipsInTheFileAreNamedWithTheirLine) {
  const auto faults = [](const std::string& rows) { return faults_of(two_axles() + rows); };
  EXPECT_NE(faults("[[alignment]]\nwheel = \"front.left\"\nhub = 3\n").find("'when' is missing"),
            std::string::npos);
  const auto row = [](const std::string& keys) { return "[[alignment]]\nwhen = \"a\"\n" + keys; };
  EXPECT_NE(faults(row("wheel = \"left.front\"\n")).find("is no wheel"), std::string::npos);
  EXPECT_NE(faults(row("wheel = \"front.left\"\nedges = [3]\n")).find("is no pair"),
            std::string::npos);
  EXPECT_NE(faults(row("wheel = \"front.left\"\nedges = [223, 225]\n")).find("'across' is missing"),
            std::string::npos);
  EXPECT_NE(faults(row("wheel = \"front.left\"\ncamber_out = 1\n")).find("half a sweep"),
            std::string::npos);
  EXPECT_NE(faults(row("wheel = \"front.left\"\ncamber = \"3 mm\"\n")).find("angle"),
            std::string::npos);
  EXPECT_NE(faults(row("wheel = \"front.left\"\nplates = [1, 2]\n")).find("is of one axle"),
            std::string::npos);
  EXPECT_NE(faults(row("wheel = \"front.left\"\nfitted = true\n")).find("of the whole car"),
            std::string::npos);
  EXPECT_NE(faults(row("axle = \"front\"\nplates = [1450, 1452]\n")).find("without their length"),
            std::string::npos);
  EXPECT_NE(faults(row("strings_apart = [1860, 1850]\n")).find("strings_length"),
            std::string::npos);
  EXPECT_NE(faults(row("wheel = \"front.left\"\nhubb = 3\n")).find("did you mean 'hub'"),
            std::string::npos);
  EXPECT_NE(
      faults(row("wheel = \"front.left\"\negdes = [223, 225]\n")).find("did you mean 'edges'"),
      std::string::npos);
  EXPECT_NE(faults(row("wheel = \"front.left\"\nedges = [223, 225]\nacross = 16\n"))
                .find("less than any rim"),
            std::string::npos);
  EXPECT_NE(faults(row("axle = \"front\"\nplates = [0.2, 0.3]\nbase = 600\n")).find("is no pair"),
            std::string::npos);
  EXPECT_NE(
      faults(row("wheel = \"rear.left\"\ncamber_out = 1\ncamber_in = 0\n")).find("does not steer"),
      std::string::npos);
  // A wheel that is none: one fault, not one for each of its keys.
  const auto wrong = faults(row("wheel = \"left front\"\ncamber = -1\nhub = 3\n"));
  EXPECT_EQ(std::count(wrong.begin(), wrong.end(), '\n'), 1) << wrong;
  // An axle that the file does not describe.
  const std::string front_only(strut_text);
  EXPECT_NE(faults_of(front_only + row("wheel = \"rear.left\"\nedges = [223, 225]\n"))
                .find("is not described"),
            std::string::npos);
  EXPECT_EQ(faults(row("wheel = \"front.left\"\nhub = 224\n")), "");
}

}  // namespace
}  // namespace trammel::testing
