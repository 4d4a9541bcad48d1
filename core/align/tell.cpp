#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "align/aligning.h"
#include "align/reasons.h"
#include "base/in_units.h"
#include "base/quantity.h"
#include "base/words.h"
#include "car/by.h"
#include "told/cautions.h"
#include "told/section_table.h"

namespace trammel {
namespace {

std::string wheel_words(AxleName a, Side s) { return fmt::format("{} {}", word(a), word(s)); }

class Teller {
 public:
  Teller(const Aligning& aligning, const Car& car, Units units)
      : a_(aligning), car_(car), t_(units) {}

  Section told() {
    auto s = begun(SectionId::align);
    blocks_ = &s.blocks;
    if (!a_.now()) {
      s.answer =
          "Nothing has been read on the floor yet. Write down how the car stands as found before "
          "anything is taken apart, then again with the parts in.";
      cautions();
      blocks_ = &s.working;
      how_to_read();
      return s;
    }
    s.answer = answer();
    cautions();
    for (const auto& d : a_.doubts) say("Look again: " + d);
    moved();
    steps();
    for (const auto& l : a_.plan->left_alone) say(words(l, t_.units()));
    blocks_ = &s.working;
    how_steps_go();
    now_grid();
    if (const auto thrust = thrust_words(*a_.now()); !thrust.empty()) say(thrust);
    if (a_.now()->carried)
      say("What was turned after the day before was written down and agrees with what was read "
          "now: "
          "both days are joined.");
    if (const auto setback = setback_words(*a_.now(), t_.units()); !setback.empty()) say(setback);
    for (const auto& x : a_.now()->assumed) say(words(x));
    for (const auto& x : a_.now()->wanting) say("Not read: " + words(x));
    before_and_now();
    how_to_read();
    return s;
  }

 private:
  void say(std::string text) { blocks_->emplace_back(Paragraph{std::move(text)}); }
  std::string deg(double rad) const { return t_.deg(rad); }
  std::string signed_deg(double rad) const {
    return shown_signed(rad, Measure::angle, t_.units()) + "°";
  }
  static std::string pm(const std::optional<Estimate>& e, const InUnits& t) {
    return e ? fmt::format("{}\u00a0±\u00a0{}", shown_signed(e->value, Measure::angle, t.units()),
                           shown(e->sigma, Measure::angle, t.units()))
             : "";
  }
  std::string range(const std::optional<Wish>& w) const {
    return w ? fmt::format("{} to {}{}",
                           shown_signed(w->middle_rad - w->half_rad, Measure::angle, t_.units()),
                           shown_signed(w->middle_rad + w->half_rad, Measure::angle, t_.units()),
                           w->usual ? " (usual)" : "")
             : "";
  }

  std::string answer() const {
    const auto& now = *a_.now();
    std::string text;
    if (!a_.doubts.empty())
      text = fmt::format(
          "{} of '{}' {} odd and {} asked about below. ",
          a_.doubts.size() == 1 ? "One thing" : fmt::format("{} things", a_.doubts.size()),
          now.when, a_.doubts.size() == 1 ? "looks" : "look", a_.doubts.size() == 1 ? "is" : "are");
    if (std::any_of(a_.moved.begin(), a_.moved.end(), [](const auto& m) { return m.too_much; }))
      return text +
             "Something has moved since the car was set: find out what before it is driven again.";
    if (!a_.moved.empty())
      text +=
          std::all_of(a_.moved.begin(), a_.moved.end(), [](const auto& m) { return m.as_it_was; })
              ? "Nothing has moved since the car was set. "
              : "Nothing is seen to have moved since the car was set; some of it was not read "
                "well enough to be sure. ";
    if (a_.turned())
      return text + fmt::format(
                        "What was turned on '{}' is written down ({}): roll the car, read "
                        "everything once more, as another day.",
                        now.when, listed(now.turned));
    const auto& steps = a_.plan->steps;
    if (steps.empty()) {
      if (!a_.judged)
        return text +
               "Nothing was read that anything is wanted of: strings, plates, level or turn "
               "plates.";
      if (a_.met)
        return text + (a_.surely
                           ? "Everything that was read is where it is wanted: nothing to turn."
                           : "Everything that was read is where it is wanted, though not all "
                             "of it surely: rims read in two places, and once more, would "
                             "tell.");
      return text + "Something is not where it is wanted, and nothing in the file sets it.";
    }
    std::vector<std::string> wheels;
    for (const auto& s : steps) {
      auto w = fmt::format("{} at the {}", word(s.what), wheel_words(s.axle, s.side));
      wheels.push_back(std::move(w));
    }
    const auto n = steps.size();
    if (a_.met) text += "Everything that was read is where it is wanted. Nearer still: ";
    text += fmt::format("{} to turn{}: {}.",
                        n == 1 ? (a_.met ? "one thing" : "One thing") : fmt::format("{} things", n),
                        a_.doubts.empty() ? "" : ", once what is asked is settled", listed(wheels));
    if (a_.doubts.empty() && a_.plan->steering_then_rad &&
        std::fabs(*a_.plan->steering_then_rad) < usual_toe_half_rad)
      text += " The steering wheel ends straight.";
    return text;
  }

