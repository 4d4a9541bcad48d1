#include "file/read_axle.h"

#include <fmt/format.h>

#include <cmath>
#include <string_view>

#include "base/words.h"
#include "file/table_reader.h"
#include "file/wishes.h"

namespace trammel {
namespace {

constexpr double coincident_mm = 1.0;  // nearer than this, two ends of a member are one joint

class AxleReader {
 public:
  AxleReader(AxleName name, const Value& value, std::vector<Fault>& faults)
      : name_(word(name)), faults_(faults), axle_table_(value, word(name), faults) {
    axle_.layout.axle = name;
    axle_.layout.line = value.line;
  }

  std::optional<Axle> read() {
    refuse_beams();
    default_sigma_mm_ = axle_table_.above_zero("sigma", Kind::length, Need::optional).value_or(0.0);
    read_wheel();
    read_arms();
    read_swing();
    read_rods();
    read_strut();
    read_spring();
    read_damper();
    read_stop();
    read_roll_bar();
    const bool left_complete = complete_;
    if (left_complete) mirror();
    read_right();
    read_adjusters();
    axle_table_.child("target");
    axle_table_.child("chosen");
    if (axle_table_.has("left"))
      axle_table_.fault_at("left", fmt::format("left corners are described without their side, "
                                               "expected [{0}.arm...] for the left and "
                                               "[{0}.right.arm...] for what differs on the right",
                                               name_));
    axle_table_.pass_over("left");
    axle_table_.close();
    count_equations();
    if (!complete_) return {};
    return std::move(axle_);
  }

 private:
  Layout& layout() { return axle_.layout; }

  // Reads a joint into the left corner's numbers; -1 (and the axle incomplete) where it fails.
  int joint(TableReader& table, const std::string& member, std::string_view key, Need need) {
    const auto p = table.point(key, default_sigma_mm_, need);
    if (!p) {
      if (need == Need::required || table.has(key)) complete_ = false;
      return -1;
    }
    layout().points.push_back(fmt::format("{}.{}", member, key));
    auto& left = axle_.at(Side::left);
    left.numbers.points_mm.push_back(p->at_mm);
    left.sigma_mm.push_back(p->sigma_mm);
    return static_cast<int>(layout().points.size()) - 1;
  }
  const Vec3<double>& left_at(int point) {
    return axle_.at(Side::left).numbers.points_mm[static_cast<std::size_t>(point)];
  }
  void must_differ(TableReader& table, int a, int b) {
    if (a < 0 || b < 0 || length(left_at(a) - left_at(b)) >= coincident_mm) return;
    const auto key = [&](int i) {
      const auto& n = layout().points[static_cast<std::size_t>(i)];
      return n.substr(n.rfind('.') + 1);
    };
    table.fault(table.line(), fmt::format("'{}' and '{}' are the same place, expected two joints "
                                          "at least 1 mm apart",
                                          key(a), key(b)));
    complete_ = false;
  }

  void refuse_beams() {
    for (const char* key : {"beam", "twist_beam"})
      if (axle_table_.has(key)) {
        axle_table_.pass_over(key);
        complete_ = false;
        axle_table_.fault_at(
            key, std::string_view(key) == "beam"
                     ? "a beam axle carries both wheels on one body, which this edition cannot "
                       "compute, expected an axle whose wheels move by themselves"
                     : "a twist beam moves by the twist of its steel, which joints and lengths "
                       "cannot say, expected an axle of arms, rods, struts or swing arms");
      }
  }

  void read_wheel() {
    const Value* v = axle_table_.child("wheel");
    if (!v) {
      axle_table_.fault(axle_table_.line(), "'wheel' is missing, expected a table [" + name_ +
                                                ".wheel] with its centre");
      complete_ = false;
      return;
    }
    TableReader t(*v, name_ + ".wheel", faults_);
    const int centre = joint(t, "wheel", "centre", Need::required);
    auto& left = axle_.at(Side::left);
    read_wheel_angles(t, left);
    axle_.camber_given = t.has("camber");
    axle_.toe_given = t.has("toe");
    if (centre >= 0 && !(left_at(centre).z > 50.0)) {
      t.fault_at("centre", "lies less than 50 mm above the floor, expected the loaded radius as z");
      complete_ = false;
    }
    if (centre >= 0 && !(left_at(centre).y > 0.0)) {
      t.fault_at("centre",
                 "does not lie on the left, expected y above zero (y points to the left)");
      complete_ = false;
    }
    if (const Value* rim = t.child("rim")) {
      TableReader r(*rim, name_ + ".wheel.rim", faults_);
      axle_.rim.diameter_mm = r.above_zero("diameter", Kind::length, Need::optional);
      axle_.rim.width_mm = r.above_zero("width", Kind::length, Need::optional);
      axle_.rim.offset_mm = r.number("offset", Kind::length, Need::optional);
      axle_.rim.barrel_radius_mm = r.above_zero("barrel_radius", Kind::length, Need::optional);
      axle_.rim.clearance_mm = r.above_zero("clearance", Kind::length, Need::optional);
      r.close();
    }
    axle_.tyre_rate_n_per_mm = t.above_zero("tyre_rate", Kind::spring_rate, Need::optional);
    read_arches(t);
    t.close();
  }

