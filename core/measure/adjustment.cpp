#include "measure/adjustment.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "base/least_squares.h"
#include "base/statistics.h"
#include "car/table_reader.h"
#include "measure/network.h"
#include "measure/slips.h"
#include "travel/sensitivity.h"

namespace trammel {
namespace {

// Chance that honest readings alone make any of them a suspect.
constexpr double false_alarm = 0.05;
constexpr double least_critical = 3.29;    // Baarda: 1 in 1,000 for a single reading
constexpr double unchecked_below = 0.1;    // redundancy
constexpr double cannot_tell_apart = 0.9;  // correlation of two tests
constexpr double test_values_within = 1.0;
constexpr double contradicts = 0.5;       // correlation with a reading that hardly anything checks
constexpr std::size_t bad_run_share = 5;  // more than one row in so many: the run itself
constexpr double sides_differ = 2.5;      // of the tie between them (common practice)
// Readings make a stated ± needless once they alone give a coordinate about as well.
constexpr double fixed_by_readings = 3.0;
constexpr int most_steps = 200;
constexpr int most_grossest = 3;
constexpr double grossly_off_mm = 150.0;  // from where the file has the joints
constexpr double settled = 1e-12;  // of chi-square: with 1,000 rows 3e-5 of a standard uncertainty
constexpr double hopeless_chance = 1e-6;  // of chi-square: look for another minimum
constexpr double moved_far_mm = 100.0;    // from the file's start
constexpr std::size_t most_suspects = 4;  // more: something else is wrong
constexpr int other_starts = 6;
constexpr double other_start_mm = 60.0;
constexpr std::size_t most_left_out_share = 4;  // one in so many readings

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

class Adjustment {
 public:
  Adjustment(const Car& car, const Survey& survey)
      : car_(car), survey_(survey), net_(car, survey), out_(net_.nothing_left_out()) {}

  Answer<Adjusted> adjusted() {
    a_.remarks = survey_.remarks;
    x_ = net_.start();
    drop_needless_priors();
    if (auto why = settle_without_the_grossest(); !why.empty()) return {{}, std::move(why)};
    if (auto why = find_suspects(); !why.empty()) return {{}, std::move(why)};
    if (looks_false()) {
      // Begin again with every reading, from other starts.
      run_left_out_.assign(survey_.gauges.size(), false);
      forget_suspects(net_.nothing_left_out());
      if (auto why = look_elsewhere(); !why.empty()) return {{}, std::move(why)};
      if (auto why = find_suspects(); !why.empty()) return {{}, std::move(why)};
    }
    report();
    return {std::move(a_), {}};
  }

 private:
  // Every evaluation notes where its rows come from: they stand in the same order each time.
  Rows rows_of_survey() {
    return [this](const std::vector<double>& x, std::vector<Row>& rows) {
      return net_.rows(x, out_, rows, &sources_);
    };
  }
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
    if (!net_.rows(x_, without, rows)) return;
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

  // A value that is off by half a metre can tear the joints apart before it shows as a misreading:
  // then the one farthest from the file's own joints is left out first.
  std::string settle_without_the_grossest() {
    grossest_.clear();
    auto why = settle();
    for (int i = 0; i < most_grossest && !why.empty(); ++i) {
      x_ = net_.start();
      std::vector<Row> rows;
      if (!net_.rows(x_, out_, rows, &sources_)) return why;
      double worst = 0.0;
      std::size_t which = survey_.readings.size();
      for (std::size_t k = 0; k < rows.size(); ++k) {
        const bool length =
            sources_[k].of == RowSource::Of::reading &&
            quantity_kind(survey_.readings[static_cast<std::size_t>(sources_[k].index)].kind) ==
                Kind::length;
        if (!length || std::fabs(rows[k].off * sources_[k].sigma) < worst) continue;
        worst = std::fabs(rows[k].off * sources_[k].sigma);
        which = static_cast<std::size_t>(sources_[k].index);
      }
      if (worst < grossly_off_mm || which == survey_.readings.size()) return why;
      grossest_.push_back(which);
      out_.reading[which] = true;
      why = settle();
    }
    return why;
  }

  std::string settle() {
    const auto s = least_squares(rows_of_survey(), x_, most_steps, settled);
    if (s.ended == Ended::no_start)
      return "the joints as written have no position at a travel that was read: the sums cannot "
             "begin; look at the coordinates of that corner first";
    if (s.ended == Ended::too_many_steps)
      return "the sums do not settle: the readings leave the joints too loose, or contradict each "
             "other badly; give the joints start values within some 50 mm, or more readings";
    x_ = s.x;
    rows_ = s.rows;
    a_.chi_square = s.sum_of_squares;
    held_ = held(rows_, unknowns());
    a_.degrees_of_freedom = static_cast<int>(rows_.size()) - held_.rank;
    a_.chance =
        a_.degrees_of_freedom > 0 ? chi_square_above(a_.chi_square, a_.degrees_of_freedom) : 1.0;
    return {};
  }

