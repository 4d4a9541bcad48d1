#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <numbers>

#include "base/in_units.h"
#include "base/quantity.h"
#include "base/words.h"
#include "settle/bounce.h"
#include "settle/reasons.h"
#include "settle/settling.h"
#include "told/cautions.h"
#include "told/section_table.h"
#include "travel/tell.h"

namespace trammel {
namespace {

constexpr double pound_kg = 0.45359237;
constexpr double wound_much_rad = 5 * degree_rad;  // of a rubber bush (common practice)
constexpr double cross_good = 0.005;               // of the cross weight (common practice)
constexpr double share_worth_saying = 0.3;         // points of a hundred
constexpr double rear_above_front = 1.05;  // of ride frequency, on the road (common practice)

class Teller {
 public:
  Teller(const Settling& s, Units units) : s_(s), t_(units) {}

  Section told() {
    auto section = begun(SectionId::settle);
    section.answer = answer();
    blocks_ = &section.blocks;
    cautions();
    decided_by();
    blocks_ = &section.working;
    for (std::size_t a = 0; a < 2; ++a)
      if (sits().axle[a]) {
        axle_grid(a);
        axle_words(a);
      }
    roll();
    corners();
    links();
    bushes();
    plots();
    blocks_->emplace_back(travel_drawing(sits(), t_.units()));
    if (s_.corrected) blocks_->emplace_back(travel_drawing(s_.states[*s_.corrected], t_.units()));
    wanting();
    return section;
  }

 private:
  const StateSettled& sits() const { return s_.states[s_.sits]; }
  // What everything is about: corrected where that is, else as it sits.
  const StateSettled& last() const { return s_.states[s_.corrected.value_or(s_.sits)]; }
  void say(std::string text) {
    if (!text.empty()) blocks_->emplace_back(Paragraph{std::move(text)});
  }
  std::string named(const StateSettled& s) const {
    return s.state == "as_measured" ? "as it sits" : state_words(s.state);
  }
  std::string whole(double mm) const { return whole_mm(mm, t_); }
  std::string kg(double x) const {
    return t_.units() == Units::inch ? fmt::format("{:.1f}\u00a0lb", x / pound_kg)
                                     : fmt::format("{:.1f}\u00a0kg", x);
  }
  // The worse side of an axle: where the spring has least left.
  static const CornerSettled& looser(const AxleSettled& a) {
    return a.side[0].loose_mm.value_or(-1e9) >= a.side[1].loose_mm.value_or(-1e9) ? a.side[0]
                                                                                  : a.side[1];
  }

