#include "start/holder_picture.h"
#include "told/markup.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace trammel {
namespace {

using HolderKind = HeldBy::Kind;

constexpr double wide = 116.0, high = 84.0, margin = 3.0;
constexpr double labels_wide = 34.0;  // kept free on the right for words
constexpr double legend_high = 9.0;   // and at the bottom
constexpr double text_high = 4.6;
constexpr const char* paper = "var(--paper,#fff)";

struct Spot {
  double x = 0.0, y = 0.0;
};

std::string head(const std::string& title, const std::string& about) {
  return fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {:.0f} {:.0f}\" role=\"img\" "
      "fill=\"none\" stroke=\"currentColor\" stroke-width=\".4\" stroke-linecap=\"round\" "
      "stroke-linejoin=\"round\" font-family=\"Liberation Sans,Arial,Helvetica,sans-serif\" "
      "font-size=\"{}\">\n<title>{}</title>\n<desc>{}</desc>\n",
      wide, high, text_high, escaped(title), escaped(about));
}

std::string word_at(Spot at, const std::string& text, const char* anchor = "start") {
  return fmt::format(
      "<text x=\"{:.1f}\" y=\"{:.1f}\" text-anchor=\"{}\" fill=\"currentColor\" "
      "stroke=\"{}\" stroke-width=\"1.2\" paint-order=\"stroke\">{}</text>\n",
      at.x, at.y, anchor, paper, escaped(text));
}

std::string path_of(const std::vector<Spot>& spots, bool closed = false) {
  std::string d;
  for (const auto& s : spots) d += fmt::format("{}{:.1f} {:.1f}", d.empty() ? 'M' : 'L', s.x, s.y);
  return closed ? d + "Z" : d;
}
// A line that stands clear of what is behind it. Hollow: two edges with paper between.
std::string bar_of(const std::vector<Spot>& spots, double thick, bool solid, bool closed = false) {
  const auto d = path_of(spots, closed);
  std::string out =
      fmt::format("<path d=\"{}\" stroke=\"{}\" stroke-width=\"{:.1f}\"/>", d, paper, thick + 1.2);
  out += fmt::format("<path d=\"{}\" stroke-width=\"{:.1f}\"/>", d, thick);
  if (!solid)
    out += fmt::format("<path d=\"{}\" stroke=\"{}\" stroke-width=\"{:.1f}\"/>", d, paper,
                       thick - 0.8);
  return out + "\n";
}
std::string joint_at(Spot s) {
  return fmt::format("<circle cx=\"{:.1f}\" cy=\"{:.1f}\" r=\"1.4\" fill=\"{}\"/>", s.x, s.y,
                     paper);
}
// Where something is bolted to the body: a hatched block.
std::string block_at(Spot s) {
  return fmt::format(
      "<path d=\"M{0:.1f} {1:.1f}h5v5h-5z\" fill=\"{2}\"/><path d=\"M{0:.1f} {3:.1f}l1.7 "
      "-1.7M{0:.1f} {4:.1f}l3.4 -3.4M{0:.1f} {5:.1f}l5 -5m0 1.6l-3.4 3.4m1.7 0l1.7 -1.7\" "
      "stroke-width=\".3\"/>",
      s.x - 2.5, s.y - 2.5, paper, s.y - 0.8, s.y + 0.9, s.y + 2.5);
}

std::vector<Spot> hull(std::vector<Spot> p) {
  std::sort(p.begin(), p.end(),
            [](const Spot& a, const Spot& b) { return a.x < b.x || (a.x == b.x && a.y < b.y); });
  const auto left_of = [](const Spot& a, const Spot& b, const Spot& c) {
    return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x) > 0.0;
  };
  std::vector<Spot> out;
  for (int pass = 0; pass < 2; ++pass) {
    const auto from = out.size();
    for (const auto& s : p) {
      while (out.size() >= from + 2 && !left_of(out[out.size() - 2], out.back(), s)) out.pop_back();
      out.push_back(s);
    }
    out.pop_back();
    std::reverse(p.begin(), p.end());
  }
  return out;
}

