// What is made and bolted, and what it has to bear: the tables [[make]], [[fastener]], [[rod_end]]
// and [[load]] of a car file.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "file/wishes.h"
#include "stock/bolt_class.h"
#include "stock/fit.h"
#include "stock/material.h"
#include "stock/thread.h"

namespace trammel {

// A bolt by its thread and class, where a part is drilled for it.
struct BoltOf {
  Thread thread;
  BoltClass bolt_class;
};

// How the number of an option's drawing, and with it the names of its files, begins: letters and
// digits of the option's name, every other sign a dash.
std::string drawing_name(std::string_view option_name);

enum class MadeKind { disc, sleeve, bolted_plate, welded_plate, clevis, relocation_plate };
std::string_view words(MadeKind kind);  // "bolted plate"
inline bool turned(MadeKind k) { return k == MadeKind::disc || k == MadeKind::sleeve; }

// A spigot of a disc, and the recess in the face that it goes on.
struct Register {
  double diameter_mm = 0.0, depth_mm = 2.5;
  HoleShaftFit fit;
};
// Holes of a disc on a circle.
struct HoleCircle {
  int number = 3;
  double circle_mm = 0.0;
};
struct Weld {
  std::array<double, 2> from_mm{}, to_mm{};  // in the plate, from the old hole
  double throat_mm = 3.5;
};

// How a part for one of the options is to be made. In a plate, places are counted from the old hole
// along `across` and `up` of its plane (plate_plane).
struct Made {
  std::size_t option = 0;  // in Wishes
  MadeKind kind = MadeKind::disc;
  Material material;
  BoltOf bolt;
  std::string revision = "A";
  // Turned parts.
  double outside_mm = 0.0;
  std::optional<double> bore_mm;  // of a disc; a sleeve's is its bolt's
  std::optional<Register> spigot;
  std::optional<HoleCircle> holes;
  // Plates.
  std::optional<double> thickness_mm;  // absent: the thinnest of the stock that serves
  std::vector<double> stock_mm;
  std::optional<double> edge_mm;  // hole centre to edge; absent: twice the bolt
  std::vector<std::array<double, 2>> fixings_mm;
  std::optional<Weld> weld;
  std::optional<Material> boss;      // what is welded to
  Vec3<double> axis{1.0, 0.0, 0.0};  // of the hole, unit, body axes of the left side
  std::optional<double> offset_mm;  // from the plate's middle to the joint's centre, along the axis
  // Of the ball beside the plate or between a clevis' tabs; where the part does not say, that of
  // the joint's rod end.
  std::optional<double> ball_width_mm;
  int line = 0;
};

// A layer that a bolt clamps: of its own thickness, or what is fitted of an option.
struct LayerOf {
  std::string what;
  double thickness_mm = 0.0;
  std::optional<std::size_t> option;  // in Wishes
};
struct TappedInto {
  Material material;
  double depth_mm = 0.0;  // of usable thread
  bool through = false;   // open at the far end
};
struct Fastener {
  std::string name;
  AxleName axle = AxleName::front;
  int joint = -1;  // whose force it bears; -1: none named
  int number = 1;
  BoltOf bolt;
  std::vector<LayerOf> layers;  // from the head
  double head_washer_mm = 0.0, nut_washer_mm = 0.0;
  std::optional<double> nut_mm, tail_room_mm;
  std::optional<double> length_mm,
      shank_mm;  // of the bolt that is there now; shank: measured plain
  std::optional<TappedInto> tapped;
  int line = 0;
};

// The rod that a rod end is screwed into, of round tube or bar.
struct RodBar {
  double outside_mm = 0.0;
  double wall_mm = 0.0;  // half the outside: solid
};

struct RodEnd {
  AxleName axle = AxleName::front;
  int joint = -1;
  std::optional<double> ball_width_mm, housing_width_mm, sphere_mm, limit_rad;
  Thread thread;
  std::optional<double> engaged_mm;
  Material into;
  std::optional<RodBar> bar;
  std::optional<double> rating_n;
  Vec3<double> axis{0.0, 0.0, 1.0};  // of the bolt through it, unit, body axes of the left side
  BoltOf bolt;
  double spacer_mm = 0.0;  // outside diameter of the stack it stands on; zero: none
  bool double_shear = false;
  double tab_mm = 0.0;  // each, in double shear
  int line = 0;
};

// A load of the owner's own, or other figures for one of the usual ones.
struct OwnLoad {
  std::string name;
  std::optional<AxleName> axle;  // absent: both
  std::optional<double> shock, g;
  std::optional<double> forward_n, outboard_n, up_n, trail_mm;
  bool at_centre = false;
  int line = 0;
};

// The loads that every car is judged by, whose figures a row of the same name changes.
const std::vector<std::string>& usual_loads();
inline bool is_usual_load(std::string_view name) {
  for (const auto& usual : usual_loads())
    if (usual == name) return true;
  return false;
}

struct Workshop {
  std::vector<Made> made;
  std::vector<Fastener> fasteners;
  std::vector<RodEnd> rod_ends;
  std::vector<OwnLoad> loads;
  std::vector<Fault> faults;
};

Workshop read_workshop(const Document& document, const Car& car, const Wishes& wishes);

// The axes of a plate with a hole along `axis`: unit, square to it and to each other. Seen along
// the axis: y and z of the car where the hole runs forward, x and y where it runs upwards.
struct PlatePlane {
  Vec3<double> across, up, axis;
};
PlatePlane plate_plane(const Vec3<double>& axis);

}  // namespace trammel
