#include "make/drawing_svg.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <optional>

#include "make/ink.h"
#include "told/markup.h"

namespace trammel {
namespace {

// ISO 128-2: two widths, one to two.
constexpr double wide_line_mm = 0.5, narrow_line_mm = 0.25;
// No capital on any sheet is lower than 2 mm: it is read at arm's length, with oily hands.
constexpr double least_mm = 2.0 / 0.7;
constexpr double small_mm = 2.9, plain_mm = 3.2;
constexpr double stamp_mm = 6.5, stamp_gap_mm = 8.0;
constexpr double bar_long_mm = 100.0, bar_high_mm = 1.6;
constexpr const char* bar_words = "100 mm: measure it. Print at 100 %, not fitted to the page.";
constexpr const char* too_large =
    "the views, with their dimensions and notes, do not fit on a sheet";
constexpr const char* demo_words = "DEMO: an invented car. Do not make this part.";
// In the order tried, 2:1 apart.
constexpr std::array<double, 8> smaller{1.0, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01, 0.001};
constexpr double enlarged = 2.0, small_part_mm = 40.0;

std::string mm(double x) {
  auto text = fmt::format("{:.3f}", x);
  while (text.back() == '0') text.pop_back();
  if (text.back() == '.') text.pop_back();
  return text == "-0" ? "0" : text;
}

double line_wide_mm(InkRole role) {
  return role == InkRole::cut || role == InkRole::hole || role == InkRole::visible ? wide_line_mm
                                                                                   : narrow_line_mm;
}
// ISO 128-2 for the narrow line, in mm.
const char* dashes(InkRole role) {
  switch (role) {
    case InkRole::hidden:
      return "2 0.75";
    case InkRole::centre:
      return "6 0.75 0.4 0.75";
    case InkRole::fold:
      return "6 0.75 0.4 0.75 0.4 0.75";
    default:
      return "";
  }
}

// A sheet; x to the right and y down from its upper left corner.
class Sheet {
 public:
  Sheet(double wide, double high) : wide_(wide), high_(high) {}

  double wide() const { return wide_; }
  double high() const { return high_; }

  void line(double x0, double y0, double x1, double y1, double width = narrow_line_mm,
            const char* dash = "") {
    stroke(fmt::format("M{} {}L{} {}", mm(x0), mm(y0), mm(x1), mm(y1)), width, dash);
  }
  void box(double x, double y, double wide, double high, double width = narrow_line_mm) {
    stroke(fmt::format("M{} {}h{}v{}h{}Z", mm(x), mm(y), mm(wide), mm(high), mm(-wide)), width, "");
  }
  void ring(double x, double y, double radius, double width, const char* dash = "") {
    svg_ += fmt::format("<circle cx=\"{}\" cy=\"{}\" r=\"{}\" stroke-width=\"{}\"{}/>\n", mm(x),
                        mm(y), mm(radius), width, dashed(dash));
  }
  void stroke(const std::string& path, double width, const char* dash) {
    svg_ += fmt::format("<path d=\"{}\" stroke-width=\"{}\"{}/>\n", path, width, dashed(dash));
  }
  void fill(const std::string& path) {
    svg_ += fmt::format("<path d=\"{}\" fill=\"currentColor\" stroke=\"none\"/>\n", path);
  }
  void text(double x, double y, const std::string& words, double size,
            TextAnchor anchor = TextAnchor::start, double turn_deg = 0.0, bool bold = false) {
    if (words.empty()) return;
    const char* side = anchor == TextAnchor::middle ? " text-anchor=\"middle\""
                       : anchor == TextAnchor::end  ? " text-anchor=\"end\""
                                                    : "";
    const auto turn = turn_deg == 0.0 ? ""
                                      : fmt::format(" transform=\"rotate({} {} {})\"",
                                                    mm(-turn_deg), mm(x), mm(y));
    svg_ += fmt::format(
        "<text x=\"{}\" y=\"{}\" font-size=\"{}\"{}{}{} fill=\"currentColor\" "
        "stroke=\"none\">{}</text>\n",
        mm(x), mm(y), mm(size), side, turn, bold ? " font-weight=\"bold\"" : "", escaped(words));
  }
  // As large as fits, never smaller than what can be read; then cut off.
  void fitted(double x, double y, const std::string& words, double size, double wide,
              TextAnchor anchor = TextAnchor::start, bool bold = false) {
    const double needed = words_wide_mm(words, size) * (bold ? 1.08 : 1.0);
    const double fits = needed > wide ? std::max(size * wide / needed, least_mm) : size;
    auto shown = words;
    while (!shown.empty() && words_wide_mm(shown, fits) * (bold ? 1.08 : 1.0) > wide + 0.01) {
      // Off the end by whole characters, with a mark that something is missing.
      if (shown.size() >= 3 && shown.substr(shown.size() - 3) == "…")
        shown.resize(shown.size() - 3);
      while (!shown.empty() && (static_cast<unsigned char>(shown.back()) & 0xC0) == 0x80)
        shown.pop_back();
      if (!shown.empty()) shown.pop_back();
      if (!shown.empty()) shown += "…";
      if (shown == "…") break;
    }
    text(x, y, shown, fits, anchor, 0.0, bold);
  }

