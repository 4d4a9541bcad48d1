// Parts to draw in tests: invented, each with something that another has not.
#pragma once

#include <cmath>

#include "make/shapes.h"

namespace trammel::testing {

// Two views: face with a bolt circle, and the section through it.
inline PartDrawing disc() {
  PartDrawing p;
  p.title = "Spacer disc under the ball joint, left";
  p.number = "TR-20-L";
  p.revision = "A";
  p.material = "Steel C45, yield 370 N/mm² or more";
  p.quantity = "1 left, 1 right (mirror image)";
  p.finish = "bare faces, oiled; no paint between the faces";
  p.notes = {"Faces parallel within 0.02, flat within 0.02, Ra 1.6 or finer.",
             "The pair left and right within 0.05 in thickness.",
             "Stamp LEFT, thickness and date on the rim."};
  p.hand = Hand::left;
  View front;
  front.name = "front";
  front.face = "seen from below";
  front.discs = {{{0, 0}, 80}};
  front.circles = {{{0, 0}, 56, LineKind::centre}, {{0, 0}, 32, LineKind::visible}};
  for (const double deg : {90.0, 210.0, 330.0}) {
    const double a = deg * 3.14159265358979 / 180.0;
    front.holes.push_back({{28.0 * std::cos(a), 28.0 * std::sin(a)}, 10.2});
  }
  front.holes.push_back({{0, 0}, 20});
  front.texts = {{{-8, -35.5}, "L 20", 3.5, 0.0, TextAnchor::middle}};
  front.dimensions = {
      DiameterDimension{front.holes[0].centre, 10.2, 3, "", "+0.1/0", "", {1, 1}},
      DiameterDimension{{0, 0}, 56, 1, "", "±0.1", "", {-1, 1}},
      AngleDimension{{0, 0}, front.holes[2].centre, front.holes[0].centre, 50, "", ""},
  };
  View section;
  section.name = "section, from the left";
  section.seen = SeenFrom::from_left;
  // Left the face with the spigot, right the one with the recess.
  const auto half = [](double s) {
    return polygon({{0.5, s * 40},
                    {19.5, s * 40},
                    {20, s * 39.5},
                    {20, s * 16},
                    {17, s * 16},
                    {17, s * 10.5},
                    {16.5, s * 10},
                    {-1.5, s * 10},
                    {-2, s * 10.5},
                    {-2, s * 15.5},
                    {-1.5, s * 16},
                    {0, s * 16},
                    {0, s * 39.5}});
  };
  section.outlines = {half(1), half(-1)};
  section.hatches = {{{half(1)}, 45}, {{half(-1)}, 45}};
  section.lines = {{{-6, 0}, {24, 0}, 0.0, LineKind::centre},
                   {{-2, 10.5}, {-2, -10.5}},
                   {{17, 10.5}, {17, -10.5}},
                   {{20, 16}, {20, -16}}};
  section.dimensions = {
      LinearDimension{Direction::horizontal, {0, -40}, {20, -40}, -10, "", "", "±0.05"},
      LinearDimension{Direction::horizontal, {-2, -16}, {0, -40}, -10, "", "", "0/-0.1"},
      LinearDimension{Direction::horizontal, {17, 16}, {20, 40}, 10, "", "", "+0.4/+0.3"},
      LinearDimension{Direction::vertical, {20, -16}, {20, 16}, 10, "Ø", "", "H7"},
      LinearDimension{Direction::vertical, {20, -40}, {20, 40}, 18, "Ø", "", ""},
      LinearDimension{Direction::vertical, {-2, -10}, {-2, 10}, -10, "Ø", "", "H7"},
      LinearDimension{Direction::vertical, {-2, -16}, {-2, 16}, -17, "Ø", "", "g6"},
      ChamferDimension{{19.75, 39.75}, 0.5, 45, 8, {1, 1}},
  };
  p.views = {front, section};
  return p;
}

// Small and round: drawn 2:1.
inline PartDrawing sleeve() {
  PartDrawing p;
  p.title = "Sleeve for the rod end";
  p.number = "TR-7";
  p.revision = "B";
  p.material = "Steel S355";
  p.quantity = "4";
  p.projection = Projection::third_angle;
  View front;
  front.name = "section";
  const auto wall = [](double s) {
    return rectangle({0, s > 0 ? 6.0 : -10.0}, {22, s > 0 ? 10.0 : -6.0});
  };
  front.outlines = {wall(1), wall(-1)};
  front.hatches = {{{wall(1)}, 45}, {{wall(-1)}, 45}};
  front.lines = {{{-4, 0}, {26, 0}, 0.0, LineKind::centre}, {{0, 6}, {0, -6}}, {{22, 6}, {22, -6}}};
  front.dimensions = {
      LinearDimension{Direction::horizontal, {0, -10}, {22, -10}, -10, "", "", "0/-0.1"},
      LinearDimension{Direction::vertical, {22, -6}, {22, 6}, 10, "Ø", "", "H7"},
      LinearDimension{Direction::vertical, {22, -10}, {22, 10}, 18, "Ø", "", "h9"}};
  View end;
  end.name = "from the left";
  end.seen = SeenFrom::from_left;
  end.discs = {{{0, 0}, 20}};
  end.holes = {{{0, 0}, 12}};
  p.views = {front, end};
  return p;
}

// A flat plate 40 x 90, two holes, corners rounded by 8.
inline PartDrawing flat_bracket() {
  PartDrawing p;
  p.title = "Flat bracket";
  p.number = "TR-31-R";
  p.revision = "A";
  p.material = "Plate 6 mm, S355";
  p.quantity = "1 right, 1 left (mirror image)";
  p.hand = Hand::right;
  p.notes = {"Edges broken 0.5."};
  View front;
  front.name = "front";
  front.face = "seen from outside the car";
  front.outlines = {rectangle({0, 0}, {40, 90}, 8)};
  front.holes = {{{20, 24}, 12}, {{16, 66}, 10.2}};
  front.texts = {{{20, 44}, "R", 5.0, 0.0, TextAnchor::middle}};
  front.dimensions = {LinearDimension{Direction::horizontal, {0, 0}, {40, 0}, -10, "", "", ""},
                      LinearDimension{Direction::horizontal, {0, 24}, {20, 24}, -10, "", "", ""},
                      LinearDimension{Direction::horizontal, {0, 66}, {16, 66}, 10, "", "", "±0.2"},
                      LinearDimension{Direction::vertical, {0, 0}, {0, 90}, -10, "", "", ""},
                      LinearDimension{Direction::vertical, {20, 24}, {16, 66}, -10, "", "", "±0.1"},
                      LinearDimension{Direction::vertical, {0, 0}, {20, 24}, -10, "", "", ""},
                      DiameterDimension{{20, 24}, 12, 1, "H7", "+0.018/0", "", {1, -0.6}},
                      DiameterDimension{{16, 66}, 10.2, 1, "", "", "", {1, 0.4}},
                      RadiusDimension{{32, 82}, 8, 4, "", "", {1, 1}}};
  View side;
  side.name = "from the left";
  side.seen = SeenFrom::from_left;
  side.outlines = {rectangle({0, 0}, {6, 90})};
  for (const auto& h : front.holes) {
    const double y = h.centre.y, r = 0.5 * h.diameter_mm;
    side.lines.push_back({{0, y - r}, {6, y - r}, 0.0, LineKind::hidden});
    side.lines.push_back({{0, y + r}, {6, y + r}, 0.0, LineKind::hidden});
    side.lines.push_back({{-3, y}, {9, y}, 0.0, LineKind::centre});
  }
  side.dimensions = {LinearDimension{Direction::horizontal, {0, 0}, {6, 0}, -10, "", "", ""}};
  p.views = {front, side};
  return p;
}

// Bent to an L, with its flat pattern as a view of its own.
inline PartDrawing bent_bracket() {
  PartDrawing p;
  p.title = "Bent bracket for the brake hose, with a title so long that it has to be made smaller";
  p.number = "TR-40";
  p.revision = "C";
  p.material = "Sheet 3 mm, S275";
  p.quantity = "2";
  p.demo = true;
  p.caution = "Not a load-bearing part.";
  p.notes = {"Bend along the grain's normal, inner radius 3.",
             "Flat pattern for a bend allowance of 5.8 (own sum); try on a strip first."};
  View front;
  front.name = "front";
  const double q = std::tan(3.14159265358979 / 8.0);
  Outline l;
  l.corners = {{{0, 50}, 0}, {{0, 6}, q},  {{6, 0}, 0}, {{40, 0}, 0},
               {{40, 3}, 0}, {{6, 3}, -q}, {{3, 6}, 0}, {{3, 50}, 0}};
  front.outlines = {l};
  front.lines = {{{-3, 35}, {6, 35}, 0.0, LineKind::centre},
                 {{0, 31.75}, {3, 31.75}, 0.0, LineKind::hidden},
                 {{0, 38.25}, {3, 38.25}, 0.0, LineKind::hidden}};
  front.dimensions = {LinearDimension{Direction::horizontal, {0, 0}, {40, 0}, -10, "", "", ""},
                      LinearDimension{Direction::vertical, {0, 0}, {0, 50}, -10, "", "", ""},
                      LinearDimension{Direction::vertical, {0, 0}, {0, 35}, -10, "", "", ""},
                      LinearDimension{Direction::vertical, {40, 0}, {40, 3}, 10, "t = ", "", ""},
                      RadiusDimension{{6, 6}, 3, 1, "", "", {-1, -1}}};
  View side;
  side.name = "from the left";
  side.seen = SeenFrom::from_left;
  side.outlines = {rectangle({0, 0}, {30, 50})};
  side.lines = {{{0, 6}, {30, 6}, 0.0, LineKind::thin}};
  side.holes = {{{15, 35}, 6.5}};
  side.dimensions = {LinearDimension{Direction::horizontal, {0, 0}, {30, 0}, -10, "", "", ""},
                     LinearDimension{Direction::horizontal, {0, 50}, {15, 35}, 10, "", "", ""},
                     DiameterDimension{{15, 35}, 6.5, 1, "", "", "", {1, 0.6}}};
  View flat;
  flat.name = "flat pattern";
  flat.seen = SeenFrom::elsewhere;
  flat.face = "outer face seen";
  flat.outlines = {rectangle({0, 0}, {30, 83.8}, 3)};
  flat.holes = {{{15, 15}, 6.5}, {{15, 66}, 8.5}};
  flat.folds = {{{0, 46.9}, {30, 46.9}, 90.0, false}};
  flat.dimensions = {LinearDimension{Direction::vertical, {30, 0}, {30, 83.8}, 10, "", "", ""},
                     LinearDimension{Direction::vertical, {30, 0}, {30, 46.9}, 10, "", "", ""},
                     DiameterDimension{{15, 66}, 8.5, 1, "", "", "", {1, 1}}};
  p.views = {front, side, flat};
  return p;
}

// Too long for one sheet at 1:1.
inline PartDrawing long_plate() {
  PartDrawing p;
  p.title = "Drilling plate";
  p.number = "TR-50-L";
  p.revision = "A";
  p.material = "Plate 5 mm";
  p.quantity = "1 left, 1 right (mirror image)";
  p.hand = Hand::left;
  p.stamp = "DOES NOT SERVE - NOT FOR CUTTING";
  p.demo = true;
  View front;
  front.name = "front";
  front.face = "seen from above";
  front.outlines = {rectangle({-160, -60}, {160, 60}, 20)};
  front.holes = {
      {{-140, 40}, 12}, {{140, 40}, 12}, {{140, -40}, 12}, {{-140, -40}, 12}, {{10, 5}, 30}};
  front.dimensions = {
      LinearDimension{Direction::horizontal, {-160, -60}, {160, -60}, -10, "", "", ""},
      LinearDimension{Direction::horizontal, {-140, -40}, {140, -40}, -10, "", "", "±0.1"},
      LinearDimension{Direction::horizontal, {-160, 60}, {10, 5}, 10, "", "", ""},
      LinearDimension{Direction::vertical, {160, -60}, {160, 60}, 10, "", "", ""},
      LinearDimension{Direction::aligned, {-140, -40}, {140, 40}, 12, "", "", ""},
      DiameterDimension{{-140, 40}, 12, 4, "", "", "", {-1, 1}},
      DiameterDimension{{10, 5}, 30, 1, "", "", "", {0.6, 1}},
      RadiusDimension{{140, 40}, 20, 4, "", "", {1, 1}}};
  p.views = {front};
  return p;
}

}  // namespace trammel::testing
