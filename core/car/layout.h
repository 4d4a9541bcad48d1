// What an axle is made of: which member joins which points. No numbers.
//
// Points stand in one list per corner, each with the name a car file and an option use for it
// ("arm.lower.upright"); members hold indexes into it. Numbers belong beside it, one set per
// corner, so that every coordinate of a car is one entry of one list: what a survey adjusts.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/vec.h"

namespace trammel {

enum class AxleName { front, rear };
enum class Side { left, right };

inline const char* word(AxleName a) { return a == AxleName::front ? "front" : "rear"; }
inline const char* word(Side s) { return s == Side::left ? "left" : "right"; }

// What carries a joint that is not simply on the body.
enum class Carrier { body, rack, upright, arm };
struct Standing {
  Carrier on = Carrier::body;
  int arm = -1;  // which arm, for Carrier::arm
};

struct ArmOf {  // turns about the line through its two body joints; two equations
  std::string name;
  int body_front = 0, body_rear = 0, upright = 0;
  int line = 0;
};
struct RodOf {  // keeps the distance of its two joints; one equation
  std::string name;
  int inner = 0, upright = 0;
  Standing inner_on;  // the body, the rack when steered, or an arm
  int line = 0;
  bool steered() const { return inner_on.on == Carrier::rack; }
};
struct StrutOf {  // the upright slides and turns on the line foot-top through the top mount; two
  int top = 0, foot = 0;
  int line = 0;
};
struct SwingOf {  // a trailing or semi-trailing arm: the upright turns about one line; five
  std::string name;
  int pivot_inner = 0, pivot_outer = 0;
  int line = 0;
};
struct LineOf {  // spring or damper: a length that is read, not held
  int top = 0, foot = 0;
  Standing foot_on;
};
struct BarOf {  // anti-roll bar: a lever on the body, turned by its drop link
  int pivot = 0, link_bar = 0, link = 0;
  Vec3<double> axis{0, 1, 0};
  Standing link_on;
};

struct Layout {
  AxleName axle = AxleName::front;
  std::vector<std::string> points;  // points[0] is "wheel.centre"
  std::vector<ArmOf> arms;
  std::vector<RodOf> rods;
  std::optional<StrutOf> strut;
  std::optional<SwingOf> swing;
  std::optional<LineOf> spring, damper;
  std::optional<BarOf> bar;
  int line = 0;  // where the axle begins in the file

  bool steered() const {
    for (const auto& rod : rods)
      if (rod.steered()) return true;
    return false;
  }
  // -1 where there is none.
  int point(std::string_view name) const {
    for (std::size_t i = 0; i < points.size(); ++i)
      if (points[i] == name) return static_cast<int>(i);
    return -1;
  }
  int rod(std::string_view name) const {
    for (std::size_t i = 0; i < rods.size(); ++i)
      if (rods[i].name == name) return static_cast<int>(i);
    return -1;
  }
  int arm(std::string_view name) const {
    for (std::size_t i = 0; i < arms.size(); ++i)
      if (arms[i].name == name) return static_cast<int>(i);
    return -1;
  }
};

// The numbers of one corner as measured: a point for each name, and how the wheel stood.
template <class T>
struct Numbers {
  std::vector<Vec3<T>> points_mm;
  T camber_rad{}, toe_rad{};
  friend bool operator==(const Numbers&, const Numbers&) = default;
};

// The same corner seen from the other side of the car.
template <class T>
Numbers<T> mirrored(Numbers<T> n) {
  for (auto& p : n.points_mm) p = mirrored(p);
  return n;
}

}  // namespace trammel