  // What does not serve first, then how it rolls, then the cross weight.
  std::string answer() const {
    const auto judged = in_words(judge(s_), t_.units());
    const bool any = std::any_of(judged.begin(), judged.end(), [](const Judgement& j) {
      return j.verdict() != Serving::not_judged;
    });
    std::vector<std::string> said;
    if (any) said.push_back(counted(judged));
    else
      said.emplace_back(
          sits().axle[0] && sits().axle[0]->side[0].rate
              ? "Wheel rates are known; nothing else is judged: what to weigh and measure stands "
                "at "
                "the end."
              : "Nothing is judged yet: what to weigh and measure stands at the end.");
    if (auto rolls = roll_answer(); !rolls.empty()) said.push_back(std::move(rolls));
    if (s_.cross && std::fabs(*s_.cross - 0.5) > cross_good)
      said.push_back(
          fmt::format("Cross weight is {:.1f}\u00a0%: wind the perches.", 100.0 * *s_.cross));
    std::string all;
    for (const auto& x : said) all += (all.empty() ? "" : " ") + x;
    return all;
  }
  // The axle whose outer stop is touched first in a bend, and where; none by told_side_g.
  static std::optional<std::pair<AxleName, double>> first_touched(const StateSettled& s) {
    std::optional<std::pair<AxleName, double>> first;
    for (const AxleName name : {AxleName::front, AxleName::rear})
      if (const auto& t = s.stop_at[static_cast<std::size_t>(name)];
          t && t->g < told_side_g && (!first || t->g < first->second))
        first = {name, t->g};
    return first;
  }
  std::string roll_answer() const {
    const auto& s = last();
    if (!s.rolled) return {};
    const auto first = first_touched(s);
    const std::string now = &s == &sits() ? "" : fmt::format(", {} as it sits", per_g(sits()));
    const char* tyres = s.tyres_roll_rad ? "tyres counted" : "without what the tyres give";
    if (!first)
      return fmt::format("The body rolls {} per g of cornering, {}{}.", per_g(s), tyres, now);
    const auto touched =
        first->second > 0.0
            ? fmt::format("the {} bump stop is touched by body roll alone from {:.2f}\u00a0g",
                          word(first->first), first->second)
            : fmt::format("the {} bump stop is touched at ride height", word(first->first));
    for (std::size_t a = 0; a < 2; ++a)
      if (s.stop_unknown[a])
        return fmt::format(
            "{}; from there on body roll and load transfer are not judged (needs [{}.stop] "
            "free_length and solid_length).{}",
            capital(touched), word(s.axle[a]->axle),
            first->second > 0.0
                ? fmt::format(" Up to there the body rolls {} per g, {}.", per_g(s), tyres)
                : "");
    return fmt::format(
        "{}; at {:.1f}\u00a0g, stops {}, the body rolls {} per g{}{}.", capital(touched),
        told_side_g, s.tyres_roll_rad ? "and tyres counted" : "counted and tyres not", per_g(s),
        s.without_stops
            ? fmt::format(" ({:.1f}° without the stops)", degrees_per_g(*s.without_stops))
            : "",
        now);
  }
  static double degrees_per_g(const Rolled& r) { return r.roll_rad / r.side_g / degree_rad; }
  static std::string per_g(const StateSettled& s) {
    return s.rolled ? fmt::format("{:.1f}°", degrees_per_g(*s.rolled)) : "?";
  }

  void cautions() {
    bool any_spring = false, any_loose = false;
    for (const auto& state : s_.states)
      for (const auto& a : state.axle)
        if (a) {
          any_spring = any_spring || a->side[0].spring_length_mm;
          for (const auto& c : a->side) any_loose = any_loose || c.loose_mm.value_or(0.0) > 0.0;
        }
    if (any_loose) blocks_->emplace_back(Caution{caution(Care::spring_loose)});
    if (any_spring)
      blocks_->emplace_back(
          Caution{caution({Care::spring_out, Care::gas_damper, Care::brake_hose})});
    blocks_->emplace_back(Caution{caution({Care::not_approved, Care::law})});
  }

  // Rows of figures, a column to each state.
  using Figure = std::function<std::string(const StateSettled&)>;
  struct Rows {
    Grid grid;
    const Settling& s;
    void add(const std::string& what, const std::string& unit, const Figure& figure) {
      std::vector<std::string> row{what};
      bool any = false;
      for (const auto& state : s.states) {
        row.push_back(figure(state));
        any = any || !row.back().empty();
      }
      row.push_back(unit);
      if (any) grid.rows.push_back(std::move(row));
    }
  };
  Rows rows(std::string title) const {
    Rows r{{}, s_};
    r.grid.title = std::move(title);
    r.grid.heads = {""};
    for (const auto& state : s_.states) r.grid.heads.push_back(named(state));
    r.grid.heads.emplace_back("unit");
    r.grid.units.assign(r.grid.heads.size(), "");
    return r;
  }

