#include "correct/optimise.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <limits>

#include "base/check.h"

namespace trammel {
namespace {

constexpr int grid_per_axis = 5;         // coarse places a search starts from
constexpr std::size_t starts_tried = 3;  // the best of them
constexpr int most_steps = 25;           // minimax steps from each
constexpr int window_positions = 17;     // of the linearised problem
constexpr double last_step_mm = 1e-4;
constexpr double probe_mm =
    0.05;  // each way, for what is not derived: far above what Newton leaves

using Place = std::vector<double>;

// One for each axis of each made-to-measure choice, and for each side where they may differ.
struct Unknown {
  std::size_t choice;
  int axis;
  double low, high;
  std::vector<Side> sides;
};

class Search {
 public:
  Search(const SetJudge& judge, const Shelf& shelf, const Fit& start, bool by_side)
      : judge_(judge), shelf_(shelf), fit_(start), by_side_(by_side) {
    for (std::size_t i = 0; i < shelf.choices.size(); ++i)
      for (const int axis : shelf.choices[i].axes) {
        const auto& r = shelf.choices[i].range_mm[static_cast<std::size_t>(axis)];
        if (by_side) {
          for (const Side side : each_side) unknowns_.push_back({i, axis, r[0], r[1], {side}});
        } else {
          unknowns_.push_back({i, axis, r[0], r[1], {Side::left, Side::right}});
        }
      }
    const auto& window = judge.wanted().window_mm;
    for (int i = 0; i < window_positions; ++i)
      travels_.push_back(window[0] + (window[1] - window[0]) * i / (window_positions - 1));
    sides_ = by_side ? std::vector<Side>{Side::left, Side::right} : judge.own_sides();
  }

  std::size_t unknowns() const { return unknowns_.size(); }