// A view as a drawing: what is to the right and what is up on paper, in car axes, and how large.
class Sight {
 public:
  Sight(PictureView view) {
    if (view == PictureView::from_above) {
      right_ = {0, -1, 0};
      up_ = {1, 0, 0};
      into_ = {0, 0, -1};
      return;
    }
    constexpr double turned = 32.0 * std::numbers::pi / 180.0;
    constexpr double down = 14.0 * std::numbers::pi / 180.0;
    const double c = std::cos(turned), s = std::sin(turned);
    right_ = {s, -c, 0};
    up_ = {std::sin(down) * c, std::sin(down) * s, std::cos(down)};
    into_ = {std::cos(down) * c, std::cos(down) * s, -std::sin(down)};
  }
  // Chooses the scale so that all of `points` fit, the words beside them.
  void fit(const std::vector<Vec3<double>>& points, double words_wide = labels_wide) {
    double x0 = 1e9, x1 = -1e9, y0 = 1e9, y1 = -1e9;
    for (const auto& p : points) {
      const double x = dot(right_, p), y = -dot(up_, p);
      x0 = std::min(x0, x);
      x1 = std::max(x1, x);
      y0 = std::min(y0, y);
      y1 = std::max(y1, y);
    }
    const double room = high - legend_high - 2 * margin;
    scale_ = std::min((wide - words_wide - 2 * margin) / (x1 - x0), room / (y1 - y0));
    x_ = margin - scale_ * x0 + 0.5 * (wide - words_wide - 2 * margin - scale_ * (x1 - x0));
    y_ = margin + 0.5 * room - 0.5 * scale_ * (y0 + y1);
  }
  Spot at(const Vec3<double>& p) const {
    return {x_ + scale_ * dot(right_, p), y_ - scale_ * dot(up_, p)};
  }
  double depth(const Vec3<double>& p) const { return dot(into_, p); }
  double scale() const { return scale_; }

 private:
  Vec3<double> right_, up_, into_;
  double x_ = 0.0, y_ = 0.0, scale_ = 0.1;
};

std::vector<Vec3<double>> ring(const Vec3<double>& centre, double radius) {
  std::vector<Vec3<double>> points;
  constexpr int parts = 40;
  for (int i = 0; i < parts; ++i) {
    const double a = 2.0 * std::numbers::pi * i / parts;
    points.push_back(centre + Vec3<double>{radius * std::cos(a), 0.0, radius * std::sin(a)});
  }
  return points;
}
std::vector<Spot> seen(const Sight& sight, const std::vector<Vec3<double>>& points) {
  std::vector<Spot> out;
  out.reserve(points.size());
  for (const auto& p : points) out.push_back(sight.at(p));
  return out;
}

std::string tyre(const Sight& sight, const Vec3<double>& centre, const AxleSizes& s) {
  // Its two faces; the one towards the car's middle is seen.
  const double inward = centre.y > 0.0 ? -s.tyre_half_wide_mm : s.tyre_half_wide_mm;
  const auto inner = ring(centre + Vec3<double>{0, inward, 0}, 0.94 * s.hub_mm);
  const auto middle = ring(centre, s.hub_mm);
  const auto outer = ring(centre - Vec3<double>{0, inward, 0}, 0.94 * s.hub_mm);
  auto all = seen(sight, inner);
  for (const auto* r : {&middle, &outer})
    for (const auto& p : seen(sight, *r)) all.push_back(p);
  const auto outline = path_of(hull(all), true);
  const auto face = path_of(seen(sight, inner), true);
  const auto rim =
      path_of(seen(sight, ring(centre + Vec3<double>{0, inward, 0}, s.rim_radius_mm)), true);
  return fmt::format(
      "<path d=\"{0}\" fill=\"{1}\"/><path d=\"{0}\" fill=\"currentColor\" fill-opacity=\".16\" "
      "stroke-width=\".6\"/><path d=\"{2}\"/><path d=\"{3}\" fill=\"{1}\"/>\n",
      outline, paper, face, rim);
}

std::string spring_coil(const Sight& sight, const Vec3<double>& foot, const Vec3<double>& top,
                        double from, double to, bool solid) {
  const auto a = sight.at(foot + from * (top - foot)), b = sight.at(foot + to * (top - foot));
  const double l = std::max(1.0, std::hypot(b.x - a.x, b.y - a.y));
  const double nx = -(b.y - a.y) / l, ny = (b.x - a.x) / l;
  constexpr int turns = 5;
  std::vector<Spot> line;
  for (int i = 0; i <= 2 * turns; ++i) {
    const double t = static_cast<double>(i) / (2 * turns);
    const double side = i == 0 || i == 2 * turns ? 0.0 : i % 2 == 0 ? -4.2 : 4.2;
    line.push_back({a.x + t * (b.x - a.x) + side * nx, a.y + t * (b.y - a.y) + side * ny});
  }
  return bar_of(line, solid ? 1.6 : 0.8, true);
}