  // What one decides by, wheel by wheel, as the car will stand.
  void decided_by() {
    Grid g;
    g.title = capital(named(last()));
    g.heads = {""};
    g.units = {""};
    std::vector<const CornerSettled*> corners;
    for (const auto& axle : last().axle)
      for (const Side side : each_side)
        if (axle) {
          corners.push_back(&axle->at(side));
          g.heads.push_back(fmt::format("{} {}", word(axle->axle), word(side)));
          g.units.emplace_back("");
        }
    g.heads.emplace_back("unit");
    g.units.emplace_back("");
    const auto row = [&](const char* what, const std::string& unit, const auto& figure) {
      std::vector<std::string> cells{what};
      bool any = false;
      for (const auto* c : corners) {
        cells.push_back(figure(*c));
        any = any || !cells.back().empty();
      }
      cells.push_back(unit);
      if (any) g.rows.push_back(std::move(cells));
    };
    const auto mm = [&](const std::optional<double>& v) {
      return v ? shown(*v, Measure::length, t_.units()) : std::string();
    };
    const std::string length(t_.unit(Measure::length));
    row("ride frequency", "Hz", [](const CornerSettled& c) {
      return c.frequency_hz ? fmt::format("{:.2f}", *c.frequency_hz) : std::string();
    });
    row("bump-stop clearance", length, [&](const CornerSettled& c) { return mm(c.gap_mm); });
    row("spring still compressed at full droop", length,
        [&](const CornerSettled& c) { return c.loose_mm ? mm(-*c.loose_mm) : std::string(); });
    if (!g.rows.empty()) blocks_->emplace_back(std::move(g));
  }

  void axle_grid(std::size_t a) {
    auto r = rows(fmt::format("{} axle with today's springs, left wheel",
                              capital(word(sits().axle[a]->axle))));
    const auto corner = [a](const StateSettled& s) -> const CornerSettled* {
      return s.axle[a] ? &s.axle[a]->at(Side::left) : nullptr;
    };
    const auto of = [&](Measure m, const std::function<std::optional<double>(
                                       const AxleSettled&, const CornerSettled&)>& value) {
      return [this, a, corner, m, value](const StateSettled& s) -> std::string {
        const auto* c = corner(s);
        if (!c) return {};
        const auto v = value(*s.axle[a], *c);
        return v ? shown(*v, m, t_.units()) : "";
      };
    };
    const auto fixed =
        [&](int decimals, double times,
            const std::function<std::optional<double>(const AxleSettled&, const CornerSettled&)>&
                value) {
          return [a, corner, decimals, times, value](const StateSettled& s) -> std::string {
            const auto* c = corner(s);
            if (!c) return {};
            const auto v = value(*s.axle[a], *c);
            return v ? fmt::format("{:.{}f}", times * *v + 0.0, decimals) : "";
          };
        };
    using A = const AxleSettled&;
    using C = const CornerSettled&;
    using Maybe = std::optional<double>;
    const auto unit = [&](Measure m) { return std::string(t_.unit(m)); };
    r.add("spring per wheel travel", "",
          of(Measure::ratio, [](A, C c) { return c.rate ? Maybe(c.rate->ratio) : Maybe(); }));
    r.add("wheel rate, by the spring", unit(Measure::spring_rate),
          of(Measure::spring_rate,
             [](A, C c) { return c.rate ? Maybe(c.rate->by_spring_n_per_mm) : Maybe(); }));
    r.add("and by the changing ratio", unit(Measure::spring_rate),
          of(Measure::spring_rate,
             [](A, C c) { return c.rate ? Maybe(c.rate->by_ratio_n_per_mm) : Maybe(); }));
    r.add("ride frequency", "Hz", fixed(2, 1.0, [](A, C c) { return c.frequency_hz; }));
    r.add("with the tyre", "Hz", fixed(2, 1.0, [](A, C c) { return c.frequency_with_tyre_hz; }));
    const double per_degree = degree_rad;
    const auto roll_unit = unit(Measure::torque) + "/°";
    r.add("rate in roll, springs", roll_unit, of(Measure::torque, [per_degree](A x, C) {
            return x.springs_nmm_per_rad ? Maybe(*x.springs_nmm_per_rad * per_degree) : Maybe();
          }));
    r.add("rate in roll, bar", roll_unit, of(Measure::torque, [per_degree](A x, C) {
            return x.bar_nmm_per_rad ? Maybe(*x.bar_nmm_per_rad * per_degree) : Maybe();
          }));
    const auto mm = unit(Measure::length);
    r.add("roll centre", mm,
          of(Measure::length, [](A x, C) { return Maybe(x.roll_centre_height_mm); }));
    r.add("hub to arch", mm, of(Measure::length, [](A, C c) { return c.arch_mm; }));
    r.add("perch wound up", mm, of(Measure::length, [](A, C c) { return c.perch_mm; }));
    r.add("full droop", mm, of(Measure::length, [](A, C c) { return Maybe(c.droop_mm); }));
    r.add("spring still pressed there", mm,
          of(Measure::length, [](A, C c) { return c.loose_mm ? Maybe(-*c.loose_mm) : Maybe(); }));
    r.add("free over the bump stop", mm, of(Measure::length, [](A, C c) { return c.gap_mm; }));
    r.add("bump to touch it", mm,
          of(Measure::length, [](A, C c) { return c.mark(TravelEnd::touched); }));
    r.add("bump until it is solid", mm,
          of(Measure::length, [](A, C c) { return c.mark(TravelEnd::solid); }));
    r.add("bump until the damper is closed", mm,
          of(Measure::length, [](A, C c) { return c.mark(TravelEnd::closed); }));
    r.add("drop link to lever", "°", of(Measure::angle, [](A x, C) {
            return x.link[0] ? Maybe(x.link[0]->ride.angle_rad) : Maybe();
          }));
    r.add("anti-dive, braking", "%", fixed(0, 100.0, [](A x, C) { return x.anti_dive; }));
    r.add("anti-lift, braking", "%", fixed(0, 100.0, [](A x, C) { return x.anti_lift; }));
    r.add("anti-squat, driving", "%", fixed(0, 100.0, [](A x, C) { return x.anti_squat; }));
    r.add("anti-lift, driving", "%", fixed(0, 100.0, [](A x, C) { return x.anti_lift_power; }));
    blocks_->emplace_back(std::move(r.grid));
  }

