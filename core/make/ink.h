// What a view is on paper: lines, arcs, circles, arrow heads and words. Everything that depends on
// the scale is settled here, once, and both SVG and DXF write nothing but what stands here.
#pragma once

#include <string>
#include <vector>

#include "make/shapes.h"

namespace trammel {

// What a piece of ink is for; line widths and layers follow from it.
enum class InkRole { cut, hole, visible, hidden, centre, fold, thin, hatch, dimension, text };

struct InkPath {
  InkRole role = InkRole::visible;
  std::vector<Vertex> corners;
  bool closed = false;
};
struct InkCircle {
  InkRole role = InkRole::visible;
  Point2 centre;
  double radius_mm = 0.0;
};
// A filled head (ISO 129-1: closed, 15 degrees).
struct InkArrow {
  Point2 tip;
  Point2 along;  // length 1, the way it points
};
struct InkText {
  InkRole role = InkRole::text;
  Point2 at;  // of the base line
  std::string words;
  double size_mm = 3.5;  // of the face; a capital is 0.7 of it
  double turn_deg = 0.0;
  TextAnchor anchor = TextAnchor::start;
};
// Millimetres on paper, x to the right, y up, from where the view has its origin.
struct Ink {
  std::vector<InkPath> paths;
  std::vector<InkCircle> circles;
  std::vector<InkArrow> arrows;
  std::vector<InkText> texts;

  void line(InkRole role, const Point2& from, const Point2& to) {
    paths.push_back({role, {{from, 0.0}, {to, 0.0}}, false});
  }
};

inline constexpr double arrow_long_mm = 3.0, arrow_half_mm = 0.39;  // 15 degrees
inline constexpr double dimension_size_mm = 3.5;

// A view drawn with its dimensions. `scale` is paper over part (0.5 for 1:2), positive. The view
// must be one that `why_not` finds nothing against.
Ink drawn(const View& view, double scale);
// At 1:1, to be laid on the metal: what is cut, drilled, folded and scribed, crosses for the centre
// punch, the size beside each hole; no dimensions.
Ink drawn_as_template(const View& view);

// Of everything drawn, words by their estimated width; nothing drawn gives a box at the origin.
Box box_of(const Ink& ink);

// How wide words are in a plain face, estimated on the safe side.
double words_wide_mm(const std::string& words, double size_mm);
// Cut into lines no wider than asked; a single word that is wider stays whole.
std::vector<std::string> wrapped(const std::string& words, double size_mm, double wide_mm);

}  // namespace trammel
