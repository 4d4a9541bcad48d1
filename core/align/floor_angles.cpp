#include "align/floor_angles.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "align/caster_sweep.h"
#include "base/in_units.h"
#include "base/least_squares.h"
#include "base/quantity.h"
#include "car/by.h"

namespace trammel {
namespace {

// Common practice, one standard uncertainty each.
constexpr double runs_out_mm = 0.35;     // a sound rim, between front and rear edge
constexpr double finest_tape_mm = 0.05;  // nobody tapes across a car to less
constexpr double cap_mm = 0.3;           // how unevenly hub caps sit
constexpr double box_ends_mm = 1.0;      // strings set by eye or tape, hubs not read
constexpr double leant_rim_mm = 0.3;     // a sound rim, between its top and bottom edge
constexpr double axis_rad = degree_rad;  // the model's inclination of the steering axis: 1 degree
constexpr double agree_sigmas = 3.0;     // of the difference of two days
constexpr double surely = 1.645;         // nine in ten
constexpr double nothing_known_rad = 30.0;  // so weak that it moves nothing

int wheel_number(AxleName a, Side s) { return 2 * static_cast<int>(a) + static_cast<int>(s); }
constexpr int yaw_number = 4, unknown_count = 5;

std::optional<Estimate> mean_of(const std::vector<Taken>& all) {
  if (all.empty()) return {};
  double weights = 0.0, sum = 0.0;
  for (const auto& t : all) {
    weights += 1.0 / (t.sigma * t.sigma);
    sum += t.value / (t.sigma * t.sigma);
  }
  return Estimate{sum / weights, 1.0 / std::sqrt(weights)};
}

class Floor {
 public:
  Floor(const AlignmentRows& rows, const std::string& when, const Ride& stands,
        const Survey& survey, const Carried* before)
      : ride_(stands), survey_(survey), before_(before) {
    f_.when = when;
    f_.fitted = rows.fitted(when);
    f_.driven = rows.driven(when);
    for (const auto& r : rows.rows) {
      if (r.when != when || r.set_aside) continue;
      rows_.push_back(&r);
      if (r.toe_turned_mm || r.camber_turned_mm || r.caster_turned_mm)
        f_.turned.push_back(fmt::format("{} {}", word(*r.axle), word(*r.side)));
    }
  }

  SessionFound found() {
    steering();
    toes();
    for (const AxleName a : each_axle)
      if (ride_.car.at(a)) cambers(a);
    if (ride_.at(AxleName::front)) sweeps();
    setback();
    return std::move(f_);
  }

 private:
  AxleFound& axle(AxleName a) { return f_.axle[static_cast<std::size_t>(a)]; }
  WheelFound& wheel(AxleName a, Side s) { return axle(a).side[static_cast<std::size_t>(s)]; }
  double track_mm(AxleName a) const {
    return 2.0 * std::fabs(ride_.car.at(a)->at(Side::left).numbers.points_mm[0].y);
  }

  void steering() {
    for (const auto* r : rows_) {
      if (!r->steering_wheel_rad) continue;
      if (const auto& ratio = ride_.car.body.steering_ratio) {
        f_.steered_rad = *r->steering_wheel_rad / *ratio;
      } else if (std::fabs(*r->steering_wheel_rad) > 1e-9) {
        steered_unknown_ = true;
        f_.wanting.push_back({NotRead::Of::steering_ratio});
      }
    }
  }

  // ------------------------------------------------------------------ toe

