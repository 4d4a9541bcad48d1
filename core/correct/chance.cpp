#include "correct/chance.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "base/check.h"
#include "travel/adjust.h"
#include "travel/sensitivity.h"

namespace trammel {
namespace {

constexpr double position_every_mm = 4.5;  // 17 positions over a usual window
// What two 0.03 mm dials 300 mm apart leave of a slope, backlash and the zero of travel included.
constexpr double gauge_sigma_rad_per_mm = 0.004 * std::numbers::pi / 180.0 / 25.0;

// Travels from ride height to both ends of the window, outwards.
std::vector<double> outwards(const std::array<double, 2>& window) {
  std::vector<double> travels;
  for (const double end : {window[1], window[0]}) {
    const int n = static_cast<int>(std::ceil(std::fabs(end) / position_every_mm));
    for (int i = 1; i <= n; ++i) travels.push_back(end * i / n);
  }
  return travels;
}

double mean_of(const std::vector<double>& x) {
  double sum = 0.0;
  for (const double v : x) sum += v;
  return sum / static_cast<double>(x.size());
}
double covariance_of(const std::vector<double>& x, const std::vector<double>& y) {
  const double mx = mean_of(x), my = mean_of(y);
  double sum = 0.0;
  for (std::size_t i = 0; i < x.size(); ++i) sum += (x[i] - mx) * (y[i] - my);
  return sum / static_cast<double>(x.size() - 1);
}

// Before and after of one figure; `known` is the one that the gauge measures.
Sureness sureness_of(const std::vector<double>& before, const std::vector<double>& after,
                     const std::vector<double>& known, double gauge_sigma) {
  std::vector<double> change(before.size());
  for (std::size_t i = 0; i < before.size(); ++i) change[i] = after[i] - before[i];
  const double gauge = covariance_of(known, known) + gauge_sigma * gauge_sigma;
  const auto left = [&](const std::vector<double>& x) {
    const double c = covariance_of(x, known);
    return std::sqrt(std::max(0.0, covariance_of(x, x) - c * c / gauge));
  };
  return {std::sqrt(covariance_of(before, before)), std::sqrt(covariance_of(change, change)),
          std::sqrt(covariance_of(after, after)), left(before), left(after)};
}

}  // namespace

DrawnAxle::DrawnAxle(const Ride& ride, const Spread& spread, AxleName axle, const Target& target,
                     std::uint64_t seed)
    : ride_(ride),
      name_(axle),
      axle_(*ride.car.at(axle)),
      wanted_(wanted_of(target)),
      spread_(axle_spread(spread, axle)),
      sampler_(seed),
      sides_(axle_.right_is_mirrored ? 1 : 2),
      window_(outwards(wanted_.window_mm)) {
  for (std::size_t s = 0; s < sides_; ++s) {
    const Side side = s == 0 ? Side::left : Side::right;
    // Wheels are set to what the mean car's are set to: a figure on the alignment sheet.
    setting_[s] = corner_before(ride, axle, side, target).setting;
    order_[s] = drawn_order(axle_, side);
    ground_[s] = ground_as<Lanes>(ground_for(side, ride.pitch_rad, 0.0));
  }
}

void DrawnAxle::draw(std::size_t choices) {
  normals_ = four_normals(sampler_, spread_.numbers.size());
  for (std::size_t s = 0; s < sides_; ++s)
    corners_[s].scatter = four_normals(sampler_, 3 * choices);
  stand();
}

void DrawnAxle::place(std::vector<Lanes> normals, std::size_t choices) {
  normals_ = std::move(normals);
  for (std::size_t s = 0; s < sides_; ++s) corners_[s].scatter.assign(3 * choices, Lanes(0.0));
  stand();
}

void DrawnAxle::stand() {
  const auto cars = drawn(axle_, spread_, normals_);
  for (std::size_t s = 0; s < sides_; ++s)
    corners_[s].before =
        stand_drawn(ride_, name_, s == 0 ? Side::left : Side::right, cars[s], order_[s]);
}

CornerWithParts<Lanes> DrawnAxle::fitted(std::size_t s, const Shelf& shelf, const Fit& fit) const {
  const auto& corner = corners_[s];
  std::vector<PartMove<Lanes>> moves;
  for (std::size_t i = 0; i < shelf.choices.size(); ++i) {
    const auto& choice = shelf.choices[i];
    Vec3<Lanes> by{Lanes(0.0), Lanes(0.0), Lanes(0.0)};
    if (choice.made_to_measure()) {
      for (int axis = 0; axis < 3; ++axis) by[axis] = fit.by_mm[i][axis];
      for (const int axis : choice.axes)
        by[axis] +=
            Lanes(drilled_sigma_mm) * corner.scatter[3 * i + static_cast<std::size_t>(axis)];
    } else if (fit.size_mm[i] != 0.0) {
      const auto& along = choice.along[s];
      const Lanes size = Lanes(fit.size_mm[i]) + Lanes(turned_sigma_mm) * corner.scatter[3 * i];
      by = {size * Lanes(along.x), size * Lanes(along.y), size * Lanes(along.z)};
    } else {
      continue;
    }
    moves.push_back({choice.option->joint, by});
  }
  auto f =
      fit_parts(axle_, corner.before.mechanism, corner.before.at, ground_[s], setting_[s], moves);
  f.set = f.set & corner.before.stands;
  return f;
}

Mask4 DrawnAxle::sweep(std::size_t s, const CornerWithParts<Lanes>& corner, std::vector<Lanes>& toe,
                       DrawnFigures& at_ride) const {
  const auto all = read_all(At<Lanes>(axle_.layout, corner.mechanism, corner.at, ground_[s]));
  const auto of = [&](Reading r) { return all[static_cast<std::size_t>(r)]; };
  at_ride = {Lanes(0.0), of(Reading::roll_centre_height), of(Reading::camber),
             of(Reading::bump_steer), corner.set};
  const Lanes toe0 = of(Reading::toe);
  Mask4 stands = corner.set;
  std::array<Solution<Lanes>, 2> last{corner.at, corner.at};
  const double ride_travel = ride_.at(name_)->ride_travel_mm;
  for (const double travel : window_) {
    auto& at = last[travel < 0.0 ? 1 : 0];
    reach_drawn(corner.mechanism, at, ride_travel + travel, 0.0, stands);
    toe.push_back(toe_of(spin_at(corner.mechanism, at), ground_[s]) - toe0);
  }
  return stands;
}

DrawnFigures DrawnAxle::judged(const std::array<CornerWithParts<Lanes>, 2>& corners,
                               std::vector<Lanes>* details) const {
  DrawnFigures f{Lanes(0.0), Lanes(0.0), Lanes(0.0), Lanes(0.0), !Mask4{}};
  std::vector<Lanes> toe;
  toe.reserve(window_.size() * sides_);
  for (std::size_t s = 0; s < sides_; ++s) {
    DrawnFigures side;
    f.found = f.found & sweep(s, corners[s], toe, side);
    f.roll_centre_height_mm +=
        Lanes(1.0 / static_cast<double>(sides_)) * side.roll_centre_height_mm;
    if (s > 0) continue;
    f.camber_rad = side.camber_rad;
    f.bump_steer = side.bump_steer;
  }
  for (const auto& t : toe) f.toe_change_max_rad = larger(f.toe_change_max_rad, magnitude(t));
  if (details) {
    details->insert(details->end(), toe.begin(), toe.end());
    details->push_back(f.roll_centre_height_mm);
    details->push_back(f.camber_rad);
  }
  return f;
}

DrawnFigures DrawnAxle::as_it_sits() const {
  std::array<CornerWithParts<Lanes>, 2> corners;
  for (std::size_t s = 0; s < sides_; ++s) {
    const auto& b = corners_[s].before;
    corners[s] = {b.mechanism, b.at, Lanes(0.0), Lanes(0.0), b.stands};
  }
  return judged(corners, nullptr);
}

DrawnFigures DrawnAxle::with(const Shelf& shelf, const Fit& fit) const {
  std::array<CornerWithParts<Lanes>, 2> corners;
  for (std::size_t s = 0; s < sides_; ++s) corners[s] = fitted(s, shelf, fit);
  return judged(corners, nullptr);
}

void DrawnAxle::details(const Shelf& shelf, const Fit& fit, std::vector<Lanes>& figures) const {
  std::array<CornerWithParts<Lanes>, 2> corners;
  for (std::size_t s = 0; s < sides_; ++s) corners[s] = fitted(s, shelf, fit);
  const auto f = judged(corners, &figures);
  // A car without a position misses everything.
  const auto first = figures.size() - detail_count();
  figures[first] = select(f.found, figures[first], Lanes(1e3));
}

Lanes DrawnAxle::share(const DrawnFigures& f) const {
  Lanes share(0.0);
  for (std::size_t i = 0; i < lane_count; ++i) {
    if (!f.found[i]) {
      share.set(i, std::numeric_limits<double>::infinity());
      continue;
    }
    share.set(i, share_used(wanted_, f.toe_change_max_rad[i], f.roll_centre_height_mm[i],
                            f.camber_rad[i]));
  }
  return share;
}

std::vector<int> met(DrawnAxle& cars, const Shelf& shelf, const std::vector<Fit>& fits, int samples,
                     const Progress& progress) {
  std::vector<int> count(fits.size(), 0);
  for (int done = 0; done < samples; done += static_cast<int>(lane_count)) {
    cars.draw(shelf.choices.size());
    for (std::size_t i = 0; i < fits.size(); ++i) {
      const Lanes share = cars.share(cars.with(shelf, fits[i]));
      for (std::size_t k = 0; k < lane_count; ++k) count[i] += share[k] <= 1.0 ? 1 : 0;
    }
    if (progress) progress(static_cast<double>(done) / samples);
  }
  return count;
}

std::vector<std::vector<bool>> met_by_sample(DrawnAxle& cars, const Shelf& shelf,
                                             const std::vector<Fit>& fits, int samples) {
  std::vector<std::vector<bool>> all(fits.size());
  for (int done = 0; done < samples; done += static_cast<int>(lane_count)) {
    cars.draw(shelf.choices.size());
    for (std::size_t i = 0; i < fits.size(); ++i) {
      const Lanes share = cars.share(cars.with(shelf, fits[i]));
      for (std::size_t k = 0; k < lane_count; ++k) all[i].push_back(share[k] <= 1.0);
    }
  }
  return all;
}

bool equal_chances(const std::vector<bool>& a, const std::vector<bool>& b) {
  check(a.size() == b.size(), "the same samples for both",
        {{"a", static_cast<double>(a.size())}, {"b", static_cast<double>(b.size())}});
  int only_a = 0, only_b = 0;
  for (std::size_t i = 0; i < a.size(); ++i) {
    only_a += a[i] && !b[i] ? 1 : 0;
    only_b += b[i] && !a[i] ? 1 : 0;
  }
  const int difference = only_a - only_b;
  return static_cast<double>(difference) * difference <= 4.0 * (only_a + only_b);
}

Surenesses sureness(DrawnAxle& cars, const Shelf& shelf, const Fit& fit, int samples) {
  std::vector<double> slope_before, slope_after, roll_before, roll_after, toe;
  for (int done = 0; done < samples; done += static_cast<int>(lane_count)) {
    cars.draw(shelf.choices.size());
    const auto before = cars.as_it_sits();
    const auto after = cars.with(shelf, fit);
    for (std::size_t k = 0; k < lane_count; ++k) {
      if (!before.found[k] || !after.found[k]) continue;
      slope_before.push_back(before.bump_steer[k]);
      slope_after.push_back(after.bump_steer[k]);
      roll_before.push_back(before.roll_centre_height_mm[k]);
      roll_after.push_back(after.roll_centre_height_mm[k]);
      toe.push_back(after.toe_change_max_rad[k]);
    }
  }
  Surenesses s;
  if (toe.size() < 2) return s;
  s.bump_steer = sureness_of(slope_before, slope_after, slope_before, gauge_sigma_rad_per_mm);
  s.roll_centre = sureness_of(roll_before, roll_after, slope_before, gauge_sigma_rad_per_mm);
  s.toe_change_low_rad = quantile(toe, band_shares.front());
  s.toe_change_high_rad = quantile(toe, band_shares.back());
  return s;
}

}  // namespace trammel
