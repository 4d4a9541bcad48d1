#include "measure/suspects.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/least_squares.h"

namespace trammel {
namespace {

constexpr double not_at_all = 1e-3;        // redundancy: no test can be had
constexpr double cannot_tell_apart = 0.9;  // correlation of two tests
constexpr double test_values_within = 1.0;
constexpr double contradicts = 0.5;  // correlation with a reading that hardly anything checks
// A coordinate without its own ± is good to some 50 mm. Farther than four times its ± from the
// file, and three times as far as another one, a reading is the one that is wrong of a group.
constexpr double rough_start_mm = 50.0, against_the_file = 4.0, far_more = 3.0;
constexpr double has_to_do_with = 0.1;          // correlation of two tests
constexpr std::size_t bad_run_share = 5;        // more than one row in so many: the run itself
constexpr std::size_t most_left_out_share = 4;  // one in so many readings

class Search {
 public:
  Search(const Network& net, const Car& car, const Survey& survey, const SurveyFit& fit,
         const std::vector<std::size_t>& gross)
      : net_(net), car_(car), survey_(survey), everything_(fit.out), gross_(gross) {
    s_.fit = fit;
    s_.runs.assign(survey.gauges.size(), false);
    begin_again();
  }

  Answer<Suspects> found() {
    std::size_t most = (survey_.readings.size() + gauge_rows()) / most_left_out_share + 1;
    while (most-- > 0) {
      const auto tests = row_tests(s_.fit.rows, s_.fit.held.covariance);
      const auto all = doubts(tests);
      // Sides that differ are reported; only a reading can be read again.
      const auto worst = std::find_if(all.begin(), all.end(), [&](const Doubt& d) {
        return can_be_read_again(s_.fit.sources[d.row]);
      });
      if (const auto mode = worst_side_mode(net_, car_, s_.fit);
          mode && std::fabs(mode->normalised) > critical_test(s_.fit.rows.size()) &&
          (all.empty() || std::fabs(mode->normalised) > all.front().w) &&
          // One slip makes a mode of what it touches: joints that are really aside say it together,
          // and better than any of them does by itself.
          (worst == all.end() || std::fabs(mode->normalised) > worst->w + test_values_within)) {
        for (const int tie : mode->ties) s_.fit.out.tie[static_cast<std::size_t>(tie)] = true;
        s_.sides.push_back(*mode);
        if (auto why = settle_again(); !why.empty()) return {{}, std::move(why)};
        continue;
      }
      if (worst == all.end() || others_explain_it(all.front(), *worst)) {
        if (!leave_out_a_run()) return {std::move(s_), {}};
        continue;
      }
      if (const auto& source = s_.fit.sources[worst->row]; source.of == RowSource::Of::gauge) {
        const auto run = static_cast<std::size_t>(source.index);
        leave_out_gauge_row(source, worst->row, tests[worst->row]);
        if (s_.gauge_rows[run].size() > survey_.gauges[run].rows.size() / bad_run_share) {
          // Everything found so far may have been found because of this run.
          s_.runs[run] = true;
          begin_again();
        }
      } else {
        const auto group = group_of(all, *worst, tests);
        const bool checked = tests[worst->row].redundancy >= unchecked_below;
        if (group.size() == 1 && checked) {
          if (!leave_out_what_contradicts(group[0], worst->row)) leave_out(group[0]);
        } else if (!leave_out_what_the_file_is_against(group)) name_group(group, tests, worst->row);
      }
      if (auto why = settle_again(); !why.empty()) return {{}, std::move(why)};
    }
    s_.too_many = true;
    return {std::move(s_), {}};
  }

 private:
  std::string settle_again() {
    auto fit = fit_survey(net_, s_.fit.out, {s_.fit.x});
    if (!fit.value) return fit.why;
    s_.fit = std::move(*fit.value);
    return {};
  }

  // What of the rows can be doubted, with its test.
  struct Doubt {
    std::size_t row = 0;
    double w = 0.0;
  };
  // Worst first. Rows that hardly anything checks are among them: they are never called misread,
  // but they may well be what the others contradict.
  std::vector<Doubt> doubts(const std::vector<RowTest>& tests) const {
    std::vector<Doubt> all;
    const double limit = critical_test(s_.fit.rows.size());
    for (std::size_t i = 0; i < s_.fit.rows.size(); ++i) {
      const double w = std::fabs(tests[i].normalised_residual);
      if (tests[i].redundancy >= not_at_all && w > limit &&
          s_.fit.sources[i].of != RowSource::Of::circumstance)
        all.push_back({i, w});
    }
    std::stable_sort(all.begin(), all.end(),
                     [](const Doubt& x, const Doubt& y) { return x.w > y.w; });
    return all;
  }
  static bool can_be_read_again(const RowSource& s) {
    return s.of == RowSource::Of::reading || s.of == RowSource::Of::gauge;
  }

