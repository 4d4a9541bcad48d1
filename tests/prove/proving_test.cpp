// The step as it is told: verdicts, the next shim, what stands before a run is taken.
#include "prove/proving.h"

#include <gtest/gtest.h>

#include <numbers>

#include "base/quantity.h"
#include "prove/runs.h"

namespace trammel::testing {
namespace {

struct Proved {
  explicit Proved(FromFile& f, std::vector<GaugeRun> after) {
    f.survey.after = std::move(after);
    auto judged = judge_runs(f.adjusted, f.survey, f.wishes);
    adjusted = std::move(judged.adjusted);
    stands = std::move(*ride(adjusted.car, nullptr).value);
    correction = correct(stands, adjusted.spread, f.wishes);
    proving = prove(judged.runs, stands, adjusted, f.survey, f.wishes, correction);
    section = tell(proving, adjusted.car, Units::metric);
  }
  const AxleProved& front() const { return *proving.axle[0]; }
  // Of the wheel that was run; an axle has one only once both have been.
  Verdict left() const {
    EXPECT_FALSE(front().verdict);
    return proving.runs[front().corner(Side::left)->run].verdict;
  }
  std::string words() const {
    std::string all = section.answer + "\n";
    for (const auto& b : all_blocks(section)) {
      if (const auto* p = std::get_if<Paragraph>(&b)) all += p->text + "\n";
      if (const auto* c = std::get_if<Caution>(&b)) all += c->text + "\n";
    }
    return all;
  }
  Adjusted adjusted;
  Ride stands;
  Correction correction;
  Proving proving;
  Section section;
};

GaugeRun run_with(const FromFile& f, double spacer, double stack, double truly) {
  auto run = blank_run(AxleName::front, Side::left);
  run.with = f.chosen({{"ball-joint spacer", spacer}, {"rod-end stack", stack}});
  read_exactly(run, f.car, f.wishes,
               f.chosen({{"ball-joint spacer", spacer}, {"rod-end stack", truly}}));
  return run;
}

TEST(Proving, APassedRunSaysSoAndLeavesTheShimAlone) {
  FromFile f(demo_text("pip.toml"));
  const Proved p(f, {run_with(f, 30.0, 32.5, 32.5)});
  EXPECT_EQ(p.left(), Verdict::passed);
  EXPECT_NE(p.section.answer.find("Front left: passed."), std::string::npos) << p.section.answer;
  EXPECT_NE(p.section.answer.find("Front right: not run."), std::string::npos);
  EXPECT_NE(p.section.answer.find("Rear left and rear right: not run yet"), std::string::npos);
  ASSERT_TRUE(p.front().corners[0].next);
  EXPECT_FALSE(p.front().corners[0].next->changes);
  const auto& w = *p.proving.runs[0].window;
  EXPECT_LE(w.change_max_rad, w.wanted_rad);
  EXPECT_GE(w.chance, sure_enough);
  EXPECT_LT(w.low_rad, w.high_rad);
  // The run takes the doubt out of what is left.
  EXPECT_LT(p.correction.at(AxleName::front)->sure->wheel.left.bump_steer.corrected,
            0.012 * degree_rad / 25.0);
}

// Toe changes by more than is wanted, as predicted: the run holds, and a better shim is named. The
// same is found by fitting it: its own largest change is the one that was promised.
TEST(Proving, AMissedTargetNamesTheNextShim) {
  FromFile f(demo_text("pip.toml"));
  const Proved p(f, {run_with(f, 25.0, 20.0, 20.0)});
  EXPECT_TRUE(p.proving.runs[0].holds());
  EXPECT_EQ(p.left(), Verdict::not_yet);
  const auto& next = *p.front().corners[0].next;
  EXPECT_TRUE(next.changes);
  const double fitted = next.fitted.part[next.choice].left.size_mm,
               size = next.next.part[next.choice].left.size_mm;
  EXPECT_GT(size, 20.0);
  EXPECT_LT(next.next_rad, next.fitted_rad);
  const Proved again(f, {run_with(f, 25.0, size, size)});
  EXPECT_NEAR(again.proving.runs[0].window->change_max_rad, next.next_rad, 0.005 * degree_rad);
  // The plain rule points the same way and comes near: by the smallest piece of the stack.
  EXPECT_NEAR(fitted + next.by_mm, size, 2.5);
  EXPECT_NE(p.words().find("Next: rod-end stack"), std::string::npos) << p.words();
}

std::vector<Chosen> bracket_at(const FromFile& f, const Vec3<double>& by_mm) {
  auto chosen = f.chosen({{"toe-link bracket", 0.0}});
  chosen.front().part.left.by_mm = chosen.front().part.right.by_mm = by_mm;
  return chosen;
}

// A hole that was drilled elsewhere than where it should be is told where it belongs: to half a
// millimetre from where it is, within the range that the file leaves. Drilled there, it does what
// was promised, and no other place is better by what can be measured.
TEST(Proving, AMissedHoleNamesItsPlace) {
  FromFile f(demo_text("pip.toml"));
  const auto run_at = [&](const Vec3<double>& by_mm) {
    auto run = blank_run(AxleName::rear, Side::left);
    run.with = bracket_at(f, by_mm);
    read_exactly(run, f.car, f.wishes, *run.with);
    return run;
  };
  const Vec3<double> drilled{0.0, 0.0, -12.0};
  const Proved p(f, {run_at(drilled)});
  EXPECT_EQ(p.proving.runs[0].verdict, Verdict::not_yet);
  const auto& next = *p.proving.axle[1]->corners[0].next;
  EXPECT_TRUE(next.made);
  ASSERT_TRUE(next.changes);
  EXPECT_EQ(next.axis, 2);
  EXPECT_GT(next.by_mm * (next.next.part[next.choice].left.by_mm.z - drilled.z), 0.0);
  const auto& choice = p.proving.axle[1]->corners[0].as.shelf.choices[next.choice];
  const auto at = next.next.part[next.choice].left.by_mm;
  for (const int axis : choice.axes) {
    const auto& range = choice.range_mm[static_cast<std::size_t>(axis)];
    EXPECT_GE(at[axis], range[0]);
    EXPECT_LE(at[axis], range[1]);
    EXPECT_EQ(std::remainder(at[axis] - drilled[axis], 0.5), 0.0);
  }
  // The plain rule points the same way and comes near: by the same 2.5 mm.
  EXPECT_NEAR(drilled.z + next.by_mm, at.z, 2.5);
  EXPECT_NE(p.words().find("Next: toe-link bracket at y "), std::string::npos) << p.words();
  const Proved again(f, {run_at(at)});
  EXPECT_NEAR(again.proving.runs[0].window->change_max_rad, next.next_rad, 0.005 * degree_rad);
  EXPECT_EQ(again.proving.runs[0].verdict, Verdict::passed);
  EXPECT_FALSE(again.proving.axle[1]->corners[0].next->changes);
}

// 31 mm of pieces of 2.5, 5, 10 and 15 mm: asked, and judged as it is said.
TEST(Proving, ASizeThatNothingMakesIsAsked) {
  FromFile f(demo_text("pip.toml"));
  const auto asked = [&](double stack) {
    return Proved(f, {run_with(f, 30.0, stack, stack)}).words().find("no size that its option has");
  };
  EXPECT_NE(asked(31.0), std::string::npos);
  EXPECT_EQ(asked(32.5), std::string::npos);
  EXPECT_EQ(asked(0.0), std::string::npos);
  const Proved p(f, {run_with(f, 30.0, 31.0, 31.0)});
  EXPECT_NE(p.words().find("(next to it: 30.0\u00a0mm and 32.5\u00a0mm)"), std::string::npos)
      << p.words();
  EXPECT_TRUE(p.proving.runs[0].holds());
}

// A run that does not hold: no chance is named, a shim only with the word that the fault comes
// first, and driving is warned of where the slope is far off.
TEST(Proving, AFailedRunSaysWhatMayBeWrongBeforeAnyShim) {
  auto text = demo_text("pip.toml");
  text.replace(text.find("sigma = 2"), 9, "sigma = 0.3");
  FromFile f(text);
  const Proved p(f, {run_with(f, 25.0, 27.5, 20.0)});
  EXPECT_EQ(p.left(), Verdict::wrong);
  EXPECT_FALSE(p.proving.runs[0].window);
  EXPECT_NE(p.section.answer.find("Front left: no, something is bent, loose"), std::string::npos);
  const auto words = p.words();
  EXPECT_NE(words.find("the rod-end stack is 20.0\u00a0mm and not 27.5\u00a0mm"), std::string::npos)
      << words;
  EXPECT_NE(words.find("a caliper on the parts as they sit"), std::string::npos);
  EXPECT_NE(words.find("First find what is wrong"), std::string::npos);
  EXPECT_NE(words.find("differ by more than 0.1° per 25 mm: something is"), std::string::npos);
}

std::vector<std::string> titles(const Section& s) {
  std::vector<std::string> all;
  for (const auto& b : all_blocks(s)) {
    if (const auto* g = std::get_if<Grid>(&b)) all.push_back(g->title);
    if (const auto* p = std::get_if<Plot>(&b)) all.push_back(p->title);
  }
  return all;
}

// A third dial shows camber beside toe and where the roll centre is; two dials show neither.
TEST(Proving, AThirdDialIsTold) {
  FromFile f(demo_text("pip.toml"));
  auto run = with_low_dial(run_with(f, 30.0, 32.5, 32.5));
  read_exactly(run, f.car, f.wishes, *run.with);
  const Proved p(f, {run});
  EXPECT_EQ(p.left(), Verdict::passed);
  int camber = 0;
  for (const auto& title : titles(p.section))
    if (title.find("camber over the travel") != std::string::npos) ++camber;
  EXPECT_EQ(camber, 2);
  const auto words = p.words();
  EXPECT_NE(words.find("The roll centre by the front left wheel is at"), std::string::npos)
      << words;
  EXPECT_EQ(p.section.answer.find("camber"), std::string::npos);

  const Proved by_two(f, {run_with(f, 30.0, 32.5, 32.5)});
  for (const auto& title : titles(by_two.section))
    EXPECT_EQ(title.find("camber"), std::string::npos);
  EXPECT_EQ(by_two.words().find("roll centre by the front"), std::string::npos);

  // Only the low dial is wrong: then camber is what fails, and which dial it was is said.
  auto slipped = run;
  *slipped.rows[3].low_mm += 0.6;
  const Proved wrong(f, {slipped});
  EXPECT_EQ(wrong.left(), Verdict::wrong);
  EXPECT_NE(wrong.section.answer.find("steers as was predicted, but its camber does not"),
            std::string::npos)
      << wrong.section.answer;
  const auto said = wrong.words();
  EXPECT_NE(said.find("is misread at the low dial by 0.6"), std::string::npos) << said;
  EXPECT_NE(said.find("Toe by itself is no farther"), std::string::npos);
}

// Half of the travel that matters says nothing of the other half.
TEST(Proving, ARunThatEndsTooEarlyIsNotPassed) {
  FromFile f(demo_text("pip.toml"));
  auto run = run_with(f, 30.0, 32.5, 32.5);
  std::erase_if(run.rows, [](const GaugeRow& r) { return r.travel_mm < 0.0; });
  run.row_lines.resize(run.rows.size());
  const Proved p(f, {run});
  EXPECT_FALSE(p.proving.runs[0].covers);
  EXPECT_EQ(p.left(), Verdict::not_yet);
  EXPECT_NE(p.section.answer.find("as far as the run goes"), std::string::npos) << p.section.answer;
}

TEST(Proving, ARunThatWasOnlyBegunIsSaid) {
  FromFile f(demo_text("pip.toml"));
  auto begun = run_with(f, 30.0, 32.5, 32.5);
  begun.rows.resize(2);
  f.survey.begun = {begun};
  const Proved p(f, {});
  EXPECT_NE(p.section.answer.find("what was begun needs three rows"), std::string::npos)
      << p.section.answer;
}

TEST(Proving, OtherPartsThanThoseToBeFittedAreSaid) {
  auto text = demo_text("pip.toml");
  text.insert(text.find("[rear]"),
              "[front.chosen]\n\"ball-joint spacer\" = 25\n\"rod-end stack\" = 27.5\n");
  FromFile f(text);
  EXPECT_TRUE(Proved(f, {run_with(f, 30.0, 32.5, 32.5)}).front().other_set);
  EXPECT_FALSE(Proved(f, {run_with(f, 25.0, 27.5, 27.5)}).front().other_set);
}

// Play comes before every other cause.
TEST(Proving, SomethingLooseIsSaidFirst) {
  FromFile f(demo_text("pip.toml"));
  auto run = run_with(f, 30.0, 32.5, 32.5);
  for (std::size_t i = 1; i < run.rows.size(); ++i)
    if (run.rows[i].travel_mm < run.rows[i - 1].travel_mm)
      run.rows[i].rear_mm += run.base_mm * 0.1 * degree_rad;
  const Proved p(f, {run});
  EXPECT_EQ(p.left(), Verdict::wrong);
  EXPECT_NE(p.section.answer.find("Something is loose on the left wheel"), std::string::npos)
      << p.section.answer;
}

TEST(Proving, BeforeARunItSaysHowToTakeOneAndWhatItShouldRead) {
  FromFile f(demo_text("pip.toml"));
  const Proved p(f, {});
  EXPECT_EQ(
      p.section.answer,
      "Front left and front right: not run yet with the parts fitted. Rear left and rear right: "
      "not run yet with the parts fitted.");
  ASSERT_EQ(p.front().expected.size(), 1U);  // the right side is the left one's mirror image
  const auto& e = p.front().expected[0];
  ASSERT_EQ(e.predicted.size(), 9U);
  EXPECT_EQ(e.predicted[4].travel_mm, 0.0);
  EXPECT_EQ(e.predicted[4].rad, 0.0);
  EXPECT_GT(e.predicted[8].sigma_rad, e.predicted[5].sigma_rad);
  EXPECT_GT(e.fails_slope, 0.0);
  // A run that is off by no more than that on a straight line just fails.
  auto run = blank_run(AxleName::front, Side::left);
  const auto& fit = p.front().to_fit->fit;
  run.with = f.chosen({{"ball-joint spacer", fit.part[0].left.size_mm},
                       {"rod-end stack", fit.part[1].left.size_mm}});
  read_exactly(run, f.car, f.wishes, *run.with);
  for (const double share : {0.99, 1.01}) {
    auto tilted = run;
    for (auto& row : tilted.rows)
      row.rear_mm += share * e.fails_slope * row.travel_mm * run.base_mm;
    Survey survey;
    survey.after = {tilted};
    EXPECT_EQ(judge_runs(f.adjusted, survey, f.wishes).runs[0].holds(), share < 1.0);
  }
  EXPECT_NE(p.words().find("How to take the run: springs out"), std::string::npos);
  EXPECT_NE(p.words().find("A third dial 150 to 250"), std::string::npos);
}

TEST(Proving, WithoutAnythingToFitThereIsNothingToProve) {
  FromFile f(strut_text);
  const Proved p(f, {});
  EXPECT_FALSE(p.proving.axle[0]);
  EXPECT_EQ(p.section.answer, "There is nothing to prove: no part is to be fitted.");
}

// Left toes out and right toes in: a rack that stands tilted, or an arm that is bent.
TEST(Proving, OppositeSlopesAreSaid) {
  FromFile f(demo_text("pip.toml"));
  auto left = run_with(f, 25.0, 20.0, 20.0), right = left;
  right.side = Side::right;
  right.name = "right";
  for (auto& row : right.rows) row.rear_mm = -row.rear_mm;
  const Proved p(f, {left, right});
  EXPECT_TRUE(p.front().slopes_opposite);
  EXPECT_NE(p.words().find("slopes are opposite"), std::string::npos);
}

}  // namespace
}  // namespace trammel::testing
