// What can be changed on a car, what is wanted of it and what was chosen: the tables [[option]],
// [axle.target] and [axle.chosen].
#pragma once

#include <array>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "car/by.h"
#include "car/car.h"
#include "file/document.h"

namespace trammel {

// A wheel's way from ride height: the longest of off-road racing is about 400 mm each way.
inline constexpr double farthest_window_mm = 500.0;
// How far a part moves a joint. A taller one bends off the upright that it stands on; a hole
// farther away is another upright.
inline constexpr double farthest_part_mm = 200.0;
// Directions that the made-to-measure joints of an axle may move in, all solved together: places to
// begin from are tried in every combination, and two brackets in all directions are six.
inline constexpr int most_made_directions = 6;

enum class Moves { upright, body, member };

// Sizes on the shelf: one of them.
struct OneOf {
  std::vector<double> sizes_mm;
};
// Any of these together.
struct AnyOf {
  std::vector<double> pieces_mm;
};
// Made to measure: how far the joint may move along each body axis.
struct MadeToMeasure {
  std::array<std::optional<std::array<double, 2>>, 3> range_mm;
};

struct Option {
  std::string name;
  AxleName axle = AxleName::front;
  int joint = -1;                     // in the axle's layout
  std::optional<Vec3<double>> along;  // unit, left side; absent: along the steering axis
  std::optional<Moves> moves;         // absent: whatever carries the joint
  std::variant<OneOf, AnyOf, MadeToMeasure> choice;
  int line = 0;
};

struct Target {
  std::optional<std::array<double, 2>> window_mm, roll_centre_mm, camber_rad;
  std::optional<std::array<double, 2>> toe_rad;  // a single value has equal limits
  std::optional<std::array<double, 2>> caster_rad;
  std::optional<double> toe_change_rad;
};

// What is fitted for an option on one side: a size, on the shelf or not, or where a made joint goes
// (corner axes: body axes of the left side, on the right their mirror image).
struct SizeOrPlace {
  double size_mm = 0.0;
  Vec3<double> by_mm{0.0, 0.0, 0.0};
  bool nothing() const { return size_mm == 0.0 && by_mm == Vec3<double>{0.0, 0.0, 0.0}; }
  friend bool operator==(const SizeOrPlace&, const SizeOrPlace&) = default;
};

// What somebody settled on for an option. One that is not named is left as it is.
struct Chosen {
  std::size_t option = 0;  // in Wishes
  BySide<SizeOrPlace> part;
  friend bool operator==(const Chosen&, const Chosen&) = default;
};

struct Wishes {
  std::vector<Option> options;
  std::array<Target, 2> target;                              // by AxleName
  std::array<std::optional<std::vector<Chosen>>, 2> chosen;  // none: the best is taken
  std::vector<Fault> faults;
};

// "ball-joint spacer" = "20 mm", "toe-link bracket" = { z = -18 }, "rod-end stack" = { left = 17.5,
// right = 12.5 }, by the options' names: a table at `path` that says what is fitted to an axle. A
// name that is no option of the axle is a fault, and so is a side that is left open.
std::vector<Chosen> read_chosen(const Value& value, const std::string& path, AxleName axle,
                                const std::vector<Option>& options, std::vector<Fault>& faults);

// The same as a car file writes it: "27.5", "{ y = 5, z = -12.4 }"; and a table of them in one
// line.
std::string chosen_toml(const Option& option, const Chosen& chosen);
std::string chosen_toml(const std::vector<Chosen>& all, const std::vector<Option>& options);

// Reads all three kinds of table; an option of an axle that could not be read is passed over.
Wishes read_wishes(const Document& document, const Car& car);

}  // namespace trammel