  // One height for both sides, or { left = ..., right = ... }.
  void read_arches(TableReader& t) {
    const Value* v = t.child("arch");
    if (!v) return;
    if (!v->table()) {
      axle_.arch_mm.fill(t.above_zero("arch", Kind::length, Need::optional));
      return;
    }
    TableReader a(*v, name_ + ".wheel.arch", faults_);
    for (const Side side : {Side::left, Side::right})
      axle_.arch_mm[static_cast<std::size_t>(side)] =
          a.above_zero(word(side), Kind::length, Need::required);
    a.close();
  }

  void read_wheel_angles(TableReader& t, CornerMeasured& corner) {
    const auto angle = [&](std::string_view key, double& value, double& sigma) {
      const auto q = t.quantity(key, Kind::angle, Need::optional);
      if (!q) {
        if (t.has(key)) complete_ = false;
        return;
      }
      if (std::fabs(q->value) > 0.5) {
        t.fault_at(key, "is more than 28 degrees, expected an angle of a wheel in degrees");
        complete_ = false;
      }
      value = q->value;
      sigma = q->sigma.value_or(0.0);
    };
    angle("camber", corner.numbers.camber_rad, corner.camber_sigma_rad);
    angle("toe", corner.numbers.toe_rad, corner.toe_sigma_rad);
  }

  // Calls `read(table, "arm.lower", "lower")` for each [axle.kind.NAME].
  template <class F>
  void each_member(const char* kind, F read) {
    const Value* v = axle_table_.child(kind);
    if (!v) return;
    if (!v->table()) {
      axle_table_.fault_at(kind, fmt::format("is not a table, expected [{}.{}.NAME]", name_, kind));
      complete_ = false;
      return;
    }
    for (const auto& entry : *v->table()) {
      const auto path = fmt::format("{}.{}.{}", name_, kind, entry.key);
      if (!entry.value.table()) {
        faults_.push_back(
            {entry.line, fmt::format("{}.{}: '{}' is not a member, expected a table with a name of "
                                     "your own: [{}.{}.NAME]",
                                     name_, kind, entry.key, name_, kind)});
        complete_ = false;
        continue;
      }
      TableReader t(entry.value, path, faults_);
      read(t, fmt::format("{}.{}", kind, entry.key), entry.key);
      t.close();
    }
  }

  void read_arms() {
    each_member("arm", [&](TableReader& t, const std::string& member, const std::string& name) {
      if (++arms_on_paper_ > 2) {
        t.fault(t.line(),
                "is a third arm, expected two at most: an arm is two equations, and five "
                "hold an upright and leave its travel");
        complete_ = false;
      }
      ArmOf arm;
      arm.name = name;
      arm.line = t.line();
      arm.body_front = joint(t, member, "body_front", Need::required);
      arm.body_rear = joint(t, member, "body_rear", Need::required);
      arm.upright = joint(t, member, "upright", Need::required);
      must_differ(t, arm.body_front, arm.body_rear);
      read_limits(t, "upright", arm.upright);
      if (arm.body_front >= 0 && arm.body_rear >= 0 && arm.upright >= 0) {
        const auto along = left_at(arm.body_rear) - left_at(arm.body_front);
        const auto out = left_at(arm.upright) - left_at(arm.body_front);
        if (length(along) >= coincident_mm &&
            length(cross(along, out)) < coincident_mm * length(along)) {
          t.fault_at("upright",
                     "stands on the line of the arm's own body joints, expected a joint "
                     "at some distance from it");
          complete_ = false;
        }
      }
      layout().arms.push_back(arm);
    });
  }