struct Label {
  Spot at;
  std::string text;
};
// Words in a column on the right, each with a fine line to what it names.
std::string labelled(std::vector<Label> labels) {
  std::sort(labels.begin(), labels.end(),
            [](const Label& a, const Label& b) { return a.at.y < b.at.y; });
  constexpr double step = 6.2;
  std::vector<double> y;
  y.reserve(labels.size());
  for (const auto& l : labels) y.push_back(std::max(l.at.y, y.empty() ? 15.0 : y.back() + step));
  for (std::size_t i = y.size(); i-- > 0;) {
    const double most = i + 1 == y.size() ? high - legend_high : y[i + 1] - step;
    y[i] = std::min(y[i], most);
  }
  std::string out;
  const double x = wide - labels_wide + 5.0;
  for (std::size_t i = 0; i < labels.size(); ++i) {
    out += fmt::format("<path d=\"M{:.1f} {:.1f}L{:.1f} {:.1f}\" stroke-width=\".25\"/>",
                       labels[i].at.x, labels[i].at.y, x - 1.0, y[i]);
    out += word_at({x, y[i] + 1.6}, labels[i].text);
  }
  return out;
}

std::string arrow(Spot from, Spot to) {
  const double l = std::hypot(to.x - from.x, to.y - from.y);
  const double ux = (to.x - from.x) / l, uy = (to.y - from.y) / l;
  return fmt::format(
      "<path d=\"M{:.1f} {:.1f}L{:.1f} {:.1f}M{:.1f} {:.1f}L{:.1f} {:.1f}L{:.1f} {:.1f}\" "
      "stroke-width=\".6\"/>",
      from.x, from.y, to.x, to.y, to.x - 2.6 * ux + 1.3 * uy, to.y - 2.6 * uy - 1.3 * ux, to.x,
      to.y, to.x - 2.6 * ux - 1.3 * uy, to.y - 2.6 * uy + 1.3 * ux);
}

std::string legend() {
  return block_at({6.0, high - 5.5}) + word_at({10.5, high - 3.9}, "bolted to the body") + "\n";
}

const Vec3<double>* joint_of(const HeldBy& m, std::string_view key) {
  for (const auto& j : m.joints)
    if (j.first == key) return &j.second;
  return nullptr;
}

class Picture {
 public:
  Picture(const HeldWheel& w, PictureView view, std::optional<HolderKind> about)
      : w_(w), view_(view), about_(about), sight_(view) {
    std::vector<Vec3<double>> all;
    for (const double side : {-1.0, 1.0})
      for (const auto& p :
           ring(w.centre_mm + Vec3<double>{0, side * w.sizes.tyre_half_wide_mm, 0}, w.sizes.hub_mm))
        all.push_back(p);
    for (const auto& m : w.members) {
      for (const auto& j : m.joints) all.push_back(j.second);
      if (m.steered) all.push_back(rack_end(m));
    }
    sight_.fit(all);
  }

  std::string drawn() {
    std::string out = tyre(sight_, w_.centre_mm, w_.sizes);
    out += upright();
    std::vector<const HeldBy*> members;
    for (const auto& m : w_.members) members.push_back(&m);
    // From far to near; what the picture is about stands clear of all.
    std::stable_sort(members.begin(), members.end(), [&](const HeldBy* a, const HeldBy* b) {
      if (about_ && is_about(*a) != is_about(*b)) return is_about(*b);
      return depth(*a) > depth(*b);
    });
    for (const auto* m : members) out += member(*m);
    out += legend();
    const Spot origin =
        view_ == PictureView::from_above ? Spot{wide - 26.0, 12.0} : Spot{wide - 33.0, 10.0};
    out += view_ == PictureView::from_above
               ? arrow({origin.x + 3.0, origin.y + 5.0}, {origin.x + 3.0, origin.y - 7.0}) +
                     word_at({origin.x + 6.0, origin.y}, "front")
               : arrow({origin.x, origin.y - 2.0}, {origin.x + 12.0, origin.y - 6.0}) +
                     word_at({origin.x + 14.0, origin.y - 3.5}, "front");
    return out + labelled(labels_);
  }