  // What matters of an axle as it will stand.
  void axle_words(std::size_t a) {
    if (!last().axle[a]) return;
    const auto& x = *last().axle[a];
    const auto& c = looser(x);
    std::string text;
    const auto add = [&](const std::string& sentence) {
      text += (text.empty() ? "" : " ") + capital(sentence) + ".";
    };
    if (c.loose_mm) {
      const auto down = t_.mm(c.droop_mm) + " down" +
                        (c.droop_is_usual ? " (taken, since neither damper nor stop says)" : "");
      if (*c.loose_mm > 0.0)
        add(fmt::format("at full droop, {}, the {} spring is loose by {}", down, word(x.axle),
                        t_.mm(*c.loose_mm)));
      else
        add(
            fmt::format("at full droop, {}, the {} spring is still compressed by {}: it cannot "
                        "fall out of its seats",
                        down, word(x.axle), t_.mm(-*c.loose_mm)));
    }
    if (c.gap_mm) {
      if (*c.gap_mm <= 0.0)
        add("the bump stop is pressed at ride height, so the car rides on it: the wheel is two to "
            "four times as stiff as its spring");
      else if (*c.gap_mm < gap_least_mm)
        add(
            fmt::format("{} over the bump stop is little: {} at least, {} or more on the road "
                        "(common practice). A shorter damper is the cure; a stop is cut at a "
                        "groove, its tip kept, never below 40 % of its length",
                        t_.mm(*c.gap_mm), whole(gap_least_mm), whole(gap_road_mm)));
      else if (*c.gap_mm < gap_road_mm)
        add(
            fmt::format("{} over the bump stop does for competition, the road wants {} or more "
                        "(common practice)",
                        t_.mm(*c.gap_mm), whole(gap_road_mm)));
    }
    say(std::move(text));
  }

