#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "base/in_units.h"
#include "base/quantity.h"
#include "base/statistics.h"
#include "base/words.h"
#include "car/joint_words.h"
#include "prove/proving.h"
#include "prove/reasons.h"
#include "told/cautions.h"
#include "told/section_table.h"

namespace trammel {
namespace {

// Measured and predicted slope apart by more: stop (common practice).
constexpr double stop_rad_per_mm = 0.1 * degree_rad / 25.0;
constexpr double bends_too = 0.4;  // of the slope's part at the ends: a bend worth a word
constexpr std::size_t most_named = 5;

const char* body_way(int axis, Side side, double by) {
  const bool plus = by > 0.0;
  if (axis == 0) return plus ? "further forward" : "further back";
  if (axis == 1) return plus == (side == Side::left) ? "further out" : "further in";
  return plus ? "higher" : "lower";
}

class Teller {
 public:
  Teller(const Proving& p, const Car& car, Units units) : p_(p), car_(car), t_(units) {}

  Section told() {
    auto s = begun(SectionId::prove);
    blocks_ = &s.blocks;
    for (const auto& a : p_.axle)
      if (a) s.answer += (s.answer.empty() ? "" : " ") + answer(*a);
    if (s.answer.empty()) {
      s.answer = "There is nothing to prove: no part is to be fitted.";
      return s;
    }
    cautions();
    blocks_->emplace_back(verdict_grid());
    if (not_run()) blocks_->emplace_back(Caution{gauge_run_cautions()});
    blocks_ = &s.working;
    for (const auto& a : p_.axle) {
      if (!a) continue;
      for (const auto& corner : a->corners) tell_corner(*a, corner);
      if (!a->corners.empty()) both_corners(*a);
      for (const auto& e : a->expected) tell_expected(*a, e);
    }
    how_to_take();
    again();
    return s;
  }

 private:
  void say(std::string text) {
    if (!text.empty()) blocks_->emplace_back(Paragraph{std::move(text)});
  }
  const RunProof& run(const CornerProved& c) const { return p_.runs[c.run]; }
  const Axle& axle(AxleName a) const { return *car_.at(a); }
  std::string corner_name(AxleName a, Side s) const {
    return fmt::format("{} {} wheel", word(a), word(s));
  }
  std::string set_of(const RunSetUp& as) const {
    return as.shelf.choices.empty() ? "nothing fitted" : fit_words(as.shelf, as.fit, t_.units());
  }

  // ------------------------------------------------------------------ the answer

  std::string answer(const AxleProved& a) const {
    const auto name = capital(word(a.axle));
    if (a.corners.empty())
      return fmt::format(
          "{} left and {} right: not run yet with the parts fitted{}.", name, word(a.axle),
          a.unfinished > 0 ? "; what was begun needs three rows over more than 5 mm" : "");
    std::string text;
    for (const Side side : each_side) {
      const auto* c = a.corner(side);
      text +=
          fmt::format("{}{} {}: {}", text.empty() ? "" : " ", name, word(side),
                      c ? fmt::format("{}. {}", verdict_words(run(*c).verdict), corner_answer(*c))
                        : std::string("not run."));
    }
    if (a.other_set)
      text +=
          " The run was made with other parts than those that are to be fitted: what was run is "
          "not what is on the list.";
    return text;
  }

  // A wheel is still to be run.
  bool not_run() const {
    return std::any_of(p_.axle.begin(), p_.axle.end(),
                       [](const auto& a) { return a && a->corners.size() < 2; });
  }
  // Wheel by wheel, what came of its run.
  Grid verdict_grid() const {
    Grid g;
    g.heads = {"wheel", "", "toe changes by", "wanted"};
    g.units = {"", "", "°", "°"};
    for (const auto& a : p_.axle) {
      if (!a) continue;
      for (const Side side : each_side) {
        const auto* c = a->corner(side);
        const auto* w = c && run(*c).window ? &*run(*c).window : nullptr;
        g.rows.push_back({fmt::format("{} {}", word(a->axle), word(side)),
                          c ? std::string(word(run(*c).verdict)) : "not run",
                          w ? shown(w->change_max_rad, Measure::angle, t_.units()) : "",
                          w ? shown(w->wanted_rad, Measure::angle, t_.units()) : ""});
      }
    }
    return g;
  }