 private:
  bool is_about(const HeldBy& m) const {
    if (about_) return *about_ == m.kind && (m.kind != HolderKind::rod || is_toe(m));
    return is_toe(m);
  }
  Vec3<double> rack_end(const HeldBy& m) const {
    return *joint_of(m, "body") + Vec3<double>{0, -0.2 * w_.sizes.half_track_mm, 0};
  }
  static bool is_toe(const HeldBy& m) { return m.steered || m.name == "toe"; }
  double depth(const HeldBy& m) const {
    if (m.joints.empty()) return -1e9;
    double sum = 0.0;
    for (const auto& j : m.joints) sum += sight_.depth(j.second);
    return sum / static_cast<double>(m.joints.size());
  }
  Spot at(const HeldBy& m, std::string_view key) const { return sight_.at(*joint_of(m, key)); }
  void label(Spot spot, const std::string& words) { labels_.push_back({spot, words}); }

  // The hub carrier: everything that its joints are on, in grey.
  std::string upright() const {
    std::string out;
    const auto hub = sight_.at(w_.centre_mm);
    for (const auto& m : w_.members) {
      if (m.kind == HolderKind::spring || m.kind == HolderKind::bar) continue;
      for (const char* key : {"upright", "foot"})
        if (const auto* j = joint_of(m, key)) out += path_of({hub, sight_.at(*j)});
    }
    if (out.empty()) out = path_of({hub, hub});
    return fmt::format(
        "<g stroke-linecap=\"round\"><path d=\"{0}\" stroke=\"{1}\" stroke-width=\"6\"/><path "
        "d=\"{0}\" stroke-width=\"4.4\" stroke-opacity=\".38\"/></g><circle cx=\"{2:.1f}\" "
        "cy=\"{3:.1f}\" r=\"3.4\" fill=\"{1}\" stroke-width=\".8\"/>\n",
        out, paper, hub.x, hub.y);
  }

  std::string member(const HeldBy& m) {
    const bool solid = is_about(m);
    switch (m.kind) {
      case HolderKind::arm: {
        const auto a = at(m, "body_front"), b = at(m, "body_rear"), o = at(m, "upright");
        label({0.5 * (b.x + o.x), 0.5 * (b.y + o.y)}, m.words);
        return block_at(a) + block_at(b) + bar_of({a, o, b}, 2.6, solid) + joint_at(a) +
               joint_at(b) + joint_at(o) + "\n";
      }
      case HolderKind::rod: {
        const bool on_arm = !m.on.empty();
        const auto a = at(m, on_arm ? "member" : "body"), o = at(m, "upright");
        std::string out;
        if (m.steered) {
          // The rack goes on to the other side.
          const auto end = sight_.at(rack_end(m));
          const Spot begin{a.x + 0.12 * (end.x - a.x), a.y + 0.12 * (end.y - a.y)};
          out += bar_of({begin, end}, 4.2, false);
        } else if (!on_arm) {
          out += block_at(a);
        }
        label({0.6 * a.x + 0.4 * o.x, 0.6 * a.y + 0.4 * o.y}, m.words);
        return out + bar_of({a, o}, solid ? 2.0 : 2.4, solid) + joint_at(a) + joint_at(o) + "\n";
      }
      case HolderKind::strut: {
        const auto top = *joint_of(m, "top"), foot = *joint_of(m, "foot");
        const auto t = sight_.at(top);
        const auto along = [&](double share) { return sight_.at(foot + share * (top - foot)); };
        label(along(0.62), m.words);
        std::string out = block_at(t) + bar_of({along(0.5), t}, 1.2, true) +
                          bar_of({along(-0.25), along(0.55)}, 4.4, false);
        const auto* spring = w_.find(HolderKind::spring, "");
        if (!spring || spring->joints.empty())
          out += spring_coil(sight_, foot, top, 0.42, 0.93,
                             about_ == HolderKind::spring && spring != nullptr);
        return out + joint_at(t) + "\n";
      }
      case HolderKind::swing: {
        const auto a = at(m, "pivot_inner"), b = at(m, "pivot_outer"),
                   o = sight_.at(w_.centre_mm + Vec3<double>{0, -w_.sizes.tyre_half_wide_mm, 0});
        label({0.5 * (a.x + o.x), 0.5 * (a.y + o.y)}, m.words);
        return block_at(a) + block_at(b) + bar_of({a, o, b}, 4.0, solid, true) + joint_at(a) +
               joint_at(b) + "\n";
      }
      case HolderKind::spring: {
        if (m.joints.empty()) return {};
        const auto top = *joint_of(m, "top"), foot = *joint_of(m, "foot");
        label(sight_.at(foot + 0.75 * (top - foot)), m.words);
        return block_at(sight_.at(top)) + bar_of({sight_.at(foot), sight_.at(top)}, 1.0, true) +
               spring_coil(sight_, foot, top, 0.1, 0.95, solid) + joint_at(sight_.at(foot)) + "\n";
      }
      case HolderKind::bar: {
        const auto pivot = *joint_of(m, "pivot"), end = *joint_of(m, "link_bar"),
                   link = *joint_of(m, "link");
        const Vec3<double> across{0, -0.42 * w_.sizes.half_track_mm, 0};
        label(sight_.at(0.5 * (end + link)), "drop link");
        label(sight_.at(pivot + 0.7 * across), m.words);
        return bar_of(seen(sight_, {end, pivot, pivot + across}), 1.8, false) +
               bar_of(seen(sight_, {end, link}), 1.8, true) + joint_at(sight_.at(end)) +
               joint_at(sight_.at(link)) + "\n";
      }
    }
    return {};
  }

