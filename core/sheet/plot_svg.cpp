#include "sheet/plot_svg.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace trammel {
namespace {

struct Scale {
  double low, high, step;
};

// Round steps of 1, 2 or 5, four to eight of them.
Scale scale_for(double low, double high) {
  if (!(high > low)) {
    low -= 0.5;
    high += 0.5;
  }
  const double raw = (high - low) / 5.0;
  const double power = std::pow(10.0, std::floor(std::log10(raw)));
  const double part = raw / power;
  const double step = power * (part < 1.5 ? 1.0 : part < 3.5 ? 2.0 : part < 7.5 ? 5.0 : 10.0);
  return {step * std::floor(low / step + 1e-9), step * std::ceil(high / step - 1e-9), step};
}

std::string number(double x, double step) {
  const int decimals = std::max(0, static_cast<int>(std::ceil(-std::log10(step) - 1e-9)));
  auto text = fmt::format("{:.{}f}", x, decimals);
  if (text.find_first_of("123456789") == std::string::npos && text.starts_with('-'))
    text.erase(0, 1);
  return text;
}

const char* stroke_of(Stroke s) {
  switch (s) {
    case Stroke::thin_dashed:
      return "stroke-width=\"0.25\" stroke-dasharray=\"1.6 1\"";
    case Stroke::plain:
      return "stroke-width=\"0.35\"";
    case Stroke::heavy:
      return "stroke-width=\"0.8\"";
  }
  return "";
}

}  // namespace

std::string escaped(const std::string& text) {
  std::string out;
  for (const char c : text) {
    switch (c) {
      case '&':
        out += "&amp;";
        break;
      case '<':
        out += "&lt;";
        break;
      case '>':
        out += "&gt;";
        break;
      case '"':
        out += "&quot;";
        break;
      default:
        out += c;
    }
  }
  return out;
}

