#include "measure/questions.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "base/in_units.h"
#include "base/words.h"
#include "car/by.h"
#include "measure/adjustment.h"
#include "travel/ride.h"
#include "travel/sensitivity.h"

namespace trammel {
namespace {

constexpr double contradicts = 10.0;  // of the ± of both
// Of road cars (common practice).
constexpr double leans_much_rad = 6.0 * degree_rad;
constexpr double toes_much_rad = 2.0 * degree_rad;
constexpr double cambers_apart_rad = 1.5 * degree_rad;  // left against right, of opposite sign
// Toe left against right by more, and by three times its ±, is a steering that was not straight.
constexpr double steered_rad = 0.3 * degree_rad, surely = 3.0;
// What a dial moves over a run: by the walk of the wheel and its toe no more than a fifth of the
// travel; and no less than the arc that an arm of some 700 mm swings the wheel in.
constexpr double most_of_travel = 0.4, least_per_mm = 1.0 / 16000.0, long_run_mm = 30.0;
constexpr std::size_t run_worth_comparing = 5;
constexpr double same_rows = 0.9;  // of a run that stands there twice
// A tyre's loaded radius is known to some 10 mm; a wheel that hangs, or a block that was forgotten,
// makes several times that (common practice).
constexpr double hub_off_mm = 30.0;
constexpr double body_off_mm = 40.0;  // against the wheels, where the file gives its joints no ±
constexpr double least_off_mm = 10.0;
constexpr double from_open_mm = 4.0;  // a damper so near its open length has the wheel hanging
constexpr double hand_mm = 100.0;  // a coordinate without ± is a start, good to a hand's breadth
constexpr double circumstance_off = 4.0;  // of its ± in the file

constexpr Measure mm = Measure::length, angle = Measure::angle;

std::string wheel_words(AxleName a, Side s) { return fmt::format("{} {}", word(a), word(s)); }

class OfReadings {
 public:
  OfReadings(const Car& car, const Survey& survey) : car_(car), survey_(survey) {}

  std::vector<Question> all() {
    for (const AxleName a : each_axle) {
      if (!car_.at(a)) continue;
      for (const Side s : each_side) {
        for (const auto& r : survey_.readings) {
          if (r.set_aside || r.spot.axle != a || r.spot.side != s) continue;
          if (r.kind == ReadingKind::camber && camber(r)) break;
        }
        for (const auto& r : survey_.readings) {
          if (r.set_aside || r.spot.axle != a || r.spot.side != s) continue;
          if (r.kind == ReadingKind::toe && toe(r)) break;
        }
        for (const auto& r : survey_.readings) {
          if (r.set_aside || r.spot.axle != a || r.spot.side != s) continue;
          if (r.kind == ReadingKind::ride_height && arch(r)) break;
        }
      }
      cambers_apart(a);
      toes_opposite(a);
    }
    std::vector<const GaugeRun*> runs;
    for (const auto* list : {&survey_.gauges, &survey_.after})
      for (const auto& g : *list)
        if (!g.set_aside) runs.push_back(&g);
    for (const auto* g : runs) dials(*g);
    for (std::size_t i = 0; i < runs.size(); ++i)
      for (std::size_t j = 0; j < i; ++j) twice(*runs[j], *runs[i]);
    return std::move(asked_);
  }

 private:
  void ask(std::string text, std::vector<Question::Amount> amounts) {
    asked_.push_back({std::move(text), std::move(amounts)});
  }
  const CornerMeasured& corner(const TakenReading& r) const {
    return car_.at(r.spot.axle)->at(r.spot.side);
  }
  static std::string named(const TakenReading& r) {
    return fmt::format("{}, {} of the {} wheel", r.name, word(r.kind),
                       wheel_words(r.spot.axle, r.spot.side));
  }

