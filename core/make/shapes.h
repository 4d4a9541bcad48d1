// A part to make, as shapes and dimensions in real millimetres: the one description from which its
// drawing, its 1:1 template and its cutting file are written. x to the right, y up, as the view is
// seen on paper.
#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace trammel {

inline constexpr double same_point_mm = 1e-6;

struct Point2 {
  double x = 0.0, y = 0.0;  // mm
  friend bool operator==(const Point2&, const Point2&) = default;
};

// A corner of an outline and the side that leaves it: straight, or an arc of which `bulge` is the
// tangent of a quarter of its angle, positive where it turns to the left (the measure of DXF).
struct Vertex {
  Point2 at;
  double bulge = 0.0;
  friend bool operator==(const Vertex&, const Vertex&) = default;
};
// A closed path; the last corner's side leads back to the first.
struct Outline {
  std::vector<Vertex> corners;
  friend bool operator==(const Outline&, const Outline&) = default;
};

// What a line means; how it is drawn follows from it (ISO 128: 0.5 mm outlines, 0.25 mm the rest).
enum class LineKind {
  visible,  // an edge that is seen
  hidden,   // dashed: an edge behind the material
  centre,   // chain: an axis, a pitch circle
  thin,     // thread, imaginary edge, whatever else
};

struct Circle {
  Point2 centre;
  double diameter_mm = 0.0;
  LineKind kind = LineKind::visible;
  friend bool operator==(const Circle&, const Circle&) = default;
};
// Through the plate, seen along its axis; a centre mark is drawn with it.
struct Hole {
  Point2 centre;
  double diameter_mm = 0.0;
  friend bool operator==(const Hole&, const Hole&) = default;
};
// A line or, with a bulge, an arc.
struct Stretch {
  Point2 from, to;
  double bulge = 0.0;
  LineKind kind = LineKind::visible;
  friend bool operator==(const Stretch&, const Stretch&) = default;
};
// Up: the flap comes towards whoever sees the view.
struct Fold {
  Point2 from, to;
  double angle_deg = 90.0;
  bool up = true;
  friend bool operator==(const Fold&, const Fold&) = default;
};
// A cut face: hatched inside the outlines, holes of it being outlines too (even-odd). The outlines
// themselves are drawn by the view's own.
struct Hatch {
  std::vector<Outline> edges;
  double angle_deg = 45.0;
  friend bool operator==(const Hatch&, const Hatch&) = default;
};
enum class TextAnchor { start, middle, end };
// Scribed or stamped on the part.
struct Scribed {
  Point2 at;  // of its base line
  std::string words;
  double height_mm = 3.5;  // of the face; a capital is 0.7 of it
  double turn_deg = 0.0;   // -90 to 90
  TextAnchor anchor = TextAnchor::middle;
  friend bool operator==(const Scribed&, const Scribed&) = default;
};

// Dimensions say what is measured; where they are drawn is worked out. `words` replaces the
// measured number, `tolerance` follows it ("±0.1", "+0.1/0"). Lengths called "on paper" do not
// scale.

enum class Direction { horizontal, vertical, aligned };
struct LinearDimension {
  Direction direction = Direction::horizontal;
  Point2 from, to;
  // On paper, of the dimension line: from the shapes of the view, + above or to the right; of an
  // aligned one from the points themselves, + to the left of from -> to. Moved farther out where
  // another dimension is in the way.
  double offset_mm = 10.0;
  std::string prefix;  // "Ø" of a turned part seen from the side, "M"
  std::string words, tolerance;
  friend bool operator==(const LinearDimension&, const LinearDimension&) = default;
};
// "Ø12 H7 (+0.018/0)", of several alike "3 × Ø10.2", by a leader to the circle.
struct DiameterDimension {
  Point2 centre;
  double diameter_mm = 0.0;
  int count = 1;
  std::string fit, limits;
  std::string words;            // replaces all of it
  Point2 towards = {1.0, 1.0};  // from the centre to where the words are wanted; any length
  friend bool operator==(const DiameterDimension&, const DiameterDimension&) = default;
};
struct RadiusDimension {
  Point2 centre;
  double radius_mm = 0.0;
  int count = 1;
  std::string words, tolerance;
  Point2 towards = {1.0, 1.0};  // through a point of the arc
  friend bool operator==(const RadiusDimension&, const RadiusDimension&) = default;
};
// From the direction of `from` to that of `to`, turning left about the apex.
struct AngleDimension {
  Point2 apex, from, to;
  double radius_mm = 20.0;  // of the dimension line about the apex, as on the part
  std::string words, tolerance;
  friend bool operator==(const AngleDimension&, const AngleDimension&) = default;
};
// "0.5 × 45°", of several "4 × 0.5 × 45°".
struct ChamferDimension {
  Point2 at;
  double size_mm = 0.0, angle_deg = 45.0;
  int count = 1;
  Point2 towards = {1.0, 1.0};
  friend bool operator==(const ChamferDimension&, const ChamferDimension&) = default;
};
// Any words by a leader.
struct Callout {
  Point2 at;
  std::string words;
  Point2 towards = {1.0, 1.0};
  friend bool operator==(const Callout&, const Callout&) = default;
};
using Dimension = std::variant<LinearDimension, DiameterDimension, RadiusDimension, AngleDimension,
                               ChamferDimension, Callout>;

