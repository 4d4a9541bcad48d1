#include "prove/judge.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/check.h"
#include "base/statistics.h"
#include "correct/rank.h"
#include "measure/gauge_progress.h"
#include "prove/reasons.h"
#include "travel/band.h"

namespace trammel {
namespace {

constexpr double run_step_mm = 10.5;  // a usual step of the jack, half an inch nearly

constexpr double window_every_mm = 2.5;
constexpr int window_samples = 4000;
constexpr std::uint64_t window_seed = 11;
constexpr int most_updates = 4;
constexpr double settled_share = 1e-3;  // of an unknown's uncertainty

std::vector<double> window_travels(const std::array<double, 2>& window) {
  std::vector<double> travels{0.0};
  for (const double end : window) {
    const int n = static_cast<int>(std::ceil(std::fabs(end) / window_every_mm));
    for (int i = 1; i <= n; ++i) travels.push_back(end * i / n);
  }
  std::sort(travels.begin(), travels.end());
  return travels;
}

Matrix columns_less(const Matrix& g, std::size_t zero) {
  Matrix m(g.rows, g.columns);
  for (int j = 0; j < g.columns; ++j)
    for (int i = 0; i < g.rows; ++i) m(i, j) = g(i, j) - g(static_cast<int>(zero), j);
  return m;
}

// G C G', both dense.
Matrix spread_through(const Matrix& g, const Matrix& c) {
  std::vector<Slopes> rows(static_cast<std::size_t>(g.rows));
  for (int i = 0; i < g.rows; ++i)
    for (int j = 0; j < g.columns; ++j)
      if (g(i, j) != 0.0) rows[static_cast<std::size_t>(i)].push_back({j, g(i, j)});
  return propagated(rows, c);
}

double sigma_at(const Matrix& covariance, std::size_t i) {
  const int k = static_cast<int>(i);
  return std::sqrt(std::max(0.0, covariance(k, k)));
}

// One run: put up, predicted, tested; and taken in.
class Run {
 public:
  Run(const Adjusted& known, const Survey& survey, const Wishes& wishes, const GaugeRun& run)
      : known_(known),
        survey_(survey),
        wishes_(wishes),
        run_(run),
        layout_(known.car.at(run.axle)->layout),
        wanted_(wanted_of(wishes.target[static_cast<std::size_t>(run.axle)])) {
    p_.name = run.name;
    p_.axle = run.axle;
    p_.side = run.side;
    p_.line = run.line;
    p_.with = *run.with;
    travels_ = window_travels(wanted_.window_mm);
    double low = 0.0, high = 0.0;
    for (const auto& row : run.rows) {
      travels_.push_back(row.travel_mm);
      low = std::min(low, row.travel_mm);
      high = std::max(high, row.travel_mm);
    }
    p_.covers =
        low <= wanted_.window_mm[0] + run_step_mm && high >= wanted_.window_mm[1] - run_step_mm;
  }

  RunProof judged() {
    auto stands = ride(known_.car, nullptr);
    if (!stands.value) return no({stands.why});
    ride_ = std::move(*stands.value);
    as_ = run_set_up(ride_, wishes_, survey_, run_, p_.with);
    auto model = run_model(ride_, as_, travels_);
    if (!model.value) return no(model.why);
    const auto sums = sums_of(*model.value, known_.spread);
    p_.only_dials = known_.spread.empty();
    p_.test = run_test(sums);
    if (model.value->roll_centre_mm)
      p_.toe_test = run_test(run_sums(by_two_dials(), *model.value, layout_, known_.spread,
                                      survey_.rack_mm.sigma.value_or(0.0)));
    p_.play = up_against_down(sums);
    p_.loose = p_.play && std::fabs(p_.play->rad) > std::max(loose_rad, 3.0 * p_.play->sigma_rad);
    p_.shape = curve_fit(run_);
    rows(sums, *model.value);
    if (!p_.holds()) {
      p_.causes = causes_of(ride_, as_, run_, *model.value, sums);
      return std::move(p_);
    }
    take_in(std::move(*model.value), sums);
    const bool sure = p_.window && p_.window->chance >= sure_enough && p_.covers;
    p_.verdict = p_.loose ? Verdict::wrong : sure ? Verdict::passed : Verdict::not_yet;
    return std::move(p_);
  }

  // Of a run that holds: the car moved and what is left uncertain of it.
  Car sharper_car;
  Spread sharper_spread;

