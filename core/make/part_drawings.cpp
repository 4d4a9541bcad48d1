#include "make/part_drawings.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "make/reasons.h"

namespace trammel {
namespace {

constexpr double paper_mm = 10.0;  // of a dimension line from the shapes
constexpr double chamfer_mm = 0.5;
constexpr double recess_deeper_mm = 0.4;  // so that the faces seat and not the spigot's end
constexpr double reamed_mm = 0.1;         // the joint's own hole over its bolt
constexpr double drilled_mm = 0.3;        // marked out and drilled by hand

std::string number_of(const PartToMake& p) {
  auto n = drawing_name(p.option.name);
  if (turned(p.made.kind)) n += fmt::format("-{:g}", p.thickness_mm);
  return n + "-L";
}

PartDrawing begun(const PartToMake& p, bool demo) {
  PartDrawing d;
  d.title = fmt::format("{}, left", p.option.name);
  if (!d.title.empty()) d.title[0] = static_cast<char>(std::toupper(d.title[0]));
  d.number = number_of(p);
  d.revision = p.made.revision;
  d.demo = demo;
  d.hand = Hand::left;
  const bool two = p.made.kind == MadeKind::clevis;
  if (p.side)
    d.quantity = two ? "2 left (the right ones differ)" : "1 left (the right one differs)";
  else d.quantity = two ? "2 left, 2 right (mirror images)" : "1 left, 1 right (mirror image)";
  d.stamp = stamp_of(p);
  // A drawing is in millimetres, whatever the owner's tape shows.
  for (const auto* judged : {&p.judged, p.weld ? &*p.weld : nullptr}) {
    if (!judged) continue;
    const auto j = in_words(*judged, Units::metric);
    for (const auto& why : j.fails)
      d.notes.push_back(fmt::format("Does not serve, {}: {}.", j.of, why));
    for (const auto& u : j.unjudged)
      d.notes.push_back(fmt::format("Not judged, {}: {}.", j.of, words(u)));
  }
  d.caution =
      "Local law, the maker's manual and a licensed inspection come first. Never weld or heat "
      "forged, cast or steering parts.";
  return d;
}

// ------------------------------------------------------------------------------------ turned parts

std::string bolt_hole_limits() { return "+0.1/0"; }

// A turned part seen along its axis, and the section through it, thickness to the right.
class Turned {
 public:
  Turned(const PartToMake& p, bool demo)
      : p_(p), m_(p.made), t_(p.thickness_mm), d_(begun(p, demo)) {
    d_.material = fmt::format("{}, round bar", m_.material.name);
    bore_ = m_.kind == MadeKind::sleeve ? m_.bore_mm.value_or(m_.bolt.thread.diameter_mm + 0.1)
                                        : m_.bore_mm.value_or(0.0);
  }

  Answer<PartDrawing> drawing() {
    face();
    section();
    if (!p_.corrects_rod)
      d_.notes.emplace_back(
          "Never fit it without its rod corrected: alone it makes the wheel steer itself more than "
          "lowering did.");
    for (const char* note :
         {"Faces parallel and flat within 0.02, Ra 1.6 or finer; the pair left and right within "
          "0.05 in thickness.",
          "The dial's full indicator reading is twice the offset: true within 0.04 on the dial.",
          "Stamp side, thickness and date on the rim. Clean faces bare: no paint between them.",
          "Lathe: key out of the chuck before it turns; off centre turn slowly; no loose sleeve, "
          "no "
          "glove; eyes covered. Drill: clamp the part, never hold it by hand."})
      d_.notes.emplace_back(note);
    if (m_.material.group == MaterialGroup::aluminium)
      d_.notes.emplace_back(
          "Aluminium only under the full flange, with hardened washers; tighten again after 100 "
          "km.");
    if (const auto why = why_not(d_)) return {{}, *why};
    return {std::move(d_), ""};
  }

