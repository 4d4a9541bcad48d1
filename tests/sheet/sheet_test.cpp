// The sheet as text and HTML: nothing of a car file can break out of its place; what is told once
// is told alike.

#include "sheet/sheet.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "cars.h"
#include "sheet/work.h"
#include "told/html.h"
#include "told/plot_svg.h"
#include "told/text.h"

namespace trammel::testing {
namespace {

struct Sheet {
  explicit Sheet(const std::string& text) {
    auto file = *read_car_file(text).value;
    file.tables.survey = {};
    Worked worked(std::move(file));
    auto built = build_sheet(worked, Units::metric);
    EXPECT_TRUE(built.value) << built.why;
    sections = std::move(*built.value);
  }
  std::vector<Section> sections;
};

TEST(Text, WrapsByWhatIsSeen) {
  Section s{"Wie groß ist der Spalt?", std::string(40, 'a') + " " + std::string(70, 'b'), {}};
  Grid g;
  g.heads = {"", "first", "second"};
  g.units = {"", "mm", "°"};
  g.rows = {{"größe", "1.0", "2.0"}};
  s.blocks.emplace_back(g);
  const auto text = as_text(s, 60);
  EXPECT_NE(text.find("\n  " + std::string(70, 'b')), std::string::npos);
  EXPECT_NE(text.find("größe    1.0     2.0"), std::string::npos) << text;
  // The non-breaking space keeps a number with its unit and comes out as a plain one.
  const auto kept = as_text({"q", "12345678 1\u00a0mm", {}}, 12);
  EXPECT_EQ(kept, "q\n\n  12345678\n  1 mm\n");
}

TEST(Html, NothingOfACarFileBreaksOut) {
  auto text = demo_text("pip.toml");
  const std::string evil = "<script>alert(1)</script>&\\\"'";
  for (const std::string name : {"ball-joint spacer", "Quobben Pip 1.4 (invented)"})
    for (auto at = text.find(name); at != std::string::npos; at = text.find(name, at + evil.size()))
      text.replace(at, name.size(), evil);
  const Sheet sheet(text + "[[job]]\nstep = \"" + evil + "\"\nmark = \"" + evil + "\"\n");
  const auto html = as_html({evil, evil, evil, true}, sheet.sections);
  EXPECT_EQ(html.find("<script"), std::string::npos);
  EXPECT_NE(html.find("&lt;script&gt;"), std::string::npos);
}

std::vector<Step> steps_of(const std::string& text, Units units) {
  auto file = *read_car_file(text).value;
  file.tables.survey = {};
  Worked worked(std::move(file));
  std::vector<Step> steps;
  for (const auto& c :
       order_of_work(worked.car(), worked.correction(), worked.file().tables.jobs, units))
    steps.insert(steps.end(), c.steps.begin(), c.steps.end());
  return steps;
}

// A tick, a torque and two names stay with their step whatever becomes of its words.
TEST(Work, NotesStayWhereSizesUnitsAndWordsChange) {
  const auto noted = [](const std::string& step) {
    return "[[job]]\nstep = \"" + step +
           "\"\ntorque = \"45 N·m\"\ndone_by = \"R.\"\nchecked_by = \"S.\"\n";
  };
  const auto chosen = [](const std::string& spacer) {
    return "[front.chosen]\n\"ball-joint spacer\" = " + spacer + "\n\"rod-end stack\" = 15\n";
  };
  const auto text = demo_text("pip.toml");
  const auto job = noted("fit.front.ball-joint-spacer");
  const auto holds = [](const std::vector<Step>& steps, std::size_t how_many,
                        const std::string& says) {
    std::size_t seen = 0;
    for (const auto& s : steps) {
      if (!s.done) continue;
      ++seen;
      EXPECT_NE(s.what.find(says), std::string::npos) << s.what;
      EXPECT_EQ(s.torque, "45 N·m");
      EXPECT_EQ(s.done_by + s.checked_by, "R.S.");
    }
    EXPECT_EQ(seen, how_many);
  };
  holds(steps_of(text + chosen("20") + job, Units::metric), 1, "20 mm");
  holds(steps_of(text + chosen("15") + job, Units::metric), 1, "15 mm");
  holds(steps_of(text + chosen("20") + job, Units::inch), 1, "in");
  holds(steps_of(text + chosen("{ left = 20, right = 15 }") + job, Units::metric), 2,
        "ball-joint spacer fitted");
  // By hand, the beginning of its words; and what is no step of ours is one of the owner's.
  holds(
      steps_of(text + chosen("20") + noted("front, both sides: ball-joint spacer"), Units::metric),
      1, "20 mm");
  holds(steps_of(text + noted("Coffee"), Units::metric), 1, "Coffee");
}

TEST(Work, EveryStepHasANameOfItsOwn) {
  for (const char* file : {"pip.toml", "nibbet.toml"}) {
    std::set<std::string> ids;
    const auto steps = steps_of(demo_text(file), Units::metric);
    for (const auto& s : steps) EXPECT_TRUE(!s.id.empty() && ids.insert(s.id).second) << s.what;
    EXPECT_GT(ids.size(), 20U);
  }
}

TEST(Html, IsCompleteInItself) {
  const Sheet sheet(demo_text("pip.toml"));
  const auto html = as_html({"Pip", "2026-01-01", "pip.toml", true}, sheet.sections);
  for (const char* fetch : {"src=", "href=", "url(", "@import"})
    EXPECT_EQ(html.find(fetch), std::string::npos) << fetch;
  // Each tag that is opened is closed.
  for (const std::string tag : {"table", "section", "figure", "svg", "div", "p", "tr", "main"}) {
    std::size_t opened = 0, closed = 0;
    for (auto at = html.find("<" + tag); at != std::string::npos;
         at = html.find("<" + tag, at + 1)) {
      const char after = html[at + tag.size() + 1];
      if (after == '>' || after == ' ') ++opened;
    }
    for (auto at = html.find("</" + tag + ">"); at != std::string::npos;
         at = html.find("</" + tag + ">", at + 1))
      ++closed;
    EXPECT_EQ(opened, closed) << tag;
  }
}

TEST(Sheet, HasEveryPartInTheOrderOfTheJob) {
  const Sheet sheet(demo_text("pip.toml"));
  const char* questions[] = {"What do I do now?",
                             "What does the file say?",
                             "Where are the joints, and how sure is that?",
                             "What should I measure next?",
                             "What does the change of height do, and what do the wheels do?",
                             "Which spacers, and how far must the bracket move the joint?",
                             "What exactly do I cut, drill, turn and bolt?",
                             "How will the car sit, ride and roll?",
                             "How long do the rods become, and what do I turn?",
                             "What do I need?",
                             "What do I turn, and by how much?",
                             "Does the car now do what was predicted?",
                             "In which order, and where do I stop?",
                             "What was done to this car, and who answers for it?"};
  ASSERT_EQ(sheet.sections.size(), std::size(questions));
  for (std::size_t i = 0; i < std::size(questions); ++i)
    EXPECT_EQ(sheet.sections[i].question, questions[i]);
  // Three curves to a plot, told apart by line.
  int plots = 0;
  for (const auto& b : all_blocks(sheet.sections[4]))
    if (const auto* p = std::get_if<Plot>(&b)) {
      ++plots;
      ASSERT_EQ(p->series.size(), 3U);
      EXPECT_EQ(p->series[0].stroke, Stroke::thin_dashed);
      EXPECT_EQ(p->series[2].stroke, Stroke::heavy);
      EXPECT_EQ(p->series[2].name, "as corrected");
      // What the ± in the file leave open is drawn round today's line and the corrected one.
      for (const std::size_t k : {1, 2}) {
        ASSERT_EQ(p->series[k].band.size(), p->series[k].points.size());
        for (std::size_t i = 0; i < p->series[k].band.size(); ++i) {
          EXPECT_LE(p->series[k].band[i][1], p->series[k].points[i][1] + 1e-6);
          EXPECT_GE(p->series[k].band[i][2], p->series[k].points[i][1] - 1e-6);
        }
      }
    }
  EXPECT_EQ(plots, 6);
  // The corrected curve of the plot is the curve that was judged best.
  const auto document = *parse(demo_text("pip.toml")).value;
  const auto car = *read_car(document).value;
  const auto stands = *ride(car, nullptr).value;
  const auto wishes = read_wishes(document, car);
  const auto ranking = *rank(stands, {}, AxleName::front, wishes).value;
  const auto fitted_set = fit_words(ranking.shelf, ranking.candidates.front().fit, Units::metric);
  // (By chance the same set is best here as by the share of the tolerance.)
  ASSERT_NE(sheet.sections[5].answer.find(fitted_set), std::string::npos);
  bool found = false;
  for (const auto& b : all_blocks(sheet.sections[4]))
    if (const auto* p = std::get_if<Plot>(&b);
        p && p->title == "Front axle: toe-in of the left wheel") {
      double worst = 0.0;
      for (const auto& point : p->series[2].points)
        if (point[0] >= -30 && point[0] <= 40) worst = std::max(worst, std::fabs(point[1]));
      // Plotted every 3 mm: the end of the window at 40 lies between two points.
      EXPECT_NEAR(worst,
                  in_key_unit(ranking.candidates.front().figures->worse().toe_change_max_rad,
                              Measure::angle),
                  0.01);
      found = true;
    }
  EXPECT_TRUE(found);
}

TEST(Sheet, ACarThatHasNothingToFitStillHasASheet) {
  const Sheet sheet(demo_text("pip-as-built.toml"));
  EXPECT_EQ(sheet.sections.size(), 11U);
  EXPECT_NE(sheet.sections[5].answer.find("no option moves a joint"), std::string::npos);
}

TEST(Plot, LeavesOutWhatIsNoNumber) {
  Plot p{"t", "x", "mm", "y", "°", {{"s", Stroke::plain, {{0, 0}, {1, std::nan("")}, {2, 1}}, {}}},
         {}};
  const auto svg = plot_svg(p);
  EXPECT_EQ(svg.find("nan"), std::string::npos);
  EXPECT_NE(plot_svg({"empty", "x", "", "y", "", {}, {}}).find("</svg>"), std::string::npos);
}

}  // namespace
}  // namespace trammel::testing