  // "upright_limit": how far that joint may swing; "upright_housing": how far it reaches.
  void read_limits(TableReader& t, const std::string& end, int point) {
    const auto limit = t.above_zero(end + "_limit", Kind::angle, Need::optional);
    if (limit && point >= 0) axle_.joint_limits.push_back({point, *limit});
    if (end != "upright") return;
    const auto radius = t.above_zero(end + "_housing", Kind::length, Need::optional);
    if (radius && point >= 0) axle_.housings.push_back({point, *radius});
  }

  void read_swing() {
    each_member("swing", [&](TableReader& t, const std::string& member, const std::string& name) {
      if (swings_on_paper_++ > 0) {
        t.fault(t.line(), "is a second swing arm, expected one to a corner");
        complete_ = false;
      }
      SwingOf swing;
      swing.name = name;
      swing.line = t.line();
      swing.pivot_inner = joint(t, member, "pivot_inner", Need::required);
      swing.pivot_outer = joint(t, member, "pivot_outer", Need::required);
      must_differ(t, swing.pivot_inner, swing.pivot_outer);
      layout().swing = swing;
    });
  }

  // "arm.lower" or, for what may stand there, "upright", "strut", "swing.NAME".
  std::optional<Standing> standing(TableReader& t, bool upright_too) {
    const auto on = t.text("on", Need::optional);
    if (!on) {
      if (t.has("on")) complete_ = false;
      return Standing{Carrier::upright, -1};
    }
    std::string_view member = *on;
    if (member.starts_with(name_ + ".")) member.remove_prefix(name_.size() + 1);
    if (member.starts_with("arm."))
      if (const int arm = layout().arm(member.substr(4)); arm >= 0)
        return Standing{Carrier::arm, arm};
    if (upright_too && (member == "upright" || member == "strut" ||
                        (layout().swing && member == "swing." + layout().swing->name)))
      return Standing{Carrier::upright, -1};
    std::vector<std::string> possible;
    for (const auto& arm : layout().arms) possible.push_back("\"arm." + arm.name + "\"");
    if (upright_too) possible.emplace_back("\"upright\"");
    t.fault_at(
        "on", possible.empty()
                  ? fmt::format("'{}' carries no joint, and this axle has no arm that could", *on)
                  : fmt::format("'{}' carries no joint, expected {}", *on, listed(possible, "or")));
    complete_ = false;
    return {};
  }

  void read_rods() {
    each_member("rod", [&](TableReader& t, const std::string& member, const std::string& name) {
      ++rods_on_paper_;
      RodOf rod;
      rod.name = name;
      rod.line = t.line();
      const bool steered = t.flag("steered").value_or(false);
      if (t.has("on")) {
        if (const auto s = standing(t, false)) rod.inner_on = *s;
        if (t.has("member") && t.has("body")) {
          t.fault(t.line(),
                  "has both 'body' and 'member', expected 'member' (the joint on the arm "
                  "it stands on) and 'upright'; a spring, damper or drop link has a "
                  "table of its own");
          complete_ = false;
        }
        rod.inner = joint(t, member, t.has("body") ? "body" : "member", Need::required);
        if (steered) {
          t.fault_at("steered", "stands beside 'on', expected a rod on the rack or on an arm");
          complete_ = false;
        }
      } else {
        rod.inner = joint(t, member, "body", Need::required);
        if (steered) rod.inner_on.on = Carrier::rack;
      }
      rod.upright = joint(t, member, "upright", Need::required);
      must_differ(t, rod.inner, rod.upright);
      read_limits(t, "body", rod.inner);
      read_limits(t, "upright", rod.upright);
      if (rod.steered())
        axle_.rack_travel_mm = t.above_zero("rack_travel", Kind::length, Need::optional);
      t.child("on");
      layout().rods.push_back(rod);
    });
  }

  void read_strut() {
    const Value* v = axle_table_.child("strut");
    if (!v) return;
    strut_on_paper_ = true;
    TableReader t(*v, name_ + ".strut", faults_);
    StrutOf strut;
    strut.line = v->line;
    strut.top = joint(t, "strut", "top", Need::required);
    strut.foot = joint(t, "strut", "foot", Need::required);
    must_differ(t, strut.top, strut.foot);
    t.close();
    layout().strut = strut;
  }

