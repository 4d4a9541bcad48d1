#include "align/doubts.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>

#include "base/in_units.h"
#include "base/words.h"

namespace trammel {
namespace {

// Beyond these a reading is asked about (common practice).
constexpr double nearest_string_mm = 25.0;  // nearer to the rim no tyre leaves room for a string
constexpr double toes_much_rad = 1.0 * degree_rad;
constexpr double leans_much_rad = 6.0 * degree_rad;
constexpr double yaws_much_rad = 1.0 * degree_rad;
constexpr double thrusts_much_rad = 1.0 * degree_rad;
constexpr double tilts_much_rad = 1.0 * degree_rad;
constexpr double unlike_caster_rad = 4.0 * degree_rad;  // of the model's
constexpr double cap_apart_mm = 130.0;                  // hub cap from the plane of the rim's edges
constexpr double cap_differs_mm = 8.0;                  // that step, from wheel to wheel of an axle
constexpr double repeats_apart = 4.0;                   // of one reading's ±
constexpr double runs_out_much_mm = 2.0;
constexpr double cambers_apart_rad = 1.0 * degree_rad;  // of one wheel
constexpr double sides_apart_rad = 1.5 * degree_rad;    // of camber, left against right
constexpr double agree_sigmas = 4.0;                    // strings against plates
constexpr double converge_much_rad = 0.3 * degree_rad;
constexpr double setback_much_mm = 25.0;
constexpr double against_the_file = 10.0;  // of the ± of both
constexpr double file_camber_rad = 0.12 * degree_rad, file_toe_rad = 0.08 * degree_rad;
constexpr double arch_read_mm = 1.5;        // where the file gives its figures no ±
constexpr int figures_worth_comparing = 4;  // camber among them: two wheels may well toe alike
constexpr double exchanged_above = 12.0, exchanged_fits = 8.0;  // of chi-square, two values

class Doubts {
 public:
  Doubts(const AlignmentRows& rows, const SessionFound& found, const Carried* before,
         const Ride& stands, Units units)
      : found_(found), before_(before), ride_(stands), t_(units), days_(rows.sessions()) {
    for (const auto& r : rows.rows)
      if (r.when == found.when && !r.set_aside) rows_.push_back(&r);
  }