  // A view's ink with its origin at x, y.
  void ink(const Ink& ink, double x, double y, double (*width)(InkRole) = line_wide_mm) {
    // Lines of a kind in one path, in the order of the roles: outlines over the rest.
    std::map<InkRole, std::string> paths;
    const auto at = [&](const Point2& p) { return mm(x + p.x) + " " + mm(y - p.y); };
    for (const auto& p : ink.paths) {
      auto& d = paths[p.role];
      for (std::size_t i = 0; i < p.corners.size(); ++i) {
        if (i == 0) {
          d += "M" + at(p.corners[0].at);
        } else {
          d += leg(p.corners[i - 1], p.corners[i].at, at);
        }
      }
      if (p.closed && !p.corners.empty()) {
        if (p.corners.back().bulge != 0.0) d += leg(p.corners.back(), p.corners.front().at, at);
        d += "Z";
      }
    }
    for (const auto& [role, d] : paths) stroke(d, width(role), dashes(role));
    for (const auto& c : ink.circles)
      ring(x + c.centre.x, y - c.centre.y, c.radius_mm, width(c.role), dashes(c.role));
    std::string heads;
    for (const auto& a : ink.arrows) {
      const Point2 back{a.tip.x - arrow_long_mm * a.along.x, a.tip.y - arrow_long_mm * a.along.y};
      const Point2 side{-arrow_half_mm * a.along.y, arrow_half_mm * a.along.x};
      heads += fmt::format("M{}L{}L{}Z", at(a.tip), at({back.x + side.x, back.y + side.y}),
                           at({back.x - side.x, back.y - side.y}));
    }
    if (!heads.empty()) fill(heads);
    for (const auto& t : ink.texts)
      text(x + t.at.x, y - t.at.y, t.words, t.size_mm, t.anchor, t.turn_deg);
  }

  // 100 mm exactly: a bar without a stroke, ticks inside it.
  void check_bar(double x, double y) {
    svg_ += fmt::format(
        "<rect class=\"check-bar\" x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" "
        "fill=\"currentColor\" stroke=\"none\"/>\n",
        mm(x), mm(y), mm(bar_long_mm), mm(bar_high_mm));
    std::string ticks;
    for (int i = 1; i < 10; ++i)
      ticks += fmt::format("M{} {}v1.2", mm(x + 10.0 * i), mm(y + bar_high_mm));
    stroke(ticks, narrow_line_mm, "");
  }

  // What is drawn between the two is cut off at the window, in the sheet's own millimetres.
  void begin_window(double x, double y, double wide, double high) {
    svg_ += fmt::format(
        "<svg x=\"{0}\" y=\"{1}\" width=\"{2}\" height=\"{3}\" viewBox=\"{0} {1} {2} {3}\" "
        "overflow=\"hidden\">\n",
        mm(x), mm(y), mm(wide), mm(high));
  }
  void end_window() { svg_ += "</svg>\n"; }

  std::string svg(const std::string& label) const {
    return fmt::format(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{0}mm\" height=\"{1}mm\" viewBox=\"0 0 "
        "{0} "
        "{1}\" role=\"img\" aria-label=\"{2}\" font-family=\"sans-serif\" fill=\"none\" "
        "stroke=\"currentColor\" stroke-linejoin=\"round\">\n{3}</svg>",
        mm(wide_), mm(high_), escaped(label), svg_);
  }

