// ISO fits of holes and shafts up to 120 mm: the tables of ISO 286-1 and ISO 286-2.
//
// Deviations are from the nominal size; bands of sizes are "over ... up to and including". The
// tables hold, not the formula behind them: it rounds to other values here and there.
#pragma once

#include <string>
#include <string_view>
#include <variant>

#include "base/answer.h"
#include "base/quantity.h"

namespace trammel {

// "H7": a hole; "g6": a shaft.
struct ToleranceZone {
  bool hole = false;
  char letter = 'h';  // small
  int grade = 7;      // IT
  friend bool operator==(const ToleranceZone&, const ToleranceZone&) = default;
};
std::string name(const ToleranceZone& zone);

// Holes H5 to H11; shafts e, f, g, k, n, p, s with grades 5 to 9 and h with 5 to 11. Anything else
// is refused with what there is.
std::variant<ToleranceZone, NotAQuantity> read_zone(std::string_view text);

struct HoleShaftFit {
  ToleranceZone hole, shaft;
  friend bool operator==(const HoleShaftFit&, const HoleShaftFit&) = default;
};
// "H7/g6", spaces allowed.
std::variant<HoleShaftFit, NotAQuantity> read_fit(std::string_view text);

// ITn in mm, 5 <= grade <= 11. No value, and why, for sizes that are not above 0 and up to 120 mm.
Answer<double> tolerance_mm(double nominal_mm, int grade);

struct Deviations {
  double lower_mm = 0.0, upper_mm = 0.0;
};
Answer<Deviations> deviations(double nominal_mm, const ToleranceZone& zone);

struct LimitsOfSize {
  double least_mm = 0.0, most_mm = 0.0;
};
// Of a zone as it is written, "H7"; why where the zone or the size is none.
Answer<LimitsOfSize> limits(double nominal_mm, std::string_view zone);

enum class FitKind {
  clearance,     // goes together even at worst
  transition,    // either may happen
  interference,  // has to be pressed even at best
};
struct FitLimits {
  Deviations bore, spigot;
  double clearance_min_mm = 0.0, clearance_max_mm = 0.0;  // below zero: interference
  FitKind kind = FitKind::clearance;
  // "20 H7/g6: bore +0 ... +0.021, spigot -0.020 ... -0.007, clearance 0.007 to 0.041 mm"
  std::string words;
};
Answer<FitLimits> limits(double nominal_mm, const HoleShaftFit& fit);

}  // namespace trammel
