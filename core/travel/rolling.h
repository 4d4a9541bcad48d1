// The whole car rolling: springs, roll bars, side forces and the body's own weight in balance, with
// both wheels of either axle on the floor; and what of it each axle's wheels hand to one another.
//
// In a left turn (side_g above zero) the body's left side comes up and load goes to the right.
#pragma once

#include <array>
#include <optional>
#include <vector>

#include "base/answer.h"
#include "travel/roll.h"

namespace trammel {

// A roll bar by its energy, half its rate times the square of its twist. Where the file has its
// lever and drop link the twist is the difference of the levers' turns, else that of the wheels'
// travels over the track; the rate is what gives the stated rate of the axle in roll as measured.
class RollBar {
 public:
  // Nothing where the file states no rate, or the lever does not turn with the wheels.
  static std::optional<RollBar> of(const Axle& axle);

  // How far a side's end of the bar is turned against as measured, and how far per mm of travel.
  struct End {
    double turn_rad = 0.0, per_travel = 0.0;
  };
  End end(const At<double>& at) const;
  double rate_nmm_per_rad() const { return rate_; }  // of twist
  bool by_levers() const { return by_levers_; }
  // Links set so that the bar is free as the axle stands here.
  void set_free(const std::array<At<double>, 2>& at);
  // What each wheel carries of it, N at the tyre, by Side.
  std::array<double, 2> loads_n(const std::array<At<double>, 2>& at) const;
  // The axle's rate in roll that it gives at a position, N·mm per rad of body roll.
  double roll_rate_nmm_per_rad(const std::array<At<double>, 2>& at) const;

 private:
  double twist_rad(const std::array<At<double>, 2>& at) const;

  double rate_ = 0.0, track_mm_ = 1.0, free_twist_rad_ = 0.0;
  bool by_levers_ = false;
};

// Both wheels of an axle at ride height; the ride must outlive what is returned.
std::array<At<double>, 2> both_at(const Ride& ride, AxleName axle);

// Why the whole car has no balance. Its words: travel/reasons.h.
struct NoBalance {
  // What the file would have to say.
  struct Missing {
    enum class Of {
      corner_weights,
      centre_of_gravity,
      lighter_unsprung,  // than the corner weights
      axle,
      spring,  // of an axle: its rate and its two ends
    };
    Of of{};
    AxleName axle = AxleName::front;
  };
  enum class Of {
    missing,
    stop_overloaded,  // of `axle` and `side`: it would carry more than stands on its wheel
    no_position,      // at `side_g` no roll that every wheel can follow
    falls_over,       // springs and bars give less than the body's weight takes as it leans
  };
  Of of{};
  std::vector<Missing> missing{};
  AxleName axle = AxleName::front;
  Side side = Side::left;
  double side_g = 0.0;
};

// Masses as the sums take them. The mass of each wheel stands over its contact point at the wheel
// centre's height; the body's stands at the height that gives the whole car's as measured.
struct RollMasses {
  std::array<std::array<double, 2>, 2> wheel_n{};  // weight on each tyre, by AxleName, Side
  std::array<double, 2> unsprung_kg{};             // of the axle
  double sprung_height_mm = 0.0;                   // above the floor as measured
};
// No answer without corner weights or the height of the centre of gravity.
Answer<RollMasses, NoBalance> roll_masses(const Car& car);

// The load that goes across an axle from the inner to the outer tyre, in N, by what carries it:
// through the links by the side force of the body's share (roll centre), by springs and bar, by
// the wheels' own inertia as far as links do not hand its couple to the body, and by the stops.
struct Transfer {
  double geometric_n = 0.0, elastic_n = 0.0, unsprung_n = 0.0, stops_n = 0.0;
  double total_n() const { return geometric_n + elastic_n + unsprung_n + stops_n; }
};

// The textbook sum of one axle: side force of the sprung share (N) through a roll centre, a rate
// (N·mm/rad) times the roll, the unsprung weight (N) at its height, `side_g` times, over the track.
// Here all of the unsprung couple goes across its own axle, as a beam axle's does.
Transfer transfer_by_sums(double sprung_n, double roll_centre_mm, double rate_nmm_per_rad,
                          double roll_rad, double unsprung_n, double unsprung_height_mm,
                          double side_g, double track_mm);

struct AxleRolled {
  std::array<double, 2> travel_mm{};  // by Side, from ride height
  std::array<double, 2> on_tyre_n{};  // by Side
  std::array<double, 2> stop_n{};     // by Side: what the stop's push is at the tyre
  // By Side: the stop is touched, but the file does not say what it gives, so it is not in the
  // balance.
  std::array<bool, 2> stop_unknown{};
  bool tyres_give = false;
  Transfer transfer;
  double track_mm = 0.0;
  double roll_centre_height_mm = 0.0;  // mean of both sides, as rolled
};
struct Rolled {
  double side_g = 0.0, roll_rad = 0.0;
  std::array<AxleRolled, 2> axle;  // by AxleName
  // Sum of mass times side acceleration times height above the floor; and what the body's weight
  // adds by leaning out over the tyres. Together they are the sum of transfer times track.
  double overturning_nmm = 0.0, leaning_nmm = 0.0;
};

// What the balance takes in besides springs and bars.
struct RollWith {
  bool tyres = true, stops = true;
};

// The car in balance at a side acceleration. Side forces are shared in halves by an axle's tyres
// (so that the roll centre of an axle is the mean of its sides'). Tyres give by their rates where
// the file has them, stops push where it says how (StopLaw); a stop that is pressed as the car
// stands carries its part there, and its spring the rest. A wheel that would lift is held down.
// No answer where springs, weights or heights are missing, a wheel has no position, a stop would
// carry more than stands on its wheel, or the body falls over its springs.
Answer<Rolled, NoBalance> roll_at(const Ride& ride, double side_g, RollWith with = {});

}  // namespace trammel