 private:
  RunProof no(NoRun why) {
    p_.why = std::move(why);
    p_.verdict = Verdict::not_judged;
    return std::move(p_);
  }

  RunSums sums_of(const RunModel& model, const Spread& spread) const {
    return run_sums(run_, model, layout_, spread, survey_.rack_mm.sigma.value_or(0.0));
  }

  GaugeRun by_two_dials() const {
    GaugeRun run = run_;
    run.drop_mm.reset();
    run.places.reset();
    return run;
  }

  Matrix per_unknown_of(const RunModel& model, const Matrix& per_input, const RunSums& sums) const {
    return per_unknown(model, per_input, layout_, run_.side, known_.spread, sums.unknowns);
  }

  bool of_the_run(double travel) const {
    return std::any_of(run_.rows.begin(), run_.rows.end(),
                       [&](const GaugeRow& row) { return row.travel_mm == travel; });
  }

  // An angle over the travel: `shares` of each dial row make it, `per_rad` mm of them are one of
  // it; `per_input` is how it changes with the model's inputs.
  void angle_rows(const RunSums& sums, const RunModel& model, const std::vector<double>& angle_rad,
                  const Matrix& per_input, const std::vector<double>& shares, double per_rad,
                  std::vector<RunRow>& rows, std::vector<AngleAt>& predicted) const {
    const auto zero = model.place(0.0);
    const auto at_zero = angle_rad[zero];
    const std::size_t dials = shares.size();
    for (std::size_t i = 0; i < run_.rows.size(); ++i) {
      RunRow r;
      r.travel_mm = run_.rows[i].travel_mm;
      r.predicted_rad = angle_rad[model.place(r.travel_mm)] - at_zero;
      double left = 0.0, variance = 0.0;
      for (std::size_t d = 0; d < dials; ++d) {
        left += shares[d] * sums.left_mm[sums.row(i, d)];
        for (std::size_t e = 0; e < dials; ++e)
          variance += shares[d] * shares[e] *
                      sums.left_covariance(static_cast<int>(sums.row(i, d)),
                                           static_cast<int>(sums.row(i, e)));
      }
      const double off = left / per_rad;
      r.read_rad = r.predicted_rad + off;
      r.sigma_rad = std::sqrt(std::max(0.0, variance)) / std::fabs(per_rad);
      r.off_sigmas = r.sigma_rad > 0.0 ? off / r.sigma_rad : 0.0;
      rows.push_back(r);
    }
    const auto change = columns_less(per_unknown_of(model, per_input, sums), zero);
    const auto covariance = spread_through(change, sums.covariance);
    for (std::size_t i = 0; i < model.travel_mm.size(); ++i)
      if (const double travel = model.travel_mm[i]; of_the_run(travel))
        predicted.push_back({travel, angle_rad[i] - at_zero, sigma_at(covariance, i)});
  }

  void rows(const RunSums& sums, const RunModel& model) {
    const double tangent = std::tan(model.toe_rad[model.place(0.0)]);
    angle_rows(sums, model, model.toe_rad, model.per_input, made_of(sums.dials, toe_dials),
               run_.base_mm * (1.0 + tangent * tangent), p_.rows, p_.predicted);
    if (model.roll_centre_mm)
      p_.roll_centre = RollCentreKnown{
          *model.roll_centre_mm, roll_centre_sigma(model, sums, sums.covariance), {}, {}};
    const auto shares = made_of(sums.dials, lean_dials);
    if (!shares.empty()) camber_rows(sums, model, shares);
  }

  // The dials see the slope of the plate, which is minus the tangent of camber over the cosine of
  // toe. How camber hangs on toe is left out of its changes: a millionth of it.
  void camber_rows(const RunSums& sums, const RunModel& model, const std::vector<double>& shares) {
    std::vector<double> camber;
    Matrix per_input(model.per_input.rows, model.per_input.columns);
    const auto zero = model.place(0.0);
    double rad_per_mm = 0.0;
    for (std::size_t i = 0; i < model.travel_mm.size(); ++i) {
      double plate = 0.0;
      for (std::size_t d = 0; d < shares.size(); ++d)
        if (shares[d] != 0.0) plate += shares[d] * model.shown[d].mm[i];
      const double flat = std::cos(model.toe_rad[i]) / *run_.drop_mm;
      camber.push_back(-std::atan(plate * flat));
      const double per_mm = -flat / (1.0 + plate * flat * plate * flat);
      if (i == zero) rad_per_mm = per_mm;
      const int r = static_cast<int>(i);
      for (std::size_t d = 0; d < shares.size(); ++d)
        for (int k = 0; k < per_input.columns && shares[d] != 0.0; ++k)
          per_input(r, k) += per_mm * shares[d] * model.shown_per_input[d](r, k);
    }
    angle_rows(sums, model, camber, per_input, shares, 1.0 / rad_per_mm, p_.camber_rows,
               p_.camber_predicted);
  }

