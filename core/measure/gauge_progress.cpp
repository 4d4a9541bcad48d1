#include "measure/gauge_progress.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "base/in_units.h"

namespace trammel {
namespace {

constexpr double same_travel_mm = 1.0;

double toe_rad(const GaugeRun& run, const GaugeRow& row) {
  return std::atan((row.rear_mm - row.front_mm) / run.base_mm);
}

std::optional<double> next_travel(const std::vector<GaugeRow>& rows, Units units) {
  const double usual = units == Units::inch ? 0.5 * inch_mm : gauge_step_mm;
  if (rows.empty()) return 0.0;
  if (rows.size() == 1) return rows[0].travel_mm + usual;
  // Steps as they have been taken; an odd first one is not repeated.
  const double first = std::fabs(rows[1].travel_mm - rows[0].travel_mm);
  const double step = first > same_travel_mm ? first : usual;
  const double now = rows.back().travel_mm;
  bool top = false, bottom = false;
  for (const auto& r : rows) {
    top = top || r.travel_mm > gauge_end_mm - 0.5 * step;
    bottom = bottom || r.travel_mm < -gauge_end_mm + 0.5 * step;
  }
  const double before = rows[rows.size() - 2].travel_mm;
  // Turned round before the end: the stop or the arch was there.
  const bool going_up = now > before;
  if (!going_up) top = true;
  if (top && going_up && now < 0.5 * step) bottom = true;
  const auto whole = [&](double at) { return std::fabs(at) < 0.25 * step ? 0.0 : at; };
  if (!top) return now + step;
  if (!bottom) return whole(now - step);
  if (now < -0.25 * step) return whole(now + step);
  return {};
}

}  // namespace

std::vector<double> gauge_travels(double up_mm, double down_mm) {
  const int up = static_cast<int>(std::lround(up_mm / gauge_step_mm));
  const int down = static_cast<int>(std::lround(down_mm / gauge_step_mm));
  std::vector<double> travels;
  for (int i = 0; i <= up; ++i) travels.push_back(i * gauge_step_mm);
  for (int i = up - 1; i >= -down; --i) travels.push_back(i * gauge_step_mm);
  for (int i = 1 - down; i <= 0; ++i) travels.push_back(i * gauge_step_mm);
  return travels;
}

GaugeProgress gauge_progress(const GaugeRun& run, Units units) {
  GaugeProgress g;
  const auto& rows = run.rows;
  const InUnits t(units);
  g.next_mm = next_travel(rows, units);
  g.curve.title = "Toe by the dials";
  g.curve.x_head = "travel";
  g.curve.x_unit = std::string(t.unit(Measure::length));
  g.curve.y_head = "toe";
  g.curve.y_unit = "°";
  g.curve.y_decimals = 3;
  Series up{"up", Stroke::heavy, {}, {}}, down{"down", Stroke::thin_dashed, {}, {}};
  const double per_mm = shown_unit(Measure::length, units).per_inside;
  const double per_rad = 180.0 / std::numbers::pi;
  const auto point = [&](const GaugeRow& r) {
    return std::array<double, 2>{r.travel_mm * per_mm, toe_rad(run, r) * per_rad};
  };
  for (std::size_t i = 0; i < rows.size(); ++i) {
    const bool rises = i == 0 ? rows.size() < 2 || rows[1].travel_mm > rows[0].travel_mm
                              : rows[i].travel_mm > rows[i - 1].travel_mm;
    (rises ? up : down).points.push_back(point(rows[i]));
    // A turning point belongs to both.
    if (i > 0 && i + 1 < rows.size() && (rows[i + 1].travel_mm > rows[i].travel_mm) != rises)
      (rises ? down : up).points.push_back(point(rows[i]));
  }
  for (auto* s : {&up, &down})
    std::stable_sort(s->points.begin(), s->points.end(),
                     [](const auto& a, const auto& b) { return a[0] < b[0]; });
  for (auto* s : {&up, &down})
    if (!s->points.empty()) g.curve.series.push_back(std::move(*s));

  if (rows.empty()) {
    g.sentence = "Zero the dials where hub to arch is what you wrote down as ride height.";
    return g;
  }
  g.sentence = fmt::format("{} row{}.", rows.size(), rows.size() == 1 ? "" : "s");
  const auto [low, high] = std::minmax_element(
      rows.begin(), rows.end(),
      [](const GaugeRow& a, const GaugeRow& b) { return a.travel_mm < b.travel_mm; });
  const auto zero = std::find_if(rows.begin(), rows.end(), [](const GaugeRow& r) {
    return std::fabs(r.travel_mm) < same_travel_mm;
  });
  const double from = zero == rows.end() ? 0.0 : toe_rad(run, *zero);
  for (const auto& end : {high, low})
    if (std::fabs(end->travel_mm) > same_travel_mm)
      g.sentence +=
          fmt::format(" At {} toe is {}° from where it began.", t.signed_mm(end->travel_mm),
                      shown_signed(toe_rad(run, *end) - from, Measure::angle, units));
  // The slope at ride height, by least squares over what is near it.
  double n = 0, sx = 0, sy = 0, sxx = 0, sxy = 0;
  for (const auto& r : rows) {
    if (std::fabs(r.travel_mm) > 0.55 * gauge_end_mm) continue;
    const double y = toe_rad(run, r);
    n += 1, sx += r.travel_mm, sy += y, sxx += r.travel_mm * r.travel_mm, sxy += r.travel_mm * y;
  }
  if (const double d = n * sxx - sx * sx; n > 2.5 && d > n * n * 10.0)
    g.sentence += fmt::format(" About {} at ride height.", t.slope((n * sxy - sx * sy) / d));
  // Up against down at the same travel.
  double most = 0.0;
  bool both = false;
  for (std::size_t i = 1; i < rows.size(); ++i)
    for (std::size_t j = 1; j < i; ++j) {
      const bool up_i = rows[i].travel_mm > rows[i - 1].travel_mm;
      const bool up_j = rows[j].travel_mm > rows[j - 1].travel_mm;
      if (up_i == up_j || std::fabs(rows[i].travel_mm - rows[j].travel_mm) > same_travel_mm)
        continue;
      both = true;
      most = std::max(most, std::fabs(toe_rad(run, rows[i]) - toe_rad(run, rows[j])));
    }
  if (both)
    g.sentence += fmt::format(" Up and down differ by {}° at most: play of joints and rack.",
                              shown(most, Measure::angle, units));
  // Back at zero.
  if (zero != rows.end() && rows.size() > 2 && &*zero != &rows.back() &&
      std::fabs(rows.back().travel_mm) < same_travel_mm && !g.next_mm) {
    double off = std::max(std::fabs(rows.back().front_mm - zero->front_mm),
                          std::fabs(rows.back().rear_mm - zero->rear_mm));
    if (rows.back().low_mm && zero->low_mm)
      off = std::max(off, std::fabs(*rows.back().low_mm - *zero->low_mm));
    // No less than reading the dials twice may differ by.
    if (off > std::max(gauge_returns_mm, 2.5 * std::sqrt(2.0) * run.sigma_mm))
      g.care = fmt::format(
          "Back at zero a dial shows {:.2f} mm more or less than it began with, and should come "
          "back to {:.2f} mm: something slipped, binds or has play. Run it again.",
          off, gauge_returns_mm);
  }
  return g;
}

}  // namespace trammel
