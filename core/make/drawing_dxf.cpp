#include "make/drawing_dxf.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>
#include <numbers>
#include <utility>

#include "make/ink.h"

namespace trammel {
namespace {

constexpr double capital_of_size =
    0.7;                               // of a face's size: the format counts the height of capitals
constexpr int millimetres = 4;         // of the format's list of units
constexpr double stamp_size_mm = 8.0;  // of the face

struct Layer {
  const char* name;
  int colour;  // of the format's index
  const char* line_type;
};
constexpr const char* warning_layer = "WARNING";
constexpr std::array<Layer, 9> layers{{{"CUT", 7, "CONTINUOUS"},
                                       {"HOLES", 1, "CONTINUOUS"},
                                       {"CENTRE", 3, "CENTER"},
                                       {"BEND", 5, "DASHED"},
                                       {"TEXT", 2, "CONTINUOUS"},
                                       {"DIM", 4, "CONTINUOUS"},
                                       {"HIDDEN", 8, "DASHED"},
                                       {"THIN", 8, "CONTINUOUS"},
                                       {warning_layer, 1, "CONTINUOUS"}}};

const char* layer_of(InkRole role) {
  switch (role) {
    case InkRole::cut:
      return "CUT";
    case InkRole::hole:
      return "HOLES";
    case InkRole::centre:
      return "CENTRE";
    case InkRole::fold:
      return "BEND";
    case InkRole::text:
      return "TEXT";
    case InkRole::dimension:
      return "DIM";
    case InkRole::hidden:
      return "HIDDEN";
    case InkRole::visible:
    case InkRole::thin:
    case InkRole::hatch:
      return "THIN";
  }
  return "THIN";
}

class Writer {
 public:
  void group(int code, const std::string& value) {
    text_ += fmt::format("{:3}\n{}\n", code, value);
  }
  void group(int code, int value) { text_ += fmt::format("{:3}\n{:6}\n", code, value); }
  void number(int code, double value) {
    auto text = fmt::format("{:.6f}", value);
    group(code, text == "-0.000000" ? "0.000000" : text);
  }
  void point(int code, const Point2& p) {
    number(code, p.x);
    number(code + 10, p.y);
    number(code + 20, 0.0);
  }
  void entity(const char* kind, const char* layer) {
    group(0, kind);
    group(8, layer);
  }

  void begin(const char* section) {
    group(0, "SECTION");
    group(2, section);
  }
  void end() { group(0, "ENDSEC"); }

  void line(const char* layer, const Point2& from, const Point2& to) {
    entity("LINE", layer);
    point(10, from);
    point(11, to);
  }
  void stretch(const char* layer, const Vertex& from, const Point2& to) {
    if (from.bulge == 0.0 || from.at == to) {
      line(layer, from.at, to);
      return;
    }
    const Arc a = arc_of(from.at, to, from.bulge);
    const auto degrees = [](double rad) {
      const double d = std::fmod(rad * 180.0 / std::numbers::pi, 360.0);
      return d < 0.0 ? d + 360.0 : d;
    };
    entity("ARC", layer);
    point(10, a.centre);
    number(40, a.radius_mm);
    number(50, degrees(a.from_rad));
    number(51, degrees(a.to_rad));
  }
  void circle(const char* layer, const Point2& centre, double radius_mm) {
    entity("CIRCLE", layer);
    point(10, centre);
    number(40, radius_mm);
  }
  void closed(const char* layer, const std::vector<Vertex>& corners) {
    entity("POLYLINE", layer);
    group(66, 1);  // corners follow
    point(10, {0.0, 0.0});
    group(70, 1);  // closed
    for (const auto& v : corners) {
      entity("VERTEX", layer);
      point(10, v.at);
      if (v.bulge != 0.0) number(42, v.bulge);
    }
    entity("SEQEND", layer);
  }
  void head(const char* layer, const InkArrow& a) {
    const Point2 back{a.tip.x - arrow_long_mm * a.along.x, a.tip.y - arrow_long_mm * a.along.y};
    const Point2 side{-arrow_half_mm * a.along.y, arrow_half_mm * a.along.x};
    entity("SOLID", layer);
    point(10, a.tip);
    point(11, {back.x + side.x, back.y + side.y});
    point(12, {back.x - side.x, back.y - side.y});
    point(13, {back.x - side.x, back.y - side.y});
  }
  void words(const InkText& t) { words(t, layer_of(t.role)); }
  void words(const InkText& t, const char* layer) {
    const auto ascii = dxf_words(t.words);
    if (ascii.empty()) return;
    entity("TEXT", layer);
    point(10, t.at);
    number(40, capital_of_size * t.size_mm);
    group(1, ascii);
    if (t.turn_deg != 0.0) number(50, t.turn_deg < 0.0 ? t.turn_deg + 360.0 : t.turn_deg);
    if (t.anchor == TextAnchor::start) return;
    group(72, t.anchor == TextAnchor::middle ? 1 : 2);
    point(11, t.at);
  }

