#include "prove/run_sums.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "base/check.h"
#include "base/statistics.h"
#include "travel/sensitivity.h"

namespace trammel {
namespace {

using Dense = Eigen::MatrixXd;
using Column = Eigen::VectorXd;

constexpr double same_place_mm = 0.5;

Eigen::Map<const Dense> view(const Matrix& m) { return {m.data.data(), m.rows, m.columns}; }
Eigen::Map<const Column> view(const std::vector<double>& v) {
  return {v.data(), static_cast<Eigen::Index>(v.size())};
}
Matrix kept(const Dense& d) {
  Matrix m(static_cast<int>(d.rows()), static_cast<int>(d.cols()));
  Eigen::Map<Dense>(m.data.data(), d.rows(), d.cols()) = d;
  return m;
}
std::vector<double> kept(const Column& c) { return {c.data(), c.data() + c.size()}; }

// How well an input of the model is known before the run; zero: exactly, or by the spread.
double sigma_of(const RunInput& input, const GaugeRun& run, double rack_sigma_mm) {
  switch (input.of) {
    case RunInput::Of::part:
      return input.sigma_mm;
    case RunInput::Of::toe_setting:
      return run.toe_sigma_rad;
    case RunInput::Of::camber_setting:
      return usual_set_toe_sigma_rad;
    case RunInput::Of::rack:
      return rack_sigma_mm;
    case RunInput::Of::number:
      break;
  }
  return 0.0;
}

std::vector<RunUnknown> unknowns_of(const GaugeRun& run, const RunModel& model,
                                    const Spread& spread, double rack_sigma_mm) {
  std::vector<RunUnknown> all;
  for (std::size_t i = 0; i < spread.numbers.size(); ++i)
    all.push_back({RunUnknown::Of::car, i, 0.0});
  for (std::size_t k = 0; k < model.inputs.size(); ++k)
    if (const double sigma = sigma_of(model.inputs[k], run, rack_sigma_mm); sigma > 0.0)
      all.push_back({RunUnknown::Of::input, k, sigma});
  if (run.zero_sigma_mm > 0.0) all.push_back({RunUnknown::Of::travel_zero, 0, run.zero_sigma_mm});
  if (run.drag_rad_per_mm > 0.0) all.push_back({RunUnknown::Of::drag, 0, run.drag_rad_per_mm});
  return all;
}

Matrix covariance_of(const Spread& spread, const std::vector<RunUnknown>& unknowns) {
  const int n = static_cast<int>(unknowns.size());
  const int of_car = static_cast<int>(spread.numbers.size());
  Matrix c(n, n);
  for (int i = 0; i < of_car; ++i)
    for (int j = 0; j < of_car; ++j) c(i, j) = spread.covariance(i, j);
  for (int i = of_car; i < n; ++i) {
    const double sigma = unknowns[static_cast<std::size_t>(i)].sigma;
    c(i, i) = sigma * sigma;
  }
  return c;
}

// Columns square to the free ones and to each other.
Dense without(const Matrix& free) {
  const Eigen::ColPivHouseholderQR<Dense> qr(view(free));
  const Dense q = qr.householderQ();
  return q.rightCols(q.cols() - qr.rank());
}

// Variances of the dials, by row.
Column noise_of(const RunSums& s) {
  Column n(s.per.rows);
  for (Eigen::Index r = 0; r < n.size(); ++r) {
    const double sigma = s.dial_of(static_cast<std::size_t>(r)).sigma_mm;
    n(r) = sigma * sigma;
  }
  return n;
}

// Of all rows, the free ones apart.
Dense row_covariance(const RunSums& s) {
  const Dense h = view(s.per);
  Dense v = h * view(s.covariance) * h.transpose();
  v.diagonal() += noise_of(s);
  return v;
}

// The free ones by generalised least squares: what each is of the rows, and their covariance.
struct Free {
  Dense of_rows, covariance;
};
Free best_of_free(const RunSums& s, const Dense& v) {
  const Dense a = view(s.free);
  const Dense weighed_a = v.ldlt().solve(a);
  const Dense covariance = (a.transpose() * weighed_a).inverse();
  return {covariance * weighed_a.transpose(), covariance};
}

// The same as a run is looked at: each zero is what the rows nearest to ride height read.
Dense taken_out(const GaugeRun& run, const RunSums& s, const Dense& v) {
  const auto dials = static_cast<Eigen::Index>(s.dials.size());
  double nearest = 1e9;
  for (const auto& row : run.rows) nearest = std::min(nearest, std::fabs(row.travel_mm));
  Dense out = Dense::Zero(s.free.columns, s.free.rows);
  for (Eigen::Index r = 0; r < out.cols(); ++r)
    if (std::fabs(run.rows[static_cast<std::size_t>(r / dials)].travel_mm) <
        nearest + same_place_mm)
      out(r % dials, r) = 1.0;
  for (Eigen::Index k = 0; k < dials; ++k) out.row(k) /= out.row(k).sum();
  if (s.both_ways) {
    out.row(dials) = best_of_free(s, v).of_rows.row(dials);
    for (Eigen::Index k = 0; k < dials; ++k)
      out.row(k) -= out.row(k).dot(view(s.free).col(dials)) * out.row(dials);
  }
  return out;
}

}  // namespace

double ShownByModel::mm(std::size_t at) const {
  return is_toe() ? row_.apart_mm * std::tan(model_.toe_rad[at]) : model_.shown[dial_].mm[at];
}
double ShownByModel::per_travel(std::size_t at) const {
  return is_toe() ? per_toe(at) * model_.slope[at] : model_.shown[dial_].slope[at];
}
double ShownByModel::per_toe(std::size_t at) const {
  const double tangent = std::tan(model_.toe_rad[at]);
  return row_.lever_mm * (1.0 + tangent * tangent);
}
const Matrix& ShownByModel::per_input() const {
  return is_toe() ? model_.per_input : model_.shown_per_input[dial_];
}
double ShownByModel::unit_mm(std::size_t at) const { return is_toe() ? per_toe(at) : 1.0; }

Matrix per_unknown(const RunModel& model, const Matrix& per_input, const Layout& layout, Side side,
                   const Spread& spread, const std::vector<RunUnknown>& unknowns) {
  const int places = per_input.rows;
  Matrix g(places, static_cast<int>(unknowns.size()));
  for (std::size_t u = 0; u < unknowns.size(); ++u) {
    std::size_t input = model.inputs.size();
    double sign = 1.0;
    if (unknowns[u].of == RunUnknown::Of::input) {
      input = unknowns[u].index;
    } else if (unknowns[u].of == RunUnknown::Of::car) {
      const auto n = number_of_corner(layout, side, spread.numbers[unknowns[u].index]);
      if (!n) continue;
      sign = n->sign;
      for (std::size_t k = 0; k < model.inputs.size(); ++k)
        if (model.inputs[k].of == RunInput::Of::number && model.inputs[k].number == n->number)
          input = k;
    }
    if (input == model.inputs.size()) continue;  // a spring's seat does not steer
    for (int i = 0; i < places; ++i)
      g(i, static_cast<int>(u)) = sign * per_input(i, static_cast<int>(input));
  }
  return g;
}

RunSums run_sums(const GaugeRun& run, const RunModel& model, const Layout& layout,
                 const Spread& spread, double rack_sigma_mm) {
  RunSums s;
  s.dials = dial_rows(run);
  const int dials = static_cast<int>(s.dials.size());
  const int n = static_cast<int>(run.rows.size()) * dials;
  s.unknowns = unknowns_of(run, model, spread, rack_sigma_mm);
  s.covariance = covariance_of(spread, s.unknowns);
  s.direction = directions(run);
  s.off_mm.resize(static_cast<std::size_t>(n));
  s.per = Matrix(n, static_cast<int>(s.unknowns.size()));
  s.both_ways = goes_both_ways(run);
  s.free = Matrix(n, s.both_ways ? dials + 1 : dials);
  for (std::size_t d = 0; d < s.dials.size(); ++d) {
    const auto& dial = s.dials[d];
    const ShownByModel shown(model, dial, d);
    const auto per = per_unknown(model, shown.per_input(), layout, run.side, spread, s.unknowns);
    for (std::size_t i = 0; i < run.rows.size(); ++i) {
      const auto& row = run.rows[i];
      const auto at = model.place(row.travel_mm);
      const int r = static_cast<int>(s.row(i, d));
      s.off_mm[s.row(i, d)] = read_mm(dial, row) - shown.mm(at);
      const double unit = shown.unit_mm(at), per_travel = shown.per_travel(at);
      for (std::size_t u = 0; u < s.unknowns.size(); ++u) {
        const auto of = s.unknowns[u].of;
        s.per(r, static_cast<int>(u)) = of == RunUnknown::Of::travel_zero ? per_travel
                                        : of == RunUnknown::Of::drag
                                            ? dial.lever_mm * row.travel_mm
                                            : unit * per(static_cast<int>(at), static_cast<int>(u));
      }
      s.free(r, static_cast<int>(d)) = 1.0;
      if (s.both_ways) s.free(r, dials) = 0.5 * dial.lever_mm * s.direction[i];
    }
  }
  const Dense v = row_covariance(s);
  const Dense z = without(s.free);
  const Dense weight = z * (z.transpose() * v * z).ldlt().solve(z.transpose());
  s.weight = kept(Dense(0.5 * (weight + weight.transpose())));
  s.degrees = static_cast<int>(z.cols());
  const Dense kept_of = Dense::Identity(n, n) - view(s.free) * taken_out(run, s, v);
  s.left_mm = kept(Column(kept_of * view(s.off_mm)));
  s.left_covariance = kept(Dense(kept_of * v * kept_of.transpose()));
  return s;
}

double weighed(const Matrix& weight, const std::vector<double>& a, const std::vector<double>& b) {
  return view(a).dot(view(weight) * view(b));
}

RunTest run_test(const RunSums& s) {
  RunTest t;
  t.chi_square = weighed(s.weight, s.off_mm, s.off_mm);
  t.degrees = s.degrees;
  if (s.degrees > 0) t.chance = chi_square_above(t.chi_square, s.degrees);
  return t;
}

double critical_chi_square(int degrees) {
  double low = 0.0, high = 10.0;
  while (chi_square_above(high, degrees) > false_alarm) high *= 2.0;
  while (high - low > 1e-9 * high) {
    const double middle = 0.5 * (low + high);
    (chi_square_above(middle, degrees) > false_alarm ? low : high) = middle;
  }
  return high;
}

std::optional<UpDown> up_against_down(const RunSums& s) {
  if (!s.both_ways) return {};
  const auto best = best_of_free(s, row_covariance(s));
  const Column found = best.of_rows * view(s.off_mm);
  const Eigen::Index last = s.free.columns - 1;
  return UpDown{found(last), std::sqrt(best.covariance(last, last))};
}

Updated updated(const RunSums& s) {
  const Dense h = view(s.per), p = view(s.covariance);
  const Dense gain = p * h.transpose() * view(s.weight);
  Updated u;
  u.by = kept(Column(gain * view(s.off_mm)));
  const Dense rest = Dense::Identity(p.rows(), p.cols()) - gain * h;
  Dense left = rest * p * rest.transpose();
  // In units of the first row's noise: where all rows are alike, nothing is rounded for it.
  const Column noise = noise_of(s);
  const Dense scaled = gain * (noise / noise(0)).asDiagonal();
  left += noise(0) * gain * scaled.transpose();
  u.covariance = kept(Dense(0.5 * (left + left.transpose())));
  return u;
}

}  // namespace trammel
