// The chance that a candidate meets the targets, from cars drawn out of what is uncertain: every
// candidate is fitted to the same cars.
#pragma once

#include <cstdint>
#include <vector>

#include "car/spread.h"
#include "correct/rank.h"
#include "travel/band.h"

namespace trammel {

// How far made parts miss their size (one standard uncertainty; common practice): a turned or
// ground disc, and a hole marked out and drilled by hand.
inline constexpr double turned_sigma_mm = 0.05;
inline constexpr double drilled_sigma_mm = 0.3;

// What an axle does with parts fitted, of four drawn cars; the worse side where they differ.
struct DrawnFigures {
  Lanes toe_change_max_rad, roll_centre_height_mm, camber_rad, bump_steer;
  Mask4 found;  // false: that car has no position somewhere in the window
};

// One axle of four drawn cars after another, judged as the ranking judges the car itself.
class DrawnAxle {
 public:
  // The ride, its car and the target outlive it.
  DrawnAxle(const Ride& ride, const Spread& spread, AxleName axle, const Target& target,
            std::uint64_t seed);

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
  // Toe change at each of the window's positions, the roll centre and the camber: what shares are
  // made of. Appended to `figures`, four cars each.
  void details(const Shelf& shelf, const Fit& fit, std::vector<Lanes>& figures) const;
  std::size_t detail_count() const { return window_.size() * sides_ + 2; }
  // What the four cars were drawn with, by uncertain number.
  const std::vector<Lanes>& normals() const { return normals_; }

 private:
  struct Corner {
    DrawnCorner before;
    std::vector<Lanes> scatter;  // three for each choice
  };
  void stand();
  CornerWithParts<Lanes> fitted(std::size_t side, const Shelf& shelf, const Fit& fit) const;
  // Toe change at the window's positions into `toe`, and what is read at ride height.
  Mask4 sweep(std::size_t side, const CornerWithParts<Lanes>& corner, std::vector<Lanes>& toe,
              DrawnFigures& at_ride) const;
  DrawnFigures judged(const std::array<CornerWithParts<Lanes>, 2>& corners,
                      std::vector<Lanes>* details) const;

  const Ride& ride_;
  AxleName name_;
  const Axle& axle_;
  Wanted wanted_;
  AxleSpread spread_;
  Sampler sampler_;
  std::size_t sides_;
  std::array<WheelSetting, 2> setting_;
  std::array<PivotOrder, 2> order_;
  std::array<Ground<Lanes>, 2> ground_;
  std::vector<double> window_;  // travels from ride height, outwards
  std::array<Corner, 2> corners_;
  std::vector<Lanes> normals_;
};

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
struct Surenesses {
  Sureness bump_steer, roll_centre;
  double toe_change_low_rad = 0.0, toe_change_high_rad = 0.0;  // corrected: 5 and 95 %
};
Surenesses sureness(DrawnAxle& cars, const Shelf& shelf, const Fit& fit, int samples);

}  // namespace trammel