  // The sides, or a stated ±, explain it better than any reading.
  bool others_explain_it(const Doubt& first, const Doubt& worst) const {
    return first.w > worst.w + test_values_within &&
           !can_be_read_again(s_.fit.sources[first.row]) &&
           std::fabs(test_correlation(s_.fit.rows[first.row], s_.fit.rows[worst.row],
                                      s_.fit.held.covariance)) < cannot_tell_apart;
  }

  // Where nothing single explains it: a run without which all the rest agrees.
  bool leave_out_a_run() {
    if (s_.fit.chance >= fits_chance) return false;
    for (std::size_t run = 0; run < s_.runs.size(); ++run) {
      if (s_.fit.out.gauge[run]) continue;
      LeftOut without = everything_;
      without.gauge[run] = true;
      auto fit = fit_survey(net_, without, {s_.fit.x});
      if (!fit.value || fit.value->chance < fits_chance) continue;
      s_.runs[run] = true;
      s_.fit = std::move(*fit.value);
      begin_again();
      return true;
    }
    return false;
  }

  void begin_again() {
    s_.suspect.assign(survey_.readings.size(), false);
    s_.left_out = s_.suspect;
    s_.gauge_rows.assign(survey_.gauges.size(), {});
    s_.groups.clear();
    s_.sides.clear();
    s_.fit.out = everything_;
    for (const std::size_t i : gross_)
      s_.suspect[i] = s_.left_out[i] = s_.fit.out.reading[i] = true;
    for (std::size_t i = 0; i < s_.runs.size(); ++i)
      if (s_.runs[i]) s_.fit.out.gauge[i] = true;
  }

  // The readings that cannot be told from the worst one, itself first.
  std::vector<std::size_t> group_of(const std::vector<Doubt>& all, const Doubt& worst,
                                    const std::vector<RowTest>& tests) const {
    const auto reading = [&](const Doubt& d) {
      return static_cast<std::size_t>(s_.fit.sources[d.row].index);
    };
    std::vector<std::size_t> group{reading(worst)};
    const bool checked = tests[worst.row].redundancy >= unchecked_below;
    for (const auto& d : all) {
      if (d.row == worst.row || s_.fit.sources[d.row].of != RowSource::Of::reading) continue;
      const double correlation = std::fabs(
          test_correlation(s_.fit.rows[d.row], s_.fit.rows[worst.row], s_.fit.held.covariance));
      if (correlation > cannot_tell_apart ||
          (worst.w - d.w < test_values_within && clears_each_other(worst, d)) ||
          (!checked && correlation > contradicts))
        group.push_back(reading(d));
    }
    return group;
  }

  void leave_out(std::size_t i) { s_.suspect[i] = s_.left_out[i] = s_.fit.out.reading[i] = true; }

  // How far a reading is from what the file has its joints at, in the ± of both; zero where the
  // file says nothing of it, or of an angle.
  double off_the_file(std::size_t i) const {
    const auto& r = survey_.readings[i];
    if (quantity_kind(r.kind) != Kind::length) return 0.0;
    const auto told = net_.tell(net_.start(), r);
    if (!told) return 0.0;
    double variance = r.sigma * r.sigma;
    for (const auto& s : told->slopes) {
      double sigma = rough_start_mm;
      if (net_.has_prior(s.unknown)) sigma = net_.prior_sigma(s.unknown);
      else if (!net_.unknowns()[static_cast<std::size_t>(s.unknown)].of_car) return 0.0;
      variance += s.per * s.per * sigma * sigma;
    }
    return std::fabs(told->value - r.value) / std::sqrt(variance);
  }

  // A value that is grossly off draws no honest one after it: where the file itself tells which of
  // a group cannot be, that one is left out.
  bool leave_out_what_the_file_is_against(const std::vector<std::size_t>& group) {
    if (group.size() < 2) return false;
    double least = off_the_file(group[0]);
    for (const std::size_t i : group) least = std::min(least, off_the_file(i));
    bool any = false;
    for (const std::size_t i : group) {
      const double off = off_the_file(i);
      if (off < against_the_file || off < far_more * least) continue;
      leave_out(i);
      any = true;
    }
    return any;
  }

