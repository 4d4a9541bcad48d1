// A survey as one network: the unknowns of a car and of the circumstances it was read in, and a row
// for everything that says something of them.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "base/least_squares.h"
#include "car/spread.h"
#include "file/survey.h"
#include "travel/solve.h"

namespace trammel {

struct NetworkUnknown {
  std::string label;
  double start = 0.0;
  std::optional<CarNumber> of_car;  // none: of the circumstances
};

// What a row comes from.
struct RowSource {
  enum class Of { reading, gauge, prior, symmetry, circumstance };
  Of of = Of::reading;
  // Of the reading, the gauge run or the unknown; of a tie: of the left side's unknown, or of the
  // right side's where the left is exact.
  int index = 0;
  int row = 0;         // of a gauge run
  double sigma = 1.0;  // mm or rad: what the row was divided by
  std::string name;
  int dial = 0;  // of a row of a gauge run: which of its dial_rows
};

// What is left out: readings and runs set aside, priors that readings make needless, ties between
// sides that do not stand alike.
struct LeftOut {
  std::vector<bool> reading, gauge;          // by index
  std::vector<bool> prior, tie;              // by unknown; a tie by its RowSource's index
  std::vector<std::vector<bool>> gauge_row;  // by run, row
  std::vector<double> weight;                // of a reading: its ± is divided by it
};

class Network {
 public:
  Network(const Car& car, const Survey& survey);

  const std::vector<NetworkUnknown>& unknowns() const { return unknowns_; }
  std::vector<double> start() const;
  LeftOut nothing_left_out() const;
  // Whether an unknown carries a ± of its own in the file.
  bool has_prior(int unknown) const {
    return prior_sigma_[static_cast<std::size_t>(unknown)] > 0.0;
  }
  double prior_sigma(int unknown) const { return prior_sigma_[static_cast<std::size_t>(unknown)]; }

  // The rows that `out` leaves, at x. `sources` is filled once if given.
  bool rows(const std::vector<double>& x, const LeftOut& out, std::vector<Row>& rows,
            std::vector<RowSource>* sources = nullptr) const;
  // One reading, of the survey or not: what it would read, and how that changes. Nothing where the
  // mechanism has no position at its travel.
  struct Told {
    double value = 0.0;
    Slopes slopes;
  };
  std::optional<Told> tell(const std::vector<double>& x, const TakenReading& reading) const;

  // The car with its numbers as x has them.
  Car car_at(const std::vector<double>& x) const;
  // The unknown of a coordinate, or -1 where it is exact or the point is of no axle.
  int unknown_of(const CarNumber& number) const;
  // The estimate of a run's offset between up and down (rad of toe), -1: the run goes one way.
  int hysteresis_unknown(std::size_t gauge) const { return hysteresis_[gauge]; }
  // What an unknown of the whole survey is measured in: baseline, centreline, rack, rises of the
  // floor. Nothing for any other unknown.
  std::optional<Measure> circumstance(int unknown) const;
  // Whether the file leaves the rack's place uncertain: then the sums find it.
  bool finds_rack() const { return rack_ >= 0; }
  // How far a joint of the left side moves for each mm of rack to the left, as measured.
  Vec3<double> rack_motion(AxleName axle, int point) const {
    const auto& motion = rack_motion_[static_cast<std::size_t>(axle)];
    return motion.empty() ? Vec3<double>{} : motion[static_cast<std::size_t>(point)];
  }
  bool sides_apart(AxleName axle) const { return apart_[static_cast<std::size_t>(axle)]; }
  bool symmetry_is_usual(AxleName axle) const {
    return usual_symmetry_[static_cast<std::size_t>(axle)];
  }

 private:
  struct Located {
    Vec3<double> at;
    std::array<Slopes, 3> slopes;
  };
  struct CornerIndex {
    std::vector<std::array<int, 3>> point;  // -1: exact
    int camber = -1, toe = -1, arch = -1;
  };

  int add(std::string label, double start, double prior_sigma);
  int add_of_car(const CarNumber& number, double start, double prior_sigma);
  void add_car(AxleName axle);
  void add_circumstances();
  bool touched(AxleName axle, Side side, int point) const;
  CornerIndex& corner(AxleName a, Side s) {
    return corners_[static_cast<std::size_t>(a)][static_cast<std::size_t>(s)];
  }
  const CornerIndex& corner(AxleName a, Side s) const {
    return corners_[static_cast<std::size_t>(a)][static_cast<std::size_t>(s)];
  }
  bool shared(AxleName a, Side s) const {
    return s == Side::right && !apart_[static_cast<std::size_t>(a)];
  }

  double value(const std::vector<double>& x, int unknown, double fixed) const {
    return unknown < 0 ? fixed : x[static_cast<std::size_t>(unknown)];
  }
  Located located(const std::vector<double>& x, const Spot& spot) const;
  // The floor's height below a joint: a plane through the spots around it.
  Told floor_below(const std::vector<double>& x, const Located& place) const;
  Numbers<double> corner_numbers(const std::vector<double>& x, AxleName a, Side s) const;
  std::optional<Told> tell_wheel(const std::vector<double>& x, const TakenReading& r) const;
  bool gauge_rows(const std::vector<double>& x, std::size_t run, const std::vector<bool>& without,
                  std::vector<Row>& rows, std::vector<RowSource>* sources) const;
  void symmetry_rows(const std::vector<double>& x, AxleName axle, const std::vector<bool>& without,
                     std::vector<Row>& rows, std::vector<RowSource>* sources) const;
  // The unknown behind each of the numbers of a corner that hold its upright (see sensitivity.h),
  // with the sign that mirroring gives; numbers that are exact are left out.
  struct CornerUnknown {
    int number, unknown;
    double sign;
  };
  std::vector<CornerUnknown> corner_unknowns(AxleName a, Side s) const;

  const Car& car_;
  const Survey& survey_;
  std::vector<NetworkUnknown> unknowns_;
  std::vector<double> prior_sigma_;
  std::array<std::array<CornerIndex, 2>, 2> corners_;
  std::array<bool, 2> apart_{}, usual_symmetry_{};
  std::array<double, 2> symmetry_mm_{};                   // zero: the sides are not tied
  std::array<std::vector<Vec3<double>>, 2> rack_motion_;  // by axle, point: left corner, per mm
  int baseline_ = -1, square_ = -1, centreline_ = -1, rack_ = -1, forward_ = -1, left_ = -1;
  std::vector<int> floor_, hysteresis_, travel_zero_, drag_;
  std::vector<std::vector<int>> dial_zero_;  // by run, by what its dials say
  std::vector<std::array<int, 3>> datum_;
  std::vector<std::array<int, 2>> plumb_;
  struct Face {
    Spot spot;
    Vec3<double> along;  // unit, from the face to the centre, car axes of its side
    int unknown;
  };
  std::vector<Face> faces_;
};

}  // namespace trammel