  // A sum of squares that chance cannot explain, many readings that disagree, or joints far from
  // where the file has them, may be a false minimum: other starts tell.
  bool looks_false() const {
    double moved = 0.0;
    for (int i = 0; i < unknowns(); ++i) {
      const auto& u = net_.unknowns()[static_cast<std::size_t>(i)];
      if (u.of_car && u.of_car->of == CarNumber::Of::coordinate)
        moved = std::max(moved, std::fabs(x_[static_cast<std::size_t>(i)] - u.start));
    }
    const auto suspects = std::count(suspect_.begin(), suspect_.end(), true);
    return a_.chance < hopeless_chance || moved > moved_far_mm ||
           static_cast<std::size_t>(suspects) > most_suspects;
  }

  std::string look_elsewhere() {
    std::vector<std::vector<double>> starts{x_, by_marks()};
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
    const auto all = least_squares_from(rows_of_survey(), starts, most_steps, settled);
    const bool better = all.from != 0 && all.best.ended == Ended::settled && !all.elsewhere.empty();
    if (all.best.ended != Ended::no_start) x_ = all.best.x;
    if (better)
      a_.remarks.emplace_back(
          "From the coordinates in the file the sums end at a false minimum; a better place was "
          "found from other starts. Put start values nearer to the joints into the file.");
    return settle();
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

  static double critical(std::size_t rows) {
    if (rows == 0) return least_critical;
    return std::max(least_critical,
                    normal_quantile(1.0 - 0.5 * false_alarm / static_cast<double>(rows)));
  }

  // What of the rows can be doubted, with its test.
  struct Doubt {
    std::size_t row = 0;
    double w = 0.0;
  };
  // Worst first. Rows that hardly anything checks are among them: they are never called misread,
  // but they may well be what the others contradict.
  std::vector<Doubt> doubts(const std::vector<RowTest>& tests) const {
    constexpr double not_at_all = 1e-3;
    std::vector<Doubt> all;
    const double limit = critical(rows_.size());
    for (std::size_t i = 0; i < rows_.size(); ++i) {
      const double w = std::fabs(tests[i].normalised_residual);
      if (tests[i].redundancy >= not_at_all && w > limit &&
          sources_[i].of != RowSource::Of::circumstance)
        all.push_back({i, w});
    }
    std::stable_sort(all.begin(), all.end(),
                     [](const Doubt& x, const Doubt& y) { return x.w > y.w; });
    return all;
  }
  static bool can_be_read_again(const RowSource& s) {
    return s.of == RowSource::Of::reading || s.of == RowSource::Of::gauge;
  }

  // The worst reading is left out and the sums done again, until none disagrees (Baarda 1968: data
  // snooping). Where it cannot be told from others, or hardly anything checks it, all of them are
  // named and stay in, with a ± as large as what they disagree by, so that they draw nothing else
  // after them. A gauge run of which row after row disagrees is left out as a whole. Says why where
  // the sums do not settle without what was left out.
  std::string find_suspects() {
    const auto everything = net_.nothing_left_out();
    forget_suspects(everything);
    std::size_t most = (survey_.readings.size() + gauge_rows()) / most_left_out_share + 1;
    while (most-- > 0) {
      const auto tests = row_tests(rows_, held_.covariance);
      const auto all = doubts(tests);
      // Sides that differ are reported; only a reading can be read again.
      const auto worst = std::find_if(all.begin(), all.end(), [&](const Doubt& d) {
        return can_be_read_again(sources_[d.row]);
      });
      if (worst == all.end()) return {};
      const auto& first = sources_[all.front().row];
      if (all.front().w > worst->w + test_values_within && !can_be_read_again(first) &&
          std::fabs(test_correlation(rows_[all.front().row], rows_[worst->row], held_.covariance)) <
              cannot_tell_apart)
        return {};  // the sides, or a stated ±, explain it better than any reading
      if (const auto& s = sources_[worst->row]; s.of == RowSource::Of::gauge) {
        const auto run = static_cast<std::size_t>(s.index);
        leave_out_gauge_row(s, worst->row, tests[worst->row]);
        if (suspect_rows_[run].size() > survey_.gauges[run].rows.size() / bad_run_share) {
          // Everything found so far may have been found because of this run.
          run_left_out_[run] = true;
          forget_suspects(everything);
        }
      } else if (const auto group = group_of(all, *worst, tests);
                 group.size() > 1 || tests[worst->row].redundancy < unchecked_below) {
        name_group(group, tests, worst->row);
      } else {
        suspect_[group[0]] = left_out_[group[0]] = true;
        out_.reading[group[0]] = true;
      }
      if (auto why = settle(); !why.empty()) return why;
    }
    too_many_disagree_ = true;
    return {};
  }

  void forget_suspects(const LeftOut& everything) {
    suspect_.assign(survey_.readings.size(), false);
    left_out_.assign(survey_.readings.size(), false);
    suspect_rows_.assign(survey_.gauges.size(), {});
    run_left_out_.resize(survey_.gauges.size(), false);
    a_.groups.clear();
    too_many_disagree_ = false;
    out_.reading = everything.reading;
    for (const std::size_t i : grossest_) suspect_[i] = left_out_[i] = out_.reading[i] = true;
    out_.weight = everything.weight;
    out_.gauge_row = everything.gauge_row;
    out_.gauge = everything.gauge;
    for (std::size_t i = 0; i < run_left_out_.size(); ++i)
      if (run_left_out_[i]) out_.gauge[i] = true;
  }

  // The readings that cannot be told from the worst one, itself first.
  std::vector<std::size_t> group_of(const std::vector<Doubt>& all, const Doubt& worst,
                                    const std::vector<RowTest>& tests) const {
    const auto reading = [&](const Doubt& d) {
      return static_cast<std::size_t>(sources_[d.row].index);
    };
    std::vector<std::size_t> group{reading(worst)};
    const bool checked = tests[worst.row].redundancy >= unchecked_below;
    for (const auto& d : all) {
      if (d.row == worst.row || sources_[d.row].of != RowSource::Of::reading) continue;
      const double correlation =
          std::fabs(test_correlation(rows_[d.row], rows_[worst.row], held_.covariance));
      if (correlation > cannot_tell_apart ||
          (worst.w - d.w < test_values_within && clears_each_other(worst, d)) ||
          (!checked && correlation > contradicts))
        group.push_back(reading(d));
    }
    return group;
  }

  void name_group(const std::vector<std::size_t>& group, const std::vector<RowTest>& tests,
                  std::size_t worst) {
    SuspectGroup g;
    g.readings = group;
    const double disagrees = std::fabs(rows_[worst].off) / std::max(1e-3, tests[worst].redundancy);
    for (const std::size_t i : group) {
      suspect_[i] = true;
      out_.weight[i] = 1.0 / std::max(1.0, disagrees);
    }
    g.decides = deciding(group);
    a_.groups.push_back(std::move(g));
  }

  void leave_out_gauge_row(const RowSource& s, std::size_t row, const RowTest& test) {
    const auto run = static_cast<std::size_t>(s.index);
    out_.gauge_row[run][static_cast<std::size_t>(s.row)] = true;
    const double off = rows_[row].off * s.sigma / std::max(unchecked_below, test.redundancy);
    suspect_rows_[run].push_back(fmt::format(
        "{}, line {} ({:.2f} mm off the others)", s.name.substr(s.name.find(", row") + 2),
        survey_.gauges[run].row_lines[static_cast<std::size_t>(s.row)], std::fabs(off)));
  }

  // Whether leaving out either of two clears the other: then either explains it.
  bool clears_each_other(const Doubt& a, const Doubt& b) const {
    const double correlation = test_correlation(rows_[a.row], rows_[b.row], held_.covariance);
    const auto w = [&](std::size_t row) {
      return row_tests({rows_[row]}, held_.covariance)[0].normalised_residual;
    };
    const double wa = w(a.row), wb = w(b.row);
    const double limit = critical(rows_.size());
    const double rest = std::sqrt(std::max(1e-9, 1.0 - correlation * correlation));
    return std::fabs(wb - correlation * wa) / rest < limit &&
           std::fabs(wa - correlation * wb) / rest < limit;
  }

  std::size_t gauge_rows() const {
    std::size_t n = 0;
    for (const auto& g : survey_.gauges) n += g.rows.size();
    return n;
  }

  std::string deciding(const std::vector<std::size_t>& group) const {
    const auto& r = survey_.readings[group.front()];
    const auto where = spot_words(r.spot, car_, survey_);
    if (r.kind == ReadingKind::height || r.kind == ReadingKind::back || r.kind == ReadingKind::out)
      return fmt::format("one more '{}' of {}, from a mark made anew", word(r.kind), where);
    return fmt::format("one more reading of {} by another way", where);
  }

  // ------------------------------------------------------------------ what came out

  void report() {
    const auto& sources = sources_;
    const auto tests = row_tests(rows_, held_.covariance);
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
      result.suspect = suspect_[i];
      result.left_out = left_out_[i];
      a_.readings.push_back(std::move(result));
    }
    std::map<int, GaugeResult> runs;
    for (std::size_t i = 0; i < rows_.size(); ++i) {
      const auto& s = sources[i];
      const auto& t = tests[i];
      if (s.of == RowSource::Of::reading) {
        ++a_.taken;
        auto& r = a_.readings[static_cast<std::size_t>(s.index)];
        r.residual = rows_[i].off * s.sigma;
        r.normalised = t.normalised_residual / out_.weight[static_cast<std::size_t>(s.index)];
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
                 std::fabs(t.normalised_residual) > critical(rows_.size()) &&
                 std::fabs(rows_[i].off) > sides_differ) {
        a_.sides.push_back(
            {s.name, std::fabs(rows_[i].off * s.sigma), std::fabs(t.normalised_residual)});
      }
    }
    judge_as_a_whole();
    for (std::size_t i = 0; i < survey_.readings.size(); ++i)
      if (left_out_[i] || survey_.readings[i].set_aside) judge_left_out(i);
    report_gauges(runs);
    report_car();
    report_free();
    if (too_many_disagree_)
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
    for (std::size_t i = 0; i < rows_.size(); ++i) {
      const bool reading = sources_[i].of == RowSource::Of::reading;
      const double weight =
          reading ? out_.weight[static_cast<std::size_t>(sources_[i].index)] : 1.0;
      a_.chi_square += rows_[i].off * rows_[i].off / (weight * weight);
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
    a_.readings[i].slip = likely_slip(net_, x_, car_, survey_, r, r.value - disagrees, sigma);
  }

  void judge_left_out(std::size_t i) {
    const auto& r = survey_.readings[i];
    const auto told = net_.tell(x_, r);
    if (!told) return;
    auto& result = a_.readings[i];
    const double q = product(told->slopes, held_.covariance, told->slopes) / (r.sigma * r.sigma);
    result.residual = told->value - r.value;
    result.disagrees = -result.residual;
    result.redundancy = 1.0 / (1.0 + q);
    result.normalised = result.residual / (r.sigma * std::sqrt(1.0 + q));
    if (result.suspect) explain(i, result.disagrees, r.sigma * std::sqrt(1.0 + q));
  }

  // Whether a run that contradicts the rest would agree with its signs turned round.
  bool signs_turned(std::size_t run) {
    LeftOut only = out_;
    only.gauge[run] = false;
    only.gauge_row[run].assign(survey_.gauges[run].rows.size(), false);
    std::vector<Row> rows;
    std::vector<RowSource> sources;
    if (!net_.rows(x_, only, rows, &sources)) return false;
    std::vector<double> told, read;
    for (std::size_t i = 0; i < rows.size(); ++i) {
      const auto& s = sources[i];
      if (s.of != RowSource::Of::gauge || static_cast<std::size_t>(s.index) != run) continue;
      const auto& row = survey_.gauges[run].rows[static_cast<std::size_t>(s.row)];
      read.push_back(row.rear_mm - row.front_mm);
      told.push_back(rows[i].off * s.sigma + read.back());
    }
    if (survey_.gauges[run].places || told.empty()) return false;
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
      g.suspect_rows = suspect_rows_[i];
      if (run_left_out_[i]) {
        g.left_out = true;
        g.signs_turned = signs_turned(i);
      }
      if (const int u = net_.hysteresis_unknown(i); u >= 0 && !run_left_out_[i]) {
        g.hysteresis_rad = x_[static_cast<std::size_t>(u)];
        g.hysteresis_sigma_rad = std::sqrt(std::max(0.0, held_.covariance(u, u)));
      } else if (!run.set_aside && !run_left_out_[i]) {
        a_.remarks.push_back(fmt::format(
            "Gauge run '{}' goes one way only: nothing is known of its play, up against "
            "down. Read it back down as well.",
            run.name));
      }
      a_.gauges.push_back(g);
    }
  }

  void report_car() {
    a_.car = net_.car_at(x_);
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
            held_.covariance(at[static_cast<std::size_t>(i)], at[static_cast<std::size_t>(j)]);
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
    for (const auto& direction : held_.free) {
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

  const Car& car_;
  const Survey& survey_;
  Network net_;
  LeftOut out_;
  Adjusted a_;
  std::vector<double> x_;
  std::vector<Row> rows_;
  std::vector<RowSource> sources_;  // of rows_
  Held held_;
  std::vector<bool> suspect_, left_out_;
  std::vector<std::vector<std::string>> suspect_rows_;  // by gauge run
  std::vector<bool> run_left_out_;
  bool too_many_disagree_ = false;
  std::vector<std::size_t> grossest_;  // left out before anything could settle
};

}  // namespace

Answer<Adjusted> adjust(const Car& car, const Survey& survey) {
  if (survey.empty()) {
    Adjusted a;
    a.car = car;
    a.spread = stated_spread(car);
    a.points = points_of(a.car, a.spread);
    a.remarks = survey.remarks;
    return {std::move(a), {}};
  }
  return Adjustment(car, survey).adjusted();
}

}  // namespace trammel
