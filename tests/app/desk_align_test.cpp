// What the page asks of the cards of alignment, through the desk, and what it shows of the step.
#include <gtest/gtest.h>

#include "file/alignment.h"
#include "file/edit.h"
#include "travel/freedom.h"
#include "wasm/desk.h"

#include "cars.h"

namespace trammel {
namespace {

using namespace wire;
using testing::demo_text;

const PageSection& section_of(const Ranked& ranked, const std::string& name) {
  for (const auto& s : ranked.sections)
    if (s.name == name) return s;
  ADD_FAILURE() << name << " is not among the sections";
  return ranked.sections.front();
}

EnterFloorCard strings_of(const std::string& text, const std::string& when) {
  EnterFloorCard ask;
  ask.text = text;
  ask.number = "AFL1";
  ask.when = when;
  ask.values = {"223.5", "223.0", "223.5"};
  return ask;
}

TEST(DeskAlign, ADayIsTakenByCardsAndTold) {
  Desk desk;
  const auto text = demo_text("pip.toml");
  const auto round = desk.reply(ShowFloorRound{text, false, "as found"});
  ASSERT_EQ(round.why, "");
  ASSERT_EQ(round.days.size(), 1u);
  EXPECT_EQ(round.days[0].when, "as found");
  ASSERT_EQ(round.stations.size(), 6u);
  EXPECT_GT(round.stations[1].cards[0].taken, 0);
  // Another day holds nothing yet.
  EXPECT_EQ(desk.reply(ShowFloorRound{text, false, "after"}).stations[1].cards[0].taken, 0);

  ShowFloorCard show;
  show.text = text;
  show.number = "AFL1";
  show.when = "as found";
  const auto card = desk.reply(show);
  EXPECT_EQ(card.station, "Front left");
  ASSERT_EQ(card.fields.size(), 3u);  // the file knows the rim
  ASSERT_EQ(card.taken.size(), 1u);
  EXPECT_NE(card.taken[0].shown.find("223.5"), std::string::npos) << card.taken[0].shown;
  EXPECT_FALSE(card.taken[0].removable);  // typed by hand, without a name
  show.number = "FL1";
  EXPECT_NE(desk.reply(show).why.find("no card"), std::string::npos);

  auto ask = strings_of(text, "after");
  ask.fitted = true;
  const auto entered = desk.reply(ask);
  ASSERT_TRUE(entered.faults.empty() && entered.asks.empty());
  const auto rows = read_alignment(*parse(entered.text).value, testing::car_of(entered.text));
  EXPECT_EQ(rows.sessions().back(), "after");
  EXPECT_EQ(rows.rows.back().edges.size(), 1u);
  EXPECT_DOUBLE_EQ(*rows.rows.back().across_mm, 15.0 * 25.4 + flange_over_rim_mm);
  // Set aside by its name, like any reading.
  const auto aside = desk.reply(SetAside{entered.text, rows.rows.back().name, true});
  ASSERT_TRUE(aside.faults.empty());
  show.text = aside.text;
  show.number = "AFL1";
  show.when = "after";
  EXPECT_TRUE(desk.reply(show).taken.front().set_aside);
}

TEST(DeskAlign, DegreesForMillimetresAreAskedAndKeptWhereOneIsSure) {
  Desk desk;
  auto ask = strings_of(demo_text("pip.toml"), "as found");
  ask.values = {"0.2", "0.1", ""};
  const auto asked = desk.reply(ask);
  EXPECT_EQ(asked.text, ask.text);
  ASSERT_FALSE(asked.asks.empty());
  EXPECT_NE(asked.asks[0].find("Were degrees typed"), std::string::npos) << asked.asks[0];
  ask.sure = true;
  const auto kept = desk.reply(ask);
  EXPECT_TRUE(kept.asks.empty() && kept.faults.empty());
  EXPECT_NE(kept.text, ask.text);
  ask.values = {"", "", ""};
  EXPECT_FALSE(desk.reply(ask).faults.empty());
}

TEST(DeskAlign, ThePlanIsWrittenDownAsTurned) {
  Desk desk;
  const auto text = demo_text("pip.toml");
  EXPECT_NE(section_of(desk.reply(Rank{text, false}), "Align").answer.find("4 things to turn"),
            std::string::npos);
  const auto turned = desk.reply(TurnAsPlanned{text});
  ASSERT_TRUE(turned.faults.empty());
  const auto rows = read_alignment(*parse(turned.text).value, testing::car_of(turned.text));
  int wheels = 0;
  for (const auto& r : rows.rows) wheels += r.toe_turned_mm ? 1 : 0;
  EXPECT_EQ(wheels, 4);
  // A file without readings has nothing to turn.
  const auto none = desk.reply(TurnAsPlanned{demo_text("pip-as-built.toml")});
  EXPECT_FALSE(none.faults.empty());
}

// Readings on the floor do not touch the joints: what was ranked stays.
TEST(DeskAlign, AReadingOnTheFloorRanksNothingAnew) {
  Desk desk;
  const auto text = demo_text("pip.toml");
  const auto before = desk.reply(Rank{text, false});
  int told = 0;
  const auto entered = desk.reply(strings_of(text, "after"));
  ASSERT_TRUE(entered.faults.empty());
  const auto after = desk.reply(Rank{entered.text, false}, [&](double) { ++told; });
  EXPECT_EQ(told, 0);
  EXPECT_EQ(section_of(before, "Correct").answer, section_of(after, "Correct").answer);
}

}  // namespace
}  // namespace trammel