  void toes() {
    const auto wheelbase = ride_.car.wheelbase_mm();
    std::vector<std::optional<Estimate>> seen(4);  // against its string, by wheel
    for (const AxleName a : each_axle)
      for (const Side s : each_side)
        seen[static_cast<std::size_t>(wheel_number(a, s))] = against_string(a, s);
    const auto skew = box_skew(wheelbase);
    const bool strung = std::any_of(seen.begin(), seen.end(), [](const auto& e) { return e; });
    f_.strings_converge_rad = strings_converge_rad();
    const double converge = f_.strings_converge_rad;
    bool join = false;
    const Rows rows = [&](const std::vector<double>& x, std::vector<Row>& out) {
      out.clear();
      for (const AxleName a : each_axle)
        for (const Side s : each_side) {
          const int i = wheel_number(a, s);
          const auto& e = seen[static_cast<std::size_t>(i)];
          if (!e) continue;
          const double told =
              x[static_cast<std::size_t>(i)] + outboard_sign(s) * x[yaw_number] + converge;
          out.push_back({(told - e->value) / e->sigma,
                         {{i, 1.0 / e->sigma}, {yaw_number, outboard_sign(s) / e->sigma}}});
        }
      for (const auto* r : rows_)
        if (r->plates) {
          const auto& p = *r->plates;
          const double sigma =
              std::max(std::hypot(p.front_mm.sigma, p.rear_mm.sigma), finest_tape_mm);
          const int l = wheel_number(*r->axle, Side::left), q = wheel_number(*r->axle, Side::right);
          const double tl = x[static_cast<std::size_t>(l)], tr = x[static_cast<std::size_t>(q)];
          out.push_back(
              {(p.base_mm * (std::sin(tl) + std::sin(tr)) - (p.rear_mm.value - p.front_mm.value)) /
                   sigma,
               {{l, p.base_mm * std::cos(tl) / sigma}, {q, p.base_mm * std::cos(tr) / sigma}}});
        }
      out.push_back({(x[yaw_number] - skew.value) / skew.sigma, {{yaw_number, 1.0 / skew.sigma}}});
      for (int i = 0; i < yaw_number && join; ++i)
        if (const auto& b = before_->toe_rad[static_cast<std::size_t>(i)])
          out.push_back({(x[static_cast<std::size_t>(i)] - b->value + steered_by(i)) / b->sigma,
                         {{i, 1.0 / b->sigma}}});
      // What was not read is not known, and the sums go on.
      for (int i = 0; i < yaw_number; ++i)
        out.push_back(
            {x[static_cast<std::size_t>(i)] / nothing_known_rad, {{i, 1.0 / nothing_known_rad}}});
      return true;
    };
    auto fit = least_squares(rows, std::vector<double>(unknown_count, 0.0));
    if (before_) {
      // The day before and the turns are believed where this day's readings agree with them.
      const auto alone = held(fit.rows, unknown_count);
      bool agree = true, any = false;
      for (int i = 0; i < yaw_number; ++i) {
        const auto& b = before_->toe_rad[static_cast<std::size_t>(i)];
        const double variance = alone.covariance(i, i);
        if (!b || variance > worst_known_rad * worst_known_rad) continue;
        any = true;
        const double off = fit.x[static_cast<std::size_t>(i)] + steered_by(i) - b->value;
        agree = agree && std::fabs(off) < agree_sigmas * std::sqrt(variance + b->sigma * b->sigma);
      }
      apart_ = any && !agree;
      if (apart_) f_.assumed.push_back(Assumed::apart_from_day_before);
      if (any && agree) {
        join = f_.carried = true;
        fit = least_squares(rows, fit.x);
      }
    }
    const auto says = held(fit.rows, unknown_count);
    const auto covariance = [&](int i, int j) { return says.covariance(i, j); };
    for (const AxleName a : each_axle) {
      const int l = wheel_number(a, Side::left), r = wheel_number(a, Side::right);
      const double total = std::sqrt(covariance(l, l) + covariance(r, r) + 2.0 * covariance(l, r));
      if (total < worst_known_rad)
        axle(a).total_toe_rad = Estimate{
            fit.x[static_cast<std::size_t>(l)] + fit.x[static_cast<std::size_t>(r)], total};
      for (const Side s : each_side) {
        const int i = wheel_number(a, s);
        const double sigma = std::sqrt(covariance(i, i));
        // Not known where the steering wheel was held off straight by what nobody can tell.
        if (sigma > worst_known_rad || (a == AxleName::front && steered_unknown_)) continue;
        wheel(a, s).toe_rad = Estimate{fit.x[static_cast<std::size_t>(i)] + steered_by(i), sigma};
      }
    }
    if (strung)
      f_.box_yaw_rad = Estimate{fit.x[yaw_number], std::sqrt(covariance(yaw_number, yaw_number))};
    const auto &rl = wheel(AxleName::rear, Side::left), &rr = wheel(AxleName::rear, Side::right);
    if (rl.toe_rad && rr.toe_rad) {
      const int l = wheel_number(AxleName::rear, Side::left),
                r = wheel_number(AxleName::rear, Side::right);
      f_.thrust_rad = Estimate{0.5 * (rl.toe_rad->value - rr.toe_rad->value),
                               0.5 * std::sqrt(std::max(0.0, covariance(l, l) + covariance(r, r) -
                                                                 2.0 * covariance(l, r)))};
    }
    for (const AxleName a : each_axle) {
      if (!ride_.car.at(a)) continue;
      for (const Side s : each_side)
        if (wheel(a, s).by_edges && !wheel(a, s).runs_out_mm) one_place_ = true;
      if (!axle(a).total_toe_rad) f_.wanting.push_back({NotRead::Of::toe, a});
      else if ((!wheel(a, Side::left).toe_rad || !wheel(a, Side::right).toe_rad) &&
               !(a == AxleName::front && steered_unknown_))
        f_.wanting.push_back({NotRead::Of::which_wheel, a});
    }
    if (one_place_) f_.assumed.push_back(Assumed::rim_as_read_once);
  }

