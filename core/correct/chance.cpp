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

// Before and after of one figure; `known`: the slopes that a gauge measures, of one wheel or both.
Sureness sureness_of(const std::vector<double>& before, const std::vector<double>& after,
                     const std::vector<const std::vector<double>*>& known, double gauge_sigma) {
  std::vector<double> change(before.size());
  for (std::size_t i = 0; i < before.size(); ++i) change[i] = after[i] - before[i];
  const auto left = [&](const std::vector<double>& x) {
    const auto gauge = [&](std::size_t i, std::size_t j) {
      return covariance_of(*known[i], *known[j]) + (i == j ? gauge_sigma * gauge_sigma : 0.0);
    };
    const double c0 = covariance_of(x, *known[0]);
    double explained = c0 * c0 / gauge(0, 0);
    if (known.size() > 1) {
      // What the second one adds to the first.
      const double per = gauge(0, 1) / gauge(0, 0);
      const double c1 = covariance_of(x, *known[1]) - per * c0;
      explained += c1 * c1 / (gauge(1, 1) - per * gauge(0, 1));
    }
    return std::sqrt(std::max(0.0, covariance_of(x, x) - explained));
  };
  return {std::sqrt(covariance_of(before, before)), std::sqrt(covariance_of(change, change)),
          std::sqrt(covariance_of(after, after)), left(before), left(after)};
}

}  // namespace

DrawnAxle::DrawnAxle(const Ride& ride, const Spread& spread, AxleName axle, const Target& target,
                     std::uint64_t seed, RightSide right)
    : ride_(ride),
      name_(axle),
      axle_(*ride.car.at(axle)),
      wanted_(wanted_of(target)),
      spread_(axle_spread(spread, axle)),
      sampler_(seed),
      right_(right),
      sides_(axle_.right_is_mirrored && right == RightSide::as_the_file ? 1 : 2),
      window_(outwards(wanted_.window_mm)) {
  for (const Side side : each_side) {
    const auto s = drawn_as(side);
    if (s == 0 && side == Side::right) break;
    // Wheels are set to what the mean car's are set to: a figure on the alignment sheet.
    setting_[s] = corner_before(ride, axle, side, target).setting;
    order_[s] = drawn_order(axle_, side);
    ground_[s] = ground_as<Lanes>(ground_for(side, ride.pitch_rad, 0.0));
  }
}

void DrawnAxle::draw(std::size_t choices) {
  normals_ = four_normals(sampler_, spread_.numbers.size());
  if (right_ == RightSide::of_its_own && axle_.right_is_mirrored)
    right_normals_ = four_normals(sampler_, spread_.numbers.size());
  for (std::size_t s = 0; s < sides_; ++s)
    corners_[s].scatter = four_normals(sampler_, 3 * choices);
  stand();
}

void DrawnAxle::place(std::vector<Lanes> normals, std::size_t choices) {
  normals_ = std::move(normals);
  right_normals_.clear();
  for (std::size_t s = 0; s < sides_; ++s) corners_[s].scatter.assign(3 * choices, Lanes(0.0));
  stand();
}

void DrawnAxle::stand() {
  auto cars = drawn(axle_, spread_, normals_);
  if (!right_normals_.empty()) cars[1] = drawn(axle_, spread_, right_normals_)[1];
  for (std::size_t s = 0; s < sides_; ++s)
    corners_[s].before =
        stand_drawn(ride_, name_, s == 0 ? Side::left : Side::right, cars[s], order_[s]);
}

CornerWithParts<Lanes> DrawnAxle::fitted(Side side, const Shelf& shelf, const Fit& fit) const {
  const auto s = drawn_as(side);
  const auto& corner = corners_[s];
  std::vector<PartMove<Lanes>> moves;
  for (std::size_t i = 0; i < shelf.choices.size(); ++i) {
    const auto& choice = shelf.choices[i];
    const auto& part = fit.part[i][side];
    Vec3<Lanes> by{Lanes(0.0), Lanes(0.0), Lanes(0.0)};
    if (choice.made_to_measure()) {
      for (int axis = 0; axis < 3; ++axis) by[axis] = part.by_mm[axis];
      for (const int axis : choice.axes)
        by[axis] +=
            Lanes(drilled_sigma_mm) * corner.scatter[3 * i + static_cast<std::size_t>(axis)];
    } else if (part.size_mm != 0.0) {
      const auto& along = choice.along[side];
      const Lanes size = Lanes(part.size_mm) + Lanes(turned_sigma_mm) * corner.scatter[3 * i];
      by = {size * Lanes(along.x), size * Lanes(along.y), size * Lanes(along.z)};
    } else {
      continue;
    }
    moves.push_back({choice.option.joint, by});
  }
  auto f =
      fit_parts(axle_, corner.before.mechanism, corner.before.at, ground_[s], setting_[s], moves);
  f.set = f.set & corner.before.stands;
  return f;
}

