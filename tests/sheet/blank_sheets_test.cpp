// Sheets to write on at the car: the same cards, in the order in which they are typed.
#include "sheet/blank_sheets.h"

#include <gtest/gtest.h>

#include "align/floor_cards.h"
#include "cars.h"
#include "measure/round.h"
#include "told/html.h"

namespace trammel {
namespace {

TEST(BlankSheets, HaveALineForEveryValueOfEveryCardInTheirOrder) {
  const auto car = testing::demo("pip.toml");
  const auto round = round_of(car);
  const auto sheets = blank_sheets(car, Units::metric);
  ASSERT_EQ(sheets.size(), round.size() + 2);  // and the gauge runs, and the floor
  for (std::size_t i = 0; i < round.size(); ++i) {
    EXPECT_EQ(sheets[i].question, round[i].name);
    std::vector<std::string> wanted, numbers;
    std::size_t values = 0;
    for (const auto& card : round[i].cards) {
      wanted.push_back(card.number);
      values += card.fields.size();
    }
    const Grid* lines = nullptr;
    bool caution = false, drawing = false;
    for (const auto& block : sheets[i].blocks) {
      if (const auto* g = std::get_if<Grid>(&block)) lines = g;
      caution = caution || std::holds_alternative<Caution>(block);
      drawing = drawing || std::holds_alternative<Drawing>(block);
    }
    ASSERT_NE(lines, nullptr);
    EXPECT_TRUE(caution && drawing) << sheets[i].name;
    EXPECT_TRUE(lines->to_fill);
    EXPECT_EQ(lines->rows.size(), values);
    for (const auto& row : lines->rows) {
      ASSERT_EQ(row.size(), lines->heads.size());
      if (!row[0].empty()) numbers.push_back(row[0]);
      EXPECT_FALSE(row[1].empty());
      EXPECT_TRUE(row[2].empty() && row[3].empty());
    }
    EXPECT_EQ(numbers, wanted);
  }
}

// The run as docs/measuring.md has it: 17 rows, up to 40, down to -40, back to 0; for every wheel.
TEST(BlankSheets, HaveTheGaugeRunsTravelsWrittenIn) {
  const auto sheets = blank_sheets(testing::demo("pip.toml"), Units::metric);
  int runs = 0;
  for (const auto& block : sheets[sheets.size() - 2].blocks)
    if (const auto* g = std::get_if<Grid>(&block)) {
      ++runs;
      ASSERT_EQ(g->rows.size(), 17u);
      EXPECT_EQ(g->rows[4][0], "+40.0");
      EXPECT_EQ(g->rows[12][0], "-40.0");
      EXPECT_EQ(g->rows[16][0], "0.0");
    }
  EXPECT_EQ(runs, 4);
}

TEST(BlankSheets, HaveAPageForTheFloor) {
  const auto car = testing::demo("pip.toml");
  const auto floor = blank_sheets(car, Units::metric).back();
  EXPECT_EQ(floor.question, "On the floor");
  std::size_t lines = 0, values = 0;
  for (const auto& block : floor.blocks)
    if (const auto* g = std::get_if<Grid>(&block)) lines += g->rows.size();
  for (const auto& station : floor_round_of(car))
    for (const auto& card : station.cards) values += card.fields.size();
  EXPECT_EQ(lines, values);
}

TEST(BlankSheets, AreADocumentOfTheirOwnKind) {
  const auto car = testing::demo("pip.toml");
  const auto html = as_html({"a car", "2026-11-25", "a.toml", true, SheetKind::blank},
                            blank_sheets(car, Units::inch));
  EXPECT_NE(html.find("<small>survey sheets</small>"), std::string::npos);
  EXPECT_NE(html.find("class=\"sheets\""), std::string::npos);
  EXPECT_NE(html.find("class=\"fill\""), std::string::npos);
  EXPECT_NE(html.find(sheet_mark), std::string::npos);
  EXPECT_NE(html.find("this car is invented"), std::string::npos);
}

}  // namespace
}  // namespace trammel
