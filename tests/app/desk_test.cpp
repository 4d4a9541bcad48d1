// What the page asks of the core and is answered, the contract in both languages included.
#include "wasm/desk.h"

#include <gtest/gtest.h>

#include <fstream>
#include <iterator>

#include "cars.h"
#include "wire/page_fields.h"

namespace trammel {
namespace {

using namespace wire;

std::string file_text(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  EXPECT_TRUE(in) << path;
  return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
}
using testing::demo_text;

TEST(Contract, ThePagesTypesAreThoseOfTheCore) {
  EXPECT_EQ(file_text(std::string(PAGE_FOLDER) + "/src/model/contract.ts"), contract_typescript())
      << "build/dev/contract > app/page/src/model/contract.ts";
}

TEST(Contract, EveryRequestIsReadAndARequestThatIsNoneIsRefusedWithItsReason) {
  Desk desk;
  const auto failed = [&](const std::string& request) {
    const auto j = Json::parse(desk.answer(request));
    return j.contains("failed") ? j["failed"].get<std::string>() : "answered";
  };
  EXPECT_EQ(failed("}"), "the request is no object with a kind");
  EXPECT_EQ(failed(R"({"kind":"dance"})"), "'dance' is no kind of request");
  EXPECT_EQ(failed(R"({"kind":"look","inch":false,"sets":[],"hurry":false})"),
            "look: text: expected this key");
  EXPECT_EQ(failed(R"({"kind":"look","text":1,"inch":false,"sets":[],"hurry":false})"),
            "look: text: expected a text");
  EXPECT_EQ(failed(R"({"kind":"look","text":"","inch":1,"sets":[],"hurry":false})"),
            "look: inch: expected true or false");
  EXPECT_EQ(
      failed(R"({"kind":"look","text":"","inch":true,"sets":[{"axle":"front"}],"hurry":true})"),
      "look: sets: [0] picks: expected this key");
  EXPECT_EQ(failed(R"({"kind":"try","text":"","inch":true,"set":{"axle":"front","picks":[
      {"option":"a","size_mm":1,"by_mm":[1,2]}]},"moved":"","side":"","hole":[],"hurry":true})"),
            "try: set: picks: [0] by_mm: expected a list of another length");
  EXPECT_EQ(failed(R"({"kind":"rank","text":"a = 1","inch":false})"), "answered");
  EXPECT_EQ(failed(R"({"kind":"look","text":"a = ","inch":false,"sets":[],"hurry":false})"),
            "answered");
}

const PageSection* named(const std::vector<PageSection>& sections, const std::string& name) {
  for (const auto& s : sections)
    if (s.name == name) return &s;
  return nullptr;
}
const BenchAxle& bench_of(const Looked& l, const std::string& axle) {
  for (const auto& b : l.bench)
    if (b.axle == axle) return b;
  throw std::runtime_error("no bench of the " + axle + " axle");
}

TEST(Desk, ADemoCarAnswersEverything) {
  Desk desk;
  const Look look{demo_text("pip.toml"), false, {}, false};
  const auto l = desk.reply(look);
  EXPECT_TRUE(l.faults.empty());
  EXPECT_TRUE(l.demo);
  for (const char* name : {"Car", "Measure", "Travel"}) {
    const auto* s = named(l.sections, name);
    ASSERT_TRUE(s) << name;
    EXPECT_FALSE(s->answer.empty()) << name;
  }
  EXPECT_FALSE(bench_of(l, "rear").tried);  // nothing was chosen, nothing asked with
  std::vector<double> shares;
  const auto r = desk.reply(Rank{look.text, false}, [&](double x) { shares.push_back(x); });
  ASSERT_EQ(r.axles.size(), 2U);
  EXPECT_GT(shares.size(), 20U);
  EXPECT_TRUE(std::is_sorted(shares.begin(), shares.end()));
  EXPECT_LE(shares.back(), 1.0);
  for (const char* name : {"Measure next", "Correct", "Rods", "Parts", "Prove", "Work"})
    EXPECT_TRUE(named(r.sections, name)) << name;
  ASSERT_EQ(r.axles[1].maps.size(), 1U);
  EXPECT_EQ(r.axles[1].maps[0].option, "toe-link bracket");
  // With the sets found, the curves as corrected are there, and the sentence says the same chance.
  std::vector<AxleSet> sets;
  for (const auto& a : r.axles) sets.push_back(a.set);
  const auto again = desk.reply(Look{look.text, false, sets, false});
  const auto& tried = *bench_of(again, "rear").tried;
  ASSERT_EQ(tried.plots.size(), 1U);
  EXPECT_EQ(tried.plots[0].values.heads.back(), "as corrected");
  EXPECT_EQ(tried.plots[0].x_mm.size(), tried.plots[0].values.rows.size());
  EXPECT_NE(tried.sentence.find(" in 10"), std::string::npos) << tried.sentence;
  EXPECT_NE(named(r.sections, "Correct")->answer.find(tried.sentence.substr(1, 60)),
            std::string::npos)
      << tried.sentence << "\n"
      << named(r.sections, "Correct")->answer;
}