  bool camber(const TakenReading& r) {
    if (std::fabs(r.value) > leans_much_rad) {
      ask(named(r) +
              ": {} is more than a road car has. Were millimetres at the rim typed for degrees, or "
              "minutes?",
          {{r.value, angle}});
      return true;
    }
    if (r.travel_mm || !car_.at(r.spot.axle)->camber_given) return false;
    const double file = corner(r).numbers.camber_rad;
    const double sigma = std::hypot(r.sigma, corner(r).camber_sigma_rad);
    if (std::fabs(r.value - file) <= contradicts * sigma) return false;
    const bool sign = std::fabs(r.value + file) < 0.5 * std::fabs(r.value - file);
    ask(named(r) + ": {} was read, and the file has {}. " +
            (sign ? "Has it lost its sign? Top leaning in is below zero."
                  : "Were millimetres at the rim typed for degrees? If the reading is right, write "
                    "it into the file as well: camber in [" +
                        std::string(word(r.spot.axle)) + ".wheel]."),
        {{r.value, angle}, {file, angle}});
    return true;
  }

  void cambers_apart(AxleName a) {
    std::array<std::optional<double>, 2> read;
    for (const auto& r : survey_.readings)
      if (!r.set_aside && r.kind == ReadingKind::camber && !r.travel_mm && r.spot.axle == a &&
          !read[static_cast<std::size_t>(r.spot.side)])
        read[static_cast<std::size_t>(r.spot.side)] = r.value;
    if (car_.at(a)->camber_given || !read[0] || !read[1] || *read[0] * *read[1] > 0.0 ||
        std::fabs(*read[0] - *read[1]) < cambers_apart_rad)
      return;
    ask(fmt::format("{} axle: camber is {{}} left and {{}} right. Has one of them lost its sign?",
                    capital(word(a))),
        {{*read[0], angle}, {*read[1], angle}});
  }

  bool toe(const TakenReading& r) {
    if (std::fabs(r.value) > toes_much_rad) {
      ask(named(r) +
              ": {} is far more than a wheel stands at. Were millimetres typed for degrees, or is "
              "one of two edges misread?",
          {{r.value, angle}});
      return true;
    }
    if (r.travel_mm || !car_.at(r.spot.axle)->toe_given) return false;
    const double file = corner(r).numbers.toe_rad;
    const double sigma = std::hypot(r.sigma, corner(r).toe_sigma_rad);
    if (std::fabs(r.value - file) <= contradicts * sigma) return false;
    ask(named(r) + ": {} was read, and the file has {}. " +
            (std::fabs(r.value + file) < 0.5 * std::fabs(r.value - file)
                 ? "Has it lost its sign? Front edge in is above zero."
                 : "Is it toe of both wheels, or was the steering not straight ahead? If the "
                   "reading is right, write it into the file as well: toe in [" +
                       std::string(word(r.spot.axle)) + ".wheel]."),
        {{r.value, angle}, {file, angle}});
    return true;
  }

  // A steering that was not straight ahead toes one wheel in and the other one out.
  void toes_opposite(AxleName a) {
    const auto& axle = *car_.at(a);
    if (!axle.layout.steered() || survey_.rack_mm.sigma) return;
    std::array<double, 2> sum{}, variance{};
    std::array<int, 2> n{};
    for (const auto& r : survey_.readings) {
      if (r.set_aside || r.kind != ReadingKind::toe || r.travel_mm || r.spot.axle != a) continue;
      const auto s = static_cast<std::size_t>(r.spot.side);
      sum[s] += r.value;
      variance[s] += r.sigma * r.sigma;
      ++n[s];
    }
    if (n[0] == 0 || n[1] == 0) return;
    const double left = sum[0] / n[0], right = sum[1] / n[1];
    const double half = 0.5 * (right - left);  // above zero: both point to the left
    const double sigma = 0.5 * std::sqrt(variance[0] / (n[0] * n[0]) + variance[1] / (n[1] * n[1]));
    if (std::fabs(half) < std::max(steered_rad, surely * sigma)) return;
    const auto m = corner_mechanism(axle, Side::left);
    const auto at = solution_as_measured(m);
    const double per_mm = at.found ? std::fabs(at.with_rack.turning.z) : 0.0;
    const char* way = half > 0.0 ? "left" : "right";
    if (per_mm > 1e-5)
      ask(fmt::format(
              "{} axle: toe is {{}} left and {{}} right, so both wheels point to the {}. Was the "
              "rack off its centre, by some {{}} to the {}? Centre it and read again; or write "
              "rack = \"0 ± 5 mm\" into [survey], and the sums find its place.",
              capital(word(a)), way, way),
          {{left, angle}, {right, angle}, {std::fabs(half) / per_mm, mm}});
  }