 private:
  static std::string dashed(const char* dash) {
    return *dash ? fmt::format(" stroke-dasharray=\"{}\"", dash) : "";
  }
  template <class At>
  static std::string leg(const Vertex& from, const Point2& to, const At& at) {
    if (from.bulge == 0.0 || from.at == to) return "L" + at(to);
    const double r = arc_of(from.at, to, from.bulge).radius_mm;
    // Turning left is against the clock, which SVG (y down) calls sweep 0.
    return fmt::format("A{0} {0} 0 {1} {2} {3}", mm(r), std::fabs(from.bulge) > 1.0 ? 1 : 0,
                       from.bulge > 0.0 ? 0 : 1, at(to));
  }

  double wide_, high_;
  std::string svg_;
};

// --- The drawing -------------------------------------------------------------------------------

constexpr double frame_margin_mm = 10.0;  // ISO 5457
constexpr double block_wide_mm = 150.0, block_high_mm = 42.0;
constexpr double note_line_mm = 4.4;
constexpr double view_gap_mm = 10.0, view_name_mm = 3.5;

struct Area {
  double x = 0.0, y = 0.0, wide = 0.0, high = 0.0;
};

// What of a landscape sheet is for what.
struct Plan {
  Area frame, block, left, notes, views;
  std::vector<std::string> note_lines[2];  // two columns
};

Plan planned(const PartDrawing& part, Paper paper) {
  const auto size = size_of(paper);
  const double wide = size.high_mm, high = size.wide_mm;
  // ISO 5457 asks for 20 mm at the left for filing; Letter is too short for that and the bar.
  const double left = paper == Paper::a4 ? 20.0 : 15.0;
  Plan p;
  p.frame = {left, frame_margin_mm, wide - left - frame_margin_mm, high - 2.0 * frame_margin_mm};
  p.block = {p.frame.x + p.frame.wide - block_wide_mm, p.frame.y + p.frame.high - block_high_mm,
             block_wide_mm, block_high_mm};
  p.left = {p.frame.x, p.block.y, p.frame.wide - block_wide_mm, block_high_mm};
  const double column = 0.5 * p.frame.wide - 5.0;
  auto notes = part.notes;
  if (!part.finish.empty()) notes.insert(notes.begin(), "Finish: " + part.finish);
  std::vector<std::vector<std::string>> pieces;
  std::size_t lines = 0;
  for (std::size_t i = 0; i < notes.size(); ++i) {
    pieces.push_back(wrapped(fmt::format("{}. {}", i + 1, notes[i]), plain_mm, column));
    lines += pieces.back().size();
  }
  for (const auto& piece : pieces) {
    auto& into = p.note_lines[2 * p.note_lines[0].size() < lines ? 0 : 1];
    into.insert(into.end(), piece.begin(), piece.end());
  }
  const std::size_t tallest = std::max(p.note_lines[0].size(), p.note_lines[1].size());
  const double notes_high = tallest == 0 ? 0.0 : note_line_mm * static_cast<double>(tallest) + 2.0;
  p.notes = {p.frame.x, p.block.y - notes_high, p.frame.wide, notes_high};
  const double top = (part.demo ? 9.0 : 0.0) + (part.stamp.empty() ? 0.0 : stamp_gap_mm);
  p.views = {p.frame.x + 3.0, p.frame.y + 3.0 + top, p.frame.wide - 6.0,
             p.notes.y - p.frame.y - 5.0 - top};
  return p;
}

struct PlaceOfView {
  int column = 0, row = 0;  // to the right, down
};
// ISO 5456-2: in first-angle what is seen from a side stands on the other side of the front view.
PlaceOfView place_of(SeenFrom seen, Projection projection) {
  const int there = projection == Projection::first_angle ? 1 : -1;
  switch (seen) {
    case SeenFrom::front:
      return {0, 0};
    case SeenFrom::from_left:
      return {there, 0};
    case SeenFrom::from_right:
      return {-there, 0};
    case SeenFrom::from_above:
      return {0, there};
    case SeenFrom::from_below:
      return {0, -there};
    case SeenFrom::from_behind:
      return {2, 0};
    case SeenFrom::elsewhere:
      return {3, 0};
  }
  return {};
}

// Views at a scale, each with where its origin goes, from the upper left of all of them.
struct ViewOnPaper {
  Ink ink;
  Box box;  // with its name
  double x = 0.0, y = 0.0;
};
struct ViewsOnPaper {
  std::vector<ViewOnPaper> views;
  double wide = 0.0, high = 0.0;
};

ViewsOnPaper laid_out(const PartDrawing& part, double scale) {
  ViewsOnPaper all;
  struct Span {
    double low = 1e9, high = -1e9;  // about the shared origin
    double at = 0.0;                // where the origin goes
    void grow(double a, double b) {
      low = std::min(low, a);
      high = std::max(high, b);
    }
  };
  std::map<int, Span> columns, rows;
  for (const auto& v : part.views) {
    ViewOnPaper p;
    p.ink = drawn(v, scale);
    p.box = box_of(p.ink);
    if (!v.name.empty()) {
      const auto shapes = box_of(v).value_or(Box{});
      const double middle = 0.5 * scale * (shapes.low.x + shapes.high.x);
      const double half = 0.5 * words_wide_mm(v.name, view_name_mm);
      p.ink.texts.push_back({InkRole::text,
                             {middle, p.box.high.y + 3.5},
                             v.name,
                             view_name_mm,
                             0.0,
                             TextAnchor::middle});
      p.box.high.y += 3.5 + view_name_mm;
      p.box.low.x = std::min(p.box.low.x, middle - half);
      p.box.high.x = std::max(p.box.high.x, middle + half);
    }
    all.views.push_back(std::move(p));
  }
  // Views that stand by themselves each have a column of their own, in line with nothing.
  int alone = 3;
  std::vector<PlaceOfView> places;
  for (std::size_t i = 0; i < part.views.size(); ++i) {
    auto place = place_of(part.views[i].seen, part.projection);
    const auto& b = all.views[i].box;
    if (part.views[i].seen == SeenFrom::elsewhere) place.column = alone++;
    else rows[place.row].grow(-b.high.y, -b.low.y);
    columns[place.column].grow(b.low.x, b.high.x);
    places.push_back(place);
  }
  for (auto& [key, c] : columns) {
    if (all.wide > 0.0) all.wide += view_gap_mm;
    c.at = all.wide - c.low;
    all.wide += c.high - c.low;
  }
  for (auto& [key, r] : rows) {
    if (all.high > 0.0) all.high += view_gap_mm;
    r.at = all.high - r.low;
    all.high += r.high - r.low;
  }
  for (const auto& v : part.views)
    if (v.seen == SeenFrom::elsewhere)
      all.high = std::max(
          all.high, all.views[static_cast<std::size_t>(&v - part.views.data())].box.high_mm());
  for (std::size_t i = 0; i < places.size(); ++i) {
    auto& p = all.views[i];
    p.x = columns[places[i].column].at;
    p.y = part.views[i].seen == SeenFrom::elsewhere
              ? 0.5 * all.high + 0.5 * (p.box.low.y + p.box.high.y)
              : rows[places[i].row].at;
  }
  return all;
}

bool fits(const ViewsOnPaper& all, const Area& area) {
  return all.wide <= area.wide && all.high <= area.high;
}

// Nothing where it fits at none.
std::optional<double> chosen_scale(const PartDrawing& part, const Area& area) {
  double largest = 0.0;
  for (const auto& v : part.views) {
    const auto b = box_of(v).value_or(Box{});
    largest = std::max({largest, b.wide_mm(), b.high_mm()});
  }
  if (largest <= small_part_mm && fits(laid_out(part, enlarged), area)) return enlarged;
  for (const double s : smaller) {
    if (largest * s > 2.0 * area.wide) continue;  // not worth laying out
    if (fits(laid_out(part, s), area)) return s;
  }
  return std::nullopt;
}

std::string scale_words(double scale) {
  return scale >= 1.0 ? fmt::format("{:.0f}:1", scale) : fmt::format("1:{:.0f}", 1.0 / scale);
}

// ISO 5456-2: a cut cone lying down, its small end to the left, and its view from the left.
void projection_symbol(Sheet& s, Projection projection, double x, double y, double high) {
  const double r = 0.5 * high, small = 0.25 * high, length = high;
  const double gap = 0.5 * high;
  const bool first = projection == Projection::first_angle;
  const double cone = first ? x : x + 2.0 * r + gap, rings = first ? x + length + gap + r : x + r;
  s.stroke(fmt::format("M{} {}L{} {}V{}L{} {}Z", mm(cone), mm(y - small), mm(cone + length),
                       mm(y - r), mm(y + r), mm(cone), mm(y + small)),
           0.35, "");
  s.ring(rings, y, r, 0.35);
  s.ring(rings, y, small, 0.35);
  s.line(cone - 1.2, y, cone + length + 1.2, y, 0.18, "2 0.5 0.3 0.5");
  s.line(rings - r - 1.2, y, rings + r + 1.2, y, 0.18, "2 0.5 0.3 0.5");
  s.line(rings, y - r - 1.2, rings, y + r + 1.2, 0.18, "2 0.5 0.3 0.5");
}

const char* hand_words(Hand hand) {
  return hand == Hand::left ? "LEFT" : hand == Hand::right ? "RIGHT" : "left and right alike";
}

void title_block(Sheet& s, const PartDrawing& part, const Area& a, double scale) {
  const auto cell = [&](double x, double y, double wide, double high, const char* label,
                        const std::string& words, double size = plain_mm, bool bold = false) {
    s.box(a.x + x, a.y + y, wide, high);
    s.text(a.x + x + 1.2, a.y + y + 2.9, label, small_mm);
    s.fitted(a.x + x + 1.2, a.y + y + high - 2.0, words, size, wide - 2.4, TextAnchor::start, bold);
  };
  // A long title has two lines.
  const double title_wide = 85.6;
  if (words_wide_mm(part.title, 5.0 * 1.08) <= 1.45 * title_wide) {
    cell(0, 0, 88, 11, "title", part.title, 5.0, true);
  } else {
    cell(0, 0, 88, 11, "title", "");
    double size = 3.4;
    auto lines = wrapped(part.title, size * 1.08, title_wide);
    while (lines.size() > 2 && size > 3.1) {
      size -= 0.2;
      lines = wrapped(part.title, size * 1.08, title_wide);
    }
    std::string rest;
    for (std::size_t i = 1; i < lines.size(); ++i) rest += (i > 1 ? " " : "") + lines[i];
    s.fitted(a.x + 1.2, a.y + 6.5, lines[0], size, title_wide, TextAnchor::start, true);
    s.fitted(a.x + 1.2, a.y + 10.1, rest, size, title_wide, TextAnchor::start, true);
  }
  cell(88, 0, 44, 11, "part number", part.number, 4.2);
  cell(132, 0, 18, 11, "revision", part.revision, 4.2);
  cell(0, 11, 88, 9, "material", part.material);
  cell(88, 11, 62, 9, "quantity", part.quantity);
  cell(0, 20, 44, 11, "general tolerance", part.general_tolerance);
  cell(44, 20, 44, 11, "for the side", hand_words(part.hand));
  cell(88, 20, 20, 11, "scale", scale_words(scale), 5.0);
  s.box(a.x + 108, a.y + 20, 42, 11);
  s.text(a.x + 109.2, a.y + 22.9, "projection", small_mm);
  projection_symbol(s, part.projection, a.x + 125.0, a.y + 25.9, 6.8);
  // Who and when is written by hand.
  cell(0, 31, 30, 11, "drawn by, date", "");
  cell(30, 31, 40, 11, "checked by", "");
  cell(70, 31, 38, 11, "approved by, date", "");
  cell(108, 31, 42, 11, "lengths in mm", "print at 100 %");
  s.box(a.x, a.y, a.wide, a.high, wide_line_mm);
}

void demo_mark(Sheet& s, const PartDrawing& part, double x, double y, double wide) {
  if (!part.demo) return;
  s.box(x, y, wide, 6.5, 0.35);
  s.fitted(x + 0.5 * wide, y + 4.6, demo_words, 4.0, wide - 4.0, TextAnchor::middle, true);
}

// Over everything: that the part is not to be made, or not yet.
void stamp_mark(Sheet& s, const PartDrawing& part, double x, double y, double wide) {
  if (part.stamp.empty()) return;
  s.box(x, y, wide, stamp_mm, wide_line_mm);
  s.fitted(x + 0.5 * wide, y + 4.9, part.stamp, 4.8, wide - 4.0, TextAnchor::middle, true);
}

std::vector<std::string> caution_lines(const PartDrawing& part, double size, double wide) {
  auto lines = wrapped(part_caution, size, wide);
  for (auto& l : wrapped(part.caution, size, wide)) lines.push_back(std::move(l));
  return lines;
}

}  // namespace

PaperSize size_of(Paper paper) {
  return paper == Paper::a4 ? PaperSize{210.0, 297.0} : PaperSize{215.9, 279.4};
}

Answer<double> drawing_scale(const PartDrawing& part, Paper paper) {
  if (auto why = why_not(part)) return {std::nullopt, *why};
  const auto scale = chosen_scale(part, planned(part, paper).views);
  return {scale, scale ? std::string() : too_large};
}

Answer<std::string> drawing_svg(const PartDrawing& part, Paper paper) {
  if (auto why = why_not(part)) return {std::nullopt, *why};
  const auto size = size_of(paper);
  Sheet s(size.high_mm, size.wide_mm);
  const auto plan = planned(part, paper);
  const auto fitting = chosen_scale(part, plan.views);
  if (!fitting) return {std::nullopt, too_large};
  const double scale = *fitting;
  const auto all = laid_out(part, scale);
  const double x = plan.views.x + 0.5 * (plan.views.wide - all.wide);
  const double y = plan.views.y + 0.5 * (plan.views.high - all.high);
  for (const auto& v : all.views) s.ink(v.ink, x + v.x, y + v.y);

  s.box(plan.frame.x, plan.frame.y, plan.frame.wide, plan.frame.high, wide_line_mm);
  demo_mark(s, part, plan.frame.x + 3.0, plan.frame.y + 2.5, plan.frame.wide - 6.0);
  stamp_mark(s, part, plan.frame.x + 3.0, plan.frame.y + (part.demo ? 10.5 : 2.5),
             plan.frame.wide - 6.0);
  for (std::size_t c = 0; c < 2; ++c)
    for (std::size_t i = 0; i < plan.note_lines[c].size(); ++i)
      s.text(plan.notes.x + 3.0 + 0.5 * plan.notes.wide * static_cast<double>(c),
             plan.notes.y + note_line_mm * (static_cast<double>(i) + 0.75), plan.note_lines[c][i],
             plain_mm);
  title_block(s, part, plan.block, scale);

  const auto& left = plan.left;
  s.line(left.x, left.y, left.x + left.wide, left.y, wide_line_mm);
  // The caution is never cut: it gets smaller until it fits above the bar, and where the smallest
  // that is read does not fit there is no drawing.
  double caution_mm = 3.8;
  auto lines = caution_lines(part, caution_mm * 1.08, left.wide - 6.0);
  while (static_cast<double>(lines.size()) * 1.3 * caution_mm > left.high - 17.0 &&
         caution_mm > least_mm) {
    caution_mm = std::max(caution_mm - 0.2, least_mm);
    lines = caution_lines(part, caution_mm * 1.08, left.wide - 6.0);
  }
  if (static_cast<double>(lines.size()) * 1.3 * caution_mm > left.high - 11.0)
    return {std::nullopt, "its caution is too long for the sheet"};
  for (std::size_t i = 0; i < lines.size(); ++i)
    s.text(left.x + 3.0, left.y + 2.0 + caution_mm * (0.9 + 1.3 * static_cast<double>(i)), lines[i],
           caution_mm, TextAnchor::start, 0.0, true);
  const double bar_x = left.x + 0.5 * (left.wide - bar_long_mm);
  s.check_bar(bar_x, left.y + left.high - 9.5);
  s.fitted(bar_x, left.y + left.high - 2.6, bar_words, 3.0, bar_long_mm);
  return {s.svg(part.title + ", drawing"), {}};
}

// --- Templates ---------------------------------------------------------------------------------

namespace {

constexpr double page_margin_mm = 10.0;  // printers leave about 5 mm blank
constexpr double head_high_mm = 21.0;
constexpr double foot_caution_mm = 3.0, foot_line_mm = 1.25 * foot_caution_mm, foot_bar_mm = 11.0;
constexpr double shared_mm = 10.0;  // by neighbouring sheets
constexpr double round_part_mm = 4.0;
constexpr int most_pages = 30;

double template_line_mm(InkRole role) { return role == InkRole::cut ? 0.35 : narrow_line_mm; }

struct Tiling {
  double page_wide = 0.0, page_high = 0.0;      // the sheet
  double window_wide = 0.0, window_high = 0.0;  // what of it the part has
  int columns = 1, rows = 1;
};

// What stands above and below the part on every page.
double head_of(const PartDrawing& part) {
  return head_high_mm + (part.stamp.empty() ? 0.0 : stamp_gap_mm);
}
double foot_of(const PartDrawing& part, double wide) {
  const auto lines = caution_lines(part, foot_caution_mm * 1.08, wide);
  return foot_bar_mm + 2.0 + foot_line_mm * static_cast<double>(lines.size());
}

Tiling tiled(const PartDrawing& part, const Box& box, double page_wide, double page_high) {
  Tiling t;
  t.page_wide = page_wide;
  t.page_high = page_high;
  t.window_wide = page_wide - 2.0 * page_margin_mm;
  t.window_high = page_high - 2.0 * page_margin_mm - head_of(part) - foot_of(part, t.window_wide);
  const auto needed = [](double length, double window) {
    if (length <= window) return 1;
    const double n = std::ceil((length - shared_mm) / (window - shared_mm));
    return n > 1000.0 ? 1000 : static_cast<int>(n);
  };
  t.columns = needed(box.wide_mm(), t.window_wide);
  t.rows = needed(box.high_mm(), t.window_high);
  return t;
}

// A, B, ... Z, AA, AB, ...
std::string letters(int n) {
  std::string out;
  for (++n; n > 0; n = (n - 1) / 26) out.insert(out.begin(), static_cast<char>('A' + (n - 1) % 26));
  return out;
}

void joining_cross(Sheet& s, double x, double y, const std::string& letter) {
  s.line(x - 4.0, y, x + 4.0, y);
  s.line(x, y - 4.0, x, y + 4.0);
  s.ring(x, y, 2.0, narrow_line_mm);
  s.text(x + 2.2, y - 1.6, letter, 3.2);
}

}  // namespace

Answer<std::vector<std::string>> template_pages(const PartDrawing& part, std::size_t view,
                                                Paper paper) {
  if (auto why = why_not(part)) return {std::nullopt, *why};
  if (view >= part.views.size()) return {std::nullopt, "the drawing has no such view"};
  const auto& v = part.views[view];
  const Ink ink = drawn_as_template(v);
  Box box = box_of(ink);
  box.low = {box.low.x - round_part_mm, box.low.y - round_part_mm};
  box.high = {box.high.x + round_part_mm, box.high.y + round_part_mm};
  const auto size = size_of(paper);
  Tiling t = tiled(part, box, size.wide_mm, size.high_mm);
  const Tiling landscape = tiled(part, box, size.high_mm, size.wide_mm);
  if (landscape.columns * landscape.rows < t.columns * t.rows) t = landscape;
  const int pages = t.columns * t.rows;
  if (pages > most_pages)
    return {std::nullopt, fmt::format("at 1:1 it needs more than {} sheets", most_pages)};

  // All windows together, the part in their middle.
  const double step_x = t.window_wide - shared_mm, step_y = t.window_high - shared_mm;
  const double all_wide = step_x * t.columns + shared_mm, all_high = step_y * t.rows + shared_mm;
  const double left = 0.5 * (box.low.x + box.high.x) - 0.5 * all_wide;  // of the part, at the left
  const double top = 0.5 * (box.low.y + box.high.y) + 0.5 * all_high;

  std::vector<std::string> svgs;
  for (int row = 0; row < t.rows; ++row)
    for (int column = 0; column < t.columns; ++column) {
      Sheet s(t.page_wide, t.page_high);
      const double x0 = page_margin_mm, y0 = page_margin_mm + head_of(part);
      // Where a point of the part is on this sheet.
      const auto on_x = [&](double x) { return x0 + x - left - column * step_x; };
      const auto on_y = [&](double y) { return y0 + top - row * step_y - y; };
      s.begin_window(x0, y0, t.window_wide, t.window_high);
      s.ink(ink, on_x(0.0), on_y(0.0), template_line_mm);
      s.end_window();
      s.box(x0, y0, t.window_wide, t.window_high, 0.18);

      // Crosses stand in the middle of what two sheets share, a quarter in from either end.
      const auto joint = [&](bool beside, int r, int c) {
        // Numbered by place, so that both sheets know the letter.
        const int before =
            beside ? r * (t.columns - 1) + c : t.rows * (t.columns - 1) + r * t.columns + c;
        for (int k = 0; k < 2; ++k) {
          const double part_of = k == 0 ? 0.25 : 0.75;
          const double x = beside ? left + (c + 1) * step_x + 0.5 * shared_mm
                                  : left + c * step_x + part_of * t.window_wide;
          const double y = beside ? top - r * step_y - part_of * t.window_high
                                  : top - (r + 1) * step_y - 0.5 * shared_mm;
          joining_cross(s, on_x(x), on_y(y), letters(2 * before + k));
        }
      };
      if (column > 0) joint(true, row, column - 1);
      if (column + 1 < t.columns) joint(true, row, column);
      if (row > 0) joint(false, row - 1, column);
      if (row + 1 < t.rows) joint(false, row, column);

      // The head: what, for which side, which face, which sheet.
      const double wide = t.page_wide - 2.0 * page_margin_mm;
      const int page = row * t.columns + column + 1;
      s.fitted(x0, page_margin_mm + 5.0,
               part.number.empty() ? part.title : part.title + ", " + part.number, 5.0, 0.62 * wide,
               TextAnchor::start, true);
      s.fitted(x0 + wide, page_margin_mm + 5.0, hand_words(part.hand), 6.0, 0.36 * wide,
               TextAnchor::end, true);
      auto what = v.name.empty() ? std::string("template 1:1") : "template 1:1, " + v.name;
      if (!v.face.empty()) what += ", " + v.face;
      if (!part.revision.empty()) what += ", revision " + part.revision;
      s.fitted(x0, page_margin_mm + 10.0, what, 3.4, 0.62 * wide);
      s.fitted(x0 + wide, page_margin_mm + 10.0,
               pages == 1 ? std::string("page 1 of 1")
                          : fmt::format("page {} of {}: row {}, column {}", page, pages, row + 1,
                                        column + 1),
               3.4, 0.36 * wide, TextAnchor::end);
      demo_mark(s, part, x0, page_margin_mm + 12.5, wide);
      stamp_mark(s, part, x0, page_margin_mm + head_high_mm - 1.0, wide);

      // The foot: caution and bar.
      const auto lines = caution_lines(part, foot_caution_mm * 1.08, wide);
      double foot = t.page_high - page_margin_mm - foot_of(part, wide);
      for (const auto& line : lines) {
        s.text(x0, foot + 1.5 + 0.9 * foot_caution_mm, line, foot_caution_mm, TextAnchor::start,
               0.0, true);
        foot += foot_line_mm;
      }
      foot = t.page_high - page_margin_mm - foot_bar_mm;
      s.check_bar(x0, foot + 2.5);
      s.fitted(x0, foot + 10.0, bar_words, 3.0, bar_long_mm);
      const auto how = wrapped(
          pages == 1
              ? "Stick it to the metal; punch the crosses first."
              : "Lay the crosses with the same letter on each other, stick it to the metal, then "
                "punch the crosses of the holes.",
          3.0, wide - bar_long_mm - 12.0);
      for (std::size_t i = 0; i < how.size(); ++i)
        s.text(x0 + bar_long_mm + 12.0, foot + 3.5 + 3.6 * static_cast<double>(i), how[i], 3.0);
      svgs.push_back(s.svg(fmt::format("{}, template, page {} of {}", part.title, page, pages)));
    }
  return {svgs, {}};
}

}  // namespace trammel