  const HeldWheel& w_;
  PictureView view_;
  std::optional<HolderKind> about_;
  Sight sight_;
  std::vector<Label> labels_;
};

AxleSizes drawn_sizes() { return {0.0, 700.0, 290.0, 190.0, 95.0}; }

}  // namespace

std::string holder_picture(const HeldWheel& wheel, PictureView view, const std::string& title,
                           const std::string& about_words, std::optional<HeldBy::Kind> about) {
  return head(title, about_words) + Picture(wheel, view, about).drawn() + "</svg>";
}

std::string beam_picture(Holder holder, const std::string& title, const std::string& about_words) {
  const auto s = drawn_sizes();
  Sight sight(PictureView::from_behind);
  const Vec3<double> left{0, s.half_track_mm, s.hub_mm}, right{0, -s.half_track_mm, s.hub_mm};
  std::vector<Vec3<double>> all;
  for (const auto& c : {left, right})
    for (const double side : {-1.0, 1.0})
      for (const auto& p : ring(c + Vec3<double>{0, side * s.tyre_half_wide_mm, 0}, s.hub_mm))
        all.push_back(p);
  const bool twists = holder == Holder::twist_beam;
  const Vec3<double> ahead{430, -0.72 * s.half_track_mm, s.hub_mm};
  if (twists) all.push_back(ahead);
  sight.fit(all, 0.0);
  std::string out = head(title, about_words) + tyre(sight, left, s);
  const auto in = [&](const Vec3<double>& c, double by) {
    return c + Vec3<double>{0, c.y > 0 ? -by : by, 0};
  };
  std::vector<Label> labels;
  if (twists) {
    std::vector<Vec3<double>> mount, cross;
    for (const auto& c : {left, right}) {
      const auto hub = in(c, s.tyre_half_wide_mm);
      const Vec3<double> m{430, 0.72 * c.y, s.hub_mm};
      mount.push_back(m);
      cross.push_back(m + 0.35 * (hub - m));
    }
    out +=
        bar_of(seen(sight, {in(left, 0), in(left, 0.28 * s.half_track_mm), mount[0]}), 3.0, false);
    out += block_at(sight.at(mount[0])) + joint_at(sight.at(mount[0]));
    out += bar_of(seen(sight, cross), 4.4, false);
    out += tyre(sight, right, s);
    out += bar_of(seen(sight, {in(right, 0), in(right, 0.28 * s.half_track_mm), mount[1]}), 3.0,
                  false);
    out += block_at(sight.at(mount[1])) + joint_at(sight.at(mount[1])) + "\n";
    const auto mid = sight.at(0.5 * (cross[0] + cross[1]));
    out += word_at({mid.x - 8.0, mid.y + 17.0}, "one beam, it twists", "middle");
  } else {
    out += tyre(sight, right, s);
    out += bar_of(seen(sight, {in(left, 60), in(right, 60)}), 4.4, false);
    const auto mid = sight.at({0, 0, s.hub_mm});
    out += fmt::format(
        "<circle cx=\"{:.1f}\" cy=\"{:.1f}\" r=\"6\" fill=\"{}\" "
        "stroke-width=\".8\"/>\n",
        mid.x, mid.y, paper);
    out += word_at({mid.x, mid.y - 9.0}, "one stiff beam", "middle");
  }
  return out + "</svg>";
}

