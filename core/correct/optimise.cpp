#include "correct/optimise.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <limits>

#include "base/check.h"

namespace trammel {
namespace {

constexpr std::size_t most_unknowns = most_made_directions;
constexpr int grid_per_axis = 5;         // coarse places a search starts from
constexpr std::size_t starts_tried = 3;  // the best of them
constexpr int most_steps = 25;           // minimax steps from each
constexpr int window_positions = 17;     // of the linearised problem
constexpr double last_step_mm = 1e-4;

using Place = std::vector<double>;

// The unknowns of a fit: one for each axis of each made-to-measure choice.
struct Unknown {
  std::size_t choice;
  int axis;
  double low, high;
};

class Search {
 public:
  Search(const CornerBefore& before, const Shelf& shelf, const Fit& start,
         const std::array<double, 2>& window_mm)
      : before_(before), shelf_(shelf), fit_(start), window_mm_(window_mm) {
    for (std::size_t i = 0; i < shelf.choices.size(); ++i)
      for (const int axis : shelf.choices[i].axes) {
        const auto& r = shelf.choices[i].range_mm[static_cast<std::size_t>(axis)];
        unknowns_.push_back({i, axis, r[0], r[1]});
      }
    for (int i = 0; i < window_positions; ++i)
      travels_.push_back(window_mm[0] + (window_mm[1] - window_mm[0]) * i / (window_positions - 1));
  }

  Fit best() {
    if (unknowns_.empty()) return fit_;
    check(unknowns_.size() <= most_unknowns,
          "no more made-to-measure directions than a file may ask",
          {{"axes", static_cast<double>(unknowns_.size())}});
    struct Start {
      double value;
      Place place;
    };
    std::vector<Start> starts;
    for (auto& place : grid()) {
      const double v = value(place);
      starts.push_back({v, std::move(place)});
    }
    std::stable_sort(starts.begin(), starts.end(),
                     [](const Start& a, const Start& b) { return a.value < b.value; });
    Start found = starts.front();
    for (std::size_t i = 0; i < std::min(starts_tried, starts.size()); ++i) {
      if (!std::isfinite(starts[i].value)) break;
      auto place = minimax(starts[i].place);
      if (const double v = value(place); v < found.value) found = {v, std::move(place)};
    }
    if (std::isfinite(found.value)) halving(found.place, found.value);
    return fit_at(found.place);
  }

 private:
  Fit fit_at(const Place& place) const {
    Fit fit = fit_;
    for (std::size_t k = 0; k < unknowns_.size(); ++k)
      fit.by_mm[unknowns_[k].choice][unknowns_[k].axis] = place[k];
    return fit;
  }
  double value(const Place& place) const {
    return toe_change_of(before_, shelf_, fit_at(place), window_mm_);
  }

  // A coarse grid over the ranges, with the start and the nearest place to no change.
  std::vector<Place> grid() const {
    std::vector<Place> places{{}};
    Place start, still;
    for (const auto& u : unknowns_) {
      start.push_back(std::clamp(fit_.by_mm[u.choice][u.axis], u.low, u.high));
      still.push_back(std::clamp(0.0, u.low, u.high));
      const int n = unknowns_.size() > 3 ? 3 : grid_per_axis;
      std::vector<Place> more;
      for (const auto& p : places)
        for (int i = 0; i < n; ++i) {
          more.push_back(p);
          more.back().push_back(u.low + (u.high - u.low) * i / (n - 1));
        }
      places = std::move(more);
    }
    places.push_back(std::move(start));
    places.push_back(std::move(still));
    return places;
  }

