#include "correct/advice.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "base/check.h"
#include "travel/sensitivity.h"

namespace trammel {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr int cars_drawn = 192;  // for the chances once a reading is known
constexpr int outcomes = 240;    // that a reading may have, each of a car that may be the true one
constexpr double narrows_by = 0.98;  // of a figure
constexpr std::size_t pool = 20;     // candidates that may turn out best
constexpr std::uint64_t cars_seed = 31, noise_seed = 32, truth_seed = 33;
constexpr double unknown_zero_mm = 1e3;  // of a dial, a priori
constexpr double gain_step = 0.03;
// Where a made hole may turn out to belong, from where it is thought to belong today.
constexpr std::array<double, 10> hole_shifts_mm{-12, -8, -6, -4, -2, 2, 4, 6, 8, 12};

// A reading to come in the axes of the cars drawn: rows on standard normals, and the covariance of
// what else moves them (their own error among it).
struct ToCome {
  MatrixXd rows;   // by row, normal
  MatrixXd noise;  // by row, row
};

class Advisor {
 public:
  Advisor(const Ride& ride, const Spread& spread, AxleName axle, const Ranking* ranking,
          const Target& target)
      : ride_(ride), spread_(axle_spread(spread, axle)), axle_(axle) {
    const auto n = static_cast<Index>(spread_.numbers.size());
    factor_ = Eigen::Map<const MatrixXd>(spread_.factor.data.data(), n, n);
    for (const Side side : each_side)
      figures_.push_back(figure_slopes(spread, side, Reading::bump_steer));
    // The axle's is the mean of its sides'.
    figures_.push_back(0.5 * (figure_slopes(spread, Side::left, Reading::roll_centre_height) +
                              figure_slopes(spread, Side::right, Reading::roll_centre_height)));
    if (ranking && ranking->best() && !ranking->guessed) draw_cars(spread, *ranking, target);
  }

  BySide<double> wheel_sigma() const { return {figures_[0].norm(), figures_[1].norm()}; }
  double roll_centre_sigma() const { return figures_[2].norm(); }
  std::optional<double> chance_today() const { return chance_today_; }

  Advice judged(Action action, const ToCome& r) const {
    Advice a;
    a.action = std::move(action);
    const MatrixXd s = r.rows * r.rows.transpose() + r.noise;
    const Eigen::LLT<MatrixXd> llt(s);
    const auto left = [&](const VectorXd& g) {
      const VectorXd y = llt.matrixL().solve(r.rows * g);
      return std::sqrt(std::max(0.0, g.squaredNorm() - y.squaredNorm()));
    };
    a.bump_steer_sigma = std::max(left(figures_[0]), left(figures_[1]));
    a.roll_centre_sigma = left(figures_[2]);
    if (chance_today_) {
      // What narrows no figure does not move the choice.
      const bool narrows = std::any_of(figures_.begin(), figures_.end(), [&](const VectorXd& f) {
        return left(f) < narrows_by * f.norm();
      });
      // Knowing more never makes the best choice worse, whatever samples say.
      a.chance_after = narrows ? std::max(*chance_today_, expected_best(r, llt)) : *chance_today_;
      a.gain = *a.chance_after - *chance_today_;
    }
    return a;
  }

