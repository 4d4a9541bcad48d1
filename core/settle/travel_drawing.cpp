#include <fmt/format.h>

#include <algorithm>
#include <vector>

#include "base/in_units.h"
#include "settle/settling.h"
#include "told/markup.h"
#include "travel/tell.h"

namespace trammel {
namespace {

constexpr double scale = 0.5;  // paper over car
constexpr double bar_mm = 7.0, column_mm = 82.0, margin_mm = 6.0, label_apart_mm = 3.8;
constexpr double head_mm = 6.0;
constexpr double beyond_mm = 40.0;  // a spring that would come loose further below droop is safe

struct Line2 {
  double width;
  const char* dash;
};
// What ends travel by itself is plain, what only begins there is broken, ride height is heavy.
Line2 line_for(TravelEnd end) {
  switch (end) {
    case TravelEnd::droop:
    case TravelEnd::closed:
      return {0.7, ""};
    case TravelEnd::solid:
      return {0.4, ""};
    case TravelEnd::touched:
      return {0.4, "2 1"};
    case TravelEnd::loose:
      return {0.4, "0.6 0.8"};
    case TravelEnd::bound:
      return {0.4, "3 0.8 0.6 0.8"};
  }
  return {0.4, ""};
}

struct Label {
  double at_mm;  // of the mark, upwards
  std::string words;
  Line2 line;
};

}  // namespace

Drawing travel_drawing(const StateSettled& state, Units units) {
  const InUnits t(units);
  const auto shown_marks = [](const CornerSettled& c) {
    auto marks = c.marks;
    std::erase_if(marks, [&](const TravelMark& m) {
      return m.end == TravelEnd::loose && m.travel_mm < -c.droop_mm - beyond_mm;
    });
    return marks;
  };
  double low = -10.0, top = 10.0;
  std::vector<const AxleSettled*> axles;
  for (const auto& a : state.axle)
    if (a) {
      axles.push_back(&*a);
      for (const auto& m : shown_marks(a->at(Side::left))) {
        low = std::min(low, m.travel_mm);
        top = std::max(top, m.travel_mm);
      }
    }
  const double high = scale * (top - low) + 2 * margin_mm + head_mm;
  const double wide = column_mm * static_cast<double>(std::max<std::size_t>(1, axles.size()));
  const auto y = [&](double travel) { return head_mm + margin_mm + scale * (top - travel); };
  std::string svg = fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{0:.1f}mm\" height=\"{1:.1f}mm\" "
      "viewBox=\"0 0 {0:.2f} {1:.2f}\" role=\"img\" aria-label=\"wheel travel and where it ends\" "
      "font-size=\"2.9\" fill=\"none\" stroke=\"currentColor\" stroke-linecap=\"butt\">\n",
      wide, high);
  const auto text = [&](double x, double at, const std::string& words) {
    svg += fmt::format(
        "<text x=\"{:.2f}\" y=\"{:.2f}\" stroke=\"none\" fill=\"currentColor\">{}</text>\n", x, at,
        escaped(words));
  };
  std::string spoken;
  for (std::size_t i = 0; i < axles.size(); ++i) {
    const double x = column_mm * static_cast<double>(i) + 4.0;
    const auto& c = axles[i]->at(Side::left);
    text(x, 4.5, fmt::format("{} left", capital(word(axles[i]->axle))));
    std::vector<Label> labels{{0.0, "ride height", {1.1, ""}}};
    spoken += fmt::format("{} left: ", capital(word(axles[i]->axle)));
    for (const auto& m : shown_marks(c)) {
      labels.push_back({m.travel_mm, fmt::format("{}: {}", t.signed_mm(m.travel_mm), words(m.end)),
                        line_for(m.end)});
      spoken += fmt::format("{} at {}; ", words(m.end), t.signed_mm(m.travel_mm));
    }
    spoken += "ride height at 0. ";
    std::stable_sort(labels.begin(), labels.end(),
                     [](const Label& a, const Label& b) { return a.at_mm > b.at_mm; });
    svg += fmt::format(
        "<rect x=\"{:.2f}\" y=\"{:.2f}\" width=\"{:.2f}\" height=\"{:.2f}\" "
        "stroke-width=\"0.2\"/>\n",
        x, y(top), bar_mm, y(low) - y(top));
    // Words keep apart: from the top down, then what runs out below is pushed up again.
    std::vector<double> places;
    for (const auto& l : labels) {
      const double wanted = y(l.at_mm) + 1.0;
      places.push_back(places.empty() ? wanted : std::max(wanted, places.back() + label_apart_mm));
    }
    double floor = high - 1.5;
    for (std::size_t k = places.size(); k-- > 0;) {
      places[k] = std::min(places[k], floor);
      floor = places[k] - label_apart_mm;
    }
    for (std::size_t k = 0; k < labels.size(); ++k) {
      const auto& l = labels[k];
      svg += fmt::format(
          "<path d=\"M{:.2f} {:.2f}h{:.2f}\" stroke-width=\"{}\"{}/><path d=\"M{:.2f} "
          "{:.2f}L{:.2f} {:.2f}\" stroke-width=\"0.15\"/>\n",
          x - 1.5, y(l.at_mm), bar_mm + 3.0, l.line.width,
          *l.line.dash ? fmt::format(" stroke-dasharray=\"{}\"", l.line.dash) : "",
          x + bar_mm + 1.5, y(l.at_mm), x + bar_mm + 6.0, places[k] - 1.0);
      text(x + bar_mm + 7.0, places[k], l.words);
    }
  }
  svg += "</svg>";
  return {fmt::format("Wheel travel, {}",
                      state.state == "as_measured" ? "as it sits" : state_words(state.state)),
          spoken, svg};
}

}  // namespace trammel