  void cautions() {
    blocks_->emplace_back(
        Caution{fmt::format("{} Between two readings roll the car, do not lift it: a wheel that "
                            "was lifted stands wrong "
                            "for some metres.",
                            caution(Care::chocks))});
    blocks_->emplace_back(Caution{caution({Care::lock_nuts, Care::law})});
  }

  void now_grid() {
    const auto& now = *a_.now();
    Grid g;
    g.title = fmt::format("As read, '{}'{}", now.when, now.fitted ? ", with the parts fitted" : "");
    g.heads = {"wheel", "toe", "wanted", "camber", "wanted", "caster", "wanted", "toe is right"};
    g.units = {"", "°", "°", "°", "°", "°", "°", "chances in 100"};
    for (const AxleName a : {AxleName::front, AxleName::rear}) {
      const auto& plan = a_.plan->axle[static_cast<std::size_t>(a)];
      if (!plan) continue;
      for (const Side s : {Side::left, Side::right}) {
        const auto& w = now.at(a).at(s);
        const auto& wish = plan->toe[static_cast<std::size_t>(s)];
        g.rows.push_back(
            {wheel_words(a, s), pm(w.toe_rad, t_), w.toe_rad ? range(wish) : "",
             pm(w.camber_rad, t_), w.camber_rad ? range(plan->camber) : "", pm(w.caster_rad, t_),
             w.caster_rad ? range(plan->caster) : "",
             w.toe_rad ? fmt::format("{:.0f}", 100.0 * chance_met(wish, *w.toe_rad)) : ""});
      }
      if (const auto& total = now.at(a).total_toe_rad)
        g.rows.push_back({fmt::format("{}, both together", word(a)), pm(total, t_),
                          range(Wish{2.0 * plan->wanted_toe.middle_rad,
                                     2.0 * plan->wanted_toe.half_rad, plan->wanted_toe.usual}),
                          "", "", "", "", ""});
    }
    blocks_->emplace_back(std::move(g));
    say("Toe per wheel, toe-in above zero, against the line midway between the wheels; front toe "
        "is "
        "wanted about the line that the rear axle will roll along, so that the steering wheel ends "
        "straight. Camber and caster against the floor under the tyres.");
    std::vector<std::string> bent;
    for (const AxleName a : {AxleName::front, AxleName::rear})
      for (const Side s : {Side::left, Side::right})
        if (const auto& r = now.at(a).at(s).runs_out_mm; r && *r > bent_rim_mm)
          bent.push_back(fmt::format("{} {}", wheel_words(a, s), t_.mm(*r)));
    if (!bent.empty())
      say(fmt::format(
          "The rim runs out: {}. The mean of both places is what counts here, and it is "
          "taken.",
          listed(bent)));
    if (now.box_yaw_rad && std::fabs(now.box_yaw_rad->value) > worth_saying_rad)
      say(fmt::format("By the hubs the strings stand {} askew to the car; that is taken off.",
                      deg(std::fabs(now.box_yaw_rad->value))));
  }

