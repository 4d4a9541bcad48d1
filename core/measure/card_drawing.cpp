#include "measure/card_drawing.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <map>

#include "car/by.h"
#include "measure/card_paper.h"
#include "told/markup.h"
#include "travel/sensitivity.h"

namespace trammel {
namespace {

using namespace card_paper;

constexpr double wide_mm = 100.0, high_mm = 64.0;
constexpr double usual_tyre_mm = 190.0;      // drawn width of a tyre: nothing is measured from it
constexpr double baseline_shown_mm = 330.0;  // a baseline farther off is drawn with a break
constexpr double arch_above_hub_mm = 330.0;

// A corner's wheel and members as lines between car points.
struct Corner {
  const Axle& axle;
  Side side;
  Vec3<double> point(int p) const {
    return axle.at(side).numbers.points_mm[static_cast<std::size_t>(p)];
  }
  Vec3<double> hub() const { return point(0); }
  double radius() const { return hub().z; }
  double outboard() const { return outboard_sign(side); }
  // Outline of the tyre in a view, corners in order.
  std::vector<Vec3<double>> tyre(View view) const {
    const double r = radius(), w = 0.5 * usual_tyre_mm;
    const auto h = hub();
    if (view == View::above)
      return {{h.x + r, h.y - w, h.z},
              {h.x + r, h.y + w, h.z},
              {h.x - r, h.y + w, h.z},
              {h.x - r, h.y - w, h.z}};
    const double lean = axle.at(side).numbers.camber_rad * outboard() * r;
    return {{h.x, h.y - w - lean, h.z - r},
            {h.x, h.y + w - lean, h.z - r},
            {h.x, h.y + w + lean, h.z + r},
            {h.x, h.y - w + lean, h.z + r}};
  }
  template <class F>
  void members(F&& between) const {
    const auto& l = axle.layout;
    for (const auto& arm : l.arms) {
      between(arm.body_front, arm.upright);
      between(arm.body_rear, arm.upright);
    }
    for (const auto& rod : l.rods) between(rod.inner, rod.upright);
    if (l.strut) between(l.strut->top, l.strut->foot);
    if (l.swing) {
      between(l.swing->pivot_inner, 0);
      between(l.swing->pivot_outer, 0);
      between(l.swing->pivot_inner, l.swing->pivot_outer);
    }
  }
};

class CardPicture {
 public:
  CardPicture(const Car& car, const Card& card, double shown_mm, std::string caption)
      : car_(car), card_(card), shown_mm_(shown_mm), caption_(std::move(caption)) {}

  Drawing drawn() {
    switch (card_.kind) {
      case CardKind::baseline:
        return baseline();
      case CardKind::floor:
        return floor();
      case CardKind::height:
        return height();
      case CardKind::mark:
        return mark();
      case CardKind::slope:
        return slope();
      case CardKind::distance:
        return distance();
      case CardKind::camber:
        return camber();
      case CardKind::toe:
        return toe();
      case CardKind::ride_height:
        return ride_height();
    }
    return {};
  }

 private:
  Corner corner(const Spot& s) const { return {*car_.at(s.axle), s.side}; }
  Corner corner() const { return corner(card_.spot); }
  Vec3<double> at(const Spot& s) const { return corner(s).point(s.index); }

  static void include(Paper& p, const Corner& c, View view) {
    for (const auto& q : c.tyre(view)) p.include(q);
    c.members([&](int a, int b) {
      p.include(c.point(a));
      p.include(c.point(b));
    });
  }
  static void draw(Paper& p, const Corner& c, View view) {
    std::vector<Flat> tyre;
    for (const auto& q : c.tyre(view)) tyre.push_back(p.at(q));
    p.shape(tyre, plain);
    c.members([&](int a, int b) {
      p.line(p.at(c.point(a)), p.at(c.point(b)), plain);
      p.ring(p.at(c.point(a)), 0.8, plain);
      p.ring(p.at(c.point(b)), 0.8, plain);
    });
    const auto hub = p.at(c.hub());
    p.line({hub[0] - 1.5, hub[1]}, {hub[0] + 1.5, hub[1]}, thin);
    p.line({hub[0], hub[1] - 1.5}, {hub[0], hub[1] + 1.5}, thin);
  }
  static void floor_line(Paper& p, double left, double right, double y) {
    p.line({left, y}, {right, y}, plain);
    for (double x = left + 2.0; x < right; x += 4.0) p.line({x, y}, {x - 1.5, y + 2.0}, thin);
  }
  Drawing done(Paper& p, const std::string& seen) const {
    if (!caption_.empty()) p.text({2.0, 5.5}, escaped(caption_), "start", 5.0);
    auto text = card_.what;
    return {card_.what, fmt::format("Seen {}: {}.", seen, text), p.svg(escaped(text), shown_mm_)};
  }
  std::string from_behind(const Spot& s) const {
    return fmt::format("from behind, {}", corner_words(s.axle, s.side));
  }