  // Toe of a wheel against its string: repeats averaged, then the two places of the rim.
  std::optional<Estimate> against_string(AxleName a, Side s) {
    std::array<std::vector<Taken>, 2> places;  // as it stood, half a turn on
    auto& w = wheel(a, s);
    for (const auto* r : rows_)
      if (r->of_wheel(a, s))
        for (const auto& e : r->edges) {
          const double d = *r->across_mm;
          const double angle =
              std::asin(std::clamp((e.front_mm.value - e.rear_mm.value) / d, -0.9, 0.9));
          places[e.half_turn ? 1 : 0].push_back(
              {angle, std::hypot(e.front_mm.sigma, e.rear_mm.sigma) / (d * std::cos(angle))});
          w.across_mm = d;
        }
    const auto here = mean_of(places[0]), there = mean_of(places[1]);
    if (!here && !there) return {};
    w.by_edges = true;
    if (here && there) {
      w.runs_out_mm = 0.5 * *w.across_mm * std::fabs(here->value - there->value);
      return Estimate{0.5 * (here->value + there->value),
                      0.5 * std::hypot(here->sigma, there->sigma)};
    }
    const auto& one = here ? *here : *there;
    return Estimate{one.value, std::hypot(one.sigma, runs_out_mm / *w.across_mm)};
  }

  // Straightened, the steering wheel turns both front wheels back: what that adds to toe.
  double steered_by(int wheel_number) const {
    return wheel_number == 0 ? f_.steered_rad : wheel_number == 1 ? -f_.steered_rad : 0.0;
  }

  // How the strings stand against the line midway between the wheels, from the hubs: positive with
  // the car's nose to the right of them.
  Estimate box_skew(const std::optional<double>& wheelbase) {
    std::array<std::optional<Estimate>, 2> off;  // by axle: half of left less right
    for (const AxleName a : each_axle) {
      std::array<std::vector<Taken>, 2> hubs;
      for (const auto* r : rows_)
        if (r->axle == a && r->side && r->hub_mm)
          hubs[static_cast<std::size_t>(*r->side)].push_back(*r->hub_mm);
      const auto l = mean_of(hubs[0]), r = mean_of(hubs[1]);
      if (l && r)
        off[static_cast<std::size_t>(a)] = Estimate{
            0.5 * (l->value - r->value),
            0.5 * std::sqrt(l->sigma * l->sigma + r->sigma * r->sigma + 2.0 * cap_mm * cap_mm)};
    }
    const double base = wheelbase.value_or(2500.0);
    if (off[0] && off[1])
      return {std::asin(std::clamp((off[0]->value - off[1]->value) / base, -0.5, 0.5)),
              std::hypot(off[0]->sigma, off[1]->sigma) / base};
    const bool strung =
        std::any_of(rows_.begin(), rows_.end(), [](const auto* r) { return !r->edges.empty(); });
    if (strung) f_.assumed.push_back(Assumed::strings_parallel);
    return {0.0, box_ends_mm / base};
  }

  // What strings that converge add to toe as it is seen: below zero where they close in front.
  double strings_converge_rad() const {
    for (const auto* r : rows_)
      if (r->strings_apart_mm)
        // A string whose front end stands inboard sees a straight wheel toed out.
        return std::atan(0.5 * ((*r->strings_apart_mm)[0] - (*r->strings_apart_mm)[1]) /
                         *r->strings_length_mm);
    return 0.0;
  }

  // ------------------------------------------------------------------ camber and caster

