#include "measure/fit.h"

#include <algorithm>

#include "base/check.h"
#include "base/statistics.h"

namespace trammel {
namespace {

constexpr int most_steps = 200;
constexpr double settled = 1e-12;  // of chi-square: with 1,000 rows 3e-5 of a standard uncertainty
// Chance that honest readings alone make any of them a suspect.
constexpr double false_alarm = 0.05;
constexpr double least_critical = 3.29;  // Baarda: 1 in 1,000 for a single reading

}  // namespace

Answer<SurveyFit> fit_survey(const Network& network, LeftOut out,
                             const std::vector<std::vector<double>>& starts, bool* other_place) {
  SurveyFit f;
  f.out = std::move(out);
  // Rows stand in the same order each time: where they come from is noted at the first place that
  // has all of them. A later place may have no position, and then only the first few.
  const Rows rows = [&](const std::vector<double>& x, std::vector<Row>& at_x) {
    if (!f.sources.empty()) return network.rows(x, f.out, at_x);
    std::vector<RowSource> sources;
    if (!network.rows(x, f.out, at_x, &sources)) return false;
    f.sources = std::move(sources);
    return true;
  };
  auto all = least_squares_from(rows, starts, most_steps, settled);
  if (other_place)
    *other_place = all.from != 0 && all.best.ended == Ended::settled && !all.elsewhere.empty();
  auto& best = all.best;
  if (best.ended == Ended::no_start)
    return {{},
            "the joints as written have no position at a travel that was read: the sums cannot "
            "begin; look at the coordinates of that corner first"};
  if (best.ended == Ended::too_many_steps)
    return {{},
            "the sums do not settle: the readings leave the joints too loose, or contradict each "
            "other badly; give the joints start values within some 50 mm, or more readings"};
  f.x = std::move(best.x);
  f.rows = std::move(best.rows);
  check(f.rows.size() == f.sources.size(), "every row has its source",
        {{"rows", static_cast<double>(f.rows.size())},
         {"sources", static_cast<double>(f.sources.size())}});
  f.chi_square = best.sum_of_squares;
  f.held = held(f.rows, static_cast<int>(network.unknowns().size()));
  f.degrees_of_freedom = static_cast<int>(f.rows.size()) - f.held.rank;
  if (f.degrees_of_freedom > 0) f.chance = chi_square_above(f.chi_square, f.degrees_of_freedom);
  return {std::move(f), {}};
}

double critical_test(std::size_t rows) {
  if (rows == 0) return least_critical;
  return std::max(least_critical,
                  normal_quantile(1.0 - 0.5 * false_alarm / static_cast<double>(rows)));
}

}  // namespace trammel