  std::string text() && { return std::move(text_); }

 private:
  std::string text_;
};

void line_type(Writer& w, const char* name, const char* looks, const std::vector<double>& dashes) {
  w.group(0, "LTYPE");
  w.group(2, name);
  w.group(70, 0);
  w.group(3, looks);
  w.group(72, 65);
  w.group(73, static_cast<int>(dashes.size()));
  double sum = 0.0;
  for (const double d : dashes) sum += std::fabs(d);
  w.number(40, sum);
  for (const double d : dashes) w.number(49, d);
}

void tables(Writer& w) {
  w.begin("TABLES");
  w.group(0, "TABLE");
  w.group(2, "LTYPE");
  w.group(70, 3);
  line_type(w, "CONTINUOUS", "Solid line", {});
  line_type(w, "DASHED", "__ __ __", {3.0, -0.75});
  line_type(w, "CENTER", "____ _ ____", {6.0, -0.75, 0.4, -0.75});
  w.group(0, "ENDTAB");
  w.group(0, "TABLE");
  w.group(2, "LAYER");
  w.group(70, static_cast<int>(layers.size()) + 1);
  const auto layer = [&](const Layer& l) {
    w.group(0, "LAYER");
    w.group(2, l.name);
    w.group(70, 0);
    w.group(62, l.colour);
    w.group(6, l.line_type);
  };
  layer({"0", 7, "CONTINUOUS"});
  for (const auto& l : layers) layer(l);
  w.group(0, "ENDTAB");
  w.group(0, "TABLE");
  w.group(2, "STYLE");
  w.group(70, 1);
  w.group(0, "STYLE");
  w.group(2, "STANDARD");
  w.group(70, 0);
  w.number(40, 0.0);
  w.number(41, 1.0);
  w.number(50, 0.0);
  w.group(71, 0);
  w.number(42, 2.5);
  w.group(3, "txt");
  w.group(4, "");
  w.group(0, "ENDTAB");
  w.end();
}

// Under the part, for whoever opens the file.
void add_title(Ink& ink, const PartDrawing& part, const View& v) {
  const Box box = box_of(ink);
  std::vector<std::string> lines;
  lines.push_back(part.number.empty() ? part.title : part.title + ", " + part.number);
  if (!part.revision.empty()) lines.back() += ", revision " + part.revision;
  if (part.hand != Hand::both) lines.push_back(part.hand == Hand::left ? "LEFT" : "RIGHT");
  std::string seen = v.name;
  if (!v.face.empty()) seen += seen.empty() ? v.face : ", " + v.face;
  if (!seen.empty()) lines.push_back(seen);
  if (!part.material.empty()) lines.push_back(part.material);
  if (!part.quantity.empty()) lines.push_back(part.quantity);
  lines.push_back(part_caution);
  if (!part.caution.empty()) lines.push_back(part.caution);
  if (part.demo) lines.push_back("DEMO: an invented car. Do not make this part.");
  double y = box.low.y - 10.0;
  for (const auto& l : lines) {
    ink.texts.push_back({InkRole::text, {box.low.x, y}, l, 3.5, 0.0, TextAnchor::start});
    y -= 5.0;
  }
}

// The nearest ASCII of one character.
const char* nearest(char32_t c) {
  switch (c) {
    case U'Ø':
    case U'⌀':
      return "%%c";
    case U'°':
      return "%%d";
    case U'±':
      return "%%p";
    case U'×':
    case U'✕':
      return "x";
    case U'·':
    case U'•':
      return ".";
    case U'–':
    case U'—':
    case U'−':
    case U'‐':
    case U'‑':
      return "-";
    case U'‘':
    case U'’':
    case U'′':
      return "'";
    case U'“':
    case U'”':
    case U'″':
      return "\"";
    case U'…':
      return "...";
    case U'≤':
      return "<=";
    case U'≥':
      return ">=";
    case U'µ':
    case U'μ':
      return "u";
    case U'²':
      return "2";
    case U'³':
      return "3";
    case U'½':
      return "1/2";
    case U'¼':
      return "1/4";
    case U'¾':
      return "3/4";
    case U'\u00a0':
    case U'\u2009':
    case U'\u202f':
      return " ";
    case U'→':
      return "->";
    case U'ø':
      return "o";
    case U'ß':
      return "ss";
    case U'Æ':
      return "AE";
    case U'æ':
      return "ae";
    case U'Ä':
      return "Ae";
    case U'Ö':
      return "Oe";
    case U'Ü':
      return "Ue";
    case U'ä':
      return "ae";
    case U'ö':
      return "oe";
    case U'ü':
      return "ue";
    default:
      break;
  }
  // Latin-1 letters lose their marks.
  static constexpr const char* plain[] = {
      "A", "A", "A", "A", "A", "A", "AE", "C", "E", "E", "E", "E", "I", "I", "I",  "I",
      "D", "N", "O", "O", "O", "O", "O",  "x", "O", "U", "U", "U", "U", "Y", "Th", "ss",
      "a", "a", "a", "a", "a", "a", "ae", "c", "e", "e", "e", "e", "i", "i", "i",  "i",
      "d", "n", "o", "o", "o", "o", "o",  "/", "o", "u", "u", "u", "u", "y", "th", "y"};
  if (c >= 0xC0 && c <= 0xFF) return plain[c - 0xC0];
  return "?";
}

}  // namespace

std::string dxf_words(const std::string& utf8) {
  std::string out;
  for (std::size_t i = 0; i < utf8.size();) {
    const auto lead = static_cast<unsigned char>(utf8[i]);
    if (lead < 0x80) {
      // A line break would end the group.
      out += lead < 0x20 || lead == 0x7F ? ' ' : static_cast<char>(lead);
      ++i;
      continue;
    }
    const std::size_t more = lead >= 0xF0 ? 3 : lead >= 0xE0 ? 2 : lead >= 0xC0 ? 1 : 0;
    char32_t c = more == 3 ? lead & 0x07 : more == 2 ? lead & 0x0F : lead & 0x1F;
    std::size_t k = 1;
    for (; k <= more && i + k < utf8.size() &&
           (static_cast<unsigned char>(utf8[i + k]) & 0xC0) == 0x80;
         ++k)
      c = (c << 6) | (static_cast<unsigned char>(utf8[i + k]) & 0x3F);
    out += more > 0 && k == more + 1 ? nearest(c) : "?";
    i += k;
  }
  return out;
}

Answer<std::string> drawing_dxf(const PartDrawing& part, std::size_t view) {
  if (auto why = why_not(part)) return {std::nullopt, *why};
  if (view >= part.views.size()) return {std::nullopt, "the drawing has no such view"};
  const auto& v = part.views[view];
  Ink ink = drawn(v, 1.0);
  const Box box = box_of(ink);
  add_title(ink, part, v);
  const InkText stamp{InkRole::text, {box.low.x, box.high.y + 10.0},
                      part.stamp,    stamp_size_mm,
                      0.0,           TextAnchor::start};

  Writer w;
  w.group(999, dxf_words(part.title));
  w.group(999, "One unit is one millimetre; scale 1:1.");
  w.group(999, dxf_words(part_caution));
  if (!part.stamp.empty()) w.group(999, dxf_words(part.stamp));
  w.begin("HEADER");
  w.group(9, "$ACADVER");
  w.group(1, "AC1009");
  w.group(9, "$INSUNITS");
  w.group(70, millimetres);
  w.group(9, "$EXTMIN");
  w.point(10, box.low);
  w.group(9, "$EXTMAX");
  w.point(10, box.high);
  w.end();
  tables(w);
  w.begin("BLOCKS");
  w.end();
  w.begin("ENTITIES");
  for (const auto& p : ink.paths) {
    const char* layer = layer_of(p.role);
    if (p.closed) {
      w.closed(layer, p.corners);
      continue;
    }
    for (std::size_t i = 0; i + 1 < p.corners.size(); ++i)
      w.stretch(layer, p.corners[i], p.corners[i + 1].at);
  }
  for (const auto& c : ink.circles) w.circle(layer_of(c.role), c.centre, c.radius_mm);
  for (const auto& a : ink.arrows) w.head("DIM", a);
  for (const auto& t : ink.texts) w.words(t);
  w.words(stamp, warning_layer);
  w.end();
  w.group(0, "EOF");
  return {std::move(w).text(), {}};
}

}  // namespace trammel
