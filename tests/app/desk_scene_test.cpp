// The drawing of the car as the page asks for it: what is where, its joints by name, and a nudge.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <iterator>
#include <map>

#include "cars.h"
#include "wasm/desk.h"
#include "wire/page_fields.h"

namespace trammel {
namespace {

using namespace wire;

using testing::demo_text;
const JointRow& row_of(const JointTable& table, const std::string& name) {
  for (const auto& r : table.rows)
    if (r.name == name) return r;
  throw std::runtime_error("no joint " + name);
}
std::size_t place_of(const JointTable& table, const std::string& name) {
  return static_cast<std::size_t>(&row_of(table, name) - table.rows.data());
}
Draw draw(const std::string& text) {
  Draw ask;
  ask.text = text;
  return ask;
}

TEST(DeskScene, JointsStandInTheOrderOfTheirTable) {
  for (const char* name : {"pip.toml", "pip-survey.toml", "nibbet.toml"}) {
    Desk desk;
    const auto text = demo_text(name);
    const auto d = desk.reply(draw(text));
    const auto table = desk.reply(Joints{text, false});
    ASSERT_EQ(d.cars.size(), 1U) << d.why;
    EXPECT_EQ(d.cars[0].name, "as it sits");
    EXPECT_EQ(d.cars[0].wheels.size(), 4U);
    ASSERT_EQ(d.cars[0].joints.size(), table.rows.size());
    for (std::size_t i = 0; i < table.rows.size(); ++i)
      for (std::size_t k = 0; k < 3; ++k)
        EXPECT_NEAR(d.cars[0].joints[i][k], std::stod(table.rows[i].numbers[k].at), 0.06)
            << table.rows[i].name;
    EXPECT_TRUE(d.cars[0].axes.empty());
    EXPECT_TRUE(d.cars[0].doubts.empty());
  }
}

TEST(DeskScene, AsCorrectedIsWhatIsAskedWithElseWhatTheFileSettlesOn) {
  Desk desk;
  const auto text = demo_text("pip.toml");
  auto ask = draw(text);
  ask.corrected = true;
  EXPECT_EQ(desk.reply(ask).cars.size(), 1U);  // nothing is fitted yet
  const AxleSet set{"front", {{"ball-joint spacer", 20.0, {}}, {"rod-end stack", 15.0, {}}}};
  ask.sets = {set};
  ask.built = ask.axes = true;
  const auto d = desk.reply(ask);
  ASSERT_EQ(d.cars.size(), 3U) << d.why;
  EXPECT_EQ(d.cars[1].stroke, "thin dashed");
  EXPECT_EQ(d.cars[2].stroke, "heavy");
  EXPECT_EQ(d.cars[0].roll_centres.size(), 2U);
  const auto table = desk.reply(Joints{text, false});
  // The ball stays with the wheel and is 20 mm lower in the upright, so the arm points down more
  // and the roll centre rises.
  const auto ball = place_of(table, "front.left.arm.lower.upright");
  constexpr double leaning = 0.05;  // the upright turns by some degrees on its way
  EXPECT_NEAR(d.cars[0].joints[ball][2] - d.cars[2].joints[ball][2], 20.0, 20.0 * leaning);
  EXPECT_GT(d.cars[2].roll_centres[0].at[2], d.cars[0].roll_centres[0].at[2] + 20.0);
  EXPECT_NEAR(d.cars[2].roll_centres[1].at[2], d.cars[0].roll_centres[1].at[2], 0.5);
  // As it stood before, the body was higher: 40 mm of it.
  const auto top = place_of(table, "front.left.strut.top");
  EXPECT_NEAR(d.cars[1].joints[top][2] - d.cars[0].joints[top][2], 40.0, 1.0);  // it pitches
  // Settled on, it needs no asking.
  const auto chosen = desk.reply(Choose{text, set, false});
  ASSERT_TRUE(chosen.faults.empty());
  auto settled = ask;
  settled.text = chosen.text;
  settled.sets.clear();
  const auto same = desk.reply(settled);
  ASSERT_EQ(same.cars.size(), 3U);
  EXPECT_EQ(same.cars[2].joints, d.cars[2].joints);
  // A set in hand goes before it.
  settled.sets = {{"front", {{"ball-joint spacer", 10.0, {}}, {"rod-end stack", 15.0, {}}}}};
  EXPECT_NE(desk.reply(settled).cars[2].joints, d.cars[2].joints);
}

TEST(DeskScene, ItIsDrivenAndSaysWhereItStandsInTheUnitsOfTheSheet) {
  Desk desk;
  auto ask = draw(demo_text("pip.toml"));
  const auto still = desk.reply(ask);
  ask.travel_mm = 25.4;
  ask.inch = true;
  ask.roll_deg = 2.0;
  const auto d = desk.reply(ask);
  ASSERT_EQ(d.controls.size(), 3U);
  EXPECT_EQ(d.controls[0].said, "+1.000\u00a0in");
  EXPECT_EQ(d.controls[2].said, "2.00°");
  EXPECT_EQ(d.controls[1].key, "rack");
  EXPECT_NE(d.cars[0].joints, still.cars[0].joints);
  EXPECT_NE(d.cars[0].words.find("left"), std::string::npos) << d.cars[0].words;
  EXPECT_EQ(still.cars[0].words.find("left"), std::string::npos) << still.cars[0].words;
  ask.travel_mm = 500.0;
  const auto locked = desk.reply(ask);
  EXPECT_TRUE(locked.cars.empty());
  EXPECT_NE(locked.why.find("nearest travel"), std::string::npos) << locked.why;
  EXPECT_EQ(locked.controls.size(), 3U);
  EXPECT_FALSE(desk.reply(draw("trammel = ")).why.empty());
}

TEST(DeskScene, DoubtsAreDrawnAsLargeAsTheWordsSay) {
  Desk desk;
  auto ask = draw(demo_text("pip-survey.toml"));
  ask.doubts = true;
  const auto d = desk.reply(ask);
  ASSERT_FALSE(d.notes.empty());
  const auto& note = d.notes.back();
  const auto at = note.find("drawn ");
  ASSERT_NE(at, std::string::npos) << note;
  const double times = std::stod(note.substr(at + 6));
  const auto table = desk.reply(Joints{ask.text, false});
  ASSERT_GT(d.cars[0].doubts.size(), 20U);
  for (const auto& doubt : d.cars[0].doubts) {
    // The whole spread is the same in any axes: the sum of the squares.
    double drawn = 0.0, said = 0.0, hair = 0.0;
    for (std::size_t k = 0; k < 3; ++k) {
      for (const double x : doubt.semi_axes[k]) drawn += x * x;
      const auto& cell = table.rows[static_cast<std::size_t>(doubt.joint)].numbers[k];
      const double s = cell.doubt.empty() ? 0.0 : std::stod(cell.doubt);
      said += s * s;
      hair += 0.051 * (2.0 * s + 0.051);  // it is shown to a tenth
    }
    EXPECT_NEAR(drawn / (9.0 * times * times), said, hair);
  }
  auto exact = draw(demo_text("nibbet-as-built.toml"));
  exact.doubts = true;
  EXPECT_NE(desk.reply(exact).notes.back().find("Nothing of this car"), std::string::npos);
}

TEST(DeskScene, ANudgeMovesWhatTheFileStatesAndKeepsItsDoubt) {
  Desk desk;
  const auto text = demo_text("pip.toml");
  const auto table = desk.reply(Joints{text, false});
  std::size_t nudged = 0, doubtful = 0;
  for (const auto& r : table.rows) {
    EXPECT_FALSE(r.note.empty());
    if (!r.nudges || r.name.find(".right.") != std::string::npos) continue;
    ASSERT_FALSE(r.numbers[2].path.empty()) << r.name;
    const auto after = desk.reply(Nudge{text, r.numbers[2].path, 0.5});
    ASSERT_TRUE(after.faults.empty()) << r.name << ": " << after.faults.front().what;
    const auto back = desk.reply(Nudge{after.text, r.numbers[2].path, -0.5});
    const auto now = desk.reply(Joints{after.text, false});
    const auto& moved = row_of(now, r.name);
    EXPECT_NEAR(std::stod(moved.numbers[2].at) - std::stod(r.numbers[2].at), 0.5, 0.051);
    EXPECT_EQ(moved.numbers[2].doubt, r.numbers[2].doubt);
    const auto again = desk.reply(Joints{back.text, false});
    EXPECT_EQ(row_of(again, r.name).numbers[2].at, r.numbers[2].at);
    ++nudged;
    doubtful += r.numbers[2].stands.find("±") != std::string::npos ? 1 : 0;
  }
  EXPECT_GT(nudged, 10U);
  EXPECT_GT(doubtful, 0U);
  EXPECT_EQ(desk.reply(Nudge{text, "front.arm.lower.upright[7]", 0.5}).faults.size(), 1U);
}

TEST(DeskScene, WhereReadingsDecideAJointItSaysSoAndOffersNoNudge) {
  Desk desk;
  const auto text = demo_text("pip-survey.toml");
  const auto table = desk.reply(Joints{text, false});
  const auto& ball = row_of(table, "front.left.arm.lower.upright");
  EXPECT_FALSE(ball.nudges);
  EXPECT_NE(ball.note.find("only where the search begins"), std::string::npos) << ball.note;
  EXPECT_FALSE(ball.numbers[0].doubt.empty());
  EXPECT_EQ(ball.path, "front.arm.lower.upright");
  EXPECT_EQ(row_of(table, "front.right.arm.lower.upright").path, ball.path);
  // The words hold: with its coordinate nudged, the joint stands where it stood, to far less than
  // the nudge.
  const auto after = desk.reply(Nudge{text, ball.path + "[2]", 0.5});
  ASSERT_TRUE(after.faults.empty());
  const auto d0 = desk.reply(draw(text)), d1 = desk.reply(draw(after.text));
  const auto i = place_of(table, ball.name);
  EXPECT_NEAR(d0.cars[0].joints[i][2], d1.cars[0].joints[i][2], 0.02);
}

TEST(DeskScene, ALookAfterADrawingIsTheWholeOne) {
  Desk drawn_first, alone;
  const auto text = demo_text("nibbet.toml");
  drawn_first.reply(draw(text));
  EXPECT_EQ(written(drawn_first.reply(Look{text, false, {}, false})).dump(),
            written(alone.reply(Look{text, false, {}, false})).dump());
}

}  // namespace
}  // namespace trammel