TEST(Desk, AHoleThatIsDraggedFollowsWithinItsRangeAndIsSettledInTheText) {
  Desk desk;
  const auto text = demo_text("pip.toml");
  Try ask;
  ask.text = text;
  ask.set = {"rear", {{"lateral-arm spacer", 10.0, {}}, {"toe-link bracket", 0.0, {0, 0, -18}}}};
  const auto there = desk.reply(ask);
  ASSERT_EQ(there.hole.size(), 1U);
  // Back from where it is drawn: the same place, to a tenth.
  ask.hole = there.hole;
  ask.moved = "toe-link bracket";
  const auto back = desk.reply(ask);
  EXPECT_NEAR(back.picks[1].by_mm[1], 0.0, 0.051);
  EXPECT_NEAR(back.picks[1].by_mm[2], -18.0, 0.051);
  // Far outside: kept at the end of the range.
  ask.hole = {{-1000.0, 1000.0}};
  const auto end = desk.reply(ask);
  EXPECT_EQ(end.picks[1].by_mm[1], 5.0);
  EXPECT_EQ(end.picks[1].by_mm[2], -40.0);
  EXPECT_EQ(end.picks[0].size_mm, 10.0);
  // Settled: the file says so, and the sheet is about that set.
  const auto chosen = desk.reply(Choose{text, {"rear", back.picks}, false});
  ASSERT_TRUE(chosen.faults.empty());
  EXPECT_NE(chosen.text.find("[rear.chosen]\n\"lateral-arm"), std::string::npos) << chosen.text;
  const auto l = desk.reply(Look{chosen.text, false, {}, false});
  EXPECT_TRUE(bench_of(l, "rear").chosen);
  EXPECT_FALSE(bench_of(l, "front").chosen);
  EXPECT_EQ(bench_of(l, "rear").tried->sentence, back.sentence);
  const auto r = desk.reply(Rank{chosen.text, false});
  EXPECT_NE(named(r.sections, "Correct")->answer.find("Rear, as chosen: 10 mm"), std::string::npos)
      << named(r.sections, "Correct")->answer;
  EXPECT_EQ(r.axles[1].set.picks[1].by_mm[2], back.picks[1].by_mm[2]);
  // And back to the best: byte for byte the text before.
  const auto none = desk.reply(Choose{chosen.text, {"rear", {}}, true});
  EXPECT_EQ(none.text, text);
}

TEST(Desk, WhatWasKeptOfOneTextIsNotShownForAnother) {
  Desk kept, fresh;
  const auto pip = demo_text("pip.toml"), nibbet = demo_text("nibbet.toml");
  const auto other = kept.reply(Change{pip, "front.arm.lower.upright[2]", "170"}).text;
  for (const auto& text : {pip, other, nibbet, pip, other}) {
    Desk alone;
    const auto a = written(kept.reply(Look{text, false, {}, false})).dump();
    EXPECT_EQ(a, written(alone.reply(Look{text, false, {}, false})).dump());
  }
  EXPECT_NE(written(fresh.reply(Look{pip, false, {}, false})).dump(),
            written(fresh.reply(Look{other, false, {}, false})).dump());
}

TEST(Desk, ALookInAHurryIsFollowedByTheWholeOne) {
  Desk hurried, alone;
  const auto text = demo_text("pip.toml");
  const auto quick = written(hurried.reply(Look{text, false, {}, true})).dump();
  const auto whole = written(alone.reply(Look{text, false, {}, false})).dump();
  EXPECT_NE(quick, whole);
  EXPECT_EQ(written(hurried.reply(Look{text, false, {}, false})).dump(), whole);
}

TEST(Desk, EveryValueCanBeChangedInAnyUnitAndBadOnesAreSaidNotTaken) {
  Desk desk;
  const auto text = demo_text("pip.toml");
  const auto to = [&](const std::string& path, const std::string& typed) {
    return desk.reply(Change{text, path, typed});
  };
  EXPECT_NE(to("front.wheel.toe", "0°03'").text.find("toe = \"0°03'\""), std::string::npos);
  EXPECT_NE(to("front.arm.lower.upright[2]", "7 in").text.find("\"7 in\""), std::string::npos);
  EXPECT_NE(to("front.arm.lower.upright[2]", "178.5").text.find("178.5]"), std::string::npos);
  const auto bad = to("front.wheel.toe", "3 kg");
  EXPECT_EQ(bad.text, text);
  ASSERT_EQ(bad.faults.size(), 1U);
  EXPECT_GT(bad.faults[0].line, 10);
  EXPECT_NE(bad.faults[0].text.find("toe"), std::string::npos);
  EXPECT_EQ(to("front.wheel.tow", "3").faults.size(), 1U);
  // Every single value of the file can be put back as it is shown.
  const auto l = desk.reply(Look{text, false, {}, false});
  std::size_t cells = 0;
  for (const auto& g : l.values)
    for (const auto& row : g.rows)
      for (const auto& cell : row.cells) {
        ++cells;
        const auto same = desk.reply(Change{text, cell.path, cell.shown});
        EXPECT_TRUE(same.faults.empty()) << cell.path << " = " << cell.shown;
        EXPECT_EQ(same.text, text) << cell.path << " = " << cell.shown;
      }
  EXPECT_GT(cells, 150U);
}

