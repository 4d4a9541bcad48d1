// The step settle: how the car sits on its springs, rides and rolls; in every ride state of the
// file, as it sits and with the parts fitted.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "base/serving.h"
#include "correct/correct.h"
#include "settle/corner_weights.h"
#include "settle/drop_link.h"
#include "settle/wheel_rate.h"
#include "told/section.h"
#include "travel/rolling.h"

namespace trammel {

// What is wanted (common practice): this much free gap over the bump stop on the road and in
// competition, this much of a spring's travel left when the stop is solid.
inline constexpr double gap_road_mm = 15.0, gap_least_mm = 10.0, before_bind_mm = 10.0;
// Body roll is told at a brisk road bend, and per g from there.
inline constexpr double told_side_g = 0.5, most_side_g = 1.2;
inline constexpr double told_raise_mm = 10.0;
// Full travel where neither damper nor file says.
inline constexpr double usual_droop_mm = 60.0;

// Marks on a wheel's travel.
enum class TravelEnd { droop, loose, touched, solid, bound, closed };
std::string_view words(TravelEnd end);  // "the stop is touched"
struct TravelMark {
  TravelEnd end;
  double travel_mm;  // from ride height
};

// How far a rubber bush would be wound at ride height if it were tightened at full droop.
struct BushWind {
  std::string member;  // "arm 'lower'"
  double angle_rad = 0.0;
};

struct CornerSettled {
  std::optional<WheelRate> rate;  // at ride height
  std::vector<WheelRate> over;    // over the travel, in steps
  std::optional<double> rate_with_tyre_n_per_mm, frequency_hz, frequency_with_tyre_hz;
  std::optional<double> sprung_kg;
  std::optional<double> spring_length_mm, spring_force_n, squash_mm;
  std::optional<double> free_length_by_weight_mm;  // as measured, where weights and rate say
  std::optional<double> loose_from_mm;  // spring length from which it is loose, the shorter of two
  double droop_mm = 0.0;                // full droop, down positive
  bool droop_is_usual = false;
  // At full droop; below zero: what it is still pressed by. By the free length of the file, by what
  // stands on it, and the worse of the two.
  std::optional<double> loose_by_length_mm, loose_by_weight_mm, loose_mm;
  std::optional<double> gap_mm;  // free, along the stop's line
  std::optional<double> damper_length_mm, damper_to_open_mm, damper_to_closed_mm;
  std::optional<double> bind_room_mm;  // left of the spring when the stop is solid
  std::vector<TravelMark> marks;       // from droop upwards
  std::optional<double> arch_mm;       // hub centre to arch
  std::optional<double> perch_mm;      // wound against as measured to stand here, up positive
  std::optional<double> mark(TravelEnd end) const {
    for (const auto& m : marks)
      if (m.end == end) return m.travel_mm;
    return {};
  }
};

struct LinkSettled {
  LinkAt ride;
  double least_rad = 0.0, most_rad = 0.0;            // of the angle over the travel
  double turn_least_rad = 0.0, turn_most_rad = 0.0;  // of the lever
};

struct AxleSettled {
  AxleName axle = AxleName::front;
  std::array<CornerSettled, 2> side;  // by Side
  double track_mm = 0.0, roll_centre_height_mm = 0.0;
  std::optional<double> springs_nmm_per_rad, bar_nmm_per_rad;  // rate in roll
  bool bar_by_levers = false;
  std::array<std::optional<LinkSettled>, 2> link;  // by Side
  double bar_twist_rad = 0.0;                      // at ride height, with the links as they are
  std::optional<double> right_link_free_mm;        // the right link's length that frees the bar
  // Shares of 1, mean of both sides: under braking, and under power.
  std::optional<double> anti_dive, anti_lift, anti_squat, anti_lift_power;
  std::vector<BushWind> bushes;
  const CornerSettled& at(Side s) const { return side[static_cast<std::size_t>(s)]; }
};

struct StateSettled {
  std::string state;                               // "as_measured", "corrected", the file's names
  std::array<std::optional<AxleSettled>, 2> axle;  // by AxleName
  std::optional<Rolled> rolled;                    // at told_side_g, stops and tyres counted
  std::optional<NoBalance> no_roll;                // why not
  std::optional<Rolled> without_stops;             // the same, where a stop is touched
  // Side acceleration at which the outer stop of an axle is first touched, and on which side; none
  // up to most_side_g.
  struct StopTouched {
    double g = 0.0;
    Side side = Side::right;
  };
  std::array<std::optional<StopTouched>, 2> stop_at;
  // A stop that is touched by told_side_g is not known well enough to be in the balance.
  std::array<bool, 2> stop_unknown{};  // by AxleName
  bool stop_rate_is_usual = false;     // of one that is in the balance
  // Body roll that is the tyres' at told_side_g; none where a rate is not known.
  std::optional<double> tyres_roll_rad;
};

struct Settling {
  std::vector<StateSettled> states;  // highest body first; as it sits; corrected last
  std::size_t sits = 0;              // which of them
  std::optional<std::size_t> corrected;
  std::optional<PerchPlan> perches;  // as it sits
  std::optional<FourWheels> turns;   // of each perch, where both pitches are known
  std::optional<double> cross;       // share of 1
  std::optional<double> wheelbase_mm;
  // What to weigh or measure. Its words, with what it is for: settle/reasons.h.
  struct Wanting {
    enum class Of {
      corner_weights,
      unsprung,
      centre_of_gravity,
      spring_ends,
      spring_rate,
      free_length,
      tyre_rate,
      damper,
      damper_lengths,
      stop_gap,
      stop_lengths,
      stop_rate,
      bar_rate,
    };
    Of of{};
    AxleName axle = AxleName::front;
  };
  std::vector<Wanting> wanting;
  std::array<std::optional<double>, 2> perch_pitch_mm;  // by AxleName
  // What a left perch has to be wound for the body to stand `told_raise_mm` higher at that axle.
  std::array<std::optional<double>, 2> perch_to_raise_mm;
  std::array<std::optional<double>, 2> free_length_mm;
};

// A car whose file has a state in which it cannot stand leaves that state out.
Settling settle(const Ride& ride, const Correction& correction, const Wishes& wishes);

// How far a corner's perch has to be wound for the body to stand `height_mm` higher there, springs
// carrying the same load: what the spring's length and its force change, up positive. None without
// that axle, its spring's ends and rate and the force in it, or where that height has no position.
std::optional<double> perch_for_height(const Ride& ride, AxleName axle, Side side,
                                       double height_mm);

// What is looked at. Its words, and those of all below: settle/reasons.h.
struct Sprung {
  enum class Of { spring, bump_stop, drop_links };
  Of of{};
  AxleName axle = AxleName::front;
};
// Why it is not well, on a side.
struct Unwell {
  enum class Of {
    loose,           // the spring at full droop, by `is_mm`
    coils_solid,     // `is_mm` before the stop is
    coils_close,     // `is_mm` are left with the stop solid
    free_length,     // the weight makes it `is_mm`, the file says `other_mm`
    pressed,         // the stop, as the car stands
    little_gap,      // `is_mm`
    metal_to_metal,  // the damper closes before the stop is solid
    over_centre,     // lever and link come near one line
  };
  // Of a loose spring: which of its two figures says so, where the other one says `other_mm` (below
  // zero: still pressed).
  enum class By { either, free_length, weight };
  Of of{};
  Side side = Side::left;
  double is_mm = 0.0, other_mm = 0.0;
  By by = By::either;
};
// What was not judged of it, by what is missing.
struct SprungNotJudged {
  enum class Of {
    droop_of_placed,  // whether the spring stays in its seats: its ends and rate are known
    droop_of_unplaced,
    droop_taken,  // the same, full droop is only what is usual
    coils,        // whether they touch: where the stop is solid is known
    coils_and_stop,
    load,         // whether free length and load agree: the free length is known
    free_length,  // the same
    gap,
    solid_stop,
    closed_damper,
    links,
  };
  Of of{};
  AxleName axle = AxleName::front;
};
using SprungJudged = JudgementBy<Sprung, Unwell, SprungNotJudged>;

// Axle by axle: springs first, then bump stops, then drop links. Of the car with the parts fitted
// where that is known, else as it sits.
std::vector<SprungJudged> judge(const Settling& settling);

// A wheel's travel as an upright bar with its marks; they differ by line.
Drawing travel_drawing(const StateSettled& state, Units units);

Section tell(const Settling& settling, Units units);

}  // namespace trammel