  bool arch(const TakenReading& r) {
    const auto& file = car_.at(r.spot.axle)->arch_mm[static_cast<std::size_t>(r.spot.side)];
    if (!file || std::fabs(r.value - *file) <= contradicts * r.sigma) return false;
    ask(fmt::format("{}: from hub to arch {{}} was read, and the file has {{}}. {} If the file's "
                    "figure is of another day, correct 'arch' in [{}.wheel].",
                    named(r),
                    r.value > *file
                        ? "Did the car hang on stands? A joint read at droop is of another car."
                        : "Did the car stand lower than it is driven?",
                    word(r.spot.axle)),
        {{r.value, mm}, {*file, mm}});
    return true;
  }

  // Rows whose figures cannot be millimetres of a dial.
  void dials(const GaugeRun& g) {
    std::array<double, 3> low{}, high{};
    for (std::size_t i = 0; i < g.rows.size(); ++i) {
      const std::array<double, 3> n{g.rows[i].travel_mm, g.rows[i].front_mm, g.rows[i].rear_mm};
      for (std::size_t k = 0; k < 3; ++k) {
        low[k] = i == 0 ? n[k] : std::min(low[k], n[k]);
        high[k] = i == 0 ? n[k] : std::max(high[k], n[k]);
      }
    }
    const double travel = high[0] - low[0];
    const double most = std::max(high[1] - low[1], high[2] - low[2]);
    if (most > most_of_travel * travel)
      ask(fmt::format(
              "Gauge run '{}': over {{}} of travel a dial moves {{}}. Were thousandths of "
              "an inch typed for millimetres? A row of the file is in mm; 40 thou are 1.02.",
              g.name),
          {{travel, mm}, {most, mm}});
    else if (travel > long_run_mm && most < least_per_mm * travel * travel)
      ask(fmt::format("Gauge run '{}': over {{}} of travel no dial moves more than {{}}. Were "
                      "inches typed for millimetres, or does the plate not follow the wheel? A row "
                      "of the file is in mm; 0.04 in are 1.02.",
                      g.name),
          {{travel, mm}, {most, mm}});
  }

  void twice(const GaugeRun& a, const GaugeRun& b) {
    const std::size_t n = std::min(a.rows.size(), b.rows.size());
    if (n < run_worth_comparing) return;
    std::size_t same = 0;
    for (std::size_t i = 0; i < n; ++i)
      same += a.rows[i].travel_mm == b.rows[i].travel_mm &&
                      a.rows[i].front_mm == b.rows[i].front_mm &&
                      a.rows[i].rear_mm == b.rows[i].rear_mm
                  ? 1
                  : 0;
    if (static_cast<double>(same) <
        same_rows * static_cast<double>(std::max(a.rows.size(), b.rows.size())))
      return;
    const bool one_wheel = a.axle == b.axle && a.side == b.side;
    ask(fmt::format("Gauge runs '{}' and '{}' are the same rows to the last digit{}. If it was run "
                    "once, take one of them out: a run that stands there twice counts twice.",
                    a.name, b.name,
                    one_wheel && a.with.has_value() != b.with.has_value()
                        ? ", one as the car sits and one with parts fitted"
                    : one_wheel
                        ? ""
                        : fmt::format(", one of the {} wheel and one of the {} wheel",
                                      wheel_words(a.axle, a.side), wheel_words(b.axle, b.side))),
        {});
  }

  const Car& car_;
  const Survey& survey_;
  std::vector<Question> asked_;
};

class OfSums {
 public:
  OfSums(const Car& car, const Adjusted& a) : car_(car), a_(a) {}

  std::vector<Question> all() {
    for (const AxleName a : each_axle)
      if (car_.at(a)) {
        hanging(a);
        far(a);
      }
    for (const auto& c : a_.circumstances)
      if (std::fabs(c.value - c.file_value) > circumstance_off * c.file_sigma)
        asked_.push_back(
            {fmt::format(
                 "The readings put the {} at {{}} (± {{}}), and the file has {{}} (± {{}}). "
                 "Look at it before anything else: every joint hangs on it.",
                 c.what),
             {{c.value, c.measure},
              {c.sigma, c.measure},
              {c.file_value, c.measure},
              {c.file_sigma, c.measure}}});
    return std::move(asked_);
  }

