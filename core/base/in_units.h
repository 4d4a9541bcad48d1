// Numbers in sentences: with their unit, in the units asked for.
#pragma once

#include <string>

#include "base/quantity.h"

namespace trammel {

class InUnits {
 public:
  explicit InUnits(Units units) : units_(units) {}

  Units units() const { return units_; }
  std::string_view unit(Measure m) const { return shown_unit(m, units_).symbol; }
  std::string mm(double x) const {
    return joined(shown(x, Measure::length, units_), Measure::length);
  }
  std::string signed_mm(double x) const {
    return joined(shown_signed(x, Measure::length, units_), Measure::length);
  }
  // Any measure with its unit.
  std::string said(double x, Measure m) const {
    return m == Measure::angle ? deg(x) : joined(shown(x, m, units_), m);
  }
  // A length without its unit; in millimetres all of its digits, as a file has it.
  std::string as_given(double mm) const {
    return units_ == Units::metric ? shortest(mm) : shown(mm, Measure::length, units_);
  }
  std::string deg(double x) const { return shown(x, Measure::angle, units_) + "°"; }
  std::string slope(double rad_per_mm) const {
    return joined(shown_signed(rad_per_mm, Measure::angle_per_length, units_),
                  Measure::angle_per_length);
  }
  // "-0.218 ± 0.084 °/25 mm": as many digits as the uncertainty has two of, no more than `most`.
  std::string with_sigma(double value, double sigma, Measure m, int most = finest) const;
  // "± 0.084 °/25 mm", as finely.
  std::string sigma(double sigma, Measure m) const;

  static constexpr int finest = 4;  // decimals

 private:
  std::string joined(std::string number, Measure m) const {
    return std::move(number) + "\u00a0" + std::string(unit(m));
  }
  Units units_;
};

// The first letter large.
std::string capital(std::string text);

}  // namespace trammel