  // All actions' rows at once.
  std::vector<ToCome> to_come(const std::vector<Action>& actions) const {
    Survey survey;
    for (const auto& a : actions) {
      for (const auto& r : a.readings) survey.readings.push_back(r);
      for (const auto& g : a.gauges) survey.gauges.push_back(g);
    }
    survey.symmetry_none = true;
    const Car& car = ride_.car;
    const Network net(car, survey);
    std::vector<Row> rows;
    std::vector<RowSource> sources;
    auto out = net.nothing_left_out();
    std::vector<ToCome> all;
    const bool told = net.rows(net.start(), out, rows, &sources);
    check(told, "readings to come at positions that exist");
    // Where each number of the network stands among the drawn ones; the rest is noise.
    const auto n = static_cast<Index>(spread_.numbers.size());
    std::vector<int> drawn_as(net.unknowns().size(), -1);
    for (std::size_t u = 0; u < net.unknowns().size(); ++u)
      if (const auto& of = net.unknowns()[u].of_car)
        for (std::size_t i = 0; i < spread_.numbers.size(); ++i)
          if (spread_.numbers[i] == *of) drawn_as[u] = static_cast<int>(i);
    const auto collect = [&](const std::vector<std::size_t>& which) {
      const auto m = static_cast<Index>(which.size());
      ToCome t{MatrixXd::Zero(m, n), MatrixXd::Identity(m, m)};
      MatrixXd on_numbers = MatrixXd::Zero(m, n);
      std::vector<std::pair<int, VectorXd>> others;  // circumstances: unknown, change by row
      for (Index i = 0; i < m; ++i)
        for (const auto& s : rows[which[static_cast<std::size_t>(i)]].slopes) {
          const auto u = static_cast<std::size_t>(s.unknown);
          if (net.unknowns()[u].of_car) {
            if (drawn_as[u] >= 0) on_numbers(i, drawn_as[u]) += s.per;
            continue;
          }
          auto it = std::find_if(others.begin(), others.end(),
                                 [&](const auto& o) { return o.first == s.unknown; });
          if (it == others.end()) {
            others.emplace_back(s.unknown, VectorXd::Zero(m));
            it = others.end() - 1;
          }
          it->second(i) += s.per;
        }
      for (const auto& [unknown, change] : others) {
        const double sigma = net.has_prior(unknown) ? net.prior_sigma(unknown) : unknown_zero_mm;
        t.noise += sigma * sigma * change * change.transpose();
      }
      t.rows = on_numbers * factor_;
      return t;
    };
    int reading = 0, run = 0;
    for (const auto& a : actions) {
      std::vector<std::size_t> which;
      for (std::size_t i = 0; i < rows.size(); ++i) {
        const auto& s = sources[i];
        const bool mine = (s.of == RowSource::Of::reading && s.index >= reading &&
                           s.index < reading + static_cast<int>(a.readings.size())) ||
                          (s.of == RowSource::Of::gauge && s.index >= run &&
                           s.index < run + static_cast<int>(a.gauges.size()));
        if (mine) which.push_back(i);
      }
      all.push_back(collect(which));
      reading += static_cast<int>(a.readings.size());
      run += static_cast<int>(a.gauges.size());
    }
    return all;
  }

 private:
  // How a figure of the car as measured changes with the standard normals.
  VectorXd figure_slopes(const Spread& whole, Side side, Reading r) const {
    const auto& axle = *ride_.car.at(axle_);
    const auto slopes = reading_slopes(axle, whole, side, 0.0)[static_cast<std::size_t>(r)];
    VectorXd g = VectorXd::Zero(factor_.rows());
    for (const auto& s : slopes)
      for (std::size_t i = 0; i < spread_.numbers.size(); ++i)
        if (spread_.numbers[i] == whole.numbers[static_cast<std::size_t>(s.unknown)])
          g(static_cast<Index>(i)) += s.per;
    return factor_.transpose() * g;
  }

  // Candidates that may turn out best once more is known: the leaders, and a made hole shifted.
  static std::vector<Fit> candidates_of(const Ranking& ranking) {
    std::vector<Fit> fits;
    for (const auto& c : ranking.candidates)
      if (c.figures && !c.at_a_limit && fits.size() < pool) fits.push_back(c.fit);
    const auto leaders = std::min<std::size_t>(fits.size(), 2);
    for (std::size_t k = 0; k < leaders; ++k)
      for (std::size_t i = 0; i < ranking.shelf.choices.size(); ++i) {
        const auto& choice = ranking.shelf.choices[i];
        if (!choice.made_to_measure()) continue;
        const int axis = choice.axes.back();  // z where it may move
        const auto& range = choice.range_mm[static_cast<std::size_t>(axis)];
        for (const double by : hole_shifts_mm) {
          Fit fit = fits[k];
          bool within = true;
          for (const Side side : each_side) {
            auto& at = fit.part[i][side].by_mm[axis];
            at += by;
            within = within && at >= range[0] && at <= range[1];
          }
          if (within) fits.push_back(std::move(fit));
        }
      }
    return fits;
  }

