#include "travel/tell.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "base/check.h"
#include "base/in_units.h"
#include "base/quantity.h"
#include "base/words.h"
#include "car/by.h"
#include "told/section_table.h"
#include "travel/reasons.h"

namespace trammel {
namespace {

constexpr double talk_mm = 25.0;  // bump steer is talked of per 25 mm, or per inch

// Common practice for road cars (no single authority), per wheel and 25 mm of bump: more toe-out
// than the first at the front, or any toe-out beyond the second at the rear, is felt as darting.
constexpr double front_too_much = -0.15 * degree_rad / talk_mm;
constexpr double rear_too_much = -0.05 * degree_rad / talk_mm;

class Teller {
 public:
  explicit Teller(Units units) : units_(units) {}

  std::string mm(double x) const { return shown(x, Measure::length, units_); }
  std::string mm_round(double x) const {
    if (units_ == Units::inch) return fmt::format("{}\u00a0in", shown(x, Measure::length, units_));
    return fmt::format("{:.0f}\u00a0mm", std::round(x) + 0.0);
  }
  std::string deg(double x) const { return shown(x, Measure::angle, units_) + "°"; }
  std::string per() const { return units_ == Units::inch ? "inch" : "25\u00a0mm"; }
  // Per 25 mm or per inch, in degrees.
  std::string slope(double rad_per_mm) const {
    const double per_mm = units_ == Units::inch ? 25.4 : talk_mm;
    return shown(std::fabs(rad_per_mm) * per_mm, Measure::angle, units_) + "°";
  }
  std::string ground(double h) const {
    if (std::fabs(h) < 0.5) return "on the ground";
    return fmt::format("{} {} the ground", mm_round(std::fabs(h)), h > 0.0 ? "above" : "below");
  }
  // "toes out by 0.22°"
  std::string steers(double rad_per_mm) const {
    if (std::fabs(rad_per_mm) * talk_mm < 0.005 * degree_rad) return "keeps its toe";
    return fmt::format("toes {} by {}", rad_per_mm < 0.0 ? "out" : "in", slope(rad_per_mm));
  }
  std::string_view unit(Measure m) const { return shown_unit(m, units_).symbol; }
  std::string value(double x, Measure m) const { return shown(x, m, units_); }

