// Readings as a file writes them: what each row is read as, and every slip of the pen with its
// line, its key and what was expected.

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <sstream>

#include "cars.h"
#include "file/survey.h"
#include "measure/adjustment.h"
#include "measure/surveyed.h"
#include "mutator.h"
#include "travel/ride.h"

namespace trammel::testing {
namespace {

int line_of(const std::string& text, const std::string& fragment) {
  const auto at = text.find(fragment);
  EXPECT_NE(at, std::string::npos) << fragment;
  return 1 + static_cast<int>(std::count(text.begin(), text.begin() + static_cast<long>(at), '\n'));
}

// What was expected, in words; of an axle that is not there, that it is not described.
bool says_what_was_expected(const std::string& fault) {
  for (const char* words : {"expected ", "did you mean ", "not described", "does not describe"})
    if (fault.find(words) != std::string::npos) return true;
  return false;
}

// The strut car and what follows it, with one slip: exactly one fault, at the line that holds
// `fragment`, with the key, what was expected, and all the words.
void expect_fault(const std::string& rest, const std::string& fragment, const std::string& key,
                  std::initializer_list<const char*> words) {
  const std::string text = strut_text + rest;
  SCOPED_TRACE(rest);
  const auto faults = faults_of(text);
  EXPECT_EQ(std::count(faults.begin(), faults.end(), '\n'), 1) << faults;
  const auto head = std::to_string(line_of(text, fragment)) + ": " + key + ": ";
  EXPECT_EQ(faults.substr(0, head.size()), head) << faults;
  EXPECT_TRUE(says_what_was_expected(faults)) << faults;
  for (const char* word : words)
    EXPECT_NE(faults.find(word), std::string::npos) << word << " in " << faults;
}
// The same of one row, whose keys stand on lines of their own.
void expect_row_fault(const std::string& row, const std::string& fragment, const std::string& key,
                      std::initializer_list<const char*> words) {
  expect_fault("[survey]\nbaseline = 600\n[[reading]]\n" + row, fragment, "reading[0]" + key,
               words);
}

const std::string height = "height = \"front.left.arm.lower.upright\"\n";
const std::string tape =
    "distance = [\"front.left.arm.lower.upright\", \"front.left.strut.foot\"]\n";
const std::string slope =
    "slope = [\"front.left.rod.steering.body\", \"front.left.rod.steering.upright\"]\n";
const std::string mark = "mark = \"front.left.strut.top\"\n";

TEST(SurveySlips, Values) {
  expect_row_fault(height, "[[reading]]", "", {"'value' is missing", "a length"});
  expect_row_fault(height + "value = \"180 ± 0\"\n", "value =", ".value", {"±", "above zero"});
  expect_row_fault(height + "value = \"180 ± -1\"\n", "value =", ".value", {"±"});
  expect_row_fault(height + "value = \"180 deg\"\n", "value =", ".value", {"an angle", "a length"});
  expect_row_fault(height + "value = \"hundred\"\n", "value =", ".value",
                   {"'hundred'", "a length"});
  expect_row_fault(height + "value = nan\n", "value =", ".value", {"not a number"});
  expect_row_fault(height + "value = true\n", "value =", ".value", {"true or false"});
  expect_row_fault(height + "value = []\n", "value =", ".value", {"empty list"});
  expect_row_fault(height + "value = [180, \"181 kg\"]\n", "value =", ".value[1]", {"a mass"});
  expect_row_fault(height + "value = [180, inf]\n", "value =", ".value[1]", {"not a number"});
  expect_row_fault(height + "value = 10001\n", "value =", ".value", {"more than 10 m"});
  expect_row_fault(height + "value = -10001\n", "value =", ".value", {"more than 10 m"});
  expect_row_fault(tape + "value = 0\n", "value =", ".value", {"above zero", "a distance"});
  expect_row_fault(tape + "value = -300\n", "value =", ".value", {"above zero", "a distance"});
  expect_row_fault("length = \"front.left.rod.steering\"\nvalue = 0\n", "value =", ".value",
                   {"above zero", "a distance"});
  expect_row_fault(slope + "value = 89.5\n", "value =", ".value", {"steeper than 89", "level"});
  expect_row_fault(slope + "value = -89.5\n", "value =", ".value", {"steeper than 89"});
  expect_row_fault(slope + "value = \"3 mm\"\n", "value =", ".value", {"a length", "an angle"});
  expect_row_fault(mark + "out = [545, -545]\n", "out =", ".out", {"below zero", "centreline"});
  expect_row_fault("camber = \"front.left\"\nvalue = 29\n", "value =", ".value",
                   {"more than 28", "a wheel"});
  expect_row_fault("toe = \"front.left\"\nvalue = -29\n", "value =", ".value", {"more than 28"});
}

TEST(SurveySlips, Uncertainties) {
  for (const char* zero : {"0", "-1", "0.0", "\"0 mm\""}) {
    const auto is = " = " + std::string(zero) + "\n";
    expect_row_fault(height + "value = 180\nsigma" + is, "sigma =", ".sigma", {"above zero"});
    expect_row_fault(mark + "out = 500\nplumb" + is, "plumb =", ".plumb", {"above zero"});
    expect_fault("[survey]\nfloor_sigma" + is, "floor_sigma", "survey.floor_sigma", {"above zero"});
    expect_fault("[survey]\nsymmetry" + is, "symmetry", "survey.symmetry", {"above zero"});
    for (const char* of : {"sigma", "zero_sigma", "base", "drop"}) {
      const std::string rows = "rows = [[0, 0, 0], [10, 0, 0], [20, 0, 0]]\n";
      const std::string base = std::string(of) == "base" ? "" : "base = 300\n";
      expect_row_fault("gauge = \"front.left\"\n" + base + rows + of + is, of + is,
                       "." + std::string(of), {"above zero", "a length"});
    }
  }
  expect_row_fault(height + "value = 180\nsigma = \"1 deg\"\n", "sigma =", ".sigma",
                   {"an angle", "a length"});
  expect_row_fault(slope + "value = 3\nsigma = \"1 mm\"\n", "sigma =", ".sigma",
                   {"a length", "an angle"});
  expect_row_fault(
      "gauge = \"front.left\"\nbase = 300\ndrag = 0\nrows = [[0, 0, 0], [10, 0, 0], [20, 0, 0]]\n",
      "drag =", ".drag", {"above zero", "an angle"});
}

TEST(SurveySlips, Points) {
  expect_row_fault(
      "height = \"front.left.arm.lower.uprigt\"\nvalue = 180\n", "height =", ".height",
      {"'front.left.arm.lower.uprigt'", "did you mean 'front.left.arm.lower.upright'"});
  expect_row_fault("height = \"wiper\"\nvalue = 180\n", "height =", ".height",
                   {"'wiper' is no joint or point", "front.left.wheel.centre"});
  expect_row_fault(
      "height = \"front.arm.lower.upright\"\nvalue = 180\n", "height =", ".height",
      {"says no side", "front.left.arm.lower.upright", "front.right.arm.lower.upright"});
  expect_row_fault("height = \"rear.left.wheel.centre\"\nvalue = 280\n", "height =", ".height",
                   {"rear axle", "does not describe"});
  expect_row_fault("height = 7\nvalue = 280\n", "height =", ".height", {"a number", "a text"});
  expect_row_fault("mark = \"front.left.strut.tap\"\nout = 500\n", "mark =", ".mark",
                   {"did you mean 'front.left.strut.top'"});
  expect_row_fault("distance = [\"front.left.strut.top\"]\nvalue = 300\n",
                   "distance =", ".distance", {"not a pair"});
  expect_row_fault("distance = \"front.left.strut.top\"\nvalue = 300\n", "distance =", ".distance",
                   {"not a pair"});
  expect_row_fault("distance = [\"front.left.strut.top\", 5]\nvalue = 300\n",
                   "distance =", ".distance", {"not a pair"});
  expect_row_fault("slope = [\"front.left.strut.top\", \"front.left.strut.top\"]\nvalue = 3\n",
                   "slope =", ".slope", {"one point twice"});
  expect_row_fault("distance = [\"front.left.strut.top\", \"front.left.strut.fot\"]\nvalue = 300\n",
                   "distance =", ".distance", {"did you mean 'front.left.strut.foot'"});
}

// What stands for a fault of the row itself has the row's name for a key.
TEST(SurveySlips, FacesWithoutTheirOffset) {
  const std::string text = std::string(strut_text) +
                           "[[reading]]\nname = \"F1\"\n"
                           "height = \"front.left.strut.foot face\"\nvalue = 300\n";
  const auto faults = faults_of(text);
  EXPECT_TRUE(faults.starts_with(std::to_string(line_of(text, "[[reading]]")) + ": ")) << faults;
  EXPECT_NE(faults.find("'F1'"), std::string::npos);
  EXPECT_NE(faults.find("'front.left.strut.foot face'"), std::string::npos);
  EXPECT_NE(faults.find("expected"), std::string::npos);
  const auto with_offset = text +
                           "[[reading]]\noffset = \"front.left.strut.foot\"\n"
                           "along = [0, 1, 0]\nvalue = 25\n";
  EXPECT_EQ(faults_of(with_offset), "");
  EXPECT_NE(faults_of(with_offset + "set_aside = true\n"), "");
}

TEST(SurveySlips, Wheels) {
  for (const char* key : {"camber", "toe", "ride_height", "gauge"}) {
    const std::string rest = std::string(key) == "gauge"
                                 ? "base = 300\nrows = [[0, 0, 0], [10, 0, 0], [20, 0, 0]]\n"
                                 : "value = 1\n";
    const auto row = [&](const char* wheel) {
      return std::string(key) + " = \"" + wheel + "\"\n" + rest;
    };
    const std::string at = std::string(key) + " = \"", path = "." + std::string(key);
    expect_row_fault(row("front.left.wheel"), at, path, {"is no wheel", "front.left"});
    expect_row_fault(row("left"), at, path, {"'left' is no wheel", "rear.right"});
    expect_row_fault(row("rear.left"), at, path, {"rear axle is not described"});
  }
}

TEST(SurveySlips, Rows) {
  expect_row_fault("name = \"M1\"\nvalue = 180\n", "[[reading]]", "",
                   {"does not say what was read", "height, mark, distance"});
  expect_row_fault(height + tape + "value = 180\n", "[[reading]]", "",
                   {"height and distance at once", "one of them"});
  expect_row_fault(mark, "[[reading]]", "", {"holds no value", "'back'", "'out'"});
  expect_row_fault(height + "vlaue = 180\n", "vlaue", "", {"'vlaue'", "did you mean 'value'"});
  expect_row_fault(height + "value = 180\ntravel = 10\n", "travel", "", {"'travel' is not known"});
  expect_row_fault("camber = \"front.left\"\nvalue = -1\ntravel = \"3 deg\"\n", "travel", ".travel",
                   {"an angle", "a length"});
  expect_row_fault(height + "value = 180\nname = \"\"\n", "name =", ".name", {"is empty"});
  EXPECT_NE(
      faults_of(strut_text + std::string("[[reading]]\n") + height + "value = 180\nname = 7\n")
          .find("21: reading[0].name: is a number, expected a text"),
      std::string::npos);
  expect_row_fault(height + "value = 180\nset_aside = \"yes\"\n", "set_aside =", ".set_aside",
                   {"true or false"});
  expect_row_fault(height + "value = 180\nnote = 7\n", "note =", ".note", {"a text"});
  expect_fault("[[reading]]\n" + mark + "back = 600\n", "back =", "reading[0].back",
               {"baseline", "[survey]"});
  expect_fault("[[reading]]\nname = \"M1\"\n" + height + "value = 180\n[[reading]]\n" + height +
                   "value = 181\nname = \"M1\" # again\n",
               "# again", "reading[1].name", {"'M1' is taken by line", "a name of its own"});
  expect_row_fault("offset = \"front.left.strut.foot\"\nvalue = 11\n", "[[reading]]", "",
                   {"'along' is missing", "a direction"});
  expect_row_fault("offset = \"front.left.strut.foot\"\nvalue = 11\nalong = [0, 0, 0]\n", "along",
                   ".along", {"not a direction"});
  expect_row_fault("length = \"front.left.rod.stering\"\nvalue = 320\n", "length =", ".length",
                   {"no rod", "front.left.rod.NAME"});
  expect_row_fault("length = \"front.left.arm.lower\"\nvalue = 320\n", "length =", ".length",
                   {"no rod", "'distance'"});
}

TEST(SurveySlips, ToeByItsEdges) {
  const std::string toe = "toe = \"front.left\"\n";
  expect_row_fault(toe + "edges = [62, 61]\n", "[[reading]]", "", {"'across' is missing"});
  expect_row_fault(toe + "edges = [62, 61]\nacross = 0\n", "across", ".across", {"above zero"});
  expect_row_fault(toe + "edges = [62]\nacross = 400\n", "edges", ".edges", {"two lengths"});
  expect_row_fault(toe + "edges = [300, 61]\nacross = 400\n", "edges", ".edges",
                   {"more than a wheel can turn"});
  expect_row_fault(toe + "edges = [62, 61]\nacross = 400\nedge_sigma = -1\n", "edge_sigma",
                   ".edge_sigma", {"above zero"});
  expect_row_fault(toe + "edges = [62, 61]\nacross = 400\nsigma = 0.1\n", "sigma", ".sigma",
                   {"'edge_sigma'"});
}

TEST(SurveySlips, GaugeRuns) {
  const std::string gauge = "gauge = \"front.left\"\nbase = 300\n";
  const auto rows = [&](const std::string& list) { return gauge + "rows = " + list + "\n"; };
  expect_row_fault("gauge = \"front.left\"\nrows = [[0, 0, 0], [10, 0, 0], [20, 0, 0]]\n",
                   "[[reading]]", "", {"'base' is missing", "a length"});
  expect_row_fault(
      "gauge = \"front.left\"\nbase = 49\nrows = [[0, 0, 0], [10, 0, 0], [20, 0, 0]]\n",
      "base = 49", ".base", {"less than 50 mm", "between the dials"});
  expect_row_fault(gauge, "[[reading]]", "",
                   {"'rows' is missing", "[travel, front dial, rear dial]"});
  expect_row_fault(rows("7"), "[[reading]]", "", {"'rows' is missing"});
  // The row's own line, not that of the list.
  expect_row_fault(rows("[[0, 0, 0],\n [10, 0], # short\n [20, 0, 0]]"), "# short", ".rows[1]",
                   {"2 of its 3 numbers", "[travel, front dial, rear dial]"});
  expect_row_fault(rows("[[0, 0, 0],\n [10, 0, 0, 0], # long\n [20, 0, 0]]"), "# long", ".rows[1]",
                   {"4 of its 3 numbers"});
  expect_row_fault(rows("[[0, 0, 0], [10, 0, nan], [20, 0, 0]]"), "rows", ".rows[1]",
                   {"2 of its 3 numbers"});
  expect_row_fault(rows("[[0, 0, 0], [10, 0, \"1\"], [20, 0, 0]]"), "rows", ".rows[1]",
                   {"2 of its 3 numbers"});
  expect_row_fault(rows("[[0, 0, 0], 10, [20, 0, 0]]"), "rows", ".rows[1]", {"0 of its 3 numbers"});
  expect_row_fault(gauge + "drop = 150\nrows = [[0, 0, 0, 0], [10, 0, 0], [20, 0, 0, 0]]\n", "rows",
                   ".rows[1]", {"3 of its 4 numbers", "low dial"});
  expect_row_fault(rows("[[0, 0, 0], [10, 0, 201], [20, 0, 0]]"), "rows", ".rows[1]",
                   {"farther than a wheel or a dial"});
  expect_row_fault(rows("[[0, 0, 0], [10, -201, 0], [20, 0, 0]]"), "rows", ".rows[1]", {"farther"});
  expect_row_fault(rows("[[0, 0, 0], [1001, 0, 0], [20, 0, 0]]"), "rows", ".rows[1]", {"farther"});
  expect_row_fault(rows("[]"), "rows", ".rows", {"is empty", "travel, front dial, rear dial"});
  expect_row_fault(rows("[[0, 0, 0], [10, 0, 0], [20, 0, 0]]\ndial_height = 5"), "[[reading]]", "",
                   {"where the dials stand", "'plate'"});
  expect_row_fault(rows("[[0, 0, 0], [10, 0, 0], [20, 0, 0]]\nplate = \"5 deg\""), "plate",
                   ".plate", {"an angle", "a length"});
  expect_row_fault(rows("[[0, 0, 0], [10, 0, 0], [20, 0, 0]]\nvalue = 3"), "value", "",
                   {"'value' is not known"});
}

TEST(SurveySlips, Circumstances) {
  expect_fault("[survey]\nbaselin = 600\n", "baselin", "survey", {"did you mean 'baseline'"});
  expect_fault("[survey]\nbaseline = \"600 deg\"\n", "baseline", "survey.baseline", {"a length"});
  expect_fault("[survey]\nsquare = \"1 mm\"\n", "square", "survey.square", {"an angle"});
  expect_fault("[survey]\nrises_left = \"1 mm\"\n", "rises_left", "survey.rises_left",
               {"an angle"});
  expect_fault("[survey]\ncentreline = \"1 ± 0\"\n", "centreline", "survey.centreline", {"±"});
  expect_fault("[survey]\nsymmetry = true\n", "symmetry", "survey.symmetry", {"true or false"});
  expect_fault("[survey]\nsymmetry = \"nonsuch\"\n", "symmetry", "survey.symmetry", {"'nonsuch'"});
  expect_fault("[survey]\nsymmetry = \"1 deg\"\n", "symmetry", "survey.symmetry",
               {"an angle", "a length"});
  expect_fault("[survey]\nfloor = 3\n", "floor", "survey.floor",
               {"not a list", "[400, 700, -0.9]"});
  expect_fault("[survey]\nfloor = [[400, 700, -1],\n [400, -2], # two\n [0, 0, 0]]\n", "# two",
               "survey.floor[1]", {"no spot", "[x, y, height]"});
  expect_fault("[survey]\nfloor = [[400, 700, nan]]\n", "floor", "survey.floor[0]", {"no spot"});
  expect_fault("[survey]\nfloor = [[400, 70000, 1]]\n", "floor", "survey.floor[0]", {"no spot"});
  expect_fault("[survey]\nfloor = [[400, 700, \"1\"]]\n", "floor", "survey.floor[0]", {"no spot"});
  expect_fault("[survey]\nfloor = [7]\n", "floor", "survey.floor[0]", {"no spot"});
  expect_fault("[survey.point]\nhole = [1, 2]\n", "hole", "survey.point.hole", {"2 numbers"});
  expect_fault("[survey.point]\nhole = 7\n", "hole", "survey.point.hole", {"a point"});
  expect_fault("[survey.point]\nhole = [1, 2, 30000]\n", "hole", "survey.point.hole[2]", {"10 m"});
  expect_fault("[survey.point]\nhole = [1, 2, \"3 ± 0\"]\n", "hole", "survey.point.hole[2]", {"±"});
  expect_fault("[survey]\npoint = 3\n", "point", "survey.point", {"a table"});
}

// Keys of the file as a whole: before the first table, so that they are no keys of it.
TEST(SurveySlips, TheListsThemselves) {
  const auto first = [](const std::string& key_value) {
    std::string text = strut_text;
    return text.replace(text.find("trammel = 1"), 11, "trammel = 1\n" + key_value);
  };
  const auto one_fault = [](const std::string& text, int line, const char* words) {
    const auto faults = faults_of(text);
    EXPECT_EQ(std::count(faults.begin(), faults.end(), '\n'), 1) << faults;
    EXPECT_TRUE(faults.starts_with(std::to_string(line) + ": ")) << faults;
    EXPECT_NE(faults.find(words), std::string::npos) << faults;
    EXPECT_NE(faults.find("expected"), std::string::npos) << faults;
  };
  one_fault(first("survey = 3"), 3, "survey: is a number");
  one_fault(first("survey = [1]"), 3, "survey: is a list");
  one_fault(first("reading = 3"), 3, "reading: is not a list of rows");
  one_fault(first("reading = { height = 3 }"), 3, "reading: is not a list of rows");
  one_fault(first("reading = [3]"), 3, "reading[0]: is a number");
  one_fault(first("reading = [\n { height = \"front.left.strut.top\", value = 1 },\n \"text\" ]"),
            5, "reading[1]: is a text");
  // Behind a table's head it would belong to that table.
  expect_fault("reading = [{ height = \"front.left.strut.top\", value = 1 }]\n",
               "reading =", "front.strut",
               {"'reading' belongs to the file as a whole", "[[reading]]"});
}

TEST(SurveySlips, AreReportedTogetherInTheOrderOfTheFile) {
  std::string text = strut_text;
  text.replace(text.find("steered = true"), 14, "steered = true\ncolour = 1");
  text +=
      "[[reading]]\nheight = \"front.left.strut.tap\"\nvalue = 1\n"
      "[[reading]]\nvalue = 3\n"
      "[survey]\nflor = []\nsymmetry = -1\n"
      "[[option]]\nname = \"disc\"\n"
      "[[reading]]\ngauge = \"front.left\"\nbase = 300\nrows = [[0, 0]]\n";
  const auto document = parse(text);
  ASSERT_TRUE(document.value);
  const auto read = read_car(*document.value);
  EXPECT_FALSE(read.value);
  std::vector<int> lines;
  for (const auto& f : read.faults) lines.push_back(f.line);
  EXPECT_TRUE(std::is_sorted(lines.begin(), lines.end()));
  for (const char* at : {"colour", "strut.tap", "flor", "symmetry", "rows = "})
    EXPECT_NE(std::find(lines.begin(), lines.end(), line_of(text, at)), lines.end()) << at;
  EXPECT_NE(std::find(lines.begin(), lines.end(), line_of(text, "[[reading]]\nvalue")),
            lines.end());
  EXPECT_GE(lines.size(), 7U);  // the six, and what the option lacks
}

// ------------------------------------------------------------------ what is read

TakenReading named(const Survey& s, const std::string& name) {
  const auto at = std::find_if(s.readings.begin(), s.readings.end(),
                               [&](const TakenReading& r) { return r.name == name; });
  EXPECT_NE(at, s.readings.end()) << name;
  return at == s.readings.end() ? TakenReading{} : *at;
}

TEST(SurveyRows, ValuesAreRepeatsAndEachHasItsUncertainty) {
  const std::string text = strut_text + std::string(R"([survey]
baseline = 600
[[reading]]
name = "A"
height = "front.left.arm.lower.upright"
value = [178, "179 ± 2", "7 1/16 in"]
sigma = 0.5
[[reading]]
height = "front.left.strut.top"
value = 820
[[reading]]
name = "B"
mark = "front.left.strut.top"
back = [620, 621]
out = 545
plumb = 1.5
[[reading]]
name = "C"
mark = "front.left.strut.foot"
out = 500
inboard = "98 ± 0.3 mm"
sigma = 0.4
[[reading]]
name = "D"
toe = "front.right"
travel = "1 in"
edges = [62, 61]
across = 400
edge_sigma = 0.3
)");
  const auto s = Surveyed(text).survey;
  EXPECT_EQ(s.readings.size(), 3U + 1U + 3U + 1U + 1U);
  EXPECT_EQ(named(s, "A #1").value, 178.0);
  EXPECT_EQ(named(s, "A #1").sigma, 0.5);
  EXPECT_EQ(named(s, "A #2").sigma, 2.0);  // its own ± counts before that of the row
  EXPECT_DOUBLE_EQ(named(s, "A #3").value, 7.0625 * 25.4);
  EXPECT_FALSE(named(s, "A #1").sigma_is_usual);
  const auto unnamed = named(s, "line " + std::to_string(named(s, "A #1").line + 5));
  EXPECT_EQ(unnamed.value, 820.0);
  EXPECT_EQ(unnamed.sigma, usual_sigma(ReadingKind::height));
  EXPECT_TRUE(unnamed.sigma_is_usual);
  // Both tapes to one mark share its error.
  EXPECT_EQ(s.plumbs.size(), 1U);
  EXPECT_EQ(s.plumbs[0].sigma_mm, 1.5);
  for (const char* name : {"B back #1", "B back #2", "B out"})
    EXPECT_EQ(named(s, name).plumb, 0) << name;
  EXPECT_EQ(named(s, "B back #2").kind, ReadingKind::back);
  // Carried inboard along a bar of 98 mm: 0.4 and 0.3 add up to 0.5.
  EXPECT_EQ(named(s, "C").value, 598.0);
  EXPECT_DOUBLE_EQ(named(s, "C").sigma, 0.5);
  EXPECT_EQ(named(s, "C").plumb, -1);
  // The rear edge is nearer to the string by 1 mm in 400: toe-in, its front edge farther away.
  EXPECT_DOUBLE_EQ(named(s, "D").value, std::asin(1.0 / 400.0));
  EXPECT_DOUBLE_EQ(named(s, "D").sigma,
                   std::sqrt(2.0) * 0.3 / (400.0 * std::cos(std::asin(1.0 / 400.0))));
  EXPECT_EQ(named(s, "D").travel_mm, 25.4);
  EXPECT_TRUE(s.remarks.empty());
}

TEST(SurveyRows, TheSameReadingTypedTwiceIsRemarked) {
  const std::string one = "[[reading]]\n" + height + "value = \"178 ± 1\"\n";
  const std::string two = "[[reading]]\n" + height + "value = \"178.5 ± 1\"\n";
  const std::string other =
      "[[reading]]\nheight = \"front.right.arm.lower.upright\"\nvalue = 178\n";
  const std::string start = strut_text;
  const auto s = Surveyed(start + one + one).survey;
  EXPECT_EQ(s.readings.size(), 2U);  // both count, and it is said
  ASSERT_EQ(s.remarks.size(), 1U);
  EXPECT_NE(s.remarks[0].find("lines 18 and 21"), std::string::npos) << s.remarks[0];
  EXPECT_EQ(Surveyed(start + one + one + one).survey.remarks.size(), 3U);
  EXPECT_TRUE(Surveyed(start + one + two + other).survey.remarks.empty());
  EXPECT_TRUE(
      Surveyed(start + "[[reading]]\n" + height + "value = [178, 178]\n").survey.remarks.empty());
  // Names say that they are two.
  EXPECT_TRUE(
      Surveyed(start + one + "name = \"M1\"\n" + one + "name = \"M2\"\n").survey.remarks.empty());
}

// ------------------------------------------------------------------ what comes of it

PointResult point(const Adjusted& a, const std::string& name) {
  const auto at = std::find_if(a.points.begin(), a.points.end(),
                               [&](const PointResult& p) { return p.name == name; });
  EXPECT_NE(at, a.points.end()) << name;
  return at == a.points.end() ? PointResult{} : *at;
}

TEST(SurveyAdjusted, AThousandRepeats) {
  constexpr std::size_t repeats = 1000;
  Sampler sampler(11);
  std::string values;
  double sum = 0.0;
  for (std::size_t i = 0; i < repeats; ++i) {
    const double value = 0.001 * std::round(1000.0 * (178.4 + 0.8 * sampler.normal()));
    sum += value;
    values += shortest(value) + ", ";
  }
  const auto a =
      adjusted(strut_text + ("[[reading]]\n" + height) + "sigma = 0.8\nvalue = [" + values + "]\n");
  EXPECT_EQ(a.taken, repeats);
  EXPECT_EQ(a.degrees_of_freedom, static_cast<int>(repeats) - 1);
  const auto p = point(a, "front.left.arm.lower.upright");
  // The mean and its standard uncertainty. The sums end where a step can win 1e-12 of chi-square,
  // here some 1,000: within the root of 1e-9 of that uncertainty.
  const double sigma = 0.8 / std::sqrt(static_cast<double>(repeats));
  EXPECT_NEAR(p.at_mm.z, sum / static_cast<double>(repeats), 5e-5 * sigma);
  EXPECT_NEAR(p.sigma_mm.z, sigma, 1e-9);
  EXPECT_TRUE(a.fits());
  EXPECT_EQ(a.suspects(), 0U);
  for (const auto& r : a.readings) ASSERT_NEAR(r.redundancy, 0.999, 1e-9) << r.name;
}

TEST(SurveyAdjusted, AContradictoryPairIsAGroup) {
  const auto a = adjusted(strut_text + ("[[reading]]\nname = \"H\"\n" + height) +
                          "value = [\"178 ± 1\", \"190 ± 1\"]\n");
  EXPECT_EQ(a.degrees_of_freedom, 1);
  EXPECT_NEAR(a.chi_square, 72.0, 1e-4);  // exact: 6 mm each way
  // Of one degree of freedom: both tails of a normal beyond the root of it.
  EXPECT_NEAR(a.chance / (2.0 * normal_below(-std::sqrt(72.0))), 1.0, 1e-4);
  EXPECT_FALSE(a.fits());
  ASSERT_EQ(a.groups.size(), 1U);
  auto members = a.groups[0].readings;
  std::sort(members.begin(), members.end());
  EXPECT_EQ(members, (std::vector<std::size_t>{0, 1}));
  EXPECT_FALSE(a.groups[0].decides.empty());
  EXPECT_TRUE(a.doubtful());
  for (const auto& r : a.readings) {
    EXPECT_TRUE(r.suspect);
    EXPECT_FALSE(r.left_out);  // nothing says which: both stay in
  }
  EXPECT_NEAR(point(a, "front.left.arm.lower.upright").at_mm.z, 184.0, 1e-4);
}

TEST(SurveyAdjusted, AThirdReadingDecides) {
  const auto a = adjusted(strut_text + ("[[reading]]\nname = \"H\"\n" + height) +
                          "value = [\"178 ± 1\", \"190 ± 1\", \"178.6 ± 1\"]\n");
  EXPECT_TRUE(a.groups.empty());
  ASSERT_EQ(a.suspects(), 1U);
  EXPECT_TRUE(a.readings[1].suspect && a.readings[1].left_out);
  EXPECT_NEAR(point(a, "front.left.arm.lower.upright").at_mm.z, 178.3, 1e-9);
  EXPECT_TRUE(a.fits());
}

TEST(SurveyAdjusted, SetAsideRowsAreKeptAndNotUsed) {
  const std::string start = strut_text;
  const std::string good = "[[reading]]\nname = \"good\"\n" + height + "value = \"178 ± 1\"\n";
  const std::string bad = "[[reading]]\nname = \"bad\"\n" + height + "value = \"190 ± 1\"\n";
  const std::string run =
      "[[reading]]\nname = \"run\"\ngauge = \"front.left\"\nbase = 300\n"
      "rows = [[0, 0, 0], [20, 3, 9], [0, 0, 0]]\n";
  const std::string aside = "set_aside = true\nnote = \"the stick stood on the tile\"\n";
  const auto s = Surveyed(start + good + bad + aside + run + aside);
  EXPECT_EQ(s.survey.readings.size(), 2U);
  EXPECT_EQ(s.survey.gauges.size(), 1U);
  const auto a = adjusted(s.car, s.survey);
  const auto without = adjusted(start + good);
  EXPECT_EQ(a.taken, 1U);
  EXPECT_EQ(a.chi_square, without.chi_square);
  EXPECT_EQ(a.degrees_of_freedom, without.degrees_of_freedom);
  EXPECT_EQ(point(a, "front.left.arm.lower.upright").at_mm,
            point(without, "front.left.arm.lower.upright").at_mm);
  EXPECT_EQ(a.spread.numbers, without.spread.numbers);
  EXPECT_EQ(a.spread.covariance.data, without.spread.covariance.data);
  // Kept: named in the answer, with what the others say of it.
  ASSERT_EQ(a.readings.size(), 2U);
  EXPECT_TRUE(a.readings[1].set_aside);
  EXPECT_FALSE(a.readings[1].suspect);
  EXPECT_NEAR(a.readings[1].disagrees, 12.0, 1e-9);
  ASSERT_EQ(a.gauges.size(), 1U);
  EXPECT_TRUE(a.gauges[0].set_aside);
  EXPECT_EQ(a.gauges[0].rows, 0);
  // Used, it would not be the same.
  EXPECT_NE(adjusted(start + good + bad).chi_square, a.chi_square);
}

TEST(SurveyAdjusted, WhatIsLeftFreeIsNamedWithItsAxis) {
  const auto free_of = [](const std::string& rows) {
    std::string all;
    for (const auto& f : adjusted(strut_text + ("[survey]\nbaseline = 600\n" + rows)).free)
      all += f + "\n";
    return all;
  };
  const std::string h = "[[reading]]\n" + height + "value = 178\n";
  const std::string upright = "[[reading]]\nmark = \"front.left.arm.lower.upright\"\n";
  EXPECT_EQ(free_of(h), "front.left.arm.lower.upright: no reading holds its x and y\n");
  EXPECT_EQ(free_of(h + upright + "back = 595\n"),
            "front.left.arm.lower.upright: no reading holds its y\n");
  EXPECT_EQ(free_of(h + upright + "back = 595\nout = 655\n"), "");
  const auto pair = free_of("[[reading]]\n" + tape + "value = 160\n");
  EXPECT_NE(pair.find("front.left.arm.lower.upright"), std::string::npos) << pair;
  EXPECT_NE(pair.find("front.left.strut.foot"), std::string::npos) << pair;
}

// ------------------------------------------------------------------ a whole corner

// Heights, marks and tapes of the strut car's left corner, and a gauge run, from where its joints
// are, with errors of the size that each has.
std::string corner_survey(const char* rows_of_run) {
  const auto car = car_of(strut_text);
  const auto& axle = *car.at(AxleName::front);
  const auto& points = axle.at(Side::left).numbers.points_mm;
  Sampler sampler(5);
  const auto read = [&](double value, double sigma) {
    return shortest(0.1 * std::round(10.0 * (value + sigma * sampler.normal())));
  };
  std::string text = "[survey]\nbaseline = 600\n";
  for (std::size_t p = 0; p < points.size(); ++p) {
    const auto name = "\"front.left." + axle.layout.points[p] + "\"\n";
    text += "[[reading]]\nheight = " + name + "value = " + read(points[p].z, 1.0) + "\n";
    text += "[[reading]]\nmark = " + name + "back = " + read(600.0 - points[p].x, 1.5) +
            "\nout = " + read(points[p].y, 1.5) + "\n";
  }
  text += std::string("[[reading]]\nname = \"run\"\ngauge = \"front.left\"\nbase = 300\nrows = [");
  const auto m = corner_mechanism(axle, Side::left);
  for (const char c : std::string(rows_of_run)) {
    const double travel = 15.0 * (c - '0');
    const auto r = reach(m, solution_as_measured(m), {travel, 0.0});
    const double toe = trammel::read(Reading::toe, At<double>(axle.layout, m, r.at, {}));
    text += "[" + shortest(travel) + ", 0, " +
            shortest(0.01 * std::round(100.0 * (300.0 * std::tan(toe) + 0.04 * sampler.normal()))) +
            "], ";
  }
  return text + "]\n";
}

TEST(SurveyAdjusted, AGaugeRunOneWayOnlyIsRemarked) {
  const auto one_way = adjusted(strut_text + corner_survey("0123"));
  const auto both_ways = adjusted(strut_text + corner_survey("0121"));
  const auto remarked = [](const Adjusted& a) {
    return std::any_of(a.remarks.begin(), a.remarks.end(), [](const std::string& r) {
      return r.find("run") != std::string::npos && r.find("one way only") != std::string::npos;
    });
  };
  EXPECT_TRUE(remarked(one_way));
  EXPECT_FALSE(one_way.gauges[0].hysteresis_rad);
  EXPECT_FALSE(remarked(both_ways));
  EXPECT_TRUE(both_ways.gauges[0].hysteresis_rad);
  EXPECT_EQ(both_ways.gauges[0].rows, 4);
}

// The file's coordinates are where the sums begin and nothing more: a hand's breadth off, or three.
// One joint each, by its index in the layout.
class FarStarts : public ::testing::TestWithParam<int> {};
INSTANTIATE_TEST_SUITE_P(Joints, FarStarts, ::testing::Range(0, 8));

TEST_P(FarStarts, EndAtTheRightPlaceOrSayThatTheyCannotBegin) {
  const auto s = Surveyed(strut_text + corner_survey("0121"));
  const auto right = adjusted(s.car, s.survey);
  EXPECT_EQ(right.suspects(), 0U);
  EXPECT_TRUE(right.fits());
  const auto p = static_cast<std::size_t>(GetParam());
  ASSERT_LT(p, s.car.at(AxleName::front)->layout.points.size());
  int ended = 0;
  for (int k = 0; k < 2; ++k) {
    const int axis = (GetParam() + k) % 3;
    const double by = (GetParam() + k) % 2 == 0 ? 300.0 : -300.0;
    SCOPED_TRACE(right.points[p].name + " " + "xyz"[axis] + " by " + shortest(by));
    auto car = s.car;
    auto& axle = *car.at(AxleName::front);
    auto& left = axle.at(Side::left).numbers;
    left.points_mm[p][axis] += by;
    axle.at(Side::right).numbers = mirrored(left);
    const auto a = adjust(car, s.survey);
    if (!a.value) {  // a rod 300 mm too short reaches nothing
      EXPECT_NE(a.why.find("no position"), std::string::npos) << a.why;
      EXPECT_NE(a.why.find("coordinates"), std::string::npos) << a.why;
      continue;
    }
    ++ended;
    // Settled: within the root of 1e-12 of chi-square, which is some 10, of 1 mm.
    EXPECT_NEAR(a.value->chi_square, right.chi_square, 1e-6);
    for (std::size_t i = 0; i < right.points.size(); ++i)
      EXPECT_LT(length(a.value->points[i].at_mm - right.points[i].at_mm), 1e-4)
          << right.points[i].name;
  }
  EXPECT_GE(ended, 1);
}

// ------------------------------------------------------------------ any text at all

// The roadster's survey, cut down to the left front corner so that many of them are soon done.
std::string nibbet_corner() {
  std::string text, line;
  bool list = false;
  std::istringstream in(demo_text("nibbet-survey.toml"));
  bool skip = false;
  while (std::getline(in, line)) {
    if (line.starts_with("reading = [")) list = true;
    if (list && line.starts_with("]")) list = skip = false;
    if (list && line.starts_with("  { name"))
      skip = line.find("right") != std::string::npos || line.find("rear.") != std::string::npos;
    if (!skip) text += line + "\n";
  }
  return text;
}

const std::vector<std::string> pieces{"[",
                                      "]",
                                      "\"",
                                      "=",
                                      "nan",
                                      "-inf",
                                      "1e308",
                                      "0",
                                      "\n",
                                      "#",
                                      "± ",
                                      "{",
                                      "}",
                                      ",",
                                      "±",
                                      "1e-300",
                                      "true",
                                      "°",
                                      "\xff",
                                      "in",
                                      "-",
                                      "''",
                                      " on floor",
                                      " face",
                                      ".left",
                                      "right",
                                      "plumb",
                                      "[],",
                                      "value = [1, 2], ",
                                      "sigma = 0.1, ",
                                      "set_aside = true, ",
                                      "travel = 40, ",
                                      "drop = 100, ",
                                      "plate = 50, ",
                                      "[[reading]]\n",
                                      "[survey]\n",
                                      "inboard = 3, "};

class SurveyFuzz : public ::testing::TestWithParam<unsigned> {};
INSTANTIATE_TEST_SUITE_P(Seeds, SurveyFuzz, ::testing::Range(1U, 9U));

TEST_P(SurveyFuzz, AnyTextGivesAnAnswerOrFaults) {
  const auto source = nibbet_corner();
  ASSERT_GT(Surveyed(source).survey.readings.size(), 25U);
  Mutator mutator(GetParam(), pieces, 1);
  int cars = 0, answers = 0, faulty = 0;
  for (int i = 0; i < 12; ++i) {
    const auto text = mutator.mutated(source, "reading = [", "[survey]");
    const auto document = parse(text);
    ASSERT_NE(document.value.has_value(), !document.faults.empty());
    if (!document.value) {
      ++faulty;
      continue;
    }
    const auto car = read_car(*document.value);
    ASSERT_NE(car.value.has_value(), !car.faults.empty()) << text;
    for (const auto& f : car.faults) {
      ASSERT_FALSE(f.what.empty());
      ASSERT_GE(f.line, 1) << f.what;
    }
    if (!car.value) {
      ++faulty;
      continue;
    }
    ++cars;
    const auto survey = read_survey(*document.value, *car.value);
    ASSERT_TRUE(survey.faults.empty());
    const auto a = adjust(*car.value, survey);
    ASSERT_NE(a.value.has_value(), !a.why.empty()) << text;
    if (!a.value) continue;
    ++answers;
    ASSERT_EQ(a.value->readings.size(), survey.readings.size());
    for (const auto& p : a.value->points)
      for (int axis = 0; axis < 3; ++axis) {
        ASSERT_TRUE(std::isfinite(p.at_mm[axis])) << p.name << "\n" << text;
        ASSERT_TRUE(std::isfinite(p.sigma_mm[axis])) << p.name << "\n" << text;
      }
  }
  // The mutations must reach both ends.
  EXPECT_GT(faulty, 0);
  EXPECT_GT(cars, 0);
  EXPECT_GT(answers, 0);
}

// The demo hatch's own run and nothing else: one dial a millimetre off is found among the rows, and
// dials exchanged throughout (the base is the same, the sign is not) are found as the run itself.
std::string gauge_only(const std::string& rows) {
  return demo_text("pip.toml") +
         "\n[[reading]]\nname = \"G\"\ngauge = \"front.left\"\nbase = 300\nrows = " + rows + "\n" +
         "[[reading]]\nslope = [\"front.left.rod.steering.body\", "
         "\"front.left.rod.steering.upright\"]\nvalue = 5.51\n"
         "[[reading]]\nslope = [\"front.left.arm.lower.body_front\", "
         "\"front.left.arm.lower.upright\"]\nvalue = 3.29\n";
}

TEST(SurveyAdjusted, AMisreadGaugeRowIsLeftOutAlone) {
  const auto a = adjusted(
      gauge_only("[[0, 0.01, -0.01], [10, -0.44, -1.03], [20, -1.18, -2.25], [30, -1.89, -2.70], "
                 "[40, -2.79, -5.47], [20, -1.22, -2.27], [0, -0.02, -0.01], [-10, 0.34, 0.78], "
                 "[-20, 0.63, 1.33], [-30, 0.70, 1.68], [-20, 0.64, 1.37], [0, 0.01, 0.06]]"));
  ASSERT_EQ(a.gauges.size(), 1U);
  EXPECT_FALSE(a.gauges[0].left_out);
  ASSERT_EQ(a.gauges[0].suspect_rows.size(), 1U);
  EXPECT_NE(a.gauges[0].suspect_rows[0].find("row 4 at 30 mm"), std::string::npos);
  EXPECT_EQ(a.gauges[0].rows, 11);
  EXPECT_EQ(a.taken, 13U);
  EXPECT_EQ(a.suspects(), 0U);
}

TEST(SurveyAdjusted, ARunWithoutOtherReadingsLosesItsBadRowToo) {
  const auto text =
      demo_text("pip.toml") +
      "\n[[reading]]\nname = \"G\"\ngauge = \"front.left\"\nbase = 300\nrows = [[0, 0.01, -0.01], "
      "[10, -0.44, -1.03], [20, -1.18, -2.25], [30, -1.89, -2.70], [40, -2.79, -5.47], [20, -1.22, "
      "-2.27], [0, -0.02, -0.01], [-10, 0.34, 0.78], [-20, 0.63, 1.33], [-30, 0.70, 1.68], [-20, "
      "0.64, 1.37], [0, 0.01, 0.06]]\n";
  const auto a = adjusted(text);
  ASSERT_EQ(a.gauges[0].suspect_rows.size(), 1U);
  EXPECT_EQ(a.gauges[0].rows, 11);
  EXPECT_EQ(a.taken, 11U);  // what is reported is the sums without it
}

TEST(SurveyAdjusted, DialsExchangedThroughoutAreTheRunsOwnSlip) {
  const auto a = adjusted(
      gauge_only("[[0, -0.01, 0.01], [10, -1.03, -0.44], [20, -2.25, -1.18], [30, -3.70, -1.89], "
                 "[40, -5.47, -2.79], [20, -2.27, -1.22], [0, -0.01, -0.02], [-10, 0.78, 0.34], "
                 "[-20, 1.33, 0.63], [-30, 1.68, 0.70], [-20, 1.37, 0.64], [0, 0.06, 0.01]]"));
  ASSERT_EQ(a.gauges.size(), 1U);
  EXPECT_TRUE(a.gauges[0].left_out);
  EXPECT_TRUE(a.gauges[0].signs_turned);
  EXPECT_TRUE(a.doubtful());
  EXPECT_EQ(a.suspects(), 0U);
}

// The same with a low dial, which turns with neither: it has no part in the question.
TEST(SurveyAdjusted, DialsExchangedAreSeenBesideALowDial) {
  auto text = gauge_only(
      "["
      "[0, -0.01, 0.01, 0.00], [10, -1.03, -0.44, -0.00], [20, -2.25, -1.18, -0.31], "
      "[30, -3.70, -1.89, -0.79], [40, -5.47, -2.79, -1.59], "
      "[20, -2.27, -1.22, -0.34], [0, -0.01, -0.02, -0.01], [-10, 0.78, 0.34, -0.24], "
      "[-20, 1.33, 0.63, -0.67], [-30, 1.68, 0.70, -1.37], [-20, 1.37, 0.64, -0.64], "
      "[0, 0.06, 0.01, 0.03]"
      "]");
  const std::string base = "base = 300";
  text.replace(text.find(base), base.size(), base + "\ndrop = 200");
  const auto a = adjusted(text);
  ASSERT_EQ(a.gauges.size(), 1U);
  EXPECT_TRUE(a.gauges[0].left_out);
  EXPECT_TRUE(a.gauges[0].signs_turned);
}

// A drop at fault is one fault, and none of every row beside it; a low dial has the others' limits.
TEST(SurveyFaults, OfALowDialAreToldOnce) {
  const auto faults = [](const char* drop, const char* low) {
    return read_car(
               *parse(std::string(testing::strut_text) +
                      "[[reading]]\nname = \"run\"\ngauge = \"front.left\"\nbase = 300\ndrop = " +
                      drop + "\nrows = [[0, 0, 0, 0], [10, 0, 0, " + low + "], [20, 0, 0, 0]]\n")
                    .value)
        .faults;
  };
  EXPECT_TRUE(faults("200", "1").empty());
  ASSERT_EQ(faults("\"200 kg\"", "1").size(), 1U);
  EXPECT_NE(faults("\"200 kg\"", "1")[0].what.find("is a mass"), std::string::npos);
  EXPECT_EQ(faults("200", "900").size(), 1U);
}

// A run that has just begun is no fault of the file: it says nothing yet, and that is said.
TEST(SurveyRemarks, AGaugeRunOfTooFewRowsSaysNothingYet) {
  const std::string start = std::string(testing::strut_text) + "[[reading]]\nname = \"run\"\n";
  for (const char* rows :
       {"[[0, 0, 0]]", "[[0, 0, 0], [10, 0, 0]]", "[[0, 0, 0], [2, 0, 0], [-3, 0, 0]]",
        "[[5, 0, 0], [5, 0, 0], [5, 0, 0], [5, 0, 0]]"}) {
    const auto s =
        Surveyed(start + "gauge = \"front.left\"\nbase = 300\nrows = " + rows + "\n").survey;
    EXPECT_TRUE(s.faults.empty()) << rows;
    EXPECT_TRUE(s.gauges.empty()) << rows;
    ASSERT_EQ(s.begun.size(), 1u) << rows;
    ASSERT_EQ(s.remarks.size(), 1u) << rows;
    EXPECT_NE(s.remarks[0].find("Gauge run 'run' is not finished"), std::string::npos);
  }
}

}  // namespace
}  // namespace trammel::testing
