#include "travel/readings.h"

#include <cmath>
#include <numbers>
#include <type_traits>

#include "base/dual.h"

namespace trammel {
namespace {

constexpr ReadingInfo table[] = {
    {Reading::camber, "camber_deg", Measure::angle, "camber"},
    {Reading::toe, "toe_deg", Measure::angle, "toe"},
    {Reading::bump_steer, "bump_steer_deg_per_mm", Measure::angle_per_length, "bump steer"},
    {Reading::camber_gain, "camber_gain_deg_per_mm", Measure::angle_per_length, "camber gain"},
    {Reading::half_track, "half_track_mm", Measure::length, "half track"},
    {Reading::roll_centre_height, "roll_centre_height_mm", Measure::length, "roll centre"},
    {Reading::caster, "caster_deg", Measure::angle, "caster"},
    {Reading::steering_axis_inclination, "steering_axis_inclination_deg", Measure::angle,
     "kingpin inclination"},
    {Reading::scrub_radius, "scrub_radius_mm", Measure::length, "scrub radius"},
    {Reading::caster_trail, "caster_trail_mm", Measure::length, "mechanical trail"},
    {Reading::contact_forward, "contact_forward_mm", Measure::length, "contact point, forward"},
    {Reading::contact_side_view, "contact_side_view_angle_deg", Measure::angle,
     "side view, contact point"},
    {Reading::centre_side_view, "centre_side_view_angle_deg", Measure::angle,
     "side view, wheel centre"},
    {Reading::spring_length, "spring_length_mm", Measure::length, "spring length"},
    {Reading::spring_motion_ratio, "spring_motion_ratio", Measure::ratio,
     "spring per wheel travel"},
    {Reading::damper_length, "damper_length_mm", Measure::length, "damper length"},
    {Reading::damper_motion_ratio, "damper_motion_ratio", Measure::ratio,
     "damper per wheel travel"},
    {Reading::strut_length, "strut_length_mm", Measure::length, "strut, top to foot"},
    {Reading::bar_turn, "bar_turn_deg", Measure::angle, "roll bar lever"},
    {Reading::bar_motion_ratio, "bar_turn_deg_per_mm", Measure::angle_per_length,
     "roll bar per wheel travel"},
};
static_assert(std::size(table) == reading_count);

template <class T>
Vec3<T> motion_at(const Motion<T>& m, const Vec3<T>& lever) {
  return m.velocity + cross(m.turning, lever);
}

template <class T>
AxisLine<T> upwards(const Vec3<T>& point, const Vec3<T>& along, const Ground<T>& ground) {
  const Vec3<T> d = unit(along);
  return {point, select<T>(dot(d, ground.up) < T(0.0), -d, d)};
}

// A screw's axis: the line of points that move only along the turning.
template <class T>
AxisLine<T> screw_axis(const Motion<T>& m, const Vec3<T>& centre, const Ground<T>& ground) {
  const T w2 = dot(m.turning, m.turning);
  return upwards(centre + (T(1.0) / w2) * cross(m.turning, m.velocity), m.turning, ground);
}

template <class T>
AxisLine<T> steering_axis(const At<T>& at) {
  const auto& m = at.mechanism;
  const auto joint = [&](std::size_t arm) { return at.placed.position(m.distance[2 * arm].outer); };
  const auto& s = at.solution;
  switch (axis_from(at.layout)) {
    case AxisFrom::none:
      return {};
    case AxisFrom::two_arms:
      return upwards(joint(0), joint(1) - joint(0), at.ground);
    case AxisFrom::arm_and_strut_top:
      return upwards(joint(0), at.placed.position(m.strut->top) - joint(0), at.ground);
    case AxisFrom::wheel_height_held:
      return screw_axis(s.with_rack, at.placed.centre(), at.ground);
    case AxisFrom::spring_held:
      break;
  }
  // Steering with as much travel as keeps the spring's length.
  const auto spring = length_of(at.placed, *m.spring);
  const T up = -along(spring.change, s.with_rack) / along(spring.change, s.with_travel);
  return screw_axis({s.with_rack.velocity + up * s.with_travel.velocity,
                     s.with_rack.turning + up * s.with_travel.turning},
                    at.placed.centre(), at.ground);
}

// Where the steering axis meets the floor.
template <class T>
Vec3<T> axis_on_floor(const At<T>& at) {
  const T up = dot(at.ground.up, at.contact - at.axis.point) / dot(at.ground.up, at.axis.direction);
  return at.axis.point + up * at.axis.direction;
}

template <class T>
struct BarTurn {
  T angle, per_travel;
};

// The lever's turn from |lever end - link end| = the link's length:
// A cos t + B sin t = C, on the branch that is zero as measured.
template <class T>
BarTurn<T> bar_turn(const At<T>& at) {
  const auto& bar = *at.mechanism.bar;
  const T along_axis = dot(bar.lever, bar.axis);
  const Vec3<T> u = bar.lever - along_axis * bar.axis;
  const Vec3<T> w = cross(bar.axis, u);
  const auto terms = [&](const Vec3<T>& link) { return bar.pivot + along_axis * bar.axis - link; };
  const Vec3<T> link = at.placed.position(bar.link);
  const Vec3<T> d = terms(link);
  const T a = dot(d, u), b = dot(d, w);
  const T c = T(0.5) * (bar.link_length_mm * bar.link_length_mm - dot(d, d) - dot(u, u));
  const Vec3<T> d0 =
      terms(at.mechanism.numbers.points_mm[static_cast<std::size_t>(bar.link.point)]);
  const T side = select(dot(d0, w) > T(0.0), T(-1.0), T(1.0));
  const T across2 = a * a + b * b - c * c;
  const T across = root(select(across2 > T(0.0), across2, T(0.0)));
  const T turn = angle_of(b, a) + side * angle_of(across, c);
  // Per travel: the lever end follows the link end along the link.
  const T r = T(1.0) / root(a * a + b * b);
  const T cos_t = r * r * (a * c - side * b * across), sin_t = r * r * (b * c + side * a * across);
  const Vec3<T> lever = cos_t * u + sin_t * w;
  const Vec3<T> rod = d + lever;
  const Vec3<T> link_velocity = at.placed.velocity(bar.link, at.solution.with_travel);
  return {turn, dot(rod, link_velocity) / dot(rod, cross(bar.axis, lever))};
}

}  // namespace

std::span<const ReadingInfo> reading_table() { return table; }

const ReadingInfo& info(Reading reading) { return table[static_cast<std::size_t>(reading)]; }

bool applies(Reading reading, const Layout& layout) {
  switch (reading) {
    case Reading::caster:
    case Reading::steering_axis_inclination:
    case Reading::scrub_radius:
    case Reading::caster_trail:
      return layout.steered();
    case Reading::spring_length:
    case Reading::spring_motion_ratio:
      return layout.spring.has_value();
    case Reading::damper_length:
    case Reading::damper_motion_ratio:
      return layout.damper.has_value();
    case Reading::strut_length:
      return layout.strut.has_value();
    case Reading::bar_turn:
    case Reading::bar_motion_ratio:
      return layout.bar.has_value();
    default:
      return true;
  }
}

double in_key_unit(double inside, Measure measure) {
  constexpr double degrees = 180.0 / std::numbers::pi;
  switch (measure) {
    case Measure::angle:
    case Measure::angle_per_length:
      return inside * degrees;
    case Measure::percent:
      return inside * 100.0;
    default:
      return inside;
  }
}

AxisFrom axis_from(const Layout& layout) {
  if (!layout.steered()) return AxisFrom::none;
  if (layout.arms.size() == 2) return AxisFrom::two_arms;
  if (layout.arms.size() == 1 && layout.strut) return AxisFrom::arm_and_strut_top;
  return layout.spring ? AxisFrom::spring_held : AxisFrom::wheel_height_held;
}

std::string_view words(AxisFrom from) {
  switch (from) {
    case AxisFrom::none:
      return "no steered rod";
    case AxisFrom::two_arms:
      return "through the upright ends of both arms";
    case AxisFrom::arm_and_strut_top:
      return "through the arm's upright end and the strut's top";
    case AxisFrom::spring_held:
      return "from the upright's motion in steering, spring length held";
    case AxisFrom::wheel_height_held:
      return "from the upright's motion in steering, wheel height held";
  }
  return {};
}

template <class T>
At<T>::At(const Layout& layout_, const Mechanism<T>& mechanism_, const Solution<T>& solution_,
          const Ground<T>& ground_)
    : layout(layout_),
      mechanism(mechanism_),
      solution(solution_),
      ground(ground_),
      placed(mechanism_, solution_.pose, solution_.drive.rack_mm),
      spin(placed.turn() * mechanism_.wheel.spin) {
  const Vec3<T> down = dot(spin, ground.up) * spin - ground.up;  // steepest in the wheel's plane
  const Vec3<T> lever = mechanism.wheel.radius_mm * unit(down);
  contact = placed.centre() + lever;
  contact_velocity = motion_at(solution.with_travel, lever);
  axis = steering_axis(*this);
}

// Angles are taken together at the end: four to a register where T is one number.
template <class T>
class Angles {
 public:
  explicit Angles(std::array<T, reading_count>& values) : values_(values) {}
  void add(Reading r, T y, T x) {
    if constexpr (std::is_same_v<T, Dual>) {
      values_[static_cast<std::size_t>(r)] = angle_of(y, x);
    } else if constexpr (std::is_same_v<T, double>) {
      y_[n_ / lane_count].set(n_ % lane_count, y);
      x_[n_ / lane_count].set(n_ % lane_count, x);
    } else {
      y_[n_] = y;
      x_[n_] = x;
    }
    to_[n_++] = r;
  }
  void finish() {
    if constexpr (!std::is_same_v<T, Dual>) {
      constexpr std::size_t per = std::is_same_v<T, double> ? lane_count : 1;
      std::array<Lanes, 8> a;
      angles_of(y_.data(), x_.data(), a.data(), (n_ + per - 1) / per);
      for (std::size_t k = 0; k < n_; ++k) {
        if constexpr (std::is_same_v<T, double>)
          values_[static_cast<std::size_t>(to_[k])] = a[k / lane_count][k % lane_count];
        else values_[static_cast<std::size_t>(to_[k])] = a[k];
      }
    }
  }