  std::vector<std::string> all() {
    for (const auto* r : rows_) row(*r);
    for (const AxleName a : {AxleName::front, AxleName::rear}) {
      if (!ride_.at(a)) continue;
      caps(a);
      exchanged(a);
      if (!before_) against_file(a);
      contradictions(a);
      for (const Side s : {Side::left, Side::right}) wheel(a, s);
    }
    strings();
    days();
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
              "{}: {} from the string to the rim is nearer than a tyre lets a string be. Were "
              "degrees typed for distances, or the difference for both edges?",
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
          "{}: toe {} is far more than a car drives with{}", where, t_.deg(w.toe_rad->value),
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

  // Readings of one thing that do not agree, and one reading typed twice.
  void contradictions(AxleName a) {
    for (const Side s : {Side::left, Side::right}) {
      const auto where = capital(wheel_words(a, s));
      std::array<std::vector<double>, 2> places;
      double sigma = 0.0;
      std::vector<double> cambers;
      for (const auto* r : rows_) {
        if (!r->of_wheel(a, s)) continue;
        for (const auto& e : r->edges) {
          places[e.half_turn ? 1 : 0].push_back(e.front_mm.value - e.rear_mm.value);
          sigma = std::max(sigma, std::hypot(e.front_mm.sigma, e.rear_mm.sigma));
        }
        for (const auto& c : r->camber_rad) cambers.push_back(c.value);
      }
      const auto apart = [](const std::vector<double>& v) {
        return v.empty()
                   ? 0.0
                   : *std::max_element(v.begin(), v.end()) - *std::min_element(v.begin(), v.end());
      };
      for (const auto& p : places)
        if (apart(p) > repeats_apart * sigma)
          asked_.push_back(fmt::format(
              "{}: its edges were read more than once and differ by {}. Is one of them of another "
              "wheel, or half a turn on?",
              where, t_.mm(apart(p))));
      if (const auto& out = found_.at(a).at(s).runs_out_mm; out && *out > runs_out_much_mm)
        asked_.push_back(fmt::format(
            "{}: half a turn on, its edges differ by {}: that rim is bent, or one reading is of "
            "another wheel.",
            where, t_.mm(2.0 * *out)));
      if (apart(cambers) > cambers_apart_rad)
        asked_.push_back(fmt::format("{}: its cambers differ by {}. Has one of them lost its sign?",
                                     where, t_.deg(apart(cambers))));
    }
    const auto &l = found_.at(a).at(Side::left).camber_rad,
               &r = found_.at(a).at(Side::right).camber_rad;
    if (l && r && std::fabs(l->value - r->value) > sides_apart_rad)
      asked_.push_back(fmt::format(
          "{} axle: camber is {} left and {} right. Has one of them lost its sign, or is something "
          "bent?",
          capital(word(a)), t_.deg(l->value), t_.deg(r->value)));
    for (std::size_t i = 0; i < rows_.size(); ++i)
      for (std::size_t j = 0; j < i; ++j)
        if (rows_[i]->axle == a && typed_twice(*rows_[j], *rows_[i]))
          asked_.push_back(fmt::format(
              "Lines {} and {} are the same readings to the last digit: were they taken twice, or "
              "only typed twice?",
              rows_[j]->line, rows_[i]->line));
        else if (rows_[i]->axle == a && typed_for_both(*rows_[j], *rows_[i]))
          asked_.push_back(fmt::format(
              "Lines {} and {} are the same figures to the last digit, one of the {} wheel and one "
              "of the {} wheel. Was one wheel's row typed for the other?",
              rows_[j]->line, rows_[i]->line, wheel_words(*rows_[j]->axle, *rows_[j]->side),
              wheel_words(*rows_[i]->axle, *rows_[i]->side)));
    for (const auto* row : rows_)
      if (row->plates && row->axle == a && found_.at(a).at(Side::left).by_edges &&
          found_.at(a).at(Side::right).by_edges) {
        const auto& p = *row->plates;
        const double plates = (p.rear_mm.value - p.front_mm.value) / p.base_mm;
        const auto total = strings_total(a);
        const double sigma =
            std::hypot(std::hypot(p.front_mm.sigma, p.rear_mm.sigma) / p.base_mm, total.sigma);
        if (std::fabs(plates - total.value) > agree_sigmas * sigma)
          asked_.push_back(fmt::format(
              "{} axle: total toe is {} by the strings and {} by the plates. Are front and rear of "
              "the plates exchanged, or is one of these misread?",
              capital(word(a)), t_.deg(total.value), t_.deg(plates)));
      }
  }
  static bool typed_twice(const AlignmentRow& x, const AlignmentRow& y) {
    if (x.axle != y.axle || x.side != y.side || x.edges.empty() || x.edges.size() != y.edges.size())
      return false;
    for (std::size_t i = 0; i < x.edges.size(); ++i)
      if (x.edges[i].front_mm.value != y.edges[i].front_mm.value ||
          x.edges[i].rear_mm.value != y.edges[i].rear_mm.value ||
          x.edges[i].half_turn != y.edges[i].half_turn)
        return false;
    return true;
  }
  // All figures of two wheels alike: edges, hub, camber and the sweep of a row.
  static bool typed_for_both(const AlignmentRow& x, const AlignmentRow& y) {
    if (!x.side || !y.side || (x.axle == y.axle && x.side == y.side)) return false;
    const auto figures = [](const AlignmentRow& r) {
      std::vector<double> all;
      for (const auto& e : r.edges) all.insert(all.end(), {e.front_mm.value, e.rear_mm.value});
      if (r.hub_mm) all.push_back(r.hub_mm->value);
      for (const auto& c : r.camber_rad) all.push_back(c.value);
      if (r.sweep)
        all.insert(all.end(), {r.sweep->camber_out_rad.value, r.sweep->camber_in_rad.value});
      return all;
    };
    const auto a = figures(x), b = figures(y);
    return !x.camber_rad.empty() && static_cast<int>(a.size()) >= figures_worth_comparing && a == b;
  }
  // Left and right together by the strings alone: their yaw drops out.
  Estimate strings_total(AxleName a) const {
    double total = -2.0 * found_.strings_converge_rad, variance = 0.0;
    for (const Side s : {Side::left, Side::right}) {
      double sum = 0.0, own = 0.0;
      int n = 0;
      for (const auto* r : rows_)
        if (r->of_wheel(a, s))
          for (const auto& e : r->edges) {
            sum += std::asin(
                std::clamp((e.front_mm.value - e.rear_mm.value) / *r->across_mm, -0.9, 0.9));
            own = std::max(own, std::hypot(e.front_mm.sigma, e.rear_mm.sigma) / *r->across_mm);
            ++n;
          }
      total += sum / n;
      variance += own * own;
    }
    return {total, std::sqrt(variance)};
  }

  // "as fuond" beside "as found".
  void days() {
    std::vector<std::string> others;
    for (const auto& d : days_)
      if (d != found_.when) others.push_back(d);
    const auto near = nearest_word(lower(found_.when), lowered(others));
    for (const auto& d : others)
      if (!near.empty() && lower(d) == near &&
          std::abs(static_cast<int>(d.size()) - static_cast<int>(found_.when.size())) < 2 &&
          one_slip(lower(d), lower(found_.when)))
        asked_.push_back(
            fmt::format("'{}' and '{}' are two days here. Are they one, and is its name "
                        "misspelt?",
                        d, found_.when));
  }
  static std::string lower(std::string text) {
    for (char& c : text) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    return text;
  }
  static std::vector<std::string> lowered(const std::vector<std::string>& all) {
    std::vector<std::string> low;
    low.reserve(all.size());
    for (const auto& a : all) low.push_back(lower(a));
    return low;
  }
  // The same letters in nearly the same order; days that differ in a figure are two.
  static bool one_slip(std::string x, std::string y) {
    const auto figure = [](char c) { return std::isdigit(static_cast<unsigned char>(c)) != 0; };
    if (std::any_of(x.begin(), x.end(), figure) || std::any_of(y.begin(), y.end(), figure))
      return x == y;
    std::sort(x.begin(), x.end());
    std::sort(y.begin(), y.end());
    return x == y || std::includes(x.begin(), x.end(), y.begin(), y.end()) ||
           std::includes(y.begin(), y.end(), x.begin(), x.end());
  }

  void strings() {
    if (std::fabs(found_.strings_converge_rad) > converge_much_rad)
      asked_.push_back(fmt::format(
          "The strings converge by {} each: are they that far from parallel, or is one of "
          "strings_apart misread?",
          t_.deg(std::fabs(found_.strings_converge_rad))));
    if (found_.setback_mm && std::fabs(found_.setback_mm->value) > setback_much_mm)
      asked_.push_back(
          fmt::format("Hub to hub differs by {} from left to right: is one of the two "
                      "misread?",
                      t_.mm(std::fabs(found_.setback_mm->value))));
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

  // What the file has of a wheel, with its own ± or the usual one.
  Estimate camber_in_file(AxleName a, Side s) const {
    const auto& c = ride_.car.at(a)->at(s);
    return {c.numbers.camber_rad, std::max(c.camber_sigma_rad, file_camber_rad)};
  }
  Estimate toe_in_file(AxleName a, Side s) const {
    const auto& c = ride_.car.at(a)->at(s);
    return {c.numbers.toe_rad, std::max(c.toe_sigma_rad, file_toe_rad)};
  }

  // Camber of the car as it was found, against what the file begins with.
  void against_file(AxleName a) {
    if (found_.fitted || !ride_.car.at(a)->camber_given) return;
    for (const Side s : {Side::left, Side::right}) {
      const auto& read = found_.at(a).at(s).camber_rad;
      const auto file = camber_in_file(a, s);
      if (!read || std::fabs(read->value - file.value) <=
                       against_the_file * std::hypot(read->sigma, file.sigma))
        continue;
      asked_.push_back(fmt::format(
          "{}: camber is {} and the file has {}. {}", capital(wheel_words(a, s)),
          t_.deg(read->value), t_.deg(file.value),
          std::fabs(read->value + file.value) < 0.5 * std::fabs(read->value - file.value)
              ? "Has it lost its sign?"
              : "Were millimetres at the rim typed for degrees? If the reading is right, correct "
                "the file."));
    }
  }

  // Left and right told apart by what the day before found of them, or by what the file has.
  void exchanged(AxleName a) {
    const auto w = 2 * static_cast<std::size_t>(a);
    const auto in_degrees = [&](double x) { return t_.deg(x); };
    const auto ask = [&](const char* what, const auto& now, const auto& was, const auto& said) {
      const auto l = now(found_.at(a).at(Side::left)), r = now(found_.at(a).at(Side::right));
      const std::optional<Estimate>&bl = was[0], &br = was[1];
      if (!l || !r || !bl || !br) return;
      const auto misfit = [&](const Estimate& x, const Estimate& y) {
        const double off = x.value - y.value;
        return off * off / (x.sigma * x.sigma + y.sigma * y.sigma);
      };
      const double as_read = misfit(*l, *bl) + misfit(*r, *br);
      const double turned = misfit(*l, *br) + misfit(*r, *bl);
      if (as_read - turned > exchanged_above && turned < exchanged_fits)
        asked_.push_back(
            fmt::format("{} axle: {} is {} left and {} right, and {} {} and {}. Were the rows of "
                        "one wheel typed for the other: are left and right exchanged?",
                        capital(word(a)), what, said(l->value), said(r->value),
                        before_ ? "the day before left it at" : "the file has", said(bl->value),
                        said(br->value)));
    };
    using Two = std::array<std::optional<Estimate>, 2>;
    Two camber, toe, arch;
    const auto& axle = *ride_.car.at(a);
    for (const Side s : {Side::left, Side::right}) {
      const auto i = static_cast<std::size_t>(s);
      if (before_) {
        camber[i] = before_->camber_rad[w + i];
        toe[i] = before_->toe_rad[w + i];
      } else if (!found_.fitted) {
        if (axle.camber_given) camber[i] = camber_in_file(a, s);
        if (axle.toe_given) toe[i] = toe_in_file(a, s);
        if (axle.arch_mm[i]) arch[i] = Estimate{*axle.arch_mm[i], arch_read_mm};
      }
    }
    ask(
        "camber", [](const WheelFound& f) { return f.camber_rad; }, camber, in_degrees);
    ask(
        "toe", [](const WheelFound& f) { return f.toe_rad; }, toe, in_degrees);
    ask(
        "hub to arch",
        [](const WheelFound& f) {
          return f.arch_mm ? std::optional(Estimate{*f.arch_mm, arch_read_mm}) : std::nullopt;
        },
        arch, [&](double x) { return t_.mm(x); });
  }

  const SessionFound& found_;
  const Carried* before_;
  const Ride& ride_;
  InUnits t_;
  std::vector<std::string> days_;
  std::vector<const AlignmentRow*> rows_;
  std::vector<std::string> asked_;
};

}  // namespace

std::vector<std::string> doubts(const AlignmentRows& rows, const SessionFound& found,
                                const Carried* before, const Ride& stands, Units units) {
  return Doubts(rows, found, before, stands, units).all();
}

}  // namespace trammel
