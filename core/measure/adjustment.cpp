#include "measure/adjustment.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <set>

#include "base/least_squares.h"
#include "base/statistics.h"
#include "base/words.h"
#include "measure/gauge_walk.h"
#include "measure/network.h"
#include "measure/slips.h"
#include "measure/suspects.h"
#include "travel/sensitivity.h"

namespace trammel {
namespace {

constexpr double sides_differ = 2.5;  // of the tie between them (common practice)
// Readings make a stated ± needless once they alone give a coordinate about as well.
constexpr double fixed_by_readings = 3.0;
constexpr int most_grossest = 3;
constexpr double grossly_off_mm = 150.0;  // from where the file has the joints
constexpr double hopeless_chance = 1e-6;  // of chi-square: look for another minimum
constexpr double moved_far_mm = 100.0;    // from the file's start
constexpr std::size_t most_suspects = 4;  // more: something else is wrong
constexpr int other_starts = 6;
constexpr double other_start_mm = 60.0;

class Adjustment {
 public:
  Adjustment(const Car& car, const Survey& survey)
      : car_(car), survey_(survey), net_(car, survey), out_(net_.nothing_left_out()) {}

  Answer<Adjusted> adjusted() {
    a_.remarks = survey_.remarks;
    drop_needless_priors();
    if (auto why = settle_without_the_grossest(); !why.empty()) return {{}, std::move(why)};
    if (auto why = look_for_suspects(); !why.empty()) return {{}, std::move(why)};
    if (looks_false()) {
      // Begin again with every reading, from other starts.
      if (auto why = look_elsewhere(); !why.empty()) return {{}, std::move(why)};
      if (auto why = look_for_suspects(); !why.empty()) return {{}, std::move(why)};
    }
    report();
    return {std::move(a_), {}};
  }

 private:
  int unknowns() const { return static_cast<int>(net_.unknowns().size()); }

  // A coordinate's own ± counts only where its readings do not fix it.
  void drop_needless_priors() {
    LeftOut without = out_;
    bool any = false;
    for (int i = 0; i < unknowns(); ++i)
      if (net_.has_prior(i) && net_.unknowns()[static_cast<std::size_t>(i)].of_car)
        any = without.prior[static_cast<std::size_t>(i)] = true;
    if (!any || survey_.empty()) return;
    std::vector<Row> rows;
    if (!net_.rows(net_.start(), without, rows)) return;
    const auto h = held(rows, unknowns());
    std::vector<bool> free(static_cast<std::size_t>(unknowns()), false);
    for (const auto& direction : h.free)
      for (const auto& s : direction) free[static_cast<std::size_t>(s.unknown)] = true;
    std::set<std::string> by_prior;
    for (int i = 0; i < unknowns(); ++i) {
      const auto k = static_cast<std::size_t>(i);
      if (!without.prior[k]) continue;
      const double by_readings = std::sqrt(std::max(0.0, h.covariance(i, i)));
      if (!free[k] && by_readings < fixed_by_readings * net_.prior_sigma(i)) out_.prior[k] = true;
      else if (free[k]) by_prior.insert(point_of(i));
    }
    a_.only_by_prior.assign(by_prior.begin(), by_prior.end());
  }

  std::string point_of(int unknown) const {
    const auto& u = net_.unknowns()[static_cast<std::size_t>(unknown)];
    return u.of_car && u.of_car->of == CarNumber::Of::coordinate
               ? u.label.substr(0, u.label.rfind(' '))
               : u.label;
  }

  std::string settle(const std::vector<std::vector<double>>& starts, bool* other_place = nullptr) {
    auto fit = fit_survey(net_, out_, starts, other_place);
    if (!fit.value) return fit.why;
    fit_ = std::move(*fit.value);
    return {};
  }

  // A value that is off by half a metre can tear the joints apart before it shows as a misreading:
  // then the one farthest from the file's own joints is left out first.
  std::string settle_without_the_grossest() {
    auto why = settle({net_.start()});
    for (int i = 0; i < most_grossest && !why.empty(); ++i) {
      std::vector<Row> rows;
      std::vector<RowSource> sources;
      if (!net_.rows(net_.start(), out_, rows, &sources)) return why;
      double worst = 0.0;
      std::size_t which = survey_.readings.size();
      for (std::size_t k = 0; k < rows.size(); ++k) {
        const auto& s = sources[k];
        if (s.of != RowSource::Of::reading) continue;
        const auto reading = static_cast<std::size_t>(s.index);
        const double off_mm = std::fabs(rows[k].off * s.sigma);
        if (quantity_kind(survey_.readings[reading].kind) != Kind::length || off_mm < worst)
          continue;
        worst = off_mm;
        which = reading;
      }
      if (worst < grossly_off_mm) return why;
      grossest_.push_back(which);
      out_.reading[which] = true;
      why = settle({net_.start()});
    }
    return why;
  }