// The words beside a dimension line: at most two decimals, no unit, "Ø65 ±0.1".
std::string dimension_words(const Dimension& dimension);

// From where a view is seen. `elsewhere` (a flat pattern, a detail) stands by itself.
enum class SeenFrom {
  front,
  from_left,
  from_right,
  from_above,
  from_below,
  from_behind,
  elsewhere
};
struct View {
  std::string name;  // "front", "section A-A"
  SeenFrom seen = SeenFrom::front;
  std::string face;  // of a template: which face is seen, "seen from outside the car"
  std::vector<Outline> outlines;
  std::vector<Circle> discs;  // round plates: an outer edge that is a circle
  std::vector<Hole> holes;
  std::vector<Circle> circles;  // other edges and pitch circles; never cut
  std::vector<Stretch> lines;   // never cut
  std::vector<Fold> folds;
  std::vector<Hatch> hatches;
  std::vector<Scribed> texts;
  std::vector<Dimension> dimensions;
  friend bool operator==(const View&, const View&) = default;
};

enum class Projection { first_angle, third_angle };
// Of which side of the car the part is that is drawn.
enum class Hand { left, right, both };
struct PartDrawing {
  std::string title, number, revision, material;
  std::string quantity;  // "1 left, 1 right (mirror image)"
  std::string finish;
  std::vector<std::string> notes;
  Projection projection = Projection::first_angle;
  std::string general_tolerance = "ISO 2768-m";
  std::string caution;  // beside the one that stands on every drawing
  std::string stamp;    // "DOES NOT SERVE": over drawing, template and cutting file; empty: none
  bool demo = false;    // of an invented car: marked so on every page
  Hand hand = Hand::both;
  // Side views share y with the front, those from above and below share x: they are put in line.
  std::vector<View> views;
  friend bool operator==(const PartDrawing&, const PartDrawing&) = default;
};

// Stands on every drawing and template.
inline constexpr const char* part_caution =
    "A calculated part is not an approved part: have it inspected.";

// The part of the other side: every view as in a mirror (x changes sign; seen from the left becomes
// seen from the right), the words "left" and "right" exchanged wherever they stand by themselves,
// "L" and "R" too in the number and in what is scribed. Texts stay readable. Twice gives the same
// again.
PartDrawing mirrored(const PartDrawing& part);
View mirrored(const View& view);

struct Box {
  Point2 low, high;
  double wide_mm() const { return high.x - low.x; }
  double high_mm() const { return high.y - low.y; }
  friend bool operator==(const Box&, const Box&) = default;
};
// Of all shapes of a view, arcs to where they really reach; texts and dimensions do not count.
// Nothing where there are no shapes.
std::optional<Box> box_of(const View& view);
std::optional<Box> box_of(const Outline& outline);

double length_mm(const Outline& outline);
// Counted positive whichever way it is walked.
double area_mm2(const Outline& outline);

// Why it cannot be made or drawn, in words; nothing where it can. Looked at: every number finite
// and every size positive, outlines that close without crossing themselves, holes inside one plate
// (outline or disc), clear of its edge and of each other.
std::optional<std::string> why_not(const View& view);
// The same of all views, and that there is a title and a view, at most one of a kind.
std::optional<std::string> why_not(const PartDrawing& part);

// Four corners, each rounded by a radius of 0 to half the shorter side.
Outline rectangle(const Point2& low, const Point2& high, double radius_mm = 0.0);
// Straight sides between the points.
Outline polygon(const std::vector<Point2>& points);

// An arc as its circle; the bulge must not be 0 nor its ends the same.
struct Arc {
  Point2 centre;
  double radius_mm = 0.0;
  double from_rad = 0.0, to_rad = 0.0;  // turning left from from to to, to > from
};
Arc arc_of(const Point2& from, const Point2& to, double bulge);

}  // namespace trammel