  void roll() {
    if (!sits().rolled) {
      if (const auto& why = sits().no_roll)
        say(fmt::format("Body roll and load transfer: {}.", words(*why)));
      return;
    }
    auto r = rows(fmt::format("In a steady bend at {:.1f}\u00a0g", told_side_g));
    r.add("body roll", "°", [](const StateSettled& s) {
      return s.rolled ? fmt::format("{:.2f}", s.rolled->roll_rad / degree_rad) : "";
    });
    r.add("per g", "°", [](const StateSettled& s) {
      return s.rolled ? fmt::format("{:.1f}", degrees_per_g(*s.rolled)) : "";
    });
    const auto unit = std::string(t_.unit(Measure::force));
    for (std::size_t a = 0; a < 2; ++a) {
      const std::string axle = a == 0 ? "front" : "rear";
      const auto part = [&](const char* what, double (*value)(const Transfer&)) {
        r.add(fmt::format("{} load transfer{}", axle, what), unit,
              [this, a, value](const StateSettled& s) {
                return s.rolled
                           ? shown(value(s.rolled->axle[a].transfer), Measure::force, t_.units())
                           : "";
              });
      };
      part("", [](const Transfer& x) { return x.total_n(); });
      part(", through the links", [](const Transfer& x) { return x.geometric_n; });
      part(", by springs and bar", [](const Transfer& x) { return x.elastic_n; });
      if (std::any_of(s_.states.begin(), s_.states.end(), [a](const StateSettled& s) {
            return s.rolled && s.rolled->axle[a].transfer.stops_n != 0.0;
          }))
        part(", by the bump stops", [](const Transfer& x) { return x.stops_n; });
      part(", of the wheels' own weight", [](const Transfer& x) { return x.unsprung_n; });
      r.add(fmt::format("{} outer wheel, bump", axle), std::string(t_.unit(Measure::length)),
            [this, a](const StateSettled& s) {
              return s.rolled ? shown(s.rolled->axle[a].travel_mm[1], Measure::length, t_.units())
                              : "";
            });
    }
    r.add("front share of the transfer", "%", [](const StateSettled& s) {
      return s.rolled ? fmt::format("{:.1f}", 100.0 * front_share(*s.rolled)) : "";
    });
    blocks_->emplace_back(std::move(r.grid));
    say(roll_words());
  }
  static double front_share(const Rolled& r) {
    const double f = r.axle[0].transfer.total_n(), b = r.axle[1].transfer.total_n();
    return f / (f + b);
  }
  std::string roll_words() const {
    std::string text;
    const auto built = s_.sits > 0 ? &s_.states.front() : nullptr;
    if (built && built->rolled && sits().rolled)
      text += fmt::format(
          "Lowering alone, on today's springs, takes body roll from {} to {} per g{}. ",
          per_g(*built), per_g(sits()),
          sits().rolled->roll_rad > built->rolled->roll_rad
              ? ", though the weight came down too: the roll centres fell further than it"
              : "");
    if (s_.corrected && last().rolled && sits().rolled) {
      const double share = 100.0 * (front_share(*last().rolled) - front_share(*sits().rolled));
      text += fmt::format(
          "Corrected it is {}{}. ", per_g(last()),
          std::fabs(share) < share_worth_saying
              ? ""
              : fmt::format(", and the front's share of the load transfer goes {} by {:.1f} "
                            "points: {}",
                            share < 0.0 ? "down" : "up", std::fabs(share),
                            share > 0.0 ? "the car pushes a little wider"
                                        : "the tail comes round a little sooner"));
    }
    for (std::size_t a = 0; a < 2; ++a)
      if (const auto& t = last().stop_at[a]; t && last().axle[a]) text += stop_words(a, *t);
    if (last().stop_rate_is_usual)
      text +=
          "The rubber is taken to double the wheel's rate as it is touched and to stiffen up to "
          "its solid length (common practice); rate under [front.stop] and [rear.stop] gives its "
          "own. ";
    if (last().tyres_roll_rad)
      text += fmt::format("{:.1f}° per g of it is the tyres'. ",
                          *last().tyres_roll_rad / told_side_g / degree_rad);
    text +=
        "Usual is 5 to 7° per g for comfort, 3.5 to 5° for a sporting road car, 1.5 to 3° on "
        "the track (common practice).";
    return text;
  }