  std::string look_for_suspects() {
    auto found = find_suspects(net_, car_, survey_, fit_, grossest_);
    if (!found.value) return found.why;
    found_ = std::move(*found.value);
    return {};
  }

  // A sum of squares that chance cannot explain, many readings that disagree, or joints far from
  // where the file has them, may be a false minimum: other starts tell.
  bool looks_false() const {
    double moved = 0.0;
    for (int i = 0; i < unknowns(); ++i) {
      const auto& u = net_.unknowns()[static_cast<std::size_t>(i)];
      if (u.of_car && u.of_car->of == CarNumber::Of::coordinate)
        moved = std::max(moved, std::fabs(fit().x[static_cast<std::size_t>(i)] - u.start));
    }
    const auto suspects = std::count(found_->suspect.begin(), found_->suspect.end(), true);
    return fit().chance < hopeless_chance || moved > moved_far_mm ||
           static_cast<std::size_t>(suspects) > most_suspects;
  }

  std::string look_elsewhere() {
    std::vector<std::vector<double>> starts{fit().x, by_marks()};
    Sampler sampler(4);
    for (int k = 0; k < other_starts; ++k) {
      auto start = k % 2 == 0 ? net_.start() : starts[1];
      for (std::size_t i = 0; i < start.size(); ++i) {
        const auto& u = net_.unknowns()[i];
        if (u.of_car && u.of_car->of == CarNumber::Of::coordinate)
          start[i] += other_start_mm * sampler.normal();
      }
      starts.push_back(std::move(start));
    }
    bool better = false;
    auto why = settle(starts, &better);
    if (better)
      a_.remarks.emplace_back(
          "From the coordinates in the file the sums end at a false minimum; a better place was "
          "found from other starts. Put start values nearer to the joints into the file.");
    return why;
  }

  // Start values from the heights and marks themselves, where a joint has them.
  std::vector<double> by_marks() const {
    auto x = net_.start();
    for (const auto& r : survey_.readings) {
      if (r.set_aside || r.spot.of != Spot::Of::joint || r.spot.at != Spot::At::centre) continue;
      CarNumber n;
      n.axle = r.spot.axle;
      n.side = r.spot.side;
      n.point = r.spot.index;
      n.axis = r.kind == ReadingKind::height ? 2 : r.kind == ReadingKind::back ? 0 : 1;
      if (r.kind != ReadingKind::height && r.kind != ReadingKind::back &&
          r.kind != ReadingKind::out)
        continue;
      const int i = net_.unknown_of(n);
      if (i < 0) continue;
      const auto told = net_.tell(x, r);
      if (!told) continue;
      for (const auto& s : told->slopes)
        if (s.unknown == i && std::fabs(s.per) > 0.5)
          x[static_cast<std::size_t>(i)] += (r.value - told->value) / s.per;
    }
    return x;
  }

  // ------------------------------------------------------------------ what came out

