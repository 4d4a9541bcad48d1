#include "correct/hole_drawing.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace trammel {
namespace {

constexpr double wide_mm = 84.0, high_mm = 74.0, margin_mm = 12.0, least_wide_mm = 90.0;
constexpr std::array<const char*, 3> axis_names{"x, forward", "y, to the left", "z, up"};

// The old hole is shown too, where it is not in the range.
std::array<double, 2> shown_range(const std::vector<double>& at) {
  return {std::min(at.front(), 0.0), std::max(at.back(), 0.0)};
}

std::size_t nearest(const std::vector<double>& at, double x) {
  std::size_t best = 0;
  for (std::size_t i = 1; i < at.size(); ++i)
    if (std::fabs(at[i] - x) < std::fabs(at[best] - x)) best = i;
  return best;
}

}  // namespace

HoleFrame hole_frame(const HoleMap& m) {
  const auto across = shown_range(m.at_mm[0]), up = shown_range(m.at_mm[1]);
  const double wide = across[1] - across[0], high = up[1] - up[0];
  HoleFrame f;
  f.scale = std::min((wide_mm - 2 * margin_mm) / std::max(2.0, wide),
                     (high_mm - 2 * margin_mm) / std::max(2.0, high));
  for (const double round : {10.0, 5.0, 2.0, 1.0, 0.5})
    if (f.scale >= round) {
      f.scale = round;
      break;
    }
  f.wide_mm = std::max(f.scale * wide + 2 * margin_mm + 42.0, least_wide_mm);
  f.high_mm = f.scale * high + 2 * margin_mm;
  f.x0 = margin_mm + 6.0 + f.scale * across[1];
  f.y0 = margin_mm + f.scale * up[1];
  return f;
}