  std::string stop_words(std::size_t a, const StateSettled::StopTouched& t) const {
    const auto& s = last();
    const auto& axle = *s.axle[a];
    auto text = fmt::format(
        "The {} outer wheel has {} of bump to its stop, and roll alone has used that "
        "up at {:.2f}\u00a0g",
        word(axle.axle), t_.mm(*axle.at(t.side).mark(TravelEnd::touched)), t.g);
    if (s.stop_unknown[a])
      return text + fmt::format(
                        "; what it gives from there on is not known: the table leaves it "
                        "out, and the axle takes more of the transfer than it says. ");
    const auto& r = s.rolled->axle[a];
    const double push = std::max(r.stop_n[0], r.stop_n[1]);
    if (push <= 0.0) return text + ". ";
    return text +
           fmt::format("; at {:.1f}\u00a0g it pushes with {} at the tyre, in the table above. ",
                       told_side_g, t_.said(push, Measure::force));
  }

  void corners() {
    Grid g;
    g.title = "Corners as it sits";
    g.heads = {"", "front left", "front right", "rear left", "rear right", "unit"};
    g.units.assign(g.heads.size(), "");
    const auto row = [&](const char* what, const std::string& unit,
                         const std::function<std::string(std::size_t, std::size_t)>& value) {
      std::vector<std::string> cells{what};
      bool any = false;
      for (std::size_t a = 0; a < 2; ++a)
        for (std::size_t s = 0; s < 2; ++s) {
          cells.push_back(sits().axle[a] ? value(a, s) : "");
          any = any || !cells.back().empty();
        }
      cells.push_back(unit);
      if (any) g.rows.push_back(std::move(cells));
    };
    const auto of = [&](std::optional<double> CornerSettled::*what, Measure m) {
      return [this, what, m](std::size_t a, std::size_t s) -> std::string {
        const auto& v = sits().axle[a]->side[s].*what;
        return v ? shown(*v, m, t_.units()) : "";
      };
    };
    const auto mm = std::string(t_.unit(Measure::length));
    const double mass = t_.units() == Units::inch ? 1.0 / pound_kg : 1.0;
    row("on the spring", t_.units() == Units::inch ? "lb" : "kg",
        [&](std::size_t a, std::size_t s) -> std::string {
          const auto& v = sits().axle[a]->side[s].sprung_kg;
          return v ? fmt::format("{:.0f}", *v * mass) : "";
        });
    row("spring force", std::string(t_.unit(Measure::force)),
        of(&CornerSettled::spring_force_n, Measure::force));
    row("spring, seat to seat", mm, of(&CornerSettled::spring_length_mm, Measure::length));
    row("pressed by", mm, of(&CornerSettled::squash_mm, Measure::length));
    row("loose at full droop", mm, of(&CornerSettled::loose_mm, Measure::length));
    row("damper", mm, of(&CornerSettled::damper_length_mm, Measure::length));
    row("to its open length", mm, of(&CornerSettled::damper_to_open_mm, Measure::length));
    row("to its closed length", mm, of(&CornerSettled::damper_to_closed_mm, Measure::length));
    row("hub to arch", mm, of(&CornerSettled::arch_mm, Measure::length));
    if (s_.perches) {
      row("wind the perch, up +", mm, [&](std::size_t a, std::size_t s) {
        return shown_signed(s_.perches->perch_mm[a][s], Measure::length, t_.units());
      });
      if (s_.turns)
        row("turns", "", [&](std::size_t a, std::size_t s) {
          return fmt::format("{:+.1f}", std::round(10.0 * (*s_.turns)[a][s]) / 10.0 + 0.0);
        });
    }
    if (!g.rows.empty()) blocks_->emplace_back(std::move(g));
    frequencies();
    heights();
    if (!s_.cross) return;
    std::string text = fmt::format(
        "Cross weight (left front and right rear over all): {:.1f}\u00a0%, wanted 50 ± 0.5\u00a0% "
        "with the driver in (common practice).",
        100.0 * *s_.cross);
    if (s_.perches && std::fabs(*s_.cross - 0.5) > cross_good)
      text += fmt::format(
          " Winding all four perches as above, drop links off, moves {} at each front wheel and {} "
          "at each rear one and keeps the ride heights; 1 mm at one perch alone moves {} at every "
          "corner. With the bars linked it moves up to twice that (common practice). Left to right "
          "is changed only by moving weight. Pads level within 1 mm.",
          kg(std::fabs(s_.perches->change_kg[0])), kg(std::fabs(s_.perches->change_kg[1])),
          kg(s_.perches->kg_per_mm));
    say(std::move(text));
  }