  Drawing height() {
    Paper p(View::behind, wide_mm, high_mm);
    const auto c = corner();
    include(p, c, View::behind);
    const auto joint = at(card_.spot);
    const Vec3<double> spot{joint.x, joint.y, 0.0};
    p.include(spot);
    p.fit();
    draw(p, c, View::behind);
    floor_line(p, 2.0, wide_mm - 2.0, p.at(spot)[1]);
    p.measured(p.at(spot), p.at(joint));
    p.ring(p.at(joint), 2.2, heavy);
    return done(p, from_behind(card_.spot));
  }

  Drawing mark() {
    Paper p(View::above, wide_mm, high_mm);
    const auto c = corner();
    include(p, c, View::above);
    const auto joint = at(card_.spot);
    // The baseline where it is, or with a break where it is far off.
    double ahead = 0.0;
    for (const auto& q : c.tyre(View::above)) ahead = std::max(ahead, q.x - c.hub().x);
    const double line_x = c.hub().x + ahead + baseline_shown_mm * 0.35;
    p.include({line_x, joint.y, 0.0});
    p.include({joint.x, 0.0, 0.0});
    p.fit();
    draw(p, c, View::above);
    const auto m = p.at(joint);
    const auto base = p.at({line_x, joint.y, 0.0});
    const auto middle = p.at({joint.x, 0.0, 0.0});
    p.line({2.0, base[1]}, {wide_mm - 2.0, base[1]}, thin, "5 1.2 1 1.2");
    p.text({card_.spot.side == Side::left ? wide_mm - 3.0 : 3.0, base[1] - 1.2}, "baseline",
           card_.spot.side == Side::left ? "end" : "start");
    p.line({middle[0], 4.0}, {middle[0], high_mm - 3.0}, thin, "5 1.2 1 1.2");
    p.text({middle[0], high_mm - 0.8}, "centreline",
           card_.spot.side == Side::left ? "end" : "start");
    p.measured({m[0], base[1]}, m);
    p.measured({middle[0], m[1]}, m);
    // The break in what is not drawn to scale.
    const double by = 0.5 * (base[1] + p.at({c.hub().x + ahead, joint.y, 0.0})[1]);
    p.line({m[0] - 2.0, by + 0.8}, {m[0] + 2.0, by - 0.8}, plain);
    p.line({m[0] - 2.0, by + 2.0}, {m[0] + 2.0, by + 0.4}, plain);
    p.text({m[0] + 2.2, base[1] + 4.2}, "back", "start");
    p.text({0.5 * (m[0] + middle[0]), m[1] - 1.4}, "out");
    p.ring(m, 2.2, heavy);
    return done(p, fmt::format("from above, {}, the car's front at the top",
                               corner_words(card_.spot.axle, card_.spot.side)));
  }