  static std::string_view verdict_words(Verdict v) {
    return v == Verdict::wrong ? "no, something is bent, loose or not as it was written down"
                               : word(v);
  }

  std::string corner_answer(const CornerProved& c) const {
    const auto& r = run(c);
    const auto wheel = fmt::format("The {} wheel", word(c.side));
    if (r.why) return fmt::format("{} cannot be judged: {}.", wheel, words(*r.why, t_.units()));
    if (r.loose)
      return fmt::format("Something is loose on the {} wheel: up and down differ by {}.{}",
                         word(c.side), t_.deg(std::fabs(r.play->rad)),
                         r.holds() ? "" : " Find that first: the run cannot be judged before.");
    if (!r.holds()) {
      const auto& likely = r.causes.likely;
      std::string text = fmt::format(
          "{} {}", wheel,
          !r.but_toe_holds()      ? "does not do what was predicted"
          : r.camber_rows.empty() ? "steers as was predicted, but the dials each by itself do not "
                                    "show what was predicted"
                                  : "steers as was predicted, but its camber does not do what was "
                                    "predicted");
      if (r.causes.any_explains && likely.size() == 1)
        return fmt::format("{}; likeliest: {}.", text, cause_words(likely[0], r));
      if (r.causes.any_explains && !likely.empty())
        return text + "; what may be behind it stands below.";
      return text + ", and no single cause explains it: look for play and bent parts first.";
    }
    if (!r.window) return fmt::format("{} does what was predicted.", wheel);
    const auto& w = *r.window;
    if (r.verdict == Verdict::passed)
      return fmt::format(
          "{} does what was predicted, and toe changes by {} over the travel that "
          "matters, where {} is wanted{}.",
          wheel, t_.deg(w.change_max_rad), t_.deg(w.wanted_rad),
          r.only_dials ? "" : ": " + chance_words(w.chance));
    if (!r.covers)
      return fmt::format(
          "{} does what was predicted as far as the run goes, and that is not over the travel that "
          "matters: run it all the way, up, down and back.",
          wheel);
    if (w.change_max_rad > w.wanted_rad)
      return fmt::format("{} does what was predicted, but toe changes by {} where {} is wanted.",
                         wheel, t_.deg(w.change_max_rad), t_.deg(w.wanted_rad));
    return fmt::format(
        "{} does what was predicted, and toe changes by {} where {} is wanted, but that is not "
        "sure enough: {}. Another run would tell.",
        wheel, t_.deg(w.change_max_rad), t_.deg(w.wanted_rad), chance_words(w.chance));
  }

  void cautions() {
    bool stop = false, wrong = false;
    for (const auto& a : p_.axle)
      if (a)
        for (const auto& c : a->corners) {
          stop = stop || far_off(run(c));
          wrong = wrong || (far_off(run(c)) && run(c).verdict == Verdict::wrong);
        }
    if (stop)
      blocks_->emplace_back(Caution{
          wrong ? "measured and predicted toe differ by more than 0.1° per 25 mm: something is "
                  "bent, loose or measured wrong. Do not drive before it is found."
                : "measured and predicted toe differ by more than 0.1° per 25 mm. The joints were "
                  "known no better than that; still stop and look at every joint before driving."});
    blocks_->emplace_back(Caution{caution({Care::rod_with_joint, Care::curve_off})});
    blocks_->emplace_back(Caution{caution({Care::not_approved, Care::law})});
  }
  // The slope read less the slope predicted, over the middle of the run.
  static bool far_off(const RunProof& r) {
    double sum = 0.0, squares = 0.0;
    for (const auto& row : r.rows) {
      sum += row.travel_mm * (row.read_rad - row.predicted_rad);
      squares += row.travel_mm * row.travel_mm;
    }
    return squares > 0.0 && std::fabs(sum / squares) > stop_rad_per_mm;
  }

