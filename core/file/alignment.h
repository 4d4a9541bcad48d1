// What was read on the floor while the car was aligned: the rows [[alignment]] of a car file.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/quantity.h"
#include "car/car.h"
#include "file/document.h"

namespace trammel {

// One value with its ±.
struct Taken {
  double value = 0.0, sigma = 1.0;  // mm or rad
};

// From the string to the rim's front and rear edge, the rim standing in one place.
struct EdgesRead {
  Taken front_mm, rear_mm;
  bool half_turn = false;  // the car rolled on by half a turn of the wheels
};
// Camber with the wheel turned out (its front edge away from the car) and in, from straight ahead.
struct SweepRead {
  Taken camber_out_rad, camber_in_rad;
  Taken turn_out_rad, turn_in_rad;  // both above zero
};
// Straight bars along both wheels of an axle: across the car between their front and their rear
// ends.
struct PlatesRead {
  Taken front_mm, rear_mm;
  double base_mm = 0.0;  // from the front ends to the rear ends
};

// Standard uncertainties where the file gives none (common practice): a rule from a string, a tape
// across the car, a protractor under a wheel, pads by water level.
inline constexpr double usual_edge_mm = 0.5, usual_plates_mm = 0.7, usual_pads_mm = 0.7,
                        usual_wheelbase_mm = 1.5, usual_turn_rad = 0.5 * degree_rad;
// A sweep is made at this angle where the row does not say (common practice: 20°).
inline constexpr double usual_sweep_rad = 20.0 * degree_rad;
// A rim's flange stands out over the diameter it is named by (common practice: 1 in).
inline constexpr double flange_over_rim_mm = 25.4;

struct AlignmentRow {
  std::string name;  // its own, or "line 12"
  bool named = false;
  std::string when;  // "as found": rows with one name belong to one session
  // Of one wheel, of one axle, or of the car.
  std::optional<AxleName> axle;
  std::optional<Side> side;

  std::vector<EdgesRead> edges;     // rim rolled on by half a turn between two of them
  std::optional<double> across_mm;  // rim from edge to edge, where it was read
  std::optional<Taken> hub_mm;      // string to hub cap
  std::vector<Taken> camber_rad;    // against level; rim rolled on between two of them
  std::optional<SweepRead> sweep;
  std::optional<Taken> arch_mm;  // hub centre up to the arch
  // What was turned once all of the day was read: the rod longer, or the joint along its line.
  std::optional<double> toe_turned_mm, camber_turned_mm, caster_turned_mm;

  std::optional<PlatesRead> plates;
  std::optional<Taken> left_pad_high_mm;  // pad under the left wheel against the right one

  std::optional<Taken> rear_pads_high_mm;             // against those in front
  std::optional<std::array<Taken, 2>> wheelbases_mm;  // by Side
  std::optional<std::array<double, 2>>
      strings_apart_mm;                     // in front and behind, `strings_length_mm`
  std::optional<double> strings_length_mm;  // from each other
  // Where the steering wheel was held, from where it should stand straight ahead; positive to the
  // left.
  std::optional<double> steering_wheel_rad;
  bool fitted = false;  // with the parts that are to be fitted
  bool driven = false;  // after the first kilometres: a check of what was set before
  std::string note;

  bool set_aside = false;
  int line = 0;
  bool of_wheel(AxleName a, Side s) const { return axle == a && side == s; }
};

struct AlignmentRows {
  std::vector<AlignmentRow> rows;
  std::vector<Fault> faults;
  // Names of the sessions, in the order of the file.
  std::vector<std::string> sessions() const;
  // What any row of a day says of all of it.
  bool fitted(const std::string& when) const;
  bool driven(const std::string& when) const;
};

AlignmentRows read_alignment(const Document& document, const Car& car);

}  // namespace trammel
