#include "travel/scene.h"

#include <fmt/format.h>

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <deque>

#include "car/by.h"

namespace trammel {
namespace {

// Of a wheel whose rim the file does not give.
constexpr double plain_width_mm = 175.0;
constexpr double plain_rim_share = 0.66;  // of the radius

constexpr double axis_half_mm = 350.0;     // drawn of the instant axis, either way
constexpr double far_mm = 15000.0;         // an axis farther away says nothing in a drawing
constexpr double above_joints_mm = 80.0;   // how far the steering axis goes on
constexpr double floor_around_mm = 400.0;  // about the wheels
constexpr double body_share = 0.45;        // of the half track: how wide its cross lines are

using Vec = Vec3<double>;

// A solved corner; what is read off it is in its own axes.
struct Stood {
  Stood(AxleName a, Side s, const Axle& of, const CornerRide& ridden,
        const Solution<double>& solved, const Ground<double>& ground)
      : axle(a), side(s), solution(solved), at(of.layout, ridden.mechanism, solution, ground) {}
  AxleName axle;
  Side side;
  Solution<double> solution;
  At<double> at;

  // A place or a direction of the corner's axes in the body's.
  Vec body(const Vec& v) const { return side == Side::left ? v : mirrored(v); }
};

struct FloorFrame {
  Vec forward, left, up;  // unit, in body axes
  Vec shift{};
  Vec turned(const Vec& d) const { return {dot(d, forward), dot(d, left), dot(d, up)}; }
  Vec placed(const Vec& p) const { return turned(p) + shift; }
};

Vec mean_of(const std::vector<Vec>& all) {
  Vec sum{};
  for (const auto& v : all) sum = sum + v;
  return (1.0 / static_cast<double>(all.size())) * sum;
}

// The mean of the contact points as measured: what the frame holds on to.
Vec mean_as_measured(const Car& car) {
  std::vector<Vec> contacts;
  for (const auto& axle : car.axle)
    for (const Side side : each_side)
      if (axle) {
        const auto m = corner_mechanism(*axle, side);
        const auto s = solution_as_measured(m);
        const At<double> at(axle->layout, m, s, {});
        contacts.push_back(side == Side::left ? at.contact : mirrored(at.contact));
      }
  return mean_of(contacts);
}

// The floor keeps the direction that the readings take it to have; only, where the axles sank by
// different amounts, the body is tipped until both stand on it.
FloorFrame floor_frame(const Ride& ride, const SceneDrive& drive,
                       const std::deque<Stood>& corners) {
  const auto g = ground_for(Side::left, ride.pitch_rad, drive.roll_rad);
  FloorFrame f{g.forward, g.outboard, g.up};
  std::array<std::vector<Vec>, 2> of_axle;
  std::vector<Vec> all;
  for (const auto& c : corners) {
    all.push_back(c.body(c.at.contact));
    of_axle[static_cast<std::size_t>(c.axle)].push_back(all.back());
  }
  if (!of_axle[0].empty() && !of_axle[1].empty()) {
    const Vec apart = f.turned(mean_of(of_axle[0]) - mean_of(of_axle[1]));
    const double tip = std::atan2(apart.z, apart.x), c = std::cos(tip), s = std::sin(tip);
    const Vec forward = f.forward, up = f.up;
    f.forward = c * forward + s * up;
    f.up = c * up - s * forward;
  }
  const Vec mean = f.turned(mean_of(all)), held = mean_as_measured(ride.car);
  f.shift = {held.x - mean.x, held.y - mean.y, -mean.z};
  return f;
}

// The bar's lever: where it leaves the bar's axis, and its end, in corner axes.
struct Lever {
  Vec root, end;
};
Lever lever_of(const At<double>& at) {
  const auto& bar = *at.mechanism.bar;
  const double along = dot(bar.lever, bar.axis);
  const Vec root = bar.pivot + along * bar.axis;
  const Vec u = bar.lever - along * bar.axis;
  const double turn = read(Reading::bar_turn, at);
  return {root, root + std::cos(turn) * u + std::sin(turn) * cross(bar.axis, u)};
}

// Where every joint is and what it stands on, in corner axes.
struct Joints {
  std::vector<Vec> at;
  std::vector<Standing> on;
};
Joints joints_of(const At<double>& at) {
  const auto& m = at.mechanism;
  Joints j{m.numbers.points_mm, std::vector<Standing>(m.numbers.points_mm.size())};
  const auto put = [&](int point, const Vec& where, Standing on) {
    j.at[static_cast<std::size_t>(point)] = where;
    j.on[static_cast<std::size_t>(point)] = on;
  };
  const auto put_anchor = [&](const Anchor<double>& a) {
    put(a.point, at.placed.position(a), a.on);
  };
  put(0, at.placed.centre(), {Carrier::upright, -1});
  for (const auto& row : m.distance) {
    put_anchor(row.inner);
    put_anchor(row.outer);
  }
  for (const auto* line : {&m.strut, &m.spring, &m.damper})
    if (*line) {
      put_anchor((*line)->top);
      put_anchor((*line)->foot);
    }
  if (at.layout.swing)
    for (const auto& row : m.plane)
      if (!row.plane_on_upright) put(row.plane_point, row.through, {});
  if (m.bar) {
    put_anchor(m.bar->link);
    put(at.layout.bar->link_bar, lever_of(at).end, {});
  }
  return j;
}

std::vector<SceneMember> members_of(const At<double>& at, const Joints& joints) {
  std::vector<SceneMember> members;
  const auto& l = at.layout;
  const auto joint = [&](int point) { return joints.at[static_cast<std::size_t>(point)]; };
  const auto add = [&](SceneKind kind, std::vector<Vec> line) {
    members.push_back({kind, std::move(line)});
  };
  for (const auto& arm : l.arms)
    add(SceneKind::arm,
        {joint(arm.body_front), joint(arm.upright), joint(arm.body_rear), joint(arm.body_front)});
  for (const auto& rod : l.rods) add(SceneKind::rod, {joint(rod.inner), joint(rod.upright)});
  if (l.strut) add(SceneKind::strut, {joint(l.strut->top), joint(l.strut->foot)});
  if (l.swing)
    add(SceneKind::swing, {joint(l.swing->pivot_inner), joint(0), joint(l.swing->pivot_outer),
                           joint(l.swing->pivot_inner)});
  if (l.spring) add(SceneKind::spring, {joint(l.spring->top), joint(l.spring->foot)});
  if (l.damper) add(SceneKind::damper, {joint(l.damper->top), joint(l.damper->foot)});
  if (l.bar) {
    const auto lever = lever_of(at);
    add(SceneKind::bar, {joint(l.bar->pivot), lever.root, lever.end});
    add(SceneKind::link, {joint(l.bar->link_bar), joint(l.bar->link)});
  }
  for (std::size_t p = 1; p < joints.at.size(); ++p)
    if (joints.on[p].on == Carrier::upright) add(SceneKind::upright, {joint(0), joints.at[p]});
  return members;
}

SceneWheel wheel_of(const Axle& axle, const Stood& c, const FloorFrame& f) {
  SceneWheel w;
  w.centre_mm = f.placed(c.body(c.at.placed.centre()));
  w.spin = f.turned(c.body(c.at.spin));
  w.contact_mm = f.placed(c.body(c.at.contact));
  w.radius_mm = c.at.mechanism.wheel.radius_mm;
  w.width_mm = axle.rim.width_mm.value_or(plain_width_mm);
  w.rim_radius_mm = axle.rim.diameter_mm ? std::min(0.5 * *axle.rim.diameter_mm, w.radius_mm)
                                         : plain_rim_share * w.radius_mm;
  w.plain = !axle.rim.width_mm || !axle.rim.diameter_mm;
  return w;
}

SceneCorner corner_of(const Axle& axle, const Stood& c, const FloorFrame& f,
                      const SceneDoubts* doubts) {
  const auto& at = c.at;
  const auto place = [&](const Vec& p) { return f.placed(c.body(p)); };
  SceneCorner r;
  r.axle = c.axle;
  r.side = c.side;
  const auto joints = joints_of(at);
  for (std::size_t p = 0; p < joints.at.size(); ++p) {
    r.joints.push_back({place(joints.at[p]), {}});
    if (!doubts) continue;
    const auto& doubt =
        (*doubts)[static_cast<std::size_t>(c.axle)][static_cast<std::size_t>(c.side)][p];
    if (!doubt) continue;
    r.joints.back().doubt.emplace();
    for (std::size_t k = 0; k < 3; ++k)
      r.joints.back().doubt->semi_axis_mm[k] = f.turned(c.body(at.placed.direction(
          joints.on[p], on_carrier(at.mechanism, joints.on[p], c.body(doubt->semi_axis_mm[k])))));
  }
  r.members = members_of(at, joints);
  for (auto& member : r.members)
    for (auto& p : member.line) p = place(p);
  r.wheel = wheel_of(axle, c, f);
  if (at.mechanism.steered) {
    // From the floor to a little above the corner's highest joint.
    const Vec on = place(at.axis.point), along = f.turned(c.body(at.axis.direction));
    double top = 0.0;
    for (const auto& j : r.joints) top = std::max(top, j.at_mm.z);
    const auto at_height = [&](double z) { return on + ((z - on.z) / along.z) * along; };
    r.steering_axis = {at_height(0.0), at_height(top + above_joints_mm)};
  }
  if (const auto axis = instant_axis(at);
      axis && length(axis->point - at.placed.centre()) < far_mm) {
    const Vec half = axis_half_mm * axis->direction;
    r.instant_axis = {place(axis->point - half), place(axis->point + half)};
  }
  r.to_roll_centre = {r.wheel.contact_mm,
                      place(at.contact - read(Reading::half_track, at) * at.ground.outboard +
                            read(Reading::roll_centre_height, at) * at.ground.up)};
  return r;
}

SceneFloor floor_of(const Car& car) {
  SceneFloor floor;
  std::array<double, 2> x{1e9, -1e9}, y{1e9, -1e9};
  for (const auto& axle : car.axle)
    for (const Side side : each_side)
      if (axle) {
        const auto& centre = axle->at(side).numbers.points_mm[0];
        x = {std::min(x[0], centre.x), std::max(x[1], centre.x)};
        y = {std::min(y[0], centre.y), std::max(y[1], centre.y)};
      }
  const auto around = [&](const std::array<double, 2>& r) {
    return std::array<double, 2>{
        floor.step_mm * std::floor((r[0] - floor_around_mm) / floor.step_mm),
        floor.step_mm * std::ceil((r[1] + floor_around_mm) / floor.step_mm)};
  };
  floor.x_mm = around(x);
  floor.y_mm = around(y);
  return floor;
}

// What of the body is drawn, so that it is seen to sink and roll: at the height of the wheels'
// centres as measured.
std::vector<SceneMember> body_of(const Car& car, const FloorFrame& f) {
  std::vector<SceneMember> body;
  std::vector<Vec> middles;
  for (const auto& axle : car.axle)
    if (axle) {
      const Vec l = axle->at(Side::left).numbers.points_mm[0],
                r = axle->at(Side::right).numbers.points_mm[0];
      middles.push_back(0.5 * (l + r));
      const Vec half{0.0, body_share * 0.5 * (l.y - r.y), 0.0};
      body.push_back(
          {SceneKind::body, {f.placed(middles.back() - half), f.placed(middles.back() + half)}});
    }
  if (middles.size() == 2)
    body.push_back({SceneKind::body, {f.placed(middles[0]), f.placed(middles[1])}});
  return body;
}

}  // namespace

DoubtAxes doubt_axes(const JointCovariance& covariance) {
  Eigen::Matrix3d c;
  for (int i = 0; i < 3; ++i)
    for (int j = 0; j < 3; ++j)
      c(i, j) = covariance[static_cast<std::size_t>(i)][static_cast<std::size_t>(j)];
  const Eigen::SelfAdjointEigenSolver<Eigen::Matrix3d> own(c);
  DoubtAxes axes;
  for (int k = 0; k < 3; ++k) {
    const Eigen::Vector3d a =
        std::sqrt(std::max(0.0, own.eigenvalues()(k))) * own.eigenvectors().col(k);
    axes.semi_axis_mm[static_cast<std::size_t>(k)] = {a.x(), a.y(), a.z()};
  }
  return axes;
}

SceneDoubts scene_doubts(const Car& car, const Spread& spread) {
  SceneDoubts doubts;
  for (const AxleName name : each_axle)
    for (const Side side : each_side) {
      if (!car.at(name)) continue;
      auto& of = doubts[static_cast<std::size_t>(name)][static_cast<std::size_t>(side)];
      of.resize(car.at(name)->layout.points.size());
      for (std::size_t p = 0; p < of.size(); ++p) {
        const auto c = joint_covariance(spread, name, side, static_cast<int>(p));
        if (c[0][0] > 0.0 || c[1][1] > 0.0 || c[2][2] > 0.0) of[p] = doubt_axes(c);
      }
    }
  return doubts;
}

const char* word(SceneKind kind) {
  constexpr std::array<const char*, 10> words{"arm",    "rod", "strut", "swing",   "spring",
                                              "damper", "bar", "link",  "upright", "body"};
  return words[static_cast<std::size_t>(kind)];
}

SceneAnswer scene(const Ride& ride, const SceneDrive& drive, const SceneDoubts* doubts) {
  std::deque<Stood> corners;  // they hold references to themselves
  for (const AxleName name : each_axle) {
    if (!ride.at(name)) continue;
    auto solved = solved_at(ride, name, drive.travel_mm, drive.rack_mm, drive.roll_rad);
    for (const auto& locked : solved.locked)
      if (locked) return {{}, locked};
    for (const Side side : each_side)
      corners.emplace_back(name, side, *ride.car.at(name), ride.at(name)->at(side),
                           *solved.side[static_cast<std::size_t>(side)],
                           ground_for(side, ride.pitch_rad, drive.roll_rad));
  }
  const auto frame = floor_frame(ride, drive, corners);
  Scene s;
  s.state = ride.state;
  for (const auto& c : corners)
    s.corners.push_back(corner_of(*ride.car.at(c.axle), c, frame, doubts));
  for (std::size_t i = 0; i + 1 < s.corners.size(); i += 2) {
    const auto &l = s.corners[i], &r = s.corners[i + 1];
    SceneAxle a;
    a.axle = l.axle;
    a.roll_centre_mm = 0.5 * (l.to_roll_centre[1] + r.to_roll_centre[1]);
    if (const auto& bar = ride.car.at(l.axle)->layout.bar) {
      const auto pivot = static_cast<std::size_t>(bar->pivot);
      a.members.push_back({SceneKind::bar, {l.joints[pivot].at_mm, r.joints[pivot].at_mm}});
    }
    s.axles.push_back(std::move(a));
  }
  s.body = body_of(ride.car, frame);
  s.floor = floor_of(ride.car);
  return {std::move(s), {}};
}

}  // namespace trammel
