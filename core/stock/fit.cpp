#include "stock/fit.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "base/check.h"

namespace trammel {
namespace {

constexpr double largest_mm = 120.0;
constexpr int first_grade = 5, last_grade = 11, last_shaft_grade = 9;
constexpr std::string_view shaft_letters = "efghknps";

// ISO 286-1 table 1 (IT5 to IT11) and ISO 286-2, µm. k holds up to grade 7, above it starts at
// zero. The column below 3 mm and those of f, k, n and s are from memory.
struct Band {
  double up_to_mm;
  int it[7];
  int e, f, g;     // below the nominal size
  int k, n, p, s;  // above it
};
constexpr Band bands[] = {
    {3, {4, 6, 10, 14, 25, 40, 60}, 14, 6, 2, 0, 4, 6, 14},
    {6, {5, 8, 12, 18, 30, 48, 75}, 20, 10, 4, 1, 8, 12, 19},
    {10, {6, 9, 15, 22, 36, 58, 90}, 25, 13, 5, 1, 10, 15, 23},
    {18, {8, 11, 18, 27, 43, 70, 110}, 32, 16, 6, 1, 12, 18, 28},
    {30, {9, 13, 21, 33, 52, 84, 130}, 40, 20, 7, 2, 15, 22, 35},
    {50, {11, 16, 25, 39, 62, 100, 160}, 50, 25, 9, 2, 17, 26, 43},
    {65, {13, 19, 30, 46, 74, 120, 190}, 60, 30, 10, 2, 20, 32, 53},
    {80, {13, 19, 30, 46, 74, 120, 190}, 60, 30, 10, 2, 20, 32, 59},
    {100, {15, 22, 35, 54, 87, 140, 220}, 72, 36, 12, 3, 23, 37, 71},
    {120, {15, 22, 35, 54, 87, 140, 220}, 72, 36, 12, 3, 23, 37, 79},
};

Answer<const Band*> band_of(double nominal_mm) {
  if (!(nominal_mm > 0.0) || !(nominal_mm <= largest_mm))
    return {{},
            fmt::format("{} mm is outside of the tables here, expected more than 0 and up to {}",
                        shortest(nominal_mm), shortest(largest_mm))};
  return {std::find_if(std::begin(bands), std::end(bands),
                       [&](const Band& b) { return nominal_mm <= b.up_to_mm; }),
          {}};
}

double grade_mm(const Band& band, int grade) {
  check(grade >= first_grade && grade <= last_grade, "the grade is one of the table",
        {{"grade", static_cast<double>(grade)}});
  return band.it[grade - first_grade] * micron_mm;
}

std::string_view without_spaces(std::string_view text) {
  while (text.starts_with(' ')) text.remove_prefix(1);
  while (text.ends_with(' ')) text.remove_suffix(1);
  return text;
}

// "+0.021", "-0.007"; zero as "+0" where it is the lower one.
std::string deviation(double mm, bool lower) {
  if (std::abs(mm) < 0.5 * micron_mm) return lower ? "+0" : "0";
  return fmt::format("{:+.3f}", mm);
}
std::string deviations_text(const Deviations& d) {
  return deviation(d.lower_mm, true) + " ... " + deviation(d.upper_mm, false);
}
std::string amount(double mm) {
  return std::abs(mm) < 0.5 * micron_mm ? "0" : fmt::format("{:.3f}", std::abs(mm));
}

}  // namespace

std::string name(const ToleranceZone& z) {
  const char letter = z.hole ? static_cast<char>(z.letter - 'a' + 'A') : z.letter;
  return fmt::format("{}{}", letter, z.grade);
}

std::variant<ToleranceZone, NotAQuantity> read_zone(std::string_view text) {
  const auto zone = without_spaces(text);
  const auto refused = [&](std::string_view why) {
    return NotAQuantity{fmt::format("'{}' {}", text, why)};
  };
  const auto grade = zone.empty() ? std::nullopt : plain_number(zone.substr(1));
  const char letter = zone.empty() ? ' ' : zone[0];
  const bool capital = letter >= 'A' && letter <= 'Z', small = letter >= 'a' && letter <= 'z';
  if (!grade || !(capital || small))
    return refused("is no tolerance zone, expected one such as H7 or g6");
  if (capital && letter != 'H')
    return refused("is a hole that is not known here, expected H5 to H11");
  if (small && shaft_letters.find(letter) == std::string_view::npos)
    return refused("is a shaft that is not known here, expected e, f, g, h, k, n, p or s");
  const int last = letter == 'H' || letter == 'h' ? last_grade : last_shaft_grade;
  const auto whole = std::round(*grade);
  if (whole != *grade || whole < first_grade || whole > last)
    return refused(fmt::format("has a grade that is not known here, expected {}{} to {}{}", letter,
                               first_grade, letter, last));
  return ToleranceZone{capital, capital ? 'h' : letter, static_cast<int>(whole)};
}

std::variant<HoleShaftFit, NotAQuantity> read_fit(std::string_view text) {
  const auto slash = text.find('/');
  if (slash == std::string_view::npos)
    return NotAQuantity{fmt::format("'{}' is no fit, expected hole/shaft such as H7/g6", text)};
  const auto hole = read_zone(text.substr(0, slash));
  if (const auto* bad = std::get_if<NotAQuantity>(&hole)) return *bad;
  const auto shaft = read_zone(text.substr(slash + 1));
  if (const auto* bad = std::get_if<NotAQuantity>(&shaft)) return *bad;
  const HoleShaftFit fit{std::get<ToleranceZone>(hole), std::get<ToleranceZone>(shaft)};
  if (!fit.hole.hole || fit.shaft.hole)
    return NotAQuantity{fmt::format(
        "'{}' is no fit: the hole with its capital comes first, then the shaft, as in H7/g6",
        text)};
  return fit;
}

Answer<double> tolerance_mm(double nominal_mm, int grade) {
  const auto band = band_of(nominal_mm);
  if (!band.value) return {{}, band.why};
  if (grade < first_grade || grade > last_grade)
    return {{},
            fmt::format("IT{} is not known here, expected IT{} to IT{}", grade, first_grade,
                        last_grade)};
  return {grade_mm(**band.value, grade), {}};
}

Answer<Deviations> deviations(double nominal_mm, const ToleranceZone& z) {
  const auto found = band_of(nominal_mm);
  if (!found.value) return {{}, found.why};
  const Band& b = **found.value;
  const double it = grade_mm(b, z.grade);
  if (z.hole) return {Deviations{0.0, it}, {}};
  const auto below = [&](int es) { return Deviations{-es * micron_mm - it, -es * micron_mm}; };
  const auto above = [&](int ei) { return Deviations{ei * micron_mm, ei * micron_mm + it}; };
  constexpr int k_holds_to = 7;
  switch (z.letter) {
    case 'e':
      return {below(b.e), {}};
    case 'f':
      return {below(b.f), {}};
    case 'g':
      return {below(b.g), {}};
    case 'h':
      return {below(0), {}};
    case 'k':
      return {above(z.grade <= k_holds_to ? b.k : 0), {}};
    case 'n':
      return {above(b.n), {}};
    case 'p':
      return {above(b.p), {}};
    case 's':
      return {above(b.s), {}};
    default:
      break;
  }
  check(false, "a zone comes from read_zone");
  return {};
}

Answer<LimitsOfSize> limits(double nominal_mm, std::string_view text) {
  const auto zone = read_zone(text);
  if (const auto* bad = std::get_if<NotAQuantity>(&zone)) return {{}, bad->why};
  const auto d = deviations(nominal_mm, std::get<ToleranceZone>(zone));
  if (!d.value) return {{}, d.why};
  return {LimitsOfSize{nominal_mm + d.value->lower_mm, nominal_mm + d.value->upper_mm}, {}};
}

Answer<FitLimits> limits(double nominal_mm, const HoleShaftFit& fit) {
  const auto bore = deviations(nominal_mm, fit.hole), spigot = deviations(nominal_mm, fit.shaft);
  if (!bore.value) return {{}, bore.why};
  check(spigot.value.has_value(), "one size is in the tables or not", {{"size", nominal_mm}});
  FitLimits f;
  f.bore = *bore.value;
  f.spigot = *spigot.value;
  f.clearance_min_mm = f.bore.lower_mm - f.spigot.upper_mm;
  f.clearance_max_mm = f.bore.upper_mm - f.spigot.lower_mm;
  std::string between;
  constexpr double nothing = 1e-9;
  if (f.clearance_min_mm > -nothing) {
    f.kind = FitKind::clearance;
    between = fmt::format("clearance {} to {} mm", amount(f.clearance_min_mm),
                          amount(f.clearance_max_mm));
  } else if (f.clearance_max_mm < nothing) {
    f.kind = FitKind::interference;
    between = fmt::format("interference {} to {} mm", amount(f.clearance_max_mm),
                          amount(f.clearance_min_mm));
  } else {
    f.kind = FitKind::transition;
    between = fmt::format("between {} mm interference and {} mm clearance",
                          amount(f.clearance_min_mm), amount(f.clearance_max_mm));
  }
  f.words =
      fmt::format("{} {}/{}: bore {}, spigot {}, {}", shortest(nominal_mm), name(fit.hole),
                  name(fit.shaft), deviations_text(f.bore), deviations_text(f.spigot), between);
  return {std::move(f), {}};
}

}  // namespace trammel
