// What the page asks of the survey's cards, through the desk as JSON has it.
#include <gtest/gtest.h>

#include <fstream>
#include <iterator>

#include "file/edit.h"
#include "wasm/desk.h"

#include "cars.h"

namespace trammel {
namespace {

using namespace wire;

using testing::demo_text;
// The demo survey without the reading that is planted in it.
std::string without(const std::string& text, const std::string& name) {
  const auto at = text.find("{ name = \"" + name + "\"");
  const auto begin = text.rfind('\n', at), end = text.find('\n', at);
  return text.substr(0, begin) + text.substr(end);
}

TEST(DeskSurvey, NamesAPlantedMisreadAtOnceAndKeepsItWhereOneIsSure) {
  Desk desk;
  const auto text = without(demo_text("pip-survey.toml"), "M021");
  const auto round = desk.reply(ShowRound{text, false, false});
  ASSERT_EQ(round.why, "");
  std::string number;
  for (const auto& station : round.stations)
    for (const auto& card : station.cards)
      if (station.name == "Front left" && card.what == "floor to front inner joint of arm 'lower'")
        number = card.number;
  ASSERT_NE(number, "");
  EnterCard ask;
  ask.text = text;
  ask.number = number;
  ask.values = {"170"};
  const auto asked = desk.reply(ask);
  EXPECT_EQ(asked.text, text);
  ASSERT_EQ(asked.asks.size(), 1u);
  EXPECT_NE(asked.asks[0].find("misread by 10 mm"), std::string::npos) << asked.asks[0];
  ask.sure = true;
  const auto kept = desk.reply(ask);
  EXPECT_TRUE(kept.asks.empty() && kept.faults.empty());
  const auto after = desk.reply(ShowRound{kept.text, false, true});
  bool named = false;
  for (const auto& m : after.misread)
    named = named || (m.card == number && m.words.find(number) == 0);
  EXPECT_TRUE(named);
  ASSERT_EQ(after.known.size(), 2u);
  EXPECT_NE(after.known[0].sentence.find("bump steer to ±"), std::string::npos);
  // Set aside it no longer counts, and the card says so.
  const auto aside = desk.reply(SetAside{kept.text, number, true});
  ASSERT_TRUE(aside.faults.empty());
  ShowCard show;
  show.text = aside.text;
  show.number = number;
  const auto card = desk.reply(show);
  ASSERT_FALSE(card.taken.empty());
  EXPECT_TRUE(card.taken.back().set_aside);
  EXPECT_NE(card.drawing.svg.find("<svg"), std::string::npos);
}

TEST(DeskSurvey, MakesACardOfTwoJointsAndRefusesOneOfOne) {
  Desk desk;
  ShowCard ask;
  ask.text = demo_text("pip.toml");
  ask.reading = "distance";
  ask.from = "front.left.strut.top";
  ask.to = "rear.left.strut.top";
  const auto card = desk.reply(ask);
  EXPECT_EQ(card.why, "");
  EXPECT_EQ(card.number, "X");
  EnterCard enter;
  enter.text = ask.text;
  enter.reading = ask.reading;
  enter.from = ask.from;
  enter.to = ask.to;
  enter.values = {"2400"};
  enter.sure = true;
  const auto entered = desk.reply(enter);
  ASSERT_TRUE(entered.faults.empty()) << entered.faults[0].what;
  EXPECT_NE(entered.text.find("[\"front.left.strut.top\", \"rear.left.strut.top\"]"),
            std::string::npos);
  ask.to = ask.from;
  EXPECT_EQ(desk.reply(ask).why, "choose two different joints");
  ask.to = "nowhere";
  EXPECT_EQ(desk.reply(ask).why, "choose the joint that it is taken to");
  ask.from = "";
  EXPECT_EQ(desk.reply(ask).why, "choose the joint that it is taken from");
  ShowCard none;
  none.text = ask.text;
  none.number = "ZZ1";
  EXPECT_EQ(desk.reply(none).why, "the round has no card ZZ1");
}

TEST(DeskSurvey, AGaugeRunGrowsRowByRow) {
  Desk desk;
  auto text = demo_text("pip.toml");
  std::string name;
  for (const char* travel : {"0", "10", "20"}) {
    EnterGauge row{text, name, "rear right", "300", "", travel, "0.1", "0.2", "", false, {}};
    const auto after = desk.reply(row);
    ASSERT_TRUE(after.faults.empty()) << after.faults[0].what;
    text = after.text;
    const auto shown = desk.reply(ShowGauge{text, false, "", "rear right", false, {}, false});
    name = shown.name;
    EXPECT_EQ(shown.rows.back()[1], "+0.10");
  }
  const auto shown = desk.reply(ShowGauge{text, false, name, "rear right", false, {}, false});
  EXPECT_EQ(shown.next_mm, "30");
  EXPECT_EQ(shown.rows.size(), 3u);
  EXPECT_TRUE(shown.curve.has_value());
  EXPECT_FALSE(desk.reply(EnterGauge{text, "", "middle", "300", "", "0", "0", "0", "", false, {}})
                   .faults.empty());
  EXPECT_FALSE(
      desk.reply(EnterGauge{text, name, "", "", "", "30", "x", "0", "", false, {}}).faults.empty());
}

// A run with the parts fitted is a run of its own beside that of the car as it sits, and says in
// the file what was in: what the file settles on, else the set that the page shows.
TEST(DeskSurvey, ARunWithPartsSaysWhatIsFitted) {
  Desk desk;
  auto text = demo_text("pip-survey.toml");
  ShowGauge show{text, false, "", "front right", true, {}, false};
  EXPECT_NE(desk.reply(show).why.find("settle on a set"), std::string::npos);
  const AxleSet set{"front", {{"ball-joint spacer", 25.0, {}}, {"rod-end stack", 0.0, {}}}};
  show.sets = {set};
  const auto empty = desk.reply(show);
  EXPECT_EQ(empty.why, "");
  EXPECT_EQ(empty.fitted, "25.0\u00a0mm ball-joint spacer");
  EXPECT_TRUE(empty.rows.empty());
  EnterGauge row{text, "", "front right", "300", "", "0", "0", "0", "", true, {set}};
  auto after = desk.reply(row);
  ASSERT_TRUE(after.faults.empty()) << after.faults[0].what;
  EXPECT_NE(after.text.find("with = { \"ball-joint spacer\" = 25 }"), std::string::npos);
  // It goes on by its name, and is not mixed up with a run of the car as it sits.
  const auto begun = desk.reply(ShowGauge{after.text, false, "", "front right", true, {}, false});
  EXPECT_EQ(begun.rows.size(), 1U);
  EXPECT_EQ(begun.fitted, empty.fitted);
  EXPECT_TRUE(
      desk.reply(ShowGauge{after.text, false, "", "front right", false, {}, false}).name.empty());
  const auto left = desk.reply(ShowGauge{after.text, false, "", "front left", true, {}, false});
  EXPECT_EQ(left.name, "gauge front left, parts fitted");
  EXPECT_EQ(left.rows.size(), 17U);
  // Another one, after a shim was changed, is with what is to be fitted by then.
  const auto fresh = desk.reply(ShowGauge{after.text, false, "", "front left", true, {set}, true});
  EXPECT_TRUE(fresh.rows.empty());
  EXPECT_EQ(fresh.fitted, empty.fitted);
  const auto round = desk.reply(ShowRound{after.text, false, false});
  EXPECT_EQ(std::count_if(round.runs.begin(), round.runs.end(),
                          [](const RunListed& r) { return r.with_parts; }),
            2);
  // With a third dial: its rows ask for it, and show it.
  auto third = row;
  third.drop = "200";
  EXPECT_FALSE(desk.reply(third).faults.empty());
  third.low = "0.02";
  const auto three = desk.reply(third);
  ASSERT_TRUE(three.faults.empty()) << three.faults[0].what;
  const auto low = desk.reply(ShowGauge{three.text, false, "", "front right", true, {}, false});
  EXPECT_TRUE(low.third_dial);
  EXPECT_EQ(low.fitted, empty.fitted);
  ASSERT_EQ(low.rows.size(), 1U);
  EXPECT_EQ(low.rows[0].size(), 4U);
  // What the file settles on comes before what the page shows.
  row.text = text + "\n[front.chosen]\n\"ball-joint spacer\" = 20\n\"rod-end stack\" = 17.5\n";
  after = desk.reply(row);
  ASSERT_TRUE(after.faults.empty()) << after.faults[0].what;
  EXPECT_NE(after.text.find("with = { \"ball-joint spacer\" = 20, \"rod-end stack\" = 17.5 }"),
            std::string::npos);
}

TEST(DeskSurvey, SaysWhyThereIsNoRound) {
  Desk desk;
  EXPECT_NE(desk.reply(ShowRound{"a = 1", false, false}).why.find("at fault"), std::string::npos);
  EXPECT_NE(desk.reply(ShowBlank{"a = ", false}).why, "");
  const auto sheets = desk.reply(ShowBlank{demo_text("pip.toml"), true});
  EXPECT_EQ(sheets.why, "");
  EXPECT_GT(sheets.sections.size(), 5u);
}

}  // namespace
}  // namespace trammel
