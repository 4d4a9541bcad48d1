// The car standing in one of its ride states: every corner at its height, wheels set where the
// state says so, the floor through the contact points.
#pragma once

#include <array>
#include <optional>
#include <string>

#include "base/answer.h"
#include "car/car.h"
#include "travel/readings.h"

namespace trammel {

struct CornerRide {
  Mechanism<double> mechanism;
  Solution<double> at;      // at ride height; drive counts from as measured
  double toe_rod_mm = 0.0;  // change of the toe rod's length against as measured
};

struct AxleRide {
  std::array<CornerRide, 2> side;  // by Side
  double ride_travel_mm = 0.0;     // wheel centre at ride height against as measured
  bool toe_set = false, camber_set = false;
  const CornerRide& at(Side s) const { return side[static_cast<std::size_t>(s)]; }
};

struct Ride {
  Car car;
  std::string state = "as_measured";
  std::array<std::optional<AxleRide>, 2> axle;  // by AxleName
  double pitch_rad = 0.0;                       // how the floor rises forward in body axes
  const std::optional<AxleRide>& at(AxleName a) const { return axle[static_cast<std::size_t>(a)]; }
};

// Why a car does not stand in a state. Its words: travel/reasons.h.
struct NotStanding {
  enum class Of {
    locks,       // a wheel's mechanism, so far above or below the height as measured
    cannot_set,  // the wheels of an axle, as the state asks
    no_state,    // the car has none of that name
    said,        // the joints are not known: in words of what reads them
  };
  Of of{};
  std::string state{};
  AxleName axle = AxleName::front;
  Side side = Side::left;
  double by_mm = 0.0;
  bool above = false;
  std::string words{};
};

// The car as measured (no state) or in `state`. No answer where a wheel has no position at that
// height, or cannot be set as asked there.
Answer<Ride, NotStanding> ride(const Car& car, const RideState* state);

// The floor in a corner's own axes: risen forward by `pitch_rad`, and the body rolled by `roll_rad`
// (positive with its left side up).
Ground<double> ground_for(Side side, double pitch_rad, double roll_rad);

// A corner's numbers in its own axes, and the way back.
Mechanism<double> corner_mechanism(const Axle& axle, Side side);

}  // namespace trammel