  // Ends of a spring or damper: its own, or those of the strut it is built round.
  std::optional<LineOf> line_of(TableReader& t, const char* member) {
    if (!t.has("top") && !t.has("foot") && layout().strut && !t.has("on"))
      return LineOf{layout().strut->top, layout().strut->foot, {Carrier::upright, -1}};
    LineOf line;
    line.top = joint(t, member, "top", Need::required);
    line.foot = joint(t, member, "foot", Need::required);
    must_differ(t, line.top, line.foot);
    if (const auto s = standing(t, true)) line.foot_on = *s;
    return line;
  }

  void read_spring() {
    const Value* v = axle_table_.child("spring");
    if (!v) return;
    TableReader t(*v, name_ + ".spring", faults_);
    SpringData data;
    data.rate_n_per_mm = t.above_zero("rate", Kind::spring_rate, Need::optional);
    data.free_length_mm = t.above_zero("free_length", Kind::length, Need::optional);
    data.perch_pitch_mm = t.above_zero("perch_pitch", Kind::length, Need::optional);
    read_solid_length(t, data);
    layout().spring = line_of(t, "spring");
    for (const char* key : {"top", "foot", "on"}) t.child(key);
    t.close();
    axle_.spring = data;
  }
  // Stated, or from the wire and all its coils, counted from end to end.
  void read_solid_length(TableReader& t, SpringData& data) {
    data.solid_length_mm = t.above_zero("solid_length", Kind::length, Need::optional);
    const auto wire = t.above_zero("wire", Kind::length, Need::optional);
    const auto coils = t.above_zero("coils", Kind::ratio, Need::optional);
    if (t.has("wire") != t.has("coils"))
      t.fault_at(t.has("wire") ? "wire" : "coils",
                 fmt::format("stands without '{}', expected both: the solid length is all coils, "
                             "counted from end to end, times the wire's thickness",
                             t.has("wire") ? "coils" : "wire"));
    if (wire && coils && data.solid_length_mm)
      t.fault_at("solid_length", "is given twice, expected either it or 'wire' and 'coils'");
    if (wire && coils && !data.solid_length_mm) data.solid_length_mm = *wire * *coils;
    if (data.solid_length_mm && data.free_length_mm &&
        !(*data.solid_length_mm < *data.free_length_mm))
      t.fault(t.line(), fmt::format("is solid at {:.4g} mm, expected less than its free length of "
                                    "{:.4g} mm",
                                    *data.solid_length_mm, *data.free_length_mm));
  }
  void read_damper() {
    const Value* v = axle_table_.child("damper");
    if (!v) return;
    TableReader t(*v, name_ + ".damper", faults_);
    DamperData data;
    data.open_mm = t.above_zero("open", Kind::length, Need::optional);
    data.closed_mm = t.above_zero("closed", Kind::length, Need::optional);
    layout().damper = line_of(t, "damper");
    for (const char* key : {"top", "foot", "on"}) t.child(key);
    if (data.open_mm && data.closed_mm && !(*data.closed_mm < *data.open_mm))
      t.fault_at("closed", fmt::format("is {:.4g} mm, expected less than the open length of {:.4g} "
                                       "mm",
                                       *data.closed_mm, *data.open_mm));
    t.close();
    axle_.damper = data;
  }
  void read_stop() {
    const Value* v = axle_table_.child("stop");
    if (!v) return;
    TableReader t(*v, name_ + ".stop", faults_);
    StopData data;
    data.gap_mm = t.number("gap", Kind::length, Need::optional);
    data.free_length_mm = t.above_zero("free_length", Kind::length, Need::optional);
    data.solid_length_mm = t.above_zero("solid_length", Kind::length, Need::optional);
    data.rate_n_per_mm = t.above_zero("rate", Kind::spring_rate, Need::optional);
    data.bump_mm = t.above_zero("bump", Kind::length, Need::optional);
    data.droop_mm = t.above_zero("droop", Kind::length, Need::optional);
    for (const char* key : {"bump", "droop"})
      if (const auto& way = std::string_view(key) == "bump" ? data.bump_mm : data.droop_mm;
          way && *way > farthest_window_mm)
        t.fault_at(key, fmt::format("is farther than any wheel goes ({} mm), expected its full "
                                    "travel from here",
                                    farthest_window_mm));
    if (data.free_length_mm && data.solid_length_mm &&
        !(*data.solid_length_mm < *data.free_length_mm))
      t.fault_at("solid_length", fmt::format("is {:.4g} mm, expected less than the stop's free "
                                             "length of {:.4g} mm",
                                             *data.solid_length_mm, *data.free_length_mm));
    t.close();
    axle_.stop = data;
  }
  void read_roll_bar() {
    const Value* v = axle_table_.child("roll_bar");
    if (!v) return;
    TableReader t(*v, name_ + ".roll_bar", faults_);
    axle_.bar_rate_nmm_per_rad = t.above_zero("rate", Kind::roll_rate, Need::optional);
    const char* ends[] = {"pivot", "link_bar", "link"};
    if (t.has("pivot") || t.has("link_bar") || t.has("link") || t.has("on")) {
      BarOf bar;
      bar.pivot = joint(t, "roll_bar", ends[0], Need::required);
      bar.link_bar = joint(t, "roll_bar", ends[1], Need::required);
      bar.link = joint(t, "roll_bar", ends[2], Need::required);
      must_differ(t, bar.link_bar, bar.link);
      if (const auto d = t.direction("axis", Need::optional)) bar.axis = *d;
      if (const auto s = standing(t, true)) bar.link_on = *s;
      if (bar.pivot >= 0 && bar.link_bar >= 0 &&
          length(cross(bar.axis, left_at(bar.link_bar) - left_at(bar.pivot))) < coincident_mm) {
        t.fault_at("link_bar", "stands on the bar's own axis, expected the end of its lever");
        complete_ = false;
      }
      layout().bar = bar;
    }
    for (const char* key : {"pivot", "link_bar", "link", "on", "axis"}) t.child(key);
    t.close();
  }