  Drawing slope() {
    Paper p(View::behind, wide_mm, high_mm);
    const auto c = corner();
    include(p, c, View::behind);
    p.include({c.hub().x, c.hub().y, 0.0});
    p.fit();
    draw(p, c, View::behind);
    floor_line(p, 2.0, wide_mm - 2.0, p.at({0, 0, 0})[1]);
    const auto a = p.at(at(card_.spot)), b = p.at(at(card_.other));
    p.line(a, b, heavy);
    p.ring(a, 2.2, heavy);
    p.ring(b, 2.2, heavy);
    // The level lies on the line.
    const double dx = b[0] - a[0], dy = b[1] - a[1];
    const double l = std::max(1e-6, std::sqrt(dx * dx + dy * dy));
    const double ux = dx / l, uy = dy / l;
    double nx = uy, ny = -ux;
    if (ny > 0.0) nx = -nx, ny = -ny;  // above it
    const double half = std::min(0.3 * l, 12.0), t = 3.4;
    const Flat m{0.5 * (a[0] + b[0]) + 0.9 * nx, 0.5 * (a[1] + b[1]) + 0.9 * ny};
    p.shape({{m[0] - half * ux, m[1] - half * uy},
             {m[0] + half * ux, m[1] + half * uy},
             {m[0] + half * ux + t * nx, m[1] + half * uy + t * ny},
             {m[0] - half * ux + t * nx, m[1] - half * uy + t * ny}},
            heavy);
    p.ring({m[0] + 0.5 * t * nx, m[1] + 0.5 * t * ny}, 0.9, plain);
    return done(p, from_behind(card_.spot));
  }

  Drawing distance() {
    const auto a = at(card_.spot), b = at(card_.other);
    const bool one_corner =
        card_.spot.axle == card_.other.axle && card_.spot.side == card_.other.side;
    const auto d = b - a;
    // The view that shows most of it.
    const View view = !one_corner || std::fabs(d.x) > std::fabs(d.z) ? View::above : View::behind;
    Paper p(view, wide_mm, high_mm);
    const auto c = corner();
    include(p, c, view);
    if (!one_corner) include(p, corner(card_.other), view);
    if (view == View::behind) p.include({c.hub().x, c.hub().y, 0.0});
    p.fit();
    draw(p, c, view);
    if (!one_corner) draw(p, corner(card_.other), view);
    if (view == View::behind) floor_line(p, 2.0, wide_mm - 2.0, p.at({0, 0, 0})[1]);
    p.ring(p.at(a), 2.2, heavy);
    p.ring(p.at(b), 2.2, heavy);
    p.measured(p.at(a), p.at(b));
    return done(p, view == View::behind ? from_behind(card_.spot)
                                        : std::string("from above, the car's front at the top"));
  }

  Drawing camber() {
    Paper p(View::behind, wide_mm, high_mm);
    const auto c = corner();
    include(p, c, View::behind);
    p.include({c.hub().x, c.hub().y + 140.0 * c.outboard(), 0.0});
    p.fit();
    draw(p, c, View::behind);
    floor_line(p, 2.0, wide_mm - 2.0, p.at({0, c.hub().y, 0})[1]);
    // Bar across the rim, and the plumb line that it leans against.
    const double r = 0.68 * c.radius(),
                 out = c.hub().y + c.outboard() * (0.5 * usual_tyre_mm + 12.0);
    const double lean = 4.0 * std::tan(c.axle.at(c.side).numbers.camber_rad) * r * c.outboard();
    const auto low = p.at({0, out - lean, c.hub().z - r}),
               top = p.at({0, out + lean, c.hub().z + r});
    p.line(low, top, heavy);
    p.line(low, {low[0], top[1] - 3.0}, plain, "2 1.4");
    p.text({low[0], top[1] - 4.0}, "upright", c.side == Side::left ? "start" : "end");
    return done(p, from_behind(card_.spot) + ", the lean drawn larger");
  }