BySide<CornerWithParts<Lanes>> DrawnAxle::both_fitted(const Shelf& shelf, const Fit& fit,
                                                      bool one) const {
  BySide<CornerWithParts<Lanes>> corners;
  corners.left = fitted(Side::left, shelf, fit);
  if (!one) corners.right = fitted(Side::right, shelf, fit);
  return corners;
}

DrawnAxle::AtRide DrawnAxle::at_ride(Side side, const CornerWithParts<Lanes>& corner) const {
  const auto all =
      read_all(At<Lanes>(axle_.layout, corner.mechanism, corner.at, ground_[drawn_as(side)]));
  const auto of = [&](Reading r) { return all[static_cast<std::size_t>(r)]; };
  return {of(Reading::toe), of(Reading::camber), of(Reading::bump_steer),
          of(Reading::roll_centre_height)};
}

template <class Each>
void DrawnAxle::drive(Side side, const CornerWithParts<Lanes>& corner, Lanes toe_at_ride_rad,
                      Mask4& stands, const Each& each) const {
  const auto& ground = ground_[drawn_as(side)];
  std::array<Solution<Lanes>, 2> last{corner.at, corner.at};
  const double ride_travel = ride_.at(name_)->ride_travel_mm;
  for (const double travel : window_) {
    auto& at = last[travel < 0.0 ? 1 : 0];
    reach_drawn(corner.mechanism, at, ride_travel + travel, 0.0, stands);
    if (!each(toe_of(spin_at(corner.mechanism, at), ground) - toe_at_ride_rad)) return;
  }
}

DrawnAxle::Swept DrawnAxle::sweep(Side side, const CornerWithParts<Lanes>& corner,
                                  std::vector<Lanes>& toe) const {
  const auto ride = at_ride(side, corner);
  Swept w{corner.set, {Lanes(0.0), ride.camber_rad, ride.bump_steer}, ride.roll_centre_height_mm};
  drive(side, corner, ride.toe_rad, w.stands, [&](Lanes change) {
    toe.push_back(change);
    w.wheel.toe_change_max_rad = larger(w.wheel.toe_change_max_rad, magnitude(change));
    return true;
  });
  return w;
}

DrawnFigures DrawnAxle::judged(const BySide<CornerWithParts<Lanes>>& corners, bool one,
                               std::vector<Lanes>* details) const {
  DrawnFigures f;
  f.found = !Mask4{};
  std::vector<Lanes> toe;
  toe.reserve(window_.size() * 2);
  BySide<Lanes> roll_centre_mm{};
  for (const Side side : each_side) {
    if (one && side == Side::right) {
      f.wheel.right = f.wheel.left;
      roll_centre_mm.right = roll_centre_mm.left;
      break;
    }
    const auto w = sweep(side, corners[side], toe);
    f.found = f.found & w.stands;
    f.wheel[side] = w.wheel;
    roll_centre_mm[side] = w.roll_centre_height_mm;
  }
  f.roll_centre_height_mm = Lanes(0.5) * (roll_centre_mm.left + roll_centre_mm.right);
  if (details) {
    details->insert(details->end(), toe.begin(), toe.end());
    details->push_back(f.roll_centre_height_mm);
    details->push_back(f.wheel.left.camber_rad);
    if (!one) details->push_back(f.wheel.right.camber_rad);
  }
  return f;
}

DrawnFigures DrawnAxle::as_it_sits() const {
  BySide<CornerWithParts<Lanes>> corners;
  for (std::size_t s = 0; s < sides_; ++s) {
    const auto& b = corners_[s].before;
    corners[each_side[s]] = {b.mechanism, b.at, Lanes(0.0), Lanes(0.0), b.stands};
  }
  return judged(corners, sides_ == 1, nullptr);
}

DrawnFigures DrawnAxle::with(const Shelf& shelf, const Fit& fit) const {
  const bool one = sides_ == 1 && sides_alike(fit);
  return judged(both_fitted(shelf, fit, one), one, nullptr);
}

void DrawnAxle::details(const Shelf& shelf, const Fit& fit, std::vector<Lanes>& figures) const {
  const bool one = sides_ == 1;
  check(!one || sides_alike(fit), "parts alike where the right side is a mirror image");
  const auto first = figures.size();
  const auto f = judged(both_fitted(shelf, fit, one), one, &figures);
  // A car without a position misses everything.
  figures[first] = select(f.found, figures[first], Lanes(1e3));
}

std::vector<Tolerance> DrawnAxle::detail_tolerances() const {
  std::vector<Tolerance> all(detail_toes(), toe_change_tolerance(wanted_));
  all.push_back(roll_centre_tolerance(wanted_));
  all.insert(all.end(), sides_, camber_tolerance(wanted_));
  return all;
}

Lanes DrawnAxle::share(const DrawnFigures& f) const {
  Lanes share(0.0);
  for (std::size_t i = 0; i < lane_count; ++i) {
    if (!f.found[i]) {
      share.set(i, std::numeric_limits<double>::infinity());
      continue;
    }
    const auto& [left, right] = f.wheel;
    share.set(i, shares_used(wanted_, {left.toe_change_max_rad[i], right.toe_change_max_rad[i]},
                             f.roll_centre_height_mm[i], {left.camber_rad[i], right.camber_rad[i]})
                     .largest());
  }
  return share;
}

