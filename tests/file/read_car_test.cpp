// The car file: what it says, and every kind of slip with its line and what was expected.

#include <gtest/gtest.h>

#include <numbers>

#include "base/quantity.h"
#include "cars.h"
#include "file/wishes.h"
#include "travel/mechanism.h"

namespace trammel::testing {
namespace {

std::string changed(std::string text, const std::string& from, const std::string& to) {
  const auto place = text.find(from);
  EXPECT_NE(place, std::string::npos) << from;
  return text.replace(place, from.size(), to);
}
// The strut car with one slip: exactly one fault, on the line given, with all the words.
void expect_fault(const std::string& text, int line, std::initializer_list<const char*> words) {
  const auto faults = faults_of(text);
  EXPECT_EQ(std::count(faults.begin(), faults.end(), '\n'), 1) << faults;
  EXPECT_TRUE(faults.starts_with(std::to_string(line) + ": ")) << faults;
  for (const char* word : words)
    EXPECT_NE(faults.find(word), std::string::npos) << word << " in " << faults;
}
const std::string strut = strut_text;

TEST(ReadCar, ReadsCoordinatesUnitsAndUncertainties) {
  const auto car =
      car_of(changed(changed(strut, "[-128, 640, 226]", "[\"-128 ± 1.5 mm\", \"25 1/4 in\", 226]"),
                     "[front.wheel]", "[front]\nsigma = 2\n[front.wheel]"));
  const auto& axle = *car.at(AxleName::front);
  const int p = axle.layout.point("rod.steering.upright");
  const auto& left = axle.at(Side::left);
  EXPECT_EQ(left.numbers.points_mm[static_cast<std::size_t>(p)],
            (Vec3<double>{-128, 25.25 * 25.4, 226}));
  EXPECT_EQ(left.sigma_mm[static_cast<std::size_t>(p)], (Vec3<double>{1.5, 2, 2}));
  EXPECT_NEAR(left.numbers.toe_rad, 0.05 * degree_rad, 1e-15);
  EXPECT_EQ(axle.at(Side::right).numbers, mirrored(left.numbers));
  EXPECT_TRUE(axle.layout.steered());
}

TEST(ReadCar, TheRightSideIsOverriddenPointByPoint) {
  const auto car = car_of(strut +
                          "[front.right.arm.lower]\nupright = [6, -656, 179]\n"
                          "[front.right.wheel]\ncamber = -0.9\n");
  const auto& axle = *car.at(AxleName::front);
  const auto& right = axle.at(Side::right).numbers;
  const auto& left = axle.at(Side::left).numbers;
  EXPECT_EQ(right.points_mm[static_cast<std::size_t>(axle.layout.point("arm.lower.upright"))],
            (Vec3<double>{6, -656, 179}));
  EXPECT_NEAR(right.camber_rad, -0.9 * degree_rad, 1e-15);
  EXPECT_EQ(right.toe_rad, left.toe_rad);
  EXPECT_EQ(right.points_mm[static_cast<std::size_t>(axle.layout.point("strut.top"))],
            mirrored(left.points_mm[static_cast<std::size_t>(axle.layout.point("strut.top"))]));
  EXPECT_FALSE(axle.right_is_mirrored);
}

TEST(ReadCar, AsMeasuredIsTheInverseOfBuild) {
  for (const auto& l : all_layouts) {
    const auto car = car_of(l.text);
    const auto& axle = *car.at(l.axle);
    for (const Side side : {Side::left, Side::right})
      EXPECT_EQ(as_measured(build(axle.layout, axle.at(side).numbers)), axle.at(side).numbers)
          << l.name;
  }
}

TEST(ReadCar, ReadsStatesAdjustersOptionsAndTargets) {
  const auto text = demo_text("pip.toml");
  const auto document = *parse(text).value;
  const auto car = *read_car(document).value;
  ASSERT_NE(car.state("as_built"), nullptr);
  EXPECT_EQ(car.state("as_built")->at(AxleName::front).height_mm, 40);
  EXPECT_EQ(*car.state("as_built")->at(AxleName::rear).toe_rad, 0.1 * degree_rad);
  EXPECT_EQ(car.at(AxleName::rear)->toe_adjuster->ends, 2);
  const auto wishes = read_wishes(document, car);
  ASSERT_EQ(wishes.options.size(), 4U);
  EXPECT_EQ(*wishes.options[0].along, (Vec3<double>{0, 0, -1}));
  EXPECT_EQ(std::get<AnyOf>(wishes.options[1].choice).pieces_mm,
            (std::vector<double>{2.5, 5, 10, 15}));
  EXPECT_EQ((*std::get<MadeToMeasure>(wishes.options[3].choice).range_mm[2])[0], -40);
  EXPECT_EQ((*wishes.target[0].window_mm)[1], 40);
}

TEST(ReadCar, EveryLayoutIsRead) {
  for (const auto& l : all_layouts) EXPECT_EQ(faults_of(l.text), "") << l.name;
  for (const char* name : {"pip.toml", "pip-as-built.toml", "nibbet.toml", "nibbet-as-built.toml"})
    EXPECT_EQ(faults_of(demo_text(name)), "") << name;
}

TEST(Slips, UnknownKeysNameTheNearest) {
  expect_fault(changed(strut, "centre", "center"), 4, {"'center'", "did you mean 'centre'"});
}

TEST(Slips, KindsOfQuantity) {
  expect_fault(changed(strut, "camber = -0.4", "camber = \"5 mm\""), 5,
               {"front.wheel.camber", "is a length", "expected an angle"});
  expect_fault(changed(strut, "[5, 655, 178]", "[5, \"655 kg\", 178]"), 10,
               {"front.arm.lower.upright[1]", "is a mass", "expected a length"});
  expect_fault(changed(strut, "steered = true", "steered = 1"), 14, {"true or false"});
  expect_fault(changed(strut, "camber = -0.4", "camber = 1979-05-27"), 5, {"date", "angle"});
}

TEST(Slips, UnitsWithoutQuotes) {
  expect_fault(changed(strut, "toe = 0.05", "toe = 0°03'"), 6,
               {"'°' stands outside quotes", "0°30'"});
  expect_fault(changed(strut, "[5, 655, 178]", "[5, 655 ± 2, 178]"), 10,
               {"'±' stands outside quotes"});
  EXPECT_EQ(faults_of("# 0°03' \" ± '\n" + strut + "[body] # '°\n"), "");
}

TEST(Slips, Points) {
  expect_fault(changed(strut, "[5, 655, 178]", "[655, 178]"), 10, {"2 numbers where three belong"});
  expect_fault(changed(strut, "[5, 655, 178]", "[5, nan, 178]"), 10, {"not a number", "length"});
  expect_fault(changed(strut, "[5, 655, 178]", "[5, inf, 178]"), 10, {"not a number", "length"});
  expect_fault(changed(strut, "[5, 655, 178]", "5"), 10, {"expected a point"});
  expect_fault(changed(strut, "[5, 655, 178]", "[5, 65500, 178]"), 10, {"10 m"});
  expect_fault(changed(strut, "upright    = [5, 655, 178]\n", ""), 7,
               {"'upright' is missing", "[x, y, z]"});
}

TEST(Slips, CoincidentJoints) {
  expect_fault(changed(strut, "[-128, 640, 226]", "[-120, 320, 232]"), 11, {"same place"});
  expect_fault(changed(strut, "[4, 598, 330]", "[-20, 545, 820]"), 15, {"same place"});
  expect_fault(changed(strut, "[5, 655, 178]", "[-22.5, 347.5, 202.5]"), 10, {"on the line"});
}

TEST(Slips, TooFewMembersInWords) {
  const auto rod =
      strut.substr(strut.find("[front.rod"), strut.find("[front.strut") - strut.find("[front.rod"));
  expect_fault(changed(strut, rod, ""), 3,
               {"4 equations", "arm.lower 2 and strut 2", "free to steer",
                "1 more equation, probably of a steering rod or toe link"});
  expect_fault(strut.substr(0, strut.find("[front.strut]")), 3,
               {"3 equations", "free to", "lean over (camber)"});
  expect_fault("trammel = 1\n[front.wheel]\ncentre = [0, 700, 300]\n", 2, {"no member holds"});
}

TEST(Slips, TooManyMembersInWords) {
  expect_fault(strut + "[front.rod.extra]\nbody = [100, 320, 400]\nupright = [60, 640, 420]\n", 3,
               {"6 equations", "cannot move", "without rod.steering or rod.extra"});
  expect_fault(std::string(wishbone_text) +
                   "[front.arm.third]\nbody_front = [100, 320, 300]\nbody_rear = [-60, 320, 300]\n"
                   "upright = [0, 640, 300]\n",
               19, {"third arm", "two at most"});
}

TEST(Slips, FiveEquationsOfWhichTwoAreOne) {
  // Two rods on one line hold one motion between them, and another is left free.
  const auto text = std::string(five_link_text);
  const auto twice = changed(text, "body    = [180, 420, 215]\nupright = [25, 690, 190]",
                             "body    = [-210, 400, 225]\nupright = [-20, 685, 195]");
  expect_fault(twice, 3, {"free to", "held twice, by rod.lower_front and rod.lower_rear"});
}

TEST(Slips, BeamsAreRefusedInWords) {
  expect_fault("trammel = 1\n[rear.wheel]\ncentre = [0, 700, 300]\n[rear.beam]\nx = 1\n", 4,
               {"beam axle carries both wheels"});
  expect_fault("trammel = 1\n[rear.wheel]\ncentre = [0, 700, 300]\n[rear.twist_beam]\n", 4,
               {"twist beam"});
}

TEST(Slips, TheFileItself) {
  expect_fault("", 1, {"holds nothing", "trammel = 1"});
  expect_fault("# only a comment\n", 1, {"holds nothing"});
  expect_fault(changed(strut, "trammel = 1", "trammel = 2"), 2, {"format 2", "newer edition"});
  expect_fault(changed(strut, "trammel = 1", "trammel = \"one\""), 2, {"trammel = 1"});
  expect_fault(changed(strut, "trammel = 1\n", ""), 1, {"'trammel' is missing"});
  expect_fault(std::string("trammel = 1\0\n", 13), 1, {"not a text file"});
  expect_fault("\x89PNG\r\n\x1a\n", 1, {"not a text file"});
  expect_fault(strut.substr(0, strut.find("292]")), 4, {"TOML"});  // cut off
  expect_fault("trammel = 1\n", 1, {"no axle"});
}

TEST(Slips, SidesStatesAndAdjusters) {
  expect_fault(strut + "[front.right.arm.lower]\nupright = [6, 656, 179]\n", 19,
               {"on the left", "below zero", "-655"});
  expect_fault(strut + "[front.right.arm.upper]\nupright = [6, -656, 179]\n", 18,
               {"no member 'arm.upper'"});
  expect_fault(strut + "[front.right.arm.lower]\nuprigt = [6, -656, 179]\n", 19, {"'upright'"});
  expect_fault(strut + "[front.left.arm.lower]\nupright = [6, 656, 179]\n", 18,
               {"described without their side"});
  expect_fault(strut + "[state.high]\nrear = 20\n", 19, {"no rear axle"});
  expect_fault(strut + "[state.high]\nfront = { height = 20, camber = -1 }\n", 19,
               {"nothing says what sets camber"});
  expect_fault(strut + "[state.as_measured]\nfront = 20\n", 18, {"another name"});
  expect_fault(strut + "[front.adjust]\ntoe = { rod = \"stering\" }\n", 19,
               {"'stering' is no rod", "steering"});
}

TEST(Slips, OptionsAndTargets) {
  const std::string option =
      "[[option]]\nname = \"disc\"\njoint = \"front.arm.lower.upright\"\n"
      "along = [0, 0, -1]\nsizes = [0, 10]\n";
  EXPECT_EQ(faults_of(strut + option), "");
  expect_fault(strut + changed(option, "lower.upright", "lower.uprigt"), 20,
               {"no joint of this car", "did you mean 'front.arm.lower.upright'"});
  expect_fault(strut + changed(option, "sizes = [0, 10]\n", ""), 18,
               {"'sizes', 'stack' and 'range'"});
  expect_fault(strut + changed(option, "[0, 0, -1]", "[0, 0, 0]"), 21, {"not a direction"});
  expect_fault(strut + changed(option, "[0, 10]", "[0, \"10 deg\"]"), 22, {"is an angle"});
  expect_fault(strut + changed(option, "along = [0, 0, -1]\n", ""), 18, {"'along' is missing"});
  expect_fault(strut + option + option, 23, {"'disc' is taken by line 18"});
  expect_fault(strut + option + "moves = \"arm\"\n", 23, {"\"upright\", \"body\" or \"member\""});
  expect_fault(strut + "[front.target]\nwindow = [40, -30]\n", 19, {"runs downwards"});
  expect_fault(strut + "[front.target]\nwindow = [10, 40]\n", 19, {"does not hold ride height"});
}

TEST(Slips, AreReportedTogetherInTheOrderOfTheFile) {
  const auto faults = faults_of(changed(
      changed(changed(strut, "camber", "cambre"), "[5, 655, 178]", "[5, 655]"), "foot", "fut"));
  EXPECT_NE(faults.find("cambre"), std::string::npos);
  EXPECT_LT(faults.find("cambre"), faults.find("2 numbers"));
  EXPECT_LT(faults.find("2 numbers"), faults.find("'fut'"));
  EXPECT_NE(faults.find("did you mean 'foot'"), std::string::npos);
}

TEST(ReadCar, ReadsWhatASpringStandsOn) {
  const auto axle = *car_of(changed(strut, "toe = 0.05",
                                    "toe = 0.05\ntyre_rate = \"1085 lb/in\"\n"
                                    "arch = { left = 322, right = 320 }") +
                            "[front.spring]\nfree_length = 292\nwire = 11\ncoils = 14.5\n")
                         .at(AxleName::front);
  EXPECT_NEAR(*axle.tyre_rate_n_per_mm, 190.0, 0.02);  // 1 lb/in is 0.1751 N/mm
  EXPECT_EQ(*axle.arch_mm[0], 322.0);
  EXPECT_EQ(*axle.arch_mm[1], 320.0);
  EXPECT_TRUE(axle.right_is_mirrored);
  EXPECT_EQ(*axle.spring->solid_length_mm, 159.5);
  const auto same = *car_of(changed(strut, "toe = 0.05", "toe = 0.05\narch = 300") +
                            "[front.spring]\nsolid_length = \"6 in\"\n")
                         .at(AxleName::front);
  EXPECT_EQ(*same.arch_mm[1], 300.0);
  EXPECT_NEAR(*same.spring->solid_length_mm, 152.4, 1e-12);
}

TEST(ReadCar, RefusesSpringsThatCannotBe) {
  expect_fault(strut + "[front.spring]\nwire = 11\n", 19, {"wire", "'coils'"});
  expect_fault(strut + "[front.spring]\nwire = 11\ncoils = 14\nsolid_length = 150\n", 21,
               {"solid_length", "twice"});
  expect_fault(strut + "[front.spring]\nfree_length = 150\nsolid_length = 150\n", 18,
               {"solid at 150 mm"});
  expect_fault(strut + "[front.damper]\nopen = 300\nclosed = 400\n", 20, {"closed", "300 mm"});
  expect_fault(strut + "[front.stop]\nfree_length = 20\nsolid_length = 55\n", 20,
               {"solid_length", "free"});
  expect_fault(changed(strut, "toe = 0.05", "toe = 0.05\narch = { left = 322 }"), 7, {"right"});
  expect_fault(changed(strut, "toe = 0.05", "toe = 0.05\ntyre_rate = \"190 mm\""), 7,
               {"tyre_rate", "spring rate"});
}

}  // namespace
}  // namespace trammel::testing