 private:
  void face() {
    View v;
    v.name = "front";
    v.face = "seen on the face with the recess";
    if (!m_.spigot) v.face = "seen on a face";
    v.discs = {{{0, 0}, m_.outside_mm}};
    if (bore_ > 0.0) v.holes.push_back({{0, 0}, bore_});
    if (m_.spigot) v.circles.push_back({{0, 0}, m_.spigot->diameter_mm, LineKind::visible});
    if (m_.holes) {
      const double r = 0.5 * m_.holes->circle_mm;
      const double hole = m_.bolt.thread.diameter_mm + hole_clearance_mm;
      v.circles.push_back({{0, 0}, m_.holes->circle_mm, LineKind::centre});
      for (int i = 0; i < m_.holes->number; ++i) {
        const double a = (90.0 + 360.0 * i / m_.holes->number) * std::numbers::pi / 180.0;
        v.holes.push_back({{r * std::cos(a), r * std::sin(a)}, hole});
      }
      v.dimensions.emplace_back(DiameterDimension{
          v.holes.back().centre, hole, m_.holes->number, "", bolt_hole_limits(), "", {1, 1}});
      v.dimensions.emplace_back(
          DiameterDimension{{0, 0}, m_.holes->circle_mm, 1, "", "±0.1", "", {-1, 1}});
    }
    v.texts = {{{0, -0.5 * m_.outside_mm + 3.0}, "L", 3.5, 0.0, TextAnchor::middle}};
    if (0.5 * m_.outside_mm - 0.5 * bore_ < 10.0) v.texts.clear();
    d_.views.push_back(std::move(v));
  }

  void section() {
    View v;
    v.name = "section, from the left";
    v.seen = SeenFrom::from_left;
    const double out = 0.5 * m_.outside_mm, in = 0.5 * bore_;
    const double c = std::min(chamfer_mm, 0.2 * std::min(t_, out - in));
    const double spigot = m_.spigot ? 0.5 * m_.spigot->diameter_mm : 0.0;
    const double long_mm = m_.spigot ? m_.spigot->depth_mm : 0.0;
    const double deep = long_mm + recess_deeper_mm;
    const bool recess = m_.spigot && t_ > deep + 2.0;
    const auto half = [&](double s) {
      std::vector<Point2> p{{c, s * out}, {t_ - c, s * out}, {t_, s * (out - c)}};
      if (recess)
        p.insert(p.end(), {{t_, s * spigot}, {t_ - deep, s * spigot}, {t_ - deep, s * in}});
      else p.push_back({t_, s * in});
      if (m_.spigot)
        p.insert(p.end(), {{-long_mm, s * in},
                           {-long_mm, s * (spigot - c)},
                           {-long_mm + c, s * spigot},
                           {0, s * spigot}});
      else p.push_back({0, s * in});
      p.push_back({0, s * (out - c)});
      return polygon(p);
    };
    if (in > 0.0) {
      v.outlines = {half(1), half(-1)};
      v.hatches = {{{half(1)}, 45}, {{half(-1)}, 45}};
      // The bore's far edge.
      for (const double x : {-long_mm, recess ? t_ - deep : t_})
        v.lines.push_back({{x, -in}, {x, in}, 0.0, LineKind::visible});
    } else {
      // From the axis on the left over the upper half to the axis on the right, and back below it.
      const auto upper = half(1).corners;
      std::size_t left = 0;
      for (std::size_t k = 0; k < upper.size(); ++k)
        if (std::fabs(upper[k].at.y) < same_point_mm) left = k;
      std::vector<Point2> whole;
      for (std::size_t k = 1; k < upper.size(); ++k)
        if (const auto& at = upper[(left + k) % upper.size()].at; at.y > same_point_mm)
          whole.push_back(at);
      for (std::size_t k = whole.size(); k-- > 0;) whole.push_back({whole[k].x, -whole[k].y});
      v.outlines = {polygon(whole)};
      v.hatches = {{{v.outlines[0]}, 45}};
    }
    v.lines.push_back({{-long_mm - 4, 0}, {t_ + 4, 0}, 0.0, LineKind::centre});
    auto& dims = v.dimensions;
    dims.emplace_back(
        LinearDimension{Direction::horizontal, {0, -out}, {t_, -out}, -paper_mm, "", "", "±0.05"});
    dims.emplace_back(LinearDimension{Direction::vertical, {t_, -out}, {t_, out}, 18, "Ø", "", ""});
    if (m_.spigot) {
      const auto& fit = m_.spigot->fit;
      dims.emplace_back(LinearDimension{Direction::vertical,
                                        {-long_mm, -spigot},
                                        {-long_mm, spigot},
                                        -17,
                                        "Ø",
                                        "",
                                        name(fit.shaft)});
      dims.emplace_back(LinearDimension{
          Direction::horizontal, {-long_mm, -spigot}, {0, -out}, -paper_mm, "", "", "0/-0.1"});
      if (recess) {
        dims.emplace_back(LinearDimension{
            Direction::vertical, {t_, -spigot}, {t_, spigot}, paper_mm, "Ø", "", name(fit.hole)});
        dims.emplace_back(LinearDimension{
            Direction::horizontal, {t_ - deep, spigot}, {t_, out}, paper_mm, "", "", "+0.1/0"});
      }
    }
    if (in > 0.0)
      dims.emplace_back(LinearDimension{Direction::vertical,
                                        {-long_mm, -in},
                                        {-long_mm, in},
                                        -paper_mm,
                                        "Ø",
                                        "",
                                        m_.kind == MadeKind::sleeve ? "+0.1/0" : ""});
    dims.emplace_back(ChamferDimension{{t_ - 0.5 * c, out - 0.5 * c}, c, 45, 2, {1, 1}});
    d_.views.push_back(std::move(v));
  }