  // ------------------------------------------------------------------ a corner with its run

  void tell_corner(const AxleProved& a, const CornerProved& c) {
    const auto& r = run(c);
    if (r.why) return;
    say(other_sizes_words(c.as));
    say(test_words(r, c));
    blocks_->emplace_back(rows_grid(r, "toe from ride height, row by row", r.rows));
    blocks_->emplace_back(plot(r));
    if (!r.camber_rows.empty()) {
      blocks_->emplace_back(
          rows_grid(r, "camber over the travel, from ride height, row by row", r.camber_rows));
      blocks_->emplace_back(camber_plot(r));
    }
    say(toe_alone_words(r));
    if (!r.holds()) say(causes_words(r));
    say(play_words(r));
    say(shape_words(a, c));
    if (r.window) say(window_words(r));
    say(roll_centre_words(r));
    if (c.next) say(shim_words(r, c.as.shelf, *c.next));
  }

  // Sizes that a run is said to have had, and that nothing on the shelf makes.
  std::string other_sizes_words(const RunSetUp& as) const {
    std::string text;
    if (!as.shelf.left_out.empty()) return text;
    for (std::size_t i = 0; i < as.shelf.choices.size(); ++i) {
      const auto& choice = as.shelf.choices[i];
      std::vector<std::string> about;
      for (const double size : sizes_about(choice, as.fit.part[i][as.side].size_mm))
        about.push_back(t_.mm(size));
      if (!about.empty())
        text += fmt::format(
            "{}The {} {} of this run is no size that its option has (next to it: {}): measure what "
            "is fitted, since the run is judged with what the file says.",
            text.empty() ? "" : " ", words(choice, as.fit.part[i][as.side], t_.units()),
            choice.option.name, listed(about));
    }
    return text;
  }

  std::string test_words(const RunProof& r, const CornerProved& c) const {
    std::string text = fmt::format(
        "{}, run '{}' with {}: all rows together are {} from what was predicted (chi-square {:.1f} "
        "with {} degree{} of freedom; a car as predicted reads worse {}).",
        capital(corner_name(r.axle, r.side)), r.name, set_of(c.as),
        r.holds() ? "no farther than chance takes them" : "farther than chance takes them",
        r.test.chi_square, r.test.degrees, r.test.degrees == 1 ? "" : "s",
        r.test.chance > 0.99          ? "nearly always"
        : r.test.chance < false_alarm ? "less than once in 100 times"
                                      : fmt::format("{:.0f} in 100", 100.0 * r.test.chance));
    if (r.only_dials)
      text +=
          " The file states nothing as uncertain, so the dials alone have to explain every "
          "difference: put a ± at the joints, or the readings of a survey, before a failed run is "
          "believed.";
    return text;
  }

  // Of a run that fails by the dials that show more than toe.
  std::string toe_alone_words(const RunProof& r) const {
    if (!r.but_toe_holds()) return {};
    return fmt::format(
        "Toe by itself is no farther from what was predicted than chance takes it (chi-square "
        "{:.1f} with {} degrees of freedom): what fails is what the other rows of the dials show. "
        "Something leans or shifts the wheel and hardly steers it, or a dial was misread or moved.",
        r.toe_test->chi_square, r.toe_test->degrees);
  }

  std::string roll_centre_words(const RunProof& r) const {
    if (!r.roll_centre) return {};
    const auto& c = *r.roll_centre;
    const auto height = [&](double mm, double sigma_mm) {
      return t_.with_sigma(mm, sigma_mm, Measure::length);
    };
    const auto predicted = height(c.predicted_mm, c.predicted_sigma_mm);
    const auto of = fmt::format("The roll centre by the {}", corner_name(r.axle, r.side));
    if (!c.mm || !c.sigma_mm)
      return fmt::format("{} was predicted at {}; nothing is taken from this run.", of, predicted);
    return fmt::format("{} is at {} with these rows taken in; {} was predicted.", of,
                       height(*c.mm, *c.sigma_mm), predicted);
  }

