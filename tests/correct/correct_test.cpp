// The main job on the invented cars, against figures of an independent solver that anybody can run
// (tests/reference/corner_by_itself.py CAR.toml front --lowered MM --part JOINT=0,0,-MM), and on
// linkages whose answer is exact.

#include "correct/correct.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <numbers>

#include "base/quantity.h"
#include "cars.h"
#include "correct/optimise.h"
#include "correct/reasons.h"
#include "travel/reasons.h"

namespace trammel::testing {
namespace {

// Printed to so many digits; the solver's own slopes are differences over 0.1 mm.
constexpr double figure_mm = 1e-3, figure_slope = 1e-4, figure_deg = 1e-3;

struct Asked {
  Document document;
  Car car;
  Wishes wishes;
  Ride ride;
};
Asked asked(const std::string& text, const char* state = nullptr) {
  Asked a;
  a.document = *parse(text).value;
  a.car = car_of(text);
  a.wishes = read_wishes(a.document, a.car);
  const auto r = ride(a.car, state ? a.car.state(state) : nullptr);
  EXPECT_TRUE(r.value) << words(r.why, Units::metric);
  a.ride = *r.value;
  return a;
}

std::string changed(std::string text, const std::string& from, const std::string& to) {
  const auto place = text.find(from);
  EXPECT_NE(place, std::string::npos) << from;
  return text.replace(place, from.size(), to);
}

// The hatch as built, lowered by its state, with parts to fit.
std::string lowered_hatch(const std::string& options) {
  return demo_text("pip-as-built.toml") +
         "[front.adjust]\ntoe = { rod = \"steering\", pitch = 1.5 }\n"
         "[rear.adjust]\ntoe = { rod = \"toe\", pitch = 1.25, ends = 2 }\n" +
         options;
}
const std::string front_options =
    "[[option]]\nname = \"disc\"\njoint = \"front.arm.lower.upright\"\nalong = [0, 0, -1]\n"
    "sizes = [0, 10, 15, 20, 25, 30, 40]\n"
    "[[option]]\nname = \"stack\"\njoint = \"front.rod.steering.upright\"\nalong = [0, 0, -1]\n"
    "stack = [2.5, 5, 10, 15, 20]\n";
const std::string rear_options =
    "[[option]]\nname = \"disc\"\njoint = \"rear.rod.lateral.upright\"\nalong = [0, 0, -1]\n"
    "sizes = [0, 15]\n"
    "[[option]]\nname = \"tab\"\njoint = \"rear.rod.toe.upright\"\nalong = [0, 0, -1]\n"
    "sizes = [0, 15, 17]\n";

Ranking ranked(const Asked& a, AxleName axle) {
  auto r = rank(a.ride, {}, axle, a.wishes);
  EXPECT_TRUE(r.value) << words(r.why, Units::metric);
  return std::move(*r.value);
}
const Candidate& with(const Ranking& r, const std::vector<double>& sizes) {
  Fit fit = nothing_fitted(r.shelf);
  for (std::size_t i = 0; i < sizes.size(); ++i) set_size(fit, i, sizes[i]);
  for (const auto& c : r.candidates)
    if (c.fit == fit) return c;
  ADD_FAILURE() << "no such combination";
  return r.candidates.front();
}

// Straight down as the car sits: a part's direction is that of the car as measured.
TEST(Hatch, ASpacerAloneIsWorseThanNothing) {
  const auto a = asked(demo_text("pip.toml"));
  const auto r = ranked(a, AxleName::front);
  EXPECT_NEAR(r.before.roll_centre_height_mm, -8.0184, figure_mm);
  EXPECT_NEAR(r.before.wheel.left.bump_steer * 25 / degree_rad, -0.21732, figure_slope);
  const auto& alone = with(r, {25, 0});
  EXPECT_NEAR(alone.figures->roll_centre_height_mm, 40.8769, figure_mm);
  EXPECT_NEAR(alone.figures->wheel.left.bump_steer * 25 / degree_rad, -0.77603, figure_slope);
  EXPECT_GT(alone.figures->wheel.left.toe_change_max_rad,
            2.5 * r.before.wheel.left.toe_change_max_rad);
  EXPECT_NEAR(alone.figures->wheel.left.toe_change_max_rad / degree_rad, 1.3909,
              figure_deg);  // at +40 of -30 to +40
  ASSERT_TRUE(alone.stop);
  EXPECT_EQ(alone.stop->rod, "steering");
  EXPECT_FALSE(alone.stop->side);
  EXPECT_EQ(alone.stop->toe_change_rad, alone.figures->wheel.left.toe_change_max_rad);
  const auto& both = with(r, {25, 27.5});
  EXPECT_NEAR(both.figures->roll_centre_height_mm, 45.2771, figure_mm);
  EXPECT_NEAR(both.figures->wheel.left.bump_steer * 25 / degree_rad, -0.02080, figure_slope);
  EXPECT_NEAR(both.figures->wheel.left.camber_rad / degree_rad, -1.1141, figure_deg);
  EXPECT_NEAR(*both.figures->wheel.left.steering_axis_inclination_rad / degree_rad, 13.0242,
              figure_deg);
  EXPECT_NEAR(*both.figures->wheel.left.caster_rad / degree_rad, 2.9247, figure_deg);
  EXPECT_NEAR(*both.figures->wheel.left.scrub_radius_mm, 15.7839, figure_mm);
  EXPECT_NEAR(both.figures->wheel.left.toe_change_max_rad / degree_rad, 0.1613,
              figure_deg);  // at +40
  EXPECT_FALSE(both.stop);
}

// For each disc the stack with the smallest slope: 7.5 mm without any, and less than one for one.
TEST(Hatch, TheMatchingRodDropIsNotOneToOne) {
  const auto a = asked(lowered_hatch(front_options), "lowered");
  const auto r = ranked(a, AxleName::front);
  const std::pair<double, double> matching[] = {{0, 7.5},   {10, 15},   {15, 20}, {20, 25},
                                                {25, 27.5}, {30, 32.5}, {40, 40}};
  for (const auto& [disc, stack] : matching) {
    const Candidate* best = nullptr;
    for (const auto& c : r.candidates)
      if (c.fit.part[0].left.size_mm == disc &&
          (!best || std::fabs(c.figures->wheel.left.bump_steer) <
                        std::fabs(best->figures->wheel.left.bump_steer)))
        best = &c;
    EXPECT_EQ(best->fit.part[1].left.size_mm, stack) << disc;
  }
}

// Of a stack that the rule gives to 0.06 mm: 0.028 degree per 25 mm for each of them.
constexpr double slope_of_rule = 0.06 * 0.028;

TEST(Hatch, TheRuleOfThumbMissesByTheFiguresGiven) {
  // No disc: the rule asks for 13.2 mm and leaves +0.158 degrees per 25 mm; the right answer
  // is 7.5.
  const auto none =
      asked(lowered_hatch(changed(front_options, "[0, 10, 15, 20, 25, 30, 40]", "[0]")), "lowered");
  const auto none_ranked = ranked(none, AxleName::front);
  const auto rule = rule_of_thumb(none.ride, none.wishes, none_ranked, *none_ranked.best());
  ASSERT_TRUE(rule);
  EXPECT_NEAR(rule->move_mm, 13.2, 0.06);
  EXPECT_NEAR(rule->candidate.figures->wheel.left.bump_steer * 25 / degree_rad, 0.1577,
              slope_of_rule);
  // 25 mm: it asks for 35.9 mm and leaves +0.209.
  const auto disc = asked(
      lowered_hatch(changed(front_options, "[0, 10, 15, 20, 25, 30, 40]", "[25]")), "lowered");
  const auto disc_ranked = ranked(disc, AxleName::front);
  const auto with_disc = rule_of_thumb(disc.ride, disc.wishes, disc_ranked, *disc_ranked.best());
  ASSERT_TRUE(with_disc);
  EXPECT_NEAR(with_disc->move_mm, 35.9, 0.06);
  EXPECT_NEAR(with_disc->candidate.figures->wheel.left.bump_steer * 25 / degree_rad, 0.2089,
              slope_of_rule);
}

TEST(Hatch, RearArmAndToeLinkBelongTogether) {
  const auto a = asked(lowered_hatch(rear_options), "lowered");
  const auto r = ranked(a, AxleName::rear);
  EXPECT_NEAR(with(r, {15, 0}).figures->wheel.left.bump_steer * 25 / degree_rad, -0.48487,
              figure_slope);
  EXPECT_NEAR(with(r, {15, 0}).figures->roll_centre_height_mm, 36.1551, figure_mm);
  EXPECT_NEAR(with(r, {15, 17}).figures->wheel.left.bump_steer * 25 / degree_rad, 0.00667,
              figure_slope);
  EXPECT_NEAR(with(r, {15, 17}).figures->roll_centre_height_mm, 47.9293, figure_mm);
  EXPECT_TRUE(with(r, {15, 0}).stop);
}

// 25 mm straight down and 25 mm along the steering axis differ by half a degree of camber.
TEST(Hatch, DirectionMatters) {
  const auto along =
      asked(lowered_hatch("[[option]]\nname = \"disc\"\njoint = \"front.arm.lower.upright\"\n"
                          "along = \"axis\"\nsizes = [25]\n"),
            "lowered");
  const auto r = ranked(along, AxleName::front);
  EXPECT_NEAR(r.candidates[0].figures->wheel.left.camber_rad / degree_rad, -0.5843, figure_deg);
  EXPECT_NEAR(*r.candidates[0].figures->wheel.left.scrub_radius_mm, 8.1759,
              0.01);  // by the direction's digits
}

// A disc between the arm and its joint leaves the ball where it is: refused, in words.
TEST(Hatch, ADiscOnTheWrongSideOfTheJointIsRefused) {
  const auto a =
      asked(lowered_hatch(front_options +
                          "[[option]]\nname = \"wrong disc\"\n"
                          "joint = \"front.arm.lower.upright\"\nalong = [0, 0, -1]\nsizes = [25]\n"
                          "moves = \"member\"\n"),
            "lowered");
  const auto r = ranked(a, AxleName::front);
  ASSERT_EQ(r.shelf.refused.size(), 1U);
  EXPECT_EQ(r.shelf.refused[0].of, Refused::Of::beside_its_joint);
  EXPECT_NE(words(r.shelf.refused[0]).find("corrects nothing"), std::string::npos);
  EXPECT_EQ(r.shelf.choices.size(), 2U);
  const auto only =
      asked(lowered_hatch("[[option]]\nname = \"wrong disc\"\njoint = \"front.arm.lower.upright\"\n"
                          "along = [0, 0, -1]\nsizes = [25]\nmoves = \"member\"\n"),
            "lowered");
  const auto none = rank(only.ride, {}, AxleName::front, only.wishes);
  EXPECT_FALSE(none.value);
  EXPECT_FALSE(none.why.as_it_sits);
  ASSERT_EQ(none.why.refused.size(), 1U);
  EXPECT_EQ(none.why.refused[0].option, "wrong disc");
}

TEST(Hatch, ToeIsResetToWhatIsAskedBeforeAnythingIsJudged) {
  for (const char* toe : {"", "toe = 0.2\n", "toe = [-0.1, 0.0]\n"}) {
    const auto a = asked(
        lowered_hatch(front_options + "[front.target]\nwindow = [-30, 40]\n" + toe), "lowered");
    const double want = std::string(toe).empty() ? 0.0 : toe[6] == '0' ? 0.2 : -0.05;
    for (const auto& c : ranked(a, AxleName::front).candidates) {
      ASSERT_TRUE(c.figures);
      EXPECT_NEAR(c.figures->wheel.left.toe_rad / degree_rad, want, 1e-9) << toe;
    }
  }
}

TEST(Hatch, ToeAndCamberAreResetTogether) {
  const auto a = asked(changed(lowered_hatch(front_options), "[front.adjust]\n",
                               "[front.target]\ncamber = [-1.8, -1.4]\n[front.adjust]\n"
                               "camber = { joint = \"front.strut.top\", along = [0, 1, 0] }\n"),
                       "lowered");
  for (const auto& c : ranked(a, AxleName::front).candidates) {
    EXPECT_NEAR(c.figures->wheel.left.camber_rad / degree_rad, -1.6, 1e-9);
    EXPECT_NEAR(c.figures->wheel.left.toe_rad / degree_rad, 0.0, 1e-9);
  }
}

TEST(Hatch, WithoutAnAdjusterNothingIsReset) {
  const auto a = asked(demo_text("pip-as-built.toml") + front_options, "lowered");
  const auto r = ranked(a, AxleName::front);
  EXPECT_FALSE(r.toe_is_reset);
  EXPECT_EQ(with(r, {25, 0}).toe_rod_mm.left, 0.0);
  EXPECT_GT(std::fabs(with(r, {25, 0}).figures->wheel.left.toe_rad), 1e-4);
}

// The spring stands on the lower arm: 15 mm under that joint drops the body by about as much, and
// more than half of the gain is lost meanwhile.
TEST(Roadster, HeightIsLostWhereTheSpringStandsOnTheArm) {
  const auto a = asked(demo_text("nibbet.toml") +
                       "[[option]]\nname = \"disc\"\njoint = \"front.arm.lower.upright\"\n"
                       "along = [0, 0, -1]\nsizes = [0, 15]\n");
  const auto r = ranked(a, AxleName::front);
  const auto& c = with(r, {0, 15});
  ASSERT_TRUE(c.height);
  // Arms that slope by up to 12 degrees and a leaning axis turn some hundredths of it sideways.
  EXPECT_NEAR(c.height->body_mm.left, 15.0, 0.05 * 15.0);
  const double gain = c.figures->roll_centre_height_mm - r.before.roll_centre_height_mm;
  EXPECT_LT(c.height->roll_centre_height_mm - r.before.roll_centre_height_mm, 0.5 * gain);
  EXPECT_NEAR(*c.height->perch_turns.left, c.height->perch_mm.left / 1.5, 1e-12);
  // On the hatch the spring stands on the strut: nothing to say.
  const auto hatch = asked(demo_text("pip.toml"));
  EXPECT_FALSE(with(ranked(hatch, AxleName::front), {25, 27.5}).height);
}

// Any arms, and a rod that is an exact copy of one of them slid along x, steer nothing at any
// travel. The rod's outer joint is put elsewhere; from any start the search brings it back to the
// exact place.
RC_GTEST_PROP(Exact, TheSearchFindsTheZeroBumpSteerPlace, ()) {
  const double y = 0.1 * *rc::gen::inRange(-80, 81), z = 0.1 * *rc::gen::inRange(-180, 181);
  const auto at = [](double value) { return std::to_string(value); };
  const auto a = asked(
      "trammel = 1\n[front.wheel]\ncentre = [0, 750, 300]\n[front.arm.lower]\nbody_front = [100, "
      "350, 240]\n"
      "body_rear = [-100, 350, 240]\nupright = [0, 700, 220]\n[front.arm.upper]\nbody_front = "
      "[100, 420, 470]\n"
      "body_rear = [-100, 420, 470]\nupright = [0, 660, 500]\n[front.rod.steering]\nbody = [-130, "
      "350, 240]\n"
      "upright = [-130, " +
      at(700 + y) + ", " + at(220 + z) +
      "]\nsteered = true\n"
      "[front.adjust]\ntoe = { rod = \"steering\" }\n[front.target]\nwindow = [-60, 60]\n"
      "[[option]]\nname = \"end\"\njoint = \"front.rod.steering.upright\"\nrange = { y = [-20, "
      "20], z = [-25, 25] }\n");
  const auto r = rank(a.ride, {}, AxleName::front, a.wishes);
  RC_ASSERT(r.value.has_value());
  const auto* best = r.value->best();
  RC_ASSERT(best != nullptr);
  RC_ASSERT(best->figures->wheel.left.toe_change_max_rad / degree_rad < 1e-5);
  RC_ASSERT(std::fabs(best->fit.part[0].left.by_mm.y + y) < 2e-2);
  RC_ASSERT(std::fabs(best->fit.part[0].left.by_mm.z + z) < 2e-2);
}

TEST(Bracket, TheBestIsNeverWorseThanAFineGridsBest) {
  const auto a = asked(demo_text("pip.toml"));
  const auto r = ranked(a, AxleName::rear);
  const SetJudge judge(a.ride, AxleName::rear, a.wishes);
  const auto* best = r.best();
  Fit fit = best->fit;
  double grid = 1e9;
  for (int y = -10; y <= 10; ++y)
    for (int z = -80; z <= 0; ++z) {
      set_place(fit, 1, {0, 0.5 * y, 0.5 * z});
      grid = std::min(grid, judge.merit(r.shelf, fit));
    }
  EXPECT_LE(judge.merit(r.shelf, best->fit), grid);
}

TEST(Bracket, TheMapsRoomIsWhatHolds) {
  const auto a = asked(demo_text("pip.toml"));
  const auto r = ranked(a, AxleName::rear);
  const auto maps = hole_maps(a.ride, {}, a.wishes, r, *r.best());
  ASSERT_EQ(maps.size(), 1U);
  const auto& map = maps.front();
  EXPECT_FALSE(map.side);  // both sides have the same place
  EXPECT_GT(map.both_ways_mm, 0.5);
  const SetJudge judge(a.ride, AxleName::rear, a.wishes);
  const auto meets = [&](double across, double up) {
    Fit fit = r.best()->fit;
    for (const Side side : each_side) {
      fit.part[map.choice][side].by_mm[map.axes[0]] = across;
      fit.part[map.choice][side].by_mm[map.axes[1]] = up;
    }
    return judge.judge(r.shelf, fit).meets();
  };
  EXPECT_TRUE(meets(map.hole_mm[0], map.holds_mm[1][0] + 0.01));
  EXPECT_FALSE(meets(map.hole_mm[0], map.holds_mm[1][0] - 0.05));
  EXPECT_TRUE(meets(map.hole_mm[0], map.holds_mm[1][1] - 0.01));
  EXPECT_FALSE(meets(map.hole_mm[0], map.holds_mm[1][1] + 0.05));
}

// More on the shelf never gives a worse best.
RC_GTEST_PROP(Properties, MoreChoiceIsNeverWorse, ()) {
  const auto sizes = *rc::gen::container<std::vector<int>>(3, rc::gen::inRange(0, 40));
  const auto more = *rc::gen::container<std::vector<int>>(3, rc::gen::inRange(0, 40));
  const auto options = [](const std::vector<int>& list) {
    std::string text;
    for (const int s : list) text += (text.empty() ? "" : ", ") + std::to_string(s);
    return "[[option]]\nname = \"disc\"\njoint = \"front.arm.lower.upright\"\nalong = [0, 0, "
           "-1]\nsizes = [0, 20]\n"
           "[[option]]\nname = \"stack\"\njoint = \"front.rod.steering.upright\"\nalong = [0, 0, "
           "-1]\nsizes = [" +
           text + "]\n";
  };
  auto all = sizes;
  all.insert(all.end(), more.begin(), more.end());
  const auto few = asked(lowered_hatch(options(sizes)), "lowered");
  const auto many = asked(lowered_hatch(options(all)), "lowered");
  const auto a = rank(few.ride, {}, AxleName::front, few.wishes),
             b = rank(many.ride, {}, AxleName::front, many.wishes);
  RC_ASSERT(a.value.has_value() && b.value.has_value());
  const auto key = [](const Candidate& c) {
    return std::make_tuple(!c.meets(), c.stop.has_value(), c.share);
  };
  RC_ASSERT(key(*b.value->best()) <= key(*a.value->best()));
}

// A hole is sought in steps down to 1e-4 mm, and 1 mm is 0.03 degrees per 25 mm.
constexpr double same_place_rad = 1e-5 * degree_rad;

// The right side given, point by point, as the mirror image of the left: the same answer.
TEST(Properties, AMirroredCarHasAMirroredAnswer) {
  auto a = asked(demo_text("pip.toml"));
  auto b = a;
  for (const AxleName axle : {AxleName::front, AxleName::rear})
    b.ride.car.at(axle)->right_is_mirrored = false;
  for (const AxleName axle : {AxleName::front, AxleName::rear}) {
    const auto one = ranked(a, axle), two = ranked(b, axle);
    ASSERT_EQ(one.candidates.size(), two.candidates.size());
    for (std::size_t i = 0; i < one.candidates.size(); ++i) {
      EXPECT_NEAR(one.candidates[i].figures->wheel.left.toe_change_max_rad,
                  two.candidates[i].figures->wheel.left.toe_change_max_rad, same_place_rad);
      EXPECT_NEAR(two.candidates[i].toe_rod_mm.left, two.candidates[i].toe_rod_mm.right, 1e-9);
      for (std::size_t k = 0; k < one.candidates[i].fit.part.size(); ++k) {
        const auto &a1 = one.candidates[i].fit.part[k].left,
                   &b1 = two.candidates[i].fit.part[k].left;
        EXPECT_EQ(a1.size_mm, b1.size_mm);
        // A hole is sought in steps down to 1e-4 mm.
        EXPECT_LT(length(a1.by_mm - b1.by_mm), 1e-3);
        EXPECT_TRUE(two.candidates[i].fit.part[k].left == two.candidates[i].fit.part[k].right);
      }
    }
  }
}

TEST(Bounds, AStackOfFortySpacersIsSearchedAndSaid) {
  std::string pieces;
  for (int i = 1; i <= 40; ++i)
    pieces += (i > 1 ? ", " : "") + std::to_string(i * 1.013 + 0.001 * i * i);
  const auto a =
      asked(lowered_hatch("[[option]]\nname = \"stack\"\njoint = \"front.rod.steering.upright\"\n"
                          "along = [0, 0, -1]\nstack = [" +
                          pieces + "]\n"),
            "lowered");
  const auto r = ranked(a, AxleName::front);
  ASSERT_FALSE(r.shelf.left_out.empty());
  EXPECT_LE(r.candidates.size(), 4000U);
  EXPECT_NEAR(r.best()->figures->wheel.left.bump_steer * 25 / degree_rad, 0.0, 0.05);
}

TEST(Bounds, TooManyCombinationsAreThinnedAndSaid) {
  std::string sizes;
  for (int i = 0; i < 200; ++i) sizes += (i ? ", " : "") + std::to_string(0.2 * i);
  const auto a =
      asked(lowered_hatch("[[option]]\nname = \"disc\"\njoint = \"front.arm.lower.upright\"\nalong "
                          "= [0, 0, -1]\nsizes = [" +
                          sizes +
                          "]\n[[option]]\nname = \"stack\"\njoint = "
                          "\"front.rod.steering.upright\"\nalong = [0, 0, -1]\nsizes = [" +
                          sizes + "]\n"),
            "lowered");
  const auto r = ranked(a, AxleName::front);
  ASSERT_FALSE(r.shelf.left_out.empty());
  EXPECT_EQ(r.shelf.left_out[0].of, NotTried::Of::combinations);
  EXPECT_EQ(r.shelf.left_out[0].all, 40000.0);
  EXPECT_EQ(r.shelf.left_out[0].tried, static_cast<double>(r.candidates.size()));
}

// The arm's front leg is 64 mm shorter than its rear one: with its joints on the body 52 mm apart
// there is no ball joint that both reach.
TEST(Bounds, WhatCannotBeIsSaidAndRankedLast) {
  const auto a =
      asked(lowered_hatch("[[option]]\nname = \"plate\"\njoint = \"front.arm.lower.body_front\"\n"
                          "along = [-1, 0, 0]\nsizes = [0, 200]\n"),
            "lowered");
  const auto r = ranked(a, AxleName::front);
  ASSERT_EQ(r.candidates.size(), 2U);
  EXPECT_TRUE(r.candidates[0].figures);
  EXPECT_FALSE(r.candidates[1].figures);
  EXPECT_EQ(r.candidates[1].why.of, NotPossible::Of::no_position);
}

TEST(Bounds, TargetsThatNothingMeetsGiveTheNearestAndItsMisses) {
  const auto a =
      asked(lowered_hatch(front_options + "[front.target]\nroll_centre = [200, 210]\n"), "lowered");
  const auto r = ranked(a, AxleName::front);
  EXPECT_FALSE(r.best()->meets());
  ASSERT_FALSE(r.best()->misses.empty());
  for (const auto& c : r.candidates)
    if (!c.stop) {
      EXPECT_GE(c.share, r.best()->share);
    }
}

TEST(Limits, JointAnglesAndRimRoomAreChecked) {
  const auto text = demo_text("pip.toml");
  const auto fine = ranked(asked(text), AxleName::front);
  EXPECT_TRUE(with(fine, {30, 32.5}).meets());
  const auto tight =
      ranked(asked(changed(text, "upright_limit   = 24", "upright_limit   = 14")), AxleName::front);
  const auto& bent = with(tight, {30, 32.5}).misses.front();
  EXPECT_EQ(bent.of, Miss::Of::joint_angle);
  EXPECT_EQ(bent.joint, "arm.lower.upright");
  EXPECT_NEAR(bent.most, 14.0 * degree_rad, 1e-12);
  EXPECT_GT(bent.is, bent.most - joint_in_hand_rad);
  const auto small =
      ranked(asked(changed(text, "barrel_radius = 166", "barrel_radius = 158")), AxleName::front);
  const auto rim_of = [](const Candidate& c) {
    return std::find_if(c.misses.begin(), c.misses.end(),
                        [](const Miss& m) { return m.of == Miss::Of::rim_room; });
  };
  const auto& lowered = with(small, {30, 32.5});
  const auto rim = rim_of(lowered);
  ASSERT_NE(rim, lowered.misses.end());
  EXPECT_EQ(rim->most, 158.0);
  EXPECT_GT(rim->is + rim->clearance_mm, rim->most);
  EXPECT_TRUE(lowered.at_a_limit);
  const auto& nothing = with(small, {0, 0});
  EXPECT_EQ(rim_of(nothing), nothing.misses.end());
}

TEST(Told, AMissIsInTheUnitsAskedFor) {
  const Miss high{Miss::Of::roll_centre, {}, 50.8, 25.4, 38.1};
  EXPECT_EQ(words(high, Units::metric), "roll centre at 50.8 mm, wanted 25.4 to 38.1 mm");
  EXPECT_EQ(words(high, Units::inch), "roll centre at 2.000 in, wanted 1.000 to 1.500 in");
  const Miss near{Miss::Of::rim_room, Side::right, 152.4, 0.0, 155.0, "arm.lower.upright", 6.35};
  EXPECT_EQ(
      words(near, Units::inch),
      "right: joint arm.lower.upright reaches 6.000 in from the axle and should keep 0.250 in "
      "to the rim, whose barrel is 6.102 in inside");
  const Miss toe{Miss::Of::toe_change, Side::left, 0.2151 * degree_rad, 0.0, 0.12 * degree_rad};
  for (const Units units : {Units::metric, Units::inch})
    EXPECT_EQ(words(toe, units), "left: toe changes by 0.215°, wanted 0.120° at most");
}

TEST(Told, WhatIsNotPossibleOrNotTriedIsInTheUnitsAskedFor) {
  const NotPossible locks{NotPossible::Of::locks, AxleName::front, {-25.4, 31.75}, Side::left};
  EXPECT_EQ(words(locks, Units::metric),
            "left side: with these parts the mechanism locks within -25.4 to 31.75 mm of travel");
  EXPECT_EQ(words(locks, Units::inch),
            "left side: with these parts the mechanism locks within -1.000 to 1.250 in of travel");
  const NotTried tall{NotTried::Of::tall_stacks, "stack", 40, 127.0};
  EXPECT_EQ(words(tall, Units::inch),
            "'stack': 40 pieces make too many stacks; those up to 5.000 in were tried");
}

TEST(Told, TurnsOfAnAdjuster) {
  EXPECT_EQ(turns_words(1.5, 1.5, 1, Units::metric), "1.5 mm longer: 1 turn out");
  EXPECT_EQ(turns_words(-2.0, 1.5, 1, Units::metric), "2.0 mm shorter: 1 turn and 2 flats in");
  EXPECT_EQ(turns_words(2.5, 1.25, 2, Units::metric), "2.5 mm longer: 1 turn out");
  EXPECT_EQ(turns_words(0.01, 1.5, 1, Units::metric), "stays as long as it is");
}

TEST(Told, FrontAndRearAreJudgedTogether) {
  const auto a = asked(demo_text("pip.toml"));
  const auto section = tell(a.ride, correct(a.ride, {}, a.wishes), Units::metric);
  std::string all;
  for (const auto& b : all_blocks(section))
    if (const auto* p = std::get_if<Paragraph>(&b)) all += p->text + "\n";
  EXPECT_NE(all.find("Roll axis, front to rear: from"), std::string::npos);
  EXPECT_NE(all.find("rule of thumb"), std::string::npos);
}

}  // namespace
}  // namespace trammel::testing