  void moved() {
    if (a_.moved.empty()) return;
    Grid g;
    g.title = fmt::format("Since '{}', after driving", a_.sessions[a_.sessions.size() - 2].when);
    g.heads = {"wheel", "angle", "moved by", ""};
    g.units = {"", "", "°", ""};
    for (const auto& m : a_.moved)
      g.rows.push_back({wheel_words(m.axle, m.side), m.camber ? "camber" : "toe",
                        pm(Estimate{m.by_rad, m.sigma_rad}, t_),
                        m.too_much    ? "something moved"
                        : m.as_it_was ? "as it was"
                                      : "not known"});
    blocks_->emplace_back(std::move(g));
    if (std::any_of(a_.moved.begin(), a_.moved.end(), [](const auto& m) { return m.too_much; }))
      say("Toe that moves by more than 0.1° over the first kilometres has a cause: a lock nut, a "
          "cam bolt that slipped, a bush that was tightened hanging, a joint. Find it before you "
          "turn "
          "anything of what stands below.");
  }

  // Which way a joint goes: the axis that it goes along most.
  static std::string way_words(const AlignStep& s) {
    constexpr std::array<std::array<const char*, 2>, 3> ways{
        {{"forward", "rearward"}, {"outward", "inward"}, {"up", "down"}}};
    std::size_t most = 0;
    for (std::size_t i = 1; i < 3; ++i)
      if (std::fabs(s.along[static_cast<int>(i)]) > std::fabs(s.along[static_cast<int>(most)]))
        most = i;
    return ways[most][s.by_mm * s.along[static_cast<int>(most)] > 0.0 ? 0 : 1];
  }

  std::string turn_words(const AlignStep& s) const {
    auto text =
        fmt::format("{} {} {}", s.adjuster, t_.mm(std::fabs(s.by_mm)),
                    s.turns_rod ? std::string(s.by_mm > 0.0 ? "longer" : "shorter") : way_words(s));
    if (s.quarter_flats)
      text += fmt::format(", {} {}", turn_count_words(std::abs(*s.quarter_flats)),
                          s.by_mm > 0.0 ? "out" : "in");
    return text;
  }

  // What the strings will show, front edge less rear edge.
  std::string strings_then(const AlignStep& s) const {
    const auto& now = *a_.now();
    const auto& w = now.at(s.axle).at(s.side);
    if (!w.across_mm) return "";
    const double yaw = now.box_yaw_rad ? now.box_yaw_rad->value : 0.0;
    const double steered = s.axle == AxleName::front ? now.steered_rad : 0.0;
    const double sign = outboard_sign(s.side);
    return shown_signed(
        edges_for(s.after.toe_rad + sign * (yaw - steered) + now.strings_converge_rad,
                  *w.across_mm),
        Measure::length, t_.units());
  }

  void steps() {
    if (a_.plan->steps.empty() || a_.turned()) return;
    Grid g;
    const auto unit = std::string(shown_unit(Measure::length, t_.units()).symbol);
    g.title = "In this order; what the wheel and its strings then show";
    g.heads = {"turn", "camber", "toe", "strings"};
    g.units = {"", "°", "°", unit};
    int n = 0;
    for (const auto& s : a_.plan->steps) {
      auto what = std::string(word(s.what));
      if (s.what == AlignWhat::caster && s.after.caster_rad)
        what += fmt::format(" {}", signed_deg(*s.after.caster_rad));
      g.rows.push_back(
          {fmt::format("{}. {}, {}: {}", ++n, wheel_words(s.axle, s.side), what, turn_words(s)),
           shown_signed(s.after.camber_rad, Measure::angle, t_.units()),
           shown_signed(s.after.toe_rad, Measure::angle, t_.units()), strings_then(s)});
    }
    blocks_->emplace_back(std::move(g));
    say("Lock nuts, then read everything once more: done is when two readings in a row are in "
        "range.");
  }
  void how_steps_go() {
    if (a_.plan->steps.empty() || a_.turned()) return;
    say("The order matters: caster first, then camber, then rear toe, then front toe; each row "
        "says "
        "what the wheel shows once it is done, worked out on the joints, so that a camber bolt's "
        "own toe is in it already. Strings: front edge less rear edge. Out: the rod becomes "
        "longer. "
        "End every turn in the tightening direction, roll the car some metres, bounce it, then "
        "read "
        "the next.");
    if (a_.now()->steered_rad != 0.0)
      say("What the strings show holds while the steering wheel is held as it was.");
    if (a_.plan->thrust_then_rad && a_.plan->steering_then_rad)
      say(fmt::format(
          "Then the thrust angle is {} and the steering wheel stands within {} of "
          "straight at the road wheels{}.",
          deg(std::fabs(*a_.plan->thrust_then_rad)), deg(std::fabs(*a_.plan->steering_then_rad)),
          car_.body.steering_ratio
              ? fmt::format(", {} at its rim",
                            deg(std::fabs(*a_.plan->steering_then_rad) * *car_.body.steering_ratio))
              : ""));
    const bool no_thread = std::any_of(a_.plan->steps.begin(), a_.plan->steps.end(),
                                       [](const AlignStep& s) { return !s.quarter_flats; });
    if (no_thread)
      say("Where only millimetres stand, the file gives no thread: put pitch (and ends) into "
          "[front.adjust] or [rear.adjust] for turns. A cam bolt moves by e (sin b - sin a) "
          "between "
          "two of its positions: go by the level, not by the cam.");
  }