  Grid rows_grid(const RunProof& r, std::string_view of, const std::vector<RunRow>& rows) const {
    Grid g;
    g.title = fmt::format("{}: {}", capital(corner_name(r.axle, r.side)), of);
    g.heads = {"travel", "read", "predicted", "± of the difference", "off, in that"};
    const auto unit = std::string(t_.unit(Measure::length));
    g.units = {unit, "°", "°", "°", ""};
    for (const auto& row : rows)
      g.rows.push_back({shown_signed(row.travel_mm, Measure::length, t_.units()),
                        fine(row.read_rad), fine(row.predicted_rad),
                        fmt::format("{:.3f}", row.sigma_rad / degree_rad),
                        fmt::format("{:+.1f}", std::round(10.0 * row.off_sigmas) / 10.0 + 0.0)});
    return g;
  }
  // A dial of a hundredth tells two thousandths of a degree.
  static std::string fine(double rad) {
    return fmt::format("{:+.3f}", std::round(1000.0 * rad / degree_rad) / 1000.0 + 0.0);
  }

  Series predicted_series(const std::vector<AngleAt>& predicted) const {
    const double nine_in_ten = normal_quantile(0.95);
    const double mm = shown_unit(Measure::length, t_.units()).per_inside;
    Series s;
    s.name = "predicted";
    s.stroke = Stroke::heavy;
    bool sure = true;
    for (const auto& at : predicted) {
      const double half = nine_in_ten * at.sigma_rad / degree_rad;
      s.points.push_back({at.travel_mm * mm, at.rad / degree_rad});
      s.band.push_back({at.travel_mm * mm, at.rad / degree_rad - half, at.rad / degree_rad + half});
      sure = sure && at.sigma_rad == 0.0;
    }
    if (sure) s.band.clear();
    return s;
  }
  Plot plot_of(std::string title) const {
    Plot p;
    p.title = std::move(title);
    p.x_head = "travel";
    p.x_unit = std::string(t_.unit(Measure::length));
    p.y_head = "toe from ride height";
    p.y_unit = "°";
    return p;
  }
  Series read_series(const std::vector<RunRow>& rows) const {
    const double mm = shown_unit(Measure::length, t_.units()).per_inside;
    Series read;
    read.name = "read";
    for (const auto& row : rows)
      read.points.push_back({row.travel_mm * mm, row.read_rad / degree_rad});
    return read;
  }
  Plot camber_plot(const RunProof& r) const {
    auto p = plot_of(fmt::format("{}: camber over the travel, read and predicted",
                                 capital(corner_name(r.axle, r.side))));
    p.y_head = "camber from ride height";
    p.series.push_back(predicted_series(r.camber_predicted));
    p.series.push_back(read_series(r.camber_rows));
    return p;
  }
  Plot plot(const RunProof& r) const {
    auto p = plot_of(fmt::format("{}: read and predicted", capital(corner_name(r.axle, r.side))));
    const double mm = shown_unit(Measure::length, t_.units()).per_inside;
    p.series.push_back(predicted_series(r.predicted));
    p.series.push_back(read_series(r.rows));
    if (r.window)
      p.wanted =
          WantedBox{{r.window->curve.front().travel_mm * mm, r.window->curve.back().travel_mm * mm},
                    {-r.window->wanted_rad / degree_rad, r.window->wanted_rad / degree_rad}};
    return p;
  }

  // ------------------------------------------------------------------ what is wrong