  // How far the floor rises to the left under an axle.
  Estimate rises_left(AxleName a) {
    std::vector<Taken> pads;
    for (const auto* r : rows_)
      if (r->axle == a && r->left_pad_high_mm) pads.push_back(*r->left_pad_high_mm);
    if (const auto m = mean_of(pads))
      return {std::atan(m->value / track_mm(a)), m->sigma / track_mm(a)};
    return {survey_.rises_left_rad.value,
            survey_.rises_left_rad.sigma.value_or(usual_pads_mm / track_mm(a))};
  }
  Estimate rises_forward() {
    const double base = ride_.car.wheelbase_mm().value_or(2500.0);
    std::vector<Taken> pads;
    for (const auto* r : rows_)
      if (r->rear_pads_high_mm) pads.push_back(*r->rear_pads_high_mm);
    if (const auto m = mean_of(pads)) return {-std::atan(m->value / base), m->sigma / base};
    return {survey_.rises_forward_rad.value,
            survey_.rises_forward_rad.sigma.value_or(usual_pads_mm / base)};
  }

  void cambers(AxleName a) {
    const auto tilt = rises_left(a);
    for (const Side s : each_side) {
      auto& w = wheel(a, s);
      std::vector<Taken> all;
      for (const auto* r : rows_) {
        if (!r->of_wheel(a, s)) continue;
        all.insert(all.end(), r->camber_rad.begin(), r->camber_rad.end());
        if (r->arch_mm) w.arch_mm = r->arch_mm->value;
      }
      const auto m = mean_of(all);
      if (!m) continue;
      const double rim = w.across_mm.value_or(400.0);
      const double leant = all.size() == 1 ? leant_rim_mm / rim : 0.0;
      // A floor that is high on the left leans both wheels to the right.
      auto camber =
          Estimate{m->value + outboard_sign(s) * tilt.value,
                   std::sqrt(m->sigma * m->sigma + tilt.sigma * tilt.sigma + leant * leant)};
      if (before_ && !apart_)
        if (const auto& b = before_->camber_rad[static_cast<std::size_t>(wheel_number(a, s))];
            b && std::fabs(camber.value - b->value) <
                     agree_sigmas * std::hypot(camber.sigma, b->sigma)) {
          camber = *mean_of({{camber.value, camber.sigma}, {b->value, b->sigma}});
          f_.carried = true;
        }
      w.camber_rad = camber;
    }
  }

  void sweeps() {
    const auto tilt = rises_left(AxleName::front);
    const auto rise = rises_forward();
    for (const Side s : each_side) {
      auto& w = wheel(AxleName::front, s);
      std::vector<Taken> casters;
      for (const auto* r : rows_)
        if (r->of_wheel(AxleName::front, s) && r->sweep)
          if (const auto k = caster(*r->sweep, s, w, tilt)) casters.push_back({k->value, k->sigma});
      const auto m = mean_of(casters);
      if (!m) continue;
      // Nose up on the floor leans the axis back; caster is against the floor.
      w.caster_rad = Estimate{m->value - rise.value, std::hypot(m->sigma, rise.sigma)};
    }
  }

  std::optional<Estimate> caster(const SweepRead& sweep, Side s, const WheelFound& w,
                                 const Estimate& tilt) {
    const double toe = w.toe_rad ? w.toe_rad->value : 0.0;
    // Inputs with their uncertainties, one after another.
    const std::vector<Estimate> in{
        {sweep.camber_out_rad.value, sweep.camber_out_rad.sigma},
        {sweep.camber_in_rad.value, sweep.camber_in_rad.sigma},
        {sweep.turn_out_rad.value, sweep.turn_out_rad.sigma},
        {sweep.turn_in_rad.value, sweep.turn_in_rad.sigma},
    };
    const auto out_at = [&](const std::vector<double>& x) { return Steered{x[0], x[2] - toe}; };
    const auto in_at = [&](const std::vector<double>& x) { return Steered{x[1], -x[3] - toe}; };
    std::optional<Estimate> best;
    const auto offer = [&](std::vector<Estimate> inputs, const auto& of) {
      std::vector<double> x;
      x.reserve(inputs.size());
      for (const auto& i : inputs) x.push_back(i.value);
      const double value = of(x);
      double variance = 0.0;
      for (std::size_t i = 0; i < inputs.size(); ++i) {
        auto more = x, less = x;
        more[i] += inputs[i].sigma;
        less[i] -= inputs[i].sigma;
        const double by = 0.5 * (of(more) - of(less));
        variance += by * by;
      }
      if (std::isfinite(value) && (!best || variance < best->sigma * best->sigma))
        best = Estimate{value, std::sqrt(variance)};
    };
    const At<double> at(ride_.car.at(AxleName::front)->layout,
                        ride_.at(AxleName::front)->at(s).mechanism,
                        ride_.at(AxleName::front)->at(s).at, ground_for(s, ride_.pitch_rad, 0.0));
    if (applies(Reading::steering_axis_inclination, at.layout)) {
      auto inputs = in;
      inputs.push_back(
          {read(Reading::steering_axis_inclination, at) + outboard_sign(s) * tilt.value, axis_rad});
      offer(inputs,
            [&](const std::vector<double>& x) { return caster_of(out_at(x), in_at(x), x[4]); });
    }
    if (w.camber_rad) {
      auto inputs = in;
      // As the level read it: against gravity.
      inputs.push_back({w.camber_rad->value - outboard_sign(s) * tilt.value, w.camber_rad->sigma});
      offer(inputs, [&](const std::vector<double>& x) {
        return axis_of(out_at(x), in_at(x), {x[4], -toe}).caster_rad;
      });
    }
    return best;
  }