  Drawing toe() {
    Paper p(View::above, wide_mm, high_mm);
    const auto c = corner();
    for (const auto& q : c.tyre(View::above)) p.include(q);
    const auto h = c.hub();
    const double out = h.y + c.outboard() * (0.5 * usual_tyre_mm + 150.0);
    const double r = 0.7 * c.radius();
    p.include({h.x + c.radius() + 60.0, out, h.z});
    p.include({h.x - c.radius() - 60.0, h.y - c.outboard() * 120.0, h.z});
    p.fit();
    std::vector<Flat> tyre;
    for (const auto& q : c.tyre(View::above)) tyre.push_back(p.at(q));
    p.shape(tyre, plain);
    const double rim = h.y + c.outboard() * 0.5 * usual_tyre_mm;
    const auto f = p.at({h.x + r, rim, 0}), b = p.at({h.x - r, rim, 0});
    const auto sf = p.at({h.x + r, out, 0}), sb = p.at({h.x - r, out, 0});
    p.line({sf[0], 2.0}, {sf[0], high_mm - 2.0}, plain, "6 1.2");
    p.text({sf[0] + (c.side == Side::left ? -1.5 : 1.5), 6.0}, "string",
           c.side == Side::left ? "end" : "start");
    p.measured(sf, f);
    p.measured(sb, b);
    p.text({0.5 * (sf[0] + f[0]), sf[1] - 1.6}, "front edge");
    p.text({0.5 * (sb[0] + b[0]), sb[1] + 4.2}, "rear edge");
    const double inside = p.at({h.x, h.y, 0})[0];
    p.measured({inside, f[1]}, {inside, b[1]});
    p.text({inside + (c.side == Side::left ? 2.0 : -2.0), p.at(h)[1]}, "across",
           c.side == Side::left ? "start" : "end");
    return done(p, fmt::format("from above, {}, the car's front at the top",
                               corner_words(card_.spot.axle, card_.spot.side)));
  }

  Drawing ride_height() {
    Paper p(View::outside, wide_mm, high_mm);
    const auto c = corner();
    const auto h = c.hub();
    const double r = c.radius();
    p.include({h.x + r, h.y, 0.0});
    p.include({h.x - r, h.y, h.z + arch_above_hub_mm + 40.0});
    p.fit();
    const auto hub = p.at(h);
    const double shown = r * p.scale();
    p.ring(hub, shown, plain);
    p.ring(hub, 0.62 * shown, thin);
    p.ring(hub, 0.9, plain, true);
    floor_line(p, 20.0, wide_mm - 20.0, p.at({h.x, h.y, 0.0})[1]);
    const auto arch = p.at({h.x, h.y, h.z + arch_above_hub_mm});
    const double wide = arch_above_hub_mm * 1.05 * p.scale();
    std::vector<Flat> edge;
    for (int i = 0; i <= 24; ++i) {
      const double a = 3.14159265358979 * i / 24.0;
      edge.push_back({hub[0] - wide * std::cos(a), hub[1] - (hub[1] - arch[1]) * std::sin(a)});
    }
    p.shape(edge, plain, false);
    p.measured(hub, arch);
    p.text({arch[0] + 2.0, arch[1] - 1.5}, "edge of the arch", "start");
    return done(p, fmt::format("from outside, {}", corner_words(card_.spot.axle, card_.spot.side)));
  }

  // Wheels of all axles from above.
  std::vector<Corner> corners() const {
    std::vector<Corner> all;
    for (const AxleName a : {AxleName::front, AxleName::rear})
      if (car_.at(a))
        for (const Side s : {Side::left, Side::right}) all.push_back({*car_.at(a), s});
    return all;
  }

  Drawing baseline() {
    Paper p(View::above, wide_mm, high_mm);
    const double line_x = 600.0;
    for (const auto& c : corners()) {
      if (c.axle.layout.axle != AxleName::front) continue;
      include(p, c, View::above);
    }
    p.include({line_x, 0.0, 0.0});
    p.include({-250.0, 0.0, 0.0});
    p.fit();
    for (const auto& c : corners())
      if (c.axle.layout.axle == AxleName::front) draw(p, c, View::above);
    const auto zero = p.at({0, 0, 0}), base = p.at({line_x, 0, 0});
    p.line({4.0, base[1]}, {wide_mm - 4.0, base[1]}, plain, "5 1.2 1 1.2");
    p.line({4.0, zero[1]}, {wide_mm - 4.0, zero[1]}, thin, "2 1.4");
    p.line({zero[0], 3.0}, {zero[0], high_mm - 3.0}, thin, "5 1.2 1 1.2");
    p.measured(base, zero);
    p.text({6.0, base[1] - 1.4}, "baseline", "start");
    p.text({zero[0] + 2.0, 0.5 * (base[1] + zero[1])}, "?", "start", 4.0);
    return done(p, "from above, the car's front at the top");
  }

