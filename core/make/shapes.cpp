#include "make/shapes.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <type_traits>

namespace trammel {
namespace {

// Closer than this, two points of a part are one.

Point2 operator+(const Point2& a, const Point2& b) { return {a.x + b.x, a.y + b.y}; }
Point2 operator-(const Point2& a, const Point2& b) { return {a.x - b.x, a.y - b.y}; }
double cross(const Point2& a, const Point2& b) { return a.x * b.y - a.y * b.x; }
double size(const Point2& a) { return std::sqrt(a.x * a.x + a.y * a.y); }
double apart(const Point2& a, const Point2& b) { return size(a - b); }

template <class Do>
void each_stretch(const Outline& o, Do&& with) {
  for (std::size_t i = 0; i < o.corners.size(); ++i)
    with(o.corners[i].at, o.corners[(i + 1) % o.corners.size()].at, o.corners[i].bulge);
}

struct Grown {
  std::optional<Box> box;
  void by(const Point2& p) {
    if (!box) box = Box{p, p};
    box->low = {std::min(box->low.x, p.x), std::min(box->low.y, p.y)};
    box->high = {std::max(box->high.x, p.x), std::max(box->high.y, p.y)};
  }
  void by(const Point2& centre, double radius) {
    by({centre.x - radius, centre.y - radius});
    by({centre.x + radius, centre.y + radius});
  }
  void by(const Point2& from, const Point2& to, double bulge) {
    by(from);
    by(to);
    if (bulge == 0.0 || from == to) return;
    const Arc a = arc_of(from, to, bulge);
    for (int quarter = -4; quarter <= 12; ++quarter) {
      const double angle = 0.5 * std::numbers::pi * quarter;
      if (angle <= a.from_rad || angle >= a.to_rad) continue;
      // The four ends of a circle are had without the rounding of sine and cosine.
      constexpr double ends[4][2] = {{1, 0}, {0, 1}, {-1, 0}, {0, -1}};
      const auto& e = ends[(quarter + 4) % 4];
      by({a.centre.x + a.radius_mm * e[0], a.centre.y + a.radius_mm * e[1]});
    }
  }
  void by(const Outline& o) {
    each_stretch(o, [&](const Point2& f, const Point2& t, double b) { by(f, t, b); });
  }
};

// Whether the direction of `p` from the centre is one the arc has.
bool in_span(const Arc& a, const Point2& p) {
  double angle = std::atan2(p.y - a.centre.y, p.x - a.centre.x);
  while (angle < a.from_rad) angle += 2.0 * std::numbers::pi;
  return angle <= a.to_rad;
}

double to_side(const Point2& p, const Point2& from, const Point2& to, double bulge) {
  const double ends = std::min(apart(p, from), apart(p, to));
  if (from == to) return ends;
  if (bulge != 0.0) {
    const Arc a = arc_of(from, to, bulge);
    return in_span(a, p) ? std::min(ends, std::fabs(apart(p, a.centre) - a.radius_mm)) : ends;
  }
  const Point2 d = to - from, q = p - from;
  const double along = (q.x * d.x + q.y * d.y) / (d.x * d.x + d.y * d.y);
  return along <= 0.0 || along >= 1.0 ? ends : std::fabs(cross(d, q)) / size(d);
}

double to_edge(const Point2& p, const Outline& o) {
  double least = std::numeric_limits<double>::infinity();
  each_stretch(o, [&](const Point2& f, const Point2& t, double b) {
    least = std::min(least, to_side(p, f, t, b));
  });
  return least;
}

// Inside the corners joined straight, put right by the caps between chord and arc.
bool inside(const Point2& p, const Outline& o) {
  bool in = false;
  each_stretch(o, [&](const Point2& f, const Point2& t, double b) {
    if ((f.y > p.y) != (t.y > p.y) && p.x < f.x + (t.x - f.x) * (p.y - f.y) / (t.y - f.y)) in = !in;
    if (b == 0.0 || f == t) return;
    const Arc a = arc_of(f, t, b);
    if (apart(p, a.centre) >= a.radius_mm) return;
    // An arc that turns left lies to the right of its chord.
    if ((cross(t - f, p - f) < 0.0) == (b > 0.0)) in = !in;
  });
  return in;
}

// As straight pieces, arcs in steps of at most 6 degrees: for crossings only.
std::vector<Point2> flattened(const Outline& o) {
  std::vector<Point2> points;
  each_stretch(o, [&](const Point2& f, const Point2& t, double b) {
    points.push_back(f);
    if (b == 0.0 || f == t) return;
    const Arc a = arc_of(f, t, b);
    const int pieces =
        std::max(2, static_cast<int>(std::ceil((a.to_rad - a.from_rad) * 30.0 / std::numbers::pi)));
    for (int i = 1; i < pieces; ++i) {
      const int k = b > 0.0 ? i : pieces - i;
      const double angle = a.from_rad + (a.to_rad - a.from_rad) * k / pieces;
      points.push_back(
          {a.centre.x + a.radius_mm * std::cos(angle), a.centre.y + a.radius_mm * std::sin(angle)});
    }
  });
  return points;
}

bool crosses_itself(const Outline& o) {
  const auto p = flattened(o);
  const std::size_t n = p.size();
  const auto turn = [](const Point2& a, const Point2& b, const Point2& c) {
    const double t = cross(b - a, c - a);
    return std::fabs(t) <= same_point_mm * apart(a, b) ? 0 : t > 0.0 ? 1 : -1;
  };
  const auto between = [](const Point2& a, const Point2& b, const Point2& c) {
    return std::min(a.x, b.x) - same_point_mm <= c.x && c.x <= std::max(a.x, b.x) + same_point_mm &&
           std::min(a.y, b.y) - same_point_mm <= c.y && c.y <= std::max(a.y, b.y) + same_point_mm;
  };
  for (std::size_t i = 0; i < n; ++i)
    for (std::size_t j = i + 1; j < n; ++j) {
      const auto &a = p[i], &b = p[(i + 1) % n], &c = p[j], &d = p[(j + 1) % n];
      if (j == i + 1 || (i == 0 && j == n - 1)) {
        // Neighbours share a corner: they must not double back on each other.
        const auto &middle = j == i + 1 ? b : a, &one = j == i + 1 ? a : b,
                   &other = j == i + 1 ? d : c;
        const Point2 u = one - middle, v = other - middle;
        if (std::fabs(cross(u, v)) <= same_point_mm * std::max(size(u), size(v)) &&
            u.x * v.x + u.y * v.y > 0.0)
          return true;
        continue;
      }
      const int t1 = turn(a, b, c), t2 = turn(a, b, d), t3 = turn(c, d, a), t4 = turn(c, d, b);
      if (t1 * t2 < 0 && t3 * t4 < 0) return true;
      if ((t1 == 0 && between(a, b, c)) || (t2 == 0 && between(a, b, d)) ||
          (t3 == 0 && between(c, d, a)) || (t4 == 0 && between(c, d, b)))
        return true;
    }
  return false;
}

std::string number(double x) {
  auto text = fmt::format("{:.2f}", x);
  while (text.back() == '0') text.pop_back();
  if (text.back() == '.') text.pop_back();
  return text == "-0" ? "0" : text;
}
std::string counted(int count) { return count > 1 ? fmt::format("{} × ", count) : ""; }
std::string and_tolerance(const std::string& words, const std::string& tolerance) {
  return tolerance.empty() ? words : words + " " + tolerance;
}

bool is_letter(char c) {
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
         static_cast<unsigned char>(c) >= 0x80;
}

std::string exchanged(const std::string& text, bool letters_too) {
  std::string out;
  for (std::size_t i = 0; i < text.size();) {
    std::size_t end = i;
    while (end < text.size() && is_letter(text[end])) ++end;
    if (end == i) {
      out += text[i++];
      continue;
    }
    auto word = text.substr(i, end - i);
    for (const auto& [a, b] : {std::pair{"left", "right"}, std::pair{"Left", "Right"},
                               std::pair{"LEFT", "RIGHT"}, std::pair{"L", "R"}}) {
      if (!letters_too && word.size() == 1) break;
      if (word == a || word == b) {
        word = word == a ? b : a;
        break;
      }
    }
    out += word;
    i = end;
  }
  return out;
}

Point2 flipped(const Point2& p) { return {-p.x, p.y}; }
void flip(Outline& o) {
  for (auto& v : o.corners) v = {flipped(v.at), -v.bulge};
}

struct FlipDimension {
  void operator()(LinearDimension& d) const {
    d.from = flipped(d.from);
    d.to = flipped(d.to);
    if (d.direction != Direction::horizontal) d.offset_mm = -d.offset_mm;
    d.words = exchanged(d.words, false);
  }
  void operator()(DiameterDimension& d) const { flip_leader(d, d.centre); }
  void operator()(RadiusDimension& d) const { flip_leader(d, d.centre); }
  void operator()(AngleDimension& d) const {
    const Point2 from = d.from;
    d.apex = flipped(d.apex);
    d.from = flipped(d.to);
    d.to = flipped(from);
    d.words = exchanged(d.words, false);
  }
  void operator()(ChamferDimension& d) const {
    d.at = flipped(d.at);
    d.towards = flipped(d.towards);
  }
  void operator()(Callout& d) const { flip_leader(d, d.at); }