  void heights() {
    std::vector<std::string> wound;
    for (std::size_t a = 0; a < 2; ++a)
      if (const auto& p = s_.perch_to_raise_mm[a])
        wound.push_back(fmt::format("{} by {}{}", a == 0 ? "front" : "rear", t_.mm(*p),
                                    s_.perch_pitch_mm[a]
                                        ? fmt::format(" ({:.1f} turns)", *p / *s_.perch_pitch_mm[a])
                                        : ""));
    if (!wound.empty())
      say(fmt::format(
          "To stand {} higher, wind up both perches of an axle: {}. Measure hub to arch "
          "before and after, and weigh the corners last.",
          whole(told_raise_mm), listed(wound)));
  }

  void frequencies() {
    const auto& f = last().axle[0];
    const auto& r = last().axle[1];
    if (!f || !r || !f->side[0].frequency_hz || !r->side[0].frequency_hz) return;
    const double front = *f->side[0].frequency_hz, rear = *r->side[0].frequency_hz;
    say(fmt::format(
        "Ride: {:.2f}\u00a0Hz in front and {:.2f}\u00a0Hz behind{}. Usual is 1.0 to 1.3 for "
        "comfort, "
        "1.3 to 1.6 for a sporting road car, 1.6 to 2.0 for fast road and hill climb, 1.8 to 2.5 "
        "on the track (common practice).{}",
        front, rear,
        f->side[0].frequency_with_tyre_hz && r->side[0].frequency_with_tyre_hz
            ? fmt::format(" ({:.2f} and {:.2f} with the tyres' own give)",
                          *f->side[0].frequency_with_tyre_hz, *r->side[0].frequency_with_tyre_hz)
            : "",
        rear < rear_above_front * front
            ? " On the road the rear is better 5 to 20 % above the front, or the car pitches over "
              "every bump."
            : ""));
    swings();
  }

  // The whole body on both axles, where the tyres' rates are known too.
  void swings() {
    std::array<double, 2> rate{}, load{};
    for (std::size_t a = 0; a < 2; ++a)
      for (const auto& c : last().axle[a]->side) {
        if (!c.rate_with_tyre_n_per_mm || !c.sprung_kg || *c.rate_with_tyre_n_per_mm <= 0.0) return;
        rate[a] += *c.rate_with_tyre_n_per_mm;
        load[a] += *c.sprung_kg * gravity_m_s2;
      }
    if (!s_.wheelbase_mm) return;
    const auto both = bounce_and_pitch(rate, load, *s_.wheelbase_mm, usual_dynamic_index);
    const auto& pitch = both[both[0].pitch ? 0 : 1];
    const auto& bounce = both[both[0].pitch ? 1 : 0];
    say(
        fmt::format("The body goes up and down at {:.2f}\u00a0Hz and pitches at {:.2f}\u00a0Hz "
                    "about a place {} "
                    "{} the centre of gravity, if its masses are spread as usual (dynamic index "
                    "{:g}; 0.8 to 1.1 "
                    "on cars, common practice).",
                    bounce.frequency_hz, pitch.frequency_hz, whole(std::fabs(pitch.still_mm)),
                    pitch.still_mm < 0.0 ? "behind" : "ahead of", usual_dynamic_index));
  }

