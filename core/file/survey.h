// What was read on the garage floor: the tables [survey] and [[reading]] of a car file.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "base/quantity.h"
#include "car/car.h"
#include "file/document.h"
#include "file/wishes.h"

namespace trammel {

// Where a reading is taken: a joint (or the wheel's centre), the edge of the arch above a wheel's
// centre, or a datum point of [survey.point]; and, of a joint, its centre, a face that stands for
// it, or the mark on the floor below.
struct Spot {
  enum class Of { joint, arch, datum };
  enum class At { centre, face, floor };
  Of of = Of::joint;
  At at = At::centre;
  AxleName axle = AxleName::front;
  Side side = Side::left;
  int index = 0;  // the joint in the layout, or the datum point
  friend bool operator==(const Spot&, const Spot&) = default;
};

enum class ReadingKind {
  height,       // of `spot` above the floor below it, mm
  back,         // floor mark of `spot`, behind the front baseline, mm
  out,          // floor mark of `spot`, outwards from the centreline, mm
  distance,     // spot to `other`, mm
  slope,        // spot to `other`, risen against level, rad
  length,       // of a rod out of the car, between its joints, mm
  offset,       // from a face to the centre of `spot`, mm
  camber,       // of the wheel of `spot`, rad, by level; at `travel_mm` where given
  toe,          // of the wheel, rad; at `travel_mm` where given
  ride_height,  // wheel centre up to the arch, mm
};
std::string_view word(ReadingKind kind);
// Whether it is read from `spot` to `other`.
bool has_two_ends(ReadingKind kind);
Kind quantity_kind(ReadingKind kind);
// What one careful reading by an amateur is worth (one standard uncertainty): used where the file
// gives none. Common practice.
double usual_sigma(ReadingKind kind);
inline constexpr double usual_dial_sigma_mm = 0.03;
// A wheel's camber or toe beyond this is a slip of the hand.
inline constexpr double most_wheel_rad = 0.5;
// What backlash and dry bushes may add to a slope over a run: 0.003 degrees per 25 mm.
inline constexpr double usual_drag_rad_per_mm = 0.003 * 3.14159265358979 / 180.0 / 25.0;
// How far toe may be from what is wanted when a run is taken before it has been measured.
inline constexpr double usual_set_toe_sigma_rad = 0.25 * 3.14159265358979 / 180.0;

// One value of one row.
struct TakenReading {
  std::string name;  // of its own: of several values of a row each has one
  std::string row;   // the row's name; or where it has none, its line
  bool named = false;
  ReadingKind kind = ReadingKind::height;
  Spot spot, other;
  double value = 0.0, sigma = 1.0;  // mm or rad
  bool sigma_is_usual = false;      // the file does not say
  std::optional<double> travel_mm;
  int plumb = -1;       // index of the plumb mark that it shares with others
  Vec3<double> face{};  // of an offset: unit, from the face to the centre, left-hand side
  bool set_aside = false;
  int line = 0;
};

// One fall of the plumb bob: its own error is shared by every value read at its mark.
struct PlumbMark {
  double sigma_mm = 0.0;
};

struct GaugeRow {
  double travel_mm = 0.0, front_mm = 0.0, rear_mm = 0.0;  // dials: outward positive
  std::optional<double> low_mm;                           // a third dial below the other two
};
// Where the dials stand, when each is to be taken by itself and not only their difference.
struct DialPlaces {
  double plate_mm = 0.0;   // plate's face outboard of the wheel's centre
  double height_mm = 0.0;  // of both dials against the wheel's centre as measured
  double ahead_mm = 0.0;   // front dial ahead of the wheel's centre
};
struct GaugeRun {
  std::string name;
  AxleName axle = AxleName::front;
  Side side = Side::left;
  double base_mm = 0.0, sigma_mm = 0.0;
  double zero_sigma_mm = 0.5;     // of travel zero against the height as measured
  double drag_rad_per_mm = 0.0;   // standard uncertainty of a slope from backlash and friction
  std::optional<double> drop_mm;  // third dial below the others
  std::optional<DialPlaces> places;
  std::vector<GaugeRow> rows;
  std::vector<int> row_lines;
  // What was fitted while it was run, of the options of its axle; none: the car as it sits.
  std::optional<std::vector<Chosen>> with;
  // Toe at ride height while it was run with parts; none: as it is wanted, as well as a hand sets
  // it before the strings are out.
  std::optional<double> toe_rad;
  double toe_sigma_rad = usual_set_toe_sigma_rad;
  bool set_aside = false;
  int line = 0;
};

// Which direction each row of a run was reached in: +1 up, -1 down; the first one as the second.
std::vector<double> directions(const GaugeRun& run);
bool goes_both_ways(const GaugeRun& run);

struct FloorSpot {
  double x_mm = 0.0, y_mm = 0.0, height_mm = 0.0;
};
struct Datum {
  std::string name;
  Vec3<double> at_mm, sigma_mm;  // sigma zero: taken as exact
};

struct Survey {
  // Where the baseline and the centreline lie, with uncertainties where the file gives them.
  Quantity baseline_mm{0.0, {}};    // ahead of the front axle line
  Quantity square_rad{0.0, {}};     // baseline turned, positive with its left end ahead
  Quantity centreline_mm{0.0, {}};  // string's place to the left of the true centre line
  Quantity rack_mm{0.0, {}};        // how far the rack stood to the left of its centre
  Quantity rises_forward_rad{0.0, {}}, rises_left_rad{0.0, {}};  // tyre plane against level
  std::vector<FloorSpot> floor;
  std::optional<double> floor_sigma_mm;
  std::optional<double> symmetry_mm;  // how alike the sides are, standard uncertainty
  bool symmetry_none = false;         // the file says that nothing ties the sides
  std::vector<Datum> data;
  std::vector<PlumbMark> plumbs;
  std::vector<TakenReading> readings;
  std::vector<GaugeRun> gauges;      // of the car as it sits
  std::vector<GaugeRun> after;       // with parts fitted: what the step prove judges
  std::vector<GaugeRun> begun;       // runs of too few rows: nothing is taken from them yet
  std::vector<std::string> remarks;  // odd, but no fault: said with the results
  std::vector<Fault> faults;
  bool empty() const { return readings.empty() && gauges.empty(); }
};

// Readings of an axle that could not be read are passed over.
Survey read_survey(const Document& document, const Car& car);

// "front.left.arm.lower.upright", as a car file writes a spot.
std::string spot_words(const Spot& spot, const Car& car, const Survey& survey);

}  // namespace trammel
