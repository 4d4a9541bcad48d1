#include "make/ink.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>

namespace trammel {
namespace {

// Of dimensions, on paper. ISO 129-1 leaves the lengths to the drawer; these are usual.
constexpr double extension_gap_mm = 1.0, extension_past_mm = 2.0;
constexpr double row_mm = 7.0;            // from one dimension line to the next
constexpr double text_above_mm = 1.0;     // between a line and the words on it
constexpr double outside_arrow_mm = 7.0;  // line behind an arrow that points inwards
constexpr double clear_of_view_mm = 5.0;  // from the shapes to the words of a leader
constexpr double centre_mark_past_mm = 3.0;
constexpr double hatch_gap_mm = 2.5;

Point2 operator+(const Point2& a, const Point2& b) { return {a.x + b.x, a.y + b.y}; }
Point2 operator-(const Point2& a, const Point2& b) { return {a.x - b.x, a.y - b.y}; }
Point2 operator*(double s, const Point2& a) { return {s * a.x, s * a.y}; }
double size(const Point2& a) { return std::sqrt(a.x * a.x + a.y * a.y); }
double cross(const Point2& a, const Point2& b) { return a.x * b.y - a.y * b.x; }
Point2 unit(const Point2& a) { return (1.0 / size(a)) * a; }
Point2 left_of(const Point2& a) { return {-a.y, a.x}; }

bool overlap(const Box& a, const Box& b) {
  return a.low.x < b.high.x && b.low.x < a.high.x && a.low.y < b.high.y && b.low.y < a.high.y;
}
Box around(const Point2& a, const Point2& b, double margin) {
  return {{std::min(a.x, b.x) - margin, std::min(a.y, b.y) - margin},
          {std::max(a.x, b.x) + margin, std::max(a.y, b.y) + margin}};
}
bool passes(const Point2& from, const Point2& to, const Box& box) {
  constexpr int steps = 40;
  for (int i = 0; i <= steps; ++i) {
    const Point2 p = from + (static_cast<double>(i) / steps) * (to - from);
    if (p.x > box.low.x && p.x < box.high.x && p.y > box.low.y && p.y < box.high.y) return true;
  }
  return false;
}
bool crossing(const Point2& a, const Point2& b, const Point2& c, const Point2& d) {
  return cross(b - a, c - a) * cross(b - a, d - a) < 0.0 &&
         cross(d - c, a - c) * cross(d - c, b - c) < 0.0;
}

Box text_box(const InkText& t) {
  const double wide = words_wide_mm(t.words, t.size_mm);
  const double start = t.anchor == TextAnchor::start    ? 0.0
                       : t.anchor == TextAnchor::middle ? -0.5 * wide
                                                        : -wide;
  const double a = t.turn_deg * std::numbers::pi / 180.0;
  const Point2 along{std::cos(a), std::sin(a)}, up = left_of(along);
  Box box{{1e9, 1e9}, {-1e9, -1e9}};
  for (const double x : {start, start + wide})
    for (const double y : {-0.25 * t.size_mm, 0.8 * t.size_mm}) {
      const Point2 p = t.at + x * along + y * up;
      box.low = {std::min(box.low.x, p.x), std::min(box.low.y, p.y)};
      box.high = {std::max(box.high.x, p.x), std::max(box.high.y, p.y)};
    }
  return box;
}

// What is crossed by the hatching lines of one direction, along and across them.
class HatchLines {
 public:
  HatchLines(const Hatch& h, double scale)
      : along_{std::cos(h.angle_deg * std::numbers::pi / 180.0),
               std::sin(h.angle_deg * std::numbers::pi / 180.0)} {
    for (const auto& o : h.edges)
      for (std::size_t i = 0; i < o.corners.size(); ++i)
        sides_.push_back({scale * o.corners[i].at, scale * o.corners[(i + 1) % o.corners.size()].at,
                          o.corners[i].bulge});
  }
  void draw(Ink& ink) const {
    double low = std::numeric_limits<double>::infinity(), high = -low;
    for (const auto& s : sides_) {
      const double reach =
          s.bulge == 0.0 || s.from == s.to ? 0.0 : 2.0 * arc_of(s.from, s.to, s.bulge).radius_mm;
      for (const auto& p : {s.from, s.to}) {
        low = std::min(low, across(p) - reach);
        high = std::max(high, across(p) + reach);
      }
    }
    if (!(high > low)) return;
    // Lines stand at whole gaps of the view, so that two halves of one section match.
    const double first = std::ceil(low / hatch_gap_mm), last = std::floor(high / hatch_gap_mm);
    if (last - first > 4000.0) return;
    for (double k = first; k <= last; k += 1.0) {
      // Off the corners, which lie on round numbers.
      const double c = hatch_gap_mm * k + 0.0137;
      auto cuts = crossings(c);
      std::sort(cuts.begin(), cuts.end());
      for (std::size_t i = 0; i + 1 < cuts.size(); i += 2)
        ink.line(InkRole::hatch, at(cuts[i], c), at(cuts[i + 1], c));
    }
  }

