// Slips of the hand, put one at a time into the demo hatch's survey: the reading is named, no other
// is, and the answer says what probably happened and what was meant.

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <ostream>

#include "base/quantity.h"
#include "cars.h"
#include "file/survey.h"
#include "measure/adjustment.h"
#include "measure/surveyed.h"

namespace trammel::testing {
namespace {

// The line of the reading `name`, its number before the ± replaced.
std::string with_value(std::string text, const std::string& name, const std::string& value) {
  const auto line = text.find("name = \"" + name + "\"");
  EXPECT_NE(line, std::string::npos) << name;
  const auto end = text.find(" ±", line);
  EXPECT_LT(end, text.find('\n', line)) << name;
  const auto begin = text.rfind('"', end) + 1;
  return text.replace(begin, end - begin, value);
}

// The survey with its two planted slips put right, and four readings of a level along the rear
// lateral arm: it rises by some 0.98 degrees, which is 59 minutes.
std::string honest_survey() {
  auto text = with_value(with_value(demo_text("pip-survey.toml"), "M021", "160"), "M116", "245");
  const std::string head = "reading = [\n";
  const std::string level =
      "slope = [\"rear.left.rod.lateral.body\", \"rear.left.rod.lateral.upright\"], value = ";
  return text.insert(text.find(head) + head.size(),
                     "  { name = \"L1\", " + level + "\"0°59' ± 0°03'\" },\n" +
                         "  { name = \"L2\", " + level + "\"0°57' ± 0°03'\" },\n" +
                         "  { name = \"L3\", " + level + "\"1°00' ± 0°03'\" },\n" +
                         "  { name = \"L4\", " + level + "\"0.983 ± 0.05\" },\n");
}

std::vector<std::string> suspects(const Adjusted& a) {
  std::vector<std::string> names;
  for (const auto& r : a.readings)
    if (r.suspect) names.push_back(r.name);
  return names;
}

TEST(NoSlip, NothingIsNamed) {
  const auto a = adjusted(honest_survey());
  EXPECT_EQ(suspects(a), std::vector<std::string>{});
  EXPECT_TRUE(a.groups.empty());
  EXPECT_TRUE(a.sides.empty());
  EXPECT_TRUE(a.fits());
}

struct SlipOf {
  const char* test;
  const char* reading;
  const char* written;  // what the slip makes of it
  const char* words;    // of the answer
  double meant, within;
  friend void PrintTo(const SlipOf& s, std::ostream* out) {
    *out << s.reading << " written as " << s.written;
  }
};
// What a slip makes of a value is exact where it is a sum; read in inches to a sixteenth; and what
// hangs on other joints is as good as those, some 2 mm.
constexpr double exact = 1e-9, sixteenth = 25.4 / 32.0, other_joints = 4.0;

class OneSlip : public ::testing::TestWithParam<SlipOf> {};
INSTANTIATE_TEST_SUITE_P(
    Of, OneSlip,
    ::testing::Values(
        SlipOf{"TapeFrom100Back", "M040", "826", "started at its 100 mm mark", 726, exact},
        SlipOf{"TapeFrom100Out", "M101", "746", "started at its 100 mm mark", 646, exact},
        SlipOf{"TapeFrom100Height", "M057", "846", "started at its 100 mm mark", 746, exact},
        SlipOf{"TapeFrom100Distance", "T06", "538", "started at its 100 mm mark", 438, exact},
        SlipOf{"HundredOffTwice", "M019", "488", "100 mm taken off twice", 588, exact},
        SlipOf{"TenMore", "M012", "189.5", "misread by 10 mm", 179.5, exact},
        SlipOf{"TenLess", "M087", "201", "misread by 10 mm", 211, exact},
        SlipOf{"TwentyLess", "M116", "225", "misread by 20 mm", 245, exact},
        SlipOf{"InchesBack", "M046", "28.3125", "read in inches", 719, sixteenth},
        SlipOf{"InchesHeight", "M087", "8.3125", "read in inches", 211, sixteenth},
        SlipOf{"Centimetres", "M093", "20.4", "read in centimetres", 204, exact},
        SlipOf{"Metres", "M075", "0.279", "read in metres", 279, exact},
        SlipOf{"MillimetresAsInches", "M009", "283.5 in", "read in millimetres", 283.5, exact},
        SlipOf{"Sign", "M010", "-597", "the sign turned round", 597, exact},
        SlipOf{"FromTheHub", "M064", "4", "from the wheel's centre", 604, other_joints},
        SlipOf{"MarkOfAnotherJointOut", "M020", "627",
               "taken at the mark of front.left.rod.steering.upright", 275, other_joints},
        SlipOf{"MarkOfAnotherJointBack", "M118", "2565",
               "taken at the mark of rear.left.rod.trailing.body", 2936, other_joints},
        SlipOf{"MinutesAsDecimals", "L4", "0.59", "minutes written as decimals",
               59.0 / 60.0 * degree_rad, exact},
        SlipOf{"LevelTurnedRound", "L4", "-0.983", "the level laid the other way",
               0.983 * degree_rad, exact},
        SlipOf{"PerCent", "L4", "1.716", "per cent of slope", std::atan(0.01716), exact}),
    [](const auto& i) { return std::string(i.param.test); });

TEST_P(OneSlip, IsNamedWithWhatWasMeant) {
  const auto& slip = GetParam();
  const auto a = adjusted(with_value(honest_survey(), slip.reading, slip.written));
  ASSERT_EQ(suspects(a), std::vector<std::string>{slip.reading});
  EXPECT_TRUE(a.groups.empty());
  for (const auto& r : a.readings) {
    if (!r.suspect) continue;
    EXPECT_TRUE(r.left_out);
    ASSERT_TRUE(r.slip);
    EXPECT_NE(r.slip->what.find(slip.words), std::string::npos) << r.slip->what;
    EXPECT_NEAR(r.slip->value, slip.meant, slip.within);
    // What the others say is near what was meant: a reading of a joint is good to 3 mm at worst, a
    // level to 0.05 degrees.
    const double expected = r.value - r.disagrees;
    const bool level = r.kind == ReadingKind::slope;
    EXPECT_NEAR(expected, slip.meant, level ? 0.1 * degree_rad : 6.0);
  }
  EXPECT_TRUE(a.fits());  // without it
}

}  // namespace
}  // namespace trammel::testing