  const PartToMake& p_;
  const Made& m_;
  double t_, bore_ = 0.0;
  PartDrawing d_;
};

// ------------------------------------------------------------------------------------------ plates

const char* seen_from(const Vec3<double>& axis) {
  if (std::fabs(axis.z) > 0.9) return axis.z > 0.0 ? "seen from below" : "seen from above";
  if (std::fabs(axis.x) > std::fabs(axis.y))
    return axis.x > 0.0 ? "seen looking forward" : "seen looking rearward";
  return axis.y > 0.0 ? "seen from the middle of the car" : "seen from outside the car";
}

class Plate {
 public:
  Plate(const PartToMake& p, bool demo) : p_(p), m_(p.made), d_(begun(p, demo)) {}

  Answer<PartDrawing> drawing() {
    const auto& plate = *p_.plate->plate;
    d_.material = fmt::format("{}, plate {:g} mm", m_.material.name, plate.thickness_mm);
    const double hole = m_.bolt.thread.diameter_mm + reamed_mm;
    const double edge = plate.edge_mm;
    View v;
    v.name = "front";
    v.face = seen_from(m_.axis);
    const auto at = [](const std::array<double, 2>& a) { return Point2{-a[0], a[1]}; };
    const Point2 fresh = at(plate.hole_mm);
    std::vector<Circle> round{{fresh, 2.0 * edge}};
    v.holes.push_back({fresh, hole});
    Point2 from = at({0.0, 0.0});
    if (!m_.fixings_mm.empty()) from = at(m_.fixings_mm[0]);
    for (const auto& f : m_.fixings_mm) {
      round.push_back({at(f), 2.0 * edge});
      v.holes.push_back({at(f), m_.bolt.thread.diameter_mm + hole_clearance_mm});
    }
    if (m_.weld) {
      from = at(m_.weld->from_mm);
      round.push_back({at(m_.weld->from_mm), 0.0});
      round.push_back({at(m_.weld->to_mm), 0.0});
      v.lines.push_back({at(m_.weld->from_mm), at(m_.weld->to_mm), 0.0, LineKind::thin});
      v.dimensions.emplace_back(
          Callout{{0.5 * (at(m_.weld->from_mm).x + at(m_.weld->to_mm).x),
                   0.5 * (at(m_.weld->from_mm).y + at(m_.weld->to_mm).y)},
                  fmt::format("weld both sides, a = {:g}", m_.weld->throat_mm),
                  {1, 1}});
    }
    // Of a line that lies within the edge round the new hole nothing is left to stand on.
    const bool all_within = std::all_of(round.begin() + 1, round.end(), [&](const Circle& c) {
      return std::hypot(c.centre.x - fresh.x, c.centre.y - fresh.y) + 0.5 * c.diameter_mm <=
             edge + same_point_mm;
    });
    if (all_within)
      return {
          {},
          fmt::format("it is held within the edge of {:g} mm round its new hole: move {} farther "
                      "from it, or take less edge",
                      edge, m_.weld ? "the weld" : "the fixings")};
    v.outlines = {hull_round(round)};
    if (v.outlines[0].corners.empty())
      return {{},
              fmt::format("its {} lies within the {:g} mm that the plate has round the new hole, "
                          "expected it where the plate meets what carries it, or a smaller 'edge'",
                          m_.weld ? "weld line" : "fixing", edge)};
    const auto box = *box_of(v);
    auto& dims = v.dimensions;
    const std::string room = fmt::format(
        "±{:.2g}", std::max(0.01, std::min(drilled_mm, p_.room_mm.value_or(drilled_mm))));
    const auto across = [&](const Point2& a, const Point2& b, double off, const std::string& tol) {
      if (std::fabs(a.x - b.x) > 0.05)
        dims.emplace_back(LinearDimension{Direction::horizontal, a, b, off, "", "", tol});
      if (std::fabs(a.y - b.y) > 0.05)
        dims.emplace_back(LinearDimension{Direction::vertical, a, b, off, "", "", tol});
    };
    across(from, fresh, -paper_mm, room);
    for (std::size_t i = 1; i < m_.fixings_mm.size(); ++i)
      across(from, at(m_.fixings_mm[i]), paper_mm, "±0.2");
    if (m_.weld) across(from, at(m_.weld->to_mm), paper_mm, "");
    dims.emplace_back(DiameterDimension{fresh, hole, 1, "", "+0.1/0", "", {0.4, -1}});
    if (!m_.fixings_mm.empty())
      dims.emplace_back(DiameterDimension{v.holes[1].centre,
                                          v.holes[1].diameter_mm,
                                          static_cast<int>(m_.fixings_mm.size()),
                                          "",
                                          "+0.1/0",
                                          "",
                                          {-1, 0.6}});
    dims.emplace_back(RadiusDimension{fresh, edge, 1, "", "", {-1, -0.4}});
    const double text_y = 0.5 * (fresh.y + from.y);
    v.texts = {{{0.5 * (fresh.x + from.x), text_y}, "L", 5.0, 0.0, TextAnchor::middle}};
    if (std::hypot(fresh.x - from.x, fresh.y - from.y) < 3.0 * hole) v.texts.clear();

    View side;
    side.name = "from the left";
    side.seen = SeenFrom::from_left;
    const double t = plate.thickness_mm;
    side.outlines = {rectangle({0, box.low.y}, {t, box.high.y})};
    for (const auto& h : v.holes) {
      const double r = 0.5 * h.diameter_mm, y = h.centre.y;
      for (const double edge_y : {y - r, y + r})
        side.lines.push_back({{0, edge_y}, {t, edge_y}, 0.0, LineKind::hidden});
      side.lines.push_back({{-3, y}, {t + 3, y}, 0.0, LineKind::centre});
    }
    side.dimensions = {LinearDimension{
        Direction::horizontal, {0, box.low.y}, {t, box.low.y}, -paper_mm, "", "", ""}};
    d_.views = {std::move(v), std::move(side)};
    for (const char* note :
         {"Edges broken, 0.5; no scribed line or punch mark across the plate near a hole.",
          "Drill under size and ream: a rattling hole grows. Clamp the plate: a drill that bites "
          "spins it.",
          "Grinder: guard on, eyes covered, sparks away from tank, brake fluid and glass."})
      d_.notes.emplace_back(note);
    if (m_.weld)
      d_.notes.emplace_back(
          "Weld in a jig on a dummy bolt, wrap round the ends; look at the weld with dye the next "
          "day. No plating before.");
    if (std::fabs(p_.aside_mm) > 0.05)
      d_.notes.push_back(
          fmt::format("The joint also moves {:g} mm along the hole: a spacer there makes it up.",
                      std::round(10.0 * p_.aside_mm) / 10.0));
    if (!p_.room_mm)
      d_.notes.emplace_back(
          "Not for cutting yet: what is known of the joints is no room for drilling. Measure "
          "first.");
    if (const auto why = why_not(d_)) return {{}, *why};
    return {std::move(d_), ""};
  }