 private:
  double along(const Point2& p) const { return p.x * along_.x + p.y * along_.y; }
  double across(const Point2& p) const { return cross(along_, p); }
  Point2 at(double a, double c) const { return a * along_ + c * left_of(along_); }

  std::vector<double> crossings(double c) const {
    std::vector<double> cuts;
    for (const auto& s : sides_) {
      if (s.from == s.to) continue;
      if (s.bulge == 0.0) {
        const double f = across(s.from) - c, t = across(s.to) - c;
        if ((f > 0.0) != (t > 0.0))
          cuts.push_back(along(s.from) + (along(s.to) - along(s.from)) * f / (f - t));
        continue;
      }
      const Arc a = arc_of(s.from, s.to, s.bulge);
      const double h = c - across(a.centre);
      if (std::fabs(h) >= a.radius_mm) continue;
      const double half = std::sqrt(a.radius_mm * a.radius_mm - h * h);
      for (const double x : {along(a.centre) - half, along(a.centre) + half}) {
        const Point2 p = at(x, c);
        double angle = std::atan2(p.y - a.centre.y, p.x - a.centre.x);
        while (angle < a.from_rad) angle += 2.0 * std::numbers::pi;
        if (angle < a.to_rad) cuts.push_back(x);
      }
    }
    return cuts;
  }