std::string plot_svg(const Plot& plot, PlotSize size) {
  double x0 = 1e300, x1 = -1e300, y0 = 0.0, y1 = 0.0;
  bool any = false;
  const auto take = [&](double x, double y) {
    if (!std::isfinite(x) || !std::isfinite(y)) return;
    x0 = std::min(x0, x);
    x1 = std::max(x1, x);
    y0 = any ? std::min(y0, y) : y;
    y1 = any ? std::max(y1, y) : y;
    any = true;
  };
  for (const auto& s : plot.series) {
    for (const auto& p : s.points) take(p[0], p[1]);
    for (const auto& b : s.band) {
      take(b[0], b[1]);
      take(b[0], b[2]);
    }
  }
  if (!any) x0 = -1.0, x1 = 1.0;
  const Scale x = scale_for(x0, x1), y = scale_for(y0, y1);
  constexpr double left = 14.0, right = 3.0, top = 4.0, bottom = 15.0;
  const double w = size.width_mm - left - right, h = size.height_mm - top - bottom;
  const auto px = [&](double v) { return left + w * (v - x.low) / (x.high - x.low); };
  const auto py = [&](double v) { return top + h * (1.0 - (v - y.low) / (y.high - y.low)); };
  std::string svg = fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{0}mm\" height=\"{1}mm\" viewBox=\"0 0 "
      "{0} {1}\" "
      "role=\"img\" aria-label=\"{2}\" font-size=\"2.7\" fill=\"currentColor\" stroke=\"none\">\n",
      size.width_mm, size.height_mm, escaped(plot.title));
  if (plot.window) {
    // What matters is bracketed below the axis.
    const double a = px(std::max(x.low, (*plot.window)[0])),
                 b = px(std::min(x.high, (*plot.window)[1]));
    svg += fmt::format(
        "<path d=\"M{0:.2f} {2:.2f}v1.2H{1:.2f}v-1.2\" fill=\"none\" stroke=\"currentColor\" "
        "stroke-width=\"0.3\"/>\n",
        a, b, top + h + 4.2);
  }
  for (int i = 0; i <= static_cast<int>(std::lround((x.high - x.low) / x.step)); ++i) {
    const double v = x.low + i * x.step;
    svg += fmt::format(
        "<path d=\"M{0:.2f} {1:.2f}V{2:.2f}\" stroke=\"currentColor\" stroke-width=\"{3}\" "
        "opacity=\"{4}\"/><text x=\"{0:.2f}\" y=\"{5:.2f}\" text-anchor=\"middle\">{6}</text>\n",
        px(v), top, top + h, std::fabs(v) < 1e-9 ? 0.25 : 0.1, std::fabs(v) < 1e-9 ? 1.0 : 0.5,
        top + h + 3.4, number(v, x.step));
  }
  for (int i = 0; i <= static_cast<int>(std::lround((y.high - y.low) / y.step)); ++i) {
    const double v = y.low + i * y.step;
    svg += fmt::format(
        "<path d=\"M{0:.2f} {1:.2f}H{2:.2f}\" stroke=\"currentColor\" stroke-width=\"{3}\" "
        "opacity=\"{4}\"/><text x=\"{5:.2f}\" y=\"{6:.2f}\" text-anchor=\"end\">{7}</text>\n",
        left, py(v), left + w, std::fabs(v) < 1e-9 ? 0.25 : 0.1, std::fabs(v) < 1e-9 ? 1.0 : 0.5,
        left - 1.0, py(v) + 0.9, number(v, y.step));
  }
  svg += fmt::format("<text x=\"{:.2f}\" y=\"{:.2f}\" text-anchor=\"middle\">{} ({})</text>\n",
                     left + 0.5 * w, top + h + 9.0, escaped(plot.x_head), escaped(plot.x_unit));
  svg += fmt::format(
      "<text transform=\"translate(3.2 {:.2f}) rotate(-90)\" text-anchor=\"middle\">{} "
      "({})</text>\n",
      top + 0.5 * h, escaped(plot.y_head), escaped(plot.y_unit));
  // Bands below the lines: a tint, with edges drawn like their own line but thinner.
  for (const auto& s : plot.series) {
    if (s.band.size() < 2) continue;
    std::string low, high;
    for (const auto& b : s.band)
      low += fmt::format("{}{:.2f} {:.2f}", low.empty() ? "M" : "L", px(b[0]), py(b[1]));
    for (auto b = s.band.rbegin(); b != s.band.rend(); ++b)
      high += fmt::format("L{:.2f} {:.2f}", px((*b)[0]), py((*b)[2]));
    svg += fmt::format(
        "<path d=\"{}{}Z\" fill=\"currentColor\" fill-opacity=\"{}\" stroke=\"currentColor\" "
        "stroke-width=\"0.12\"{}/>\n",
        low, high, s.stroke == Stroke::heavy ? "0.22" : "0.09",
        s.stroke == Stroke::thin_dashed ? " stroke-dasharray=\"1.6 1\"" : "");
  }
  double key_x = left;
  for (const auto& s : plot.series) {
    std::string path;
    for (const auto& p : s.points)
      if (std::isfinite(p[0]) && std::isfinite(p[1]))
        path += fmt::format("{}{:.2f} {:.2f}", path.empty() ? "M" : "L", px(p[0]), py(p[1]));
    svg += fmt::format("<path d=\"{}\" fill=\"none\" stroke=\"currentColor\" {}/>\n", path,
                       stroke_of(s.stroke));
    svg += fmt::format(
        "<path d=\"M{0:.2f} {1:.2f}h7\" fill=\"none\" stroke=\"currentColor\" {2}/><text "
        "x=\"{3:.2f}\" y=\"{4:.2f}\">{5}</text>\n",
        key_x, top + h + 12.6, stroke_of(s.stroke), key_x + 8.0, top + h + 13.5, escaped(s.name));
    key_x += 11.0 + 1.5 * static_cast<double>(s.name.size());
  }
  if (std::any_of(plot.series.begin(), plot.series.end(),
                  [](const Series& s) { return s.band.size() > 1; }))
    svg += fmt::format(
        "<text x=\"{:.2f}\" y=\"{:.2f}\" text-anchor=\"end\">tinted: nine chances in "
        "ten</text>\n",
        left + w, top - 1.0);
  return svg + "</svg>\n";
}

}  // namespace trammel