  void draw_cars(const Spread& spread, const Ranking& ranking, const Target& target) {
    const auto fits = candidates_of(ranking);
    DrawnAxle cars(ride_, spread, axle_, target, cars_seed);
    const auto n = factor_.rows();
    const auto details = static_cast<Index>(cars.detail_count());
    VectorXd middle(details), half(details);
    const auto tolerances = cars.detail_tolerances();
    for (Index d = 0; d < details; ++d) {
      const auto& t = tolerances[static_cast<std::size_t>(d)];
      middle(d) = t.middle;
      half(d) = t.half;
    }
    normals_ = MatrixXd(n, cars_drawn);
    for (std::size_t c = 0; c < fits.size(); ++c) found_.emplace_back(cars_drawn, details);
    std::vector<Lanes> room;
    for (int done = 0; done < cars_drawn; done += static_cast<int>(lane_count)) {
      cars.draw(ranking.shelf.choices.size());
      for (std::size_t k = 0; k < lane_count; ++k)
        for (Index i = 0; i < n; ++i)
          normals_(i, done + static_cast<int>(k)) = cars.normals()[static_cast<std::size_t>(i)][k];
      for (std::size_t c = 0; c < fits.size(); ++c) {
        room.clear();
        cars.details(ranking.shelf, fits[c], room);
        for (std::size_t k = 0; k < lane_count; ++k)
          for (Index d = 0; d < details; ++d)
            found_[c](done + static_cast<int>(k), d) =
                (room[static_cast<std::size_t>(d)][k] - middle(d)) / half(d);
      }
    }
    find_changes(cars, ranking, fits, half);
    double best = 0.0;
    for (const auto& f : found_)
      best = std::max(best, chance_of(f, Eigen::RowVectorXd::Zero(details)));
    chance_today_ = best;
  }

  // How each detail changes with each normal: from one standard uncertainty below to one above.
  void find_changes(DrawnAxle& cars, const Ranking& ranking, const std::vector<Fit>& fits,
                    const VectorXd& half) {
    const auto n = factor_.rows();
    const auto details = static_cast<Index>(cars.detail_count());
    for (std::size_t c = 0; c < fits.size(); ++c) change_.emplace_back(details, n);
    std::vector<Lanes> room;
    for (Index i = 0; i < n; i += 2) {
      std::vector<Lanes> normals(static_cast<std::size_t>(n), Lanes(0.0));
      normals[static_cast<std::size_t>(i)] = Lanes::Vector{1.0, -1.0, 0.0, 0.0};
      if (i + 1 < n) normals[static_cast<std::size_t>(i + 1)] = Lanes::Vector{0.0, 0.0, 1.0, -1.0};
      cars.place(std::move(normals), ranking.shelf.choices.size());
      for (std::size_t c = 0; c < fits.size(); ++c) {
        room.clear();
        cars.details(ranking.shelf, fits[c], room);
        for (Index d = 0; d < details; ++d) {
          const auto& at = room[static_cast<std::size_t>(d)];
          change_[c](d, i) = 0.5 * (at[0] - at[1]) / half(d);
          if (i + 1 < n) change_[c](d, i + 1) = 0.5 * (at[2] - at[3]) / half(d);
        }
      }
    }
  }

  // The share of the cars whose every detail, shifted, stays within its tolerance.
  static double chance_of(const MatrixXd& details, const Eigen::RowVectorXd& shift) {
    Eigen::ArrayXd worst = Eigen::ArrayXd::Zero(details.rows());
    for (Index d = 0; d < details.cols(); ++d)
      worst = worst.max((details.col(d).array() + shift(d)).abs());
    return static_cast<double>((worst <= 1.0).count()) / static_cast<double>(details.rows());
  }