  // A slip made twice outvotes the one honest reading beside it: where that one agrees with the
  // file, and those that speak against it do not, they are the ones to go.
  bool leave_out_what_contradicts(std::size_t reading, std::size_t row) {
    const double own = off_the_file(reading);
    if (!(own < against_the_file / far_more)) return false;
    bool any = false;
    for (std::size_t k = 0; k < s_.fit.rows.size(); ++k) {
      const auto& source = s_.fit.sources[k];
      if (k == row || source.of != RowSource::Of::reading) continue;
      const auto i = static_cast<std::size_t>(source.index);
      if (off_the_file(i) < against_the_file ||
          std::fabs(test_correlation(s_.fit.rows[row], s_.fit.rows[k], s_.fit.held.covariance)) <
              has_to_do_with)
        continue;
      leave_out(i);
      any = true;
    }
    return any;
  }

  void name_group(const std::vector<std::size_t>& group, const std::vector<RowTest>& tests,
                  std::size_t worst) {
    const double disagrees =
        std::fabs(s_.fit.rows[worst].off) / std::max(not_at_all, tests[worst].redundancy);
    for (const std::size_t i : group) {
      s_.suspect[i] = true;
      s_.fit.out.weight[i] = 1.0 / std::max(1.0, disagrees);
    }
    // What contradictory readings say no longer makes a stated ± needless.
    for (std::size_t k = 0; k < s_.fit.rows.size(); ++k) {
      const auto& source = s_.fit.sources[k];
      if (source.of != RowSource::Of::reading ||
          std::find(group.begin(), group.end(), static_cast<std::size_t>(source.index)) ==
              group.end())
        continue;
      for (const auto& slope : s_.fit.rows[k].slopes)
        s_.fit.out.prior[static_cast<std::size_t>(slope.unknown)] = false;
    }
    // A reading that contradicts others again belongs to the group that it stands in.
    const auto known = std::find_if(s_.groups.begin(), s_.groups.end(), [&](const SuspectGroup& g) {
      return std::any_of(group.begin(), group.end(), [&](std::size_t i) {
        return std::find(g.readings.begin(), g.readings.end(), i) != g.readings.end();
      });
    });
    if (known == s_.groups.end()) {
      s_.groups.push_back({group, deciding(group)});
      return;
    }
    for (const std::size_t i : group)
      if (std::find(known->readings.begin(), known->readings.end(), i) == known->readings.end())
        known->readings.push_back(i);
  }

  void leave_out_gauge_row(const RowSource& source, std::size_t row, const RowTest& test) {
    const auto run = static_cast<std::size_t>(source.index);
    const auto i = static_cast<std::size_t>(source.row);
    s_.fit.out.gauge_row[run][i] = true;
    const double off =
        s_.fit.rows[row].off * source.sigma / std::max(unchecked_below, test.redundancy);
    s_.gauge_rows[run].push_back(fmt::format("row {} at {} mm, line {} ({:.2f} mm off the others)",
                                             i + 1, shortest(survey_.gauges[run].rows[i].travel_mm),
                                             survey_.gauges[run].row_lines[i], std::fabs(off)));
  }

  // Whether leaving out either of two clears the other: then either explains it.
  bool clears_each_other(const Doubt& a, const Doubt& b) const {
    const double correlation =
        test_correlation(s_.fit.rows[a.row], s_.fit.rows[b.row], s_.fit.held.covariance);
    const auto w = [&](std::size_t row) {
      return row_tests({s_.fit.rows[row]}, s_.fit.held.covariance)[0].normalised_residual;
    };
    const double wa = w(a.row), wb = w(b.row);
    const double limit = critical_test(s_.fit.rows.size());
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

  const Network& net_;
  const Car& car_;
  const Survey& survey_;
  LeftOut everything_;
  const std::vector<std::size_t>& gross_;
  Suspects s_;
};

}  // namespace

Answer<Suspects> find_suspects(const Network& network, const Car& car, const Survey& survey,
                               const SurveyFit& fit, const std::vector<std::size_t>& gross) {
  return Search(network, car, survey, fit, gross).found();
}

}  // namespace trammel
