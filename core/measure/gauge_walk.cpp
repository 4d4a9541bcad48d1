#include "measure/gauge_walk.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/words.h"
#include "measure/adjustment.h"
#include "measure/dial_rows.h"
#include "travel/band.h"
#include "travel/ride.h"

namespace trammel {
namespace {

// What the joints do not tell of the walk: dials some 40 mm off the hub's height on a wheel whose
// camber changes by 0.03° a millimetre, and a plate of unknown place (common practice).
constexpr double walk_slope = 0.02, walk_mm = 0.3;
constexpr double toe_slope_rad_per_mm = 0.004 * degree_rad, toe_mm = 0.1;
constexpr double usual_plate_mm = 60.0;
constexpr std::size_t least_rows = 5;
// Mean squares of a row in its own ±: as read it cannot be, the other way it may well be.
constexpr double cannot_be = 9.0, may_be = 4.0, much_better = 4.0, as_good = 1.5;

struct Walk {
  double walk_mm = 0.0, toe_mm = 0.0;  // mean of both dials, outward; the rear one less the front
};

class Judge {
 public:
  Judge(const Adjusted& a, const GaugeRun& run, bool with_toe)
      : a_(a), run_(run), with_toe_(with_toe) {}

  std::vector<Question> all() const {
    const double as_read = misfit(run_.side, 1.0, 1.0, false);
    if (!(as_read > cannot_be)) return {};
    struct Other {
      double misfit;
      const char* what;
    };
    std::vector<Other> others;
    const auto other = [&](double misfit, const char* what) {
      if (misfit < may_be && misfit * much_better < as_read) others.push_back({misfit, what});
    };
    other(misfit(run_.side, -1.0, 1.0, false),
          "is the sign of travel turned round (wheel up is above zero)");
    other(misfit(run_.side, 1.0, -1.0, false),
          "are the signs of both dials turned round (outward is above zero on either side)");
    other(misfit(run_.side, -1.0, -1.0, false), "are the signs of travel and of both dials turned");
    if (with_toe_) {
      other(misfit(run_.side, 1.0, 1.0, true), "are the front and the rear dial exchanged");
      other(misfit(run_.side, 1.0, -1.0, true),
            "was it run on the other wheel, with the signs and the dials of this one");
      other(misfit(run_.side, -1.0, 1.0, true),
            "is the sign of travel turned round and are the dials exchanged");
    }
    const Side opposite = run_.side == Side::left ? Side::right : Side::left;
    if (!a_.car.at(run_.axle)->right_is_mirrored)
      other(misfit(opposite, 1.0, 1.0, false), "was it run on the other wheel");
    std::stable_sort(others.begin(), others.end(),
                     [](const Other& x, const Other& y) { return x.misfit < y.misfit; });
    if (others.empty()) return {};
    std::vector<std::string> may;
    for (const auto& o : others)
      if (o.misfit < as_good * others[0].misfit + 0.5) may.emplace_back(o.what);
    const double read = slope_read(), told = slope_told();
    const double over = 40.0;
    const auto way = [](double slope) { return slope > 0.0 ? "outward" : "inward"; };
    return {{fmt::format("Gauge run '{}': for {{}} of travel upwards both dials together walk {{}} "
                         "{}, and by the joints the wheel walks {{}} {}. {}?",
                         run_.name, way(read), way(told), capital_of(listed(may, "or"))),
             {{over, Measure::length},
              {std::fabs(read) * over, Measure::length},
              {std::fabs(told) * over, Measure::length}}}};
  }

 private:
  static std::string capital_of(std::string text) {
    text[0] = static_cast<char>(text[0] - 'a' + 'A');
    return text;
  }

  std::optional<Walk> predicted(Side side, double travel_mm) const {
    const auto m = corner_mechanism(*a_.car.at(run_.axle), side);
    const auto start = solution_as_measured(m);
    if (!start.found) return {};
    const auto r = reach(m, start, {travel_mm, 0.0});
    if (!r.arrived) return {};
    const Placed<double> placed(m, r.at.pose, r.at.drive.rack_mm);
    GaugeRun two = run_;
    two.drop_mm.reset();
    if (!two.places) two.places = DialPlaces{usual_plate_mm, 0.0, 0.5 * run_.base_mm};
    std::array<double, 2> dial{};
    const auto rows = dial_rows(two);
    for (std::size_t i = 0; i < 2; ++i)
      dial[i] = dial_mm(rows[i], placed.turn() * m.wheel.spin, placed.centre(), m.centre_mm);
    return Walk{0.5 * (dial[0] + dial[1]), dial[1] - dial[0]};
  }