  // Each drawn car, were the reading known: its figures less what the reading explains, plus what
  // the reading says (conditional samples of a normal: exact where figures change in proportion).
  double expected_best(const ToCome& r, const Eigen::LLT<MatrixXd>& llt) const {
    const auto m = r.rows.rows();
    Sampler sampler(noise_seed);
    const auto normal = [&](Index rows, Index columns) {
      MatrixXd x(rows, columns);
      for (Index j = 0; j < columns; ++j)
        for (Index i = 0; i < rows; ++i) x(i, j) = sampler.normal();
      return x;
    };
    const Eigen::LLT<MatrixXd> noise(r.noise);
    const MatrixXd read = r.rows * normals_ + noise.matrixL() * normal(m, cars_drawn);
    // The true car is one of the same for every reading, so that readings compare fairly.
    Sampler truth(truth_seed);
    MatrixXd true_normals(normals_.rows(), outcomes);
    for (Index j = 0; j < outcomes; ++j)
      for (Index i = 0; i < normals_.rows(); ++i) true_normals(i, j) = truth.normal();
    const MatrixXd may_come = r.rows * true_normals + noise.matrixL() * normal(m, outcomes);
    VectorXd best = VectorXd::Zero(outcomes);
    for (std::size_t c = 0; c < found_.size(); ++c) {
      const MatrixXd gain = llt.solve(r.rows * change_[c].transpose());
      const MatrixXd left = found_[c] - read.transpose() * gain;
      const MatrixXd says = may_come.transpose() * gain;
      for (Index j = 0; j < outcomes; ++j)
        best(j) = std::max(best(j), chance_of(left, says.row(j)));
    }
    return best.mean();
  }

  const Ride& ride_;
  AxleSpread spread_;
  AxleName axle_;
  MatrixXd factor_;
  std::vector<VectorXd> figures_;  // bump steer left and right, the axle's roll centre
  MatrixXd normals_;               // by number, drawn car
  // By candidate, in shares of the tolerance: details of every drawn car, and their change with
  // every number.
  std::vector<MatrixXd> found_, change_;
  std::optional<double> chance_today_;
};

}  // namespace

Advices what_next(const Ride& ride, const Spread& spread, AxleName axle, const Ranking* ranking,
                  const Target& target, NarrowWhat what) {
  Advices advices;
  advices.axle = axle;
  const bool any = std::any_of(spread.numbers.begin(), spread.numbers.end(),
                               [&](const CarNumber& n) { return n.axle == axle; });
  if (!any) return advices;
  const Advisor advisor(ride, spread, axle, ranking, target);
  advices.guessed = joints_are_guesses(ride.car.at(axle)->layout, spread);
  advices.chance_today = advisor.chance_today();
  advices.wheel_sigma = advisor.wheel_sigma();
  advices.bump_steer_sigma = std::max(advices.wheel_sigma.left, advices.wheel_sigma.right);
  advices.roll_centre_sigma = advisor.roll_centre_sigma();
  auto actions = possible_actions(ride.car, spread, axle);
  const auto to_come = advisor.to_come(actions);
  for (std::size_t i = 0; i < actions.size(); ++i)
    advices.best.push_back(advisor.judged(std::move(actions[i]), to_come[i]));
  // Both sides are worth at least either of them, whatever samples say.
  for (auto& both : advices.best) {
    if (!both.action.both_sides || !both.chance_after) continue;
    for (const auto& one : advices.best)
      if (one.chance_after && one.action.what_of == both.action.what_of &&
          *one.chance_after > *both.chance_after) {
        both.chance_after = one.chance_after;
        both.gain = one.gain;
      }
  }
  const bool by_chance = what == NarrowWhat::chance && advices.chance_today.has_value();
  std::stable_sort(advices.best.begin(), advices.best.end(), [&](const Advice& a, const Advice& b) {
    if (what == NarrowWhat::roll_centre) return a.roll_centre_sigma < b.roll_centre_sigma;
    if (by_chance) {
      // Gains that samples cannot tell apart go by the work they are.
      const auto step = [](double gain) { return std::lround(gain / gain_step); };
      if (step(a.gain) != step(b.gain)) return a.gain > b.gain;
      if (effort(a.action) != effort(b.action)) return effort(a.action) < effort(b.action);
    }
    return a.bump_steer_sigma < b.bump_steer_sigma;
  });
  return advices;
}

}  // namespace trammel