  double roll_centre_sigma(const RunModel& model, const RunSums& sums,
                           const Matrix& covariance) const {
    return sigma_at(
        spread_through(per_unknown_of(model, model.roll_centre_per_input, sums), covariance), 0);
  }

  // Gauss-Newton about the best place so far: every step starts from what was known before the run.
  void take_in(RunModel model, const RunSums& before) {
    Updated u = updated(before);
    auto sums = before;
    std::vector<double> at(u.by.size(), 0.0);
    for (int step = 0; step < most_updates; ++step) {
      double farthest = 0.0;
      for (std::size_t k = 0; k < at.size(); ++k)
        if (const double sigma = sigma_at(before.covariance, k); sigma > 0.0)
          farthest = std::max(farthest, std::fabs(u.by[k] - at[k]) / sigma);
      if (farthest < settled_share) break;
      at = u.by;
      if (!relinearised(at, model, sums)) break;
      u = updated(sums);
    }
    sharper_car = car_at(u.by);
    sharper_spread = known_.spread;
    const int n = static_cast<int>(sharper_spread.numbers.size());
    for (int i = 0; i < n; ++i)
      for (int j = 0; j < n; ++j) sharper_spread.covariance(i, j) = u.covariance(i, j);
    look_through_window(model, sums, u);
  }

  Car car_at(const std::vector<double>& by) const {
    const auto& numbers = known_.spread.numbers;
    return moved_by(known_.car, numbers,
                    {by.begin(), by.begin() + static_cast<std::ptrdiff_t>(numbers.size())});
  }

  // The set-up with its circumstances moved.
  RunSetUp set_up_at(const RunSums& sums, const RunModel& model,
                     const std::vector<double>& by) const {
    RunSetUp as = as_;
    as.part_off_mm.assign(as.shelf.choices.size(), {});
    for (std::size_t k = 0; k < by.size(); ++k) {
      if (sums.unknowns[k].of != RunUnknown::Of::input) continue;
      const auto& input = model.inputs[sums.unknowns[k].index];
      if (input.of == RunInput::Of::part)
        as.part_off_mm[input.choice] = as.part_off_mm[input.choice] + by[k] * input.along;
      if (input.of == RunInput::Of::toe_setting) *as.setting.toe_rad += by[k];
      if (input.of == RunInput::Of::camber_setting) *as.setting.camber_rad += by[k];
      if (input.of == RunInput::Of::rack) as.rack_mm += by[k];
    }
    return as;
  }

  // The model and its sums about a place: false where the car has no position there.
  bool relinearised(const std::vector<double>& at, RunModel& model, RunSums& sums) const {
    const auto stands = ride(car_at(at), nullptr);
    if (!stands.value) return false;
    auto moved = run_model(*stands.value, set_up_at(sums, model, at), travels_);
    if (!moved.value || moved.value->inputs.size() != model.inputs.size()) return false;
    auto there = sums_of(*moved.value, known_.spread);
    // What the rows would be off with everything back where it was, by this linearisation: the
    // zero of travel and the backlash are not in the model itself.
    for (std::size_t i = 0; i < there.off_mm.size(); ++i)
      for (std::size_t k = 0; k < at.size(); ++k)
        if (there.unknowns[k].of == RunUnknown::Of::car ||
            there.unknowns[k].of == RunUnknown::Of::input)
          there.off_mm[i] += there.per(static_cast<int>(i), static_cast<int>(k)) * at[k];
    model = std::move(*moved.value);
    sums = std::move(there);
    return true;
  }

