// How sure a curve is: bands from samples of what is uncertain, and standard uncertainties to first
// order.
#pragma once

#include <array>
#include <functional>
#include <vector>

#include "car/spread.h"
#include "travel/ride.h"

namespace trammel {

// Four drawn cars' corner standing in a ride's state: at its height, its wheels set there where the
// state says so.
struct DrawnCorner {
  Mechanism<Lanes> mechanism;
  Solution<Lanes> at;
  Mask4 stands;  // false: that car has no position there
};
DrawnCorner stand_drawn(const Ride& ride, AxleName axle, Side side, const Numbers<Lanes>& numbers,
                        const PivotOrder& order);
// The order of elimination that suits every car drawn about this one.
PivotOrder drawn_order(const Axle& axle, Side side);

// From a solved position to `travel_mm` and `rack_mm` (of the drive) in steps that Newton follows;
// cars that get lost on the way leave `stands`.
void reach_drawn(const Mechanism<Lanes>& mechanism, Solution<Lanes>& at, double travel_mm,
                 double rack_mm, Mask4& stands);

// What a band is wanted of: a reading, or how far it has gone from its value at ride height.
struct BandOf {
  Reading reading;
  bool change = false;
};
inline constexpr std::array<double, 3> band_shares{0.05, 0.50, 0.95};
using LowMiddleHigh = std::array<double, 3>;

struct Bands {
  std::vector<double> travel_mm;
  // [side][what][travel]
  std::array<std::vector<std::vector<LowMiddleHigh>>, 2> side;
  // Of the axle, mean of both sides; where the roll centre height is among what is wanted.
  std::vector<LowMiddleHigh> roll_centre_height_mm;
  int samples = 0, lost = 0;  // lost: cars without a position somewhere; they are left out
};

// A corner of four drawn cars put up to be swept: as it stands in a ride, or with parts.
using StandDrawn = std::function<DrawnCorner(Side, const Numbers<Lanes>&, const PivotOrder&)>;

// Where a band is wanted: travels from ride height, and the rack (car axes, positive to the left).
struct BandAsk {
  std::vector<double> travel_mm;
  std::vector<BandOf> of;
  double rack_mm = 0.0;
  int samples = 2000;  // rounded up to fours
  std::uint64_t seed = 1;
  bool left_alone = false;   // nothing of the right side or the axle: half the work
  bool sides_apart = false;  // the right side stands by itself even where it mirrors the left one
};

// Same seed, same bands. Empty where nothing of the axle is uncertain.
Bands bands(const Ride& ride, const Spread& spread, AxleName axle, const BandAsk& ask);
// The same of corners that `stand` puts up at ride height.
Bands bands(const Ride& ride, const Spread& spread, AxleName axle, const BandAsk& ask,
            const StandDrawn& stand);

// How every reading of a corner as measured, at a travel, changes with the uncertain numbers.
std::array<Slopes, reading_count> reading_slopes(const Axle& axle, const Spread& spread, Side side,
                                                 double travel_mm);

}  // namespace trammel