  // Toe change at each position of the window, and its exact change with each unknown, the toe rod
  // reset meanwhile.
  struct Linear {
    std::vector<double> off;                  // by position
    std::vector<std::vector<double>> change;  // by position, unknown
  };
  std::optional<Linear> linear_at(const Place& place) const {
    const auto f = fitted(before_, moves_of(shelf_, fit_at(place), before_.side));
    if (!f.value) return {};
    const auto positions = positions_over(*f.value, travels_);
    if (positions.empty()) return {};
    const auto& layout = before_.axle->layout;
    const auto& m = f.value->mechanism;
    std::vector<Adjuster> adjusters;
    adjusters.reserve(unknowns_.size() + 1);
    for (const auto& u : unknowns_) {
      Vec3<double> along{};
      along[u.axis] = 1.0;
      adjusters.push_back({{}, JointShift{shelf_.choices[u.choice].option->joint, along}});
    }
    const bool reset = before_.setting.toe_rad.has_value();
    if (reset) adjusters.push_back({RodLength{before_.axle->toe_adjuster->rod}, {}});
    const auto toe_rates = [&](const Solution<double>& s, double& toe) {
      const At<double> at(layout, m, s, before_.ground);
      toe = read(Reading::toe, at);
      std::vector<double> rates;
      rates.reserve(adjusters.size());
      for (const auto& a : adjusters)
        rates.push_back(wheel_rates(at.spin, at.ground, motion_by(layout, m, s, a)).toe);
      return rates;
    };
    double toe0 = 0.0;
    const auto at_ride = toe_rates(f.value->at, toe0);
    Linear l;
    for (const auto& s : positions) {
      double toe = 0.0;
      const auto here = toe_rates(s, toe);
      l.off.push_back(toe - toe0);
      std::vector<double> row;
      for (std::size_t k = 0; k < unknowns_.size(); ++k)
        row.push_back(reset ? here[k] - here.back() * at_ride[k] / at_ride.back()
                            : here[k] - at_ride[k]);
      l.change.push_back(std::move(row));
    }
    return l;
  }

  // The step that makes the largest |off + change * step| smallest, each part within its limits:
  // least squares with weights that grow where the residual is large (Lawson's way to the minimax).
  Place minimax_step(const Linear& l, const std::vector<std::array<double, 2>>& limits) const {
    const auto n = unknowns_.size(), rows = l.off.size();
    std::vector<double> weight(rows, 1.0 / static_cast<double>(rows));
    Place best(n, 0.0);
    double least = std::numeric_limits<double>::infinity();
    for (int round = 0; round < 60; ++round) {
      const Place step = weighted(l, weight, limits);
      double worst = 0.0, sum = 0.0;
      std::vector<double> off(rows);
      for (std::size_t i = 0; i < rows; ++i) {
        off[i] = l.off[i];
        for (std::size_t k = 0; k < n; ++k) off[i] += l.change[i][k] * step[k];
        worst = std::max(worst, std::fabs(off[i]));
      }
      if (worst < least) {
        least = worst;
        best = step;
      }
      for (std::size_t i = 0; i < rows; ++i) sum += weight[i] *= std::fabs(off[i]);
      if (!(sum > 1e-30)) break;
      for (auto& w : weight) w /= sum;
    }
    return best;
  }