  std::string cause_words(const Cause& c, const RunProof& r) const {
    const auto& layout = axle(r.axle).layout;
    switch (c.kind) {
      case Cause::Kind::joint:
        return fmt::format("the {} stands {} (± {}) {} than it was measured",
                           joint_words(layout, layout.point(c.joint)), t_.mm(std::fabs(c.by)),
                           t_.mm(c.sigma), body_way(c.axis, r.side, c.by));
      case Cause::Kind::part_size:
        if (c.size_mm == 0.0) return fmt::format("the {} was left out", c.option);
        if (c.fitted_mm == 0.0)
          return fmt::format("{} of {} is in, where none should be", t_.mm(c.size_mm), c.option);
        return fmt::format("the {} is {} and not {}", c.option, t_.mm(c.size_mm),
                           t_.mm(c.fitted_mm));
      case Cause::Kind::no_parts:
        return "none of the parts was in";
      case Cause::Kind::signs:
        return signs_words(c.of);
      case Cause::Kind::travel_sign:
        return "the sign of the travel is turned round: bump stands as droop";
      case Cause::Kind::travel_zero:
        return fmt::format("the run was zeroed {} (± {}) {} than ride height",
                           t_.mm(std::fabs(c.by)), t_.mm(c.sigma),
                           c.by > 0.0 ? "with the body lower" : "with the body higher");
      case Cause::Kind::hook:
        return fmt::format(
            "from {} {} toe leaves the curve: a joint at its stop, a bush that binds, the bump "
            "stop, or the plate touching",
            t_.signed_mm(c.from_mm), c.from_mm > 0.0 ? "upwards" : "downwards");
      case Cause::Kind::row:
        return fmt::format("row {} at {} is misread{} by {}", c.row + 1, t_.signed_mm(c.from_mm),
                           dial_words(c.of), t_.mm(std::fabs(c.by)));
    }
    return {};
  }

  static std::string signs_words(Cause::Of of) {
    switch (of) {
      case Cause::Of::both_upper:
        return "the signs of the front and the rear dial are turned round";
      case Cause::Of::low:
        return "the low dial's sign is turned round";
      case Cause::Of::exchanged:
        return "the front and the rear dial are exchanged";
      case Cause::Of::all:
        return "the signs of all dials are turned round";
      case Cause::Of::two:
      case Cause::Of::front:
      case Cause::Of::rear:
        break;
    }
    return "the dials' signs are turned round, or the dials exchanged";
  }
  static std::string dial_words(Cause::Of of) {
    return of == Cause::Of::front  ? " at the front dial"
           : of == Cause::Of::rear ? " at the rear dial"
           : of == Cause::Of::low  ? " at the low dial"
                                   : "";
  }

  static std::string decides(Cause::Kind kind) {
    switch (kind) {
      case Cause::Kind::joint:
        return "measuring those joints again, heights against each other and against the other "
               "side";
      case Cause::Kind::part_size:
      case Cause::Kind::no_parts:
        return "a caliper on the parts as they sit";
      case Cause::Kind::signs:
        return "pushing the plate out by hand and watching both dials";
      case Cause::Kind::travel_sign:
        return "raising the wheel once and looking which way the travel was written";
      case Cause::Kind::travel_zero:
        return "hub to arch where the dials were zeroed";
      case Cause::Kind::hook:
        return "looking at joints, stop and plate at that end of the travel";
      case Cause::Kind::row:
        return "reading that travel again";
    }
    return {};
  }

  std::string causes_words(const RunProof& r) const {
    auto text = likely_words(r);
    for (const auto& c : r.causes.less_likely)
      text += fmt::format(" Less likely, for its size: {}; {} would show it.", cause_words(c, r),
                          decides(c.kind));
    return text;
  }