  void report() {
    const auto& rows = fit().rows;
    const auto& sources = fit().sources;
    const auto tests = row_tests(rows, fit().held.covariance);
    a_.groups = found_->groups;
    a_.degrees_of_freedom = fit().degrees_of_freedom;
    a_.chance = fit().chance;
    a_.taken = 0;
    for (std::size_t i = 0; i < survey_.readings.size(); ++i) {
      const auto& r = survey_.readings[i];
      ReadingResult result;
      result.name = r.name;
      result.kind = r.kind;
      result.where = where(r);
      result.line = r.line;
      result.value = r.value;
      result.sigma = r.sigma;
      result.set_aside = r.set_aside;
      result.suspect = found_->suspect[i];
      result.left_out = found_->left_out[i];
      a_.readings.push_back(std::move(result));
    }
    std::map<int, GaugeResult> runs;
    for (std::size_t i = 0; i < rows.size(); ++i) {
      const auto& s = sources[i];
      const auto& t = tests[i];
      if (s.of == RowSource::Of::reading) {
        ++a_.taken;
        auto& r = a_.readings[static_cast<std::size_t>(s.index)];
        r.residual = rows[i].off * s.sigma;
        r.normalised = t.normalised_residual / fit().out.weight[static_cast<std::size_t>(s.index)];
        r.redundancy = t.redundancy;
        r.unchecked = t.redundancy < unchecked_below;
        r.disagrees = t.redundancy > 1e-9 ? -r.residual / t.redundancy : 0.0;
        if (r.suspect)
          explain(static_cast<std::size_t>(s.index), r.disagrees,
                  s.sigma / std::sqrt(std::max(t.redundancy, 1e-9)));
      } else if (s.of == RowSource::Of::gauge) {
        ++a_.taken;
        auto& g = runs[s.index];
        ++g.rows;
        g.largest_normalised = std::max(g.largest_normalised, std::fabs(t.normalised_residual));
      } else if (s.of == RowSource::Of::symmetry &&
                 std::fabs(t.normalised_residual) > critical_test(rows.size()) &&
                 std::fabs(rows[i].off) > sides_differ) {
        a_.sides.push_back(
            {s.name, std::fabs(rows[i].off * s.sigma), std::fabs(t.normalised_residual)});
      }
    }
    judge_as_a_whole();
    for (std::size_t i = 0; i < survey_.readings.size(); ++i)
      if (found_->left_out[i] || survey_.readings[i].set_aside) judge_left_out(i);
    report_gauges(runs);
    report_car();
    report_free();
    report_sides();
    report_circumstances();
    ask();
    if (found_->too_many)
      a_.remarks.emplace_back(
          "More than one reading in four disagrees with the others. Either a whole set of them "
          "shares a slip (the wrong baseline, the wrong side, inches), or the coordinates they "
          "start from are of another car.");
    for (const AxleName a : {AxleName::front, AxleName::rear})
      if (car_.at(a) && net_.sides_apart(a) && net_.symmetry_is_usual(a))
        a_.remarks.push_back(
            fmt::format("The {} sides are taken as alike to ± 2 mm, which is common practice: the "
                        "file does not "
                        "say ('symmetry' in [survey]).",
                        word(a)));
  }

  // Chi-square of what is in the sums, each with the ± it was given: a contradiction counts in
  // full.
  void judge_as_a_whole() {
    a_.chi_square = 0.0;
    for (std::size_t i = 0; i < fit().rows.size(); ++i) {
      const bool reading = fit().sources[i].of == RowSource::Of::reading;
      const double weight =
          reading ? fit().out.weight[static_cast<std::size_t>(fit().sources[i].index)] : 1.0;
      a_.chi_square += fit().rows[i].off * fit().rows[i].off / (weight * weight);
    }
    if (a_.degrees_of_freedom > 0)
      a_.chance = chi_square_above(a_.chi_square, a_.degrees_of_freedom);
  }

  std::string where(const TakenReading& r) const {
    const bool wheel = r.kind == ReadingKind::camber || r.kind == ReadingKind::toe ||
                       r.kind == ReadingKind::ride_height;
    if (wheel) {
      auto text = fmt::format("{}.{}", word(r.spot.axle), word(r.spot.side));
      if (r.travel_mm) text += fmt::format(" at {} mm", shortest(*r.travel_mm));
      return text;
    }
    auto text = spot_words(r.spot, car_, survey_);
    if (has_two_ends(r.kind)) text += " to " + spot_words(r.other, car_, survey_);
    return text;
  }

  // `sigma`: of the difference between the reading and what the others say.
  void explain(std::size_t i, double disagrees, double sigma) {
    const auto& r = survey_.readings[i];
    a_.readings[i].slip = likely_slip(net_, fit().x, car_, survey_, r, r.value - disagrees, sigma);
  }

  void judge_left_out(std::size_t i) {
    const auto& r = survey_.readings[i];
    const auto told = net_.tell(fit().x, r);
    if (!told) return;
    auto& result = a_.readings[i];
    const double q =
        product(told->slopes, fit().held.covariance, told->slopes) / (r.sigma * r.sigma);
    result.residual = told->value - r.value;
    result.disagrees = -result.residual;
    result.redundancy = 1.0 / (1.0 + q);
    result.normalised = result.residual / (r.sigma * std::sqrt(1.0 + q));
    if (result.suspect) explain(i, result.disagrees, r.sigma * std::sqrt(1.0 + q));
  }