  Point2 along_;
  std::vector<Stretch> sides_;
};

InkRole role_of(LineKind kind) {
  switch (kind) {
    case LineKind::visible:
      return InkRole::visible;
    case LineKind::hidden:
      return InkRole::hidden;
    case LineKind::centre:
      return InkRole::centre;
    case LineKind::thin:
      return InkRole::thin;
  }
  return InkRole::thin;
}

InkPath scaled(InkRole role, const Outline& o, double scale) {
  InkPath path{role, o.corners, true};
  for (auto& v : path.corners) v.at = scale * v.at;
  return path;
}

void cross_at(Ink& ink, InkRole role, const Point2& at, double reach) {
  ink.line(role, {at.x - reach, at.y}, {at.x + reach, at.y});
  ink.line(role, {at.x, at.y - reach}, {at.x, at.y + reach});
}

std::string fold_words(const Fold& f) {
  auto angle = fmt::format("{:.1f}", f.angle_deg);
  if (angle.size() > 2 && angle.substr(angle.size() - 2) == ".0") angle.resize(angle.size() - 2);
  return fmt::format("fold {} {}°", f.up ? "up" : "down", angle);
}

// Shapes that a drawing and a template have in common.
Ink shapes(const View& v, double scale) {
  Ink ink;
  for (const auto& h : v.hatches) HatchLines(h, scale).draw(ink);
  for (const auto& o : v.outlines) ink.paths.push_back(scaled(InkRole::cut, o, scale));
  for (const auto& d : v.discs)
    ink.circles.push_back({InkRole::cut, scale * d.centre, 0.5 * scale * d.diameter_mm});
  for (const auto& h : v.holes)
    ink.circles.push_back({InkRole::hole, scale * h.centre, 0.5 * scale * h.diameter_mm});
  for (const auto& c : v.circles)
    ink.circles.push_back({role_of(c.kind), scale * c.centre, 0.5 * scale * c.diameter_mm});
  for (const auto& l : v.lines)
    ink.paths.push_back({role_of(l.kind), {{scale * l.from, l.bulge}, {scale * l.to, 0.0}}, false});
  for (const auto& f : v.folds) {
    const Point2 from = scale * f.from, to = scale * f.to;
    ink.line(InkRole::fold, from, to);
    // Read from below or from the right.
    Point2 along = unit(to - from);
    if (along.x < -1e-9 || (std::fabs(along.x) <= 1e-9 && along.y < 0.0)) along = -1.0 * along;
    ink.texts.push_back(
        {InkRole::text, 0.5 * (from + to) + text_above_mm * left_of(along), fold_words(f), 3.0,
         std::atan2(along.y, along.x) * 180.0 / std::numbers::pi, TextAnchor::middle});
  }
  for (const auto& t : v.texts)
    ink.texts.push_back({InkRole::text, scale * t.at, t.words, t.height_mm, t.turn_deg, t.anchor});
  return ink;
}

// Puts dimensions round a view, each clear of those before it.
class Dimensioner {
 public:
  Dimensioner(const View& view, double scale, Ink& ink)
      : scale_(scale), ink_(ink), view_box_(box_of(view).value_or(Box{})) {
    view_box_.low = scale * view_box_.low;
    view_box_.high = scale * view_box_.high;
    for (const auto& t : ink.texts) taken_.push_back(text_box(t));
    for (const auto& h : view.holes)
      centres_.push_back({InkRole::hole, scale * h.centre, 0.5 * scale * h.diameter_mm});
    for (const auto& d : view.discs)
      centres_.push_back({InkRole::cut, scale * d.centre, 0.5 * scale * d.diameter_mm});
  }

  void draw(const std::vector<Dimension>& dimensions) {
    // Lines first, the shorter nearer to the view so that none crosses the extension of another.
    std::vector<const LinearDimension*> linear;
    for (const auto& d : dimensions)
      if (const auto* l = std::get_if<LinearDimension>(&d)) linear.push_back(l);
    std::stable_sort(linear.begin(), linear.end(),
                     [&](const auto* a, const auto* b) { return span(*a) < span(*b) - 1e-9; });
    for (const auto* l : linear) {
      const Frame f = frame(*l);
      std::vector<double> others;
      for (const auto* o : linear) {
        if (o == l) continue;
        const Frame g = frame(*o);
        if (on(f.out, g.out) < 0.999) continue;
        others.push_back(on(f.along, g.from));
        others.push_back(on(f.along, g.to));
      }
      straight(*l, others);
    }
    for (const auto& d : dimensions)
      if (const auto* a = std::get_if<AngleDimension>(&d)) angle(*a, dimension_words(d));
    for (const auto& d : dimensions) {
      const auto words = dimension_words(d);
      if (const auto* e = std::get_if<DiameterDimension>(&d))
        leader(scale_ * e->centre, 0.5 * scale_ * e->diameter_mm, e->towards, words);
      else if (const auto* r = std::get_if<RadiusDimension>(&d))
        leader(scale_ * r->centre, scale_ * r->radius_mm, r->towards, words);
      else if (const auto* c = std::get_if<ChamferDimension>(&d))
        leader(scale_ * c->at, 0.0, c->towards, words);
      else if (const auto* n = std::get_if<Callout>(&d))
        leader(scale_ * n->at, 0.0, n->towards, words);
    }
  }

 private:
  struct Frame {
    Point2 from, to;    // what is measured, on paper
    Point2 along, out;  // of the dimension line, and away from the view
    double base;        // along `out`, from where offsets count
    double first_row;
  };