  std::string likely_words(const RunProof& r) const {
    // What is looked at in a minute comes first.
    auto likely = r.causes.likely;
    std::stable_partition(likely.begin(), likely.end(),
                          [](const Cause& c) { return c.kind != Cause::Kind::joint; });
    if (likely.empty() || !r.causes.any_explains) {
      std::string text =
          "No single cause explains the run. Look for play first, then read the run again, then "
          "measure the corner again.";
      if (!likely.empty())
        text += fmt::format(" The nearest is that {}.", cause_words(likely[0], r));
      return text;
    }
    if (likely.size() == 1)
      return fmt::format("What explains the run: {}. It is decided by {}.",
                         cause_words(likely[0], r), decides(likely[0].kind));
    std::vector<std::string> list, by;
    for (const auto& c : likely) {
      if (list.size() < most_named) list.push_back(cause_words(c, r));
      const auto how = decides(c.kind);
      if (std::find(by.begin(), by.end(), how) == by.end()) by.push_back(how);
    }
    std::string text = "What explains the run, and the readings cannot tell apart: ";
    for (std::size_t i = 0; i < list.size(); ++i) text += (i == 0 ? "" : "; or ") + list[i];
    if (likely.size() > list.size())
      text += fmt::format("; or {} more", likely.size() - list.size());
    return fmt::format("{}. It is decided by {}.", text, listed(by, "or"));
  }

  std::string play_words(const RunProof& r) const {
    if (!r.play)
      return "The run goes one way only, so nothing is known of play: read it back down as well.";
    const auto differ = t_.with_sigma(std::fabs(r.play->rad), r.play->sigma_rad, Measure::angle, 3);
    if (!r.loose) return fmt::format("Going up against coming down differ by {}.", differ);
    return fmt::format(
        "Going up against coming down differ by {}: something is loose. Take the wheel at nine and "
        "three o'clock and feel for play in the rod's joints and the rack, at twelve and six for "
        "ball joint and wheel bearing. Do not drive before it is found.",
        differ);
  }

  // ------------------------------------------------------------------ shape

  // Whether the rod's outer joint is behind the wheel's centre.
  std::optional<bool> rod_behind(AxleName a) const {
    const auto& x = axle(a);
    if (!x.toe_adjuster) return {};
    const auto& points = x.at(Side::left).numbers.points_mm;
    const auto& rod = x.layout.rods[static_cast<std::size_t>(x.toe_adjuster->rod)];
    return points[static_cast<std::size_t>(rod.upright)].x < points[0].x;
  }

  std::string shape_words(const AxleProved& a, const CornerProved& c) const {
    const auto& r = run(c);
    const auto& f = r.shape;
    const auto behind = rod_behind(a.axle);
    const double reach = std::max(std::fabs(f.travel_mm[0]), std::fabs(f.travel_mm[1]));
    const auto slope = t_.with_sigma(f.slope, f.slope_sigma, Measure::angle_per_length, 3);
    const auto where = !behind   ? ""
                       : *behind ? "With the rod behind the axle: "
                                 : "With the rod ahead of the axle: ";
    const auto put = [&](bool lower) {
      if (!behind) return std::string();
      return fmt::format(" {}{} the rod's outer end, or {} its inner end.", where,
                         lower ? "lower" : "raise", lower ? "raise" : "lower");
    };
    const auto bend = [&]() -> std::string {
      if (std::fabs(f.bend) * reach < bends_too * std::fabs(f.slope)) return {};
      return f.bend < 0.0 ? " It bends towards toe-out at both ends besides."
                          : " It bends towards toe-in at both ends besides.";
    };
    const bool good = r.verdict == Verdict::passed;
    switch (f.shape) {
      case CurveShape::flat:
        return fmt::format(
            "The curve as read is flat as far as the readings show: {} at ride "
            "height.",
            slope);
      case CurveShape::straight_out:
        return fmt::format("The curve as read is nearly straight, toe-out in bump: {}.{}{}", slope,
                           bend(), good ? "" : put(behind && *behind));
      case CurveShape::straight_in:
        return fmt::format("The curve as read is nearly straight, toe-in in bump: {}.{}{}", slope,
                           bend(), good ? "" : put(behind && !*behind));
      case CurveShape::arch:
      case CurveShape::trough: {
        const bool out = f.shape == CurveShape::arch;
        std::string text =
            fmt::format("The curve as read bends to toe-{} at both ends ({} at {}, {} at {}).",
                        out ? "out" : "in", t_.deg(f.end_rad[0]), t_.signed_mm(f.travel_mm[0]),
                        t_.deg(f.end_rad[1]), t_.signed_mm(f.travel_mm[1]));
        if (behind && !good)
          text += fmt::format(
              " {}it is too {} for its place. That is designed in; what can be changed at home is "
              "its height, so choose the shims that centre the curve over the travel the tyre is "
              "loaded in.",
              where, *behind == out ? "short" : "long");
        return text;
      }
      case CurveShape::s:
        return "The curve as read bends one way and then the other: a mix of height, length and a "
               "zero away from ride height. Zero the run anew first, then set the slope, then look "
               "at the bend.";
    }
    return {};
  }