Drawing hole_drawing(const Ranking& ranking, const HoleMap& m) {
  const auto& choice = ranking.shelf.choices[m.choice];
  const auto& xs = m.at_mm[0];
  const auto& ys = m.at_mm[1];
  const auto [x0, x1] = shown_range(xs);
  const auto [y0, y1] = shown_range(ys);
  const auto frame = hole_frame(m);
  const double scale = frame.scale, w = frame.wide_mm, h = frame.high_mm;
  const auto px = [&](double v) { return frame.drawn({v, 0.0})[0]; };  // y to the left
  const auto py = [&](double v) { return frame.drawn({0.0, v})[1]; };
  std::string svg = fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{0:.1f}mm\" height=\"{1:.1f}mm\" "
      "viewBox=\"0 0 "
      "{0:.2f} {1:.2f}\" role=\"img\" aria-label=\"hole positions that work\" font-size=\"2.7\" "
      "fill=\"currentColor\" stroke=\"currentColor\" stroke-width=\"0.2\">\n",
      w, h);
  const auto holds = [&](std::size_t j, std::size_t i) {
    if (j >= ys.size() || i >= xs.size()) return false;
    if (m.guessed) return false;
    return m.chance.empty() ? static_cast<bool>(m.meets[j][i])
                            : m.chance[j][i] >= HoleMap::good_chance;
  };
  const double cx = xs.size() > 1 ? xs[1] - xs[0] : 2.0, cy = ys.size() > 1 ? ys[1] - ys[0] : 2.0;
  std::string hatch, outline;
  for (std::size_t j = 0; j < ys.size(); ++j)
    for (std::size_t i = 0; i < xs.size(); ++i) {
      if (!holds(j, i)) continue;
      const double l = px(xs[i] + 0.5 * cx), r = px(xs[i] - 0.5 * cx);
      const double t = py(ys[j] + 0.5 * cy), b = py(ys[j] - 0.5 * cy);
      hatch += fmt::format("M{:.2f} {:.2f}L{:.2f} {:.2f}", l, b, r, t);
      if (!holds(j + 1, i)) outline += fmt::format("M{:.2f} {:.2f}H{:.2f}", l, t, r);
      if (j == 0 || !holds(j - 1, i)) outline += fmt::format("M{:.2f} {:.2f}H{:.2f}", l, b, r);
      if (!holds(j, i + 1)) outline += fmt::format("M{:.2f} {:.2f}V{:.2f}", l, t, b);
      if (i == 0 || !holds(j, i - 1)) outline += fmt::format("M{:.2f} {:.2f}V{:.2f}", r, t, b);
    }
  svg += fmt::format(
      "<path d=\"{}\" stroke-width=\"0.12\" fill=\"none\"/><path d=\"{}\" "
      "stroke-width=\"0.4\" fill=\"none\"/>\n",
      hatch, outline);
  // The range, thin.
  svg += fmt::format(
      "<rect x=\"{:.2f}\" y=\"{:.2f}\" width=\"{:.2f}\" height=\"{:.2f}\" fill=\"none\" "
      "stroke-dasharray=\"1.6 1\"/>\n",
      px(xs.back()), py(ys.back()), scale * (xs.back() - xs.front()),
      scale * (ys.back() - ys.front()));
  // The old hole, crossed.
  svg += fmt::format(
      "<path d=\"M{0:.2f} {1:.2f}l3 3m0 -3l-3 3\" stroke-width=\"0.4\" fill=\"none\"/><text "
      "x=\"{2:.2f}\" y=\"{3:.2f}\" stroke=\"none\">where it is</text>\n",
      px(0) - 1.5, py(0) - 1.5, px(x0) + 4.0, py(0) + 0.9);
  // The new one, centre-punched; a group of its own, which the page moves.
  const auto hole = frame.drawn(m.hole_mm);
  const bool good = holds(nearest(ys, m.hole_mm[1]), nearest(xs, m.hole_mm[0])) &&
                    (m.chance.empty() || m.is_room());
  svg += fmt::format(
      "<g class=\"hole\" transform=\"translate({:.2f} {:.2f})\"><circle r=\"2\" fill=\"none\" "
      "stroke-width=\"0.6\"/><circle r=\"0.6\"/></g><text class=\"of-hole\" x=\"{:.2f}\" "
      "y=\"{:.2f}\" "
      "stroke=\"none\">{}: {:+.1f}, {:+.1f}</text>\n",
      hole[0], hole[1], px(x0) + 4.0, hole[1] + 0.9,
      good          ? "drill here"
      : m.is_room() ? "not in the patch"
                    : "measure first",
      m.hole_mm[0] + 0.0, m.hole_mm[1] + 0.0);
  for (const double v : {ys.front(), ys.back()})
    svg += fmt::format(
        "<text x=\"{:.2f}\" y=\"{:.2f}\" text-anchor=\"end\" stroke=\"none\">{:.1f}</text>\n",
        px(x1) - 1.5, py(v) + 0.9, v + 0.0);
  if (xs.size() > 1)
    for (const double v : {xs.front(), xs.back()})
      svg += fmt::format(
          "<text x=\"{:.2f}\" y=\"{:.2f}\" text-anchor=\"middle\" stroke=\"none\">{:.1f}</text>\n",
          px(v), py(y0) + 4.5, v + 0.0);
  svg += fmt::format(
      "<text x=\"1\" y=\"{:.2f}\" stroke=\"none\">across: {}; upwards: {}; mm<tspan "
      "class=\"of-paper\">, drawn {}:1</tspan></text>\n",
      h - 2.0, axis_names[static_cast<std::size_t>(m.axes[0])],
      axis_names[static_cast<std::size_t>(m.axes[1])], scale);
  svg += "</svg>";
  const char* const other =
      m.side ? "The other side has a place of its own: mark the parts left and right."
             : "The right side is the mirror image: mark both parts.";
  return {
      fmt::format("{}: where the hole may be, {} side as seen looking {}", choice.option.name,
                  word(m.side.value_or(Side::left)), m.side == Side::right ? "back" : "forward"),
      m.guessed
          ? "Nothing is hatched: the joints are guesses. Measure first; this is no place to drill "
            "yet."
      : m.chance.empty()
          ? fmt::format("Hatched: every target is met, if the joints are exact. {}", other)
      : m.is_room()
          ? fmt::format("Hatched: nine chances in ten to meet every target, drilling by hand "
                        "included: the room for the hole. {}",
                        other)
          : fmt::format(
                "Nothing is hatched: nowhere are there nine chances in ten to meet every "
                "target (the best place has {:.0f} in 100). Measure first; this is no place "
                "to drill yet.",
                100.0 * m.best_chance),
      svg};
}

}  // namespace trammel