  double span(const LinearDimension& d) const {
    return d.direction == Direction::horizontal ? std::fabs(d.to.x - d.from.x)
           : d.direction == Direction::vertical ? std::fabs(d.to.y - d.from.y)
                                                : size(d.to - d.from);
  }

  Frame frame(const LinearDimension& d) const {
    Frame f;
    f.from = scale_ * d.from;
    f.to = scale_ * d.to;
    const bool positive = d.offset_mm >= 0.0;
    f.first_row = std::fabs(d.offset_mm);
    if (d.direction == Direction::horizontal) {
      f.along = {1.0, 0.0};
      f.out = {0.0, positive ? 1.0 : -1.0};
      f.base = positive ? view_box_.high.y : -view_box_.low.y;
    } else if (d.direction == Direction::vertical) {
      f.along = {0.0, 1.0};
      f.out = {positive ? 1.0 : -1.0, 0.0};
      f.base = positive ? view_box_.high.x : -view_box_.low.x;
    } else {
      f.out = (positive ? 1.0 : -1.0) * left_of(unit(f.to - f.from));
      f.along = unit(f.to - f.from);
      if (f.along.x < -1e-9 || (std::fabs(f.along.x) <= 1e-9 && f.along.y < 0.0))
        f.along = -1.0 * f.along;
      f.base = on(f.out, f.from);
    }
    if (on(f.along, f.from) > on(f.along, f.to)) std::swap(f.from, f.to);
    return f;
  }
  static double on(const Point2& axis, const Point2& p) { return axis.x * p.x + axis.y * p.y; }

  // `others`: where the extension lines of other dimensions on that side may cross the row.
  void straight(const LinearDimension& d, const std::vector<double>& others) {
    const Frame f = frame(d);
    const auto words = dimension_words(d);
    const double wide = words_wide_mm(words, dimension_size_mm);
    const double a = on(f.along, f.from), b = on(f.along, f.to);
    const bool arrows_inside = b - a >= 2.0 * arrow_long_mm + 2.0;
    const double tail = arrows_inside ? 0.0 : outside_arrow_mm;
    const double t0 = words_start(a, b, tail, wide, others);
    const double begin = std::min(a - tail, t0 < a ? t0 : a);
    const double end = std::max(b + tail, t0 > b ? t0 + wide : b);
    const auto point = [&](double along, double out) { return along * f.along + out * f.out; };
    double row = f.base + f.first_row;
    // Words lie to the left of the line's way, which may be towards the view or away from it.
    const double up = on(f.out, left_of(f.along));
    const auto box = [&](double r) {
      const Box line = around(point(begin, r), point(end, r), 0.7);
      const double text_out = r + up * (text_above_mm + 0.8 * dimension_size_mm);
      const Box text = around(point(t0, r), point(t0 + wide, text_out), 0.3);
      return std::pair{line, text};
    };
    for (int tries = 0; tries < 40; ++tries) {
      const auto [line, text] = box(row);
      if (!is_taken(line) && !is_taken(text)) break;
      row += row_mm;
    }
    const auto [line, text] = box(row);
    taken_.push_back(line);
    taken_.push_back(text);

    for (const auto& p : {f.from, f.to}) {
      const double at = on(f.along, p), out = on(f.out, p);
      const double away = row > out ? 1.0 : -1.0, start = out + away * gap_at(p);
      // No extension where the line runs through the point itself.
      if ((row - start) * away > 0.0)
        ink_.line(InkRole::dimension, point(at, start), point(at, row + away * extension_past_mm));
    }
    ink_.line(InkRole::dimension, point(begin, row), point(end, row));
    const double way = arrows_inside ? 1.0 : -1.0;
    ink_.arrows.push_back({point(a, row), -way * f.along});
    ink_.arrows.push_back({point(b, row), way * f.along});
    ink_.texts.push_back(
        {InkRole::dimension, point(t0 + 0.5 * wide, row) + text_above_mm * left_of(f.along), words,
         dimension_size_mm, std::atan2(f.along.y, f.along.x) * 180.0 / std::numbers::pi,
         TextAnchor::middle});
  }