 private:
  const Vec3<double>& file(AxleName a, Side s, int point) const {
    return car_.at(a)->at(s).numbers.points_mm[static_cast<std::size_t>(point)];
  }
  const Vec3<double>& now(AxleName a, Side s, int point) const {
    return a_.car.at(a)->at(s).numbers.points_mm[static_cast<std::size_t>(point)];
  }
  double stated(AxleName a, Side s, int point, int axis) const {
    return car_.at(a)->at(s).sigma_mm[static_cast<std::size_t>(point)][axis];
  }
  double sigma(AxleName a, Side s, int point, int axis) const {
    for (std::size_t i = 0; i < a_.spread.numbers.size(); ++i) {
      const auto& n = a_.spread.numbers[i];
      if (n.of == CarNumber::Of::coordinate && n.axle == a && (n.side == s || n.both_sides) &&
          n.point == point && n.axis == axis)
        return std::sqrt(
            std::max(0.0, a_.spread.covariance(static_cast<int>(i), static_cast<int>(i))));
    }
    return 0.0;
  }

  // How far a joint may be from where the file began.
  double may_be_off(AxleName a, Side s, int point, int axis) const {
    const double own = stated(a, s, point, axis);
    return own > 0.0
               ? std::max(least_off_mm, contradicts * std::hypot(own, sigma(a, s, point, axis)))
               : hand_mm;
  }

  // The car on stands, or on blocks that no floor height tells of.
  void hanging(AxleName a) {
    const auto& layout = car_.at(a)->layout;
    std::vector<std::string> seen;
    std::vector<Question::Amount> amounts;
    bool higher = false;
    double hub = 0.0;
    for (const Side s : each_side) {
      const double up = now(a, s, 0).z - file(a, s, 0).z;
      if (std::fabs(up) > std::fabs(hub)) hub = up;
    }
    const bool hub_as_written =
        std::fabs(hub) <= std::min(hub_off_mm, may_be_off(a, Side::left, 0, 2));
    if (!hub_as_written) {
      seen.push_back(
          fmt::format("the hub stands {{}} {} than the file has it, which is its tyre's "
                      "loaded radius,",
                      hub > 0.0 ? "higher" : "lower"));
      amounts.push_back({std::fabs(hub), mm});
      higher = hub > 0.0;
    }
    const double body = against_the_wheels(a);
    if (body != 0.0) {
      seen.push_back(fmt::format("the body stands {{}} {} against the wheels than in the file",
                                 body > 0.0 ? "higher" : "lower"));
      amounts.push_back({std::fabs(body), mm});
      higher = higher || (hub_as_written && body > 0.0);
    }
    if (const auto& d = car_.at(a)->damper; d && d->open_mm && (layout.damper || layout.strut)) {
      const int top = layout.damper ? layout.damper->top : layout.strut->top;
      const int foot = layout.damper ? layout.damper->foot : layout.strut->foot;
      double longest = 0.0;
      for (const Side s : each_side)
        longest = std::max(longest, length(now(a, s, top) - now(a, s, foot)));
      if (longest > *d->open_mm - from_open_mm) {
        seen.emplace_back("the damper is {} long, and open it is {}");
        amounts.push_back({longest, mm});
        amounts.push_back({*d->open_mm, mm});
        higher = true;
      }
    }
    if (seen.empty()) return;
    asked_.push_back(
        {fmt::format(
             "{} axle: {}. {} If the file is wrong and the reading right, correct the file: the "
             "tyre's loaded radius is the third number of centre in [{}.wheel].",
             capital(word(a)), listed(seen),
             higher ? "Was the car surveyed hanging on stands, or on blocks whose height is not in "
                      "'floor' of [survey]? Joints read at droop are those of another car: put it "
                      "on its tyres and read again."
                    : "Was a height read from the wrong floor, or are these readings of another "
                      "car?",
             word(a)),
         std::move(amounts)});
  }