  // Weighted least squares within limits: unknowns that leave them are fixed there, one by one.
  Place weighted(const Linear& l, const std::vector<double>& weight,
                 const std::vector<std::array<double, 2>>& limits) const {
    constexpr int most = static_cast<int>(most_unknowns);
    using Square = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, 0, most, most>;
    using Column = Eigen::Matrix<double, Eigen::Dynamic, 1, 0, most, 1>;
    const auto n = unknowns_.size();
    Place step(n, 0.0);
    std::vector<std::size_t> free(n);
    for (std::size_t k = 0; k < n; ++k) free[k] = k;
    while (!free.empty()) {
      const auto m = static_cast<Eigen::Index>(free.size());
      Square a = Square::Zero(m, m);
      Column b = Column::Zero(m);
      for (std::size_t i = 0; i < l.off.size(); ++i) {
        double off = l.off[i];
        Column row(m);
        for (std::size_t k = 0; k < n; ++k) off += l.change[i][k] * step[k];
        for (Eigen::Index k = 0; k < m; ++k) {
          row(k) = l.change[i][free[static_cast<std::size_t>(k)]];
          off -= row(k) * step[free[static_cast<std::size_t>(k)]];
        }
        a += weight[i] * row * row.transpose();
        b -= weight[i] * off * row;
      }
      // A direction that changes nothing stays where it is.
      a.diagonal().array() += 1e-9 * a.diagonal().maxCoeff() + 1e-300;
      const Column x = a.ldlt().solve(b);
      std::size_t farthest = 0;
      double most_out = 0.0;
      for (std::size_t k = 0; k < free.size(); ++k) {
        const auto j = free[k];
        step[j] = x(static_cast<Eigen::Index>(k));
        const double out = std::max(limits[j][0] - step[j], step[j] - limits[j][1]);
        if (out > most_out) {
          most_out = out;
          farthest = k;
        }
      }
      if (!(most_out > 1e-12)) break;
      const auto j = free[farthest];
      step[j] = std::clamp(step[j], limits[j][0], limits[j][1]);
      free.erase(free.begin() + static_cast<std::ptrdiff_t>(farthest));
    }
    for (std::size_t j = 0; j < n; ++j) step[j] = std::clamp(step[j], limits[j][0], limits[j][1]);
    return step;
  }

  Place minimax(Place place) const {
    double here = value(place), trust_mm = 20.0;
    for (int i = 0; i < most_steps && trust_mm > last_step_mm; ++i) {
      const auto l = linear_at(place);
      if (!l) return place;
      std::vector<std::array<double, 2>> limits;
      for (std::size_t k = 0; k < unknowns_.size(); ++k)
        limits.push_back({std::max(unknowns_[k].low - place[k], -trust_mm),
                          std::min(unknowns_[k].high - place[k], trust_mm)});
      const auto step = minimax_step(*l, limits);
      Place next = place;
      double longest = 0.0;
      for (std::size_t k = 0; k < step.size(); ++k) {
        next[k] = std::clamp(place[k] + step[k], unknowns_[k].low, unknowns_[k].high);
        longest = std::max(longest, std::fabs(step[k]));
      }
      const double there = value(next);
      if (there < here) {
        place = std::move(next);
        here = there;
        if (longest < last_step_mm) break;
      } else {
        trust_mm = 0.25 * std::min(trust_mm, longest);
      }
    }
    return place;
  }

  // Along each axis and both ways, by steps that halve when none helps.
  void halving(Place& place, double& here) const {
    for (int halvings = 2; halvings < 14; ++halvings) {  // 0.25 mm down to 1.2e-4 mm
      const double step = std::ldexp(1.0, -halvings);
      bool better = true;
      for (int round = 0; better && round < 20; ++round) {
        better = false;
        for (std::size_t k = 0; k < unknowns_.size(); ++k)
          for (const double by : {step, -step}) {
            Place next = place;
            next[k] = std::clamp(place[k] + by, unknowns_[k].low, unknowns_[k].high);
            if (const double v = value(next); v < here) {
              place = std::move(next);
              here = v;
              better = true;
            }
          }
      }
    }
  }

  const CornerBefore& before_;
  const Shelf& shelf_;
  Fit fit_;
  std::array<double, 2> window_mm_;
  std::vector<Unknown> unknowns_;
  std::vector<double> travels_;
};

}  // namespace

double toe_change_of(const CornerBefore& before, const Shelf& shelf, const Fit& fit,
                     const std::array<double, 2>& window_mm) {
  const auto f = fitted(before, moves_of(shelf, fit, before.side));
  if (!f.value) return std::numeric_limits<double>::infinity();
  const auto c = curve_over(before, *f.value, window_mm);
  return c.value ? c.value->toe_change_max_rad : std::numeric_limits<double>::infinity();
}

Fit optimised(const CornerBefore& before, const Shelf& shelf, const Fit& start,
              const std::array<double, 2>& window_mm) {
  return Search(before, shelf, start, window_mm).best();
}

}  // namespace trammel