  void before_and_now() {
    if (!a_.first()) return;
    const auto &was = *a_.first(), &is = *a_.now();
    Grid g;
    g.title = "Before and now";
    g.heads = {"", was.when, is.when};
    g.units = {"", "", ""};
    const auto put = [&](std::string name, const std::optional<Estimate>& x,
                         const std::optional<Estimate>& y) {
      if (x || y)
        g.rows.push_back({std::move(name), x ? pm(x, t_) + "°" : "", y ? pm(y, t_) + "°" : ""});
    };
    for (const AxleName a : {AxleName::front, AxleName::rear}) {
      for (const Side s : {Side::left, Side::right})
        put("toe, " + wheel_words(a, s), was.at(a).at(s).toe_rad, is.at(a).at(s).toe_rad);
      put(fmt::format("total toe, {}", word(a)), was.at(a).total_toe_rad, is.at(a).total_toe_rad);
    }
    put("thrust angle", was.thrust_rad, is.thrust_rad);
    for (const AxleName a : {AxleName::front, AxleName::rear})
      for (const Side s : {Side::left, Side::right}) {
        put("camber, " + wheel_words(a, s), was.at(a).at(s).camber_rad, is.at(a).at(s).camber_rad);
        put("caster, " + wheel_words(a, s), was.at(a).at(s).caster_rad, is.at(a).at(s).caster_rad);
      }
    for (const AxleName a : {AxleName::front, AxleName::rear})
      for (const Side s : {Side::left, Side::right}) {
        const auto &x = was.at(a).at(s).arch_mm, &y = is.at(a).at(s).arch_mm;
        if (x || y)
          g.rows.push_back(
              {"hub to arch, " + wheel_words(a, s), x ? t_.mm(*x) : "", y ? t_.mm(*y) : ""});
      }
    blocks_->emplace_back(std::move(g));
  }

  void how_to_read() {
    say("How it is read. Pressures cold, driver's weight in the seat, half a tank, rolled 3 to 5 m "
        "and bounced; the wheels on slip plates or on two greased sheets. Steering wheel strapped "
        "straight. Strings outside the wheels at hub height, parallel (two equal bars); string to "
        "hub cap at all four wheels, then string to the rim's front and rear edge; roll on by half "
        "a "
        "turn of the wheels and read the edges again. Level on a straight bar against the rim, top "
        "and bottom, not on the tyre; half a turn on, again. How much higher the left pad stands "
        "than the right one, by water level. Caster: brake held, wheel turned 20° out and 20° in, "
        "camber read at both.");
    say("A camber at one place, a rim read once and 0.5 mm by rule are worth 0.13° of camber and "
        "0.11° of toe; two places and 0.25 mm are worth 0.1° and 0.04°.");
  }

  static constexpr double bent_rim_mm = 0.4;
  static constexpr double worth_saying_rad = 0.01 * degree_rad;

  const Aligning& a_;
  const Car& car_;
  InUnits t_;
  std::vector<Block>* blocks_ = nullptr;
};

}  // namespace

Section tell(const Aligning& aligning, const Car& car, Units units) {
  return Teller(aligning, car, units).told();
}

}  // namespace trammel