std::string unknown_picture(const std::string& title, const std::string& about_words) {
  const auto s = drawn_sizes();
  Sight sight(PictureView::from_behind);
  const Vec3<double> c{0, s.half_track_mm, s.hub_mm};
  std::vector<Vec3<double>> all;
  for (const double side : {-1.0, 1.0})
    for (const auto& p : ring(c + Vec3<double>{0, side * s.tyre_half_wide_mm, 0}, s.hub_mm))
      all.push_back(p);
  all.push_back({0, 0.3 * s.half_track_mm, s.hub_mm});
  sight.fit(all);
  return head(title, about_words) + tyre(sight, c, s) +
         fmt::format(
             "<text x=\"{:.1f}\" y=\"{:.1f}\" font-size=\"46\" font-weight=\"bold\" "
             "text-anchor=\"middle\" fill=\"currentColor\" stroke=\"none\">?</text>\n</svg>",
             wide - 28.0, 0.5 * high + 16.0);
}

std::string rod_set_picture(RodSets by, const std::string& title, const std::string& about_words) {
  std::string out = head(title, about_words);
  const double y = 40.0;
  const auto thread = [&](double from, double to) {
    std::string d;
    for (double x = from; x <= to; x += 1.8) d += fmt::format("M{:.1f} {:.1f}l1 4", x, y - 2.0);
    return bar_of({{from, y}, {to, y}}, 4.0, false) +
           fmt::format("<path d=\"{}\" stroke-width=\".35\"/>", d);
  };
  const auto nut = [&](double x) {
    return fmt::format(
        "<path d=\"M{:.1f} {:.1f}h5v10h-5zm0 3.3h5m0 3.4h-5\" fill=\"{}\" "
        "stroke-width=\".6\"/>",
        x, y - 5.0, paper);
  };
  const auto eye = [&](double x) {
    return fmt::format(
        "<circle cx=\"{0:.1f}\" cy=\"{1:.1f}\" r=\"7\" fill=\"{2}\" "
        "stroke-width=\".8\"/><circle cx=\"{0:.1f}\" cy=\"{1:.1f}\" r=\"3\"/>",
        x, y, paper);
  };
  out += bar_of({{20, y}, {96, y}}, 5.0, false);
  if (by == RodSets::both_ends) out += thread(24, 42) + nut(42);
  if (by != RodSets::eccentric) out += thread(74, 92) + nut(69);
  out += eye(16) + eye(100);
  if (by == RodSets::eccentric) {
    out += fmt::format(
        "<circle cx=\"100\" cy=\"{0:.1f}\" r=\"12\" fill=\"{1}\" "
        "stroke-width=\".8\"/><circle cx=\"100\" cy=\"{2:.1f}\" r=\"4\" "
        "stroke-width=\".8\"/><path d=\"M100 {3:.1f}v-3M112 {0:.1f}h3M91.5 {4:.1f}l"
        "-2 -2M108.500 {4:.1f}l2 -2\"/>",
        y, paper, y + 4.0, y - 12.0, y - 8.5);
    out += word_at({100, y + 22.0}, "bolt off centre", "middle");
  } else {
    out += word_at(
        {by == RodSets::both_ends ? 58.0 : 78.0, y + 16.0},
        by == RodSets::both_ends ? "thread and lock nut at both ends" : "thread and lock nut",
        "middle");
  }
  out += word_at({16, y - 14.0}, "wheel", "middle") + word_at({98, y - 16.0}, "car", "middle");
  return out + "</svg>";
}

}  // namespace trammel