  // Where the words begin along the row: in the middle of what is measured where there is room,
  // else beyond an end; where no extension line of another dimension runs through them, if that can
  // be.
  static double words_start(double a, double b, double tail, double wide,
                            const std::vector<double>& others) {
    const auto crossed = [&](double t) {
      return std::any_of(others.begin(), others.end(),
                         [&](double x) { return x > t - 0.5 && x < t + wide + 0.5; });
    };
    const double middle = 0.5 * (a + b - wide);
    if (b - a >= wide + 1.0) {
      for (double aside = 0.0; aside <= 0.5 * (b - a - wide) - 0.5; aside += 1.0)
        for (const double t : {middle - aside, middle + aside})
          if (!crossed(t)) return t;
      return middle;
    }
    const double beyond = std::max(tail, 2.0);
    for (double farther = 0.0; farther <= 30.0; farther += 1.0)
      for (const double t : {b + beyond + farther, a - beyond - farther - wide})
        if (!crossed(t)) return t;
    return b + beyond;
  }

  // From a point to its extension line; a centre mark is part of the line already.
  double gap_at(const Point2& p) const {
    for (const auto& c : centres_)
      if (size(p - c.centre) < 1e-6) return c.radius_mm + centre_mark_past_mm;
    return extension_gap_mm;
  }

  void angle(const AngleDimension& d, const std::string& words) {
    const Point2 apex = scale_ * d.apex, f = d.from - d.apex, t = d.to - d.apex;
    const double from = std::atan2(f.y, f.x);
    double turn = std::atan2(t.y, t.x) - from;
    if (turn <= 0.0) turn += 2.0 * std::numbers::pi;
    const double r = scale_ * d.radius_mm;
    const auto at = [&](double angle, double radius) {
      return apex + radius * Point2{std::cos(angle), std::sin(angle)};
    };
    // Two arcs of half the turn: neither is a full circle.
    const double bulge = std::tan(turn / 8.0);
    ink_.paths.push_back(
        {InkRole::dimension,
         {{at(from, r), bulge}, {at(from + 0.5 * turn, r), bulge}, {at(from + turn, r), 0.0}},
         false});
    const int pieces = std::max(4, static_cast<int>(turn * r / 4.0));
    for (int i = 0; i < pieces; ++i)
      arcs_.push_back(
          around(at(from + turn * i / pieces, r), at(from + turn * (i + 1) / pieces, r), 0.3));
    for (const auto& [angle, end] : {std::pair{from, d.from}, std::pair{from + turn, d.to}}) {
      const double leg = scale_ * size(end - d.apex) + gap_at(scale_ * end);
      if (leg < r) ink_.line(InkRole::dimension, at(angle, leg), at(angle, r + extension_past_mm));
    }
    // Heads are chords of the arc, not tangents.
    const double lean = 0.5 * arrow_long_mm / r;
    const Point2 first = at(from + lean, 1.0) - apex, last = at(from + turn - lean, 1.0) - apex;
    const double way = turn * r >= 2.0 * arrow_long_mm + 2.0 ? 1.0 : -1.0;
    ink_.arrows.push_back({at(from, r), -way * left_of(first)});
    ink_.arrows.push_back({at(from + turn, r), way * left_of(last)});
    const double middle = from + 0.5 * turn;
    const double wide = words_wide_mm(words, dimension_size_mm);
    // Level, outside the arc, moved out until its box clears it.
    InkText text{InkRole::dimension, {}, words, dimension_size_mm, 0.0, TextAnchor::middle};
    double out = r + 1.0 + 0.5 * wide * std::fabs(std::cos(middle)) +
                 0.5 * dimension_size_mm * std::fabs(std::sin(middle));
    for (int tries = 0; tries < 20; ++tries, out += 2.0) {
      text.at = at(middle, out) - Point2{0.0, 0.36 * dimension_size_mm};
      if (!is_taken(text_box(text))) break;
    }
    taken_.push_back(text_box(text));
    ink_.texts.push_back(text);
  }