  // Whether a run that contradicts the rest would agree with its signs turned round.
  bool signs_turned(std::size_t run) {
    if (survey_.gauges[run].places) return false;
    LeftOut only = fit().out;
    only.gauge[run] = false;
    only.gauge_row[run].assign(survey_.gauges[run].rows.size(), false);
    std::vector<Row> rows;
    std::vector<RowSource> sources;
    if (!net_.rows(fit().x, only, rows, &sources)) return false;
    std::vector<double> told, read;
    for (std::size_t i = 0; i < rows.size(); ++i) {
      const auto& s = sources[i];
      if (s.of != RowSource::Of::gauge || static_cast<std::size_t>(s.index) != run) continue;
      if (s.dial > 0) continue;  // a low dial says nothing of toe
      const auto& row = survey_.gauges[run].rows[static_cast<std::size_t>(s.row)];
      read.push_back(row.rear_mm - row.front_mm);
      told.push_back(rows[i].off * s.sigma + read.back());
    }
    if (told.empty()) return false;
    const auto mean = [](const std::vector<double>& v) {
      double sum = 0.0;
      for (const double x : v) sum += x;
      return sum / static_cast<double>(v.size());
    };
    const double mt = mean(told), mr = mean(read);
    double both = 0.0, one = 0.0;
    for (std::size_t i = 0; i < told.size(); ++i) {
      both += (told[i] - mt) * (read[i] - mr);
      one += (told[i] - mt) * (told[i] - mt);
    }
    return one > 0.0 && both / one < -0.5 && both / one > -2.0;
  }

  void report_gauges(std::map<int, GaugeResult>& runs) {
    for (std::size_t i = 0; i < survey_.gauges.size(); ++i) {
      const auto& run = survey_.gauges[i];
      auto& g = runs[static_cast<int>(i)];
      g.name = run.name;
      g.axle = run.axle;
      g.side = run.side;
      g.set_aside = run.set_aside;
      g.suspect_rows = found_->gauge_rows[i];
      if (found_->runs[i]) {
        g.left_out = true;
        g.signs_turned = signs_turned(i);
      }
      if (const int u = net_.hysteresis_unknown(i); u >= 0 && !found_->runs[i]) {
        g.hysteresis_rad = fit().x[static_cast<std::size_t>(u)];
        g.hysteresis_sigma_rad = std::sqrt(std::max(0.0, fit().held.covariance(u, u)));
      } else if (!run.set_aside && !found_->runs[i]) {
        a_.remarks.push_back(fmt::format(
            "Gauge run '{}' goes one way only: nothing is known of its play, up against "
            "down. Read it back down as well.",
            run.name));
      }
      a_.gauges.push_back(g);
    }
  }

  void report_car() {
    a_.car = net_.car_at(fit().x);
    std::vector<int> at;
    for (int i = 0; i < unknowns(); ++i)
      if (const auto& of = net_.unknowns()[static_cast<std::size_t>(i)].of_car) {
        a_.spread.numbers.push_back(*of);
        at.push_back(i);
      }
    const int n = static_cast<int>(at.size());
    a_.spread.covariance = Matrix(n, n);
    for (int i = 0; i < n; ++i)
      for (int j = 0; j < n; ++j)
        a_.spread.covariance(i, j) =
            fit().held.covariance(at[static_cast<std::size_t>(i)], at[static_cast<std::size_t>(j)]);
    a_.points = points_of(a_.car, a_.spread);
    for (const AxleName a : {AxleName::front, AxleName::rear}) {
      if (!car_.at(a)) continue;
      for (const int p : holding_points(car_.at(a)->layout)) {
        CarNumber number;
        number.axle = a;
        number.point = p;
        bool uncertain = false;
        for (number.axis = 0; number.axis < 3; ++number.axis)
          uncertain = uncertain || net_.unknown_of(number) >= 0;
        if (!uncertain)
          a_.as_given.push_back(fmt::format(
              "{}.{}", word(a), car_.at(a)->layout.points[static_cast<std::size_t>(p)]));
      }
    }
  }

  // Motions that nothing holds: of one point where it is one, of several together else.
  void report_free() {
    std::map<std::string, std::string> single;  // point: its axes
    for (const auto& direction : fit().held.free) {
      std::map<std::string, std::string> points;
      for (const auto& s : direction) {
        const auto& u = net_.unknowns()[static_cast<std::size_t>(s.unknown)];
        if (!u.of_car || std::fabs(s.per) < 0.05) continue;
        if (u.of_car->of != CarNumber::Of::coordinate) points[u.label];
        else points[point_of(s.unknown)] += u.label.back();
      }
      if (points.empty()) continue;
      if (points.size() == 1) {
        single[points.begin()->first] += points.begin()->second;
        continue;
      }
      std::vector<std::string> names;
      names.reserve(points.size());
      for (const auto& [name, axes] : points)
        names.push_back(axes.empty() ? name : fmt::format("{} ({})", name, axes));
      const std::size_t shown = std::min<std::size_t>(names.size(), 4);
      const bool more = names.size() > shown;
      names.resize(shown);
      a_.free.push_back(fmt::format("{}{} can move together and no reading would notice",
                                    listed(names), more ? " and others" : ""));
    }
    for (auto& [name, axes] : single) {
      std::sort(axes.begin(), axes.end());
      axes.erase(std::unique(axes.begin(), axes.end()), axes.end());
      std::vector<std::string> letters;
      for (const char c : axes) letters.emplace_back(1, c);
      a_.free.push_back(letters.empty()
                            ? fmt::format("{}: no reading says anything of it", name)
                            : fmt::format("{}: no reading holds its {}", name, listed(letters)));
    }
  }

