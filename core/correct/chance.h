// The chance that a candidate meets the targets, from cars drawn out of what is uncertain: every
// candidate is fitted to the same cars.
#pragma once

#include <cstdint>
#include <functional>
#include <vector>

#include "car/spread.h"
#include "correct/set_judge.h"
#include "travel/band.h"

namespace trammel {

// How far made parts miss their size (one standard uncertainty; common practice): a turned or
// ground disc, and a hole marked out and drilled by hand.
inline constexpr double turned_sigma_mm = 0.05;
inline constexpr double drilled_sigma_mm = 0.3;

// What an axle does with parts fitted, of four drawn cars.
struct DrawnWheelFigures {
  Lanes toe_change_max_rad{0.0}, camber_rad{0.0}, bump_steer{0.0};
};
struct DrawnFigures {
  BySide<DrawnWheelFigures> wheel;  // alike where the right side is the left one's mirror image
  Lanes roll_centre_height_mm{0.0};
  Mask4 found;  // false: that car has no position somewhere in the window
};

// The right side of a car of which the file gives the left one.
enum class RightSide {
  as_the_file,  // its mirror image, or as it is given
  of_its_own,   // as much in doubt as the left side, and apart from it
};

// One axle of four drawn cars after another, judged as the ranking judges the car itself.
class DrawnAxle {
 public:
  // The ride, its car and the target outlive it.
  DrawnAxle(const Ride& ride, const Spread& spread, AxleName axle, const Target& target,
            std::uint64_t seed, RightSide right = RightSide::as_the_file);

  bool uncertain() const { return !spread_.numbers.empty(); }
  // The next four cars and their parts' scatter, for as many choices.
  void draw(std::size_t choices);
  // Four cars of one's own choosing, in standard normals, their parts exactly to size.
  void place(std::vector<Lanes> normals, std::size_t choices);
  // As it sits: nothing fitted, nothing reset.
  DrawnFigures as_it_sits() const;
  DrawnFigures with(const Shelf& shelf, const Fit& fit) const;
  // The share of the tolerance used at most (1: just met), by car; infinite where not found.
  Lanes share(const DrawnFigures& figures) const;
  // Which of the cars meet every target with parts fitted: those whose share is at most 1. What
  // decides nothing any more is not worked out.
  Mask4 meets(const Shelf& shelf, const Fit& fit) const;
  // Toe change of each wheel at each of the window's positions, then the roll centre, then each
  // wheel's camber: what shares are made of. Appended to `figures`, four cars each.
  void details(const Shelf& shelf, const Fit& fit, std::vector<Lanes>& figures) const;
  std::size_t detail_toes() const { return window_.size() * sides_; }
  std::size_t detail_count() const { return detail_toes() + 1 + sides_; }
  // What each of them may be, in their order.
  std::vector<Tolerance> detail_tolerances() const;
  // What the four cars were drawn with, by uncertain number.
  const std::vector<Lanes>& normals() const { return normals_; }

 private:
  struct Corner {
    DrawnCorner before;
    std::vector<Lanes> scatter;  // three for each choice
  };
  void stand();
  // The corner that a side's wheel stands on: the left one's mirror image is drawn as the left one.
  std::size_t drawn_as(Side side) const { return sides_ == 1 || side == Side::left ? 0 : 1; }
  CornerWithParts<Lanes> fitted(Side side, const Shelf& shelf, const Fit& fit) const;
  BySide<CornerWithParts<Lanes>> both_fitted(const Shelf& shelf, const Fit& fit, bool one) const;
  // Toe change at the window's positions into `toe`, and what is read at ride height.
  struct Swept {
    Mask4 stands;
    DrawnWheelFigures wheel;
    Lanes roll_centre_height_mm;
  };
  Swept sweep(Side side, const CornerWithParts<Lanes>& corner, std::vector<Lanes>& toe) const;
  // At ride height alone.
  struct AtRide {
    Lanes toe_rad, camber_rad, bump_steer, roll_centre_height_mm;
  };
  AtRide at_ride(Side side, const CornerWithParts<Lanes>& corner) const;
  // Drives a wheel over the window: `each` is given toe change, in rad, at each position and says
  // whether to go on. Who has no position somewhere stands no more.
  template <class Each>
  void drive(Side side, const CornerWithParts<Lanes>& corner, Lanes toe_at_ride_rad, Mask4& stands,
             const Each& each) const;
  // `one`: the right wheel does what the left one does.
  DrawnFigures judged(const BySide<CornerWithParts<Lanes>>& corners, bool one,
                      std::vector<Lanes>* details) const;

  const Ride& ride_;
  AxleName name_;
  const Axle& axle_;
  Wanted wanted_;
  AxleSpread spread_;
  Sampler sampler_;
  RightSide right_;
  std::size_t sides_;  // that are drawn: one where the right is the mirror image
  std::array<WheelSetting, 2> setting_;
  std::array<PivotOrder, 2> order_;
  std::array<Ground<Lanes>, 2> ground_;
  std::vector<double> window_;  // travels from ride height, outwards
  std::array<Corner, 2> corners_;
  std::vector<Lanes> normals_, right_normals_;
};

// Called now and then with the share done, 0 to 1.
using Progress = std::function<void(double)>;

// How many of the drawn cars meet every target with each fit. Memory does not grow with samples.
std::vector<int> met(DrawnAxle& cars, const Shelf& shelf, const std::vector<Fit>& fits, int samples,
                     const Progress& progress = {});

// By fit and sample, for leaders that are compared in pairs.
std::vector<std::vector<bool>> met_by_sample(DrawnAxle& cars, const Shelf& shelf,
                                             const std::vector<Fit>& fits, int samples);

// Whether two chances differ by less than samples can tell (two standard errors of the difference
// of pairs, after McNemar 1947).
bool equal_chances(const std::vector<bool>& a, const std::vector<bool>& b);

// The four figures of a bump steer and of a roll centre that must be told apart: standard
// uncertainties of the car as it sits and as corrected, of the change between them, and of both
// once a run with two dial gauges has been fitted in.
struct Sureness {
  double as_it_sits = 0.0, change = 0.0, corrected = 0.0;
  double as_it_sits_after_gauge = 0.0, corrected_after_gauge = 0.0;
};
// Of each wheel by itself: what is said of one is never the other's.
struct WheelSureness {
  Sureness bump_steer, camber;
  double toe_change_low_rad = 0.0, toe_change_high_rad = 0.0;  // corrected: 5 and 95 %
};
struct Surenesses {
  BySide<WheelSureness> wheel;
  Sureness roll_centre;
};
Surenesses sureness(DrawnAxle& cars, const Shelf& shelf, const Fit& fit, int samples);

// Whether the wheels of an axle, as it sits, steer apart by more than twice what is not known of
// the difference: then parts of unequal size may be worth a thought.
bool sides_differ(DrawnAxle& cars, int samples);

}  // namespace trammel
