// The paper that a card's picture is drawn on: car points to scale in one view, lines that take the
// colour of the text around them, and what is measured drawn heavy.
#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <string>
#include <vector>

#include "base/vec.h"

namespace trammel::card_paper {

using Flat = std::array<double, 2>;  // on paper, mm: to the right, down

inline constexpr double margin_mm = 9.0;
inline constexpr double thin = 0.25, plain = 0.4, heavy = 0.9;

enum class View { behind, above, outside };

// Paper axes of a view: to the right and up.
inline Flat projected(View view, const Vec3<double>& p) {
  switch (view) {
    case View::behind:
      return {-p.y, p.z};
    case View::above:
      return {-p.y, p.x};
    case View::outside:
      return {-p.x, p.z};
  }
  return {};
}

class Paper {
 public:
  Paper(View view, double wide, double high) : view_(view), wide_(wide), high_(high) {}

  // Everything that must be in the picture, before anything is drawn.
  void include(const Vec3<double>& p) {
    const auto f = projected(view_, p);
    for (std::size_t i = 0; i < 2; ++i) {
      low_[i] = std::min(low_[i], f[i]);
      top_[i] = std::max(top_[i], f[i]);
    }
  }
  void fit() {
    const double across = std::max(1.0, top_[0] - low_[0]), up = std::max(1.0, top_[1] - low_[1]);
    scale_ = std::min((wide_ - 2.0 * margin_mm) / across, (high_ - 2.0 * margin_mm) / up);
    origin_ = {0.5 * wide_ - 0.5 * scale_ * (low_[0] + top_[0]),
               0.5 * high_ + 0.5 * scale_ * (low_[1] + top_[1])};
  }
  Flat at(const Vec3<double>& p) const {
    const auto f = projected(view_, p);
    return {origin_[0] + scale_ * f[0], origin_[1] - scale_ * f[1]};
  }
  double scale() const { return scale_; }
  Flat low() const { return {origin_[0] + scale_ * low_[0], origin_[1] - scale_ * low_[1]}; }
  Flat top() const { return {origin_[0] + scale_ * top_[0], origin_[1] - scale_ * top_[1]}; }

  void line(const Flat& a, const Flat& b, double width, const char* dash = "") {
    svg_ +=
        fmt::format("<path d=\"M{:.2f} {:.2f}L{:.2f} {:.2f}\" stroke-width=\"{}\"{}/>", a[0], a[1],
                    b[0], b[1], width, *dash ? fmt::format(" stroke-dasharray=\"{}\"", dash) : "");
  }
  void shape(const std::vector<Flat>& corners, double width, bool closed = true) {
    svg_ += "<path d=\"";
    for (std::size_t i = 0; i < corners.size(); ++i)
      svg_ += fmt::format("{}{:.2f} {:.2f}", i == 0 ? "M" : "L", corners[i][0], corners[i][1]);
    svg_ += fmt::format("{}\" stroke-width=\"{}\"/>", closed ? "Z" : "", width);
  }
  void ring(const Flat& at, double radius, double width, bool filled = false) {
    svg_ += fmt::format("<circle cx=\"{:.2f}\" cy=\"{:.2f}\" r=\"{:.2f}\" stroke-width=\"{}\"{}/>",
                        at[0], at[1], radius, width, filled ? " fill=\"currentColor\"" : "");
  }
  void text(const Flat& at, const std::string& words, const char* anchor = "middle",
            double size = 3.2) {
    svg_ += fmt::format(
        "<text x=\"{:.2f}\" y=\"{:.2f}\" text-anchor=\"{}\" font-size=\"{}\" stroke=\"none\" "
        "fill=\"currentColor\">{}</text>",
        at[0], at[1], anchor, size, words);
  }
  // What is measured: heavy, with an arrow head at either end.
  void measured(const Flat& a, const Flat& b) {
    line(a, b, heavy);
    const double dx = b[0] - a[0], dy = b[1] - a[1];
    const double l = std::max(1e-6, std::sqrt(dx * dx + dy * dy));
    const double ux = dx / l, uy = dy / l, h = std::min(2.6, 0.4 * l);
    for (const auto& [tip, s] : {std::pair{a, 1.0}, std::pair{b, -1.0}})
      svg_ += fmt::format(
          "<path d=\"M{:.2f} {:.2f}L{:.2f} {:.2f}L{:.2f} {:.2f}Z\" fill=\"currentColor\" "
          "stroke=\"none\"/>",
          tip[0], tip[1], tip[0] + s * h * ux - 0.35 * h * uy, tip[1] + s * h * uy + 0.35 * h * ux,
          tip[0] + s * h * ux + 0.35 * h * uy, tip[1] + s * h * uy - 0.35 * h * ux);
  }
  std::string svg(const std::string& label, double shown_mm) const {
    return fmt::format(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{4:.0f}mm\" height=\"{5:.0f}mm\" "
        "viewBox=\"0 0 {0:.0f} {1:.0f}\" role=\"img\" aria-label=\"{2}\" fill=\"none\" "
        "stroke=\"currentColor\" stroke-linecap=\"round\" stroke-linejoin=\"round\">{3}</svg>",
        wide_, high_, label, svg_, shown_mm, shown_mm * high_ / wide_);
  }

 private:
  View view_;
  double wide_, high_, scale_ = 1.0;
  Flat low_{1e9, 1e9}, top_{-1e9, -1e9}, origin_{};
  std::string svg_;
};

}  // namespace trammel::card_paper
