// Shapes against geometry done by hand, and what cannot be made.

#include "make/shapes.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "make/parts.h"

namespace trammel::testing {
namespace {

constexpr double pi = std::numbers::pi;

std::vector<PartDrawing> one_of_each() {
  return {disc(), sleeve(), flat_bracket(), bent_bracket(), long_plate()};
}

View plate(const std::vector<Hole>& holes) {
  View v;
  v.outlines = {rectangle({0, 0}, {40, 90}, 8)};
  v.holes = holes;
  return v;
}

TEST(Outline, BoxReachesAsFarAsItsArcs) {
  // A half circle over a line of 20: its top is in no corner.
  const Outline dome{{{{-10, 0}, 0.0}, {{10, 0}, 1.0}}};
  const auto box = box_of(dome);
  ASSERT_TRUE(box);
  EXPECT_EQ(box->low, (Point2{-10, 0}));
  EXPECT_EQ(box->high, (Point2{10, 10}));
  // The same arc the other way round bulges down.
  const Outline bowl{{{{-10, 0}, 1.0}, {{10, 0}, 0.0}}};
  EXPECT_EQ(box_of(bowl)->low, (Point2{-10, -10}));
  // Three quarters of a circle of 10 about the origin, from the right to below: all but its corner.
  const Outline most{{{{10, 0}, std::tan(3.0 * pi / 8.0)}, {{0, -10}, 0.0}}};
  EXPECT_NEAR(box_of(most)->low.x, -10, 1e-12);
  EXPECT_NEAR(box_of(most)->high.y, 10, 1e-12);
  EXPECT_EQ(box_of(most)->high.x, 10);
  // An arc of 60 degrees that passes no end of its circle stays between its ends.
  const Outline slice{{{{10 * std::cos(pi / 12), 10 * std::sin(pi / 12)}, std::tan(pi / 12)},
                       {{10 * std::cos(5 * pi / 12), 10 * std::sin(5 * pi / 12)}, 0.0}}};
  EXPECT_DOUBLE_EQ(box_of(slice)->high.x, 10 * std::cos(pi / 12));
}

TEST(Outline, LengthAndAreaAreThoseOfTheRoundedPlate) {
  const auto o = rectangle({0, 0}, {40, 90}, 8);
  EXPECT_NEAR(length_mm(o), 2 * (24 + 74) + 16 * pi, 1e-9);
  EXPECT_NEAR(area_mm2(o), 40 * 90 - (4 - pi) * 64, 1e-9);
  // Rounded by half its width it has six corners, not eight with two on each other.
  const auto slot = rectangle({0, 0}, {20, 50}, 10);
  EXPECT_EQ(slot.corners.size(), 6u);
  EXPECT_NEAR(area_mm2(slot), 20 * 30 + 100 * pi, 1e-9);
  View v;
  v.outlines = {slot};
  EXPECT_FALSE(why_not(v));
}

TEST(View, BoxIsOfAllShapes) {
  EXPECT_EQ(*box_of(flat_bracket().views[0]), (Box{{0, 0}, {40, 90}}));
  EXPECT_EQ(*box_of(disc().views[0]), (Box{{-40, -40}, {40, 40}}));
  EXPECT_EQ(*box_of(disc().views[1]), (Box{{-6, -40}, {24, 40}}));  // its axis sticks out
  EXPECT_EQ(*box_of(long_plate().views[0]), (Box{{-160, -60}, {160, 60}}));
  EXPECT_FALSE(box_of(View{}));
}

TEST(Validation, PartsOfTheTestsCanBeMade) {
  for (const auto& p : one_of_each()) {
    EXPECT_EQ(why_not(p).value_or("fine"), "fine") << p.title;
    EXPECT_EQ(why_not(mirrored(p)).value_or("fine"), "fine") << p.title;
  }
}

TEST(Validation, HoleOutsideOrThroughTheEdgeIsRefused) {
  const auto why = [](const Hole& h) { return why_not(plate({h})).value_or("fine"); };
  EXPECT_EQ(why({{20, 45}, 12}), "fine");
  EXPECT_EQ(why({{60, 45}, 12}), "the hole Ø12 at 60, 45 lies outside the plate");
  EXPECT_EQ(why({{3, 45}, 12}), "the hole Ø12 at 3, 45 cuts the edge of its plate");
  EXPECT_EQ(why({{-3, 45}, 12}), "the hole Ø12 at -3, 45 cuts the edge of its plate");
  EXPECT_EQ(why({{6, 45}, 12}), "the hole Ø12 at 6, 45 cuts the edge of its plate");  // touches
  EXPECT_EQ(why({{6.01, 45}, 12}), "fine");
  // In the corner only the rounding is in the way: its middle is at 8, 8.
  EXPECT_EQ(why({{8, 8}, 15.9}), "fine");
  EXPECT_EQ(why({{5, 5}, 9}), "the hole Ø9 at 5, 5 cuts the edge of its plate");
  // Outside the rounding, inside the rectangle about it.
  EXPECT_EQ(why({{1, 1}, 0.5}), "the hole Ø0.5 at 1, 1 lies outside the plate");
  EXPECT_EQ(why({{20, 45}, 200}), "the hole Ø200 at 20, 45 cuts the edge of its plate");
  EXPECT_EQ(why({{20, 45}, 0}), "a hole without a size or a place");
  EXPECT_EQ(why({{20, std::nan("")}, 3}), "a hole without a size or a place");
  View bare;
  bare.holes = {{{0, 0}, 5}};
  EXPECT_EQ(why_not(bare).value_or(""), "the hole Ø5 at 0, 0 has no plate around it");
}

TEST(Validation, HoleInADiscAndInABulgedOutline) {
  View v;
  v.discs = {{{0, 0}, 80}};
  v.holes = {{{0, 33}, 12}};
  EXPECT_FALSE(why_not(v));
  v.holes = {{{0, 35}, 12}};
  EXPECT_TRUE(why_not(v));
  // A dome bulging out over a line, and the same with the arc taken out of a square.
  View dome;
  dome.outlines = {{{{{-10, 0}, 0.0}, {{10, 0}, 1.0}}}};
  dome.holes = {{{0, 5}, 8}};
  EXPECT_FALSE(why_not(dome));
  View bitten;
  bitten.outlines = {{{{{-10, -12}, 0.0}, {{10, -12}, 0.0}, {{10, 0}, -1.0}, {{-10, 0}, 0.0}}}};
  bitten.holes = {{{0, -5}, 4}};
  EXPECT_EQ(why_not(bitten).value_or("fine"), "the hole Ø4 at 0, -5 lies outside the plate");
  bitten.holes = {{{0, -11}, 1.5}};
  EXPECT_FALSE(why_not(bitten));
}

TEST(Validation, HolesRunningIntoEachOtherAreRefused) {
  EXPECT_FALSE(why_not(plate({{{20, 30}, 12}, {{20, 50}, 12}})));
  EXPECT_EQ(why_not(plate({{{20, 30}, 12}, {{20, 41}, 12}})).value_or(""),
            "the hole Ø12 at 20, 41 runs into the hole Ø12 at 20, 30");
}

TEST(Validation, OutlinesThatCannotBeCutAreRefused) {
  const auto why = [](const Outline& o) {
    View v;
    v.outlines = {o};
    return why_not(v).value_or("fine");
  };
  EXPECT_EQ(why(polygon({{0, 0}, {10, 0}, {10, 10}, {0, 10}})), "fine");
  EXPECT_EQ(why(polygon({{0, 0}, {10, 10}, {10, 0}, {0, 10}})),
            "an outline crosses itself or encloses nothing");
  EXPECT_EQ(why(polygon({{0, 0}, {10, 0}})), "an outline crosses itself or encloses nothing");
  EXPECT_EQ(why(polygon({{0, 0}, {10, 0}, {5, 0}})),
            "an outline crosses itself or encloses nothing");
  EXPECT_EQ(why(polygon({{0, 0}, {10, 0}, {10, 0}, {5, 9}})),
            "an outline has a side without length at 10, 0");
  EXPECT_EQ(why(polygon({{0, 0}, {10, HUGE_VAL}, {5, 9}})),
            "an outline has a corner that is not a number");
  EXPECT_EQ(why(Outline{}), "an outline without corners");
  // Corners rounded by more than there is.
  EXPECT_NE(why(rectangle({0, 0}, {40, 90}, 30)), "fine");
  PartDrawing p = flat_bracket();
  p.views[1].seen = SeenFrom::front;
  EXPECT_EQ(why_not(p).value_or(""), "two views from the same place: front, from the left");
  p.views.clear();
  EXPECT_EQ(why_not(p).value_or(""), "the drawing has no view");
  EXPECT_EQ(why_not(PartDrawing{}).value_or(""), "the drawing has no title");
}

TEST(Mirrored, TwiceIsTheSame) {
  for (const auto& p : one_of_each()) {
    EXPECT_EQ(mirrored(mirrored(p)), p) << p.title;
    EXPECT_NE(mirrored(p), p) << p.title;
  }
}

TEST(Mirrored, IsTheOtherHandWithTheSameDimensions) {
  const auto p = flat_bracket(), m = mirrored(p);
  EXPECT_EQ(m.hand, Hand::left);
  EXPECT_EQ(m.number, "TR-31-L");
  EXPECT_EQ(m.quantity, "1 left, 1 right (mirror image)");
  EXPECT_EQ(m.views[0].texts[0].words, "L");
  EXPECT_EQ(m.views[0].holes[1].centre, (Point2{-16, 66}));
  EXPECT_EQ(m.views[1].seen, SeenFrom::from_right);
  EXPECT_EQ(m.views[1].name, "from the right");
  for (const auto& part : one_of_each()) {
    const auto other = mirrored(part);
    for (std::size_t v = 0; v < part.views.size(); ++v) {
      const auto &one = part.views[v], &two = other.views[v];
      for (std::size_t d = 0; d < one.dimensions.size(); ++d)
        EXPECT_EQ(dimension_words(two.dimensions[d]), dimension_words(one.dimensions[d]));
      for (std::size_t o = 0; o < one.outlines.size(); ++o) {
        EXPECT_NEAR(length_mm(two.outlines[o]), length_mm(one.outlines[o]), 1e-9);
        EXPECT_NEAR(area_mm2(two.outlines[o]), area_mm2(one.outlines[o]), 1e-9);
      }
      EXPECT_NEAR(box_of(two)->low.x, -box_of(one)->high.x, 1e-9);
      EXPECT_NEAR(box_of(two)->high.y, box_of(one)->high.y, 1e-9);
    }
  }
}

TEST(Mirrored, ExchangesWholeWordsOnly) {
  PartDrawing p;
  p.title = "Left upright, RIGHT-hand thread; leftover, bright";
  p.number = "L-R-LR";
  p.notes = {"L 20 stays in a note"};
  const auto m = mirrored(p);
  EXPECT_EQ(m.title, "Right upright, LEFT-hand thread; leftover, bright");
  EXPECT_EQ(m.number, "R-L-LR");
  EXPECT_EQ(m.notes[0], "L 20 stays in a note");
}

TEST(Dimensions, SayWhatIsMeasured) {
  EXPECT_EQ(
      dimension_words(LinearDimension{Direction::horizontal, {0, 0}, {40, 30}, 10, "", "", ""}),
      "40");
  EXPECT_EQ(
      dimension_words(LinearDimension{Direction::vertical, {0, 30}, {40, 0}, 10, "", "", "±0.1"}),
      "30 ±0.1");
  EXPECT_EQ(
      dimension_words(LinearDimension{Direction::aligned, {0, 0}, {40, 30}, 10, "Ø", "", "h9"}),
      "Ø50 h9");
  EXPECT_EQ(dimension_words(
                LinearDimension{Direction::aligned, {0, 0}, {4, 3}, 10, "", "as the arm", ""}),
            "as the arm");
  EXPECT_EQ(
      dimension_words(LinearDimension{Direction::horizontal, {0, 0}, {12.345, 0}, 9, "", "", ""}),
      "12.35");
  EXPECT_EQ(dimension_words(DiameterDimension{{}, 12, 1, "H7", "+0.018/0", "", {1, 1}}),
            "Ø12 H7 (+0.018/0)");
  EXPECT_EQ(dimension_words(DiameterDimension{{}, 10.2, 3, "", "", "", {1, 1}}), "3 × Ø10.2");
  EXPECT_EQ(dimension_words(RadiusDimension{{}, 8, 4, "", "", {1, 1}}), "4 × R8");
  EXPECT_EQ(dimension_words(ChamferDimension{{}, 0.5, 45, 1, {1, 1}}), "0.5 × 45°");
  // Turning left from the first leg to the second; the other way round it is the rest.
  EXPECT_EQ(dimension_words(AngleDimension{{}, {10, 0}, {0, 10}, 20, "", ""}), "90°");
  EXPECT_EQ(dimension_words(AngleDimension{{}, {0, 10}, {10, 0}, 20, "", "±0.5°"}), "270° ±0.5°");
}

}  // namespace
}  // namespace trammel::testing
