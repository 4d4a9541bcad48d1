#include "told/plot_svg.h"

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

// Scales of a plot and where they lie in its drawing.
struct Frame {
  static constexpr double left = 14.0, right = 3.0, top = 4.0, bottom = 15.0;
  Scale x{}, y{};
  double w = 0.0, h = 0.0;

  Frame(const Plot& plot, PlotSize size)
      : w(size.width_mm - left - right), h(size.height_mm - top - bottom) {
    double x0 = 1e300, x1 = -1e300, y0 = 0.0, y1 = 0.0;
    bool any = false;
    const auto take = [&](double at_x, double at_y) {
      if (!std::isfinite(at_x) || !std::isfinite(at_y)) return;
      x0 = std::min(x0, at_x);
      x1 = std::max(x1, at_x);
      y0 = any ? std::min(y0, at_y) : at_y;
      y1 = any ? std::max(y1, at_y) : at_y;
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
    if (plot.wanted && any) {
      take(plot.wanted->x[0], plot.wanted->y[0]);
      take(plot.wanted->x[1], plot.wanted->y[1]);
    }
    x = scale_for(x0, x1);
    y = scale_for(y0, y1);
  }
  double px(double v) const { return left + w * (v - x.low) / (x.high - x.low); }
  double py(double v) const { return top + h * (1.0 - (v - y.low) / (y.high - y.low)); }
};

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

std::string plot_svg(const Plot& plot, PlotSize size) {
  const Frame f(plot, size);
  const auto& x = f.x;
  const auto& y = f.y;
  const double w = f.w, h = f.h;
  const auto px = [&](double v) { return f.px(v); };
  const auto py = [&](double v) { return f.py(v); };
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
        a, b, Frame::top + h + 4.2);
  }
  for (int i = 0; i <= static_cast<int>(std::lround((x.high - x.low) / x.step)); ++i) {
    const double v = x.low + i * x.step;
    svg += fmt::format(
        "<path d=\"M{0:.2f} {1:.2f}V{2:.2f}\" stroke=\"currentColor\" stroke-width=\"{3}\" "
        "opacity=\"{4}\"/><text x=\"{0:.2f}\" y=\"{5:.2f}\" text-anchor=\"middle\">{6}</text>\n",
        px(v), Frame::top, Frame::top + h, std::fabs(v) < 1e-9 ? 0.25 : 0.1,
        std::fabs(v) < 1e-9 ? 1.0 : 0.5, Frame::top + h + 3.4, number(v, x.step));
  }
  for (int i = 0; i <= static_cast<int>(std::lround((y.high - y.low) / y.step)); ++i) {
    const double v = y.low + i * y.step;
    svg += fmt::format(
        "<path d=\"M{0:.2f} {1:.2f}H{2:.2f}\" stroke=\"currentColor\" stroke-width=\"{3}\" "
        "opacity=\"{4}\"/><text x=\"{5:.2f}\" y=\"{6:.2f}\" text-anchor=\"end\">{7}</text>\n",
        Frame::left, py(v), Frame::left + w, std::fabs(v) < 1e-9 ? 0.25 : 0.1,
        std::fabs(v) < 1e-9 ? 1.0 : 0.5, Frame::left - 1.0, py(v) + 0.9, number(v, y.step));
  }
  svg += fmt::format("<text x=\"{:.2f}\" y=\"{:.2f}\" text-anchor=\"middle\">{} ({})</text>\n",
                     Frame::left + 0.5 * w, Frame::top + h + 9.0, escaped(plot.x_head),
                     escaped(plot.x_unit));
  svg += fmt::format(
      "<text transform=\"translate(3.2 {:.2f}) rotate(-90)\" text-anchor=\"middle\">{} "
      "({})</text>\n",
      Frame::top + 0.5 * h, escaped(plot.y_head), escaped(plot.y_unit));
  // What is wanted: a box in long dashes.
  if (plot.wanted) {
    const auto& box = *plot.wanted;
    svg += fmt::format(
        "<rect x=\"{:.2f}\" y=\"{:.2f}\" width=\"{:.2f}\" height=\"{:.2f}\" fill=\"none\" "
        "stroke=\"currentColor\" stroke-width=\"0.3\" stroke-dasharray=\"4 1.2\"/><text "
        "x=\"{:.2f}\" y=\"{:.2f}\" text-anchor=\"end\" font-size=\"2.4\">wanted</text>\n",
        px(box.x[0]), py(box.y[1]), px(box.x[1]) - px(box.x[0]), py(box.y[0]) - py(box.y[1]),
        px(box.x[1]), py(box.y[1]) - 0.8);
  }
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
  double key_x = Frame::left;
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
        key_x, Frame::top + h + 12.6, stroke_of(s.stroke), key_x + 8.0, Frame::top + h + 13.5,
        escaped(s.name));
    key_x += 11.0 + 1.5 * static_cast<double>(s.name.size());
  }
  if (std::any_of(plot.series.begin(), plot.series.end(),
                  [](const Series& s) { return s.band.size() > 1; }))
    svg += fmt::format(
        "<text x=\"{:.2f}\" y=\"{:.2f}\" text-anchor=\"end\">tinted: nine chances in "
        "ten</text>\n",
        Frame::left + w, Frame::top - 1.0);
  return svg + "</svg>\n";
}

PlotReadout readout(const Plot& plot, PlotSize size) {
  const Frame f(plot, size);
  PlotReadout r;
  r.top_mm = Frame::top;
  r.bottom_mm = Frame::top + f.h;
  r.values.title = plot.title;
  r.values.heads = {"travel"};
  r.values.units = {plot.x_unit};
  std::vector<double> at;
  for (const auto& s : plot.series) {
    r.values.heads.push_back(s.name);
    r.values.units.push_back(plot.y_unit);
    for (const auto& p : s.points) at.push_back(p[0]);
  }
  std::sort(at.begin(), at.end());
  constexpr double same = 1e-6;
  at.erase(std::unique(at.begin(), at.end(), [](double a, double b) { return b - a < same; }),
           at.end());
  const auto fixed = [](double v, int decimals) { return number(v, std::pow(10.0, -decimals)); };
  for (const double x : at) {
    std::vector<std::string> row{fixed(x, plot.x_decimals)};
    for (const auto& s : plot.series) {
      const auto p = std::find_if(s.points.begin(), s.points.end(), [&](const auto& point) {
        return std::fabs(point[0] - x) < same;
      });
      std::string cell = p == s.points.end() ? "-" : fixed((*p)[1], plot.y_decimals);
      const auto b = std::find_if(s.band.begin(), s.band.end(), [&](const auto& point) {
        return std::fabs(point[0] - x) < same;
      });
      if (b != s.band.end())
        cell += fmt::format(" ({} to {})", fixed((*b)[1], plot.y_decimals),
                            fixed((*b)[2], plot.y_decimals));
      row.push_back(std::move(cell));
    }
    r.values.rows.push_back(std::move(row));
    r.x_mm.push_back(f.px(x));
  }
  return r;
}

}  // namespace trammel
