// What stands in the drawings: parts on paper, in pages, in files for machines. Their measures on
// paper are taken from outside by tests/app/drawn_part_test.py.

#include <gtest/gtest.h>

#include <cmath>
#include <map>
#include <set>
#include <sstream>

#include "make/drawing_dxf.h"
#include "make/drawing_svg.h"
#include "make/ink.h"
#include "make/parts.h"

namespace trammel::testing {
namespace {

bool has(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}
std::size_t count(const std::string& text, const std::string& part) {
  std::size_t n = 0;
  for (auto at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) ++n;
  return n;
}
std::vector<PartDrawing> all_parts() {
  return {disc(), sleeve(), flat_bracket(), bent_bracket(), long_plate(), mirrored(disc())};
}

// Code and value of each pair of lines.
std::vector<std::pair<int, std::string>> groups(const std::string& dxf) {
  std::vector<std::pair<int, std::string>> all;
  std::istringstream in(dxf);
  std::string code, value;
  while (std::getline(in, code) && std::getline(in, value))
    all.emplace_back(std::stoi(code), value);
  return all;
}

TEST(Ink, ScaleChangesThePartButNotTheWords) {
  const auto v = flat_bracket().views[0];
  const auto whole = drawn(v, 1.0), half = drawn(v, 0.5);
  const auto holes = [](const Ink& ink) {
    std::vector<double> r;
    for (const auto& c : ink.circles)
      if (c.role == InkRole::hole) r.push_back(c.radius_mm);
    return r;
  };
  EXPECT_EQ(holes(whole), (std::vector<double>{6.0, 5.1}));
  EXPECT_EQ(holes(half), (std::vector<double>{3.0, 2.55}));
  const auto words = [](const Ink& ink) {
    std::multiset<std::string> w;
    for (const auto& t : ink.texts)
      if (t.role == InkRole::dimension) w.insert(t.words);
    return w;
  };
  EXPECT_EQ(words(whole), words(half));
  EXPECT_EQ(words(whole), (std::multiset<std::string>{"40", "20", "16 ±0.2", "90", "42 ±0.1", "24",
                                                      "Ø12 H7 (+0.018/0)", "Ø10.2", "4 × R8"}));
}

TEST(Ink, DimensionsStandClearOfTheViewAndOfEachOther) {
  for (const auto& p : all_parts())
    for (const auto& v : p.views)
      for (const double scale : {2.0, 1.0, 0.5}) {
        View one = v;
        // Aligned ones are put where they are asked for.
        std::erase_if(one.dimensions, [](const Dimension& d) {
          const auto* l = std::get_if<LinearDimension>(&d);
          return l && l->direction == Direction::aligned;
        });
        const auto ink = drawn(one, scale);
        auto part = *box_of(one);
        part = {{scale * part.low.x, scale * part.low.y},
                {scale * part.high.x, scale * part.high.y}};
        std::vector<std::pair<std::string, Box>> words;
        for (const auto& t : ink.texts)
          if (t.role == InkRole::dimension) {
            Ink alone;
            alone.texts = {t};
            words.emplace_back(t.words, box_of(alone));
          }
        const auto meet = [](const Box& a, const Box& b) {
          return a.low.x < b.high.x && b.low.x < a.high.x && a.low.y < b.high.y &&
                 b.low.y < a.high.y;
        };
        for (std::size_t i = 0; i < words.size(); ++i) {
          EXPECT_FALSE(meet(words[i].second, part))
              << p.title << ", " << v.name << ": " << words[i].first << " at " << scale;
          for (std::size_t j = 0; j < i; ++j)
            EXPECT_FALSE(meet(words[i].second, words[j].second))
                << p.title << ", " << v.name << ": " << words[i].first << ", " << words[j].first
                << " at " << scale;
        }
      }
}

TEST(Ink, HatchingStaysInTheCutFace) {
  // A ring cut through: two squares of 10, 20 apart, and one square with a hole in it.
  View v;
  v.hatches = {{{rectangle({0, 0}, {10, 10}), rectangle({0, 30}, {10, 40})}, 45.0},
               {{rectangle({50, 0}, {80, 30}), rectangle({60, 10}, {70, 20})}, 45.0}};
  double length = 0.0;
  for (const auto& p : drawn(v, 1.0).paths) {
    ASSERT_EQ(p.role, InkRole::hatch);
    const auto a = p.corners[0].at, b = p.corners[1].at;
    length += std::sqrt((b.x - a.x) * (b.x - a.x) + (b.y - a.y) * (b.y - a.y));
    const Point2 m{0.5 * (a.x + b.x), 0.5 * (a.y + b.y)};
    const auto in = [&](double x0, double y0, double x1, double y1) {
      return m.x > x0 && m.x < x1 && m.y > y0 && m.y < y1;
    };
    EXPECT_TRUE(in(0, 0, 10, 10) || in(0, 30, 10, 40) || (in(50, 0, 80, 30) && !in(60, 10, 70, 20)))
        << m.x << ", " << m.y;
  }
  // Lines 2.5 apart cover an area of 2.5 times their length.
  EXPECT_NEAR(2.5 * length, 100 + 100 + 800, 60);
}

TEST(Drawing, HasAllThatADrawingNeeds) {
  for (const auto& p : all_parts())
    for (const Paper paper : {Paper::a4, Paper::letter}) {
      const auto svg = drawing_svg(p, paper);
      ASSERT_TRUE(svg.value) << svg.why;
      const auto& s = *svg.value;
      EXPECT_TRUE(has(s, paper == Paper::a4 ? "width=\"297mm\" height=\"210mm\""
                                            : "width=\"279.4mm\" height=\"215.9mm\""));
      EXPECT_TRUE(has(s, "A calculated part is not an"));
      EXPECT_EQ(count(s, "class=\"check-bar\""), 1u);
      EXPECT_TRUE(has(s, "ISO 2768-m"));
      EXPECT_TRUE(has(s, "print at 100 %"));
      EXPECT_TRUE(has(s, ">" + p.number + "<"));
      EXPECT_EQ(has(s, "DEMO"), p.demo);
      EXPECT_FALSE(has(s, "nan"));
      EXPECT_FALSE(has(s, "inf"));
      EXPECT_FALSE(has(s, "#"));             // no ink but the page's own
      EXPECT_FALSE(has(s, "…")) << p.title;  // nothing was cut off
    }
}

// No letter on a sheet is lower than 2 mm, capitals being 0.7 of a face.
TEST(Drawing, TheSmallestLetterIsTwoMillimetres) {
  std::vector<std::string> sheets;
  for (auto p : all_parts())
    for (const Paper paper : {Paper::a4, Paper::letter}) {
      p.caution =
          "Local law, the maker's manual and a licensed inspection come first. Never weld or heat "
          "forged, cast or steering parts.";
      p.stamp = "DOES NOT SERVE - NOT FOR CUTTING - BASE METAL UNKNOWN: DO NOT WELD";
      const auto drawing = drawing_svg(p, paper);
      ASSERT_TRUE(drawing.value) << p.title << ": " << drawing.why;
      sheets.push_back(*drawing.value);
      const auto pages = template_pages(p, 0, paper);
      ASSERT_TRUE(pages.value) << pages.why;
      sheets.insert(sheets.end(), pages.value->begin(), pages.value->end());
    }
  for (const auto& s : sheets)
    for (auto at = s.find("font-size=\""); at != std::string::npos;
         at = s.find("font-size=\"", at + 1))
      EXPECT_GE(0.7 * std::stod(s.substr(at + 11)), 2.0 - 1e-3) << s.substr(at, 200);
}

// What a part is stamped with stands on its drawing, on every page of its template and, on a layer
// of its own, in the cutting file.
TEST(Drawing, AStampStandsOnAllThatIsCutBy) {
  auto p = long_plate();
  p.stamp.clear();
  const auto plain = *drawing_dxf(p, 0).value;
  EXPECT_FALSE(has(plain, "\nDOES NOT SERVE"));
  p.stamp = "DOES NOT SERVE - NOT FOR CUTTING";
  for (const auto& part : {p, mirrored(p)}) {
    EXPECT_TRUE(has(*drawing_svg(part).value, ">DOES NOT SERVE - NOT FOR CUTTING<"));
    const auto pages = *template_pages(part, 0).value;
    ASSERT_EQ(pages.size(), 2u);
    for (const auto& page : pages) EXPECT_TRUE(has(page, ">DOES NOT SERVE - NOT FOR CUTTING<"));
    const auto all = groups(*drawing_dxf(part, 0).value);
    int stamped = 0;
    for (std::size_t i = 0; i + 1 < all.size(); ++i)
      if (all[i] == std::pair{0, std::string("TEXT")} && all[i + 1].second == "WARNING") ++stamped;
    EXPECT_EQ(stamped, 1);
  }
}

TEST(Drawing, ScaleIsTheLargestThatFits) {
  EXPECT_EQ(*drawing_scale(sleeve()).value, 2.0);
  EXPECT_EQ(*drawing_scale(disc()).value, 1.0);
  EXPECT_EQ(*drawing_scale(flat_bracket()).value, 1.0);
  EXPECT_EQ(*drawing_scale(long_plate()).value, 0.5);
  auto large = long_plate();
  large.views[0].outlines = {rectangle({-400, -200}, {400, 200})};
  EXPECT_EQ(*drawing_scale(large).value, 0.2);
  EXPECT_TRUE(has(*drawing_svg(large).value, ">1:5<"));
  large.notes.assign(80, "One note more than there is room for.");
  EXPECT_EQ(drawing_svg(large).why,
            "the views, with their dimensions and notes, do not fit on a sheet");
}

// Where the middle of a view's name stands on the sheet.
double name_x(const std::string& svg, const std::string& name) {
  const auto end = svg.find(">" + name + "<");
  if (end == std::string::npos) return -1.0;
  const auto start = svg.rfind("<text x=\"", end);
  return std::stod(svg.substr(start + 9));
}

TEST(Drawing, ViewsStandByTheProjection) {
  auto p = flat_bracket();
  const auto first = *drawing_svg(p).value;
  EXPECT_GT(name_x(first, "from the left"), name_x(first, "front"));
  p.projection = Projection::third_angle;
  const auto third = *drawing_svg(p).value;
  EXPECT_LT(name_x(third, "from the left"), name_x(third, "front"));
  EXPECT_GE(name_x(third, "from the left"), 20.0);
  // The other hand has its side view on the other side.
  const auto other = *drawing_svg(mirrored(flat_bracket())).value;
  EXPECT_LT(name_x(other, "from the right"), name_x(other, "front"));
}

TEST(Drawing, WordsAreEscapedAndReasonsGiven) {
  auto p = flat_bracket();
  p.title = "<b>\"A & B\"</b>";
  p.views[0].texts[0].words = "</svg>";
  const auto s = *drawing_svg(p).value;
  EXPECT_TRUE(has(s, "&lt;b&gt;&quot;A &amp; B&quot;&lt;/b&gt;"));
  EXPECT_FALSE(has(s, "<b>"));
  EXPECT_EQ(count(s, "</svg>"), 1u);
  p.views[0].holes[0].centre.x = 39.0;
  EXPECT_FALSE(drawing_svg(p).value);
  EXPECT_EQ(drawing_svg(p).why, "front: the hole Ø12 at 39, 24 cuts the edge of its plate");
  EXPECT_FALSE(drawing_dxf(p, 0).value);
  EXPECT_FALSE(template_pages(p, 0).value);
}

TEST(Template, HasAsManyPagesAsItNeeds) {
  const auto flat = template_pages(flat_bracket(), 0);
  ASSERT_TRUE(flat.value) << flat.why;
  ASSERT_EQ(flat.value->size(), 1u);
  EXPECT_TRUE(has(flat.value->front(), "width=\"210mm\" height=\"297mm\""));
  EXPECT_TRUE(has(flat.value->front(), ">RIGHT<"));
  EXPECT_TRUE(has(flat.value->front(), "seen from outside the car"));
  EXPECT_TRUE(has(template_pages(mirrored(flat_bracket()), 0).value->front(), ">LEFT<"));

  for (const Paper paper : {Paper::a4, Paper::letter}) {
    const auto pages = template_pages(long_plate(), 0, paper);
    ASSERT_TRUE(pages.value) << pages.why;
    ASSERT_EQ(pages.value->size(), 2u);
    for (const auto& s : *pages.value) {
      EXPECT_TRUE(has(s, "A calculated part is not an approved part"));
      EXPECT_EQ(count(s, "class=\"check-bar\""), 1u);
      EXPECT_TRUE(has(s, ">LEFT<"));
      EXPECT_TRUE(has(s, "DEMO"));
      // Both have the crosses by which they are joined.
      EXPECT_EQ(count(s, ">A</text>"), 1u);
      EXPECT_EQ(count(s, ">B</text>"), 1u);
    }
    EXPECT_TRUE(has(pages.value->back(), "page 2 of 2: row 1, column 2"));
  }
  EXPECT_FALSE(template_pages(long_plate(), 1).value);
}

TEST(Template, JoiningLettersComeInPairs) {
  auto p = long_plate();
  p.views[0].outlines = {rectangle({-400, -300}, {400, 300})};
  const auto pages = template_pages(p, 0);
  ASSERT_TRUE(pages.value) << pages.why;
  EXPECT_GT(pages.value->size(), 8u);
  std::map<std::string, int> letters;
  for (const auto& s : *pages.value)
    for (auto at = s.find("font-size=\"3.2\""); at != std::string::npos;
         at = s.find("font-size=\"3.2\"", at + 1)) {
      const auto from = s.find('>', at) + 1;
      ++letters[s.substr(from, s.find('<', from) - from)];
    }
  EXPECT_GT(letters.size(), 20u);
  for (const auto& [letter, times] : letters) EXPECT_EQ(times, 2) << letter;
  p.views[0].outlines = {rectangle({-4000, -3000}, {4000, 3000})};
  EXPECT_EQ(template_pages(p, 0).why, "at 1:1 it needs more than 30 sheets");
}

TEST(Dxf, IsGroupsOfReleaseTwelve) {
  const auto dxf = drawing_dxf(flat_bracket(), 0);
  ASSERT_TRUE(dxf.value) << dxf.why;
  EXPECT_EQ(*dxf.value, *drawing_dxf(flat_bracket(), 0).value);
  for (const char c : *dxf.value) ASSERT_TRUE(c == '\n' || (c >= ' ' && c <= '~'));
  const auto all = groups(*dxf.value);
  int sections = 0;
  std::set<std::string> layers, used;
  std::string entity, section;
  std::map<std::string, int> entities;
  for (std::size_t i = 0; i < all.size(); ++i) {
    const auto& [code, value] = all[i];
    if (code == 0) entity = value;
    if (code == 0 && value == "SECTION") ++sections, section = all[i + 1].second;
    if (code == 0 && value == "ENDSEC") --sections;
    if (code == 2 && entity == "LAYER" && i > 0 && all[i - 1].second == "LAYER" &&
        all[i - 1].first == 0)
      layers.insert(value);
    if (code == 8) {
      used.insert(value);
      ++entities[entity + " " + value];
    }
  }
  EXPECT_EQ(sections, 0);
  EXPECT_EQ(all.back().second, "EOF");
  // The published reference of the format, header variables: units for inserted blocks, 4
  // millimetres.
  const auto units = std::find(all.begin(), all.end(), std::pair{9, std::string("$INSUNITS")});
  ASSERT_NE(units, all.end());
  EXPECT_EQ(std::next(units)->first, 70);
  EXPECT_EQ(std::stoi(std::next(units)->second), 4);
  for (const char* l : {"CUT", "HOLES", "CENTRE", "BEND", "TEXT", "DIM", "WARNING"})
    EXPECT_TRUE(layers.count(l)) << l;
  for (const auto& l : used) EXPECT_TRUE(layers.count(l)) << l;
  EXPECT_EQ(entities["POLYLINE CUT"], 1);
  EXPECT_EQ(entities["VERTEX CUT"], 8);
  EXPECT_EQ(entities["CIRCLE HOLES"], 2);
  EXPECT_TRUE(has(*dxf.value, "AC1009"));
  EXPECT_TRUE(has(*dxf.value, "\n%%c12 H7 (+0.018/0)\n"));
  EXPECT_TRUE(has(*dxf.value, "\nA calculated part is not an approved part: have it inspected.\n"));
  EXPECT_TRUE(has(*dxf.value, "\nRIGHT\n"));
  EXPECT_FALSE(drawing_dxf(flat_bracket(), 2).value);
}

TEST(Dxf, WordsBecomeAscii) {
  EXPECT_EQ(dxf_words("3 × Ø10.2 ±0.1, 45°"), "3 x %%c10.2 %%p0.1, 45%%d");
  EXPECT_EQ(dxf_words("Träger – größer…"), "Traeger - groesser...");
  EXPECT_EQ(dxf_words("a\n0\r\nEOF"), "a 0  EOF");
  EXPECT_EQ(dxf_words("日本 \xff\xc3"), "?? ??");
  EXPECT_EQ(dxf_words(""), "");
}

}  // namespace
}  // namespace trammel::testing