  Fit best() {
    if (unknowns_.empty()) return fit_;
    check(unknowns_.size() <= most_axes_searched,
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
      for (const Side side : unknowns_[k].sides)
        fit.part[unknowns_[k].choice][side].by_mm[unknowns_[k].axis] = place[k];
    return fit;
  }
  double value(const Place& place) const { return judge_.merit(shelf_, fit_at(place)); }

  // A coarse grid over the ranges, with the start and the nearest place to no change.
  std::vector<Place> grid() const {
    std::vector<Place> places{{}};
    Place start, still;
    for (const auto& u : unknowns_) {
      const double at = fit_.part[u.choice][u.sides.front()].by_mm[u.axis];
      start.push_back(std::clamp(at, u.low, u.high));
      still.push_back(std::clamp(0.0, u.low, u.high));
      if (by_side_) continue;  // what serves both sides is start enough
      const int n = unknowns_.size() > 3 ? 3 : grid_per_axis;
      std::vector<Place> more;
      for (const auto& p : places)
        for (int i = 0; i < n; ++i) {
          more.push_back(p);
          more.back().push_back(u.low + (u.high - u.low) * i / (n - 1));
        }
      places = std::move(more);
    }
    if (by_side_) places.clear();
    places.push_back(std::move(start));
    if (!by_side_) places.push_back(std::move(still));
    return places;
  }

  // The share of each tolerance, signed, and its change with each unknown, the toe rod reset
  // meanwhile: toe change at the positions of the window by exact derivatives, roll centre and
  // camber where they are asked for by differences.
  struct Linear {
    std::vector<double> off;                  // by row
    std::vector<std::vector<double>> change;  // by row, unknown
    std::size_t toe_rows = 0;                 // the first of them
  };
  std::optional<Linear> linear_at(const Place& place) const {
    Linear l;
    for (const Side side : sides_)
      if (!add_toe(l, place, side)) return {};
    l.toe_rows = l.off.size();
    if (!add_at_ride(l, place)) return {};
    return l;
  }

  bool add_toe(Linear& l, const Place& place, Side side) const {
    const auto& before = judge_.corner(side);
    const auto f = fitted(before, moves_of(shelf_, fit_at(place), side));
    if (!f.value) return false;
    const auto positions = positions_over(*f.value, travels_);
    if (positions.empty()) return false;
    const auto& layout = before.axle->layout;
    const auto& m = f.value->mechanism;
    const double half = toe_change_tolerance(judge_.wanted()).half;
    std::vector<std::optional<Adjuster>> adjusters;
    for (const auto& u : unknowns_) {
      const bool here = std::find(u.sides.begin(), u.sides.end(), side) != u.sides.end();
      Vec3<double> along{};
      along[u.axis] = 1.0;
      adjusters.push_back(here ? std::optional(Adjuster{
                                     {}, JointShift{shelf_.choices[u.choice].option.joint, along}})
                               : std::nullopt);
    }
    const bool reset = before.setting.toe_rad.has_value();
    const auto toe_rates = [&](const Solution<double>& s, double& toe, double& of_rod) {
      const At<double> at(layout, m, s, before.ground);
      toe = read(Reading::toe, at);
      const auto rate = [&](const Adjuster& a) {
        return wheel_rates(at.spin, at.ground, motion_by(layout, m, s, a)).toe;
      };
      std::vector<double> rates;
      rates.reserve(adjusters.size());
      for (const auto& a : adjusters) rates.push_back(a ? rate(*a) : 0.0);
      if (reset) of_rod = rate({RodLength{before.axle->toe_adjuster->rod}, {}});
      return rates;
    };
    double toe0 = 0.0, rod0 = 1.0;
    const auto at_ride = toe_rates(f.value->at, toe0, rod0);
    for (const auto& s : positions) {
      double toe = 0.0, rod = 0.0;
      const auto here = toe_rates(s, toe, rod);
      l.off.push_back((toe - toe0) / half);
      std::vector<double> row;
      for (std::size_t k = 0; k < unknowns_.size(); ++k)
        row.push_back((reset ? here[k] - rod * at_ride[k] / rod0 : here[k] - at_ride[k]) / half);
      l.change.push_back(std::move(row));
    }
    return true;
  }

  // Roll centre and each wheel's camber at ride height, as shares; none where nothing is asked.
  std::optional<std::vector<double>> at_ride(const Place& place) const {
    const auto& wanted = judge_.wanted();
    std::vector<double> shares;
    double roll_centre_mm = 0.0;
    const auto fit = fit_at(place);
    for (const Side side : sides_) {
      const auto& before = judge_.corner(side);
      const auto f = fitted(before, moves_of(shelf_, fit, side));
      if (!f.value) return {};
      const At<double> at(before.axle->layout, f.value->mechanism, f.value->at, before.ground);
      roll_centre_mm += read(Reading::roll_centre_height, at) / static_cast<double>(sides_.size());
      if (wanted.camber_rad) {
        const auto t = camber_tolerance(wanted);
        shares.push_back((read(Reading::camber, at) - t.middle) / t.half);
      }
    }
    if (wanted.roll_centre_mm) {
      const auto t = roll_centre_tolerance(wanted);
      shares.push_back((roll_centre_mm - t.middle) / t.half);
    }
    return shares;
  }

  bool add_at_ride(Linear& l, const Place& place) const {
    if (!judge_.wanted().camber_rad && !judge_.wanted().roll_centre_mm) return true;
    const auto here = at_ride(place);
    if (!here) return false;
    std::vector<std::vector<double>> change(here->size());
    for (std::size_t k = 0; k < unknowns_.size(); ++k) {
      Place up = place, down = place;
      up[k] += probe_mm;
      down[k] -= probe_mm;
      const auto above = at_ride(up), below = at_ride(down);
      if (!above || !below) return false;
      for (std::size_t i = 0; i < here->size(); ++i)
        change[i].push_back(((*above)[i] - (*below)[i]) / (2.0 * probe_mm));
    }
    l.off.insert(l.off.end(), here->begin(), here->end());
    l.change.insert(l.change.end(), change.begin(), change.end());
    return true;
  }

  // The step that makes the largest |off + change * step| smallest, each part within its limits:
  // least squares with weights that grow where the residual is large (Lawson's way to the minimax).
  Place minimax_step(const Linear& l, std::size_t rows,
                     const std::vector<std::array<double, 2>>& limits) const {
    const auto n = unknowns_.size();
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
    constexpr int most = static_cast<int>(most_axes_searched);
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
      for (std::size_t i = 0; i < weight.size(); ++i) {
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
      // A roll centre or camber that no place changes would drown the toe: both with it and
      // without.
      Place next = place;
      double there = std::numeric_limits<double>::infinity(), longest = 0.0;
      std::vector<std::size_t> sets{l->off.size()};
      if (l->toe_rows < l->off.size()) sets.push_back(l->toe_rows);
      for (const std::size_t rows : sets) {
        const auto step = minimax_step(*l, rows, limits);
        Place to = place;
        double far = 0.0;
        for (std::size_t k = 0; k < step.size(); ++k) {
          to[k] = std::clamp(place[k] + step[k], unknowns_[k].low, unknowns_[k].high);
          far = std::max(far, std::fabs(step[k]));
        }
        longest = std::max(longest, far);
        if (const double v = value(to); v < there) {
          next = std::move(to);
          there = v;
        }
      }
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

  const SetJudge& judge_;
  const Shelf& shelf_;
  Fit fit_;
  bool by_side_;
  std::vector<Side> sides_;
  std::vector<Unknown> unknowns_;
  std::vector<double> travels_;
};

}  // namespace

Fit optimised(const SetJudge& judge, const Shelf& shelf, const Fit& start) {
  return Search(judge, shelf, start, false).best();
}

std::optional<Fit> optimised_by_side(const SetJudge& judge, const Shelf& shelf, const Fit& start) {
  Search search(judge, shelf, start, true);
  if (search.unknowns() == 0 || search.unknowns() > most_axes_searched) return {};
  return search.best();
}

}  // namespace trammel
