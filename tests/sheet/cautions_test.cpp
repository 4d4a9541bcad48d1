// Words of care stand where the work is, and are the same wherever they stand.
#include "told/cautions.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "align/floor_cards.h"
#include "cars.h"
#include "correct/hole_drawing.h"
#include "measure/round.h"
#include "sheet/blank_sheets.h"
#include "sheet/sheet.h"

namespace trammel::testing {
namespace {

std::vector<std::string> said_in(const Section& s) {
  std::vector<std::string> all{s.answer};
  for (const auto& b : all_blocks(s)) {
    if (const auto* p = std::get_if<Paragraph>(&b)) all.push_back(p->text);
    if (const auto* c = std::get_if<Caution>(&b)) all.push_back(c->text);
    if (const auto* d = std::get_if<Drawing>(&b)) all.push_back(d->text);
    if (const auto* c = std::get_if<Checklist>(&b))
      for (const auto& step : c->steps) all.push_back(step.what);
  }
  return all;
}
std::string joined(const Section& s) {
  std::string all;
  for (const auto& text : said_in(s)) all += text + "\n";
  return all;
}
bool has(const std::string& text, Care care) {
  return text.find(caution(care)) != std::string::npos;
}

// All that a person is handed for the demo hatch: the sheet, the blank sheets.
const std::vector<Section>& handed() {
  static const auto all = [] {
    Worked worked(*read_car_file(demo_text("pip.toml")).value);
    EXPECT_TRUE(worked.surveyed().value) << worked.surveyed().why;
    auto built = build_sheet(worked, Units::metric);
    EXPECT_TRUE(built.value) << built.why;
    auto sections = std::move(*built.value);
    for (auto& s : blank_sheets(worked.file().car, Units::metric)) sections.push_back(std::move(s));
    return sections;
  }();
  return all;
}
const Section& named(const std::string& name) {
  for (const auto& s : handed())
    if (s.name == name) return s;
  ADD_FAILURE() << "no section " << name;
  return handed().front();
}

TEST(Cautions, OfASpringAreTheSameWordsEverywhere) {
  int seen = 0;
  for (const auto& s : handed())
    for (const auto& text : said_in(s)) {
      if (text.find("compressor") == std::string::npos) continue;
      ++seen;
      EXPECT_TRUE(has(text, Care::spring_out)) << s.name << ": " << text;
    }
  EXPECT_GE(seen, 4);  // settle, prove, the order of work, the blank sheet of the gauge runs
  for (const auto& s : handed())
    EXPECT_EQ(joined(s).find("strut that is unloaded"), std::string::npos) << s.name;
}

TEST(Cautions, OfDamperAndHoseStandWhereSpringsComeOut) {
  for (const char* name : {"Gauge runs", "Work", "Prove", "Settle"}) {
    const auto text = joined(named(name));
    EXPECT_TRUE(has(text, Care::spring_out)) << name;
    EXPECT_TRUE(has(text, Care::gas_damper)) << name;
    EXPECT_TRUE(has(text, Care::brake_hose)) << name;
  }
}

TEST(Cautions, EveryStepThatIsWorkedByDefersToLawManualAndInspection) {
  for (const char* name : {"Correct", "Settle", "Align", "Prove", "Work", "Record"})
    EXPECT_TRUE(has(joined(named(name)), Care::law)) << name;
}

TEST(Cautions, AHoleNearAnEdgeIsWarnedOfBesideItsMap) {
  const auto& s = named("Correct");
  const auto map = std::find_if(s.blocks.begin(), s.blocks.end(), [](const Block& b) {
    const auto* d = std::get_if<Drawing>(&b);
    return d && d->title.find("where the hole may be") != std::string::npos;
  });
  ASSERT_NE(map, s.blocks.end());
  ASSERT_NE(map + 1, s.blocks.end());
  const auto* care = std::get_if<Caution>(&*(map + 1));
  ASSERT_NE(care, nullptr);
  EXPECT_EQ(care->text, caution(Care::hole_edge));
}

TEST(Cautions, EveryCardFromBelowHasOne) {
  for (const auto& station : round_of(demo("pip.toml")))
    EXPECT_TRUE(has(station.caution, Care::under_tyres) || has(station.caution, Care::before_lying))
        << station.name;
  for (const auto& station : floor_round_of(demo("pip.toml")))
    EXPECT_TRUE(has(station.caution, Care::chocks) || has(station.caution, Care::chocks_rolled) ||
                has(station.caution, Care::before_lying))
        << station.name;
}

// The fluid round a strut's insert is what its maker asks for, not what somebody had on the shelf.
TEST(Cautions, TheInsertsFluidIsItsMakers) {
  const auto text = joined(named("Work"));
  EXPECT_NE(text.find("the fluid that the insert's maker asks for"), std::string::npos);
  EXPECT_EQ(text.find("20 mm below the gland"), std::string::npos);
}

}  // namespace
}  // namespace trammel::testing
