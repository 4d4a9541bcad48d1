#include "make/reasons.h"

#include <fmt/format.h>

#include <cmath>

#include "base/in_units.h"
#include "base/words.h"

namespace trammel {
namespace {

constexpr double same_length_mm = 1e-6;  // rounding of sums of decimal numbers

// Lengths as a workshop says them. In millimetres each as finely as it can be measured there.
class Lengths {
 public:
  explicit Lengths(Units units) : in_(units) {}

  std::string_view unit() const { return in_.unit(Measure::length); }
  // "33", "2.5": a tenth is what can be measured on a stack.
  std::string tenths(double mm) const {
    if (in_.units() == Units::inch) return in_.as_given(mm);
    const double tenths = std::round(10.0 * mm) / 10.0;
    return shortest(tenths == 0.0 ? 0.0 : tenths);
  }
  // "24.0"
  std::string one_decimal(double mm) const {
    return in_.units() == Units::inch ? in_.as_given(mm) : fmt::format("{:.1f}", mm);
  }
  // Of what is sure to be plain: not a hundredth more than it is, nor a thousandth of an inch.
  std::string sure(double mm) const {
    const bool inch = in_.units() == Units::inch;
    const double per_mm = inch ? 1000.0 / inch_mm : 100.0;
    const double down = std::floor(per_mm * mm + same_length_mm) / per_mm;
    return inch ? in_.as_given(down) : shortest(std::floor(per_mm * mm + same_length_mm) / 100.0);
  }
  // "24", "33.5": as in a file, to six digits.
  std::string plain(double mm) const {
    return in_.units() == Units::inch ? in_.as_given(mm) : fmt::format("{:g}", mm);
  }
  std::string exact(double mm) const { return in_.as_given(mm); }
  // Bolts are asked for by their size: millimetres, said as such among inches, or inches in
  // eighths.
  std::string size(const Thread& t, double length_mm) const {
    if (!t.inch) {
      const auto mm = Lengths(Units::metric).tenths(length_mm);
      return in_.units() == Units::inch ? mm + " mm" : mm;
    }
    const auto eighths = static_cast<int>(std::lround(8.0 * length_mm / inch_mm));
    if (std::abs(eighths / 8.0 * inch_mm - length_mm) > 0.01)
      return fmt::format("{} {}", tenths(length_mm), unit());
    const int whole = eighths / 8;
    int above = eighths % 8, below = 8;
    while (above > 0 && above % 2 == 0) above /= 2, below /= 2;
    if (above == 0) return fmt::format("{} in", whole);
    return whole == 0 ? fmt::format("{}/{} in", above, below)
                      : fmt::format("{} {}/{} in", whole, above, below);
  }