  void both_corners(const AxleProved& a) {
    if (a.slopes_opposite)
      say(fmt::format(
          "The {} wheels' slopes are opposite: the rack stands tilted or off its centre, or an arm "
          "is bent. Find out which before different shims go in left and right.",
          word(a.axle)));
    if (a.best_now && a.as_fitted)
      say(fmt::format(
          "Ranked again with what is known now, the best set for the {} axle is {}: {} "
          "for every target, against {} of what is fitted.",
          word(a.axle), fit_words(a.corners.front().as.shelf, a.best_now->fit, t_.units()),
          set_chance(*a.best_now), set_chance(*a.as_fitted)));
  }
  std::string set_chance(const Candidate& c) const {
    if (c.chance) return chance_words(*c.chance);
    return fmt::format("a largest toe change of {}", t_.deg(c.figures->worse().toe_change_max_rad));
  }

  std::string window_words(const RunProof& r) const {
    const auto& w = *r.window;
    std::string text = fmt::format(
        "With these rows taken in, toe changes by {} over {} to {}", t_.deg(w.change_max_rad),
        t_.signed_mm(w.curve.front().travel_mm), t_.signed_mm(w.curve.back().travel_mm));
    text += fmt::format(
        " (nine chances in ten: between {} and {}; wanted: up to {}{}), and bump steer at ride "
        "height is {}.",
        t_.deg(w.low_rad), t_.deg(w.high_rad), t_.deg(w.wanted_rad),
        w.wanted_is_usual ? ", common practice, since the file asks for nothing" : "",
        t_.with_sigma(w.slope, w.slope_sigma, Measure::angle_per_length, 3));
    return text;
  }

  static double rule_unit_mm(Units units) { return units == Units::inch ? 2.54 : 1.0; }

  std::string shim_words(const RunProof& r, const Shelf& shelf, const NextShim& n) const {
    const auto& choice = shelf.choices[n.choice];
    // Of the wheel that was run.
    const auto of = [&](const Fit& fit) {
      return words(choice, fit.part[n.choice][r.side], t_.units());
    };
    const std::string joint = n.made ? n.option + " at" : n.option;
    const char* const other = n.made ? "place in its range" : "size";
    std::string text;
    if (n.of_the_rows)
      text = "First find what is wrong: a bent or loose part is not put right by a shim. ";
    if (n.changes)
      text +=
          fmt::format("{}: {} {} instead of {}: largest toe change {} instead of {}.",
                      n.of_the_rows                  ? "What would compensate for it"
                      : r.verdict == Verdict::passed ? "It could be better still"
                                                     : "Next",
                      joint, of(n.next), of(n.fitted), t_.deg(n.next_rad), t_.deg(n.fitted_rad));
    else if (r.verdict == Verdict::passed)
      text += fmt::format("The {} {} stays: no other {} is clearly better.", joint, of(n.fitted),
                          other);
    else
      text += fmt::format("No other {} of the {} is clearly better than {}{}.", other, n.option,
                          of(n.fitted),
                          !n.shelf_ends ? ""
                          : n.made      ? "; its range ends there"
                                        : "; the shelf ends there");
    if (n.slope_per_mm != 0.0)
      text += fmt::format(
          " The plain rule: {} at ride height, and {} {}of {} changes that by {}, so {} {} would "
          "take it to zero.",
          t_.slope(n.slope), t_.mm(rule_unit_mm(t_.units())), n.made ? "more " : "",
          n.made ? fmt::format("{} of the {}", "xyz"[n.axis], n.option) : n.option,
          t_.slope(n.slope_per_mm * rule_unit_mm(t_.units())), t_.mm(std::fabs(n.by_mm)),
          n.by_mm > 0.0 ? "more" : "less");
    return text;
  }