TEST(Desk, AStepIsTickedInTheTextAndShowsOnTheSheet) {
  Desk desk;
  auto text = demo_text("pip.toml");
  const auto ranked = [&] { return desk.reply(Rank{text, false}); };
  const auto work = [&](const Ranked& r) {
    return std::get<Checklist>(named(r.sections, "Work")->blocks[1]);
  };
  const auto first = work(ranked()).steps.front();
  const auto note = [&](const std::string& key, const std::string& typed) {
    return desk.reply(Note{text, first.id, "", first.what, key, typed});
  };
  text = note("done", "true").text;
  EXPECT_NE(text.find("step = \"" + first.id + "\""), std::string::npos);
  EXPECT_TRUE(work(ranked()).steps.front().done);
  text = note("torque", "45 N·m").text;
  text = note("done", "false").text;
  const auto step = work(ranked()).steps.front();
  EXPECT_FALSE(step.done);
  EXPECT_EQ(step.torque, "45 N·m");
  EXPECT_EQ(note("torque", "tight").faults.size(), 1U);
  const auto parts = std::get<PartsList>(named(ranked().sections, "Parts")->blocks[0]);
  const auto key = parts.parts.front().key;
  text = desk.reply(Note{text, "", key, "", "state", "ordered"}).text;
  const auto after = std::get<PartsList>(named(ranked().sections, "Parts")->blocks[0]);
  EXPECT_EQ(after.parts.front().state, "ordered");
  EXPECT_EQ(after.parts.size(), parts.parts.size());
}

// A row that was typed by hand is about the step whose words it begins, and is the one that is
// changed.
TEST(Desk, ATickGoesIntoTheRowThatStandsThere) {
  Desk desk;
  const auto text =
      demo_text("pip.toml") + "[[job]]\nstep = \"Road test\"\nmark = \"pulls left\"\n";
  const auto s =
      std::get<Checklist>(named(desk.reply(Rank{text, false}).sections, "Work")->blocks[1])
          .steps.front();
  EXPECT_EQ(s.mark, "pulls left");
  const auto after = desk.reply(Note{text, s.id, "", s.what, "done", "true"}).text;
  EXPECT_NE(after.find("mark = \"pulls left\"\ndone = true"), std::string::npos)
      << after.substr(text.size() - 80);
}

TEST(Desk, ABrokenFileGivesItsFaultsWithTheirLines) {
  Desk desk;
  const auto l =
      desk.reply(Look{"trammel = 1\n[front.wheel]\ncentre = [0, 700\n", false, {}, false});
  ASSERT_EQ(l.faults.size(), 1U);
  EXPECT_TRUE(l.sections.empty());
  const auto two =
      desk.reply(Look{"trammel = 1\n[front.wheel]\ncentre = [0, 700]\nx = 1\n", false, {}, false});
  EXPECT_GT(two.faults.size(), 1U);
  EXPECT_EQ(two.faults[0].line, 3);
  EXPECT_EQ(two.faults[0].text, "centre = [0, 700]");
  EXPECT_FALSE(two.values.empty());  // they can be put right in place
  EXPECT_FALSE(desk.reply(Rank{"", false}).why.empty());
}

// A run with the parts fitted is judged on the page too, and what was chosen counts where the run
// was taken with it.
TEST(Desk, ARunWithPartsIsProvedAndMakesTheCarSharper) {
  Desk desk;
  auto text = demo_text("pip-survey.toml");
  const auto proved = [&]() -> std::string {
    const auto ranked = desk.reply(Rank{text, false});
    const auto* s = named(ranked.sections, "Prove");
    return s ? s->answer : "";
  };
  EXPECT_NE(proved().find("Front left: passed."), std::string::npos) << proved();
  const std::string with = "{ \"ball-joint spacer\" = 30, \"rod-end stack\" = 32.5 }";
  text.replace(text.find(with), with.size(), "\"chosen\"");
  const auto choose = [&](const char* stack) {
    return text + "\n[front.chosen]\n\"ball-joint spacer\" = 30\n\"rod-end stack\" = " + stack +
           "\n";
  };
  const auto plain = text;
  text = choose("32.5");
  EXPECT_NE(proved().find("Front left: passed."), std::string::npos) << proved();
  text = plain;
  text = choose("17.5");
  EXPECT_NE(proved().find("Front left: no, something is bent, loose"), std::string::npos)
      << proved();
}

}  // namespace
}  // namespace trammel