  void look_through_window(const RunModel& about, const RunSums& sums, const Updated& u) {
    const auto stands = ride(sharper_car, nullptr);
    if (!stands.value) return;
    const auto travels = window_travels(wanted_.window_mm);
    const auto as = set_up_at(sums, about, u.by);
    const auto curve = run_curve(*stands.value, as, travels);
    if (!curve.value) return;
    const auto zero_at = std::find(travels.begin(), travels.end(), 0.0) - travels.begin();
    const auto zero = static_cast<std::size_t>(zero_at);
    const auto all = columns_less(per_unknown_of(about, about.per_input, sums), about.place(0.0));
    Matrix change(static_cast<int>(travels.size()), all.columns);
    for (std::size_t i = 0; i < travels.size(); ++i)
      for (int j = 0; j < all.columns; ++j)
        change(static_cast<int>(i), j) = all(static_cast<int>(about.place(travels[i])), j);
    const auto covariance = spread_through(change, u.covariance);
    WindowKnown w;
    w.wanted_rad = wanted_.toe_change_rad;
    w.wanted_is_usual = wanted_.toe_change_is_usual;
    for (std::size_t i = 0; i < travels.size(); ++i) {
      w.curve.push_back({travels[i], curve.value->toe_rad[i] - curve.value->toe_rad[zero],
                         sigma_at(covariance, i)});
      w.change_max_rad = std::max(w.change_max_rad, std::fabs(w.curve.back().rad));
    }
    w.slope = curve.value->slope[zero];
    slope_sigma(covariance, travels, zero, w);
    chances(covariance, w);
    p_.window = std::move(w);
    if (p_.roll_centre) {
      p_.roll_centre->mm = curve.value->roll_centre_mm;
      p_.roll_centre->sigma_mm = roll_centre_sigma(about, sums, u.covariance);
    }
  }

  // Of the slope at ride height, from the travels on both sides of it.
  static void slope_sigma(const Matrix& c, const std::vector<double>& travels, std::size_t zero,
                          WindowKnown& w) {
    const int low = static_cast<int>(zero > 0 ? zero - 1 : zero);
    const int high = static_cast<int>(std::min(zero + 1, travels.size() - 1));
    const double over =
        travels[static_cast<std::size_t>(high)] - travels[static_cast<std::size_t>(low)];
    if (over > 0.0)
      w.slope_sigma =
          std::sqrt(std::max(0.0, c(high, high) + c(low, low) - 2.0 * c(high, low))) / over;
  }

  static void chances(const Matrix& covariance, WindowKnown& w) {
    const auto factor = factor_of(covariance);
    Sampler sampler(window_seed);
    std::vector<double> most, normals(w.curve.size());
    int within = 0;
    for (int k = 0; k < window_samples; ++k) {
      for (auto& n : normals) n = sampler.normal();
      double largest = 0.0;
      for (std::size_t i = 0; i < w.curve.size(); ++i) {
        double toe = w.curve[i].rad;
        for (std::size_t j = 0; j < normals.size(); ++j)
          toe += factor(static_cast<int>(i), static_cast<int>(j)) * normals[j];
        largest = std::max(largest, std::fabs(toe));
      }
      within += largest <= w.wanted_rad ? 1 : 0;
      most.push_back(largest);
    }
    w.chance = static_cast<double>(within) / window_samples;
    w.low_rad = quantile(most, band_shares.front());
    w.high_rad = quantile(most, band_shares.back());
  }