  // From the circle outwards until the view is left behind, then level under the words.
  void leader(const Point2& centre, double radius, const Point2& towards,
              const std::string& words) {
    const double wide = words_wide_mm(words, dimension_size_mm);
    struct Way {
      Point2 tip, elbow, end;
      Box text;
      double cost = 0.0;
    };
    std::optional<Way> best;
    for (const double turn_deg :
         {0.0, 8.0, -8.0, 16.0, -16.0, 26.0, -26.0, 38.0, -38.0, 50.0, -50.0})
      for (double longer = 0.0; longer <= 40.0; longer += 3.5) {
        const double a = std::atan2(towards.y, towards.x) + turn_deg * std::numbers::pi / 180.0;
        const Point2 along{std::cos(a), std::sin(a)};
        Way w;
        w.tip = centre + radius * along;
        w.elbow = w.tip + (leaves(w.tip, along) + longer) * along;
        const double side = along.x >= -1e-9 ? 1.0 : -1.0;
        w.end = w.elbow + Point2{side * (wide + 1.0), 0.0};
        w.text = {{std::min(w.elbow.x, w.end.x), w.elbow.y - 0.6},
                  {std::max(w.elbow.x, w.end.x), w.elbow.y + text_above_mm + dimension_size_mm}};
        w.cost = longer + 0.35 * std::fabs(turn_deg);
        if (is_taken(w.text) || overlap(w.text, view_box_)) w.cost += 1000.0;
        // A leader may cross the arc of an angle, its words may not.
        for (const auto& t : arcs_)
          if (overlap(w.text, t)) w.cost += 100.0;
        for (const auto& t : taken_)
          if (passes(w.tip, w.elbow, t)) w.cost += 100.0;
        for (const auto& l : leaders_)
          if (crossing(w.tip, w.elbow, l[0], l[1]) || passes(l[0], l[1], w.text)) w.cost += 100.0;
        if (!best || w.cost < best->cost) best = w;
      }
    taken_.push_back(best->text);
    leaders_.push_back({best->tip, best->elbow});
    ink_.paths.push_back(
        {InkRole::dimension, {{best->tip, 0.0}, {best->elbow, 0.0}, {best->end, 0.0}}, false});
    ink_.arrows.push_back({best->tip, unit(best->tip - best->elbow)});
    ink_.texts.push_back(
        {InkRole::dimension,
         {std::min(best->elbow.x, best->end.x) + 0.5, best->elbow.y + text_above_mm},
         words,
         dimension_size_mm,
         0.0,
         TextAnchor::start});
  }

  // How far along a way a point is clear of the view.
  double leaves(const Point2& from, const Point2& along) const {
    double least = std::numeric_limits<double>::infinity();
    const auto wall = [&](double at, double speed, double low, double high) {
      if (speed > 1e-9) least = std::min(least, (high + clear_of_view_mm - at) / speed);
      if (speed < -1e-9) least = std::min(least, (low - clear_of_view_mm - at) / speed);
    };
    wall(from.x, along.x, view_box_.low.x, view_box_.high.x);
    wall(from.y, along.y, view_box_.low.y, view_box_.high.y);
    return std::max(least, 7.0);
  }

  bool is_taken(const Box& b) const {
    return std::any_of(taken_.begin(), taken_.end(), [&](const Box& t) { return overlap(t, b); });
  }