  void report_sides() {
    for (const auto& m : found_->sides)
      if (m.of == SideMode::Of::body)
        a_.sides.push_back(
            {fmt::format("{}: {} joints on the body together, left against right, {}", word(m.axle),
                         m.joints,
                         m.axis == 0   ? "forward"
                         : m.axis == 1 ? "sideways"
                                       : "up"),
             std::fabs(m.by_mm), std::fabs(m.normalised)});
  }

  // What the file leaves uncertain of how the survey was taken, and no joint or run is about.
  void report_circumstances() {
    for (std::size_t i = 0; i < net_.unknowns().size(); ++i) {
      const auto what = net_.circumstance(static_cast<int>(i));
      if (!what) continue;
      Circumstance c;
      c.what = net_.unknowns()[i].label;
      c.measure = *what;
      c.value = fit().x[i];
      const int k = static_cast<int>(i);
      c.sigma = std::sqrt(std::max(0.0, fit().held.covariance(k, k)));
      c.file_value = net_.unknowns()[i].start;
      c.file_sigma = net_.prior_sigma(k);
      a_.circumstances.push_back(std::move(c));
    }
  }

  void ask() {
    a_.asked = questions_of_readings(car_, survey_);
    for (auto& q : questions_of_sums(car_, a_)) a_.asked.push_back(std::move(q));
    for (const auto& m : found_->sides)
      if (m.of == SideMode::Of::rack)
        a_.asked.push_back(
            {fmt::format(
                 "{} axle: by {} joints read left and right the rack stood {{}} (± {{}}) to "
                 "the {} of its centre. Centre it and read again; or write rack = \"0 ± 5 "
                 "mm\" into [survey], and the sums find its place.",
                 m.axle == AxleName::front ? "Front" : "Rear", m.joints,
                 m.by_mm > 0.0 ? "left" : "right"),
             {{std::fabs(m.by_mm), Measure::length}, {m.sigma_mm, Measure::length}}});
    for (auto& q : questions_of_walk(survey_, a_)) a_.asked.push_back(std::move(q));
  }

  // The sums as they stand: without the suspects once these were looked for.
  const SurveyFit& fit() const { return found_ ? found_->fit : fit_; }

  const Car& car_;
  const Survey& survey_;
  Network net_;
  LeftOut out_;    // set aside, needless, or too gross to begin with
  SurveyFit fit_;  // without that
  std::optional<Suspects> found_;
  Adjusted a_;
  std::vector<std::size_t> grossest_;
};

}  // namespace

std::vector<PointResult> points_of(const Car& car, const Spread& spread) {
  std::vector<PointResult> points;
  for (const AxleName a : {AxleName::front, AxleName::rear}) {
    const auto& axle = car.at(a);
    if (!axle) continue;
    for (const Side s : {Side::left, Side::right}) {
      const auto first = points.size();
      for (std::size_t p = 0; p < axle->layout.points.size(); ++p)
        points.push_back({fmt::format("{}.{}.{}", word(a), word(s), axle->layout.points[p]),
                          axle->at(s).numbers.points_mm[p],
                          {}});
      for (std::size_t i = 0; i < spread.numbers.size(); ++i) {
        const auto& n = spread.numbers[i];
        if (n.axle != a || (n.side != s && !n.both_sides) || n.of != CarNumber::Of::coordinate)
          continue;
        const int k = static_cast<int>(i);
        points[first + static_cast<std::size_t>(n.point)].sigma_mm[n.axis] =
            std::sqrt(std::max(0.0, spread.covariance(k, k)));
      }
    }
  }
  return points;
}

Answer<Adjusted> adjust(const Car& car, const Survey& survey) {
  if (survey.empty()) {
    Adjusted a;
    a.car = car;
    a.spread = stated_spread(car);
    a.points = points_of(a.car, a.spread);
    a.remarks = survey.remarks;
    a.asked = questions_of_readings(car, survey);
    return {std::move(a), {}};
  }
  auto adjusted = Adjustment(car, survey).adjusted();
  if (!adjusted.value)
    for (const auto& q : words(questions_of_readings(car, survey), Units::metric))
      adjusted.why += ". Look again: " + q;
  return adjusted;
}

}  // namespace trammel