  void setback() {
    for (const auto* r : rows_)
      if (r->wheelbases_mm) {
        const auto& [l, q] = *r->wheelbases_mm;
        f_.setback_mm = Estimate{l.value - q.value, std::hypot(l.sigma, q.sigma)};
      }
  }

  const Ride& ride_;
  const Survey& survey_;
  SessionFound f_;
  const Carried* before_;
  std::vector<const AlignmentRow*> rows_;
  bool one_place_ = false;
  bool steered_unknown_ = false;
  bool apart_ = false;  // the day before and this one do not agree
};

}  // namespace

bool SessionFound::any() const {
  return std::any_of(axle.begin(), axle.end(), [](const AxleFound& a) {
    return a.total_toe_rad || std::any_of(a.side.begin(), a.side.end(), [](const WheelFound& w) {
             return w.toe_rad || w.camber_rad || w.caster_rad || w.arch_mm;
           });
  });
}

SessionFound found_on_floor(const AlignmentRows& rows, const std::string& when, const Ride& stands,
                            const Survey& survey, const Carried* before) {
  return Floor(rows, when, stands, survey, before).found();
}

AnglesRead angles_read(const WheelFound& w) {
  const auto value = [](const std::optional<Estimate>& e) {
    return e ? std::optional(e->value) : std::nullopt;
  };
  return {value(w.toe_rad), value(w.camber_rad), value(w.caster_rad)};
}

double edges_for(double toe_rad, double across_mm) { return across_mm * std::sin(toe_rad); }

std::string thrust_words(const SessionFound& f) {
  if (!f.thrust_rad) return {};
  const auto& t = *f.thrust_rad;
  const auto deg = [](double rad) { return InUnits(Units::metric).deg(std::fabs(rad)); };
  const auto pm = InUnits(Units::metric).deg(t.sigma);
  if (std::fabs(t.value) < surely * t.sigma)
    return fmt::format(
        "The rear axle points straight ahead as far as the readings can tell: "
        "thrust angle {} ± {}.",
        deg(t.value), pm);
  const Side more = t.value > 0.0 ? Side::left : Side::right;
  const double toe = f.at(AxleName::rear).at(more).toe_rad->value;
  const double other =
      f.at(AxleName::rear).at(more == Side::left ? Side::right : Side::left).toe_rad->value;
  const auto wheel_words =
      toe > 0.0 ? fmt::format("The {} rear toes in {}", word(more), deg(toe))
                : fmt::format("The {} rear toes out {}",
                              word(more == Side::left ? Side::right : Side::left), deg(other));
  return fmt::format("{}; the car crabs to the {}: thrust angle {} ± {}.", wheel_words,
                     t.value > 0.0 ? "right" : "left", deg(t.value), pm);
}

std::string setback_words(const SessionFound& f, Units units) {
  if (!f.setback_mm) return {};
  const InUnits t(units);
  const auto& s = *f.setback_mm;
  if (std::fabs(s.value) < surely * s.sigma)
    return fmt::format(
        "The front wheels stand level with each other as far as the tape can tell: "
        "setback {} ± {}.",
        t.mm(std::fabs(s.value)), t.mm(s.sigma));
  return fmt::format(
      "The {} front wheel stands {} ± {} behind the other: setback. It comes from "
      "arm, subframe or body, and no adjuster cures it.",
      s.value > 0.0 ? "right" : "left", t.mm(std::fabs(s.value)), t.mm(s.sigma));
}

}  // namespace trammel
