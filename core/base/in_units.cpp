#include "base/in_units.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace trammel {

namespace {

struct Sigma {
  int decimals = 0;
  std::string words;
};
Sigma sigma_in(const ShownUnit& unit, double sigma, int most) {
  const double s = sigma * unit.per_inside;
  int decimals = unit.decimals;
  if (s > 0.0 && std::isfinite(s))
    decimals = std::clamp(1 - static_cast<int>(std::floor(std::log10(s))), 0, most);
  return {decimals, fmt::format("± {:.{}f}{}{}", s, decimals, unit.symbol == "°" ? "" : "\u00a0",
                                unit.symbol)};
}

}  // namespace

std::string InUnits::sigma(double sigma, Measure m) const {
  return sigma_in(shown_unit(m, units_), sigma, finest).words;
}
std::string InUnits::with_sigma(double value, double sigma, Measure m, int most) const {
  const auto unit = shown_unit(m, units_);
  const auto s = sigma_in(unit, sigma, most);
  // Adding zero turns -0 into 0.
  const double scale = std::pow(10.0, s.decimals);
  const double rounded = std::round(value * unit.per_inside * scale) / scale + 0.0;
  return fmt::format("{:.{}f} {}", rounded, s.decimals, s.words);
}

std::string capital(std::string text) {
  if (!text.empty() && text[0] >= 'a' && text[0] <= 'z') text[0] = static_cast<char>(text[0] - 32);
  return text;
}

}  // namespace trammel
