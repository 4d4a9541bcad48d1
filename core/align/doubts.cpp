#include "align/doubts.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/in_units.h"

namespace trammel {
namespace {

// Beyond these a reading is asked about (common practice).
constexpr double nearest_string_mm = 25.0;  // nearer to the rim no tyre leaves room for a string
constexpr double toes_much_rad = 1.5 * degree_rad;
constexpr double leans_much_rad = 6.0 * degree_rad;
constexpr double yaws_much_rad = 1.0 * degree_rad;
constexpr double thrusts_much_rad = 1.0 * degree_rad;
constexpr double tilts_much_rad = 1.0 * degree_rad;
constexpr double unlike_caster_rad = 4.0 * degree_rad;  // of the model's
constexpr double cap_apart_mm = 45.0;                   // hub cap from the plane of the rim's edges
constexpr double cap_differs_mm = 8.0;                  // that step, from wheel to wheel of an axle
constexpr double exchanged_above = 12.0, exchanged_fits = 8.0;  // of chi-square, two values

class Doubts {
 public:
  Doubts(const AlignmentRows& rows, const SessionFound& found, const SessionFound* before,
         const Ride& stands, Units units)
      : found_(found), before_(before), ride_(stands), t_(units) {
    for (const auto& r : rows.rows)
      if (r.when == found.when && !r.set_aside) rows_.push_back(&r);
  }

  std::vector<std::string> all() {
    for (const auto* r : rows_) row(*r);
    for (const AxleName a : {AxleName::front, AxleName::rear}) {
      if (!ride_.at(a)) continue;
      caps(a);
      exchanged(a);
      for (const Side s : {Side::left, Side::right}) wheel(a, s);
    }
    strings();
    return std::move(asked_);
  }

 private:
  static std::string wheel_words(AxleName a, Side s) {
    return fmt::format("{} {}", word(a), word(s));
  }

  void row(const AlignmentRow& r) {
    if (r.side) {
      const auto where = wheel_words(*r.axle, *r.side);
      for (const auto& e : r.edges) {
        const double least = std::min(e.front_mm.value, e.rear_mm.value);
        if (least < nearest_string_mm) {
          asked_.push_back(fmt::format(
              "{}: {} from the string to the rim, where the tyre itself stands wider than that. "
              "Were degrees typed for distances, or the difference for both edges?",
              capital(where), t_.mm(least)));
          break;
        }
      }
      for (const auto& c : r.camber_rad)
        if (std::fabs(c.value) > leans_much_rad) {
          asked_.push_back(fmt::format(
              "{}: camber {} is more than a road car has. Were millimetres at the rim typed for "
              "degrees, or minutes?",
              capital(where), t_.deg(c.value)));
          break;
        }
      if (r.hub_mm && r.edges.empty() && r.hub_mm->value < nearest_string_mm)
        asked_.push_back(fmt::format("{}: string to hub {} is nearer than a tyre lets a string be.",
                                     capital(where), t_.mm(r.hub_mm->value)));
    }
    if (r.axle && r.left_pad_high_mm) {
      const double track =
          2.0 * std::fabs(ride_.car.at(*r.axle)->at(Side::left).numbers.points_mm[0].y);
      if (std::fabs(std::atan(r.left_pad_high_mm->value / track)) > tilts_much_rad)
        asked_.push_back(fmt::format(
            "The floor under the {} axle falls {} from side to side: shim the pads to within a "
            "millimetre or two, or read the water level again.",
            word(*r.axle), t_.mm(std::fabs(r.left_pad_high_mm->value))));
    }
    if (r.steering_wheel_rad && std::fabs(*r.steering_wheel_rad) > 90.0 * degree_rad)
      asked_.push_back(
          fmt::format("The steering wheel was held {} from straight: that is no straight ahead.",
                      t_.deg(std::fabs(*r.steering_wheel_rad))));
  }

  // The step from hub cap to rim is the same at both wheels of an axle.
  void caps(AxleName a) {
    std::array<std::optional<double>, 2> step;
    for (const Side s : {Side::left, Side::right}) {
      std::optional<double> hub;
      double rim = 0.0;
      int n = 0;
      for (const auto* r : rows_) {
        if (!r->of_wheel(a, s)) continue;
        if (r->hub_mm) hub = r->hub_mm->value;
        for (const auto& e : r->edges) rim += 0.5 * (e.front_mm.value + e.rear_mm.value), ++n;
      }
      if (!hub || n == 0) continue;
      step[static_cast<std::size_t>(s)] = *hub - rim / n;
      if (std::fabs(*hub - rim / n) > cap_apart_mm)
        asked_.push_back(fmt::format(
            "{}: hub and rim edges stand {} apart. Do they belong to one wheel, and to one string?",
            capital(wheel_words(a, s)), t_.mm(std::fabs(*hub - rim / n))));
    }
    if (step[0] && step[1] && std::fabs(*step[0] - *step[1]) > cap_differs_mm)
      asked_.push_back(fmt::format(
          "From hub cap to rim it is {} on the {} left and {} on the right. Are the hubs of left "
          "and right exchanged, or is one of them misread?",
          t_.mm(*step[0]), word(a), t_.mm(*step[1])));
  }