  double scale_;
  Ink& ink_;
  Box view_box_;
  std::vector<InkCircle> centres_;  // with a centre mark
  std::vector<Box> taken_, arcs_;
  std::vector<std::array<Point2, 2>> leaders_;
};

}  // namespace

double words_wide_mm(const std::string& words, double size_mm) {
  double ems = 0.0;
  for (const char c : words) {
    if ((static_cast<unsigned char>(c) & 0xC0) == 0x80) continue;  // goes with the one before
    const bool narrow = c == ' ' || c == '.' || c == ',' || c == ':' || c == 'i' || c == 'l' ||
                        c == 'j' || c == '(' || c == ')' || c == '/' || c == '\'';
    const bool broad = c == 'm' || c == 'w' || c == 'M' || c == 'W' || c == '+' || c == '=' ||
                       static_cast<unsigned char>(c) >= 0xC0;
    const bool capital = c >= 'A' && c <= 'Z';
    ems += narrow ? 0.36 : broad ? 0.85 : capital ? 0.7 : 0.62;
  }
  return ems * size_mm;
}

std::vector<std::string> wrapped(const std::string& words, double size_mm, double wide_mm) {
  std::vector<std::string> lines;
  std::string line;
  std::size_t i = 0;
  while (i < words.size()) {
    const std::size_t end = std::min(words.find(' ', i), words.size());
    const auto word = words.substr(i, end - i);
    i = end + 1;
    if (word.empty()) continue;
    const auto longer = line.empty() ? word : fmt::format("{} {}", line, word);
    if (!line.empty() && words_wide_mm(longer, size_mm) > wide_mm) {
      lines.push_back(line);
      line = word;
    } else {
      line = longer;
    }
  }
  if (!line.empty()) lines.push_back(line);
  return lines;
}

Ink drawn(const View& view, double scale) {
  Ink ink = shapes(view, scale);
  for (const auto& h : view.holes)
    cross_at(ink, InkRole::centre, scale * h.centre,
             0.5 * scale * h.diameter_mm + centre_mark_past_mm);
  for (const auto& d : view.discs)
    cross_at(ink, InkRole::centre, scale * d.centre,
             0.5 * scale * d.diameter_mm + centre_mark_past_mm);
  Dimensioner(view, scale, ink).draw(view.dimensions);
  return ink;
}

Ink drawn_as_template(const View& view) {
  Ink ink = shapes(view, 1.0);
  for (const auto& h : view.holes) {
    const double r = 0.5 * h.diameter_mm;
    cross_at(ink, InkRole::thin, h.centre, r + centre_mark_past_mm);
    const DiameterDimension d{h.centre, h.diameter_mm, 1, "", "", "", {}};
    ink.texts.push_back({InkRole::text, h.centre + Point2{0.72 * r + 1.0, 0.72 * r + 1.0},
                         dimension_words(d), 3.0, 0.0, TextAnchor::start});
  }
  for (const auto& d : view.discs) cross_at(ink, InkRole::thin, d.centre, 5.0);
  return ink;
}

Box box_of(const Ink& ink) {
  std::optional<Box> all;
  const auto grow = [&](const Box& b) {
    if (!all) {
      all = b;
      return;
    }
    all->low = {std::min(all->low.x, b.low.x), std::min(all->low.y, b.low.y)};
    all->high = {std::max(all->high.x, b.high.x), std::max(all->high.y, b.high.y)};
  };
  for (const auto& p : ink.paths) {
    for (const auto& v : p.corners) grow({v.at, v.at});
    // An arc by the outline it makes with its chord.
    for (std::size_t i = 0; i < p.corners.size(); ++i) {
      if (p.corners[i].bulge == 0.0 || (!p.closed && i + 1 == p.corners.size())) continue;
      const Outline cap{{p.corners[i], {p.corners[(i + 1) % p.corners.size()].at, 0.0}}};
      if (const auto b = box_of(cap)) grow(*b);
    }
  }
  for (const auto& c : ink.circles) grow(around(c.centre, c.centre, c.radius_mm));
  for (const auto& a : ink.arrows)
    grow(around(a.tip, a.tip - arrow_long_mm * a.along, arrow_half_mm));
  for (const auto& t : ink.texts) grow(text_box(t));
  return all.value_or(Box{});
}

}  // namespace trammel
