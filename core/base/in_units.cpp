#include "base/in_units.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace trammel {

std::string InUnits::with_sigma(double value, double sigma, Measure m, int most) const {
  const auto unit = shown_unit(m, units_);
  const double v = value * unit.per_inside, s = sigma * unit.per_inside;
  int decimals = unit.decimals;
  if (s > 0.0 && std::isfinite(s))
    decimals = std::clamp(1 - static_cast<int>(std::floor(std::log10(s))), 0, most);
  // Adding zero turns -0 into 0.
  const double scale = std::pow(10.0, decimals);
  const double rounded = std::round(v * scale) / scale + 0.0;
  const bool angle = unit.symbol == "°";
  return fmt::format("{:.{}f} ± {:.{}f}{}{}", rounded, decimals, s, decimals, angle ? "" : "\u00a0",
                     unit.symbol);
}

std::string capital(std::string text) {
  if (!text.empty() && text[0] >= 'a' && text[0] <= 'z') text[0] = static_cast<char>(text[0] - 32);
  return text;
}

}  // namespace trammel