  void wheel(AxleName a, Side s) {
    const auto& w = found_.at(a).at(s);
    const auto where = capital(wheel_words(a, s));
    if (w.toe_rad && std::fabs(w.toe_rad->value) > toes_much_rad)
      asked_.push_back(fmt::format(
          "{}: toe {} is far more than a car drives with{}.", where, t_.deg(w.toe_rad->value),
          w.by_edges ? ". Is one of the two edges misread by 10 mm, or was the string not straight"
                     : ""));
    if (w.caster_rad) {
      const At<double> at(ride_.car.at(a)->layout, ride_.at(a)->at(s).mechanism,
                          ride_.at(a)->at(s).at, ground_for(s, ride_.pitch_rad, 0.0));
      if (applies(Reading::caster, at.layout)) {
        const double model = read(Reading::caster, at), is = w.caster_rad->value;
        if (std::fabs(-is - model) < std::fabs(is - model) &&
            std::fabs(is - model) > unlike_caster_rad * 0.5)
          asked_.push_back(fmt::format(
              "{}: caster comes out as {} and the joints say {}. Are out and in of the sweep "
              "exchanged? Out: the wheel's front edge away from the car.",
              where, t_.deg(is), t_.deg(model)));
        else if (std::fabs(is - model) > unlike_caster_rad)
          asked_.push_back(fmt::format(
              "{}: caster comes out as {} and the joints say {}: read the sweep again, brake held, "
              "turned as far as the row says.",
              where, t_.deg(is), t_.deg(model)));
      }
    }
  }

  void strings() {
    if (found_.box_yaw_rad && std::fabs(found_.box_yaw_rad->value) > yaws_much_rad)
      asked_.push_back(fmt::format(
          "By the hubs the strings stand {} askew to the car. Do they run across it, a front end "
          "tied to the other side's rear end, or are left and right of one axle exchanged? A box "
          "that is merely askew is allowed for.",
          t_.deg(std::fabs(found_.box_yaw_rad->value))));
    if (found_.thrust_rad && std::fabs(found_.thrust_rad->value) > thrusts_much_rad)
      asked_.push_back(fmt::format(
          "A thrust angle of {} would be felt at once: is one side of the rear axle exchanged or "
          "misread?",
          t_.deg(std::fabs(found_.thrust_rad->value))));
  }

  // Left and right told apart by what the day before found of them.
  void exchanged(AxleName a) {
    if (!before_) return;
    const auto ask = [&](const char* what, auto of) {
      const auto l = of(found_.at(a).at(Side::left)), r = of(found_.at(a).at(Side::right));
      const auto bl = of(before_->at(a).at(Side::left)), br = of(before_->at(a).at(Side::right));
      if (!l || !r || !bl || !br) return;
      const auto misfit = [&](const Estimate& x, const Estimate& y) {
        const double off = x.value - y.value;
        return off * off / (x.sigma * x.sigma + y.sigma * y.sigma);
      };
      const double as_read = misfit(*l, *bl) + misfit(*r, *br);
      const double turned = misfit(*l, *br) + misfit(*r, *bl);
      if (as_read - turned > exchanged_above && turned < exchanged_fits)
        asked_.push_back(fmt::format(
            "{} axle: {} is {} left and {} right, and was {} and {} on '{}'. Are left and right "
            "exchanged?",
            capital(word(a)), what, t_.deg(l->value), t_.deg(r->value), t_.deg(bl->value),
            t_.deg(br->value), before_->when));
    };
    ask("camber", [](const WheelFound& w) { return w.camber_rad; });
    ask("toe", [](const WheelFound& w) { return w.toe_rad; });
  }

  const SessionFound& found_;
  const SessionFound* before_;
  const Ride& ride_;
  InUnits t_;
  std::vector<const AlignmentRow*> rows_;
  std::vector<std::string> asked_;
};

}  // namespace

std::vector<std::string> doubts(const AlignmentRows& rows, const SessionFound& found,
                                const SessionFound* before, const Ride& stands, Units units) {
  return Doubts(rows, found, before, stands, units).all();
}

}  // namespace trammel