  const Adjusted& known_;
  const Survey& survey_;
  const Wishes& wishes_;
  const GaugeRun& run_;
  const Layout& layout_;
  Wanted wanted_;
  std::vector<double> travels_;
  Ride ride_;
  RunSetUp as_;
  RunProof p_;
};

void take_in(Adjusted& adjusted, const RunProof& p, Run& run) {
  if (p.why) {
    adjusted.remarks.push_back(fmt::format(
        "Gauge run '{}' with the parts fitted cannot be judged, and nothing is taken from it: {}.",
        p.name, words(*p.why, Units::metric)));
    return;
  }
  if (!p.holds()) {
    adjusted.remarks.push_back(
        fmt::format("Gauge run '{}' with the parts fitted does not fit what was predicted and is "
                    "left out: see the step prove.",
                    p.name));
    return;
  }
  GaugeResult g;
  g.name = p.name;
  g.axle = p.axle;
  g.side = p.side;
  g.with_parts = true;
  g.rows = static_cast<int>(p.rows.size());
  for (const auto* rows : {&p.rows, &p.camber_rows})
    for (const auto& row : *rows)
      g.largest_normalised = std::max(g.largest_normalised, std::fabs(row.off_sigmas));
  if (p.play) {
    g.hysteresis_rad = p.play->rad;
    g.hysteresis_sigma_rad = p.play->sigma_rad;
  }
  adjusted.gauges.push_back(std::move(g));
  adjusted.taken += p.rows.size();
  if (adjusted.spread.empty()) return;
  adjusted.car = std::move(run.sharper_car);
  adjusted.spread = std::move(run.sharper_spread);
  adjusted.points = points_of(adjusted.car, adjusted.spread);
}

}  // namespace

std::string_view word(Verdict verdict) {
  switch (verdict) {
    case Verdict::passed:
      return "passed";
    case Verdict::not_yet:
      return "not yet";
    case Verdict::not_judged:
      return "not judged";
    case Verdict::wrong:
      break;
  }
  return "wrong";
}

RunSetUp run_set_up(const Ride& ride, const Wishes& wishes, const Survey& survey,
                    const GaugeRun& run, const std::vector<Chosen>& chosen) {
  const auto& target = wishes.target[static_cast<std::size_t>(run.axle)];
  const auto left = corner_before(ride, run.axle, Side::left, target);
  const auto right = corner_before(ride, run.axle, Side::right, target);
  RunSetUp as;
  as.axle = run.axle;
  as.side = run.side;
  as.shelf = shelf_for(wishes.options, left, right);
  as.fit = fit_of(as.shelf, chosen);
  const auto& axle = *ride.car.at(run.axle);
  as.setting = run_setting(axle, run.side == Side::left ? left : right, run.toe_rad);
  as.dials = dial_rows(run);
  // The run is made with the rack at its centre, wherever it stood when the joints were read.
  if (axle.layout.steered())
    as.rack_mm = (run.side == Side::left ? -1.0 : 1.0) * survey.rack_mm.value;
  return as;
}

RunsJudged judge_runs(Adjusted surveyed, const Survey& survey, const Wishes& wishes) {
  RunsJudged judged;
  judged.adjusted = std::move(surveyed);
  for (const auto& run : survey.after) {
    if (run.set_aside) continue;
    Run one(judged.adjusted, survey, wishes, run);
    judged.runs.push_back(one.judged());
    take_in(judged.adjusted, judged.runs.back(), one);
  }
  return judged;
}

ExpectedRun expected_run(const Ride& ride, const Spread& spread, const Survey& survey,
                         const RunSetUp& as) {
  ExpectedRun e;
  e.axle = as.axle;
  e.side = as.side;
  GaugeRun run;
  run.axle = as.axle;
  run.side = as.side;
  run.base_mm = usual_base_mm;
  run.sigma_mm = usual_dial_sigma_mm;
  run.drag_rad_per_mm = usual_drag_rad_per_mm;
  std::vector<double> travels = gauge_travels(gauge_end_mm, gauge_end_mm);
  for (const double travel : travels) run.rows.push_back({travel, 0.0, 0.0, {}});
  RunSetUp put_up = as;
  put_up.dials = dial_rows(run);
  auto answer = run_model(ride, put_up, travels);
  if (!answer.value) {
    e.why = answer.why;
    return e;
  }
  const auto& model = *answer.value;
  const auto& layout = ride.car.at(as.axle)->layout;
  const auto sums = run_sums(run, model, layout, spread, survey.rack_mm.sigma.value_or(0.0));
  const auto zero = model.place(0.0);
  for (std::size_t i = 0; i < run.rows.size(); ++i) {
    const auto at = model.place(run.rows[i].travel_mm);
    const auto same = [&](const AngleAt& t) { return t.travel_mm == run.rows[i].travel_mm; };
    if (std::any_of(e.predicted.begin(), e.predicted.end(), same)) continue;
    e.predicted.push_back({run.rows[i].travel_mm, model.toe_rad[at] - model.toe_rad[zero],
                           sigma_at(sums.left_covariance, i) / run.base_mm});
  }
  std::sort(e.predicted.begin(), e.predicted.end(),
            [](const AngleAt& a, const AngleAt& b) { return a.travel_mm < b.travel_mm; });
  e.slope = model.slope[zero];
  std::vector<double> tilted;
  for (const auto& row : run.rows) tilted.push_back(run.base_mm * row.travel_mm);
  e.fails_slope =
      std::sqrt(critical_chi_square(sums.degrees) / weighed(sums.weight, tilted, tilted));
  return e;
}

}  // namespace trammel
