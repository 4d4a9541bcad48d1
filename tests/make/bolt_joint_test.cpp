// Worked stacks: a ball joint bolted to the ear of a knuckle with a disc between (plain arithmetic
// from the stated thicknesses, common practice for what is wanted).

#include "make/bolt_joint.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "make/bought.h"
#include "make/reasons.h"

namespace trammel {
namespace {

constexpr double same_mm = 1e-9;

// Head on the ear's side, nut on the flange's.
BoltJoint ball_joint(double disc_mm) {
  BoltJoint j;
  j.thread = thread("M10x1.25");
  j.layers = {{"ear", 8}, {"flange", 7}};
  if (disc_mm > 0) j.layers.insert(j.layers.begin() + 1, Layer{"disc", disc_mm});
  j.nut_washer_mm = 2;
  j.nut_height_mm = 10;
  return j;
}
BoltJoint knuckle(double depth_mm) {
  BoltJoint j;
  j.thread = thread("M10x1.25");
  j.layers = {{"flange", 7}, {"disc", 25}};
  j.head_washer_mm = 2;
  j.tapped = Tapped{material("cast iron"), depth_mm};
  return j;
}

Judged judged(const BoltJoint& j, double length_mm) {
  const auto v = judge(j, length_mm);
  if (!v.value) ADD_FAILURE() << words(v.why, Units::metric);
  return v.value.value_or(Judged{});
}
NextLength next(const BoltJoint& j) {
  const auto n = next_length(j);
  if (!n.value) ADD_FAILURE() << words(n.why, Units::metric);
  return n.value.value_or(NextLength{});
}
JointTest of(const Judged& v, JointQuestion q) {
  for (const auto& t : v.tests)
    if (t.question == q) return t;
  ADD_FAILURE() << "not asked";
  return {};
}
const WayOut* way(const NextLength& n, WayOutKind kind) {
  for (const auto& w : n.ways_out)
    if (w.kind == kind) return &w;
  return nullptr;
}
// In millimetres.
std::string said(const BoltJoint& j, const Judged& v, JointQuestion q) {
  return words(j, v, of(v, q), Units::metric);
}
std::string said(const BoltJoint& j, const NextLength& n) { return words(j, n, Units::metric); }
std::string why(const BoltJoint& j, const NextLength& n) { return why_words(j, n, Units::metric); }
bool says(const std::string& text, std::string_view what) {
  return text.find(what) != std::string::npos;
}

// ISO 888, ISO 4014: b for l up to 125.
TEST(BoltJoint, ThreadLength) {
  const struct {
    const char* name;
    double b;
  } rows[] = {{"M6", 18}, {"M8", 22}, {"M10", 26}, {"M12", 30}, {"M14", 34}, {"M16", 38}};
  for (const auto& r : rows) EXPECT_EQ(thread_length_mm(thread(r.name), {100}), r.b) << r.name;
  EXPECT_EQ(thread_length_mm(thread("M16"), {130}), 44);
  EXPECT_EQ(thread_length_mm(thread("M16"), {201}), 57);
  EXPECT_EQ(thread_length_mm(thread("M10"), {60, BoltForm::full_thread}), 60);
  EXPECT_NEAR(thread_length_mm(thread("3/8-24"), {76.2}), 25.4, same_mm);  // ASME B18.2.1: 1 in
}

// Ranges of ISO 4014 and ISO 4017, lengths of ISO 888.
TEST(BoltJoint, StandardBolts) {
  const auto m10 = standard_bolts(thread("M10x1.25"));
  const auto has = [&](double l, BoltForm form) {
    return std::count(m10.begin(), m10.end(), Bolt{l, form}) == 1;
  };
  EXPECT_EQ(m10.front(), (Bolt{20, BoltForm::full_thread}));
  EXPECT_EQ(m10.back().length_mm, 100);
  EXPECT_FALSE(has(40, BoltForm::part_thread));
  EXPECT_TRUE(has(45, BoltForm::part_thread));
  EXPECT_TRUE(has(60, BoltForm::part_thread));
  EXPECT_TRUE(has(60, BoltForm::full_thread));
  EXPECT_FALSE(has(75, BoltForm::part_thread));  // 70, then 80
  EXPECT_FALSE(has(62, BoltForm::full_thread));
  for (const auto& t : usual_threads()) {
    const auto all = standard_bolts(t);
    ASSERT_FALSE(all.empty()) << t.name;
    EXPECT_TRUE(std::is_sorted(all.begin(), all.end(), [](const Bolt& a, const Bolt& b) {
      return a.length_mm < b.length_mm;
    })) << t.name;
    EXPECT_GT(usual_nut_height_mm(t), 0.7 * t.diameter_mm) << t.name;
    EXPECT_LT(usual_nut_height_mm(t), 1.0 * t.diameter_mm) << t.name;
  }
}

// ISO 4014: of a bolt M10x1.25 × 65 the thread begins at lg = 39 at the latest, and the shank is
// sure to be plain over ls = lg - 5 P = 32.75 only.
TEST(BoltJoint, AShankIsAsLongAsTheStandardMakesSureOf) {
  auto j = ball_joint(25);
  EXPECT_NEAR(judged(j, 65).shank_mm, 39, same_mm);
  EXPECT_NEAR(judged(j, 65).plain_mm, 32.75, same_mm);
  // Head on the ear: the plane at 33 is a quarter beyond it. From the other side it is at 32.
  EXPECT_FALSE(of(judged(j, 65), JointQuestion::shank_in_shear).passes);
  EXPECT_TRUE(says(said(j, judged(j, 65), JointQuestion::shank_in_shear), "32.75"));
  std::reverse(j.layers.begin(), j.layers.end());
  EXPECT_TRUE(judged(j, 65).passes);
  const auto n = next(j);
  ASSERT_TRUE(n.take);
  EXPECT_EQ(*n.take, (Bolt{65, BoltForm::part_thread}));
  EXPECT_TRUE(n.passes);
  EXPECT_EQ(n.why, NextLength::Why::passes);
  EXPECT_TRUE(n.ways_out.empty());
  EXPECT_TRUE(
      says(said(j, n), "65: 13 mm beyond the nut, plain shank 32.75 mm, last shear plane at 32"))
      << said(j, n);
  // ASME B18.2.1: a bolt of grade 8, 1/2-13 × 4 in, has a body of 2.365 in at least: 4 - 1.25 -
  // 0.385, the transition being five pitches (from memory).
  BoltJoint inch;
  inch.thread = thread("1/2-13");
  inch.bolt_class = BoltClass::grade_8;
  inch.layers = {{"ear", 50}, {"flange", 20}};
  EXPECT_NEAR(judged(inch, 4 * 25.4).plain_mm / 25.4, 2.365, 5e-4);
}

// With the disc between, head on the ear: 55 has too little shank whatever it measures; 60 serves
// where 33 mm of it measure plain.
TEST(BoltJoint, SixtyWithTheDiscWhereItsShankIsMeasured) {
  auto j = ball_joint(25);
  const auto n = next(j);
  ASSERT_TRUE(n.take);
  EXPECT_EQ(*n.take, (Bolt{60, BoltForm::part_thread}));
  EXPECT_FALSE(n.passes);
  ASSERT_TRUE(n.measure_plain_mm);
  EXPECT_NEAR(*n.measure_plain_mm, 33, same_mm);
  EXPECT_TRUE(says(said(j, n), "27.75 mm of plain shank and the last shear plane is at 33"))
      << said(j, n);
  EXPECT_TRUE(says(said(j, n), "65 put in from the other side serves")) << said(j, n);
  EXPECT_EQ(n.why, NextLength::Why::to_be_measured);
  // As measured in hand.
  j.length_mm = 60;
  j.plain_mm = 33.5;
  const auto measured = next(j);
  EXPECT_TRUE(measured.passes) << said(j, measured);
  EXPECT_EQ(*measured.take, (Bolt{60, BoltForm::part_thread}));
  j.plain_mm = 32.5;
  EXPECT_FALSE(judged(j, 60).passes);
  EXPECT_FALSE(next(j).take == (Bolt{60, BoltForm::part_thread})) << said(j, next(j));
  j.plain_mm = -1;
  EXPECT_FALSE(judge(j, 60).value);

  j = ball_joint(25);
  const auto v60 = judged(j, 60);
  EXPECT_NEAR(v60.stack_mm, 42, same_mm);
  EXPECT_NEAR(v60.shank_mm, 34, same_mm);
  EXPECT_NEAR(*v60.last_shear_plane_mm, 33, same_mm);
  EXPECT_NEAR(v60.beyond_mm, 8, same_mm);

  // 55 reaches (2.5 mm wanted, 3 there) but its thread starts at 29.
  const auto v55 = judged(j, 55);
  EXPECT_FALSE(v55.passes);
  EXPECT_TRUE(of(v55, JointQuestion::reach).passes);
  EXPECT_NEAR(of(v55, JointQuestion::reach).has_mm, 3, same_mm);
  EXPECT_NEAR(of(v55, JointQuestion::reach).needs_mm, 2.5, same_mm);
  EXPECT_FALSE(of(v55, JointQuestion::shank_in_shear).passes);
  EXPECT_NEAR(v55.shank_mm, 29, same_mm);
  EXPECT_TRUE(of(v55, JointQuestion::nut_clear_of_shank).passes);
  EXPECT_FALSE(of(judged(j, 50), JointQuestion::reach).passes);
  // 70: the shank of 44 is longer than the 42 to the nut.
  const auto v70 = judged(j, 70);
  EXPECT_FALSE(of(v70, JointQuestion::nut_clear_of_shank).passes);
  EXPECT_TRUE(says(said(j, v70, JointQuestion::nut_clear_of_shank), "runs onto the plain shank"));
  // Two pitches of thread under the nut are enough, a tenth less is not: shank 34, nut at 36.5.
  auto thin = j;
  thin.layers = {{"ear", 34.5}};
  EXPECT_TRUE(of(judged(thin, 60), JointQuestion::nut_clear_of_shank).passes);
  thin.layers = {{"ear", 34.4}};
  EXPECT_FALSE(of(judged(thin, 60), JointQuestion::nut_clear_of_shank).passes);
  // The same length threaded to the head.
  const auto full = judge(j, Bolt{60, BoltForm::full_thread});
  ASSERT_TRUE(full.value);
  EXPECT_FALSE(of(*full.value, JointQuestion::shank_in_shear).passes);
  EXPECT_TRUE(of(*full.value, JointQuestion::nut_clear_of_shank).passes);
}

TEST(BoltJoint, TheLastShearPlaneIsTheOneFarthestFromTheHead) {
  auto j = ball_joint(25);
  EXPECT_NEAR(*judged(j, 60).last_shear_plane_mm, 33, same_mm);
  std::reverse(j.layers.begin(), j.layers.end());
  EXPECT_NEAR(*judged(j, 60).last_shear_plane_mm, 32, same_mm);
  j.head_washer_mm = 1.5;
  EXPECT_NEAR(*judged(j, 60).last_shear_plane_mm, 33.5, same_mm);
  // A cover under the nut takes no side force; a gasket between two that do passes it on.
  j = ball_joint(25);
  j.layers.push_back({"cover", 1, false});
  EXPECT_NEAR(*judged(j, 60).last_shear_plane_mm, 33, same_mm);
  j.layers[1].shears = false;
  EXPECT_NEAR(*judged(j, 60).last_shear_plane_mm, 33, same_mm);
  j.layers = {{"cover", 1, false}, {"flange", 20}};
  EXPECT_FALSE(judged(j, 45).last_shear_plane_mm);
  EXPECT_TRUE(of(judged(j, 45), JointQuestion::shank_in_shear).passes);
}

TEST(BoltJoint, ThirtyWithoutTheDiscIsThreadedToTheHead) {
  auto j = ball_joint(0);
  j.length_mm = 30;
  const auto n = next(j);
  ASSERT_TRUE(n.take);
  EXPECT_EQ(*n.take, (Bolt{30, BoltForm::full_thread}));
  EXPECT_FALSE(n.passes);  // ISO 4014 begins at 45: the thread stands in the plane
  EXPECT_TRUE(says(why(j, n), "threaded to the head")) << why(j, n);
  const auto v = judged(j, 30);
  EXPECT_NEAR(v.beyond_mm, 3, same_mm);
  EXPECT_TRUE(of(v, JointQuestion::reach).passes);
  EXPECT_FALSE(of(v, JointQuestion::shank_in_shear).passes);
  // With the disc the bolt that was there ends inside the stack.
  auto with_disc = ball_joint(25);
  with_disc.length_mm = 30;
  EXPECT_TRUE(says(said(with_disc, next(with_disc)), "The 30 that is there is too short"))
      << said(with_disc, next(with_disc));
  with_disc.length_mm = 60;
  with_disc.plain_mm = 33;
  EXPECT_TRUE(says(said(with_disc, next(with_disc)), "The 60 that is there serves"))
      << said(with_disc, next(with_disc));
}

TEST(BoltJoint, FiftyInTheTappedKnuckle) {
  const auto n = next(knuckle(20));
  ASSERT_TRUE(n.take);
  EXPECT_EQ(n.take->length_mm, 50);
  EXPECT_TRUE(n.passes);
  const auto v = judged(knuckle(20), 50);
  EXPECT_NEAR(v.stack_mm, 34, same_mm);
  EXPECT_NEAR(of(v, JointQuestion::engagement_rule).has_mm, 16, same_mm);
  EXPECT_NEAR(of(v, JointQuestion::engagement_rule).needs_mm, 15, same_mm);
  EXPECT_NEAR(v.shank_mm, 24, same_mm);
  EXPECT_TRUE(of(v, JointQuestion::shank_clear_of_hole).passes);
  EXPECT_TRUE(says(said(knuckle(20), v, JointQuestion::shank_in_shear), "where the hole begins"));
  // 16 mm and two pitches of 1.25: 18.5 is just deep enough, 18.4 is not.
  EXPECT_TRUE(judged(knuckle(18.5), 50).passes);
  EXPECT_FALSE(of(judged(knuckle(18.4), 50), JointQuestion::bottoming).passes);
  EXPECT_TRUE(
      says(said(knuckle(15), judged(knuckle(15), 50), JointQuestion::bottoming), "1 mm too long"));
  // 55: 21 mm would be in a hole of 20; 80: its shank of 54 runs into the thread.
  EXPECT_FALSE(of(judged(knuckle(20), 55), JointQuestion::bottoming).passes);
  EXPECT_FALSE(of(judged(knuckle(60), 80), JointQuestion::shank_clear_of_hole).passes);
}

TEST(BoltJoint, AHoleThatIsTooShallowSaysHowDeep) {
  auto j = knuckle(17);
  j.bolt_class =
      BoltClass::class_8_8;  // 14.5 mm of ductile iron hold it, and would not hold a 10.9
  const auto n = next(j);
  EXPECT_FALSE(n.take);
  ASSERT_TRUE(way(n, WayOutKind::deeper_thread));
  EXPECT_EQ(way(n, WayOutKind::deeper_thread)->bolt.length_mm, 50);
  EXPECT_NEAR(way(n, WayOutKind::deeper_thread)->amount_mm, 18.5, same_mm);
  ASSERT_TRUE(way(n, WayOutKind::thicker_head_washer));
  EXPECT_NEAR(way(n, WayOutKind::thicker_head_washer)->amount_mm, 1.5, same_mm);
  ASSERT_TRUE(way(n, WayOutKind::stud));
  EXPECT_TRUE(says(said(j, n), "a stud")) << said(j, n);
  EXPECT_FALSE(way(next(knuckle(17)), WayOutKind::thicker_head_washer));
  // So shallow that the bolt would strip it: neither washer nor stud helps.
  const auto shallow = next(knuckle(10));
  EXPECT_FALSE(shallow.take);
  EXPECT_EQ(shallow.why, NextLength::Why::shallow_hole);
  EXPECT_FALSE(way(shallow, WayOutKind::stud)) << said(knuckle(10), shallow);
  EXPECT_FALSE(way(shallow, WayOutKind::thicker_head_washer)) << said(knuckle(10), shallow);
}

TEST(BoltJoint, TheRuleOfThumbIsAdviceAndStripStrengthIsNot) {
  // 8.8 in ductile iron needs less than the rule says.
  auto j = knuckle(16.5);
  j.bolt_class = BoltClass::class_8_8;
  j.head_washer_mm = 3;
  j.layers[1].thickness_mm = 26;  // 36 to the hole: 14 mm of a 50 engage
  const auto v = judged(j, 50);
  EXPECT_FALSE(of(v, JointQuestion::engagement_rule).passes);
  EXPECT_TRUE(of(v, JointQuestion::engagement_rule).advice);
  EXPECT_TRUE(of(v, JointQuestion::engagement_strength).passes);
  EXPECT_TRUE(v.passes);
  const auto n = next(j);
  ASSERT_TRUE(n.take);
  EXPECT_EQ(n.take->length_mm, 50);
  EXPECT_TRUE(says(said(j, n), "14 of the 15 mm that are usual")) << said(j, n);
  j.bolt_class = BoltClass::class_12_9;
  EXPECT_FALSE(of(judged(j, 50), JointQuestion::engagement_strength).passes);
  EXPECT_FALSE(judged(j, 50).passes);
}

TEST(BoltJoint, AnOpenTappedHoleHasATailInstead) {
  auto j = knuckle(16);
  j.tapped->through = true;
  j.tail_room_mm = 15;
  EXPECT_FALSE(of(judged(j, 50), JointQuestion::tail_clear).passes);
  j.tail_room_mm = 16;
  EXPECT_TRUE(judged(j, 50).passes);
  EXPECT_NEAR(of(judged(j, 60), JointQuestion::engagement_rule).has_mm, 16, same_mm);
}

TEST(BoltJoint, NoStandardLengthServesWithoutRoomForTheTail) {
  auto j = ball_joint(25);
  std::reverse(j.layers.begin(), j.layers.end());
  j.tail_room_mm = 7;
  const auto n = next(j);
  EXPECT_FALSE(n.take);
  EXPECT_TRUE(says(why(j, n),
                   "no standard length serves: 55 reaches but 22.75 mm of it are sure to be plain"))
      << why(j, n);
  ASSERT_TRUE(way(n, WayOutKind::more_tail_room));
  EXPECT_EQ(way(n, WayOutKind::more_tail_room)->bolt.length_mm, 65);
  EXPECT_NEAR(way(n, WayOutKind::more_tail_room)->amount_mm, 13, same_mm);
  EXPECT_TRUE(says(said(j, n), "65 serves where the tail has 13 mm")) << said(j, n);
  j.tail_room_mm = 12;
  const auto wider = next(j);
  ASSERT_TRUE(way(wider, WayOutKind::thicker_nut_washer)) << said(j, wider);
  EXPECT_NEAR(way(wider, WayOutKind::thicker_nut_washer)->amount_mm, 1, same_mm);
  // What is named does serve.
  auto with_room = j;
  with_room.tail_room_mm = 13;
  EXPECT_EQ(next(with_room).take->length_mm, 65);
  auto with_washer = j;
  with_washer.nut_washer_mm += 1;
  EXPECT_EQ(next(with_washer).take->length_mm, 65);
  ASSERT_TRUE(way(n, WayOutKind::made_to_measure));
  const auto* made = way(n, WayOutKind::made_to_measure);
  EXPECT_NEAR(made->bolt.length_mm, 54.5, same_mm);
  EXPECT_NEAR(made->amount_mm, 32, same_mm);
}

TEST(BoltJoint, TheOtherSideCanServe) {
  // Thick last layer: from the other side the last plane lies nearer to the head.
  BoltJoint j;
  j.thread = thread("M10x1.25");
  j.layers = {{"ear", 30}, {"flange", 3}};
  j.nut_height_mm = 10;
  // Head on the ear: a plane at 30, 33 to the nut: no shank ends between 30 and 30.5.
  EXPECT_FALSE(next(j).passes);
  const auto n = next(j);
  ASSERT_TRUE(way(n, WayOutKind::other_side)) << said(j, n);
  std::reverse(j.layers.begin(), j.layers.end());
  ASSERT_TRUE(next(j).take);
  EXPECT_EQ(*next(j).take, way(n, WayOutKind::other_side)->bolt);
  EXPECT_TRUE(next(j).passes);
}

TEST(BoltJoint, ATallStackHasNoStandardBolt) {
  const auto j = ball_joint(100);
  const auto n = next(j);
  EXPECT_FALSE(n.take);
  EXPECT_TRUE(says(why(j, n), "the longest is 100")) << why(j, n);
  ASSERT_TRUE(way(n, WayOutKind::made_to_measure));
  EXPECT_NEAR(way(n, WayOutKind::made_to_measure)->bolt.length_mm, 129.5, same_mm);
}

TEST(BoltJoint, InchBolts) {
  BoltJoint j;
  j.thread = thread("3/8-24");
  j.bolt_class = BoltClass::grade_8;
  j.layers = {{"ear", 8}, {"disc", 24}, {"flange", 7}};
  j.nut_washer_mm = 2;
  const auto n = next(j);
  ASSERT_TRUE(n.take);
  EXPECT_TRUE(n.passes) << said(j, n);
  // 41 + nut 8.56 + 2 pitches 2.12 = 51.7: 2 1/4 in (57.15) reaches, its thread begins at 31.75; of
  // 2 1/2 in 38.1 - 5 pitches = 32.8 mm are sure to be plain, past 32, and 38.1 is short of 41
  // - 2.1.
  EXPECT_NEAR(n.take->length_mm, 2.5 * 25.4, same_mm);
  EXPECT_TRUE(says(said(j, n), "2 1/2 in")) << said(j, n);
  EXPECT_FALSE(of(judged(j, 2.25 * 25.4), JointQuestion::shank_in_shear).passes);
}

TEST(BoltJoint, EveryBoltThatIsTakenPassesAndNoneShorterDoes) {
  int taken = 0;
  for (const auto* name : {"M8", "M10x1.25", "M12x1.25", "M14x1.5"})
    for (double disc = 1; disc < 60; disc += 1.7) {
      auto j = ball_joint(disc);
      j.thread = thread(name);
      j.nut_height_mm = 0;
      j.layers.back().thickness_mm = 16;  // room for the run-out between plane and nut
      const auto n = next(j);
      EXPECT_EQ(n.why == NextLength::Why::passes, n.passes);
      EXPECT_EQ(why(j, n).empty(), n.passes);
      EXPECT_FALSE(n.passes && n.measure_plain_mm);
      if (!n.take) {
        EXPECT_FALSE(n.ways_out.empty()) << said(j, n);
        continue;
      }
      if (!n.passes) continue;
      ++taken;
      EXPECT_TRUE(judge(j, *n.take).value->passes);
      for (const auto& b : standard_bolts(j.thread)) {
        if (b.length_mm >= n.take->length_mm) break;
        EXPECT_FALSE(judge(j, b).value->passes) << name << " " << b.length_mm;
      }
    }
  EXPECT_GT(taken, 40);
}

TEST(BoltJoint, RefusesWhatMakesNoSense) {
  const auto why = [](const BoltJoint& j, double length_mm = 60) {
    const auto v = judge(j, length_mm);
    EXPECT_EQ(next_length(j).value.has_value(), v.value.has_value() || !(length_mm > 0));
    return v.value ? std::string() : words(v.why, Units::metric);
  };
  auto j = ball_joint(25);
  EXPECT_EQ(why(j), "");
  j.layers[1].thickness_mm = -25;
  EXPECT_EQ(why(j), "layer 'disc' is -25 mm thick, expected more than zero");
  j.layers[1].thickness_mm = std::nan("");
  EXPECT_NE(why(j), "");
  j.layers.clear();
  EXPECT_NE(why(j), "");
  j = ball_joint(25);
  j.nut_washer_mm = -1;
  EXPECT_NE(why(j), "");
  j = ball_joint(25);
  j.tail_room_mm = -1;
  EXPECT_NE(why(j), "");
  j = ball_joint(25);
  j.bolt_class = BoltClass::grade_8;
  EXPECT_NE(why(j), "");
  j = ball_joint(25);
  j.tapped = Tapped{material("S275"), 20};
  EXPECT_NE(why(j), "");
  EXPECT_NE(why(knuckle(0)), "");
  EXPECT_NE(why(ball_joint(25), -60), "");
  EXPECT_NE(why(ball_joint(25), std::numeric_limits<double>::quiet_NaN()), "");
  j = ball_joint(25);
  j.length_mm = 0;
  EXPECT_FALSE(next_length(j).value);
}

// The same joint in inches: 13 mm are 0.512 in; of 32.75 mm no more than 1.289 in are sure.
TEST(BoltJoint, IsToldInTheUnitsAskedFor) {
  auto j = ball_joint(25);
  std::reverse(j.layers.begin(), j.layers.end());
  EXPECT_EQ(
      words(j, next(j), Units::inch),
      "M10×1.25 65 mm: 0.512 in beyond the nut, plain shank 1.289 in, last shear plane at 1.260.");
  j.layers[1].thickness_mm = -25.4;
  EXPECT_EQ(words(next_length(j).why, Units::inch),
            "layer 'disc' is -1.000 in thick, expected more than zero");
  const auto hole = knuckle(15.24);
  EXPECT_EQ(
      words(hole, judged(hole, 50), of(judged(hole, 50), JointQuestion::bottoming), Units::inch),
      "it is 0.030 in too long for the hole: it bottoms and clamps nothing");
}

// 3 × 38 kN × 0.15 = 17 kN against 10 kN: 1.7 (plain arithmetic; M10×1.25 of 10.9).
TEST(BoltJoint, Slip) {
  const auto s = slip_check(thread("M10x1.25"), BoltClass::class_10_9, 3, 10e3);
  ASSERT_TRUE(s.value);
  EXPECT_NEAR(s.value->holds_n, 17.1e3, 100);  // the areas and preloads are rounded there
  EXPECT_NEAR(s.value->factor, 1.7, 0.05);
  EXPECT_NEAR(s.value->least_factor, 0.7 * s.value->factor, 1e-12);
  EXPECT_TRUE(s.value->holds);
  // With 30 % less preload 12 kN are held and no more.
  EXPECT_FALSE(slip_check(thread("M10x1.25"), BoltClass::class_10_9, 3, 13e3).value->holds);
  const auto told = [](const char* name, BoltClass c, int bolts, double force_n) {
    return words(*slip_check(thread(name), c, bolts, force_n).value, Units::metric);
  };
  EXPECT_TRUE(says(told("M10x1.25", BoltClass::class_10_9, 3, 10e3), "spigot"));
  EXPECT_TRUE(says(told("M8", BoltClass::class_8_8, 2, 10e3), "it slips"));
  EXPECT_FALSE(says(told("M12", BoltClass::class_10_9, 4, 5e3), "spigot"));
  // 10 kN are 2248 lbf.
  EXPECT_TRUE(says(words(*s.value, Units::inch), " times 2248 lbf"))
      << words(*s.value, Units::inch);
  EXPECT_FALSE(slip_check(thread("M8"), BoltClass::class_8_8, 0, 10e3).value);
  EXPECT_FALSE(slip_check(thread("M8"), BoltClass::class_8_8, 2, -1).value);
  EXPECT_FALSE(slip_check(thread("M8"), BoltClass::class_8_8, 2, 1e3, 0).value);
}

}  // namespace
}  // namespace trammel