  // ------------------------------------------------------------------ before a run

  void tell_expected(const AxleProved& a, const ExpectedRun& e) {
    if (e.why) {
      say(fmt::format("{}: no run can be predicted: {}.", capital(corner_name(e.axle, e.side)),
                      words(*e.why, t_.units())));
      return;
    }
    std::string text = fmt::format(
        "{} with {}: a run should read as below. One whose slope is off by {} or more fails.",
        capital(corner_name(e.axle, e.side)), set_of(*a.to_fit),
        t_.said(e.fails_slope, Measure::angle_per_length));
    if (e.fails_slope > stop_rad_per_mm)
      text +=
          " That is coarse, since the joints are not known better: run the gauge as the car sits "
          "before the parts go in, and a far smaller fault shows.";
    say(std::move(text));
    Grid g;
    g.title =
        fmt::format("{}: toe from ride height, as predicted", capital(corner_name(e.axle, e.side)));
    g.heads = {"travel", "predicted", "± with the dials"};
    g.units = {std::string(t_.unit(Measure::length)), "°", "°"};
    for (const auto& at : e.predicted)
      g.rows.push_back({shown_signed(at.travel_mm, Measure::length, t_.units()), fine(at.rad),
                        fmt::format("{:.3f}", at.sigma_rad / degree_rad)});
    blocks_->emplace_back(std::move(g));
    auto p =
        plot_of(fmt::format("{}: what a run should read", capital(corner_name(e.axle, e.side))));
    p.series.push_back(predicted_series(e.predicted));
    blocks_->emplace_back(std::move(p));
  }

  void how_to_take() {
    bool missing = false;
    for (const auto& a : p_.axle) missing = missing || (a && a->corners.size() < 2);
    if (!missing) return;
    say("How to take the run: springs out, dampers that do not push by themselves, drop links "
        "off, bush bolts slack and nipped at ride height. Body on stands, level, and it "
        "must not move; steering locked at its centre. Zero the dials where hub to arch is ride "
        "height to a millimetre. Steps of 10 mm up to +40, down through zero to -40 and back to "
        "zero, every dial at each step; back at zero they show what they began with to 0.05 mm, or "
        "the run is read again. The rows go into the file as a gauge run that says what was "
        "fitted: with = \"chosen\", or the sizes by name.");
    // Measured on made-up cars: tests/reference/prove_statistics_test.cpp.
    say("A third dial 150 to 250 mm below the other two, in this run and in the one before the "
        "parts "
        "went in, finds what leans the wheel and hardly steers it: of struts bent by 5 mm sideways "
        "two dials found 1 in 10, with a third one 8 in 10 were found, and nearly all where the "
        "file "
        "says where the dials stand (plate).");
    blocks_->emplace_back(Caution{gauge_run_cautions()});
  }

  void again() {
    say("After the first drive: at 5 and 30 km stop, look and feel at every joint and bolt that "
        "was "
        "touched; at 100 km torque and toe again. Toe that has moved by more than 0.1° has a "
        "reason: find out what moved before it is driven on.");
  }

  const Proving& p_;
  const Car& car_;
  InUnits t_;
  std::vector<Block>* blocks_ = nullptr;
};

}  // namespace

Section tell(const Proving& proving, const Car& car, Units units) {
  return Teller(proving, car, units).told();
}

}  // namespace trammel