  Drawing floor() {
    Paper p(View::above, wide_mm, high_mm);
    for (const auto& c : corners())
      for (const auto& q : c.tyre(View::above)) p.include(q);
    const Vec3<double> spot{card_.at_mm[0], card_.at_mm[1], 0.0};
    p.include(spot);
    p.fit();
    for (const auto& c : corners()) {
      std::vector<Flat> tyre;
      for (const auto& q : c.tyre(View::above)) tyre.push_back(p.at(q));
      p.shape(tyre, plain);
    }
    p.line({p.at({0, 0, 0})[0], 3.0}, {p.at({0, 0, 0})[0], high_mm - 3.0}, thin, "5 1.2 1 1.2");
    const auto m = p.at(spot);
    p.line({m[0] - 2.0, m[1] - 2.0}, {m[0] + 2.0, m[1] + 2.0}, heavy);
    p.line({m[0] - 2.0, m[1] + 2.0}, {m[0] + 2.0, m[1] - 2.0}, heavy);
    p.ring(m, 3.4, plain);
    return done(p, "from above, the car's front at the top");
  }

  const Car& car_;
  const Card& card_;
  double shown_mm_;
  std::string caption_;
};

}  // namespace

Drawing card_drawing(const Car& car, const Card& card, double shown_mm,
                     const std::string& caption) {
  return CardPicture(car, card, shown_mm, caption).drawn();
}

Drawing corner_drawing(const Car& car, AxleName axle, Side side, const std::vector<Card>& cards) {
  const Corner c{*car.at(axle), side};
  std::map<int, std::string> numbers;  // of the cards that ask for a joint's height and mark
  for (const auto& card : cards)
    if ((card.kind == CardKind::height || card.kind == CardKind::mark) && card.spot.axle == axle &&
        card.spot.side == side) {
      auto& text = numbers[card.spot.index];
      text += text.empty() ? card.number : ", " + card.number;
    }
  constexpr double sheet_wide = 86.0, sheet_high = 78.0;
  std::string both;
  for (const View view : {View::behind, View::above}) {
    Paper p(view, sheet_wide, sheet_high);
    for (const auto& q : c.tyre(view)) p.include(q);
    for (const int i : holding_points(c.axle.layout)) p.include(c.point(i));
    if (view == View::behind) p.include({c.hub().x, c.hub().y, 0.0});
    p.fit();
    std::vector<Flat> tyre;
    for (const auto& q : c.tyre(view)) tyre.push_back(p.at(q));
    p.shape(tyre, plain);
    c.members([&](int a, int b) { p.line(p.at(c.point(a)), p.at(c.point(b)), plain); });
    if (view == View::behind) {
      const double y = p.at({0, 0, 0})[1];
      p.line({2.0, y}, {sheet_wide - 2.0, y}, plain);
    }
    // Numbers beside their joints, moved down where they would stand on each other.
    std::vector<Flat> taken;
    for (const auto& [point, number] : numbers) {
      const auto at = p.at(c.point(point));
      p.ring(at, 1.0, plain);
      Flat label{at[0] + 1.8, at[1] - 1.4};
      const auto in_the_way = [&](const Flat& t) {
        return std::fabs(t[0] - label[0]) < 20.0 && std::fabs(t[1] - label[1]) < 3.2;
      };
      while (std::any_of(taken.begin(), taken.end(), in_the_way)) label[1] += 3.0;
      taken.push_back(label);
      if (label[1] - at[1] > 2.0) p.line(at, {label[0], label[1] - 1.0}, thin);
      p.text(label, number, "start", 2.8);
    }
    p.text({2.0, 4.0}, view == View::behind ? "from behind" : "from above, front at the top",
           "start", 3.0);
    both += p.svg(fmt::format("{}, {}", corner_words(axle, side),
                              view == View::behind ? "from behind" : "from above"),
                  sheet_wide);
  }
  return {fmt::format("{}: where each card is taken", corner_words(axle, side)),
          "Joints with the numbers of their cards, from behind and from above.", both};
}

}  // namespace trammel