  void links() {
    for (const auto& a : last().axle) {
      if (!a || !a->link[0]) continue;
      const auto& l = *a->link[0];
      std::string text = fmt::format(
          "{} drop link: {} to the bar's lever at ride height (80 to 100° wanted), {} to {} over "
          "the travel; the lever sweeps {}.",
          capital(word(a->axle)), t_.deg(l.ride.angle_rad), t_.deg(l.least_rad), t_.deg(l.most_rad),
          t_.deg(l.turn_most_rad - l.turn_least_rad));
      if (l.least_rad < link_over_centre_rad ||
          l.most_rad > std::numbers::pi - link_over_centre_rad)
        text +=
            " Lever and link come near one line: the bar may go over centre and lock. Shorten "
            "the travel or change the link before it is driven.";
      else if (l.ride.angle_rad < link_least_rad || l.ride.angle_rad > link_most_rad)
        text += " That is not square enough.";
      if (l.ride.square_mm)
        text += fmt::format(
            " The link is {} between its joints; with {} it stands square at ride "
            "height.",
            t_.mm(l.ride.length_mm), t_.mm(*l.ride.square_mm));
      if (std::fabs(a->bar_twist_rad) > 0.05 * degree_rad && a->right_link_free_mm)
        text += fmt::format(
            " The bar is twisted by {} as the car stands: a right link of {} frees "
            "it.",
            t_.deg(std::fabs(a->bar_twist_rad)), t_.mm(*a->right_link_free_mm));
      text +=
          " Connect both links last, on the wheels, driver in, so that the bolts slide out by "
          "hand.";
      say(std::move(text));
    }
  }

  void bushes() {
    std::vector<std::string> wound;
    for (const auto& a : last().axle)
      if (a)
        for (const auto& b : a->bushes)
          if (b.angle_rad > wound_much_rad)
            wound.push_back(
                fmt::format("{} {} by {:.0f}°", word(a->axle), b.member, b.angle_rad / degree_rad));
    if (wound.empty()) return;
    say(fmt::format(
        "Rubber bushes are tightened at ride height, on the wheels. Tightened at full droop they "
        "would sit wound for life: {}. After any change of height by 10 mm or more, loosen and "
        "tighten them again. Ball joints and rod ends do not care.",
        listed(wound)));
  }

  void plots() {
    for (std::size_t a = 0; a < 2; ++a) {
      Plot p;
      const auto length = shown_unit(Measure::length, t_.units());
      const auto rate = shown_unit(Measure::spring_rate, t_.units());
      for (std::size_t i = 0; i < s_.states.size(); ++i) {
        const auto& axle = s_.states[i].axle[a];
        if (!axle || axle->at(Side::left).over.size() < 2) continue;
        Series s;
        s.name = named(s_.states[i]);
        s.stroke = i == s_.sits        ? Stroke::plain
                   : i == s_.corrected ? Stroke::heavy
                                       : Stroke::thin_dashed;
        for (const auto& w : axle->at(Side::left).over)
          s.points.push_back({w.travel_mm * length.per_inside, w.n_per_mm() * rate.per_inside});
        p.series.push_back(std::move(s));
      }
      if (p.series.empty()) continue;
      p.title = fmt::format("{} wheel rate over the travel", a == 0 ? "Front" : "Rear");
      p.x_head = "travel";
      p.x_unit = std::string(length.symbol);
      p.y_head = "wheel rate";
      p.y_unit = std::string(rate.symbol);
      p.y_decimals = rate.decimals;
      blocks_->emplace_back(std::move(p));
    }
  }

  void wanting() {
    if (s_.wanting.empty()) return;
    std::string text = "To say more: ";
    for (std::size_t i = 0; i < s_.wanting.size(); ++i)
      text += (i == 0 ? "" : "; ") + words(s_.wanting[i]);
    say(text + ".");
  }

  const Settling& s_;
  InUnits t_;
  std::vector<Block>* blocks_ = nullptr;
};

}  // namespace

Section tell(const Settling& settling, Units units) { return Teller(settling, units).told(); }

}  // namespace trammel
