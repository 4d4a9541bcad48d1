// The car at one position as plain values to draw: joints, members, wheels, the axes they turn
// about, and how unsure each joint is.
//
// Everything stands in the floor's frame: x forward, y left, z up, z = 0 the floor. That is what is
// seen at the car: the wheels stay on the floor, and the body sinks, rises and rolls above it.
// (In the body's own axes a rolling car would be drawn as a tilting floor.) The mean of the tyres'
// contact points stays where it was as measured, so that the drawings of two states or two
// positions lie over each other; as measured, the frame is the body's.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "car/spread.h"
#include "travel/sweep.h"

namespace trammel {

// Where the car is driven to, counted from ride height of its state: travel of all wheels (bump
// positive), rack (to the left), the body's roll (left side up).
struct SceneDrive {
  double travel_mm = 0.0, rack_mm = 0.0, roll_rad = 0.0;
};

// One standard uncertainty of a joint in its three own directions, square to each other: the
// longest last. A direction that nothing is said of has length zero.
struct DoubtAxes {
  std::array<Vec3<double>, 3> semi_axis_mm{};
  friend bool operator==(const DoubtAxes&, const DoubtAxes&) = default;
};
// The eigenvectors of a covariance, each as long as the root of its eigenvalue (JCGM 102 cl. 6.5.2:
// the ellipsoid of one standard uncertainty).
DoubtAxes doubt_axes(const JointCovariance& covariance);

// Of every joint that something uncertain is said of, in car axes as measured: by AxleName, Side,
// point of the layout.
using SceneDoubts = std::array<std::array<std::vector<std::optional<DoubtAxes>>, 2>, 2>;
SceneDoubts scene_doubts(const Car& car, const Spread& spread);

struct SceneJoint {
  Vec3<double> at_mm;
  std::optional<DoubtAxes> doubt;  // turned with what carries the joint
};

enum class SceneKind { arm, rod, strut, swing, spring, damper, bar, link, upright, body };
const char* word(SceneKind kind);

// A line through the places that a member joins, in their order: an arm and a swing arm as closed
// triangles.
struct SceneMember {
  SceneKind kind = SceneKind::rod;
  std::vector<Vec3<double>> line;
};
using SceneLine = std::array<Vec3<double>, 2>;

// A wheel's outline. Radius: of the contact point, loaded. Where the file does not give the rim, a
// plain one is drawn, and nothing but the drawing hangs on it.
struct SceneWheel {
  Vec3<double> centre_mm, spin;  // unit, outboard
  Vec3<double> contact_mm;
  double radius_mm = 0.0, width_mm = 0.0, rim_radius_mm = 0.0;
  bool plain = false;  // something of the outline is not from the file
};

struct SceneCorner {
  AxleName axle = AxleName::front;
  Side side = Side::left;
  std::vector<SceneJoint> joints;  // by point of the layout
  std::vector<SceneMember> members;
  SceneWheel wheel;
  std::optional<SceneLine> steering_axis;  // from the floor up; steered wheels only
  // The axis about which the upright turns as the wheel rises, a stretch of it about its point
  // nearest to the wheel's centre. None where the upright hardly turns or the axis is far away.
  std::optional<SceneLine> instant_axis;
  // From the contact point, square to the way it moves, to above the body's centre plane.
  SceneLine to_roll_centre{};
};

struct SceneAxle {
  AxleName axle = AxleName::front;
  Vec3<double> roll_centre_mm;  // where the sides' lines end, the mean of both
  std::vector<SceneMember> members;
};

// Lines on the floor under the car.
struct SceneFloor {
  std::array<double, 2> x_mm{}, y_mm{};
  double step_mm = 250.0;
};

struct Scene {
  std::string state;
  std::vector<SceneCorner> corners;  // front left, front right, rear left, rear right
  std::vector<SceneAxle> axles;
  std::vector<SceneMember> body;  // its centre line, and a cross line at each axle
  SceneFloor floor;
};

// The scene, or what locks and the nearest travel that has a position.
struct SceneAnswer {
  std::optional<Scene> scene;
  std::optional<Locked> locked;  // set exactly when there is no scene
};
// `doubts`: null where none are to be drawn.
SceneAnswer scene(const Ride& ride, const SceneDrive& drive, const SceneDoubts* doubts = nullptr);

}  // namespace trammel
