// What the page asks to draw the car with, and what comes back.
#pragma once

#include <array>
#include <string>
#include <vector>

namespace trammel::wire {

using Place = std::array<double, 3>;  // mm; x forward, y left, z up from the floor

struct DrawnLine {
  std::string axle;  // front or rear; empty: of the body
  std::string kind;  // arm, rod, strut, …; of an axis: steering, instant, roll centre
  std::vector<Place> places;
};
struct DrawnWheel {
  std::string axle;
  Place centre{}, spin{}, contact{};  // spin: unit, outboard
  double radius_mm = 0.0, width_mm = 0.0, rim_radius_mm = 0.0;
};
struct DrawnRollCentre {
  std::string axle;
  Place at{};
};
// The ellipsoid about a joint, as large as it is to be drawn.
struct DrawnDoubt {
  int joint = 0;  // in the order of the joints
  std::array<Place, 3> semi_axes{};
};
// The car in one of its states.
struct DrawnCar {
  std::string name;           // "as it sits"
  std::string stroke;         // thin dashed, plain or heavy
  std::string words;          // what its wheels do there
  std::vector<Place> joints;  // in the order of JointTable
  std::vector<DrawnLine> lines;
  std::vector<DrawnWheel> wheels;
  std::vector<DrawnLine> axes;
  std::vector<DrawnRollCentre> roll_centres;
  std::vector<DrawnDoubt> doubts;
};
// What drives the car in the drawing.
struct DriveControl {
  std::string key;    // travel, rack or roll
  std::string label;  // with which way is positive
  double low = 0.0, high = 0.0, step = 1.0;
  std::string said;  // where it stands, with its unit
};
struct DrawnScene {
  std::string why;  // why there is nothing to draw, and the nearest travel there is; then no cars
  std::vector<DriveControl> controls;
  std::vector<DrawnCar> cars;
  std::array<double, 2> floor_x_mm{}, floor_y_mm{};
  double floor_step_mm = 250.0;
  std::vector<std::string> notes;  // how large doubts are drawn, what is not from the file
};

// A coordinate of a joint.
struct JointNumber {
  std::string at, doubt;  // as shown; doubt: empty where nothing is uncertain
  std::string path;       // of the value in the file; empty where it states none
  std::string stands;     // as the file has it
};
struct JointRow {
  std::string name;   // "front.left.arm.lower.upright"
  std::string words;  // "front left lower arm, joint on the upright"
  std::string path;   // of the joint in the file: "front.arm.lower.upright"
  std::array<JointNumber, 3> numbers;
  bool nudges = false;  // an edit of its value moves it
  std::string note;     // what decides where it is
};
struct JointTable {
  std::string title, unit;
  std::vector<JointRow> rows;
};

}  // namespace trammel::wire