  // By how much the joints on the body stand higher against those on the wheels than in the file;
  // zero where that is no more than the file is good to.
  double against_the_wheels(AxleName a) const {
    const auto& layout = car_.at(a)->layout;
    std::set<int> body, wheel{0};
    for (const auto& arm : layout.arms) {
      body.insert({arm.body_front, arm.body_rear});
      wheel.insert(arm.upright);
    }
    for (const auto& rod : layout.rods) {
      if (rod.inner_on.on != Carrier::arm) body.insert(rod.inner);
      wheel.insert(rod.upright);
    }
    if (layout.strut) body.insert(layout.strut->top);
    if (layout.swing) body.insert({layout.swing->pivot_inner, layout.swing->pivot_outer});
    double own = 0.0;  // of the file's heights, taken as one error of all of them
    bool rough = false;
    const auto mean = [&](const std::set<int>& points) {
      double sum = 0.0;
      int n = 0;
      for (const int p : points)
        for (const Side s : each_side) {
          const double known = sigma(a, s, p, 2), as_stated = stated(a, s, p, 2);
          // What was not read stands where the file has it.
          if (!(known > 0.0) || (as_stated > 0.0 && known > 0.9 * as_stated)) continue;
          rough = rough || !(as_stated > 0.0);
          own = std::max(own, as_stated);
          sum += now(a, s, p).z - file(a, s, p).z;
          ++n;
        }
      return n > 1 ? std::optional(sum / n) : std::nullopt;
    };
    const auto b = mean(body), w = mean(wheel);
    if (!b || !w) return 0.0;
    const double limit = std::max({least_off_mm, contradicts * own, rough ? body_off_mm : 0.0});
    return std::fabs(*b - *w) > limit ? *b - *w : 0.0;
  }

  void far(AxleName a) {
    const auto& layout = car_.at(a)->layout;
    double worst = 0.0, by = 0.0;
    std::string which;
    std::set<int> joints;
    for (const int p : holding_points(layout))
      for (const Side s : each_side)
        for (int axis = 0; axis < 3; ++axis) {
          const double off = now(a, s, p)[axis] - file(a, s, p)[axis];
          const double share = std::fabs(off) / may_be_off(a, s, p, axis);
          if (share <= 1.0) continue;
          joints.insert(p);
          if (share < worst) continue;
          worst = share;
          by = off;
          which = fmt::format("{}.{}.{} in {}", word(a), word(s),
                              layout.points[static_cast<std::size_t>(p)], "xyz"[axis]);
        }
    if (joints.empty()) return;
    asked_.push_back(
        {fmt::format(
             "{} axle: {} joint{} from where the file began than ten of {} ±{}, {} the most, "
             "by {{}}. Are these readings of this car as the file describes it, counted from "
             "the lines that [survey] names? If they are, write better start values, or a "
             "larger ±, into the file.",
             capital(word(a)), joints.size(),
             joints.size() == 1 ? " stands farther" : "s stand farther",
             joints.size() == 1 ? "its" : "their", " (or a hand's breadth, where it has none)",
             which),
         {{std::fabs(by), mm}}});
  }

  const Car& car_;
  const Adjusted& a_;
  std::vector<Question> asked_;
};

}  // namespace

std::string words(const Question& q, Units units) {
  const InUnits t(units);
  std::string text;
  std::size_t from = 0;
  for (const auto& amount : q.amounts) {
    const auto at = q.text.find("{}", from);
    if (at == std::string::npos) break;
    text += q.text.substr(from, at - from) + t.said(amount.value, amount.measure);
    from = at + 2;
  }
  return text + q.text.substr(from);
}

std::vector<std::string> words(const std::vector<Question>& questions, Units units) {
  std::vector<std::string> all;
  all.reserve(questions.size());
  for (const auto& q : questions) all.push_back(words(q, units));
  return all;
}

std::vector<Question> questions_of_readings(const Car& car, const Survey& survey) {
  return OfReadings(car, survey).all();
}

std::vector<Question> questions_of_sums(const Car& car, const Adjusted& adjusted) {
  return OfSums(car, adjusted).all();
}

}  // namespace trammel