 private:
  template <class D>
  static void flip_leader(D& d, Point2& at) {
    at = flipped(at);
    d.towards = flipped(d.towards);
    d.words = exchanged(d.words, false);
  }
};

bool finite(double x) { return std::isfinite(x) && std::fabs(x) < 1e6; }
bool finite(const Point2& p) { return finite(p.x) && finite(p.y); }

bool is_sound(const Dimension& dimension) {
  return std::visit(
      [](const auto& d) {
        using D = std::decay_t<decltype(d)>;
        if constexpr (std::is_same_v<D, LinearDimension>)
          return finite(d.from) && finite(d.to) && finite(d.offset_mm) && !(d.from == d.to);
        else if constexpr (std::is_same_v<D, DiameterDimension>)
          return finite(d.centre) && finite(d.diameter_mm) && d.diameter_mm > 0.0 && d.count > 0 &&
                 finite(d.towards) && size(d.towards) > 0.0;
        else if constexpr (std::is_same_v<D, RadiusDimension>)
          return finite(d.centre) && finite(d.radius_mm) && d.radius_mm > 0.0 && d.count > 0 &&
                 finite(d.towards) && size(d.towards) > 0.0;
        else if constexpr (std::is_same_v<D, AngleDimension>)
          return finite(d.apex) && finite(d.from) && finite(d.to) && finite(d.radius_mm) &&
                 d.radius_mm > 0.0 && !(d.apex == d.from) && !(d.apex == d.to);
        else if constexpr (std::is_same_v<D, ChamferDimension>)
          return finite(d.at) && finite(d.size_mm) && d.size_mm > 0.0 && finite(d.angle_deg) &&
                 d.count > 0 && finite(d.towards) && size(d.towards) > 0.0;
        else return finite(d.at) && finite(d.towards) && size(d.towards) > 0.0;
      },
      dimension);
}

std::string hole_words(const Hole& h) {
  return fmt::format("the hole Ø{} at {}, {}", number(h.diameter_mm), number(h.centre.x),
                     number(h.centre.y));
}

std::optional<std::string> why_not(const Outline& o) {
  if (o.corners.empty()) return "an outline without corners";
  bool sound = true;
  std::optional<std::string> why;
  each_stretch(o, [&](const Point2& f, const Point2& t, double b) {
    if (!finite(f) || !finite(b)) sound = false;
    if (sound && !why && apart(f, t) < same_point_mm)
      why = fmt::format("an outline has a side without length at {}, {}", number(f.x), number(f.y));
  });
  if (!sound) return "an outline has a corner that is not a number";
  if (why) return why;
  if (crosses_itself(o)) return "an outline crosses itself or encloses nothing";
  if (area_mm2(o) < same_point_mm) return "an outline encloses nothing";
  return std::nullopt;
}

// How a hole lies in a plate: whether its centre is in it, and how far from the edge.
struct Lying {
  bool in = false;
  double from_edge_mm = 0.0;
};

std::optional<std::string> why_not(const Hole& h, const View& v) {
  const double r = 0.5 * h.diameter_mm;
  std::vector<Lying> plates;
  for (const auto& o : v.outlines) plates.push_back({inside(h.centre, o), to_edge(h.centre, o)});
  for (const auto& d : v.discs) {
    const double out = apart(h.centre, d.centre), edge = 0.5 * d.diameter_mm;
    plates.push_back({out < edge, std::fabs(out - edge)});
  }
  if (plates.empty()) return hole_words(h) + " has no plate around it";
  bool in = false;
  for (const auto& p : plates) {
    if (p.from_edge_mm <= r + same_point_mm && (p.in || p.from_edge_mm < r - same_point_mm))
      return hole_words(h) + " cuts the edge of its plate";
    in = in || p.in;
  }
  if (!in) return hole_words(h) + " lies outside the plate";
  return std::nullopt;
}

}  // namespace

std::string dimension_words(const Dimension& dimension) {
  return std::visit(
      [](const auto& d) -> std::string {
        using D = std::decay_t<decltype(d)>;
        if constexpr (std::is_same_v<D, LinearDimension>) {
          const Point2 span = d.to - d.from;
          const double mm = d.direction == Direction::horizontal ? std::fabs(span.x)
                            : d.direction == Direction::vertical ? std::fabs(span.y)
                                                                 : size(span);
          return and_tolerance(d.words.empty() ? d.prefix + number(mm) : d.words, d.tolerance);
        } else if constexpr (std::is_same_v<D, DiameterDimension>) {
          if (!d.words.empty()) return d.words;
          auto words = counted(d.count) + "Ø" + number(d.diameter_mm);
          if (!d.fit.empty()) words += " " + d.fit;
          if (d.limits.empty()) return words;
          return words + (d.fit.empty() ? " " + d.limits : " (" + d.limits + ")");
        } else if constexpr (std::is_same_v<D, RadiusDimension>) {
          return and_tolerance(
              d.words.empty() ? counted(d.count) + "R" + number(d.radius_mm) : d.words,
              d.tolerance);
        } else if constexpr (std::is_same_v<D, AngleDimension>) {
          const Point2 f = d.from - d.apex, t = d.to - d.apex;
          double angle = std::atan2(t.y, t.x) - std::atan2(f.y, f.x);
          if (angle < 0.0) angle += 2.0 * std::numbers::pi;
          return and_tolerance(
              d.words.empty() ? number(angle * 180.0 / std::numbers::pi) + "°" : d.words,
              d.tolerance);
        } else if constexpr (std::is_same_v<D, ChamferDimension>) {
          return fmt::format("{}{} × {}°", counted(d.count), number(d.size_mm),
                             number(d.angle_deg));
        } else {
          return d.words;
        }
      },
      dimension);
}

View mirrored(const View& view) {
  View v = view;
  v.name = exchanged(v.name, false);
  v.face = exchanged(v.face, false);
  if (v.seen == SeenFrom::from_left || v.seen == SeenFrom::from_right)
    v.seen = v.seen == SeenFrom::from_left ? SeenFrom::from_right : SeenFrom::from_left;
  for (auto& o : v.outlines) flip(o);
  for (auto& c : v.discs) c.centre = flipped(c.centre);
  for (auto& h : v.holes) h.centre = flipped(h.centre);
  for (auto& c : v.circles) c.centre = flipped(c.centre);
  for (auto& l : v.lines) l = {flipped(l.from), flipped(l.to), -l.bulge, l.kind};
  for (auto& f : v.folds) f = {flipped(f.from), flipped(f.to), f.angle_deg, f.up};
  for (auto& h : v.hatches)
    for (auto& o : h.edges) flip(o);
  for (auto& t : v.texts) {
    t.at = flipped(t.at);
    t.words = exchanged(t.words, true);
    // Upright lines of text run from the bottom up on either hand.
    if (std::fabs(t.turn_deg) == 90.0) continue;
    t.turn_deg = -t.turn_deg;
    if (t.anchor != TextAnchor::middle)
      t.anchor = t.anchor == TextAnchor::start ? TextAnchor::end : TextAnchor::start;
  }
  for (auto& d : v.dimensions) std::visit(FlipDimension{}, d);
  return v;
}

PartDrawing mirrored(const PartDrawing& part) {
  PartDrawing p = part;
  p.title = exchanged(p.title, false);
  p.number = exchanged(p.number, true);
  p.quantity = exchanged(p.quantity, false);
  p.finish = exchanged(p.finish, false);
  p.caution = exchanged(p.caution, false);
  for (auto& n : p.notes) n = exchanged(n, false);
  if (p.hand != Hand::both) p.hand = p.hand == Hand::left ? Hand::right : Hand::left;
  for (auto& v : p.views) v = mirrored(v);
  return p;
}

std::optional<Box> box_of(const Outline& outline) {
  Grown g;
  g.by(outline);
  return g.box;
}

std::optional<Box> box_of(const View& v) {
  Grown g;
  for (const auto& o : v.outlines) g.by(o);
  for (const auto& c : v.discs) g.by(c.centre, 0.5 * c.diameter_mm);
  for (const auto& h : v.holes) g.by(h.centre, 0.5 * h.diameter_mm);
  for (const auto& c : v.circles) g.by(c.centre, 0.5 * c.diameter_mm);
  for (const auto& l : v.lines) g.by(l.from, l.to, l.bulge);
  for (const auto& f : v.folds) {
    g.by(f.from);
    g.by(f.to);
  }
  for (const auto& h : v.hatches)
    for (const auto& o : h.edges) g.by(o);
  return g.box;
}

double length_mm(const Outline& o) {
  double sum = 0.0;
  each_stretch(o, [&](const Point2& f, const Point2& t, double b) {
    if (b == 0.0 || f == t) {
      sum += apart(f, t);
      return;
    }
    const Arc a = arc_of(f, t, b);
    sum += a.radius_mm * (a.to_rad - a.from_rad);
  });
  return sum;
}

double area_mm2(const Outline& o) {
  double sum = 0.0;
  each_stretch(o, [&](const Point2& f, const Point2& t, double b) {
    sum += 0.5 * cross(f, t);
    if (b == 0.0 || f == t) return;
    const Arc a = arc_of(f, t, b);
    const double angle = a.to_rad - a.from_rad;
    sum += (b > 0.0 ? 0.5 : -0.5) * a.radius_mm * a.radius_mm * (angle - std::sin(angle));
  });
  return std::fabs(sum);
}

std::optional<std::string> why_not(const View& v) {
  for (const auto& o : v.outlines)
    if (auto why = why_not(o)) return why;
  for (const auto& h : v.hatches)
    for (const auto& o : h.edges)
      if (auto why = why_not(o)) return why;
  const auto no_circle = [](const Point2& centre, double diameter_mm) {
    return !finite(centre) || !finite(diameter_mm) || diameter_mm <= 0.0;
  };
  for (const auto* circles : {&v.discs, &v.circles})
    for (const auto& c : *circles)
      if (no_circle(c.centre, c.diameter_mm)) return "a circle without a size or a place";
  for (const auto& h : v.holes)
    if (no_circle(h.centre, h.diameter_mm)) return "a hole without a size or a place";
  for (const auto& l : v.lines)
    if (!finite(l.from) || !finite(l.to) || !finite(l.bulge) || l.from == l.to)
      return "a line without a length or a place";
  for (const auto& f : v.folds)
    if (!finite(f.from) || !finite(f.to) || !finite(f.angle_deg) || f.from == f.to)
      return "a fold without a length or a place";
  for (const auto& t : v.texts)
    if (!finite(t.at) || !finite(t.height_mm) || t.height_mm <= 0.0 || !finite(t.turn_deg))
      return "a text without a size or a place";
  for (const auto& d : v.dimensions)
    if (!is_sound(d)) return "a dimension that measures nothing: " + dimension_words(d);
  for (std::size_t i = 0; i < v.holes.size(); ++i) {
    if (auto why = why_not(v.holes[i], v)) return why;
    for (std::size_t j = 0; j < i; ++j)
      if (apart(v.holes[i].centre, v.holes[j].centre) <=
          0.5 * (v.holes[i].diameter_mm + v.holes[j].diameter_mm) + same_point_mm)
        return hole_words(v.holes[i]) + " runs into " + hole_words(v.holes[j]);
  }
  if (!box_of(v)) return "a view without shapes";
  return std::nullopt;
}

std::optional<std::string> why_not(const PartDrawing& part) {
  if (part.title.empty()) return "the drawing has no title";
  if (part.views.empty()) return "the drawing has no view";
  for (std::size_t i = 0; i < part.views.size(); ++i) {
    const auto& v = part.views[i];
    if (auto why = why_not(v)) return v.name.empty() ? *why : v.name + ": " + *why;
    for (std::size_t j = 0; j < i; ++j)
      if (v.seen != SeenFrom::elsewhere && v.seen == part.views[j].seen)
        return "two views from the same place: " + part.views[j].name + ", " + v.name;
  }
  return std::nullopt;
}

Outline rectangle(const Point2& low, const Point2& high, double radius_mm) {
  const double r = radius_mm;
  if (!(r > 0.0)) return polygon({low, {high.x, low.y}, high, {low.x, high.y}});
  const double round = std::tan(std::numbers::pi / 8.0);
  // A side of which nothing is left between two roundings is left out.
  Outline o;
  const auto add = [&](const Point2& at, double bulge) {
    if (!o.corners.empty() && apart(o.corners.back().at, at) < same_point_mm)
      o.corners.back().bulge = bulge;
    else o.corners.push_back({at, bulge});
  };
  add({low.x + r, low.y}, 0.0);
  add({high.x - r, low.y}, round);
  add({high.x, low.y + r}, 0.0);
  add({high.x, high.y - r}, round);
  add({high.x - r, high.y}, 0.0);
  add({low.x + r, high.y}, round);
  add({low.x, high.y - r}, 0.0);
  add({low.x, low.y + r}, round);
  return o;
}

Outline polygon(const std::vector<Point2>& points) {
  Outline o;
  for (const auto& p : points) o.corners.push_back({p, 0.0});
  return o;
}

Arc arc_of(const Point2& from, const Point2& to, double bulge) {
  const Point2 chord = to - from;
  const double half = 0.5 * size(chord);
  Arc a;
  a.radius_mm = half * (1.0 + bulge * bulge) / (2.0 * std::fabs(bulge));
  // From the middle of the chord to the left, as far as the arc has not yet turned half.
  const double left = (1.0 - bulge * bulge) / (4.0 * bulge);
  a.centre = from + Point2{0.5 * chord.x - left * chord.y, 0.5 * chord.y + left * chord.x};
  const Point2& first = bulge > 0.0 ? from : to;
  a.from_rad = std::atan2(first.y - a.centre.y, first.x - a.centre.x);
  a.to_rad = a.from_rad + 4.0 * std::atan(std::fabs(bulge));
  return a;
}

}  // namespace trammel
