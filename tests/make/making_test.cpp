// The step make on the invented demo car, its file with mistakes in it, and the loads it is judged
// by.

#include "make/making.h"

#include <cmath>

#include "cars.h"
#include "make/part_drawings.h"
#include "make/tell.h"
#include "sheet/text.h"

namespace trammel::testing {
namespace {

struct MadeCar {
  explicit MadeCar(const std::string& text) {
    document = *parse(text).value;
    car = *read_car(document).value;
    wishes = read_wishes(document, car);
    workshop = read_workshop(document, car, wishes);
    stands = *ride(car, nullptr).value;
    correction = correct(stands, {}, wishes);
    making = make(stands, correction, wishes, workshop);
  }
  Document document;
  Car car;
  Wishes wishes;
  Workshop workshop;
  Ride stands;
  Correction correction;
  Making making;
};

std::string replaced(std::string text, const std::string& old, const std::string& with) {
  const auto at = text.find(old);
  EXPECT_NE(at, std::string::npos) << old;
  return text.replace(at, old.size(), with);
}

const PartForce& force_of(const AxleForces& a, const std::string& part) {
  for (const auto& p : a.parts)
    if (p.part == part) return p;
  ADD_FAILURE() << part;
  static const PartForce none{};
  return none;
}

// Common practice for a car of 1,060 kg: toe link 4 kN in work after scatter, ball joint 10 kN,
// steering rod 4 kN and up to 8 against a kerb. The figures here shift each axle's weight by its
// own mass, which is on the safe side.
TEST(Making, ForcesAreOfTheSizeThatTheTradeCountsWith) {
  const MadeCar m(demo_text("pip.toml"));
  const auto& rear = *m.making.axle[1];
  const double toe = std::fabs(force_of(rear, "rod 'toe'").worst_value());
  EXPECT_GT(toe, 3500.0);
  EXPECT_LT(toe, 6500.0);
  EXPECT_EQ(rear.loads.cases[force_of(rear, "rod 'toe'").worst].name,
            "cornering, outside, tyre trail");
  const auto& front = *m.making.axle[0];
  const double ball = force_of(front, "arm 'lower', ball joint").worst_value();
  EXPECT_GT(ball, 8000.0);
  EXPECT_LT(ball, 13000.0);
  EXPECT_EQ(front.loads.cases[force_of(front, "rod 'steering'").worst].name, "parking");
}

// Every drawing can be made, and the part's hole is where `correct` wants it.
TEST(Making, PartsAreThoseOfTheSetThatIsFitted) {
  const MadeCar m(demo_text("pip.toml"));
  ASSERT_EQ(m.making.parts.size(), 4U);
  const auto* set = m.correction.axle[1]->to_fit();
  ASSERT_TRUE(set);
  for (const auto& p : m.making.parts) {
    SCOPED_TRACE(p.option->name);
    const auto drawing = part_drawing(p, true);
    if (!p.nothing.empty()) {
      EXPECT_FALSE(drawing.value);
      continue;
    }
    ASSERT_TRUE(drawing.value) << drawing.why;
    EXPECT_TRUE(drawing.value->demo);
    EXPECT_FALSE(inspection_of(p).empty());
    if (!p.plate) continue;
    EXPECT_TRUE(p.plate->why.empty()) << p.plate->why;
    const auto& choices = m.correction.axle[1]->ranking.shelf.choices;
    for (std::size_t i = 0; i < choices.size(); ++i)
      if (choices[i].option == p.option) {
        EXPECT_NEAR(p.hole_mm[0], set->fit.by_mm[i].y, 1e-9);
        EXPECT_NEAR(p.hole_mm[1], set->fit.by_mm[i].z, 1e-9);
      }
    // In the view, y to the left: the new hole lies so far from the fixings.
    const auto& holes = drawing.value->views[0].holes;
    ASSERT_EQ(holes.size(), 3U);
    EXPECT_NEAR(holes[0].centre.x - holes[1].centre.x, -(p.hole_mm[0] + 24), 1e-9);
    EXPECT_NEAR(holes[0].centre.y - holes[1].centre.y, p.hole_mm[1] - 14, 1e-9);
  }
}

// The stacks worked by hand in bolt_joint_test with the file's words: the disc of 25 in the bolts'
// stack asks for 60, the old 30 is short; in a tapped knuckle 50 (see bolt_joint_test for the
// sums).
TEST(Making, BoltsGoThroughWhatIsFitted) {
  auto text = replaced(demo_text("pip.toml"), "sizes = [0, 10, 15, 20, 25, 30]", "sizes = [25]");
  const MadeCar m(text);
  const auto& b = m.making.bolts[0];
  ASSERT_TRUE(b.next.take) << b.next.why;
  EXPECT_EQ(b.next.take->length_mm, 60.0);
  ASSERT_TRUE(b.now);
  EXPECT_FALSE(b.now->passes);
  text = replaced(text, "nut_washer = 2\nnut      = 10\n",
                  "head_washer = 2\ntapped = { material = \"EN-GJS-400-15\", depth = 30 }\n");
  text = replaced(text,
                  "layers   = [{ of = \"upright's ear\", thickness = 8 }, { option = "
                  "\"ball-joint spacer\" }, { of = \"joint's flange\", thickness = 7 }]",
                  "layers   = [{ of = \"joint's flange\", thickness = 7 }, { option = "
                  "\"ball-joint spacer\" }]");
  const MadeCar tapped(text);
  ASSERT_TRUE(tapped.making.bolts[0].next.take) << tapped.making.bolts[0].next.why;
  EXPECT_EQ(tapped.making.bolts[0].next.take->length_mm, 50.0);
}

// The tall single-shear stack opens its face under the parking force (common practice's sum), and
// the answer says so; a short one does not.
TEST(Making, ATallStackIsRefused) {
  const MadeCar m(demo_text("pip.toml"));
  const auto& e = m.making.rod_ends[0];
  ASSERT_TRUE(e.single);
  EXPECT_NEAR(e.single->moment_nmm, e.worst_n * (e.stack_mm + 8.0), 1.0);
  const auto s = tell(m.making, true, Units::metric);
  EXPECT_EQ(s.name, "Make");
  EXPECT_EQ(s.answer.find("front.rod.steering.upright") == std::string::npos,
            e.single->stays_closed)
      << s.answer;
}

// What cannot be drawn is not said to serve: bolt holes that run into the bore.
TEST(Making, APartThatCannotBeMadeDoesNotServe) {
  const MadeCar m(replaced(demo_text("pip.toml"), "circle = 56", "circle = 38"));
  const auto s = tell(m.making, true, Units::metric);
  EXPECT_NE(s.answer.find("ball-joint spacer"), std::string::npos) << s.answer;
}

// The tilt asked of a rod end whose bolt stands upright is the largest joint angle that travel
// tells over the same grid; one whose bolt lies along the rod's swing is asked next to nothing.
TEST(Making, TiltIsAskedByTheMechanism) {
  const MadeCar m(demo_text("pip.toml"));
  const auto& front = m.making.rod_ends[0];
  EXPECT_GT(front.asked_rad, 0.1);
  EXPECT_LT(front.asked_rad, 0.4);
  EXPECT_NEAR(*front.limit_rad, std::asin(16 / 22.2) - std::asin(12 / 22.2), 1e-12);
  EXPECT_LT(m.making.rod_ends[1].asked_rad, 0.05);
}

TEST(LoadCases, TheOwnersFiguresTakeTheUsualOnesPlace) {
  const auto text = demo_text("pip.toml");
  const auto cases = [&](const std::string& more) {
    const auto document = *parse(text + more).value;
    const auto car = *read_car(document).value;
    const auto workshop = read_workshop(document, car, read_wishes(document, car));
    return load_cases(car, AxleName::rear, workshop.loads);
  };
  const auto named = [](const LoadCases& l, const std::string& name) {
    for (const auto& c : l.cases)
      if (c.name == name) return std::optional<LoadCase>(c);
    return std::optional<LoadCase>();
  };
  const auto usual = cases("");
  // Static load of the heavier rear wheel, 216 kg, three times over a bump.
  EXPECT_NEAR(named(usual, "bump")->load.at_contact_n.z, 3 * 216 * 9.80665, 0.1);
  // Round a bend the push is 1.1 of what stands on the tyre.
  const auto bend = *named(usual, "cornering, outside");
  EXPECT_NEAR(bend.load.at_contact_n.y, -1.1 * bend.load.at_contact_n.z, 1e-6);
  EXPECT_EQ(bend.shock, 2.0);
  const auto mine = cases(
      "[[load]]\nname = \"bump\"\ng = 4\nshock = 1.5\n"
      "[[load]]\nname = \"landing\"\naxle = \"rear\"\nup = \"9 kN\"\nshock = 1.2\n"
      "[[load]]\nname = \"front alone\"\naxle = \"front\"\nup = \"9 kN\"\n");
  EXPECT_NEAR(named(mine, "bump")->load.at_contact_n.z, 4 * 216 * 9.80665, 0.1);
  EXPECT_EQ(named(mine, "bump")->shock, 1.5);
  EXPECT_NEAR(named(mine, "landing")->load.at_contact_n.z, 9000.0, 1e-9);
  EXPECT_FALSE(named(mine, "front alone"));
  EXPECT_FALSE(named(usual, "parking"));
}

// Every load that a file may change by its name is one of the cases, on one axle or the other.
TEST(LoadCases, EveryUsualNameIsACase) {
  const auto document = *parse(demo_text("pip.toml")).value;
  const auto car = *read_car(document).value;
  std::string all;
  for (const AxleName axle : {AxleName::front, AxleName::rear})
    for (const auto& c : load_cases(car, axle, {}).cases) all += "|" + c.name;
  for (const auto& name : usual_loads())
    EXPECT_NE((all + "|").find("|" + name), std::string::npos) << name << " of " << all;
}

// Without weights nothing pushes up: said, with what to weigh; the owner's own load still counts.
TEST(LoadCases, WithoutWeightsItSaysWhatToWeigh) {
  auto text = demo_text("pip.toml");
  const auto at = text.find("corner_weights");
  text.erase(at, text.find('\n', at) - at);
  const MadeCar m(text);
  const auto& a = *m.making.axle[1];
  EXPECT_TRUE(a.loads.cases.empty());
  ASSERT_FALSE(a.loads.wanting.empty());
  EXPECT_NE(a.loads.wanting[0].find("corner_weights"), std::string::npos);
  const auto told = as_text(tell(m.making, true, Units::metric));
  EXPECT_NE(told.find("corner_weights"), std::string::npos) << told;
  const MadeCar own(text + "[[load]]\nname = \"mine\"\noutboard = \"-3 kN\"\nup = \"4 kN\"\n");
  EXPECT_EQ(own.making.axle[1]->loads.cases.size(), 1U);
  EXPECT_GT(std::fabs(force_of(*own.making.axle[1], "rod 'lateral'").worst_value()), 1000.0);
}

struct Mistake {
  const char *old, *with, *said;
};
class MakeMistakes : public ::testing::TestWithParam<Mistake> {};

TEST_P(MakeMistakes, AreNamedWithTheirLineAndWhatWasExpected) {
  const auto& m = GetParam();
  const auto text = replaced(demo_text("pip.toml"), m.old, m.with);
  const auto faults = faults_of(text);
  EXPECT_NE(faults.find(m.said), std::string::npos) << faults;
  // The line is the mistake's own, or the head of its table where a key is missing.
  const auto from = text.find(m.with), head = text.rfind("[[", from + 2);
  const auto line_at = [&](std::size_t place) {
    return 1 + std::count(text.begin(), text.begin() + static_cast<long>(place), '\n');
  };
  const long line = std::stol(faults);
  EXPECT_TRUE(line == line_at(head) ||
              (line >= line_at(from) && line <= line_at(from + std::string(m.with).size())))
      << line << " for " << line_at(from) << "\n"
      << faults;
}

INSTANTIATE_TEST_SUITE_P(
    Pip, MakeMistakes,
    ::testing::Values(
        Mistake{"outside  = 74", "outside  = -74", "outside"},
        Mistake{"bore     = 30", "bore     = 80", "leaves no wall"},
        Mistake{"kind     = \"disc\"", "kind     = \"ring\"", "expected disc, sleeve"},
        Mistake{"kind     = \"disc\"", "kind     = \"bolted plate\"", "'fixings' is missing"},
        Mistake{"material = \"C45\"", "material = \"chocolate\"", "chocolate"},
        Mistake{"fit = \"H7/g6\"", "fit = \"H7/q6\"", "q6"},
        Mistake{"option   = \"toe-link bracket\"", "option   = \"toe-link braket\"",
                "did you mean 'toe-link bracket'"},
        Mistake{"fixings  = [[-24, 14], [24, 14]]", "fixings  = [[24, 14], [24, 14]]",
                "two holes in one place"},
        Mistake{"fixings  = [[-24, 14], [24, 14]]", "fixings  = [[24], [24, 14]]",
                "expected two lengths"},
        Mistake{"fixings  = [[-24, 14], [24, 14]]", "fixings  = [[24, 14]]", "too few places"},
        Mistake{"fixings  = [[-24, 14], [24, 14]]", "fixings  = []", "too few places"},
        Mistake{"outside  = 24\nbolt     = \"M12x1.75\"", "outside  = 24\nclass    = \"10.9\"",
                "is that of no bolt"},
        Mistake{"nut_washer = 2\n", "tapped = { material = \"C45\", depth = 20 }\nnut_washer = 2\n",
                "does not go with a tapped hole"},
        Mistake{"[[rod_end]]\njoint    = \"rear",
                "[[load]]\nname = \"kerb\"\noutboard = \"-20 kN\"\n"
                "[[rod_end]]\njoint    = \"rear",
                "worked out from the car's weights"},
        Mistake{"[[rod_end]]\njoint    = \"rear",
                "[[load]]\nname = \"parking\"\ng = 2\n"
                "[[rod_end]]\njoint    = \"rear",
                "says nothing of parking"},
        Mistake{"stock    = [5, 6, 8, 10]", "stock    = [-5, 6]", "above zero"},
        Mistake{"bolt     = \"M10x1.25\"", "bolt     = \"M10x1.3\"", "M10"},
        Mistake{"class    = \"10.9\"", "class    = \"5.6\"", "5.6"},
        Mistake{"length   = 30 ", "length   = -30 ", "length"},
        Mistake{"thickness = 8 }", "thickness = \"8 kg\" }", "8 kg"},
        Mistake{"{ option = \"ball-joint spacer\" }", "{ option = \"toe-link bracket\" }",
                "has no thickness of its own"},
        Mistake{"joint    = \"front.arm.lower.upright\"", "joint    = \"front.arm.lower.uprigt\"",
                "did you mean"},
        Mistake{"housing_width = 12", "housing_width = 17", "no narrower"},
        Mistake{"sphere   = 22.2", "sphere   = 12", "no larger than the ball"},
        Mistake{"spacer   = 24", "spacer   = 10", "does not go over its bolt"}));

}  // namespace
}  // namespace trammel::testing