  void mirror() {
    auto& right = axle_.at(Side::right);
    right = axle_.at(Side::left);
    right.numbers = mirrored(right.numbers);
  }

  // [front.right.arm.lower] upright = [...]: in car axes, so y below zero.
  void read_right() {
    const Value* v = axle_table_.child("right");
    if (!v) return;
    axle_.right_is_mirrored = false;
    TableReader right(*v, name_ + ".right", faults_);
    if (const Value* w = right.child("wheel")) {
      TableReader t(*w, name_ + ".right.wheel", faults_);
      right_joint(t, "wheel", "centre");
      read_wheel_angles(t, axle_.at(Side::right));
      t.close();
    }
    for (const char* kind : {"strut", "spring", "damper", "roll_bar"})
      if (const Value* m = right.child(kind)) right_member(*m, kind);
    for (const char* kind : {"arm", "rod", "swing"}) {
      const Value* members = right.child(kind);
      if (!members) continue;
      if (!members->table()) {
        right.fault_at(kind, "is not a table, expected the name of a member of the left side");
        complete_ = false;
        continue;
      }
      for (const auto& entry : *members->table())
        right_member(entry.value, fmt::format("{}.{}", kind, entry.key));
    }
    right.close();
  }
  void right_member(const Value& value, const std::string& member) {
    TableReader t(value, fmt::format("{}.right.{}", name_, member), faults_);
    bool any = false;
    for (const auto& point : layout().points)
      if (point.starts_with(member + ".") &&
          point.find('.', member.size() + 1) == std::string::npos) {
        any = true;
        right_joint(t, member, std::string_view(point).substr(member.size() + 1));
      }
    if (!any) {
      t.fault(t.line(), fmt::format("the left side has no member '{}', expected one that it has: "
                                    "the right side differs in places, not in its members",
                                    member));
      complete_ = false;
      return;
    }
    t.close();
  }
  void right_joint(TableReader& t, const std::string& member, std::string_view key) {
    const auto p = t.point(key, default_sigma_mm_, Need::optional);
    if (!p) {
      if (t.has(key)) complete_ = false;
      return;
    }
    const int index = layout().point(fmt::format("{}.{}", member, key));
    auto& right = axle_.at(Side::right);
    if (index < 0 || static_cast<std::size_t>(index) >= right.numbers.points_mm.size()) return;
    auto& place = right.numbers.points_mm[static_cast<std::size_t>(index)];
    if (p->at_mm.y > coincident_mm && place.y < -50.0) {
      t.fault_at(key, fmt::format("has y = {:.4g}, which is on the left, expected y below zero on "
                                  "the right side (its mirror image has {:.4g})",
                                  p->at_mm.y, place.y));
      complete_ = false;
      return;
    }
    place = p->at_mm;
    right.sigma_mm[static_cast<std::size_t>(index)] = p->sigma_mm;
  }