 private:
  InUnits in_;
};

// Forces of the size of a car's: "12.5 kN".
std::string big_force(double n, Units units) {
  if (units == Units::metric) return fmt::format("{:.1f} kN", n / 1e3);
  return fmt::format("{} {}", shown(n, Measure::force, units),
                     shown_unit(Measure::force, units).symbol);
}

std::string moment_words(double nmm, Units units) {
  return fmt::format("{} {}", shown(nmm, Measure::torque, units),
                     shown_unit(Measure::torque, units).symbol);
}

std::string file_key(AxleName axle, std::string_view what) {
  return fmt::format("[{}.{}]", word(axle), what);
}

std::string shear_words(const BoltJoint& j, const Judged& v, const Lengths& l) {
  std::string text;
  if (!v.last_shear_plane_mm) {
    text = "no layer slides on another";
  } else if (v.bolt.form == BoltForm::full_thread) {
    text = fmt::format(
        "it is threaded to the head: the thread stands in the shear plane {} {} below it",
        l.tenths(*v.last_shear_plane_mm), l.unit());
  } else {
    text = fmt::format(
        "plain shank {} {}{}, last shear plane at {}", l.sure(v.plain_mm), l.unit(),
        v.plain_mm < v.shank_mm - same_length_mm
            ? fmt::format(
                  " for sure (the thread begins at {} at the latest and runs out before it)",
                  l.tenths(v.shank_mm))
            : "",
        l.tenths(*v.last_shear_plane_mm));
    if (v.plain_mm < *v.last_shear_plane_mm - same_length_mm)
      text += v.shank_mm < *v.last_shear_plane_mm - same_length_mm ? ": its thread stands in it"
                                                                   : ": its thread may stand in it";
  }
  if (j.tapped)
    text +=
        "; where the hole begins the thread stands in the plane with any bolt: friction or a "
        "spigot has to carry the side force there";
  return text;
}

std::string tail_words(const BoltJoint& j, const Judged& v, const Lengths& l) {
  const auto stands =
      fmt::format("the tail stands {} {} out of the {}", l.tenths(std::max(v.beyond_mm, 0.0)),
                  l.unit(), j.tapped ? "face that the last layer lies on" : "nut");
  return j.tail_room_mm ? fmt::format("{} and has {}", stands, l.tenths(*j.tail_room_mm))
                        : stands + ": check what is near it, through full travel and lock";
}

// "its thread stands in the shear plane": what follows "60 reaches but".
std::string in_short(const JointTest& t, const Judged& v, const Lengths& l) {
  switch (t.question) {
    case JointQuestion::reach:
      return "it does not reach";
    case JointQuestion::shank_in_shear:
      if (v.bolt.form == BoltForm::full_thread) return "its thread stands in the shear plane";
      return fmt::format("{} {} of it are sure to be plain, and the last shear plane is at {}",
                         l.sure(v.plain_mm), l.unit(), l.tenths(*v.last_shear_plane_mm));
    case JointQuestion::nut_clear_of_shank:
      return "its nut runs onto the plain shank";
    case JointQuestion::tail_clear:
      return fmt::format("its tail needs {} {} and has {}", l.tenths(t.needs_mm), l.unit(),
                         l.tenths(t.has_mm));
    case JointQuestion::engagement_strength:
      return "its thread strips before the bolt breaks";
    case JointQuestion::engagement_rule:
      return fmt::format("it engages {} of the {} {} that are usual", l.tenths(t.has_mm),
                         l.tenths(t.needs_mm), l.unit());
    case JointQuestion::bottoming:
      return t.has_mm < 0.0 ? "it bottoms in the hole" : "it comes too near the bottom of the hole";
    case JointQuestion::shank_clear_of_hole:
      return "its shank runs into the thread of the hole";
  }
  return {};
}

// What a bolt does in its joint: "M10 65: 13 mm beyond the nut, plain shank ...".
std::string bolt_in_joint(const BoltJoint& j, const Judged& v, const Lengths& l) {
  return fmt::format("{} {}: {} {} {}", j.thread.name, l.size(j.thread, v.bolt.length_mm),
                     l.tenths(v.beyond_mm), l.unit(),
                     j.tapped ? "in the tapped hole" : "beyond the nut") +
         (v.plain_mm > 0.0 && v.last_shear_plane_mm
              ? fmt::format(", plain shank {} {}, last shear plane at {}", l.sure(v.plain_mm),
                            l.unit(), l.tenths(*v.last_shear_plane_mm))
              : "");
}

// Of the bolt that is there, where the file has one.
std::string bolt_that_is_there(const BoltJoint& j, const Lengths& l) {
  if (!j.length_mm) return {};
  const auto v = judge(j, *j.length_mm).value;
  if (!v) return {};
  const auto size = l.size(j.thread, v->bolt.length_mm);
  if (v->passes) return fmt::format(" The {} that is there serves.", size);
  const auto& failing = first_failing(*v);
  if (failing.question == JointQuestion::reach)
    return fmt::format(" The {} that is there is too short.", size);
  return fmt::format(" With the {} that is there: {}.", size, in_short(failing, *v, l));
}

}  // namespace

std::string words(const Thing& t) {
  switch (t.of) {
    case Thing::Of::part:
    case Thing::Of::bolt:
      return "the " + t.name;
    case Thing::Of::weld:
      return "the weld of the " + t.name;
    case Thing::Of::stood_on:
      return fmt::format("{} under the {}", words(t.on), t.name);
    case Thing::Of::rod_end:
      return "the rod end at " + t.name;
  }
  return {};
}

std::string words(const Failing& f, Units units) {
  switch (f.of) {
    case Failing::Of::gives_way:
      return words(*f.check);
    case Failing::Of::cannot_be_drawn:
      return f.drawing;
    case Failing::Of::its_stack_opens:
      return "the stack that it makes opens";
    case Failing::Of::its_stack_too_tall:
      return "the stack that it makes is too tall for its bolt";
    case Failing::Of::no_sense:
      return words(*f.no_sense, units);
    case Failing::Of::no_bolt:
      return why_words(f.bolt->joint, f.bolt->next, units);
    case Failing::Of::faces_slip:
      return fmt::format("its faces slip: friction holds {:.1f} times the force", f.factor);
    case Failing::Of::binds:
      return "it binds within its travel";
    case Failing::Of::little_tilt:
      return fmt::format("less than {:.0f}° of tilt are in hand", joint_in_hand_rad / degree_rad);
    case Failing::Of::cast_iron_sleeve:
      return "no sleeve is made of cast iron";
    case Failing::Of::little_thread:
      return "too little of its thread is in";
    case Failing::Of::low_rating:
      return fmt::format("rated {:.1f} times its force, {:.0f} wanted", f.factor, rating_wanted);
    case Failing::Of::rod_bows_out:
      return fmt::format("its rod bows out at {:.1f} times the largest push, {:.0f} wanted",
                         f.factor, bowing_in_hand);
    case Failing::Of::pin_bends:
      return "the bolt between its tabs bends";
    case Failing::Of::stack_opens:
      return "the stack that it stands on opens";
    case Failing::Of::stack_opens_at_least:
      return "the stack that it stands on opens where the torque gave 30 % less";
    case Failing::Of::stack_barely_closed:
      return fmt::format("its stack is closed {:.1f} times, {:.0f} wanted", f.factor,
                         closing_wanted);
    case Failing::Of::ball_far_off:
      return "its ball stands more than one diameter off its face";
  }
  return {};
}

Unjudged unjudged(const NotJudged& n, Units units) {
  const Lengths l(units);
  using Of = NotJudged::Of;
  switch (n.of) {
    case Of::no_weights:
      return {"what it bears", "'corner_weights' under [body]"};
    case Of::no_axle:
      return {"what it bears: the axle missing", ""};
    case Of::no_forces:
      return {"what it bears: " + words(*n.forces), ""};
    case Of::loads_wanting: {
      std::vector<std::string> wanting;
      for (const auto& one : n.wanting) wanting.push_back(words(one));
      return {fmt::format("what it bears: {} missing", listed(wanting)), ""};
    }
    case Of::bolts_pressing:
      return {"what its bolts press", "'holes' or 'bore' in its [[make]]"};
    case Of::offset_of_plate:
      return {"how far the ball stands beside the plate", "'offset' in its [[make]]"};
    case Of::ball_beside_plate:
      return {"room for the ball", "'ball_width' in its [[make]] or in the joint's [[rod_end]]"};
    case Of::ball_in_clevis:
      return {"its pin", "'ball_width' in its [[make]] or in the joint's [[rod_end]]"};
    case Of::base_metal:
      return {"base metal unknown: do not weld", "'boss' in its [[make]]"};
    case Of::stood_on:
      return {"no car file can tell: have it inspected", ""};
    case Of::plain_shank:
      return {fmt::format("its plain shank of {} {} or more", l.plain(n.is), l.unit()),
              "'length' and 'shank' of the bolt in hand in its [[fastener]]"};
    case Of::slipping:
      return {"whether its faces slip", "'joint' in its [[fastener]]"};
    case Of::tail:
      return {"what its tail comes near", "'tail_room' in its [[fastener]]"};
    case Of::thread:
      return {"its thread", "'engaged' in its [[rod_end]]"};
    case Of::rating:
      return {"its strength", "'rating' in its [[rod_end]]"};
    case Of::ball_width:
      return {"the bolt through its ball", "'ball_width' in its [[rod_end]]"};
    case Of::plate_of_ball:
      return {"the bolt through its ball", "'offset' and 'thickness' of its bracket"};
    case Of::stack:
      return {"the stack that it stands on", "'spacer' in its [[rod_end]]"};
    case Of::wider_spacer:
      return {fmt::format("its stack: 'spacer' says {0} {2} and its sleeve is {1} {2} outside",
                          l.plain(n.is), l.plain(n.other), l.unit()),
              "the same in both"};
    case Of::tilt:
      return {"its tilt",
              "'ball_width', 'housing_width' and 'sphere', or 'limit', in its [[rod_end]]"};
    case Of::tilt_of_no_rod:
      return {"its tilt, which is worked out for the joints of a rod", ""};
    case Of::tilt_at_lock:
      return {"its tilt at full lock",
              fmt::format("'rack_travel' in {}", file_key(n.axle, "rod." + n.name))};
    case Of::tilt_locked:
      return {"its tilt: the mechanism locks within full travel and lock",
              fmt::format("'bump' and 'droop' in {}", file_key(n.axle, "stop"))};
  }
  return {};
}

std::string_view words(StandsOn on) {
  switch (on) {
    case StandsOn::upright_ear:
      return "the upright's ear";
    case StandsOn::steering_arm:
      return "the steering arm";
    case StandsOn::body_bracket:
      return "the bracket on the body";
    case StandsOn::rods_inner_bracket:
      return "the bracket at the rod's inner end";
  }
  return {};
}

std::string_view words(PartToMake::Nothing why) {
  switch (why) {
    case PartToMake::Nothing::left_out:
      return "the set that is fitted leaves it out";
    case PartToMake::Nothing::none_of_it:
      return "the set that is fitted has none of it";
    case PartToMake::Nothing::hole_stays:
      return "the set that is fitted leaves the hole where it is";
  }
  return {};
}

std::string words(const NoSense& n, Units units) {
  const Lengths l(units);
  const bool length = n.measure == Measure::length;
  const auto number = length ? l.exact(n.is) : shortest(n.is);
  const auto unit = length ? l.unit() : shown_unit(n.measure, Units::metric).symbol;
  const auto is = [&](std::string_view expected) {
    return fmt::format("{} is {} {}, expected {}", n.what, number, unit, expected);
  };
  switch (n.of) {
    case NoSense::Of::not_above_zero:
      return is("more than zero");
    case NoSense::Of::below_zero:
      return is("zero or more");
    case NoSense::Of::no_number:
      return is("a number");
    case NoSense::Of::no_layers:
      return "the bolt clamps nothing: name the layers from the head on";
    case NoSense::Of::thin_layer:
      return fmt::format("layer '{}' is {} {} thick, expected more than zero", n.what, number,
                         unit);
    case NoSense::Of::no_length:
      return fmt::format("{} is {} {} long, expected more than zero", n.what, number, unit);
    case NoSense::Of::not_together:
      return n.what;
    case NoSense::Of::nut_and_hole:
      return "the bolt ends in a tapped hole and has a nut as well: leave out one of them";
    case NoSense::Of::hole_without_thread:
      return fmt::format("the tapped hole has {} {} of thread, expected more than zero", number,
                         unit);
    case NoSense::Of::hole_without_strength:
      return "the material around the tapped hole has no strength";
    case NoSense::Of::no_bolts:
      return fmt::format("{:.0f} bolts clamp nothing", n.is);
    case NoSense::Of::friction:
      return fmt::format("a friction of {}, expected more than 0 and no more than 1",
                         shortest(n.is));
    case NoSense::Of::ball_not_of_sphere:
      return fmt::format("a ball {0} {2} wide is not cut from a sphere of {1} {2}", number,
                         l.exact(n.other), unit);
    case NoSense::Of::housing_too_wide:
      return fmt::format("the housing ({0} {2}) is as wide as the ball ({1} {2}): it cannot tilt",
                         number, l.exact(n.other), unit);
    case NoSense::Of::bore_too_small:
      return fmt::format("a bore of {} {} does not take a bolt of {}", number, unit,
                         l.exact(n.other));
    case NoSense::Of::no_wall:
      return fmt::format("a spacer of {0} {2} outside with a bore of {1} {2} has no wall", number,
                         l.exact(n.other), unit);
    case NoSense::Of::cast_iron_sleeve:
      return "no sleeve is made of cast iron, expected steel or aluminium";
  }
  return {};
}

std::string words(const TakenForGranted& g, Units units) {
  switch (g.of) {
    case TakenForGranted::Of::centre_of_gravity:
      return units == Units::metric
                 ? fmt::format("a centre of gravity {:.0f} mm above the floor", g.value)
                 : fmt::format("a centre of gravity {} {} above the floor",
                               shown(g.value, Measure::length, units),
                               shown_unit(Measure::length, units).symbol);
    case TakenForGranted::Of::nothing_forward:
      return "no weight thrown forward by the brakes, since the wheelbase is not known";
    case TakenForGranted::Of::braking_in_front:
      return fmt::format("{:.0f} % of the braking at the front", 100.0 * g.value);
  }
  return {};
}

std::string words(const LoadsWanting& w) {
  if (w.up_of.empty())
    return "corner_weights under [body], from scales or a weighbridge axle by axle: what the road "
           "pushes up with";
  return fmt::format("'up' of the load '{}'", w.up_of);
}

std::string what_gives(const Check& c) {
  switch (c.of) {
    case Check::Of::plate_bent:
      return "plate bent and twisted";
    case Check::Of::plate_tired:
      return "plate, fatigue";
    case Check::Of::hole_bearing:
      return "hole, bearing";
    case Check::Of::hole_tearing:
      return "hole, tearing out";
    case Check::Of::weld:
      return "weld";
    case Check::Of::weld_tired:
      return "weld, fatigue";
    case Check::Of::weld_throat:
      return "weld's throat for the plate";
    case Check::Of::weld_length:
      return "weld's length less its ends";
    case Check::Of::welded_to:
      return "welding to " + c.material;
    case Check::Of::welded_from:
      return "welding " + c.material;
    case Check::Of::fixing_sheared:
      return "fixing bolt, shear";
    case Check::Of::fixing_slipping:
      return "fixing bolt, slipping";
    case Check::Of::fixing_pulled:
      return "fixing bolt, pulled";
    case Check::Of::ball_beside_plate:
      return "ball beside the plate: half of each apart";
    case Check::Of::pin_bent:
      return "pin bent between the tabs";
    case Check::Of::pin_sheared:
      return "pin, shear";
    case Check::Of::edge:
      return "edge round a hole";
    case Check::Of::thickness:
    case Check::Of::thickness_of_tabs:
      return "thickness for the bolt";
    case Check::Of::hole_beside_fixing:
      return "new hole beside a fixing's";
    case Check::Of::face_pressed:
      return "face, pressed by the preload";
    case Check::Of::wall_outside_hole:
      return "wall outside a bolt hole";
    case Check::Of::wall_inside_hole:
      return "wall inside a bolt hole";
    case Check::Of::wall_between_holes:
      return "wall between bolt holes";
    case Check::Of::wall:
      return "wall";
    case Check::Of::wall_of_spigot:
      return "wall of the spigot";
  }
  return {};
}

std::string_view unit_word(Check::In in) {
  switch (in) {
    case Check::In::mm:
      return "mm";
    case Check::In::n:
      return "N";
    case Check::In::mpa:
      return "MPa";
    case Check::In::nothing:
      break;
  }
  return "";
}

std::string_view what_helps(Check::Of of) {
  switch (of) {
    case Check::Of::plate_bent:
    case Check::Of::plate_tired:
      return "thicker or wider plate; a shorter offset; two tabs instead of one";
    case Check::Of::hole_bearing:
      return "thicker plate";
    case Check::Of::hole_tearing:
      return "more edge round the hole";
    case Check::Of::weld:
      return "a longer weld, or a thicker one";
    case Check::Of::weld_tired:
      return "a longer weld; a gusset; bolts instead";
    case Check::Of::weld_throat:
      return "thicker plate, or a smaller weld";
    case Check::Of::weld_length:
      return "a longer weld";
    case Check::Of::welded_to:
      return "never weld it: a plate bolted on, or a new part";
    case Check::Of::welded_from:
      return "S275 or S355 plate";
    case Check::Of::fixing_sheared:
      return "fixings further apart, or a larger bolt";
    case Check::Of::fixing_slipping:
      return "fixings further apart, a third one, or a dowel";
    case Check::Of::fixing_pulled:
      return "fixings further apart, or a shorter offset";
    case Check::Of::ball_beside_plate:
      return "a longer offset, thinner plate";
    case Check::Of::pin_bent:
      return "thinner spacers between the tabs, or a larger bolt";
    case Check::Of::pin_sheared:
      return "a larger bolt";
    case Check::Of::edge:
      return "twice the bolt from centre to edge";
    case Check::Of::thickness:
      return "half the bolt";
    case Check::Of::thickness_of_tabs:
      return "a third of the bolt in each tab";
    case Check::Of::hole_beside_fixing:
      return "move the fixing, weld a boss, or use the nearest place that clears";
    case Check::Of::face_pressed:
      return "a larger outside, a thicker washer, or harder steel";
    case Check::Of::wall_outside_hole:
    case Check::Of::wall_inside_hole:
    case Check::Of::wall_between_holes:
    case Check::Of::wall:
    case Check::Of::wall_of_spigot:
      return "a larger outside, or a smaller circle of holes";
  }
  return {};
}

std::string words(const Check& c) {
  if (c.in == Check::In::nothing) return what_gives(c);
  return c.at_least ? fmt::format("{}, {:.0f} % of what is needed", what_gives(c), 100.0 / c.used)
                    : fmt::format("{}, {:.0f} % of what is allowed", what_gives(c), 100.0 * c.used);
}

std::string why_words(const PlateChoice& c, Units units) {
  const Lengths l(units);
  using Why = PlateChoice::Why;
  if (c.why == Why::none) return {};
  if (c.why == Why::not_known)
    return "no thickness is chosen for it: what it has to bear is not known";
  const auto& first = c.plate->checks.front();
  const auto thick = fmt::format("{} {}", l.plain(c.plate->thickness_mm), l.unit());
  if (c.why == Why::none_serves)
    return fmt::format("no thickness of the stock serves: in {} {}. What helps: {}.", thick,
                       words(first), what_helps(first.of));
  return fmt::format(
      "{} does not serve: {}. {}", thick, words(first),
      c.serves_mm ? fmt::format("{} {} of the stock serves.", l.plain(*c.serves_mm), l.unit())
      : c.why == Why::too_thin_yet
          ? fmt::format("What helps: {}.", what_helps(first.of))
          : fmt::format("No thickness of the stock serves; what helps: {}.", what_helps(first.of)));
}

std::string words(const BoltJoint& j, const Judged& v, const JointTest& t, Units units) {
  const Lengths l(units);
  switch (t.question) {
    case JointQuestion::reach:
      if (t.has_mm >= 0.0)
        return fmt::format("ends {} {} beyond the nut, 2 pitches are {}", l.tenths(t.has_mm),
                           l.unit(), l.tenths(t.needs_mm));
      return fmt::format("{} {} too short to come through the nut", l.tenths(-t.has_mm), l.unit());
    case JointQuestion::shank_in_shear:
      return shear_words(j, v, l);
    case JointQuestion::nut_clear_of_shank:
      if (t.passes)
        return fmt::format("{} {} of thread are left under the nut", l.tenths(t.has_mm), l.unit());
      return fmt::format(
          "the nut runs onto the plain shank before it clamps: {} {} of thread under it, 2 pitches "
          "are {}",
          l.tenths(t.has_mm), l.unit(), l.tenths(t.needs_mm));
    case JointQuestion::tail_clear:
      return tail_words(j, v, l);
    case JointQuestion::engagement_strength:
      return fmt::format(
          "{0} {2} of thread engaged; from {1} {2} on the bolt breaks before the thread strips",
          l.tenths(std::max(t.has_mm, 0.0)), l.one_decimal(t.needs_mm), l.unit());
    case JointQuestion::engagement_rule:
      return fmt::format("rule of thumb for {}: {:.1f} d, {} {}", j.tapped->material.name,
                         engagement_rule(j.tapped->material.group), l.tenths(t.needs_mm), l.unit());
    case JointQuestion::bottoming:
      if (t.has_mm >= 0.0)
        return fmt::format("{} {} of thread are left beyond its end, 2 pitches are {}",
                           l.tenths(t.has_mm), l.unit(), l.tenths(t.needs_mm));
      return fmt::format("it is {} {} too long for the hole: it bottoms and clamps nothing",
                         l.tenths(-t.has_mm), l.unit());
    case JointQuestion::shank_clear_of_hole:
      if (t.passes)
        return fmt::format("the plain shank ends {} {} before the hole", l.tenths(t.has_mm),
                           l.unit());
      return "the plain shank runs into the thread of the hole";
  }
  return {};
}

std::string why_words(const BoltJoint& j, const NextLength& n, Units units) {
  const Lengths l(units);
  using Why = NextLength::Why;
  switch (n.why) {
    case Why::passes:
      return {};
    case Why::to_be_measured: {
      const auto v = *judge(j, *n.take).value;
      const auto needs = l.tenths(*n.measure_plain_mm);
      return fmt::format(
          "the standard makes sure of {} {} of plain shank and the last shear plane is at {}: "
          "measure the bolt in hand, {} of it must be plain before the thread's run-out",
          l.sure(v.plain_mm), l.unit(), needs, needs);
    }
    case Why::all_thread:
      return fmt::format(
          "no standard {} bolt with a plain shank is so short: this one is threaded to the head, "
          "its thread stands in the shear plane, and friction or a spigot has to carry the side "
          "force",
          j.thread.name);
    case Why::too_short:
      return fmt::format("no standard length of {} reaches: the longest is {}", j.thread.name,
                         l.size(j.thread, standard_bolts(j.thread).back().length_mm));
    case Why::shallow_hole:
      return fmt::format(
          "no length of {} serves: the hole has {} {} of thread, and the bolt would strip it below "
          "{}",
          j.thread.name, l.tenths(j.tapped->depth_mm), l.unit(),
          l.one_decimal(engagement(j.thread, j.bolt_class, j.tapped->material).equal_strength_mm));
    case Why::none_serves: {
      const auto v = *judge(j, *n.first).value;
      return fmt::format("no standard length serves: {} reaches but {}",
                         l.size(j.thread, n.first->length_mm), in_short(first_failing(v), v, l));
    }
  }
  return {};
}

std::string words(const BoltJoint& j, const WayOut& way, Units units) {
  const Lengths l(units);
  const auto size = l.size(j.thread, way.bolt.length_mm);
  const auto amount = l.tenths(way.amount_mm);
  switch (way.kind) {
    case WayOutKind::other_side:
      return fmt::format("{} put in from the other side serves", size);
    case WayOutKind::more_tail_room:
      return fmt::format("{} serves where the tail has {} {}", size, amount, l.unit());
    case WayOutKind::thicker_nut_washer:
    case WayOutKind::thicker_head_washer:
      return fmt::format("a {} {} thicker washer under the {} and {}", amount, l.unit(),
                         way.kind == WayOutKind::thicker_head_washer ? "head" : "nut", size);
    case WayOutKind::deeper_thread:
      return fmt::format("{} serves where the hole has {} {} of thread", size, amount, l.unit());
    case WayOutKind::made_to_measure:
      return fmt::format("a bolt made to measure: {0} {3} long, {1} to {2} {3} of it plain",
                         l.tenths(way.bolt.length_mm), amount, l.tenths(way.most_mm), l.unit());
    case WayOutKind::stud:
      return fmt::format("a stud, {} {} of it plain", amount, l.unit());
  }
  return {};
}

std::string words(const BoltJoint& j, const NextLength& n, Units units) {
  const Lengths l(units);
  std::string text;
  const auto why = why_words(j, n, units);
  if (n.take) {
    const auto v = *judge(j, *n.take).value;
    text = bolt_in_joint(j, v, l);
    if (n.passes)
      for (const auto& t : v.tests)
        if (t.question == JointQuestion::engagement_rule && !t.passes)
          text += ": " + in_short(t, v, l);
    if (!why.empty()) text += "; " + why;
  } else {
    text = why;
  }
  // The ways out of what is not sure yet are another choice; else they are the only ones.
  for (std::size_t i = 0; i < n.ways_out.size(); ++i)
    text += (i == 0                       ? (n.take ? "; or " : "; ")
             : i + 1 == n.ways_out.size() ? "; or "
                                          : "; ") +
            words(j, n.ways_out[i], units);
  return text + "." + bolt_that_is_there(j, l);
}

std::string words(const SlipCheck& s, Units units) {
  const auto force = [&](double n) { return big_force(n, units); };
  std::string text = fmt::format(
      "{} {} {} hold {} by friction at {}, {} where the torque gave 30 % less: {:.1f} to {:.1f} "
      "times {}",
      s.bolts, s.thread.name, name(s.bolt_class), force(s.holds_n), shortest(s.friction),
      force(s.holds_at_least_n), s.least_factor, s.factor, force(s.force_n));
  if (!s.holds) text += ": it slips, give it a spigot or dowels";
  else if (s.factor < 2.0) text += ": little to spare, give it a spigot or dowels";
  return text;
}

std::string words(const Engagement& e, const Material& hole, Units units) {
  const Lengths l(units);
  return fmt::format(
      "{0:.1f} d in {1} by rule of thumb: {2} {4}; the thread outlasts the bolt from {3} {4} on",
      engagement_rule(hole.group), hole.name, l.tenths(e.rule_mm),
      l.one_decimal(e.equal_strength_mm), l.unit());
}

std::string words(const RodEndEngagement& e, const Thread& thread, MaterialGroup sleeve,
                  Units units) {
  const Lengths l(units);
  return fmt::format(
      "{} into {}: at least {} {} ({:.1f} d); drill an inspection hole of {} {} from the sleeve's "
      "end, no wire may pass through it; the jam nut takes {} {} of thread more",
      thread.name, sleeve == MaterialGroup::steel ? "steel" : "aluminium",
      l.one_decimal(e.needed_mm), l.unit(), e.needed_mm / thread.diameter_mm,
      (units == Units::metric ? "2 to 3 mm " : "3/32 in ") + l.one_decimal(e.inspection_hole_mm),
      l.unit(), l.one_decimal(e.jam_nut_mm), l.unit());
}

std::string words(const RatingCheck& r, Units units) {
  const double wanted_n = rating_wanted * r.force_n;
  constexpr double step_lbf = 100.0;
  const auto at_least = [&] {
    if (units == Units::metric) return fmt::format("{:.0f} kN", std::ceil(wanted_n / 1e3));
    const auto lbf = shown_unit(Measure::force, units);
    return fmt::format("{:.0f} {}", step_lbf * std::ceil(wanted_n * lbf.per_inside / step_lbf),
                       lbf.symbol);
  };
  return fmt::format("rated {} for {} in work: {:.1f} times, {:.0f} wanted{}",
                     big_force(r.rating_n, units), big_force(r.force_n, units), r.factor,
                     rating_wanted,
                     r.passes ? "" : fmt::format("; take one of {} or more", at_least()));
}

std::string words(const SingleShearCheck& c, Units units) {
  const Lengths l(units);
  const auto& s = c.stack;
  const auto of = strength(s.thread, s.bolt_class);
  std::string text = fmt::format(
      "{} {}: {} on a face that opens at {}, factor {:.1f}, {:.1f} where the torque gave 30 % less",
      s.thread.name, name(s.bolt_class), moment_words(c.moment_nmm, units),
      moment_words(c.gap_moment_nmm, units), c.factor, c.least_factor);
  if (!c.stays_closed) {
    const char* what = c.plain_shank_mpa >= of.tensile_mpa ? "it breaks"
                       : c.plain_shank_mpa >= of.yield_mpa ? "it bends"
                                                           : "it works loose and tires";
    text += fmt::format(
        ": it opens{}, and the bolt has to carry {:.0f} MPa of bending in its plain shank, {:.0f} "
        "in the thread, against a yield of {:.0f}: {}",
        c.factor < 1.0 ? "" : " with that", c.plain_shank_mpa, c.root_mpa, of.yield_mpa, what);
  } else if (c.least_factor < closing_wanted) {
    text += fmt::format(
        ": closed with too little in hand, {:.0f} wanted. Shorten the stack, hold the ball between "
        "two tabs, or turn a shouldered stud in one piece",
        closing_wanted);
  } else {
    text += ": stays closed";
  }
  if (!c.is_short)
    text += fmt::format(
        ". The ball stands {0} {2} from its face: single shear is for one diameter, {1} {2}, at "
        "most",
        l.exact(s.arm_mm), l.exact(s.thread.diameter_mm), l.unit());
  return text;
}

}  // namespace trammel