 private:
  const PartToMake& p_;
  const Made& m_;
  PartDrawing d_;
};

}  // namespace

Outline hull_round(const std::vector<Circle>& circles) {
  struct Tangent {
    std::size_t to;
    Point2 normal;
    double far;
  };
  const std::size_t n = circles.size();
  std::vector<std::optional<Tangent>> side(n);
  for (std::size_t i = 0; i < n; ++i)
    for (std::size_t j = 0; j < n; ++j) {
      const double dx = circles[j].centre.x - circles[i].centre.x,
                   dy = circles[j].centre.y - circles[i].centre.y, d = std::hypot(dx, dy);
      const double ri = 0.5 * circles[i].diameter_mm, rj = 0.5 * circles[j].diameter_mm;
      if (i == j || d < same_point_mm || std::fabs(ri - rj) > d) continue;
      const Point2 w{dx / d, dy / d};
      const double s = (ri - rj) / d, c = std::sqrt(std::max(0.0, 1.0 - s * s));
      const Point2 normal{s * w.x + c * w.y, s * w.y - c * w.x};  // outwards: to the right
      const auto reach = [&](std::size_t k) {
        return normal.x * circles[k].centre.x + normal.y * circles[k].centre.y +
               0.5 * circles[k].diameter_mm;
      };
      bool outer = true;
      for (std::size_t k = 0; k < n; ++k) outer = outer && reach(k) <= reach(i) + same_point_mm;
      if (outer && (!side[i] || d > side[i]->far)) side[i] = Tangent{j, normal, d};
    }
  std::size_t first = 0;
  while (first < n && !side[first]) ++first;
  if (first == n) return {};
  Outline outline;
  std::size_t i = first;
  do {
    const auto& leaves = *side[i];
    const auto& next = circles[leaves.to];
    const double r = 0.5 * circles[i].diameter_mm, rn = 0.5 * next.diameter_mm;
    outline.corners.push_back(
        {{circles[i].centre.x + r * leaves.normal.x, circles[i].centre.y + r * leaves.normal.y},
         0.0});
    const auto& after = *side[leaves.to];
    const double turn =
        std::atan2(leaves.normal.x * after.normal.y - leaves.normal.y * after.normal.x,
                   leaves.normal.x * after.normal.x + leaves.normal.y * after.normal.y);
    const double whole = turn < -1e-9 ? turn + 2.0 * std::numbers::pi : turn;
    if (rn > same_point_mm)
      outline.corners.push_back(
          {{next.centre.x + rn * leaves.normal.x, next.centre.y + rn * leaves.normal.y},
           std::tan(0.25 * whole)});
    i = leaves.to;
  } while (i != first && outline.corners.size() <= 4 * n);
  return outline;
}

std::string stamp_of(const PartToMake& p) {
  std::string stamp;
  const auto add = [&](const char* words) {
    stamp += (stamp.empty() ? "" : " - ") + std::string(words);
  };
  if (p.fails()) add("DOES NOT SERVE");
  if (p.not_for_cutting()) add("NOT FOR CUTTING");
  if (p.made.weld && !p.made.boss) add("BASE METAL UNKNOWN: DO NOT WELD");
  if (stamp.empty() && (p.judged.verdict() == Serving::not_judged ||
                        (p.weld && p.weld->verdict() == Serving::not_judged)))
    add("NOT JUDGED");
  return stamp;
}

Answer<PartDrawing> part_drawing(const PartToMake& part, bool demo) {
  if (part.nothing) return {{}, std::string(words(*part.nothing))};
  const bool is_turned = turned(part.made.kind);
  if (!is_turned && !part.plate->plate) return {{}, why_words(*part.plate, Units::metric)};
  // Drawn as a left one; a right side's own part is turned over.
  auto drawing = is_turned ? Turned(part, demo).drawing() : Plate(part, demo).drawing();
  if (drawing.value && part.side == Side::right) drawing.value = mirrored(*drawing.value);
  return drawing;
}

std::vector<Inspected> inspection_of(const PartToMake& part) {
  const auto& m = part.made;
  std::vector<Inspected> list;
  if (turned(m.kind)) {
    list.push_back({"thickness, at four places", fmt::format("{:g} ± 0.05 mm", part.thickness_mm)});
    if (!part.side) list.push_back({"thickness, left less right", "0.05 mm at most"});
    list.push_back({"faces parallel: dial over the face", "0.02 mm at most"});
    if (m.spigot) {
      const auto fit = limits(m.spigot->diameter_mm, m.spigot->fit);
      if (fit.value) {
        list.push_back(
            {"spigot's diameter",
             fmt::format("{:.3f} to {:.3f} mm", m.spigot->diameter_mm + fit.value->spigot.lower_mm,
                         m.spigot->diameter_mm + fit.value->spigot.upper_mm)});
        list.push_back(
            {"recess' diameter",
             fmt::format("{:.3f} to {:.3f} mm", m.spigot->diameter_mm + fit.value->bore.lower_mm,
                         m.spigot->diameter_mm + fit.value->bore.upper_mm)});
      }
      list.push_back({"bore or spigot off centre: full indicator reading", "0.04 mm at most"});
    }
    if (m.holes)
      list.push_back(
          {"bolt holes",
           fmt::format("{:.1f} to {:.1f} mm", m.bolt.thread.diameter_mm + hole_clearance_mm,
                       m.bolt.thread.diameter_mm + hole_clearance_mm + 0.1)});
  } else if (part.plate && part.plate->plate) {
    const auto& plate = *part.plate->plate;
    list.push_back({"plate's thickness", fmt::format("{:g} mm or more", plate.thickness_mm)});
    list.push_back({"new hole, across from the old one",
                    fmt::format("{:.1f} mm", std::fabs(plate.hole_mm[0]))});
    list.push_back({"new hole, up or down from the old one",
                    fmt::format("{:.1f} mm", std::fabs(plate.hole_mm[1]))});
    list.push_back({"new hole's diameter",
                    fmt::format("{:.1f} to {:.1f} mm", m.bolt.thread.diameter_mm + reamed_mm,
                                m.bolt.thread.diameter_mm + reamed_mm + 0.1)});
    if (m.weld) list.push_back({"welds, with dye, a day later", "no line shows"});
  }
  list.push_back({"side marked", "L and R"});
  return list;
}

}  // namespace trammel