  void read_thread(TableReader& t, double& pitch_mm, int& ends) {
    pitch_mm = t.above_zero("pitch", Kind::length, Need::optional).value_or(0.0);
    if (const auto n = t.number("ends", Kind::ratio, Need::optional)) {
      if (*n == 1.0 || *n == 2.0) ends = static_cast<int>(*n);
      else t.fault_at("ends", "is neither 1 nor 2, expected how many ends of the rod are threaded");
    }
  }
  int rod_named(TableReader& t) {
    const auto name = t.text("rod", Need::optional);
    if (!name) return -1;
    const int rod = layout().rod(*name);
    if (rod < 0) {
      std::vector<std::string> names;
      for (const auto& r : layout().rods) names.push_back(r.name);
      t.fault_at("rod", fmt::format("'{}' is no rod of this axle, expected {}", *name,
                                    names.empty() ? "an axle with rods" : listed(names, "or")));
    }
    return rod;
  }

  void read_adjusters() {
    if (const int rod = default_toe_rod(); rod >= 0)
      axle_.toe_adjuster = ToeAdjuster{rod, false, 0.0, 1};
    const Value* v = axle_table_.child("adjust");
    if (!v) return;
    TableReader t(*v, name_ + ".adjust", faults_);
    if (const Value* toe = t.child("toe")) {
      TableReader a(*toe, name_ + ".adjust.toe", faults_);
      ToeAdjuster adjuster;
      adjuster.stated = true;
      adjuster.rod = a.has("rod") ? rod_named(a) : default_toe_rod();
      a.child("rod");
      read_thread(a, adjuster.pitch_mm, adjuster.ends);
      a.close();
      if (adjuster.rod >= 0) axle_.toe_adjuster = adjuster;
    }
    if (const Value* camber = t.child("camber"))
      axle_.camber_adjuster = read_angle_adjuster(*camber, "camber");
    if (const Value* caster = t.child("caster"))
      axle_.caster_adjuster = read_angle_adjuster(*caster, "caster");
    t.close();
  }
  std::optional<AngleAdjuster> read_angle_adjuster(const Value& value, const char* angle) {
    TableReader a(value, fmt::format("{}.adjust.{}", name_, angle), faults_);
    AngleAdjuster adjuster;
    adjuster.rod = rod_named(a);
    if (const auto path = a.text("joint", Need::optional)) {
      adjuster.joint = joint_of(layout(), *path);
      if (adjuster.joint <= 0)
        a.fault_at("joint", fmt::format("'{}' is no joint of this axle, expected one such as {}",
                                        *path, layout().points.back()));
    }
    if (a.has("rod") == a.has("joint"))
      a.fault(a.line(), fmt::format("has to name either a 'rod' whose length sets the {} or a "
                                    "'joint' that moves 'along' a direction",
                                    angle));
    if (const auto d = a.direction("along", Need::optional)) adjuster.along = *d;
    read_thread(a, adjuster.pitch_mm, adjuster.ends);
    a.close();
    return adjuster.rod >= 0 || adjuster.joint > 0 ? std::optional(adjuster) : std::nullopt;
  }
  int default_toe_rod() {
    const auto& rods = layout().rods;
    for (std::size_t i = 0; i < rods.size(); ++i)
      if (rods[i].steered()) return static_cast<int>(i);
    if (const int rod = layout().rod("toe"); rod >= 0) return rod;
    return rods.size() == 1 ? 0 : -1;
  }

  // Too few or too many equations can be said without geometry; which motion that leaves, or holds
  // twice, is said by travel/freedom.
  void count_equations() {
    const int count =
        2 * arms_on_paper_ + rods_on_paper_ + (strut_on_paper_ ? 2 : 0) + 5 * swings_on_paper_;
    if (count == 0 && complete_) {
      axle_table_.fault(axle_table_.line(),
                        "no member holds the wheel, expected arms, rods, a strut or a swing arm");
      complete_ = false;
    }
  }

  std::string name_;
  std::vector<Fault>& faults_;
  TableReader axle_table_;
  Axle axle_;
  double default_sigma_mm_ = 0.0;
  bool complete_ = true;
  int arms_on_paper_ = 0, rods_on_paper_ = 0, swings_on_paper_ = 0;
  bool strut_on_paper_ = false;
};

}  // namespace

std::optional<Axle> read_axle(AxleName name, const Value& value, std::vector<Fault>& faults) {
  return AxleReader(name, value, faults).read();
}

int joint_of(const Layout& layout, std::string_view path) {
  const std::string prefix = std::string(word(layout.axle)) + ".";
  if (path.starts_with(prefix)) path.remove_prefix(prefix.size());
  return layout.point(path);
}

}  // namespace trammel
