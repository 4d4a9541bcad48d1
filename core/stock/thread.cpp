#include "stock/thread.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <optional>
#include <span>

#include "base/check.h"
#include "base/plain_text.h"
#include "base/words.h"

namespace trammel {
namespace {

constexpr double same_mm = 1e-6;  // of numbers that were written with three decimals at most

// Pitches in mm, the coarse one first; zero ends the list.
struct MetricSize {
  double diameter_mm;
  std::array<double, 4> usual_mm;  // ISO 262: selected for bolts and nuts
  std::array<double, 3> rare_mm;   // the rest of ISO 261
};
constexpr MetricSize metric_sizes[] = {
    {5, {0.8}, {0.5}},
    {6, {1}, {0.75}},
    {8, {1.25, 1}, {0.75}},
    {10, {1.5, 1.25, 1}, {0.75}},
    {12, {1.75, 1.5, 1.25}, {1}},
    {14, {2, 1.5}, {1.25, 1}},
    {16, {2, 1.5}, {1}},
    {18, {2.5, 2, 1.5}, {1}},
    {20, {2.5, 2, 1.5}, {1}},
};

struct InchSize {
  std::string_view name;
  double diameter_in;
  int coarse, fine;  // threads per inch: UNC, UNF
};
constexpr InchSize inch_sizes[] = {
    {"1/4", 0.25, 20, 28},    {"5/16", 0.3125, 18, 24}, {"3/8", 0.375, 16, 24},
    {"7/16", 0.4375, 14, 20}, {"1/2", 0.5, 13, 20},     {"9/16", 0.5625, 12, 18},
    {"5/8", 0.625, 11, 18},   {"3/4", 0.75, 10, 16},
};

// ISO 965-1, 6g and 6H, µm: by pitch alone, and by pitch and range of diameter.
struct PitchTolerance {
  double pitch_mm;
  int g;          // es: the bolt's largest size is this much below the basic one
  int major;      // Td
  int nut_minor;  // TD1
};
constexpr PitchTolerance pitch_tolerances[] = {
    {0.5, 20, 106, 140},  {0.75, 22, 140, 190}, {0.8, 24, 150, 200},
    {1, 26, 180, 236},    {1.25, 28, 212, 265}, {1.5, 32, 236, 300},
    {1.75, 34, 265, 335}, {2, 38, 280, 375},    {2.5, 42, 335, 450},
};
struct DiameterTolerance {
  double over_mm, to_mm, pitch_mm;
  int bolt;  // Td2
  int nut;   // TD2
};
constexpr DiameterTolerance diameter_tolerances[] = {
    {2.8, 5.6, 0.5, 75, 100},     {2.8, 5.6, 0.8, 95, 125},     {5.6, 11.2, 0.75, 100, 132},
    {5.6, 11.2, 1, 112, 150},     {5.6, 11.2, 1.25, 118, 160},  {5.6, 11.2, 1.5, 132, 180},
    {11.2, 22.4, 1, 118, 160},    {11.2, 22.4, 1.25, 132, 180}, {11.2, 22.4, 1.5, 140, 190},
    {11.2, 22.4, 1.75, 150, 200}, {11.2, 22.4, 2, 160, 212},    {11.2, 22.4, 2.5, 170, 224},
};

bool same(double a, double b) { return std::abs(a - b) < same_mm; }

Thread metric(double diameter_mm, double pitch_mm) {
  return {diameter_mm, pitch_mm, false,
          fmt::format("M{}×{}", shortest(diameter_mm), shortest(pitch_mm))};
}
Thread unified(const InchSize& size, int per_inch) {
  return {size.diameter_in * inch_mm, inch_mm / per_inch, true,
          fmt::format("{}-{} {}", size.name, per_inch, per_inch == size.fine ? "UNF" : "UNC")};
}

template <std::size_t n>
std::vector<std::string> pitch_names(const std::array<double, n>& pitches_mm) {
  std::vector<double> some;
  for (const double p : pitches_mm)
    if (p > 0.0) some.push_back(p);
  std::sort(some.begin(), some.end());
  std::vector<std::string> names;
  names.reserve(some.size());
  for (const double p : some) names.push_back(shortest(p));
  return names;
}

using ReadThread = std::variant<Thread, NotAQuantity>;
constexpr std::string_view example = "a thread such as M10x1.25 or \"3/8-24 UNF\"";

ReadThread refused(std::string_view text, const std::string& why) {
  return NotAQuantity{fmt::format("'{}' {}", text, why)};
}
ReadThread unread(std::string_view text) {
  return refused(text, fmt::format("is not a thread, expected {}", example));
}

ReadThread read_metric(std::string_view text, PlainText in) {
  const auto diameter = in.number();
  if (!diameter) return unread(text);
  in.spaces();
  std::optional<double> pitch;
  if (in.take("x") || in.take("*")) {
    in.spaces();
    pitch = in.number();
    if (!pitch) return refused(text, "lacks its pitch after the ×");
  }
  in.spaces();
  if (in.rest.starts_with(",")) return refused(text, "has a comma: write decimals with a point");
  if (!in.rest.empty()) return unread(text);
  const auto* size = std::find_if(std::begin(metric_sizes), std::end(metric_sizes),
                                  [&](const auto& s) { return same(s.diameter_mm, *diameter); });
  if (size == std::end(metric_sizes)) {
    std::vector<std::string> names;
    for (const auto& s : metric_sizes) names.push_back("M" + shortest(s.diameter_mm));
    return refused(text,
                   fmt::format("has a diameter that is not known here: {}", listed(names, "or")));
  }
  if (!pitch) return metric(size->diameter_mm, size->usual_mm[0]);
  for (const double p : size->usual_mm)
    if (p > 0.0 && same(p, *pitch)) return metric(size->diameter_mm, p);
  for (const double p : size->rare_mm)
    if (p > 0.0 && same(p, *pitch)) return metric(size->diameter_mm, p);
  return refused(
      text, fmt::format("is no standard thread: M{} has a pitch of {}", shortest(size->diameter_mm),
                        listed(pitch_names(size->usual_mm), "or")));
}

ReadThread read_unified(std::string_view text, PlainText in) {
  const auto above = in.number();
  if (!above) return unread(text);
  double diameter = *above;
  if (in.take("/")) {
    const auto below = in.number();
    if (!below || *below == 0.0) return unread(text);
    diameter /= *below;
  } else if (diameter >= 1.0) {
    return unread(text);  // "10", "10x1.25": no inch thread, and its M is missing
  }
  if (!in.take("\"") && !in.take("″")) {
    in.spaces();
    in.take("in");
  }
  in.spaces();
  if (in.take("-") || in.take("x")) in.spaces();
  const auto per_inch = in.number();
  in.spaces();
  if (per_inch && in.take("tpi")) in.spaces();
  const bool fine = in.take("unf"), coarse = !fine && in.take("unc");
  in.spaces();
  if (!in.rest.empty()) return unread(text);
  const auto* size = std::find_if(std::begin(inch_sizes), std::end(inch_sizes), [&](const auto& s) {
    return std::abs(s.diameter_in - diameter) < same_mm;
  });
  if (size == std::end(inch_sizes)) {
    std::vector<std::string> names;
    for (const auto& s : inch_sizes) names.emplace_back(s.name);
    return refused(
        text, fmt::format("has a diameter that is not known here: {} in", listed(names, "or")));
  }
  const auto both =
      fmt::format("{}-{} UNF or {}-{} UNC", size->name, size->fine, size->name, size->coarse);
  if (!per_inch) {
    if (fine) return unified(*size, size->fine);
    if (coarse) return unified(*size, size->coarse);
    return refused(text, fmt::format("lacks its threads per inch: {}", both));
  }
  for (const int n : {size->coarse, size->fine})
    if (same(*per_inch, n)) {
      if ((fine && n != size->fine) || (coarse && n != size->coarse))
        return refused(text, fmt::format("names the other series: {}", both));
      return unified(*size, n);
    }
  return refused(text, fmt::format("is no standard thread: {}", both));
}

// ASME B1.1 rounds limits to a ten thousandth of an inch.
double rounded_in(double x) { return std::round(x * 1e4) / 1e4; }

}  // namespace

std::variant<Thread, NotAQuantity> read_thread(std::string_view text) {
  const std::string plain = in_plain_letters(text);
  PlainText in{plain};
  in.spaces();
  if (in.take("m")) {
    in.spaces();
    return read_metric(text, in);
  }
  return read_unified(text, in);
}

std::vector<Thread> usual_threads() {
  std::vector<Thread> all;
  for (const auto& size : metric_sizes)
    for (const double pitch : size.usual_mm)
      if (pitch > 0.0) all.push_back(metric(size.diameter_mm, pitch));
  for (const auto& size : inch_sizes)
    for (const int per_inch : {size.fine, size.coarse}) all.push_back(unified(size, per_inch));
  return all;
}

ThreadDiameters basic_diameters(const Thread& t) {
  const double p = t.pitch_mm, h = 0.5 * std::numbers::sqrt3 * p;
  return {t.diameter_mm - 0.75 * h, t.diameter_mm - 1.25 * h, t.diameter_mm - 17.0 / 12.0 * h};
}

double stress_area_mm2(const Thread& t) {
  constexpr double quarter_pi = 0.25 * std::numbers::pi;
  const auto basic = basic_diameters(t);
  const double d =
      t.inch ? t.diameter_mm - 0.974279 * t.pitch_mm : 0.5 * (basic.pitch_mm + basic.root_mm);
  return quarter_pi * d * d;
}

ThreadLimits basic_limits(const Thread& t) {
  const auto basic = basic_diameters(t);
  return {t.diameter_mm,  t.diameter_mm,  basic.pitch_mm, basic.pitch_mm,
          basic.pitch_mm, basic.pitch_mm, basic.minor_mm, basic.minor_mm};
}

ThreadLimits limits_of_size(const Thread& t) {
  auto l = basic_limits(t);
  if (t.inch) {
    const double d = t.diameter_mm / inch_mm, p = t.pitch_mm / inch_mm;
    const double two_thirds = std::cbrt(p * p);
    const double bolt = 0.0015 * std::cbrt(d) + 0.0015 * std::sqrt(d) + 0.015 * two_thirds;
    const double allowance = 0.3 * bolt;
    const double nut_minor = 0.25 * p - 0.4 * p * p;
    const auto at = [](double basic_mm, double by_in) {
      return rounded_in(basic_mm / inch_mm + by_in) * inch_mm;
    };
    l.major_max_mm = at(t.diameter_mm, -allowance);
    l.major_min_mm = at(t.diameter_mm, -allowance - 0.06 * two_thirds);
    l.pitch_max_mm = at(l.nut_pitch_min_mm, -allowance);
    l.pitch_min_mm = at(l.nut_pitch_min_mm, -allowance - bolt);
    l.nut_pitch_max_mm = at(l.nut_pitch_min_mm, 1.3 * bolt);
    l.nut_minor_max_mm = at(l.nut_minor_min_mm, nut_minor);
    return l;
  }
  const auto* by_pitch =
      std::find_if(std::begin(pitch_tolerances), std::end(pitch_tolerances),
                   [&](const auto& row) { return same(row.pitch_mm, t.pitch_mm); });
  const auto* by_diameter = std::find_if(
      std::begin(diameter_tolerances), std::end(diameter_tolerances), [&](const auto& row) {
        return t.diameter_mm > row.over_mm && t.diameter_mm <= row.to_mm &&
               same(row.pitch_mm, t.pitch_mm);
      });
  check(by_pitch != std::end(pitch_tolerances) && by_diameter != std::end(diameter_tolerances),
        "a thread comes from the tables", {{"diameter", t.diameter_mm}, {"pitch", t.pitch_mm}});
  l.major_max_mm -= by_pitch->g * micron_mm;
  l.major_min_mm = l.major_max_mm - by_pitch->major * micron_mm;
  l.pitch_max_mm -= by_pitch->g * micron_mm;
  l.pitch_min_mm = l.pitch_max_mm - by_diameter->bolt * micron_mm;
  l.nut_pitch_max_mm += by_diameter->nut * micron_mm;
  l.nut_minor_max_mm += by_pitch->nut_minor * micron_mm;
  return l;
}

StripAreas strip_areas(const Thread& t, const ThreadLimits& l) {
  const double p = t.pitch_mm, around = std::numbers::pi / p;
  const double flank = 1.0 / std::numbers::sqrt3;  // tan 30°
  return {around * l.nut_minor_max_mm * (0.5 * p + flank * (l.pitch_min_mm - l.nut_minor_max_mm)),
          around * l.major_min_mm * (0.5 * p + flank * (l.major_min_mm - l.nut_pitch_max_mm))};
}
StripAreas strip_areas(const Thread& t) { return strip_areas(t, limits_of_size(t)); }

}  // namespace trammel