 private:
  std::array<T, reading_count>& values_;
  std::array<Lanes, 8> y_{}, x_{};
  std::array<Reading, 8> to_{};
  std::size_t n_ = 0;
};

template <class T>
std::array<T, reading_count> read_all(const At<T>& at) {
  std::array<T, reading_count> values{};
  Angles<T> angles(values);
  const auto put = [&](Reading r, const T& x) { values[static_cast<std::size_t>(r)] = x; };
  const auto& g = at.ground;
  const auto& m = at.mechanism;
  const auto& move = at.solution.with_travel;
  const T ahead = dot(at.spin, g.forward), out = dot(at.spin, g.outboard), up = dot(at.spin, g.up);
  const T flat2 = T(1.0) - up * up;
  const T flat = root(flat2);
  const Vec3<T> rate = cross(move.turning, at.spin);
  angles.add(Reading::camber, -up, flat);
  angles.add(Reading::toe, ahead, out);
  const T per_flat = T(1.0) / flat;
  put(Reading::bump_steer,
      (dot(rate, g.forward) * out - ahead * dot(rate, g.outboard)) * (per_flat * per_flat));
  put(Reading::camber_gain, -dot(rate, g.up) * per_flat);
  const T half_track = dot(at.contact, g.outboard);
  const T rise = dot(at.contact_velocity, g.up);
  put(Reading::half_track, half_track);
  put(Reading::roll_centre_height, half_track * dot(at.contact_velocity, g.outboard) / rise);
  put(Reading::contact_forward, dot(at.contact, g.forward));
  angles.add(Reading::contact_side_view, dot(at.contact_velocity, g.forward), rise);
  angles.add(Reading::centre_side_view, dot(move.velocity, g.forward), dot(move.velocity, g.up));
  if (m.steered) {
    const T leaning = dot(at.axis.direction, g.up);
    angles.add(Reading::caster, -dot(at.axis.direction, g.forward), leaning);
    angles.add(Reading::steering_axis_inclination, -dot(at.axis.direction, g.outboard), leaning);
    const Vec3<T> from_axis = at.contact - axis_on_floor(at);
    const Vec3<T> across = per_flat * (at.spin - up * g.up);
    put(Reading::scrub_radius, dot(from_axis, across));
    put(Reading::caster_trail, -dot(from_axis, cross(across, g.up)));
  }
  const auto put_line = [&](const std::optional<Line<T>>& line, Reading length, Reading ratio) {
    if (!line) return;
    const auto l = length_of(at.placed, *line);
    put(length, l.off_mm);
    put(ratio, -along(l.change, move));
  };
  put_line(m.spring, Reading::spring_length, Reading::spring_motion_ratio);
  put_line(m.damper, Reading::damper_length, Reading::damper_motion_ratio);
  if (m.strut)
    put(Reading::strut_length,
        length(at.placed.position(m.strut->foot) - at.placed.position(m.strut->top)));
  if (m.bar) {
    const auto turn = bar_turn(at);
    put(Reading::bar_turn, turn.angle);
    put(Reading::bar_motion_ratio, turn.per_travel);
  }
  angles.finish();
  return values;
}

template <class T>
T read(Reading reading, const At<T>& at) {
  return read_all(at)[static_cast<std::size_t>(reading)];
}

std::vector<JointAngle> joint_angles(const At<double>& at) {
  const auto& m = at.mechanism;
  const Vec3<double> vertical{0, 0, 1};
  std::vector<JointAngle> angles;
  const auto add = [&](const Anchor<double>& joint, const Vec3<double>& far) {
    const auto here = at.placed.position(joint);
    const double s =
        dot(unit(far - here),
            at.placed.direction(joint.on, on_carrier(at.mechanism, joint.on, vertical)));
    angles.push_back({at.layout.points[static_cast<std::size_t>(joint.point)], std::asin(s)});
  };
  for (std::size_t i = 0; i < m.arm.size(); ++i) {
    const auto& ball = m.distance[2 * i].outer;
    const auto& hinge = m.arm[i];
    const auto reach = at.placed.position(ball) - hinge.origin;
    add(ball, hinge.origin + dot(reach, hinge.axis) * hinge.axis);
  }
  for (std::size_t i = 2 * m.arm.size(); i < m.distance.size(); ++i) {
    add(m.distance[i].inner, at.placed.position(m.distance[i].outer));
    add(m.distance[i].outer, at.placed.position(m.distance[i].inner));
  }
  if (m.strut) {
    const auto as_measured = unit(m.strut->top.at - (m.centre_mm + m.strut->foot.at));
    const double c = dot(as_measured, at.placed.turn() * as_measured);
    angles.push_back({at.layout.points[static_cast<std::size_t>(m.strut->top.point)],
                      std::acos(std::min(1.0, c))});
  }
  return angles;
}

std::optional<AxisLine<double>> instant_axis(const At<double>& at) {
  const auto& m = at.solution.with_travel;
  if (length(m.turning) < 1e-9) return {};
  return screw_axis(m, at.placed.centre(), at.ground);
}

template struct At<double>;
template struct At<Lanes>;
template struct At<Dual>;
template double read(Reading, const At<double>&);
template Lanes read(Reading, const At<Lanes>&);
template Dual read(Reading, const At<Dual>&);
template std::array<double, reading_count> read_all(const At<double>&);
template std::array<Lanes, reading_count> read_all(const At<Lanes>&);
template std::array<Dual, reading_count> read_all(const At<Dual>&);

}  // namespace trammel