 private:
  Units units_;
};

// Left and right have figures of their own.
bool apart(const Axle& axle) { return !axle.right_is_mirrored; }

// `all`: every reading; else those by which one decides.
Grid state_grid(const Axle& axle, const AxleOverview& o, const Teller& t, bool all) {
  Grid g;
  g.title = fmt::format("{} axle at ride height{}", o.axle == AxleName::front ? "Front" : "Rear",
                        apart(axle) ? "" : " (the right wheel as the left one)");
  g.heads = {""};
  g.units = {""};
  for (const auto& s : o.states) {
    g.heads.push_back(state_words(s.state));
    g.units.emplace_back("");
  }
  g.heads.emplace_back("unit");
  g.units.emplace_back("");
  const auto row = [&](const std::string& label, Measure m, const auto& pick) {
    std::vector<std::string> cells{label};
    for (const auto& s : o.states) cells.push_back(t.value(pick(s), m));
    cells.emplace_back(t.unit(m));
    g.rows.push_back(std::move(cells));
  };
  const auto wheels = [&](const std::string& label, Measure m, const auto& pick) {
    for (const Side side : each_side) {
      if (!apart(axle) && side == Side::right) break;
      row(apart(axle) ? fmt::format("{}, {}", label, word(side)) : label, m,
          [&](const Sweep& s) { return pick(s, side); });
    }
  };
  const auto at = [](Reading r) {
    return [r](const Sweep& s, Side side) { return (*s.ride.at(side))[r]; };
  };
  row("roll centre above ground", Measure::length,
      [](const Sweep& s) { return s.ride.axle->roll_centre_height_mm; });
  wheels("toe-in per bump", Measure::angle_per_length, at(Reading::bump_steer));
  wheels(fmt::format("largest toe change, {} to {}", t.mm(o.window_mm[0]), t.mm(o.window_mm[1])),
         Measure::angle,
         [](const Sweep& s, Side side) { return largest_toe_change(s.positions, side); });
  if (!all) return g;
  wheels("toe-in", Measure::angle, at(Reading::toe));
  wheels("camber", Measure::angle, at(Reading::camber));
  wheels("camber per bump", Measure::angle_per_length, at(Reading::camber_gain));
  for (const Reading r : {Reading::caster, Reading::steering_axis_inclination,
                          Reading::scrub_radius, Reading::caster_trail})
    if (applies(r, axle.layout)) wheels(std::string(info(r).label), info(r).measure, at(r));
  return g;
}

// What the change of height did: from the state that stood highest to the one that stands lowest.
struct Told {
  std::string first;  // for the answer
  std::string rest;
};
Told height_words(const Axle& described, const AxleOverview& o, const Teller& t) {
  const auto& high = o.states.front();
  const auto& low = o.states.back();
  const double by = o.height_mm.front() - o.height_mm.back();
  const auto roll_centre = [](const Sweep& s) { return s.ride.axle->roll_centre_height_mm; };
  const auto bump_steer = [](const Sweep& s, Side side) {
    return (*s.ride.at(side))[Reading::bump_steer];
  };
  // "toes out by 0.22°", or of each wheel where they are unlike.
  const auto steers = [&](const Sweep& s) {
    auto left = t.steers(bump_steer(s, Side::left));
    const auto right = t.steers(bump_steer(s, Side::right));
    if (!apart(described) || left == right) return left;
    return fmt::format("{} at the left and {} at the right", left, right);
  };
  // The one that toes out most.
  const double worse = std::min(bump_steer(low, Side::left), bump_steer(low, Side::right));
  const auto* axle = word(o.axle);
  const std::string rises = t.per() == "inch" ? "1\u00a0in" : t.per();
  Told told;
  if (o.states.size() == 1 || by < 0.5) {
    told.first = fmt::format("The {} roll centre is {}; a {} wheel that rises {} {}.", axle,
                             t.ground(roll_centre(low)), axle, rises, steers(low));
  } else {
    told.first = fmt::format(
        "Lowering the {} by {} takes its roll centre from {} to {}: {:.1f} times as far as the "
        "body "
        "moves.",
        axle, t.mm_round(by), t.ground(roll_centre(high)), t.ground(roll_centre(low)),
        std::fabs(roll_centre(high) - roll_centre(low)) / by);
    const auto name = [](const Sweep& s) {
      return s.state == "as_measured" ? std::string("as measured") : state_words(s.state);
    };
    told.rest = fmt::format("A {} wheel that rises {} {} {}, and {} {}.", axle, rises, steers(high),
                            name(high), steers(low), name(low));
  }
  const auto add = [&](const char* words) {
    told.rest += told.rest.empty() ? "" : " ";
    told.rest += words;
  };
  if (o.axle == AxleName::front && worse < front_too_much)
    add("That is more than a road car should do (common practice: 0.15° per 25 mm): it darts over "
        "bumps, most of all under braking.");
  if (o.axle == AxleName::rear && worse < rear_too_much)
    add("Rear wheels should hardly toe out when they rise (common practice: 0.05° per 25 mm at "
        "most): the back of the car steers itself over crests and in roll.");
  if (roll_centre(low) < 0.0)
    add("A roll centre under the ground lets the car roll more, although its weight sits lower.");
  return told;
}

Grid position_grid(std::string title, const Sweep& s, Side side,
                   const std::vector<Reading>& readings, bool changes, const Teller& t) {
  Grid g;
  g.title = std::move(title);
  const auto head = [&](std::string_view label, std::string_view unit) {
    g.heads.emplace_back(label);
    g.units.emplace_back(unit);
  };
  head("travel", t.unit(Measure::length));
  if (changes) {
    head("toe", t.unit(Measure::angle));
    head("toe change", t.unit(Measure::angle));
  }
  for (const Reading r : readings) head(info(r).label, t.unit(info(r).measure));
  for (const auto& p : s.positions) {
    const auto& c = p.at(side);
    std::vector<std::string> cells;
    if (!c) {
      cells = {t.mm(p.travel_mm)};
      cells.resize(g.heads.size(), "locked");
    } else {
      cells = {t.mm(c->travel_mm)};
      if (changes) {
        cells.push_back(t.value((*c)[Reading::toe], Measure::angle));
        cells.push_back(t.value(c->toe_change_rad, Measure::angle));
      }
      for (const Reading r : readings) cells.push_back(t.value((*c)[r], info(r).measure));
    }
    g.rows.push_back(std::move(cells));
  }
  return g;
}

// Shares of braking dive, braking lift and driving squat that the geometry takes up.
std::optional<Grid> resist_grid(const Sweep& s, Side side, const Teller& t) {
  Grid g;
  g.title = "How much of dive, lift and squat the geometry takes up";
  g.heads = {"travel"};
  g.units = {std::string(t.unit(Measure::length))};
  const auto& ride = s.ride.at(side);
  if (!ride) return {};
  std::vector<std::optional<double> CornerAt::*> shown_ones;
  const auto offer = [&](const char* head, std::optional<double> CornerAt::*which) {
    if (!((*ride).*which)) return;
    g.heads.emplace_back(head);
    g.units.emplace_back("%");
    shown_ones.push_back(which);
  };
  offer("anti-dive, braking", &CornerAt::anti_dive);
  offer("anti-lift, braking", &CornerAt::anti_lift);
  offer("anti-squat, driving", &CornerAt::anti_squat);
  if (shown_ones.empty()) return {};
  for (const auto& p : s.positions)
    if (const auto& c = p.at(side)) {
      std::vector<std::string> cells{t.mm(c->travel_mm)};
      for (const auto which : shown_ones)
        cells.push_back(t.value(((*c).*which).value_or(0.0), Measure::percent));
      g.rows.push_back(std::move(cells));
    }
  return g;
}

Grid axle_grid(const Sweep& s, const Teller& t) {
  Grid g;
  g.title = "The axle";
  const bool turned = std::any_of(s.positions.begin(), s.positions.end(), [](const auto& p) {
    return p.axle && p.axle->ackermann_error_rad;
  });
  const bool sideways = std::any_of(s.positions.begin(), s.positions.end(), [](const auto& p) {
    return p.axle && p.axle->roll_centre_sideways_mm;
  });
  g.heads = {"travel", "roll centre", "track", "track change"};
  g.units.assign(4, std::string(t.unit(Measure::length)));
  if (sideways) {
    g.heads.emplace_back("roll centre, to the left");
    g.units.emplace_back(t.unit(Measure::length));
  }
  if (turned) {
    g.heads.emplace_back("Ackermann error");
    g.units.emplace_back(t.unit(Measure::angle));
  }
  for (const auto& p : s.positions) {
    if (!p.axle) continue;
    std::vector<std::string> cells{t.mm(p.travel_mm), t.mm(p.axle->roll_centre_height_mm),
                                   t.mm(p.axle->track_mm), t.mm(p.axle->track_change_mm)};
    if (sideways)
      cells.push_back(p.axle->roll_centre_sideways_mm ? t.mm(*p.axle->roll_centre_sideways_mm)
                                                      : "-");
    if (turned)
      cells.push_back(p.axle->ackermann_error_rad
                          ? t.value(*p.axle->ackermann_error_rad, Measure::angle)
                          : "-");
    g.rows.push_back(std::move(cells));
  }
  return g;
}

Grid joint_grid(const Sweep& s, Side side, const Teller& t) {
  Grid g;
  g.title =
      "Joint angles, out of the plane square to an upright stud or bolt (strut top: how far it "
      "tips)";
  g.heads = {"joint", "lowest", "highest"};
  g.units = {"", std::string(t.unit(Measure::angle)), std::string(t.unit(Measure::angle))};
  const auto& first = s.ride.at(side);
  if (!first) return g;
  for (std::size_t i = 0; i < first->joints.size(); ++i) {
    double low = first->joints[i].angle_rad, high = low;
    for (const auto& p : s.positions)
      if (const auto& c = p.at(side)) {
        low = std::min(low, c->joints[i].angle_rad);
        high = std::max(high, c->joints[i].angle_rad);
      }
    g.rows.push_back(
        {first->joints[i].joint, t.value(low, Measure::angle), t.value(high, Measure::angle)});
  }
  return g;
}

// How well the figures of the car as it sits are known.
std::string sure_words(const Car& car, const std::vector<AxleOverview>& axles, const Spread& spread,
                       Units units) {
  if (spread.empty())
    return "How sure: the file states no ± and holds no readings, so these figures stand without "
           "one. 1 mm of height at one end of a steering rod or toe link is about 0.03° of bump "
           "steer per 25 mm; what a change does is ten times surer than where it starts.";
  const InUnits t(units);
  std::vector<std::string> parts;
  for (const auto& o : axles) {
    const auto& axle = *car.at(o.axle);
    if (std::none_of(spread.numbers.begin(), spread.numbers.end(),
                     [&](const CarNumber& n) { return n.axle == o.axle; })) {
      parts.push_back(fmt::format("{} not known, no ± is stated of it and nothing was read there",
                                  word(o.axle)));
      continue;
    }
    const auto slope_unit = shown_unit(Measure::angle_per_length, units);
    std::vector<std::string> wheels;
    BySide<double> roll_sigma{};
    for (const Side side : each_side) {
      const auto slopes = reading_slopes(axle, spread, side, 0.0);
      const auto sigma = [&](Reading r) {
        const auto& g = slopes[static_cast<std::size_t>(r)];
        return std::sqrt(std::max(0.0, product(g, spread.covariance, g)));
      };
      roll_sigma[side] = sigma(Reading::roll_centre_height);
      if (side == Side::right && !apart(axle)) break;
      wheels.push_back(fmt::format(
          "± {:.3f}\u00a0{}{}", sigma(Reading::bump_steer) * slope_unit.per_inside,
          t.unit(Measure::angle_per_length), apart(axle) ? fmt::format(" {}", word(side)) : ""));
    }
    parts.push_back(fmt::format("{} bump steer to {} and roll centre{} to ± {}", word(o.axle),
                                listed(wheels), apart(axle) ? " by the left wheel" : "",
                                t.mm(roll_sigma.left)));
  }
  return fmt::format(
      "How sure, as the car sits: {} (one standard uncertainty). What a change does is far surer "
      "than where it starts.",
      listed(parts));
}

// Between which limits nine chances in ten lie.
Grid band_grid(const Sweep& s, const Bands& bands, Side side, const Teller& t) {
  Grid g;
  g.title = fmt::format("Nine chances in ten lie between these, {} wheel", word(side));
  g.heads = {"travel"};
  g.units = {std::string(t.unit(Measure::length))};
  const auto& of = told_bands();
  for (const auto& b : of) {
    const auto label = b.change ? "toe change" : std::string(info(b.reading).label);
    for (const char* end : {"from", "to"}) {
      g.heads.push_back(fmt::format("{} {}", label, end));
      g.units.emplace_back(t.unit(info(b.reading).measure));
    }
  }
  for (std::size_t i = 0; i < bands.travel_mm.size(); ++i) {
    if (!s.positions[i].at(side)) continue;
    std::vector<std::string> row{t.mm(bands.travel_mm[i])};
    for (std::size_t k = 0; k < of.size(); ++k) {
      const auto& band = bands.side[static_cast<std::size_t>(side)][k][i];
      row.push_back(t.value(band.front(), info(of[k].reading).measure));
      row.push_back(t.value(band.back(), info(of[k].reading).measure));
    }
    g.rows.push_back(std::move(row));
  }
  return g;
}

std::string heave_words(Heave heave) {
  switch (heave) {
    case Heave::none:
      return {};
    case Heave::equal_travels:
      return "Body roll: no spring is in the file, so one wheel rises as much as the other falls.";
    case Heave::load_kept:
      return "Body roll: the body finds the height at which the springs carry the same load.";
    case Heave::load_kept_without_preload:
      return "Body roll: the springs carry the same load; without corner weights or a free length "
             "in "
             "the file their force at ride height is taken as unknown, which matters little.";
  }
  return {};
}

}  // namespace

const std::vector<BandOf>& told_bands() {
  static const std::vector<BandOf> of{{Reading::toe, true},
                                      {Reading::camber, false},
                                      {Reading::bump_steer, false},
                                      {Reading::roll_centre_height, false}};
  return of;
}

std::string state_words(std::string_view state) {
  std::string text(state);
  std::replace(text.begin(), text.end(), '_', ' ');
  return text;
}

Answer<std::vector<AxleOverview>, NotStanding> overview(
    const Car& car, const std::array<std::array<double, 2>, 2>& window_mm) {
  std::vector<AxleOverview> axles;
  for (const AxleName name : {AxleName::front, AxleName::rear})
    if (car.at(name)) axles.push_back({name, window_mm[static_cast<std::size_t>(name)], {}, {}});
  std::vector<const RideState*> states{nullptr};
  for (const auto& s : car.states) states.push_back(&s);
  const auto height = [](const RideState* s) {
    return s ? 0.5 * (s->axle[0].height_mm + s->axle[1].height_mm) : 0.0;
  };
  std::stable_sort(states.begin(), states.end(),
                   [&](const RideState* a, const RideState* b) { return height(a) > height(b); });
  for (const auto* state : states) {
    const auto r = ride(car, state);
    if (!r.value) return {{}, r.why};
    for (auto& o : axles) {
      o.states.push_back(sweep(*r.value, o.axle, {steps_over(o.window_mm), 0.0, 0.0}));
      o.height_mm.push_back(state ? state->at(o.axle).height_mm : 0.0);
    }
  }
  return {std::move(axles), {}};
}

Section tell(const Car& car, const std::vector<AxleOverview>& axles, const Spread& spread,
             Units units) {
  const Teller t(units);
  const bool other_states = !axles.empty() && axles.front().states.size() > 1;
  auto section = begun(SectionId::travel);
  if (other_states)
    section.question = "What does the change of height do, and what do the wheels do?";
  for (const auto& o : axles) {
    const auto told = height_words(*car.at(o.axle), o, t);
    section.answer += (section.answer.empty() ? "" : " ") + told.first;
    if (!told.rest.empty()) section.working.emplace_back(Paragraph{told.rest});
  }
  for (const auto& o : axles) {
    section.blocks.emplace_back(state_grid(*car.at(o.axle), o, t, false));
    section.working.emplace_back(state_grid(*car.at(o.axle), o, t, true));
  }
  std::string signs = fmt::format(
      "Toe-in and camber are per wheel; toe-in is positive, camber is negative with the wheel's "
      "top "
      "inward. Bump: the wheel rises against the body; per {}.",
      t.per());
  for (const auto& o : axles)
    if (const auto from = o.states.back().axis_from; from != AxisFrom::none)
      signs += fmt::format(" Steering axis: {}.", words(from));
  section.working.emplace_back(Paragraph{signs});
  section.blocks.emplace_back(Paragraph{sure_words(car, axles, spread, units)});
  return section;
}

Section tell(const Car& car, const Sweep& s, const Bands& bands, const std::vector<Side>& sides,
             Units units) {
  const Teller t(units);
  const auto& axle = *car.at(s.axle);
  Section section;
  const bool alike = axle.right_is_mirrored && !s.positions.empty() &&
                     s.positions.front().roll_rad == 0.0 && s.positions.front().rack_mm == 0.0;
  section.question = fmt::format("What do the {} wheels do over their travel, {}?", word(s.axle),
                                 state_words(s.state));
  const auto sides_told = alike && sides.size() > 1 ? std::vector<Side>{Side::left} : sides;
  for (const Side side : sides_told) {
    const CornerAt* low = nullptr;
    const CornerAt* high = nullptr;
    for (const auto& p : s.positions)
      if (const auto& c = p.at(side)) {
        if (!low || c->travel_mm < low->travel_mm) low = &*c;
        if (!high || c->travel_mm > high->travel_mm) high = &*c;
      }
    if (!low) continue;
    section.answer += fmt::format(
        "{}From {} to {} {} of travel the {} wheel's toe changes by up to {} and its camber runs "
        "from {} to {}; the roll centre by that wheel goes from {} to {}.",
        section.answer.empty() ? "" : " ", t.mm(low->travel_mm), t.mm(high->travel_mm),
        t.unit(Measure::length), word(side), t.deg(largest_toe_change(s.positions, side)),
        t.deg((*low)[Reading::camber]), t.deg((*high)[Reading::camber]),
        t.ground((*low)[Reading::roll_centre_height]),
        t.ground((*high)[Reading::roll_centre_height]));
  }
  if (section.answer.empty()) section.answer = "None of the positions asked for exists.";
  std::vector<std::string> missing;  // each told once
  for (const auto& p : s.positions)
    for (const auto& l : p.locked) {
      if (!l) continue;
      auto text = fmt::format("No position: {}.", words(*l, units));
      if (std::find(missing.begin(), missing.end(), text) == missing.end())
        missing.push_back(std::move(text));
    }
  std::string all_missing;
  for (const auto& one : missing) all_missing += (all_missing.empty() ? "" : " ") + one;
  if (!missing.empty()) section.blocks.emplace_back(Paragraph{std::move(all_missing)});
  const auto kept = [&](std::vector<Reading> readings) {
    std::erase_if(readings, [&](Reading r) { return !applies(r, axle.layout); });
    return readings;
  };
  for (const Side side : sides_told) {
    const auto who =
        fmt::format("{} {} wheel{}", s.axle == AxleName::front ? "Front" : "Rear", word(side),
                    alike && sides.size() > 1 ? " (the right one alike)" : "");
    section.blocks.emplace_back(
        position_grid(who, s, side,
                      {Reading::camber, Reading::bump_steer, Reading::camber_gain,
                       Reading::roll_centre_height, Reading::half_track},
                      true, t));
    if (!bands.travel_mm.empty()) section.blocks.emplace_back(band_grid(s, bands, side, t));
    if (const auto r = kept({Reading::caster, Reading::steering_axis_inclination,
                             Reading::scrub_radius, Reading::caster_trail});
        !r.empty())
      section.blocks.emplace_back(position_grid(
          fmt::format("Steering axis, {}", words(s.axis_from)), s, side, r, false, t));
    if (const auto r = kept({Reading::spring_length, Reading::spring_motion_ratio,
                             Reading::damper_length, Reading::damper_motion_ratio,
                             Reading::strut_length, Reading::bar_turn, Reading::bar_motion_ratio});
        !r.empty())
      section.blocks.emplace_back(
          position_grid("Spring, damper and roll bar", s, side, r, false, t));
    section.blocks.emplace_back(position_grid(
        "Side view: how far the wheel moves forward as it rises", s, side,
        {Reading::contact_forward, Reading::contact_side_view, Reading::centre_side_view}, false,
        t));
    if (auto g = resist_grid(s, side, t)) section.blocks.emplace_back(std::move(*g));
    section.blocks.emplace_back(joint_grid(s, side, t));
  }
  section.blocks.emplace_back(axle_grid(s, t));
  std::string notes = s.toe_set ? "Toe was set at this ride height, as the file says."
                      : s.state == "as_measured" ? "Toe is as measured."
                                                 : "Toe is what the change of height left of it.";
  if (s.camber_set) notes += " Camber was set there too.";
  if (const auto h = heave_words(s.heave); !h.empty()) notes += " " + h;
  section.blocks.emplace_back(Paragraph{notes});
  return section;
}

}  // namespace trammel