  // Mean square of the rows, each in its own ±, their zeros taken out.
  double misfit(Side side, double travel_sign, double dial_sign, bool exchanged) const {
    std::vector<double> walk, toe, walk_weight, toe_weight;
    for (const auto& row : run_.rows) {
      const auto told = predicted(side, travel_sign * row.travel_mm);
      if (!told) return 1e9;
      const double front = dial_sign * (exchanged ? row.rear_mm : row.front_mm);
      const double rear = dial_sign * (exchanged ? row.front_mm : row.rear_mm);
      const double t = row.travel_mm;
      walk.push_back(0.5 * (front + rear) - told->walk_mm);
      toe.push_back(rear - front - told->toe_mm);
      const double w = std::hypot(std::hypot(walk_mm, run_.sigma_mm), walk_slope_sigma() * t);
      const double d = std::hypot(std::hypot(toe_mm, run_.sigma_mm), toe_slope_sigma() * t);
      walk_weight.push_back(1.0 / (w * w));
      toe_weight.push_back(1.0 / (d * d));
    }
    const auto mean_square = [](const std::vector<double>& off, const std::vector<double>& weight) {
      double sum = 0.0, all = 0.0, squares = 0.0;
      for (std::size_t i = 0; i < off.size(); ++i) sum += weight[i] * off[i], all += weight[i];
      for (std::size_t i = 0; i < off.size(); ++i)
        squares += weight[i] * (off[i] - sum / all) * (off[i] - sum / all);
      return squares / static_cast<double>(off.size());
    };
    const double by_walk = mean_square(walk, walk_weight);
    return with_toe_ ? std::max(by_walk, mean_square(toe, toe_weight)) : by_walk;
  }

  double sigma_of(Reading reading) const {
    const auto slopes = reading_slopes(*a_.car.at(run_.axle), a_.spread, run_.side, 0.0);
    const auto& s = slopes[static_cast<std::size_t>(reading)];
    return std::sqrt(std::max(0.0, product(s, a_.spread.covariance, s)));
  }
  double walk_slope_sigma() const {
    if (walk_slope_sigma_ == 0.0) {
      const double half_track =
          std::fabs(a_.car.at(run_.axle)->at(run_.side).numbers.points_mm[0].y);
      walk_slope_sigma_ =
          std::hypot(walk_slope, sigma_of(Reading::roll_centre_height) / half_track);
    }
    return walk_slope_sigma_;
  }
  double toe_slope_sigma() const {
    if (toe_slope_sigma_ == 0.0)
      toe_slope_sigma_ =
          run_.base_mm * std::hypot(toe_slope_rad_per_mm, sigma_of(Reading::bump_steer));
    return toe_slope_sigma_;
  }

  // Of the walk, mm outward per mm of travel.
  double slope_read() const {
    double n = 0.0, t = 0.0, w = 0.0, tt = 0.0, tw = 0.0;
    for (const auto& row : run_.rows) {
      const double walk = 0.5 * (row.front_mm + row.rear_mm);
      n += 1.0;
      t += row.travel_mm;
      w += walk;
      tt += row.travel_mm * row.travel_mm;
      tw += row.travel_mm * walk;
    }
    return (tw - t * w / n) / (tt - t * t / n);
  }
  double slope_told() const {
    const auto up = predicted(run_.side, 1.0), down = predicted(run_.side, -1.0);
    return up && down ? 0.5 * (up->walk_mm - down->walk_mm) : 0.0;
  }

  const Adjusted& a_;
  const GaugeRun& run_;
  bool with_toe_;
  mutable double walk_slope_sigma_ = 0.0, toe_slope_sigma_ = 0.0;
};

}  // namespace

std::vector<Question> questions_of_walk(const Survey& survey, const Adjusted& adjusted) {
  std::vector<Question> asked;
  for (const auto& run : survey.gauges) {
    if (run.set_aside || run.rows.size() < least_rows) continue;
    const auto result = std::find_if(adjusted.gauges.begin(), adjusted.gauges.end(),
                                     [&](const GaugeResult& g) { return g.name == run.name; });
    const bool left_out = result != adjusted.gauges.end() && result->left_out;
    for (auto& q : Judge(adjusted, run, left_out).all()) asked.push_back(std::move(q));
  }
  return asked;
}

}  // namespace trammel