Mask4 DrawnAxle::meets(const Shelf& shelf, const Fit& fit) const {
  const bool one = sides_ == 1 && sides_alike(fit);
  const auto corners = both_fitted(shelf, fit, one);
  BySide<AtRide> ride;
  ride.left = at_ride(Side::left, corners.left);
  ride.right = one ? ride.left : at_ride(Side::right, corners.right);
  const auto within = [](const Tolerance& t, Lanes value) {
    return magnitude(value - Lanes(t.middle)) / Lanes(t.half) <= Lanes(1.0);
  };
  const auto camber = camber_tolerance(wanted_), toe = toe_change_tolerance(wanted_);
  Mask4 meets =
      corners.left.set & within(camber, ride.left.camber_rad) &
      within(roll_centre_tolerance(wanted_),
             Lanes(0.5) * (ride.left.roll_centre_height_mm + ride.right.roll_centre_height_mm));
  if (!one) meets = meets & corners.right.set & within(camber, ride.right.camber_rad);
  for (const Side side : each_side) {
    if (!any(meets) || (one && side == Side::right)) break;
    drive(side, corners[side], ride[side].toe_rad, meets, [&](Lanes change) {
      meets = meets & within(toe, change);
      return any(meets);
    });
  }
  return meets;
}

std::vector<int> met(DrawnAxle& cars, const Shelf& shelf, const std::vector<Fit>& fits, int samples,
                     const Progress& progress) {
  std::vector<int> count(fits.size(), 0);
  for (int done = 0; done < samples; done += static_cast<int>(lane_count)) {
    cars.draw(shelf.choices.size());
    for (std::size_t i = 0; i < fits.size(); ++i) {
      const Mask4 meets = cars.meets(shelf, fits[i]);
      for (std::size_t k = 0; k < lane_count; ++k) count[i] += meets[k] ? 1 : 0;
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
      const Mask4 meets = cars.meets(shelf, fits[i]);
      for (std::size_t k = 0; k < lane_count; ++k) all[i].push_back(meets[k]);
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

namespace {

// Figures of one wheel, car by car.
struct WheelDrawn {
  std::vector<double> slope_before, slope_after, camber_before, camber_after, toe;
};

}  // namespace

Surenesses sureness(DrawnAxle& cars, const Shelf& shelf, const Fit& fit, int samples) {
  BySide<WheelDrawn> wheel;
  std::vector<double> roll_before, roll_after;
  for (int done = 0; done < samples; done += static_cast<int>(lane_count)) {
    cars.draw(shelf.choices.size());
    const auto before = cars.as_it_sits();
    const auto after = cars.with(shelf, fit);
    for (std::size_t k = 0; k < lane_count; ++k) {
      if (!before.found[k] || !after.found[k]) continue;
      for (const Side side : each_side) {
        auto& w = wheel[side];
        w.slope_before.push_back(before.wheel[side].bump_steer[k]);
        w.slope_after.push_back(after.wheel[side].bump_steer[k]);
        w.camber_before.push_back(before.wheel[side].camber_rad[k]);
        w.camber_after.push_back(after.wheel[side].camber_rad[k]);
        w.toe.push_back(after.wheel[side].toe_change_max_rad[k]);
      }
      roll_before.push_back(before.roll_centre_height_mm[k]);
      roll_after.push_back(after.roll_centre_height_mm[k]);
    }
  }
  Surenesses s;
  if (roll_before.size() < 2) return s;
  const bool apart = wheel.left.slope_before != wheel.right.slope_before;
  for (const Side side : each_side) {
    auto& w = wheel[side];
    auto& of = s.wheel[side];
    of.bump_steer =
        sureness_of(w.slope_before, w.slope_after, {&w.slope_before}, gauge_sigma_rad_per_mm);
    of.camber =
        sureness_of(w.camber_before, w.camber_after, {&w.slope_before}, gauge_sigma_rad_per_mm);
    of.toe_change_low_rad = quantile(w.toe, band_shares.front());
    of.toe_change_high_rad = quantile(w.toe, band_shares.back());
  }
  std::vector<const std::vector<double>*> known{&wheel.left.slope_before};
  if (apart) known.push_back(&wheel.right.slope_before);
  s.roll_centre = sureness_of(roll_before, roll_after, known, gauge_sigma_rad_per_mm);
  return s;
}

bool sides_differ(DrawnAxle& cars, int samples) {
  std::vector<double> apart;
  for (int done = 0; done < samples; done += static_cast<int>(lane_count)) {
    cars.draw(0);
    const auto f = cars.as_it_sits();
    for (std::size_t k = 0; k < lane_count; ++k)
      if (f.found[k]) apart.push_back(f.wheel.left.bump_steer[k] - f.wheel.right.bump_steer[k]);
  }
  if (apart.size() < 2) return false;
  const double mean = mean_of(apart);
  return mean * mean > 4.0 * covariance_of(apart, apart);
}

}  // namespace trammel
